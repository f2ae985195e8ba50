//! What the page says, and that each square leads to its note.

use solderside_design::{Best, Class, Square};
use solderside_profile::{Action, Control, Controller, Library, Port, SourceFile};
use solderside_proof::Verdict;

use super::note::headline;
use super::{Atlas, atlas_page, short};

fn lead(verdict: Verdict, class: Class, lost: &[&str]) -> Square {
    let best = Best {
        verdict,
        class,
        donor: (class == Class::Donor).then(|| "my-pad".to_owned()),
        parts: usize::from(class == Class::Parts),
        plays_no_direction: false,
        actions_lost: vec![Action::new("key").expect("a name")],
        controls_lost: lost.iter().filter_map(|name| Control::new(name)).collect(),
        axes_lost: Vec::new(),
        pots_lost: Vec::new(),
    };
    Square { best: Some(best), reasons: Vec::new(), is_final: false }
}

/// A lead to a machine that reads directions, and that plays none of them.
fn without_directions() -> Square {
    let mut square = lead(Verdict::Works, Class::Plain, &[]);
    square.best.as_mut().expect("it has a lead").plays_no_direction = true;
    square
}

/// Two controllers, the second under two names, against two ports; one pair has no lead.
fn page() -> String {
    let reasons = vec![vec!["`port.2` is <only> pulled up".to_owned()]];
    let none = Square { best: None, reasons, is_final: false };
    let stick =
        vec![lead(Verdict::Thin, Class::Parts, &["fire", "up"]), lead(Verdict::Works, Class::Plain, &[])];
    page_of(&[vec![lead(Verdict::Works, Class::Plain, &[]), none], stick.clone(), stick])
}

fn page_of(squares: &[Vec<Square>]) -> String {
    let library = Library::with_shelf(vec![SourceFile::new(
        "my-stick.toml",
        "like = \"fifteen-pin-stick\"\ntitle = \"Mine <b>\"\n",
    )]);
    let controllers: Vec<Controller> = ["fifteen-pin-game-stick", "fifteen-pin-stick", "my-stick"]
        .map(|name| library.controller(name).expect("it is sound"))
        .into();
    let ports: Vec<Port> =
        ["fifteen-pin-game", "nine-pin-one-fire"].map(|name| library.port(name).expect("it is sound")).into();
    let left_out = [library.port("nine-way-serial").expect("it is sound")];
    atlas_page(Atlas {
        controllers: &controllers,
        ports: &ports,
        squares,
        left_out: &left_out,
        unreadable: &["broken".to_owned()],
        made_of: |class| if class == Class::Plain { "wire only" } else { "wire and more" },
    })
}

/// The texts of a part of the page, one after the other.
fn texts(page: &str, from: &str, to: &str) -> String {
    let (_, part) = page.split_once(from).expect("the part is there");
    let (part, _) = part.split_once(to).expect("it ends");
    let pieces = part.split('<').filter_map(|piece| piece.split_once('>')).map(|(_, text)| text.trim());
    pieces.filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" | ")
}

#[test]
fn squares_have_letters_and_the_number_of_their_note() {
    let page = page();
    insta::assert_snapshot!(texts(&page, "<tbody>", "</tbody>"), @"fifteen-pin-game-stick | W | pl | 1 | – | 3 | fifteen-pin-stick = my-stick | T | pa | −2 | 2 | W | pl | 1");
    insta::assert_snapshot!(texts(&page, "<ol>", "</ol>"), @"works: plain, wire only | Lost: actions key. | thin: parts, wire and more, 1 part | Lost: actions key; controls fire, up. | no lead | Why wire does not do it; why chips do not either, | design | tells: | port.2 | is &lt;only&gt; pulled up");
    insta::assert_snapshot!(texts(&page, "id=\"left-out\"", "</section>"), @"Left out | nine-way-serial | : Nine-way serial interface, where no lead belongs: a serial interface (TIA-574): its outputs stand at up to 15 V either side of ground, and nothing in it gives 5 V | broken | : its file has mistakes, which | solderside show broken | tells");
}

#[test]
fn each_square_leads_to_a_note_and_says_in_words_what_it_is() {
    let page = page();
    let links: Vec<&str> =
        page.split("href=\"#note-").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert_eq!(links.len(), 2 * 2, "twins share a row");
    for link in links {
        assert!(page.contains(&format!("id=\"note-{link}\"")), "{link}");
    }
    assert!(page.contains("aria-label=\"fifteen-pin-stick with fifteen-pin-game: thin, parts, 2 lost\""));
    assert!(page.contains("fifteen-pin-stick = my-stick"), "a twin is named beside the first");
}

