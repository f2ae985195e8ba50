//! A cable is surveyed: hidden cables answer as real ones would, and what was found is used.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::bench::{Bench, Ran};

/// What is joined to what: contacts of the moulded end as `end 3`, of the other end as `other 3`, cores by their letters.
struct Hidden(Vec<Vec<String>>);

impl Hidden {
    fn new(nets: &[&str]) -> Self {
        Self(nets.iter().map(|net| net.split(" = ").map(str::to_owned).collect()).collect())
    }

    /// What a meter shows: a walk over the nets, with what is held together as two more.
    fn reads(&self, sides: &[Vec<String>; 2]) -> &'static str {
        let nets: Vec<&Vec<String>> = self.0.iter().chain(sides).collect();
        let mut reached: BTreeSet<&String> = sides[0].iter().collect();
        for _ in 0..nets.len() {
            for net in
                nets.iter().filter(|net| net.iter().any(|spot| reached.contains(spot))).collect::<Vec<_>>()
            {
                reached.extend(net.iter());
            }
        }
        if sides[1].iter().any(|spot| reached.contains(spot)) { "0.4" } else { "open" }
    }

    /// Answers all that is asked, one run of the program for each answer.
    fn answer_all(&self, bench: &Bench, name: &str) -> (i32, Value) {
        let (mut code, mut answer) = typed(bench, &format!("{name} --json"), &[], "");
        for _ in 0..200 {
            let Value::Array(next) = &answer["next"] else { return (code, answer) };
            let words: Vec<&str> = next.iter().filter_map(Value::as_str).collect();
            let is_contact = |word: &str| word == "shell" || word.starts_with(|c: char| c.is_ascii_digit());
            let spots = |word: &str, end: &str| -> Vec<String> {
                let spot =
                    |word: &str| if is_contact(word) { format!("{end} {word}") } else { word.to_owned() };
                word.split(" + ").map(spot).collect()
            };
            let reads = self.reads(&[spots(words[0], "end"), spots(words[1], "other")]);
            (code, answer) = typed(bench, &format!("{name} --json"), &[], &format!("{reads}\n"));
        }
        panic!("the survey does not end: {answer:#}");
    }
}

fn run(bench: &Bench, arguments: &str, spaced: &[&str], lines: &str) -> Ran {
    bench.typed(&format!("survey cable {arguments}"), spaced, lines)
}

fn typed(bench: &Bench, arguments: &str, spaced: &[&str], lines: &str) -> (i32, Value) {
    let Ran { code, out, err } = run(bench, arguments, spaced, lines);
    assert_eq!(err, "", "JSON is the only answer: {out}");
    (code, serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}")))
}

const SOCKET: [&str; 2] = ["--end", "DE-9 socket"];

fn joins(bench: &Bench, cable: &str, more: &str) -> String {
    let answer = bench.run(&format!("design heron-stick plover --cable {cable} {more}")).sound();
    let (_, sections) = answer.split_once("Joins\n").unwrap_or_default();
    sections.split_once("\n\nFindings\n").unwrap_or_default().0.to_owned()
}

