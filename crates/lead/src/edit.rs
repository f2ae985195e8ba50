//! Changing a lead's file and keeping what its writer made of it: comments, order, spacing.

use solderside_profile::Control;
use toml_edit::{Array, DocumentMut, Item, RawString, Table, TableLike, Value, value};

use crate::assembly::Assembly;
use crate::lead::Proved;
use crate::play::either_map;

/// Stands above the fingerprints in a file.
pub(crate) const ABOUT_PROVED: &str = "# The fingerprints of the profiles that this lead was proved against.";

/// Writes a lead's play map and its fingerprints into the text of its file; nothing else is touched, and
/// neither is an action whose controls are the same. Returns nothing if the text is no TOML.
pub fn edit_lead(text: &str, assembly: &Assembly) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    write_play(document.as_table_mut(), assembly);
    match &assembly.lead.proved {
        Some(proved) => write_proved(document.as_table_mut(), proved),
        None => drop_proved(&mut document),
    }
    let edited = document.to_string();
    // The editor's own line ends are those of Unix.
    let windows = text.contains("\r\n");
    Some(if windows { edited.replace("\r\n", "\n").replace('\n', "\r\n") } else { edited })
}

fn write_play(root: &mut Table, assembly: &Assembly) {
    let play = &assembly.lead.play;
    let is_new = !root.contains_key("play");
    if is_new && either_map(&assembly.controllers, &assembly.port) == *play {
        return;
    }
    let Some(table) = root.entry("play").or_insert_with(|| Item::Table(Table::new())).as_table_like_mut()
    else {
        return;
    };
    for action in assembly.port.actions() {
        let controls = play.controls(action);
        match table.get_mut(action.as_str()).and_then(Item::as_array_mut) {
            Some(list) => set(list, controls),
            // An action that a file's map leaves out is idle.
            None if controls.is_empty() && !is_new => {}
            None => _ = table.insert(action.as_str(), value(list(controls))),
        }
    }
}

fn list(controls: &[Control]) -> Array {
    controls.iter().map(Control::as_str).collect()
}

/// Makes a list name these controls; where it has lines and comments of its own, what stays keeps its place.
fn set(array: &mut Array, controls: &[Control]) {
    let named =
        |array: &Array, control: &Control| array.iter().any(|own| own.as_str() == Some(control.as_str()));
    let wanted = |own: &Value| controls.iter().any(|control| own.as_str() == Some(control.as_str()));
    if array.iter().all(wanted) && controls.iter().all(|control| named(array, control)) {
        return;
    }
    if !array.to_string().trim().contains('\n') {
        let mut new = list(controls);
        *new.decor_mut() = array.decor().clone();
        *array = new;
        return;
    }
    for at in (0..array.len()).rev() {
        if !array.get(at).is_some_and(wanted) {
            take_out(array, at);
        }
    }
    for control in controls {
        if !named(array, control) {
            put_last(array, control);
        }
    }
}

/// What stands before a value: the rest of the line that the value before it is on, and the lines after that.
fn lines_before(value: &Value) -> (String, String) {
    split_line(&text_of(value.decor().prefix()))
}

fn split_line(text: &str) -> (String, String) {
    let (line, rest) = text.split_at(text.find('\n').unwrap_or(text.len()));
    (line.to_owned(), rest.to_owned())
}

fn text_of(raw: Option<&RawString>) -> String {
    raw.and_then(RawString::as_str).unwrap_or_default().to_owned()
}

/// Takes a value out with the comment on its own line; the comment of the line before stays.
fn take_out(array: &mut Array, at: usize) {
    let (line, rest) = lines_before(&array.remove(at));
    if let Some(next) = array.get_mut(at) {
        let (_, own) = lines_before(next);
        next.decor_mut().set_prefix(line + if own.is_empty() { &rest } else { &own });
    } else {
        let (_, own) = split_line(&text_of(Some(array.trailing())));
        array.set_trailing(line + &own);
    }
}

/// Adds a value on a line of its own, after the comments that stand behind the last one.
fn put_last(array: &mut Array, control: &Control) {
    let (_, rest) = array.iter().next().map(lines_before).unwrap_or_default();
    let indent = rest.rsplit_once('\n').map_or("  ", |(_, indent)| indent).to_owned();
    let mut behind = text_of(Some(array.trailing()));
    if let Some(last) = array.len().checked_sub(1).and_then(|last| array.get_mut(last)) {
        // Without a comma after it, the comment stands in the value's own decor.
        behind.insert_str(0, &text_of(last.decor().suffix()));
        last.decor_mut().set_suffix("");
    }
    let mut new = Value::from(control.as_str());
    new.decor_mut().set_prefix(format!("{}\n{indent}", behind.trim_end()));
    array.push_formatted(new);
    array.set_trailing_comma(true);
    array.set_trailing("\n");
}

