//! Complaints as people see them.

use insta::assert_snapshot;
use solderside_profile::{Library, SourceFile, render};

/// Returns what asking for `mine` says when it is a port's or a controller's file with this text.
fn refusal(text: &str) -> String {
    let library = Library::with_shelf(vec![SourceFile::new("shelf/mine.toml", text)]);
    let refused = if text.contains("stick") {
        library.controller("mine").map(|_| ())
    } else {
        library.port("mine").map(|_| ())
    };
    refused.expect_err("this file has mistakes").render()
}

#[test]
fn a_figure_with_its_unit_says_how_to_write_it() {
    assert_snapshot!(refusal("like = \"nine-pin-one-fire\"\n[contact.7]\namps_max = \"0.1 A\"\n"), @r#"
    error: `amps_max` must be a number, found a text
     --> shelf/mine.toml:3:12
      |
    3 | amps_max = "0.1 A"
      |            ^^^^^^^
      |
      = help: write 0.1; the unit stands in the key

    `mine` has 1 mistake
    "#);
}

#[test]
fn a_sellers_connector_says_the_right_name_and_why() {
    assert_snapshot!(refusal("like = \"nine-pin-one-fire\"\nconnector = \"DB-9 plug\"\n"), @r#"
    error: `DB-9` is a seller's name
     --> shelf/mine.toml:2:13
      |
    2 | connector = "DB-9 plug"
      |             ^^^^^^^^^^^
      |
      = help: write `DE-9`: B is the shell with 25 ways, and 9 ways fit shell E

    `mine` has 1 mistake
    "#);
}

#[test]
fn a_control_on_two_contacts_shows_both_files() {
    assert_snapshot!(refusal("like = \"fifteen-pin-stick\"\n[contact.2]\ncontrol = \"up\"\n"), @r#"
    error: control `up` stands on two contacts
      --> shelf/mine.toml:3:11
       |
     3 | control = "up"
       |           ^^^^ here
       |
      ::: catalogue/controllers/fifteen-pin-stick.toml:46:11
       |
    46 | control = "up"
       |           ^^^^ and here
       |
       = help: give each control one contact, or one of the two another name

    `mine` has 1 mistake
    "#);
}

#[test]
fn all_mistakes_of_a_file_come_at_once_in_their_order() {
    let text = "like = \"nine-pin-one-fire\"
titel = \"Curlew\"
[contact.7]
role = \"suply\"
amps_max = [0.05]
[contact.10]
role = \"unused\"
";
    assert_snapshot!(refusal(text), @r#"
    error: unknown key `titel`
     --> shelf/mine.toml:2:1
      |
    2 | titel = "Curlew"
      | ^^^^^
      |
      = help: write `title`

    error: unknown `role` `suply`
     --> shelf/mine.toml:4:8
      |
    4 | role = "suply"
      |        ^^^^^^^
      |
      = help: write `supply`; known: `supply`, `fed`, `signal`, `return`, `drive`, `data`, `sense`, `axis`, `pot` or `unused`

    error: `amps_max` must be a number, found a list
     --> shelf/mine.toml:5:12
      |
    5 | amps_max = [0.05]
      |            ^^^^^^
      |
      = help: write a number here

    error: a DE-9 plug has no contact 10
     --> shelf/mine.toml:6:10
      |
    6 | [contact.10]
      |          ^^ expected 1 to 9, or `shell`
      |
      = help: correct the contact, or the `connector`

    `mine` has 4 mistakes
    "#);
}

#[test]
fn what_is_unknown_is_answered_with_what_may_be_meant() {
    let library = Library::catalogue();
    assert_snapshot!(library.port("one-fire").unwrap_err().render(), @"
    error: no port is called `one-fire`
      = help: write `nine-pin-one-fire`, `nine-pin-one-fire-keyboard-lines` or `nine-pin-one-fire-second-button-as-level`
    ");
    assert_snapshot!(library.controller("nine-pin-one-fire").unwrap_err().render(), @r#"
    error: `nine-pin-one-fire` is a port, expected a controller
      = help: give the name of a controller
    "#);
}

#[test]
fn a_circle_of_likes_is_shown_as_a_circle() {
    let file = |name: &str, like: &str| {
        SourceFile::new(format!("shelf/{name}.toml"), format!("kind = 'port'\nlike = '{like}'\n"))
    };
    let library = Library::with_shelf(vec![file("a", "b"), file("b", "c"), file("c", "b")]);
    assert_snapshot!(library.port("a").unwrap_err().render(), @"
    error: `like` runs in a circle: `a` → `b` → `c` → `b`
     --> shelf/c.toml:2:8
      |
    2 | like = 'b'
      |        ^^^
      |
      = help: let one of them stand without `like`, or name the profile that it starts from

    `a` has 1 mistake
    ");
}

#[test]
fn a_name_of_the_catalogue_is_not_taken_and_goes_on_meaning_its_profile() {
    let file = SourceFile::new("shelf/nine-pin-one-fire.toml", "like = 'nine-pin-two-trigger'\n");
    let library = Library::with_shelf(vec![file]);
    assert_snapshot!(render(&library.complaints()), @r#"
    error: the name `nine-pin-one-fire` is taken by a profile of the catalogue
     --> shelf/nine-pin-one-fire.toml:1:1
      |
    1 | like = 'nine-pin-two-trigger'
      | ^
      |
      = help: give the file another name, and write `like` in it to start from that one
    "#);
    assert_eq!(library.port("nine-pin-one-fire"), Library::catalogue().port("nine-pin-one-fire"));
}

#[test]
fn a_name_that_two_files_of_the_shelf_have_means_neither() {
    let file = |path: &str| SourceFile::new(path, "like = 'nine-pin-one-fire'\n");
    let library = Library::with_shelf(vec![file("shelf/mine.toml"), file("shelf/leads/mine.toml")]);
    assert_snapshot!(library.port("mine").unwrap_err().render(), @"
    error: the name `mine` is taken by `shelf/mine.toml`
     --> shelf/leads/mine.toml:1:1
      |
    1 | like = 'nine-pin-one-fire'
      | ^
      |
      = help: give the file another name, and write `like` in it to start from that one

    `mine` has 1 mistake
    ");
}

#[test]
fn an_action_that_no_step_reads_is_shown_with_the_steps() {
    let steps = "[[step]]\nname = \"read\"\nsample = [\"up\", \"down\", \"left\", \"right\"]\n";
    assert_snapshot!(refusal(&format!("like = \"nine-pin-one-fire\"\n{steps}")), @r#"
    error: no step reads `fire`
      --> shelf/mine.toml:2:1
       |
     2 | [[step]]
       | ^^^^^^^^
       |
      ::: catalogue/ports/nine-pin-one-fire.toml:45:10
       |
    45 | action = "fire"
       |          ^^^^^^ the action
       |
       = help: add it to a step's `sample`, or take the action from its contact

    `mine` has 1 mistake
    "#);
}

#[test]
fn a_supply_behind_nothing_says_what_to_write() {
    assert_snapshot!(refusal("like = \"nine-pin-one-fire\"\n[contact.7]\nohms = [0, 0.5, 2]\n"), @"
    error: `ohms` of a supply must be above 0, found 0
     --> shelf/mine.toml:3:8
      |
    3 | ohms = [0, 0.5, 2]
      |        ^^^^^^^^^^^
      |
      = help: nothing is without resistance; leave `ohms` out if you do not know it

    `mine` has 1 mistake
    ");
}

#[test]
fn a_leg_that_the_chip_lacks_shows_the_part() {
    let text = "like = \"nine-pin-register-pad-8-bit\" # a stick
[part.u1]
chip = \"CD4021\"
[inside.switches]
a = \"u1.17 - 8\"
b = \"u2.1 - 8\"
";
    assert_snapshot!(refusal(text), @r#"
    error: `u1` has no leg 17: a CD4021 has 16
     --> shelf/mine.toml:5:5
      |
    2 | [part.u1]
      |       -- the part
    ...
    5 | a = "u1.17 - 8"
      |     ^^^^^^^^^^^
      |
      = help: write a leg from 1 to 16

    error: there is no part `u2`
     --> shelf/mine.toml:6:5
      |
    6 | b = "u2.1 - 8"
      |     ^^^^^^^^^^
      |
      = help: write `u1`, or add `[part.u2]`

    `mine` has 2 mistakes
    "#);
}

#[test]
fn a_chip_of_an_unknown_name_is_answered_with_the_nearest() {
    let text = "like = \"nine-pin-register-pad-8-bit\" # a stick\n[part.u1]\nchip = \"CD4012\"\n";
    assert_snapshot!(refusal(text), @r#"
    error: unknown `chip` `CD4012`
     --> shelf/mine.toml:3:8
      |
    3 | chip = "CD4012"
      |        ^^^^^^^^
      |
      = help: write `CD4014`; known: `74HC157`, `74HCT157`, `74LS157`, `74HC165`, `CD4021`, `CD4014`, `74HC125`, `74HCT125`, `74HC244`, `74HCT244`, `74HC04`, `74HCT04`, `74HC05`, `74HC00`, `74HCT00`, `74HC03`, `74HC4066`, `CD4066`, `74HC393` or `74LS145`

    `mine` has 1 mistake
    "#);
}

#[test]
fn what_is_joined_wrongly_inside_is_shown_where_it_stands() {
    let text = "format = 1
kind = \"controller\" # a stick
connector = \"DE-9 socket\"
switch = \"leaf\"
[contact.1]
role = \"wired\"
called = \"line\"
[contact.2]
role = \"unused\"
[contact.8]
role = \"common\"
[inside]
joins = [\"d1.cathode - 1\", \"d1.kathode - 2\", \"2 - 1\"]
[inside.switches]
a = \"d1.anode - 8\"
b = \"1 - d1.cathode\"
[part.d1]
diode = \"1N4148\"
[part.r1]
ohms = 100
";
    assert_snapshot!(refusal(text), @r#"
    error: `d1` has no leg `kathode`
      --> shelf/mine.toml:13:28
       |
    13 | joins = ["d1.cathode - 1", "d1.kathode - 2", "2 - 1"]
       |                            ^^^^^^^^^^^^^^^^
       |
       = help: write `d1.anode` or `d1.cathode`

    error: contact 2 is `unused`, but joined inside
      --> shelf/mine.toml:13:46
       |
     9 | role = "unused"
       |        -------- the role
    ...
    13 | joins = ["d1.cathode - 1", "d1.kathode - 2", "2 - 1"]
       |                                              ^^^^^^^
       |
       = help: correct its role, to `wired` if parts inside lead there, or name another spot

    error: the switch of `b` closes nothing: `1` and `d1.cathode` are joined anyway
      --> shelf/mine.toml:16:5
       |
    16 | b = "1 - d1.cathode"
       |     ^^^^^^^^^^^^^^^^
       |
       = help: name the two spots that it joins when pressed

    error: the part `r1` is joined to nothing
      --> shelf/mine.toml:19:7
       |
    19 | [part.r1]
       |       ^^
       |
       = help: add a join such as `r1.1 - 5` to `[inside]`, or take the part out

    `mine` has 4 mistakes
    "#);
}

#[test]
fn a_script_that_contradicts_itself_is_told_step_by_step() {
    let text = "like = \"nine-pin-select\"
[[step]]
name = \"select-high\"
drive = { 7 = \"toggled\", 8 = \"low\" }
hold_seconds = \"14 µs\"
reads = { 1 = \"up\", 2 = \"up\", 3 = \"left\", 4 = \"right\", 5 = \"b\" }
expects = { 3 = \"low\", 5 = \"high\" }
";
    assert_snapshot!(refusal(text), @r#"
    error: no step reads contact 6, a `data` line
      --> shelf/mine.toml:2:1
       |
     2 | [[step]]
       | ^^^^^^^^
       |
      ::: catalogue/ports/nine-pin-select.toml:48:8
       |
    48 | role = "data"
       |        ^^^^^^ the role
       |
       = help: add `reads = { 6 = "NAME" }` to a step, or correct the role

    error: no step reads contact 9, a `data` line
      --> shelf/mine.toml:2:1
       |
     2 | [[step]]
       | ^^^^^^^^
       |
      ::: catalogue/ports/nine-pin-select.toml:63:8
       |
    63 | role = "data"
       |        ^^^^^^ the role
       |
       = help: add `reads = { 9 = "NAME" }` to a step, or correct the role

    error: contact 7 is toggled, but the step before does not drive it
     --> shelf/mine.toml:4:11
      |
    4 | drive = { 7 = "toggled", 8 = "low" }
      |           ^
      |
      = help: write `low` or `high`, or drive it in the step before

    error: a step drives contact 8, which is no `drive`
     --> shelf/mine.toml:4:26
      |
    4 | drive = { 7 = "toggled", 8 = "low" }
      |                          ^
      |
      = help: drive contacts: `7`

    error: `hold_seconds` must be a number, found a text
     --> shelf/mine.toml:5:16
      |
    5 | hold_seconds = "14 µs"
      |                ^^^^^^^
      |
      = help: write 0.000014; the unit stands in the key

    error: `up` is read from contacts 1 and 2
     --> shelf/mine.toml:6:25
      |
    6 | reads = { 1 = "up", 2 = "up", 3 = "left", 4 = "right", 5 = "b" }
      |               ----      ^^^^
      |               |
      |               the first one
      |
      = help: let all steps read it from one contact, or give one of the two another name

    error: a step reads `b` from contact 5, which is no `data` line
     --> shelf/mine.toml:6:56
      |
    6 | reads = { 1 = "up", 2 = "up", 3 = "left", 4 = "right", 5 = "b" }
      |                                                        ^
      |
      = help: data contacts: `1`, `2`, `3`, `4`, `6` and `9`

    error: contact 3 is read for `left` and expected to be low
     --> shelf/mine.toml:7:13
      |
    7 | expects = { 3 = "low", 5 = "high" }
      |             ^
      |
      = help: whatever is pressed, it cannot be both: take it out of one of the two

    error: a step expects a level of contact 5, where the machine reads none
     --> shelf/mine.toml:7:24
      |
    7 | expects = { 3 = "low", 5 = "high" }
      |                        ^
      |
      = help: take it out of `expects`, or give the contact `role = "data"`

    `mine` has 9 mistakes
    "#);
}

#[test]
fn an_axis_with_an_input_of_levels_shows_that_input() {
    let text = "like = \"fifteen-pin-game\"\n[contact.3]\ninput = \"button\"\n";
    assert_snapshot!(refusal(text), @r#"
    error: axis contact 3 has the input `button`, which measures nothing
      --> shelf/mine.toml:3:9
       |
     3 | input = "button"
       |         ^^^^^^^^
       |
      ::: catalogue/ports/fifteen-pin-game.toml:13:8
       |
    13 | [input.button]
       |        ^^^^^^ that input
       |
       = help: give the input `charge_farads`, `series_ohms` and `threshold_share`, or name another one

    `mine` has 1 mistake
    "#);
}

#[test]
fn a_script_beyond_the_limit_is_refused_in_words() {
    let steps: Vec<String> = (0..=20_000).map(|step| format!("{{name=\"s{step}\"}}")).collect();
    let text = format!("like = \"nine-pin-one-fire\"\nstep = [{}]\n", steps.join(","));
    let refusal = refusal(&text);
    let headline = refusal.lines().next().expect("a headline");
    assert_snapshot!(headline, @"error: the reading script has 20001 steps, more than 20000");
    assert!(refusal.contains("leave out what repeats"), "{}", &refusal[refusal.len() - 200..]);
}

#[test]
fn a_file_without_anything_is_told_what_to_write() {
    assert_snapshot!(refusal("kind = \"port\"\nconnector = \"game port\"\n"), @r#"
    error: the key `contact` is missing
     --> shelf/mine.toml:1:1
      |
    1 | kind = "port"
      | ^
      |
      = help: add `contact = …`, or take it over with `like = "NAME"`: what is known of each contact

    error: the key `format` is missing
     --> shelf/mine.toml:1:1
      |
    1 | kind = "port"
      | ^
      |
      = help: add `format = 1`, or take it over with `like = "NAME"`: the number of the file format

    error: the key `rail_volts` is missing
     --> shelf/mine.toml:1:1
      |
    1 | kind = "port"
      | ^
      |
      = help: add `rail_volts = …`, or take it over with `like = "NAME"`: the rail in the machine on which its pull-ups hang

    error: `game` is no connector
     --> shelf/mine.toml:2:13
      |
    2 | connector = "game port"
      |             ^^^^^^^^^^^
      |
      = help: write `DE-9`, `DA-15`, `DE-15 high density`, `DB-25`, `mini-DIN 8`, `DIN 5/180`, `DIN 8/262`, `DIN 8/270`, `edge 28x2` or `terminals N`; all but terminals with `plug` or `socket` behind

    `mine` has 4 mistakes
    "#);
}

#[test]
fn a_voltage_with_its_unit_is_told_as_a_triple_at_once() {
    let port = |volts: &str| {
        let start = "like = \"nine-pin-one-fire\"\nkind = \"port\"\n[contact.7]\nrole = \"supply\"\n";
        refusal(&format!("{start}volts = {volts}\n"))
    };
    assert_snapshot!(port("+5v"), @"
    error: broken TOML: string values must be quoted, expected literal string
     --> shelf/mine.toml:5:9
      |
    5 | volts = +5v
      |         ^^^ not understood
      |
      = help: write `volts = [4.75, 5, 5.25]`; the unit stands in the key

    `mine` has 1 mistake
    ");
    assert_snapshot!(port("\"+5 V\""), @r#"
    error: `volts` must be [low, typical, high], found a text
     --> shelf/mine.toml:5:9
      |
    5 | volts = "+5 V"
      |         ^^^^^^
      |
      = help: write `[4.75, 5, 5.25]`, [low, typical, high] without units

    `mine` has 1 mistake
    "#);
    assert_snapshot!(port("5"), @"
    error: `volts` must be [low, typical, high], found a whole number
     --> shelf/mine.toml:5:9
      |
    5 | volts = 5
      |         ^
      |
      = help: write `[4.75, 5, 5.25]`, [low, typical, high] without units

    `mine` has 1 mistake
    ");
}

#[test]
fn a_role_in_other_words_is_told_in_ours() {
    let port = |role: &str| {
        refusal(&format!("like = \"nine-pin-one-fire\"\nkind = \"port\"\n[contact.9]\nrole = \"{role}\"\n"))
    };
    for (role, help) in [
        ("ground", "write `role = \"return\"`"),
        ("power", "write `role = \"supply\"` and its `volts`"),
        ("fire", "write `action = \"fire\"`: it is no role"),
        ("strobe", "write `role = \"drive\"`"),
    ] {
        let told = port(role);
        assert!(told.contains(&format!("= help: {help}\n")), "{told}");
    }
    assert_snapshot!(refusal("like = \"nine-pin-one-fire\"\nkind = \"port\"\n[contact]\n1 = \"up\"\n"), @r#"
    error: contact `1` must be a table, found a text
     --> shelf/mine.toml:4:1
      |
    4 | 1 = "up"
      | ^
      |
      = help: write `[contact.1]`, and on the next line `action = "up"`

    `mine` has 1 mistake
    "#);
}
