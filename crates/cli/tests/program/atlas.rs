//! Every controller against every port, as the program says it.

use serde_json::{Value, json};

use crate::bench::Bench;

fn pairs(answer: &Value) -> &Vec<Value> {
    answer["pairs"].as_array().expect("a list")
}

#[test]
fn a_stick_against_some_machines() {
    let told = Bench::demo().run("atlas heron-stick avocet bittern curlew godwit plover teal").sound();
    insta::assert_snapshot!(told, @"
    1 controller against 6 ports: 6 pairs
         3  works, wire only
         1  works, wire into the port's own pad
         1  works, logic chips, no program
         1  thin, wire with diodes, resistors or a switch
    No program is told here. A lead into the port's own pad takes one of these; what else would do,
    `solderside design` puts beside it.

    heron-stick: Heron stick
      works, wire only: plover, teal
          lost: controls `c`, `d`, `select`, `start`
      works, wire only: curlew
          lost: controls `b`, `c`, `d`, `select`, `start`
      works, wire into the port's own pad `bittern-pad`: bittern
          lost: controls `d`, `select`
          wire alone does not do all: the machine knows what is plugged in by fixed levels of `port.3`
          and `port.4` (and 4 more reasons)
      works, logic chips, no program: godwit
          lost: axes of the machine `second-x`, `second-y`; controls `select`, `start`
      thin, wire with diodes, resistors or a switch: avocet
          lost: controls `c`, `d`, `select`, `start`
          wire alone does not do all: wire is all there is: a plain lead has no diodes that would keep
          nets apart

    `solderside design CONTROLLER PORT` tells all of a pair.
    ");
}

#[test]
fn a_square_says_what_design_says() {
    let bench = Bench::demo();
    let named = "heron-stick fifteen-pin-stick heron-pad godwit-stick curlew nine-pin-one-fire plover avocet godwit dunlin";
    let (code, answer) = bench.json(&format!("atlas {named}"));
    assert_eq!((code, pairs(&answer).len()), (0, 4 * 6));
    for pair in pairs(&answer) {
        let command = pair["command"].as_str().and_then(|command| command.strip_prefix("solderside "));
        let (code, designed) = bench.json(command.expect("a command of ours"));
        let best = &designed["options"][0];
        assert_eq!(code == 0, pair["lead"].is_object(), "{pair:#}");
        if code == 0 {
            for key in ["verdict", "class", "donor", "controls_lost"] {
                assert_eq!(pair["lead"][key], best[key], "{key}: {pair:#}");
            }
            assert_eq!(pair["lead"]["parts"], json!(best["parts"].as_array().map(Vec::len)));
            let play = best["play"].as_object().expect("a play map");
            let idle: Vec<&String> = play
                .iter()
                .filter(|(_, controls)| **controls == json!([]))
                .map(|(action, _)| action)
                .collect();
            let mut lost: Vec<&str> = pair["lead"]["actions_lost"]
                .as_array()
                .expect("a list")
                .iter()
                .filter_map(Value::as_str)
                .collect();
            lost.sort_unstable();
            assert_eq!(lost, idle, "{pair:#}");
        }
        let refused = designed["refused"].as_array().expect("a list");
        let facts: Vec<&Value> = refused.iter().map(|refusal| &refusal["facts"]).collect();
        assert_eq!(pair["reasons"], json!(facts), "{pair:#}");
    }
}

#[test]
fn a_lead_into_a_pad_names_it_and_a_pad_with_mistakes_is_in_nobodys_way() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = \"nine-pin-select-pad\"\ntitle = 7\n");
    let (code, answer) = bench.json("atlas heron-stick bittern");
    assert_eq!(code, 0, "{answer:#}");
    let lead = &pairs(&answer)[0]["lead"];
    assert_eq!((&lead["class"], &lead["donor"]), (&json!("donor"), &json!("bittern-pad")));
    // What the square's command saves is that lead.
    let told = bench.run("design heron-stick bittern --save").sound();
    assert!(
        told.contains("way 1, the donor lead, is saved in heron-stick-to-bittern-by-bittern-pad.toml"),
        "{told}"
    );
}