fn write_proved(root: &mut Table, proved: &Proved) {
    let new = || {
        let mut table = Table::new();
        table.decor_mut().set_prefix(format!("\n{ABOUT_PROVED}\n"));
        Item::Table(table)
    };
    let Some(table) = root.entry("proved").or_insert_with(new).as_table_like_mut() else { return };
    for (key, fingerprint) in [("controller", &proved.controller), ("port", &proved.port)] {
        put(table, key, fingerprint);
    }
    for (key, fingerprint) in proved.others() {
        match fingerprint {
            Some(fingerprint) => put(table, key, fingerprint),
            None => _ = table.remove(key),
        }
    }
}

/// Replaces a text and keeps what stands around it.
fn put(table: &mut dyn TableLike, key: &str, text: &str) {
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(own) if own.as_str() == Some(text) => {}
        Some(own) => {
            let decor = own.decor().clone();
            *own = Value::from(text);
            *own.decor_mut() = decor;
        }
        None => _ = table.insert(key, value(text)),
    }
}

/// Takes the fingerprints out; comments of the writer's above them go to the end of the file.
fn drop_proved(document: &mut DocumentMut) {
    let Some(Item::Table(table)) = document.remove("proved") else { return };
    let above = text_of(table.decor().prefix()).replace(ABOUT_PROVED, "");
    let above = above.trim_end();
    if !above.trim().is_empty() {
        let trailing = text_of(Some(document.trailing()));
        document.set_trailing(format!("{above}\n{trailing}"));
    }
}

#[cfg(test)]
mod tests {
    use solderside_profile::{Action, Library, SourceFile};

    use super::*;
    use crate::file::{read_lead, write_lead};

    const HEAD: &str = "format = 1\nkind = 'lead'\ncontroller = 'fifteen-pin-stick'\nport = 'nine-pin-two-trigger'\n\
                        joins = ['controller.13 - port.6']\n";

