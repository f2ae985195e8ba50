//! Leads with a switch of their own.

use crate::bench::Bench;

const LEAD: &str = include_str!("../../../../demo/leads/heron-stick-to-plover-with-mode-switch.toml");
const NAME: &str = "heron-stick-to-plover-with-mode-switch";

fn with_lead() -> Bench {
    let bench = Bench::demo();
    bench.put(&format!("{NAME}.toml"), LEAD);
    bench
}

#[test]
fn the_demos_lead_with_a_switch_works_and_tells_what_plays_in_each_position() {
    let (code, proof) = with_lead().json(&format!("prove {NAME}"));
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    let play = |at: usize| (&proof["settings"][at]["stands"]["mode"], &proof["settings"][at]["play"]);
    let ((jumps, jumping), (fires, firing)) = (play(0), play(1));
    assert_eq!((jumps, fires), (&"b-jumps".into(), &"b-fires".into()));
    assert_eq!(
        (jumping["up"].to_string(), firing["up"].to_string()),
        (r#"["up","b"]"#.into(), r#"["up"]"#.into())
    );
    assert_eq!(firing["second-fire"].to_string(), r#"["b"]"#);
    assert_eq!(proof["lead"]["switches"][0]["positions"][0]["name"], "b-jumps");
}

#[test]
fn json_has_of_each_position_what_the_terminal_tells() {
    let bench = with_lead();
    let (_, proof) = bench.json(&format!("prove {NAME} --truth"));
    let reads = |at: usize, pressed: &str| {
        let rows = proof["settings"][at]["truth"].as_array().unwrap();
        let row = rows.iter().find(|row| row["pressed"] == serde_json::json!([pressed]));
        row.unwrap()["reads"].to_string()
    };
    assert_eq!((reads(0, "b"), reads(1, "b")), (r#"["up"]"#.into(), r#"["second-fire"]"#.into()));
    assert_eq!(proof["settings"][0]["truth"], proof["truth"]);
    let lost = |at: usize| {
        proof["settings"][at]["findings"].to_string().contains("no control performs `second-fire`")
    };
    assert!(lost(0) && !lost(1));
    assert!(proof["settings"][0]["axes"].is_array());
    // Nobody asked for it.
    assert!(bench.json(&format!("prove {NAME}")).1["settings"][0]["truth"].is_null());
}

#[test]
fn a_switch_that_is_wished_is_designed_saved_and_proved_again_from_its_file() {
    let bench = Bench::demo();
    let (code, designed) = bench.json("design heron-stick plover --switch b=up,second-fire --save");
    assert_eq!((code, &designed["options"][0]["verdict"]), (0, &"works".into()));
    let (code, proof) = bench.json("prove heron-stick-to-plover-with-switch");
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    assert_eq!(proof["settings"].as_array().map(Vec::len), Some(2));
    assert!(!proof["findings"].to_string().contains("build-stale"), "{}", proof["findings"]);
}

#[test]
fn where_one_position_has_no_lead_of_wire_its_refusal_is_told() {
    let told = Bench::demo().run("design heron-stick bittern --switch b=up,a").found();
    assert!(told.contains("there is no plain lead"), "{told}");
}

#[test]
fn a_switch_that_cannot_be_wished_so_is_refused() {
    let bench = Bench::demo();
    for (wish, what) in [
        ("b=up", "the two actions between which the switch chooses"),
        ("b=up,up", "gives `b` the action `up` in both positions"),
        ("q=up,fire", "`heron-stick` has no control `q`"),
        ("b=up,jump", "`plover` has no action `jump`"),
        ("b=up,fire --switch b=down,second-fire", "names the control `b` twice"),
        ("b=up,fire --switch c=fire,second-fire", "two switches would both say who performs `fire`"),
        ("b=up,fire --class logic", "`--switch` makes a lead of wire with a switch"),
    ] {
        let told = bench.run(&format!("design heron-stick plover --switch {wish}")).wrong();
        assert!(told.contains(what), "{wish}: {told}");
    }
}

#[test]
fn mistakes_of_a_switch_in_a_file_are_told_where_they_stand() {
    let bench = Bench::demo();
    let broken = |from: &str, to: &str| {
        bench.put("broken.toml", LEAD.replace(from, to));
        bench.run("prove broken").wrong()
    };
    for (from, to, what) in [
        ("[\"b-jumps\", \"b-fires\"]", "[\"b-jumps\"]", "needs names for its two positions, found 1"),
        ("[\"b-jumps\", \"b-fires\"]", "[\"b-jumps\", \"b-jumps\"]", "two positions are called `b-jumps`"),
        ("[play_at.b-fires]", "[play_at.b-fire]", "no switch of the lead has a position `b-fire`"),
        ("switch = \"SPDT\"", "switch = \"SPTD\"", "SPTD"),
        ("s1.second - port.7", "s1.third - port.7", "`s1` has no leg `third`"),
        ("  \"controller.5 - s1.common\",\n", "", "the leg `s1.common` is joined to nothing"),
        ("second-fire = [\"b\"]", "second-fire = [\"q\"]", "`heron-stick` has no control `q`"),
    ] {
        let told = broken(from, to);
        assert!(told.contains(what), "{what}: {told}");
    }
}

#[test]
fn a_lead_with_a_switch_is_buzzed_out_in_each_position() {
    let bench = with_lead();
    let told = bench.run(&format!("buzz {NAME}")).wrong();
    assert!(told.contains("once with each `--stands`: `b-fires` and `b-jumps`"), "{told}");
    // The places to which the second button's contact has wire.
    let wired = |position: &str| {
        let (_, test) = bench.json(&format!("buzz {NAME} --stands {position}"));
        let steps = test["steps"].as_array().unwrap().iter();
        // An open reading has no upper end.
        let wire = steps.filter(|step| step["good"]["high"].is_number());
        let probes =
            wire.map(|step| [&step["red"], &step["black"]].map(|leg| leg.as_str().unwrap().to_owned()));
        let own = probes.filter(|probes| probes.iter().any(|leg| leg == "controller.5"));
        own.flatten().filter(|leg| leg != "controller.5").collect::<Vec<_>>()
    };
    assert_eq!(wired("b-fires"), ["port.7"]);
    let jumps = wired("b-jumps");
    assert!(!jumps.is_empty(), "the contact is tested");
    assert!(jumps.iter().all(|leg| ["port.1", "controller.15"].contains(&leg.as_str())), "{jumps:?}");
    let told = bench.run(&format!("buzz {NAME} --stands b-sleeps")).wrong();
    assert!(told.contains("no switch of the lead stands at `b-sleeps`"), "{told}");
    let told = bench.run("buzz heron-stick plover --stands b-fires").wrong();
    assert!(told.contains("the lead has no switch"), "{told}");
}

#[test]
fn a_run_of_the_machine_tells_where_the_switch_stands() {
    let bench = with_lead();
    let reads = |position: &str| {
        let (_, timing) = bench.json(&format!("timing {NAME} --press b --stands {position}"));
        timing.to_string()
    };
    assert_ne!(reads("b-jumps"), reads("b-fires"));
    let told = bench.run(&format!("timing {NAME}")).sound();
    assert!(
        told.starts_with("With `mode` at `b-jumps`; to see it otherwise, add `--stands b-fires`:\n"),
        "{told}"
    );
}

#[test]
fn its_guide_has_each_position_by_itself() {
    let bench = with_lead();
    _ = bench.run(&format!("guide {NAME} --out guide.html --drawing lead.svg")).sound();
    let page = bench.read("guide.html");
    for words in [
        "With <code>mode</code> at <code>b-jumps</code>",
        "With <code>mode</code> at <code>b-fires</code>",
        "find its lugs with the buzzer",
        "conductors and 2 short wires with 1 switch: ",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(bench.read("lead.svg").contains("S1 SPDT"));
}

/// What a diagnosis says first: its faults, one list after the other, and how sure it is.
fn likeliest(answer: &serde_json::Value) -> (Vec<String>, f64) {
    let first = &answer["explanations"][0];
    let lists = first["either"].as_array().expect("lists of faults").iter();
    let told = lists.map(|faults| faults[0]["text"].as_str().expect("one fault").to_owned());
    (told.collect(), first["share"].as_f64().expect("a share"))
}

fn diagnosed(bench: &Bench, options: &str, said: &[&str]) -> serde_json::Value {
    let ran = bench.typed(&format!("diagnose {NAME} --json {options}"), said, "");
    assert_eq!((ran.code, ran.err.as_str()), (1, ""), "{}", ran.out);
    serde_json::from_str(&ran.out).expect("it answers in JSON")
}

#[test]
fn a_button_that_is_dead_in_one_position_is_dead_behind_that_throw() {
    let bench = with_lead();
    let said = ["b does nothing at b-fires", "b works with mode at b-jumps"];
    let answer = diagnosed(&bench, "", &said);
    let (told, share) = likeliest(&answer);
    assert!(told.iter().all(|told| told.contains("s1.second")) && share > 0.7, "{told:?} {share}");
    // The other way round it is the other throw.
    let answer = diagnosed(&bench, "", &["b does nothing at b-jumps", "b works at b-fires", "up works"]);
    let (told, _) = likeliest(&answer);
    assert!(told.iter().all(|told| told.contains("s1.first")), "{told:?}");
    // What is said of all sentences need not be said of each; what one says of itself counts first.
    let answer = diagnosed(&bench, "--stands b-fires", &["b does nothing", "b works at b-jumps"]);
    assert_eq!(likeliest(&answer).0, likeliest(&diagnosed(&bench, "", &said)).0);
}

#[test]
fn a_button_that_does_both_at_once_has_two_lugs_bridged_and_a_worn_switch_is_thought_of() {
    let bench = with_lead();
    // In either position it plays up, in one of them it fires as well: the first throw is always on.
    let answer =
        diagnosed(&bench, "", &["b gives up at b-jumps", "b also gives up at b-fires", "up gives up"]);
    let told: Vec<String> = answer["explanations"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| one["either"].to_string())
        .collect();
    assert!(told.iter().any(|told| told.contains("a bridge between s1.common and s1.first")), "{told:?}");
    // What is dead in one position may be the switch itself, which no meter at the cups tells from its joint.
    let answer = diagnosed(&bench, "", &["b does nothing at b-fires", "b works at b-jumps"]);
    let first = answer["explanations"][0]["either"].to_string();
    assert!(
        first.contains("the contact of the switch from s1.common to s1.second does not close"),
        "{first}"
    );
}

#[test]
fn the_next_measurement_says_how_the_switch_is_to_stand_and_a_bare_answer_is_of_that_position() {
    let bench = with_lead();
    let answer = diagnosed(&bench, "", &["b does nothing at b-fires", "b works at b-jumps"]);
    assert_eq!(answer["next"]["stands"]["mode"], "b-fires");
    let sentence = answer["next"]["measure"]["sentence"].as_str().expect("a sentence");
    assert!(sentence.ends_with(" with mode at b-fires reads"), "{sentence}");
    let told = bench.typed(
        &format!("diagnose {NAME} --notes n.txt"),
        &[],
        "b does nothing at b-fires\nopen\n?\nleave\n",
    );
    assert!(told.out.contains("With `mode` at `b-"), "{}", told.out);
    assert!(told.out.contains("    with mode at b-jumps\n"), "{}", told.out);
    let notes = bench.read("n.txt");
    assert!(notes.lines().nth(1).is_some_and(|line| line.contains(" with mode at b-")), "{notes}");
}

#[test]
fn a_sentence_that_does_not_say_where_the_switch_stood_excludes_nothing() {
    let bench = with_lead();
    // `b` plays up in the one position and fires in the other: both are as they should be.
    let ran = bench.typed(&format!("diagnose {NAME}"), &["b gives up", "b gives second-fire"], "");
    assert!(ran.sound().contains("the lead is good"));
    let ran =
        bench.typed(&format!("diagnose {NAME}"), &["b gives up at b-jumps", "b does nothing at b-jumps"], "");
    assert!(ran.out.contains("contradict each other"), "{}", ran.out);
}

#[test]
fn wrong_words_of_a_position_are_answered_with_the_right_ones() {
    let bench = with_lead();
    for (said, what) in [
        ("b works at b-fire", "write `b-fires`"),
        ("b works at nowhere", "write `b-fires` or `b-jumps`"),
        ("b works at b-fires at b-jumps at b-fires", "a lead stands in one way at a time"),
    ] {
        let told = bench.typed(&format!("diagnose {NAME}"), &[said], "").wrong();
        assert!(told.contains(what), "{said}: {told}");
    }
    let told = bench.run(&format!("diagnose {NAME} --stands nowhere")).wrong();
    assert!(told.contains("there is `b-fires` and `b-jumps`"), "{told}");
    _ = bench.run("design heron-stick plover --save plain.toml").sound();
    let told = bench.typed("diagnose plain", &["b works at b-fires"], "").wrong();
    assert!(told.contains("it has no switch: leave that out"), "{told}");
}

#[test]
fn the_readings_of_a_run_are_evidence_of_the_position_in_which_they_were_taken() {
    let bench = with_lead();
    let ran = bench.typed(
        &format!("buzz {NAME} --stands b-fires --run r.buzz"),
        &[],
        "open\nopen\nopen\nopen\nleave\n",
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer = diagnosed(&bench, "--run r.buzz", &["b does nothing at b-fires"]);
    assert_eq!(answer["evidence"].as_array().map(Vec::len), Some(5));
    assert_eq!(answer["contradictions"], serde_json::json!([]));
    bench.put(&format!("{NAME}.toml"), LEAD.replace("controller.5 - s1.common", "controller.12 - s1.common"));
    let told = bench.run(&format!("diagnose {NAME} --run r.buzz")).wrong();
    assert!(told.contains("older version"), "{told}");
}

#[test]
fn a_lead_gets_a_switch_and_loses_it_again_by_as_many_moves() {
    let bench = with_lead();
    let (code, into) = bench.json(&format!("compare heron-stick plover {NAME}"));
    assert_eq!((code, &into["moves"], &into["fewest"]), (0, &4.into(), &false.into()));
    assert_eq!(into["parts"], serde_json::json!(["Have ready s1, an SPDT, in the hood of the port end."]));
    let (code, out) = bench.json(&format!("compare {NAME} plover"));
    assert_eq!((code, &out["moves"]), (0, &4.into()));
    assert_eq!(out["controls"][0]["before"], serde_json::json!(["up", "second-fire"]));
    let told = bench.run(&format!("compare heron-stick plover {NAME}")).sound();
    // With parts it is not claimed that no fewer would do.
    assert!(told.starts_with("4 moves\n"), "{told}");
    for words in [
        "to the common of s1",
        "`b` plays `up` with `mode` at `b-jumps`, `second-fire` with `mode` at `b-fires`; before it played",
    ] {
        assert!(told.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{told}");
    }
    assert!(bench.run(&format!("compare {NAME} {NAME}")).sound().starts_with("nothing changes\n"));
}

#[test]
fn a_position_that_plays_something_else_and_a_switch_of_another_name_are_told_without_a_move() {
    let bench = with_lead();
    let other = LEAD
        .replace("called = \"mode\"", "called = \"jump\"")
        .replace("second-fire = [\"b\"]", "second-fire = []");
    bench.put("other.toml", other);
    let ran = bench.run(&format!("compare {NAME} other"));
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // What fires though nobody asks for it fails, so that no moves are told, and JSON says what is different.
    assert_eq!(ran.code, 1, "{told}");
    let (_, answer) = bench.json(&format!("compare {NAME} other"));
    assert_eq!((&answer["moves"], answer["steps"].as_array().map(Vec::len)), (&0.into(), Some(0)));
    assert_eq!(answer["controls"][0]["control"], "b");
    assert!(
        answer["switches"][0].as_str().is_some_and(|told| told.starts_with("s1 is called `jump`")),
        "{answer}"
    );
}

#[test]
fn a_switch_that_must_break_first_takes_the_place_of_one_that_may_make_first() {
    let bench = with_lead();
    bench.put("makes.toml", LEAD.replace("called = \"mode\"", "called = \"mode\"\nmakes_first = true"));
    let (_, answer) = bench.json(&format!("compare makes {NAME}"));
    assert_eq!(
        (answer["steps"][0]["act"].as_str(), answer["steps"][0]["end"].as_str()),
        (Some("refit"), Some("s1"))
    );
    let text = answer["steps"][0]["text"].as_str().expect("a sentence");
    assert!(text.contains("an SPDT that makes before it breaks"), "{text}");
    // The other way round the switch may stay: whatever one does that makes first, one does no harm that does not.
    let (_, answer) = bench.json(&format!("compare {NAME} makes"));
    assert_eq!(answer["moves"], 0);
    assert!(answer["switches"][0].as_str().is_some_and(|told| told.contains("it need not")), "{answer}");
}

/// In each position it works; on the way from one to the other its switch shorts the supply.
const SHORTS_ON_THE_WAY: &str = "format = 1\nkind = \"lead\"\ncontroller = \"fifteen-pin-stick\"\n\
    port = \"nine-pin-two-trigger\"\njoins = [\"controller.1 - port.9\", \"controller.15 - port.1\",\n\
    \"controller.7 - port.2\", \"controller.14 - port.3\", \"controller.6 - port.4\", \"controller.13 - port.6\",\n\
    \"controller.8 - s1.common\", \"s1.first - port.5\", \"s1.second - port.9\"]\n\
    [play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nfire = [\"a\"]\n\
    [part.s1]\nswitch = \"SPDT\"\npositions = [\"high\", \"low\"]\nmakes_first = true\n";

#[test]
fn a_lead_that_harms_only_while_its_switch_is_moved_is_tested_in_no_position() {
    let bench = Bench::demo();
    bench.put("shorts.toml", SHORTS_ON_THE_WAY);
    for position in ["high", "low"] {
        let told = bench.run(&format!("buzz shorts --stands {position} --run run.toml")).found();
        assert!(told.contains("No run was begun") && told.contains("while `s1` is moved"), "{told}");
    }
}