#[test]
fn a_surveyed_cable_with_its_own_order_and_a_drain_is_designed_with() {
    let bench = Bench::demo();
    typed(&bench, "offcut --cores bk,bn,rd,og,ye,gn,bu,gy,wh --drain --length-mm 1200 --json", &SOCKET, "");
    let hidden = Hidden::new(&[
        "end 1 = WH",
        "end 2 = BK",
        "end 3 = BN",
        "end 4 = GY",
        "end 5 = RD",
        "end 6 = BU",
        "end 7 = OG",
        "end 8 = GN",
        "end 9 = YE",
        "end shell = drain",
    ]);
    let (code, answer) = hidden.answer_all(&bench, "offcut");
    assert_eq!((code, &answer["written"], &answer["next"]), (0, &json!("offcut.toml"), &Value::Null));
    assert_eq!(
        answer["contacts"][0],
        json!({ "contact": "1", "state": "joined", "to": "WH", "ohms": 0.4, "weak": false })
    );
    assert!(answer["readings"].as_array().is_some_and(|readings| readings.len() <= 34));
    insta::assert_snapshot!(bench.read("offcut.toml"), @r#"
    format = 1
    kind = "cable"
    title = "Offcut, surveyed"
    conductor = "AWG 28"
    length_mm = 1200
    colours = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "GY", "WH"]
    drain = true
    evidence = "measured"
    source = "surveyed with a meter, 28 readings"
    note = "the copper was not measured: AWG 28 is assumed (from memory)"

    [[moulded]]
    connector = "DE-9 socket"
    cores = { 1 = 9, 2 = 1, 3 = 2, 4 = 8, 5 = 3, 6 = 7, 7 = 4, 8 = 6, 9 = 5 }
    shell = "drain"
    "#);
    insta::assert_snapshot!(joins(&bench, "offcut", ""), @"
      from                   to                   core
      controller.1   common  port.9  return       YE 5
      controller.5   b       port.7  second-fire  OG 4
      controller.6   right   port.4  right        GY 8
      controller.7   down    port.2  down         BK 1
      controller.13  a       port.6  fire         BU 7
      controller.14  left    port.3  left         BN 2
      controller.15  up      port.1  up           WH 9

    Cable
      1.2 m of Offcut, surveyed (`offcut`), AWG 28
      the DE-9 socket at the port end is moulded on
      spare, to be cut back and insulated: RD 3, GN 6, drain
    ");
    bench.run("guide heron-stick plover --cable offcut").sound();
    assert!(
        bench.read("heron-stick-to-plover-guide.html").contains("YE 5"),
        "the guide names the core of contact 9"
    );
}

#[test]
fn a_straight_cable_in_the_order_of_one_that_is_alike_takes_few_readings() {
    let bench = Bench::demo();
    typed(
        &bench,
        "cut --cores bk,bn,rd,og,ye,gn,bu,gy,wh --like nine-core-moulded-socket --json",
        &SOCKET,
        "",
    );
    let hidden = Hidden::new(&[
        "end 1 = BK",
        "end 2 = BN",
        "end 3 = RD",
        "end 4 = OG",
        "end 5 = YE",
        "end 6 = GN",
        "end 7 = BU",
        "end 8 = GY",
        "end 9 = WH",
    ]);
    let (code, answer) = hidden.answer_all(&bench, "cut");
    assert_eq!((code, answer["readings"].as_array().map(Vec::len)), (0, Some(14)));
    assert_eq!(answer["contacts"][9]["state"], "nothing", "the shell");
}

#[test]
fn missing_cores_are_designed_round_or_refused() {
    let bench = Bench::demo();
    typed(&bench, "cheap --cores bn,rd,og,ye,gn,bu,wh --json", &SOCKET, "");
    let hidden = Hidden::new(&[
        "end 1 = BN",
        "end 2 = RD",
        "end 3 = OG",
        "end 4 = YE",
        "end 6 = GN",
        "end 8 = BU",
        "end 9 = WH",
    ]);
    let (_, answer) = hidden.answer_all(&bench, "cheap");
    let states: Vec<&Value> =
        answer["contacts"].as_array().unwrap().iter().map(|own| &own["state"]).collect();
    assert_eq!((states[4], states[6], states[9]), (&json!("nothing"), &json!("nothing"), &json!("nothing")));
    // `second-fire` is on 7: without it by default, refused if it is a must.
    let without = bench.run("design heron-stick plover --cable cheap").sound();
    assert!(without.contains("it goes without `second-fire`"), "{without}");
    assert!(without.contains("port.9  return       WH 7"), "{without}");
    let refused = bench.run("design heron-stick plover --cable cheap --must b").found();
    assert!(
        refused.contains("nothing ends in contact 7 of the moulded port end of the cable `cheap`"),
        "{refused}"
    );
}

#[test]
fn two_contacts_on_one_core_make_no_cable_file() {
    let bench = Bench::demo();
    typed(&bench, "odd --cores bn,rd,og,ye --json", &["--end", "DIN 5/180 plug"], "");
    let hidden = Hidden::new(&["end 1 = BN", "end 2 = RD", "end 3 = OG = end 5", "end 4 = YE"]);
    let (code, answer) = hidden.answer_all(&bench, "odd");
    assert_eq!(code, 1);
    assert_eq!(answer["jumpers"], json!([{ "contacts": ["3", "5"], "conductor": ["OG"] }]));
    assert!(answer["no_cable"].as_str().is_some_and(|why| why.contains("a jumper inside the moulding")));
    assert!(!bench.path("odd.toml").exists());
    let told = run(&bench, "odd", &[], "").found();
    assert!(told.contains("No cable file: the contacts 3 and 5 end in one conductor (OG)"), "{told}");
}

#[test]
fn cores_that_are_joined_make_no_cable_file() {
    let bench = Bench::demo();
    typed(&bench, "bad --cores bn,rd,og,ye --json", &["--end", "DIN 5/180 plug"], "");
    let (code, answer) =
        Hidden::new(&["end 1 = BN", "end 2 = RD = YE", "end 3 = OG"]).answer_all(&bench, "bad");
    assert_eq!((code, &answer["joined"]), (1, &json!([["RD", "YE"]])));
}

#[test]
fn a_cord_with_both_ends_moulded_is_found_with_its_crossing() {
    let bench = Bench::demo();
    typed(&bench, "cord --json", &["--end", "DE-9 socket", "--other-end", "DE-9 plug"], "");
    let hidden = Hidden::new(&[
        "end 1 = other 1",
        "end 2 = other 3",
        "end 3 = other 2",
        "end 4 = other 4",
        "end 6 = other 6",
        "end 7 = other 7",
        "end 8 = other 8",
        "end 9 = other 9",
        "end shell = other shell",
    ]);
    let (code, answer) = hidden.answer_all(&bench, "cord");
    assert_eq!((code, &answer["written"]), (0, &json!("cord.toml")));
    assert_eq!(answer["contacts"][1]["to"], "3");
    assert_eq!(answer["contacts"][4]["state"], "not-found", "contact 5 was not tried against all others");
    let shown = bench.run("show cord").sound();
    assert!(shown.contains("  2      GY       grey    DE-9 socket 2, DE-9 plug 3\n"), "{shown}");
    assert!(shown.contains("43 pairs of contacts were not tried"), "{shown}");
}

#[test]
fn a_core_that_is_no_sound_conductor_is_left_out() {
    let bench = Bench::demo();
    let lines = "open\nopen\n1 bn 0.4\n2 rd 180\n3 og 0.4\nopen\nopen\nopen\n";
    let told = run(&bench, "weak --cores bn,rd,og", &["--end", "DIN 5/180 plug"], lines).sound();
    assert!(told.contains("180 Ω is a way, but no sound conductor: a wire reads below 10 Ω."), "{told}");
    let file = bench.read("weak.toml");
    assert!(file.contains("cores = { 1 = 1, 3 = 3 }"), "{file}");
    assert!(file.contains("contact 2 goes to RD at 180 Ω, no sound conductor, and is left out"), "{file}");
    bench.run("show weak").sound();
}

#[test]
fn the_dialogue_says_where_the_probes_go_and_what_was_learned() {
    let bench = Bench::demo();
    let lines = "opne\nopen\n12 V\nopen\n-3\n0,4\n0.4\nbeep\nundo\nopen\nog 0.5\n?\nleave\n";
    let told = run(&bench, "three --cores bn,rd,og --drain", &["--end", "DIN 5/180 plug"], lines).sound();
    insta::assert_snapshot!(told, @"
    Survey of the cable `three`: a DIN 5/180 plug at one end, 3 bare cores and a drain at the other
    By judgement about 11 readings, 3 min. If the cores may be in any order, no plan is sure to do with
    fewer than 9.

    Before you begin
      - Unplug the cable at both ends.
      - Set the meter to ohms, its lowest range, and hold the probes together: it must read below 1 Ω. A
        buzzer does too, but calls a bad crimp good.
      - Spread the bare ends: none touches another. Have two crocodile clips ready.
      - Into holes that are too narrow for a probe goes the leg of a resistor.

    Type what the meter shows: `0.4`, `1.2k`, `open` (OL). Or `undo`, `leave`, `?`.
    If you slide on and another one reads, say which: `bn 0.4`, or `3 0.4` for a contact.

      1. Clip together BN + OG. Clip together RD + drain. One probe on each clip. Expected: `open`.
         (0 of 6 contacts known, about 11 readings left)
    > opne
         `opne` is no reading; write `open`
      1. Clip together BN + OG. Clip together RD + drain. One probe on each clip. Expected: `open`.
         (0 of 6 contacts known, about 11 readings left)
    > open
         Good: nothing joins the two.
      2. Clip together BN + RD. Clip together OG + drain. One probe on each clip. Expected: `open`.
         (0 of 6 contacts known, about 11 readings left)
    > 12 V
         A cable gives no volts; unplug it at both ends, turn the meter to ohms, and write what it
         shows, such as `0.4` or `open`
      2. Clip together BN + RD. Clip together OG + drain. One probe on each clip. Expected: `open`.
         (0 of 6 contacts known, about 11 readings left)
    > open
         Good: nothing joins the two.
      3. Take the clips off and spread the ends. One probe on the shell, the other on drain.
         (0 of 6 contacts known, about 9 readings left)
    > -3
         `-3` cannot be: no resistance is below nought; unplug what feeds the lead, hold the probes
         together and set the meter to nought, then measure again
      3. Take the clips off and spread the ends. One probe on the shell, the other on drain.
         (0 of 6 contacts known, about 9 readings left)
    > 0,4
         `0,4` is no number here; write `0.4`
      3. Take the clips off and spread the ends. One probe on the shell, the other on drain.
         (0 of 6 contacts known, about 9 readings left)
    > 0.4
         The shell goes to drain.
      4. One probe on contact 1, the other on BN.
         (1 of 6 contacts known, about 7 readings left)
    > beep
         Contact 1 goes to BN.
      5. One probe on contact 2, the other on RD.
         (2 of 6 contacts known, about 5 readings left)
    > undo
         Taken back: 1 to BN, beep.
      4. One probe on contact 1, the other on BN.
         (1 of 6 contacts known, about 7 readings left)
    > open
         Not to BN.
      5. Stay on BN, the other probe on contact 2.
         (1 of 6 contacts known, about 7 readings left)
    > og 0.5
         Contact 2 goes to OG.
      6. One probe on contact 3, the other on BN.
         (2 of 6 contacts known, about 5 readings left)
    > ?
      0.4   1.2k   3M  what the meter shows, in ohms
      open             it shows OL, or a lone 1 at the left: no way
      beep   no beep   the buzzer's answer; it cannot tell a bad crimp from a good one
      bn 0.4           the same contact, but at another core: slide along until one reads
      3 0.4            the same core, but at another contact
      3 bn 0.4         another contact and another core
      undo             take the last reading back
      leave            stop; every reading is kept, and the same command goes on
      6. One probe on contact 3, the other on BN.
         (2 of 6 contacts known, about 5 readings left)
    > leave

    The cable `three` after 5 readings
      DIN 5/180 plug  core   colour  reads
      1               ?
      2               OG     orange  0.5 Ω
      3               ?
      4               ?
      5               ?
      shell           drain          0.4 Ω

    Left after 5 readings, which are kept in three.survey. The same command goes on.
    ");
}

#[test]
fn a_survey_is_left_and_taken_up_again() {
    let bench = Bench::demo();
    run(&bench, "three --cores bn,rd,og", &["--end", "DIN 5/180 plug"], "open\nopen\n0.4\n").sound();
    insta::assert_snapshot!(bench.read("three.survey"), @r#"
    format = 1
    kind = "cable-survey"
    cable = "three"
    end = "DIN 5/180 plug"
    cores = ["brown", "red", "orange"]
    drain = false

    [[reading]]
    between = ["BN + OG", "RD"]
    reads = "open"

    [[reading]]
    between = ["BN + RD", "OG"]
    reads = "open"

    [[reading]]
    between = ["1", "BN"]
    reads = "0.4"
    "#);
    let (_, answer) = typed(&bench, "three --json", &[], "undo\n");
    assert_eq!(answer["readings"].as_array().map(Vec::len), Some(2));
    let (_, answer) = typed(&bench, "three --json", &["--end", "DIN 5/180 plug"], "0.4\n0.4\nleave\n");
    assert_eq!(answer["readings"].as_array().map(Vec::len), Some(4));
    assert!(
        bench.run("shelf").sound().contains("heron-stick"),
        "a run is no profile, and the shelf does not list it"
    );
}

#[test]
fn readings_that_contradict_each_other_are_struck_out_and_asked_again() {
    let bench = Bench::demo();
    let lines = "open\nopen\n1 bn 0.4\n1 rd 0.4\n";
    let (code, answer) = typed(&bench, "three --cores bn,rd,og --json", &["--end", "DIN 5/180 plug"], lines);
    assert_eq!(code, 0);
    let struck: Vec<&Value> =
        answer["struck"].as_array().unwrap().iter().map(|own| &own["between"]).collect();
    assert_eq!(struck, [&json!(["BN + OG", "RD"]), &json!(["1", "BN"]), &json!(["1", "RD"])]);
    assert_eq!(answer["next"], json!(["BN + OG", "RD"]));
    let told = run(&bench, "three --anew --cores bn,rd,og", &["--end", "DIN 5/180 plug"], lines).sound();
    assert!(told.contains("These readings contradict each other:\n       BN + OG to RD: open\n"), "{told}");
}

#[test]
fn what_is_no_reading_is_answered_with_what_to_write() {
    let bench = Bench::demo();
    let lines = "-1\n5 V\n0,4\nundoo\nbn\n\n7 bn open\n";
    let (code, answer) = typed(&bench, "three --cores bn,rd,og --json", &["--end", "DIN 5/180 plug"], lines);
    assert_eq!((code, &answer["readings"]), (0, &json!([])));
    let why: Vec<&str> =
        answer["refused"].as_array().unwrap().iter().filter_map(|own| own["why"].as_str()).collect();
    insta::assert_snapshot!(why.join("\n"), @"
    `-1` cannot be: no resistance is below nought; unplug what feeds the lead, hold the probes together and set the meter to nought, then measure again
    a cable gives no volts; unplug it at both ends, turn the meter to ohms, and write what it shows, such as `0.4` or `open`
    `0,4` is no number here; write `0.4`
    `undoo` is no reading; write `undo`, or what the meter shows
    `bn` is a place, and its reading is missing; write `bn 0.4` or `bn open`
    a reading is missing; write what the meter shows, such as `0.4`, `1.2k` or `open`
    a DIN 5/180 plug has no contact 7; write 1 to 5, or `shell`
    ");
}

#[test]
fn a_run_of_another_cable_a_newer_one_and_one_that_was_cut_short_are_refused() {
    let bench = Bench::demo();
    let end = ["--end", "DIN 5/180 plug"];
    run(&bench, "three --cores bn,rd,og", &end, "open\n").sound();
    let sound = bench.read("three.survey");
    insta::assert_snapshot!(run(&bench, "three --cores bn,rd,og,ye", &end, "").wrong(), @"
    error: `three.survey` is a run of another cable: a DIN 5/180 plug at one end, 3 bare cores at the other
      = help: leave those options out to go on with it; name another file with `--run`, or begin again with `--anew`
    ");
    insta::assert_snapshot!(run(&bench, "other --run three.survey", &[], "").wrong(), @"
    error: `three.survey` is a run of the cable `three`, not of `other`
      = help: name another file with `--run`, or begin again with `--anew`
    ");
    bench.put("three.survey", sound.replace("format = 1", "format = 9"));
    insta::assert_snapshot!(run(&bench, "three", &[], "").wrong(), @"
    error: format `9` is newer than this program reads: `1`
     --> three.survey:1:10
      |
    1 | format = 9
      |          ^
      |
      = help: read it with a newer program

    error: `three.survey` has 1 mistake
    ");
    bench.put("three.survey", sound.split("reads").next().unwrap_or_default());
    insta::assert_snapshot!(run(&bench, "three", &[], "").wrong(), @"
    error: the key `reads` is missing
     --> three.survey:8:1
      |
    8 | [[reading]]
      | ^^^^^^^^^^^
      |
      = help: add `reads = …`: what the meter showed: `0.4`, `1.2k`, `open`

    error: `three.survey` has 1 mistake
    ");
    bench.put("three.survey", sound.split("+ OG").next().unwrap_or_default());
    let told = run(&bench, "three", &[], "").wrong();
    assert!(told.contains("three.survey:9") && told.contains("broken TOML"), "{told}");
    bench.put("three.survey", sound.replace("\"RD\"", "\"BU\"").replace("\"open\"", "\"-5\""));
    let told = run(&bench, "three", &[], "").wrong();
    assert!(
        told.contains("`BU` is no core of this cable") && told.contains("no resistance is below nought"),
        "{told}"
    );
    bench.put("three.survey", format!("{sound}\n[[reading]]\nbetween = [\"BN\", \"RD\"]\nreads = \"0.4\"\n"));
    let told = run(&bench, "three", &[], "").wrong();
    assert!(
        told.contains("this reading contradicts earlier ones") && told.contains("against this one"),
        "{told}"
    );
    run(&bench, "three --anew --cores bn,rd,og", &end, "").sound();
    assert!(!bench.read("three.survey").contains("[[reading]]"));
}

#[test]
fn what_lies_on_the_bench_is_said_once_and_a_file_is_not_replaced() {
    let bench = Bench::demo();
    insta::assert_snapshot!(run(&bench, "three", &[], "").wrong(), @r#"
    error: there is no run of `three` to go on with
      = help: begin one: name the moulded connector with `--end "DE-9 socket"`, and the bare cores with `--cores "bn rd og"`, or the other connector with `--other-end`
    "#);
    insta::assert_snapshot!(run(&bench, "three", &["--end", "DIN 5/180 plug"], "").wrong(), @r#"
    error: nothing is said of the cable's other end
      = help: write `--cores "bn rd og"` with the colours of the bare cores, or `--other-end "DE-9 plug"` if that is moulded on too
    "#);
    let told = run(&bench, "three --cores bn,mauve", &["--end", "DIN 5/180 plug"], "").wrong();
    assert!(told.contains("`mauve` is no colour"), "{told}");
    let told = run(&bench, "three --cores bn,drain", &["--end", "DIN 5/180 plug"], "").wrong();
    assert!(told.contains("say `--drain` for the bare drain"), "{told}");
    for name in ["plover", "ten-core-control", "Three"] {
        let told = run(&bench, &format!("{name} --cores bn"), &SOCKET, "").wrong();
        assert!(told.contains("is taken by a") || told.contains("cannot be called"), "{told}");
    }
    bench.put("three.toml", "like = 'ten-core-control'");
    let told = run(&bench, "three --cores bn,rd,og", &["--end", "DIN 5/180 plug"], "open\n").wrong();
    assert!(told.contains("`three.toml` is there already"), "{told}");
    assert!(
        run(&bench, "four --cores bn --like ten-core-control", &SOCKET, "")
            .wrong()
            .contains("no DE-9 socket")
    );
    assert_eq!(bench.read("three.toml"), "like = 'ten-core-control'");
    assert!(!bench.path("three.survey").exists() && !bench.path("four.survey").exists());
}
