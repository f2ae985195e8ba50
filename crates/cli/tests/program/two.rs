//! Leads with two controller ends.

use crate::bench::Bench;

const LEAD: &str = include_str!("../../../../demo/leads/heron-stick-to-curlew-with-pass-through.toml");

fn with_lead() -> Bench {
    let bench = Bench::demo();
    bench.put("two.toml", LEAD);
    bench
}

#[test]
fn a_pass_through_is_proved_empty_and_with_its_stick_and_either_is_read() {
    let (code, proof) = with_lead().json("prove two");
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    let stands = |at: usize| proof["settings"][at]["stands"]["plugged"].clone();
    assert_eq!([stands(0), stands(1), stands(2)], ["controller", "both", "controller-2"]);
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
            Some(3),
        ),
        (
            "--second nine-pin-stick-with-one-button --through",
            "heron-stick-to-curlew-with-pass-through",
            Some(3),
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
    let told = bench.run("timing two --press second-up --stands both").sound();
    assert!(
        told.starts_with("With both controllers plugged in; to see it otherwise, add `--stands controller`"),
        "{told}"
    );
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
fn the_guide_tells_each_end_and_each_cord_and_tests_the_lead_once() {
    let bench = with_lead();
    _ = bench.run("guide two --drawing lead.svg").sound();
    let page = bench.read("two-guide.html");
    for words in [
        "All connectors are seen from behind",
        "Controller 1 end",
        "Controller 2 end",
        "With nothing plugged into the controller 2 end",
        "With both controllers plugged in",
        "Cut 2 cords of 1.5 m each",
        "(controller at the controller 2 end)",
        "Both cords go into the hood of the port end",
        "Plug both controllers into the lead",
        "found nowhere at the controller ends",
        "<code>second-up</code> is its",
    ] {
        assert!(page.contains(words), "{words}");
    }
    for (once, times) in [
        ("The lead alone: ", 1),
        ("<caption>Machine on, lead plugged in", 1),
        ("held and let go</caption>", 2),
    ] {
        assert_eq!(page.matches(once).count(), times, "{once}");
    }
    let drawing = bench.read("lead.svg");
    for end in ["Controller 1 end: DA-15 socket", "Controller 2 end: DE-9 plug", "Port end: DE-9 socket"] {
        assert!(drawing.contains(end), "{end}");
    }
}

#[test]
fn of_an_end_that_nobody_names_the_guide_tests_the_supply_and_plugs_in_one_controller() {
    let bench = Bench::demo();
    _ = bench.run("guide heron-stick curlew --through --out open.html").sound();
    let page = bench.read("open.html");
    assert!(page.contains("Supply at the controller 2 end"));
    let (before, after) = page.split_once("Where no supply belongs").expect("the other end is tested too");
    assert!(!before.contains("Plug the controller in,"), "nothing is plugged in before all is right");
    assert!(after.contains("Plug the controller in,") && !page.contains("Plug both controllers"));
}

#[test]
fn a_chosen_cable_is_no_two_cords() {
    let bench = with_lead();
    let told = bench.run("guide two --cable ten-core-control").wrong();
    assert!(told.contains("leads with two cords in a chosen cable are not made"), "{told}");
}

#[test]
fn all_ends_are_buzzed_out_with_nothing_plugged_in_and_each_switch_through_the_lead() {
    let bench = with_lead();
    let (code, test) = bench.json("buzz two");
    assert_eq!(code, 0);
    let legs = |step: &serde_json::Value| {
        [&step["red"], &step["black"]].map(|leg| leg.as_str().expect("a contact").to_owned())
    };
    let steps = test["steps"].as_array().expect("steps");
    // An open reading has no upper end.
    let wire: Vec<[String; 2]> =
        steps.iter().filter(|step| step["good"]["high"].is_number()).map(legs).collect();
    for contact in [1, 2, 3, 4, 6, 8] {
        let own = format!("controller-2.{contact}");
        assert!(wire.iter().flatten().any(|leg| *leg == own), "{own} has wire");
    }
    let shell = "controller-2.shell".to_owned();
    assert!(steps.iter().any(|step| legs(step).contains(&shell)), "its shell is looked at");
    let told = bench.run("buzz two").sound();
    assert!(told.contains("Plug both controllers into the lead") && told.contains("second-up"), "{told}");
    _ = bench.run("buzz two --table test.html").sound();
    assert!(bench.read("test.html").contains("second-up"));
}

fn diagnosed(bench: &Bench, options: &str, said: &[&str]) -> (i32, serde_json::Value) {
    let ran = bench.typed(&format!("diagnose two --json {options}"), said, "");
    assert_eq!(ran.err, "", "{}", ran.out);
    (ran.code, serde_json::from_str(&ran.out).expect("it answers in JSON"))
}

#[test]
fn what_either_stick_does_tells_where_a_lead_for_two_is_broken() {
    let bench = with_lead();
    // Both sticks have the line and the return of the port in common, so it is the second cord.
    for dead in ["second-up does nothing", "up on controller-2 did nothing"] {
        let (code, answer) = diagnosed(&bench, "", &[dead, "up works", "second-down works"]);
        let told = answer["explanations"][0]["either"].to_string();
        assert!(code == 1 && told.contains("controller-2.1 - port.1"), "{dead}: {told}");
    }
    let (code, answer) = diagnosed(&bench, "", &["second-up does nothing", "up does nothing", "down works"]);
    let shared = answer["explanations"].to_string();
    assert!(code == 1 && shared.contains("the machine does not read its contact 1"), "{shared}");
    let (code, answer) = diagnosed(&bench, "", &["everything works"]);
    assert_eq!((code, &answer["explanations"][0]["either"][0]), (0, &serde_json::json!([])));
    // Who says it of all controls had both sticks plugged in; the first alone says nothing of the second's end.
    let good = answer["explanations"][0]["share"].as_f64();
    let (_, alone) = diagnosed(&bench, "--stands controller", &["everything works"]);
    assert!(alone["explanations"][0]["share"].as_f64() < good);
    assert!(alone["explanations"].to_string().contains("the controller-2 end is wired mirrored"));
    assert!(!answer["explanations"].to_string().contains("is wired mirrored"));
}

#[test]
fn an_action_that_is_on_with_one_stick_unplugged_is_not_that_sticks_fault() {
    let bench = with_lead();
    let dirty = |said: &[&str]| {
        let (_, answer) = diagnosed(&bench, "", said);
        answer["explanations"]
            .to_string()
            .contains("the contact of `second-up` in the controller-2 is always closed")
    };
    assert!(dirty(&["up is always on"]), "nothing says what was plugged in");
    assert!(!dirty(&["up is always on with nothing plugged into controller-2"]));
    assert!(dirty(&["up is always on", "up is always on with nothing plugged into `controller`"]));
}

#[test]
fn a_press_says_what_is_plugged_in_and_a_control_that_is_not_is_refused() {
    let bench = with_lead();
    let wrong = |said: &str| bench.typed("diagnose two", &[said], "").wrong();
    let told = wrong("second-up works with nothing plugged into controller-2");
    assert!(told.contains("`second-up` is not plugged in then"), "{told}");
    assert!(wrong("secnd-up works").contains("write `second-up`"));
    assert!(wrong("up works at both").contains("write such as `with both controllers plugged in`"));
    let told = bench.run("diagnose two --stands controler").wrong();
    assert!(told.contains("write `controller`"), "{told}");
    assert!(wrong("up on controler-2 works").contains("is no control of this lead"));
    // No meter sees a stuck contact at the lead alone, so that it is read or pressed with one stick alone.
    let mut said = vec!["up is always on".to_owned()];
    let asked = (0..20).find_map(|_| {
        let (_, answer) = diagnosed(&bench, "", &said.iter().map(String::as_str).collect::<Vec<_>>());
        let next = &answer["next"];
        if let Some(plugged) = next["stands"]["plugged"].as_str() {
            return Some(plugged.to_owned());
        }
        let sentence = next["measure"]["sentence"].as_str()?;
        let good = if next["measure"]["good"][1].is_number() { "0.4" } else { "open" };
        said.push(format!("{sentence} {good}"));
        None
    });
    assert!(asked.is_some(), "{said:?}");
}

#[test]
fn a_second_end_comes_in_and_goes_out_like_any_other() {
    let bench = with_lead();
    let (code, into) = bench.json("compare heron-stick curlew two");
    // A connector and six conductors.
    assert_eq!((code, &into["moves"], &into["fewest"]), (0, &7.into(), &false.into()));
    assert_eq!(
        (into["steps"][0]["act"].as_str(), into["steps"][0]["end"].as_str()),
        (Some("refit"), Some("controller-2"))
    );
    assert!(into["steps"][0]["text"].as_str().is_some_and(|text| text.contains("at a cord of its own")));
    assert_eq!(into["stays"].as_array().map(Vec::len), Some(6));
    let (code, out) = bench.json("compare two heron-stick curlew");
    assert_eq!((code, &out["moves"]), (0, &7.into()));
    assert!(
        out["controls"].to_string().contains("`second-up` is gone; it played `up`."),
        "{}",
        out["controls"]
    );
}

#[test]
fn a_port_alone_goes_with_both_controllers_of_the_first_lead() {
    let bench = with_lead();
    assert!(bench.run("compare two curlew").sound().starts_with("nothing changes\n"));
    let (code, to_teal) = bench.json("compare two teal");
    assert_eq!((code, &to_teal["moves"]), (0, &1.into()), "{to_teal:#}");
    assert_eq!(to_teal["rewired"]["joins"].as_array().map(Vec::len), Some(13));
    // No end is for something else than before, and the sticks have other plugs: then the least is known.
    bench.put("jumps.toml", LEAD.replace("  \"controller.15 - port.1\",\n", "  \"controller.15 - port.1\",\n  \"controller.5 - port.1\",\n  \"controller.8 - controller.1\",\n"));
    let (_, added) = bench.json("compare two jumps");
    assert_eq!((&added["moves"], &added["fewest"]), (&2.into(), &true.into()), "{added:#}");
}

#[test]
fn what_else_goes_into_each_of_the_three_ends_is_told_with_the_end() {
    let bench = with_lead();
    let (_, answer) = bench.json("fits two");
    let fittings = answer["fittings"].as_array().expect("a list");
    let at = |name: &str| {
        let own = fittings.iter().find(|fitting| fitting["name"] == name).unwrap_or_else(|| panic!("{name}"));
        [&own["end"], &own["fit"]].map(|word| word.as_str().expect("a word").to_owned())
    };
    assert_eq!(at("curlew-plus"), ["port", "works"]);
    assert_eq!(at("fifteen-pin-stick"), ["controller", "works"]);
    assert_eq!(at("nine-pin-stick-with-two-buttons"), ["controller-2", "works"]);
    assert_eq!(at("plover"), ["port", "never"]);
    // Two-key rollover of one controller is not proved beside another one, and nobody shall take that for safe.
    let keypad = fittings.iter().find(|fitting| fitting["name"] == "whimbrel-stick").expect("its plug fits");
    assert_eq!([&keypad["fit"], &keypad["verdict"]], ["never", "unproved"]);
    assert_eq!(keypad["harmless"], false);
    let told = bench.run("fits two").sound();
    assert!(told.contains("(controller at\n  `controller-2`)"), "{told}");
}