#[test]
fn the_page_loads_nothing_and_takes_no_markup_from_a_profile() {
    let page = page();
    assert!(page.contains("default-src 'none'"));
    assert!(!page.contains("http://") && !page.contains("https://") && !page.contains(" src="));
    assert!(page.contains("Mine &lt;b&gt;") && !page.contains("Mine <b>"));
}

#[test]
fn what_the_narrow_list_says_has_the_command_of_each_pair() {
    let page = page();
    for [controller, port] in [
        ["fifteen-pin-game-stick", "fifteen-pin-game"],
        ["fifteen-pin-game-stick", "nine-pin-one-fire"],
        ["fifteen-pin-stick", "fifteen-pin-game"],
    ] {
        assert!(
            page.contains(&format!("solderside design {controller} {port}</code>")),
            "{controller} {port}"
        );
    }
}

#[test]
fn a_lead_into_a_pad_names_it_and_can_be_filtered() {
    let square = lead(Verdict::Works, Class::Donor, &[]);
    assert_eq!(headline(&square, |_| "wire into a pad"), "works: donor, wire into a pad my-pad");
    let page = page();
    for class in ["plain", "parts", "donor", "logic"] {
        assert!(page.contains(&format!("name=\"class\" value=\"{class}\"")), "{class}");
    }
}

#[test]
fn a_lead_that_plays_no_direction_stands_below_each_that_does_and_has_a_sign_to_filter_by() {
    let [good, thin] = [Verdict::Works, Verdict::Thin].map(|verdict| lead(verdict, Class::Logic, &["fire"]));
    let none = Square { best: None, reasons: Vec::new(), is_final: false };
    for better in [&good, &thin] {
        assert!(better.merit() < without_directions().merit());
    }
    assert!(without_directions().merit() < none.merit());

    // The first controller plays no direction anywhere, the others all of them by leads that are thin.
    let page = page_of(&[vec![without_directions(); 2], vec![thin.clone(); 2], vec![thin.clone(); 2]]);
    let rank = |name: &str| {
        let row =
            page.split(&format!("<th scope=\"row\" data-name=\"{name}\"")).nth(1).expect("it has a row");
        let rank = row.split("data-rank=\"").nth(1).and_then(|rest| rest.split('"').next());
        rank.and_then(|rank| rank.parse::<usize>().ok()).expect("it has a rank")
    };
    assert!(rank("fifteen-pin-stick my-stick") < rank("fifteen-pin-game-stick"));
    assert_eq!(
        page.matches(
            "<td class=\"works\" data-outcome=\"works\" data-class=\"plain\" data-sign=\"none played (!)\""
        )
        .count(),
        2
    );
    assert_eq!(
        page.matches(
            "<td class=\"thin\" data-outcome=\"thin\" data-class=\"logic\" data-sign=\"played or none read\""
        )
        .count(),
        2
    );
    assert!(page.contains("name=\"sign\" value=\"none played (!)\""));
}

#[test]
fn a_square_that_stands_for_several_pairs_says_so_and_both_names_are_seen_in_the_narrow_list_too() {
    let library = Library::with_shelf(vec![SourceFile::new(
        "my-port.toml",
        "like = \"nine-pin-one-fire\"\ntitle = \"My port\"\n",
    )]);
    let controllers = [library.controller("fifteen-pin-stick").expect("it is sound")];
    let ports: Vec<Port> =
        ["my-port", "nine-pin-one-fire"].map(|name| library.port(name).expect("it is sound")).into();
    let page = atlas_page(Atlas {
        controllers: &controllers,
        ports: &ports,
        squares: &[vec![lead(Verdict::Works, Class::Plain, &[]); 2]],
        left_out: &[],
        unreadable: &[],
        made_of: |_| "wire only",
    });
    assert!(page.contains("for 2 of 2 pairs there is a lead. Profiles that differ in name alone share a row or a column: all 2 pairs stand in 1 square."));
    assert!(page.contains("<span class=\"quiet\">my-port = nine-pin-one-fire</span>"), "{page}");
}

#[test]
fn no_two_classes_have_the_same_letters() {
    for (at, class) in Class::ALL.into_iter().enumerate() {
        assert!(class.as_str().starts_with(short(class)));
        assert!(Class::ALL[..at].iter().all(|other| short(*other) != short(class)), "{class}");
    }
}