    fn lead(text: &str) -> Assembly {
        let read = read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue());
        read.unwrap_or_else(|failure| panic!("{}", failure.render()))
    }

    /// Changes a lead's file as `fire=a,b` says, and holds what it then says to what was asked.
    fn edited(text: &str, change: &str) -> String {
        let mut assembly = lead(text);
        let (action, controls) = change.split_once('=').unwrap();
        let controls = controls.split(',').filter(|name| !name.is_empty());
        let controls: Vec<Control> = controls.map(|name| Control::new(name).unwrap()).collect();
        assembly.lead.play.set(Action::new(action).unwrap(), controls);
        let edited = edit_lead(text, &assembly).unwrap();
        let read = lead(&edited).lead;
        for action in assembly.port.actions() {
            let [mut is, mut asked] = [&read, &assembly.lead].map(|lead| lead.play.controls(action).to_vec());
            is.sort();
            asked.sort();
            assert_eq!(is, asked, "{edited}");
        }
        assert_eq!((read.joins, read.proved), (assembly.lead.joins, assembly.lead.proved));
        edited
    }

    /// Changes the map below the head of a lead's file.
    fn play(text: &str, change: &str) -> String {
        let edited = edited(&format!("{HEAD}{text}"), change);
        edited.strip_prefix(HEAD).expect("the rest stays as it is").to_owned()
    }

    #[test]
    fn comments_and_order_stay() {
        let text = "# mine\n[play] # so I like it\nfire  =  [ 'a' ] # thumb\n# levers\nup = [\"up\"]\n\n[cord]\nlength_mm = 900\n";
        let changed = text.replace("[ 'a' ]", "[\"b\", \"a\"]");
        assert_eq!(play(text, "fire=b,a"), changed);
    }

    #[test]
    fn a_map_that_is_the_same_is_not_touched() {
        for text in ["", "play.fire = ['a', \"b\",]\n", "[play]\nfire = [\n 'a', # x\n 'b']\n"] {
            let own = lead(&format!("{HEAD}{text}"));
            assert_eq!(edit_lead(text, &own).as_deref(), Some(text));
        }
        assert_eq!(play("[play]\nfire = ['a', 'b']\n", "fire=b,a"), "[play]\nfire = ['a', 'b']\n");
    }

    #[test]
    fn a_list_over_several_lines_keeps_the_comments_of_what_stays() {
        let list = "[play]\nfire = [\n  # big one\n  'a', # thumb\n]\n";
        let both = play(list, "fire=a,b");
        insta::assert_snapshot!(both, @r#"
        [play]
        fire = [
          # big one
          'a', # thumb
          "b",
        ]
        "#);
        assert_eq!(play(&both, "fire=a"), list, "and back");
        insta::assert_snapshot!(play(&both, "fire=b"), @r#"
        [play]
        fire = [
          "b",
        ]
        "#);
        insta::assert_snapshot!(play(&both, "fire="), @"
        [play]
        fire = [
        ]
        ");
        insta::assert_snapshot!(play("[play]\nfire = ['a',\n  'b' # last\n]\n", "fire=b,c"), @r#"
        [play]
        fire = [
          'b', # last
          "c",
        ]
        "#);
    }

    #[test]
    fn a_file_without_a_map_gets_a_whole_one() {
        insta::assert_snapshot!(play("", "fire=b"), @r#"

        [play]
        up = ["up"]
        down = ["down"]
        left = ["left"]
        right = ["right"]
        fire = ["b"]
        second-fire = ["b"]
        "#);
    }

    #[test]
    fn a_map_of_any_form_is_changed_where_it_stands() {
        insta::assert_snapshot!(play("play.fire = ['a']\n", "second-fire=b"), @r#"
        play.fire = ['a']
        play.second-fire = ["b"]
        "#);
        insta::assert_snapshot!(play("play = { fire = ['a'], up = ['up'] }\n", "fire=b"), @r#"play = { fire = ["b"], up = ['up'] }"#);
        insta::assert_snapshot!(play("[play]\n", "fire=b"), @r#"
        [play]
        fire = ["b"]
        "#);
    }

    #[test]
    fn the_line_ends_of_the_file_stay() {
        let text = format!("{HEAD}[play]\nfire = ['a'] # thumb\n").replace('\n', "\r\n");
        let edited = edited(&text, "up=up,b");
        assert_eq!(edited.matches('\n').count(), edited.matches("\r\n").count());
        assert!(edited.ends_with("fire = ['a'] # thumb\r\nup = [\"up\", \"b\"]\r\n"), "{edited:?}");
    }

    #[test]
    fn the_fingerprints_are_renewed_or_go_and_other_comments_stay() {
        let text = write_lead(&lead(HEAD));
        let mut assembly = lead(&text);
        let proved = |own: &str| {
            Some(Proved {
                controller: own.to_owned(),
                second: None,
                port: "2".to_owned(),
                donor: None,
                cable: None,
            })
        };
        assembly.lead.proved = proved("1");
        let with = edit_lead(&text, &assembly).unwrap();
        assert_eq!(with, write_lead(&assembly), "as if it had been saved so");
        assembly.lead.proved = proved("3");
        assert_eq!(edit_lead(&with, &assembly).unwrap(), write_lead(&assembly));
        assembly.lead.proved = None;
        assert_eq!(edit_lead(&with, &assembly).unwrap(), text);
        let noted = with.replace(ABOUT_PROVED, "# a note\n# of mine");
        assert!(edit_lead(&noted, &assembly).unwrap().ends_with("length_mm = 1500\n\n# a note\n# of mine\n"));
    }

    #[test]
    fn the_fingerprint_of_a_cable_is_renewed_too() {
        let text = format!("{HEAD}[cord]\ncable = 'ten-core-control'\n");
        let mut assembly = lead(&text);
        let proved = |cable: Option<&str>| {
            let cable = cable.map(str::to_owned);
            Some(Proved {
                controller: "1".to_owned(),
                second: None,
                port: "2".to_owned(),
                donor: None,
                cable,
            })
        };
        for cable in [Some("3"), Some("4"), None] {
            let before = write_lead(&assembly);
            assembly.lead.proved = proved(cable);
            assert_eq!(edit_lead(&before, &assembly).unwrap(), write_lead(&assembly));
        }
    }

    #[test]
    fn what_is_no_toml_is_not_edited() {
        assert_eq!(edit_lead("[", &lead(HEAD)), None);
    }
}
