//! That what is told to be done points at what is wrong.

use crate::bench::Bench;

#[test]
fn a_missing_join_is_told_of_the_control_that_lacks_it() {
    let bench = Bench::demo();
    bench.run("design heron-stick plover --save").sound();
    let told = bench.run("play heron-stick-to-plover up=up,b second-fire=").found();
    assert!(told.contains("mend: join `controller.5` to `port.1`; `b` asks for it\n"), "{told}");
    assert!(told.ends_with(
        "To have the map as it was\n  solderside play heron-stick-to-plover second-fire=b up=up\n"
    ));
    bench.run("play heron-stick-to-plover second-fire=b up=up").sound();
}

#[test]
fn a_diode_that_drops_too_much_is_told_with_one_that_drops_less() {
    let told = Bench::demo().run("design heron-stick plover --play up=up,b").sound();
    assert!(
        told.contains("mend: d1, a 1N4148, drops up to 0.621 V of it: the Schottky diode BAT85 would drop"),
        "{told}"
    );
    assert!(!told.contains("thicker"), "{told}");
}

#[test]
fn a_supply_that_is_shorted_is_told_where_a_line_sags_with_it() {
    let told = Bench::demo().run("prove heron-stick curlew --join 13-7").found();
    assert!(
        told.contains("the supply is shorted here: port.7 – controller.13 – controller.1 – port.8"),
        "{told}"
    );
    assert!(!told.contains("thicker"), "{told}");
}

#[test]
fn a_worn_contact_is_not_measured_against_a_limit_that_a_diode_has_used_up() {
    let bench = Bench::demo();
    bench.put("worn.toml", "like = \"heron-stick\"\nswitch = \"carbon-dome\"\n");
    let told = bench.run("design worn avocet").sound();
    assert!(told.contains("a contact worn to 1 kΩ"), "{told}");
    assert!(!told.contains("wants at most"), "{told}");
}

#[test]
fn the_heads_of_an_active_high_port_say_what_its_levels_mean() {
    let told = Bench::demo().run("design heron-stick nine-pin-active-high").sound();
    let head = told.lines().find(|line| line.contains("margin") && line.contains("active"));
    let words: Vec<&str> = head.unwrap_or_default().split_whitespace().collect();
    assert_eq!(words.join(" "), "action contact active high from idle low up to margin");
}

#[test]
fn a_common_on_an_output_is_told_of_where_the_port_has_a_return() {
    let told = Bench::demo().run("prove heron-stick plover --join 1-8").sound();
    assert!(told.contains("the common `controller.1` goes home through `port.8` (output)"), "{told}");
    assert!(told.contains("low at rest on many machines, but not ground (`port.8`)"), "{told}");
}

#[test]
fn a_fire_that_no_button_gets_is_told_with_the_line_that_gives_it_one() {
    let bench = Bench::demo();
    let port = "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [4.75, 5, 5.25]\n\
                [input.line]\nfamily = \"sound-port\"\n[contact.1]\naction = \"up\"\n[contact.6]\naction = \"fire\"\n\
                [contact.8]\nrole = \"return\"\n";
    bench.put("mine.toml", port);
    let (_, answer) = bench.json("design heron-stick mine");
    let findings = answer["options"][0]["findings"].as_array().cloned().unwrap_or_default();
    let lost = findings.iter().find(|finding| finding["code"] == "read-lost-action");
    let remedy = lost.and_then(|finding| finding["remedy"].as_str()).unwrap_or_default();
    assert!(
        remedy.contains("`fire` is not in the port's `fire_order`: with `fire_order = [\"fire\"]`"),
        "{remedy}"
    );
    bench.put("mine.toml", format!("fire_order = [\"fire\"]\n{port}"));
    assert!(!bench.run("design heron-stick mine").sound().contains("read-lost-action"));
}

#[test]
fn a_file_like_nothing_is_told_what_may_have_been_meant_and_no_more() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = \"nine-pin-on-fire\"\ntitel = \"Mine\"\n");
    bench.put("own.toml", "like = \"own\"\n");
    bench.put("empty.toml", "\n");
    insta::assert_snapshot!(bench.run("show mine").wrong(), @r#"
    error: nothing is called `nine-pin-on-fire`
     --> mine.toml:1:8
      |
    1 | like = "nine-pin-on-fire"
      |        ^^^^^^^^^^^^^^^^^^
      |
      = help: write `nine-pin-one-fire`

    error: `mine` has 1 mistake
    "#);
    let told = bench.run("show own").wrong();
    assert!(told.starts_with("error: `like` runs in a circle: `own` → `own`"), "{told}");
    let told = bench.run("show empty").wrong();
    assert!(told.starts_with("error: the file is empty"), "{told}");
}

#[test]
fn what_a_way_goes_without_stands_in_the_table_of_ways() {
    let told = Bench::demo().run("design heron-stick plover --play up=up,b").sound();
    assert!(told.contains("14 joints          wire only\n"), "{told}");
    assert!(told.contains("  2. loses `second-fire`; controls `c`, `d`, `select`, `start`\n"), "{told}");
    assert!(told.contains("there is no plain lead (wire only) with all that was asked\n"), "{told}");
}

#[test]
fn facts_that_forbid_each_by_itself_and_findings_that_say_the_same_stand_together() {
    let told = Bench::demo().run("design heron-pad avocet").found();
    assert_eq!(told.matches("forbids it").count(), 1, "{told}");
    assert!(told.contains("and the port has no supply"), "{told}");
    assert!(told.matches("drive-unproved").count() <= 1, "{told}");
}

#[test]
fn a_second_wish_without_its_option_is_told_where_the_option_goes() {
    let told = Bench::demo().run("design heron-stick plover --play up=up,b second-fire=").wrong();
    assert!(told.contains("= help: write `--play second-fire=`: the option goes before each wish"), "{told}");
}

#[test]
fn what_would_steer_a_terminal_is_shown_and_not_sent() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = \"curlew\"\ntitle = \"\\u001b[2Jgone\"\n");
    assert!(bench.run("show mine").sound().starts_with("·[2Jgone (port `mine`)"));
}
