//! Leads with two controller ends.

use crate::bench::Bench;

const LEAD: &str = "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"curlew\"\n\
    second = \"nine-pin-stick-with-one-button\"\nthrough = true\njoins = [\n\
    \"controller.15 - port.1\", \"controller.7 - port.2\", \"controller.14 - port.3\", \"controller.6 - port.4\",\n\
    \"controller.13 - port.6\", \"controller.1 - port.8\",\n\
    \"controller-2.1 - port.1\", \"controller-2.2 - port.2\", \"controller-2.3 - port.3\", \"controller-2.4 - port.4\",\n\
    \"controller-2.6 - port.6\", \"controller-2.8 - port.8\",\n]\n";

fn with_lead() -> Bench {
    let bench = Bench::demo();
    bench.put("two.toml", LEAD);
    bench
}

#[test]
fn a_pass_through_is_proved_empty_and_with_its_stick_and_either_is_read() {
    let (code, proof) = with_lead().json("prove two");
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    let stands = |at: usize| proof["settings"][at]["stands"]["controller-2"].clone();
    assert_eq!([stands(0), stands(1)], ["empty", "plugged"]);
    assert_eq!(proof["settings"][0]["play"]["up"].to_string(), r#"["up"]"#);
    assert_eq!(proof["settings"][1]["play"]["up"].to_string(), r#"["up","second-up"]"#);
    assert_eq!(proof["lead"]["ends"][1]["end"], "controller-2");
}

#[test]
fn of_a_further_end_of_which_nobody_says_what_goes_in_only_that_it_is_empty_is_proved() {
    let bench = Bench::demo();
    bench.put("open.toml", LEAD.replace("second = \"nine-pin-stick-with-one-button\"\n", ""));
    let told = bench.run("prove open").sound();
    assert!(
        told.contains("build-unknown-end: the verdict is about nothing plugged into `controller-2`"),
        "{told}"
    );
}

#[test]
fn a_second_stick_that_is_wished_is_designed_saved_and_proved_again_from_its_file() {
    let bench = Bench::demo();
    for (wish, name, settings) in [
        (
            "--second nine-pin-stick-with-one-button",
            "heron-stick-to-curlew-with-nine-pin-stick-with-one-button",
            None,
        ),
        (
            "--second nine-pin-stick-with-one-button --through",
            "heron-stick-to-curlew-with-pass-through",
            Some(2),
        ),
        ("--through --force", "heron-stick-to-curlew-with-pass-through", Some(1)),
    ] {
        let (code, designed) = bench.json(&format!("design heron-stick curlew {wish} --save"));
        assert_eq!((code, &designed["options"][0]["verdict"]), (0, &"works".into()), "{wish}");
        assert_eq!(designed["saved"], format!("{name}.toml"));
        let (code, proof) = bench.json(&format!("prove {name}"));
        assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
        assert_eq!(proof["settings"].as_array().map(Vec::len), settings, "{wish}");
        assert_eq!(proof["findings"], designed["options"][0]["findings"]);
        assert_eq!(bench.read(&format!("{name}.toml")).contains("\nsecond = \""), wish.contains("--second"));
    }
}

#[test]
fn a_second_stick_whose_profile_has_changed_since_is_told() {
    let bench = Bench::demo();
    let stick = "format = 1\nlike = \"nine-pin-stick-with-one-button\"\n";
    bench.put("own-stick.toml", stick);
    _ = bench.run("design heron-stick curlew --second own-stick --save two.toml").sound();
    assert!(!bench.run("prove two").sound().contains("build-stale"));
    bench.put("own-stick.toml", format!("{stick}switch = \"metal-dome\"\n"));
    let told = bench.run("prove two").sound();
    assert!(told.contains("build-stale: the profile `own-stick` has changed"), "{told}");
}

#[test]
fn a_second_stick_that_cannot_be_wished_so_is_refused() {
    let bench = Bench::demo();
    for (wish, what) in [
        ("--second nope", "no controller is called `nope`"),
        ("--second curlew", "`curlew` is a port"),
        ("--second heron-stick --through", "does not go into `plover`, whose contacts are passed through"),
        ("--second fifteen-pin-analogue-stick-with-keypad", "one has two-key rollover"),
        ("--second heron-stick --donor bittern-pad", "and a donor or a program is asked for"),
        ("--through --class program", "and a donor or a program is asked for"),
        ("--second heron-stick --cable ten-core-control", "a lead with two cords"),
        ("--second heron-stick --play fire=secnd-a", "write `second-a`"),
        ("--second heron-stick --must q", "`heron-stick` with `heron-stick` has no control `q`"),
    ] {
        let told = bench.run(&format!("design heron-stick plover {wish}")).wrong();
        assert!(told.contains(what), "{wish}: {told}");
    }
    for (wish, what) in [
        ("--second heron-pad", "`heron-pad` has chips, which drive their lines"),
        ("--second nine-pin-paddles", "`nine-pin-paddles` has axes"),
    ] {
        let told = bench.run(&format!("design heron-stick plover {wish}")).found();
        assert!(told.contains(what) && told.contains("without it a lead exists"), "{wish}: {told}");
    }
    let told = bench.run("prove heron-stick-to-plover --second heron-stick").wrong();
    assert!(!told.is_empty());
}

#[test]
fn a_run_of_the_machine_tells_what_is_plugged_in() {
    let bench = with_lead();
    let told = bench.run("timing two --press second-up --stands plugged").sound();
    assert!(told.starts_with("With a controller plugged into `controller-2`:"), "{told}");
    assert!(told.contains("up; not down"), "{told}");
    let told = bench.run("timing two --press second-up").wrong();
    assert!(told.contains("no control `second-up`"), "{told}");
}

#[test]
fn who_plays_what_is_changed_in_its_file_and_the_second_may_lose_its_turn() {
    let bench = with_lead();
    let told = bench.run("play two fire=a").found();
    assert!(
        told.contains(
            "design heron-stick curlew --second nine-pin-stick-with-one-button --through --play fire=a"
        ),
        "{told}"
    );
    let told = bench.run("play two fire=a,second-a").sound();
    assert!(bench.read("two.toml").contains("fire = [\"a\", \"second-a\"]"), "{told}");
}

#[test]
fn what_is_not_made_of_a_lead_with_two_controller_ends_is_said() {
    let bench = with_lead();
    for (command, what) in [
        ("guide two", "guides"),
        ("buzz two", "meter tests"),
        ("diagnose two", "diagnoses"),
        ("compare two curlew", "comparisons"),
        ("fits two", "lists of where else to plug"),
    ] {
        let told = bench.run(command).wrong();
        assert!(told.contains(&format!("{what} of leads with two controller ends are not made")), "{told}");
    }
}