#[test]
fn axes_that_nothing_moves_are_lost() {
    let (_, answer) = Bench::demo().json("atlas heron-stick godwit-stick godwit");
    let lost = |controller: &str| {
        let pair = pairs(&answer).iter().find(|pair| pair["controller"] == controller).expect("the pair");
        pair["lead"]["axes_lost"].as_array().map(Vec::len)
    };
    // A lever moves the first two of the four through chips, as the stick made for it does by pots.
    assert_eq!((lost("godwit-stick"), lost("heron-stick")), (Some(2), Some(2)), "{answer:#}");
}

#[test]
fn sockets_where_no_lead_belongs_and_broken_profiles_are_left_out_and_named() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = \"nine-pin-one-fire\"\ntitle = \"Mine\"\nrail = 5\n");
    let (_, answer) = bench.json("atlas nine-pin-stick-with-one-button");
    let named = |pair: &&Value| pair["port"] == "nine-way-serial" || pair["port"] == "mine";
    assert_eq!(pairs(&answer).iter().find(named), None);
    assert_eq!(answer["unreadable"], json!(["mine"]));
    let left_out = answer["left_out"].as_array().expect("a list");
    assert!(left_out.iter().any(|port| port["name"] == "nine-way-serial"), "{left_out:?}");
    let told = bench.run("atlas nine-pin-stick-with-one-button nine-way-serial").sound();
    assert!(told.contains("nine-way-serial: Nine-way serial interface, where no lead belongs"), "{told}");
}

#[test]
fn what_is_neither_controller_nor_port_is_refused() {
    let bench = Bench::demo();
    let said = bench.run("atlas ten-core-control").wrong();
    assert!(said.contains("`ten-core-control` is a cable, expected a controller or a port"), "{said}");
    let said = bench.run("atlas herons-stick").wrong();
    assert!(said.contains("herons-stick") && said.contains("write `heron-stick`"), "{said}");
    bench.put("mine.toml", "like = \"nine-pin-one-fire\"\ntitle = \"Mine\"\nrail = 5\n");
    let said = bench.run("atlas mine").wrong();
    assert!(said.contains("mine.toml"), "{said}");
}

#[test]
fn the_summary_counts_each_pair_once_and_has_each_outcome_once() {
    let told =
        Bench::demo().run("atlas heron-stick godwit-stick curlew curlew-plus godwit plover shrike").sound();
    let summary: Vec<(usize, &str)> = told
        .lines()
        .skip(1)
        .map_while(|line| line.trim().split_once("  "))
        .map(|(count, outcome)| (count.parse().expect("a count"), outcome))
        .collect();
    assert_eq!(summary.iter().map(|(count, _)| count).sum::<usize>(), 2 * 5, "{told}");
    let mut outcomes: Vec<&str> = summary.iter().map(|(_, outcome)| *outcome).collect();
    outcomes.sort_unstable();
    outcomes.dedup();
    assert_eq!(outcomes.len(), summary.len(), "{told}");
}

#[test]
fn the_page_is_written_once_and_replaced_only_when_told() {
    let bench = Bench::demo();
    let named = "atlas heron-stick curlew teal --write page.html";
    let told = bench.run(named).sound();
    assert!(told.contains("written: page.html"), "{told}");
    let page = bench.read("page.html");
    assert!(page.contains("solderside design heron-stick curlew") && page.ends_with("</html>"), "{page}");
    let said = bench.run(named).wrong();
    assert!(said.contains("`page.html` is there already"), "{said}");
    bench.run(&format!("{named} --force")).sound();
    assert_eq!(bench.read("page.html"), page, "the same profiles give the same page");
    let (_, answer) = bench.json("atlas heron-stick curlew --write other.html");
    assert_eq!(answer["written"], json!("other.html"));
    let said = bench.run("atlas heron-stick curlew --write nowhere/page.html").wrong();
    assert!(said.contains("nowhere"), "{said}");
}

#[test]
fn wire_alone_plays_no_direction_on_a_port_of_axes_and_is_told_so() {
    let bench = Bench::demo();
    let told = bench.run("design heron-stick godwit --class plain").sound();
    assert!(told.contains("works, but NO DIRECTION is played: a lever moves nothing"), "{told}");
    let told = bench.run("atlas heron-stick godwit-stick godwit").sound();
    assert!(!told.contains("NO DIRECTION"), "{told}");
}
