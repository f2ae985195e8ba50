//! Cables through the whole tool: listed, shown, chosen, saved, and found impossible.

use crate::bench::Bench;
use serde_json::{Value, json};

/// Four cores, a moulded end that lacks the return, and two cores of one colour.
const CHEAP: &str = "
format = 1
kind = 'cable'
title = 'Cut lead from the drawer'
conductor = 'AWG 28'
length_mm = 1200
colours = ['BR', 'white with yellow', 'WH', 'WH', 'GR']
evidence = 'measured'
source = 'my meter'
[[moulded]]
connector = 'DE-9 socket'
cores = { 1 = 1, 2 = 2, 3 = 3, 4 = 4, 6 = 5 }
";

#[test]
fn the_shelf_lists_cables_and_a_cable_is_shown_with_its_cores() {
    let bench = Bench::demo();
    bench.put("cheap.toml", CHEAP);
    insta::assert_snapshot!(bench.run("shelf cable").sound(), @"
    Cables
      cheap                     shelf      Cut lead from the drawer
      five-pair-screened        catalogue  Five-pair screened control cable; like ten-core-control
      nine-core-moulded-socket  catalogue  Nine-core extension lead, cut, with its moulded DE-9 socket
      ten-core-control          catalogue  Ten-core control cable
      twelve-core-control       catalogue  Twelve-core control cable; like ten-core-control
    ");
    insta::assert_snapshot!(bench.run("show cheap").sound(), @"
    Cut lead from the drawer (cable `cheap`)
    5 cores of AWG 28, 1.2 m

    Cores
      core  letters  colour             ends moulded in
      1     BN       brown              DE-9 socket 1
      2     YEWH     white with yellow  DE-9 socket 2
      3     WH       white              DE-9 socket 3
      4     WH       white              DE-9 socket 4
      5     GY       grey               DE-9 socket 6
      the moulded DE-9 socket has nothing in 5, 7, 8, 9

    Evidence
      measured [1]

    Sources
      [1] my meter
    ");
    let (_, shown) = bench.json("show cheap");
    assert_eq!((&shown["kind"], &shown["length_metres"]), (&json!("cable"), &json!(1.2)));
    assert_eq!(
        shown["cores"][1],
        json!({ "core": "2", "letters": "YEWH", "colour": "white with yellow", "twisted_with": null, "moulded_in": ["2"] })
    );
}

#[test]
fn a_design_gives_each_join_a_core() {
    let bench = Bench::demo();
    let answer = bench.run("design heron-pad curlew --cable five-pair-screened").sound();
    let (_, sections) = answer.split_once("Joins\n").unwrap_or_default();
    let (sections, _) = sections.split_once("\nFindings\n").unwrap_or_default();
    insta::assert_snapshot!(sections, @"
      from                   to              core
      controller.1   common  port.8  return  BU 7, twisted with 8
      controller.6   right   port.4  right   WH 1, twisted with 2
      controller.7   down    port.2  down    BN 2, twisted with 1
      controller.8   supply  port.7  supply  RD 8, twisted with 7
      controller.13  a       port.6  fire    GN 3, twisted with 4
      controller.14  left    port.3  left    YE 4, twisted with 3
      controller.15  up      port.1  up      GY 5, twisted with 6

    Cable
      1.5 m of Five-pair screened control cable (`five-pair-screened`), 0.14 mm²
      spare, to be cut back and insulated: PK 6, BK 9, VT 10, drain
    ");
    let (_, answer) = bench.json("design heron-pad curlew --cable five-pair-screened");
    let option = &answer["options"][0];
    assert_eq!(option["cord"], json!({ "conductor": "0.14 mm²", "length_metres": 1.5 }));
    assert_eq!(option["cable"]["spares"], json!(["6", "9", "10", "drain"]));
    let supply = option["joins"].as_array().and_then(|joins| joins.iter().find(|join| join["port"] == "7"));
    let core = supply.map(|join| &join["core"]);
    assert_eq!(core, Some(&json!({ "core": "8", "letters": "RD", "twisted_with": "7" })));
    let (_, plain) = bench.json("design heron-pad curlew");
    assert_eq!(plain["options"][0]["cable"], Value::Null);
    assert_eq!(plain["options"][0]["joins"][0]["core"], Value::Null);
}

#[test]
fn a_lead_keeps_its_cable_and_is_stale_when_that_changes() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = 'ten-core-control'\nlength_mm = 2000");
    bench.run("design heron-stick curlew --cable mine --save").sound();
    let saved = bench.read("heron-stick-to-curlew.toml");
    assert!(saved.contains("[cord]\ncable = \"mine\"\n\n"), "{saved}");
    let shown = bench.run("show heron-stick-to-curlew").sound();
    assert!(shown.contains("controller.1   common  port.8  return  BK 9\n"), "{shown}");
    assert!(shown.contains("  cord        0.14 mm², 2 m\n"), "{shown}");
    assert!(!bench.run("prove heron-stick-to-curlew").sound().contains("build-stale"));
    bench.put("mine.toml", "like = 'ten-core-control'\nlength_mm = 1900");
    assert!(bench.run("prove heron-stick-to-curlew").sound().contains("the profile `mine` has changed"));
}

#[test]
fn a_saved_lead_is_tried_in_another_cable() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save").sound();
    let answer = bench.run("prove heron-stick-to-curlew --cable twelve-core-control").sound();
    assert!(answer.contains("  BK 9\n"), "{answer}");
    bench.put("cheap.toml", CHEAP);
    let answer = bench.run("prove heron-stick-to-curlew --cable ./cheap.toml").found();
    assert!(
        answer.contains("nothing ends in contact 8 of the moulded port end of the cable `cheap`"),
        "{answer}"
    );
    assert!(answer.contains("controller.1   common  port.8  return  none\n"), "{answer}");
}

#[test]
fn a_cable_with_too_few_cores_is_one_of_the_facts_of_a_refusal() {
    let bench = Bench::demo();
    bench.put("thin.toml", "like = 'ten-core-control'\ncores = 5");
    let without = bench.run("design heron-stick curlew --cable thin").sound();
    assert!(without.contains("it goes without `fire`; why stands below"), "{without}");
    let answer = bench.run("design heron-stick curlew --cable thin --must a").found();
    assert!(answer.contains("the lead shall run in the cable `thin`"), "{answer}");
    assert!(answer.contains("build-few-cores: 6 joins run through the cable `thin`"), "{answer}");
    assert!(!bench.path("heron-stick-to-curlew.toml").exists());
}

#[test]
fn the_guide_and_the_drawing_show_the_cores() {
    let bench = Bench::demo();
    bench.run("guide heron-stick plover --cable twelve-core-control --drawing lead.svg").sound();
    let guide = bench.read("heron-stick-to-plover-guide.html");
    assert!(guide.contains("Twelve-core control cable"));
    assert!(guide.contains("GYPK 11") && guide.contains("Spare: "), "the eleventh core is spare");
    assert!(bench.read("lead.svg").contains(">BK 9</text>"));
    assert!(guide.len() < 250_000, "{} bytes", guide.len());
}

#[test]
fn a_word_that_is_no_cable_is_refused_with_what_may_be_meant() {
    let bench = Bench::demo();
    let message = bench.run("design heron-stick curlew --cable ten-core").wrong();
    assert!(
        message.contains("no cable is called `ten-core`") && message.contains("`ten-core-control`"),
        "{message}"
    );
    let message = bench.run("design heron-stick curlew --cable plover").wrong();
    assert!(message.contains("`plover` is a port, expected a cable"), "{message}");
    let message = bench.run("prove ten-core-control").wrong();
    assert!(message.contains("`ten-core-control` is a cable, expected a lead"), "{message}");
    bench.put("broken.toml", "format = 1\nkind = 'cable'\nconductor = 'AWG 99'\ncolours = ['WH', 'mauve']");
    let message = bench.run("guide heron-stick curlew --cable broken").wrong();
    assert!(
        message.contains("`AWG 99` is no wire gauge") && message.contains("`mauve` is no colour"),
        "{message}"
    );
    assert!(bench.run("shelf broken").sound().contains("broken: "), "the shelf lists it all the same");
}

#[test]
fn a_lead_whose_own_file_names_its_cable_is_rewired_core_by_core_too() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --cable ten-core-control --save mine.toml").sound();
    let answer = bench.run("compare mine heron-stick plover").sound();
    let move_of = "1. Move the conductor (BK 9) of `common`: at the port end from cup 8 to cup 9 (`return`).";
    assert!(answer.contains(move_of), "{answer}");
}

#[test]
fn a_lead_in_a_cable_is_rewired_core_by_core() {
    let bench = Bench::demo();
    let answer = bench.run("compare heron-stick curlew plover --cable nine-core-moulded-socket").sound();
    insta::assert_snapshot!(answer, @"
    2 moves, and no fewer would do
      from  Heron stick to Curlew home computer
      to    Heron stick to Plover home computer
    rewired so, the lead works

    Unplug the lead at every end before you rewire it.
    The port end is moulded on. Where a step moves a conductor there, take it off at the other end,
    insulate it, and solder in its place the core that ends in the new contact.

    Net by net
      `common` to `return`: controller 1, port 9
        1. Move the conductor (GY 8) of `common`: at the port end from cup 8 to cup 9 (`return`).
      `b` to `second-fire`: controller 5, port 7
        2. Add a conductor from cup 5 (`b`) of the controller end to cup 7 (`second-fire`) of the port
           end.

    What stays
      5 conductors: `right`, `down`, `a` to `fire`, `left` and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.

    What the controls play
      `b` plays `second-fire`; before it played nothing.

    What the ends are for
      The port end is for `plover`; before it was for `curlew`.
    ");
    let (_, answer) = bench.json("compare heron-stick curlew plover --cable nine-core-moulded-socket");
    assert_eq!((&answer["moulded_ends"], &answer["cable"]), (&json!(["port"]), &Value::Null));
    assert_eq!(answer["after"]["cable"]["cable"], "nine-core-moulded-socket");
    assert!(answer["steps"][0]["conductor"]["core"]["letters"].is_string(), "{answer:#}");
}

#[test]
fn rewiring_leaves_the_cable_of_the_first_lead() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --cable ten-core-control --save first.toml").sound();
    let answer = bench.run("compare first.toml heron-stick curlew").sound();
    assert!(
        answer.contains(
            "The second lead names no cable. Rewiring leaves what the first one names: `ten-core-control`."
        ),
        "{answer}"
    );
}

#[test]
fn a_play_map_keeps_the_cable_and_its_fingerprint() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --cable ten-core-control --save mine.toml").sound();
    let before = bench.read("mine.toml");
    assert!(before.contains("cable = \"ten-core-control\""), "{before}");
    let answer = bench.run("play mine.toml fire=b").found();
    assert!(answer.contains("design heron-stick curlew --play fire=b --cable ten-core-control"), "{answer}");
    bench.run("play mine.toml fire=a").sound();
    assert_eq!(bench.read("mine.toml"), before, "proved again, in the same cable");
    let refused = bench.run("play ten-core-control fire=b").wrong();
    assert!(refused.contains("`ten-core-control` is a cable, expected a lead"));
}

#[test]
fn a_cable_by_its_path_is_asked_after_elsewhere_too() {
    let bench = Bench::demo();
    bench.put("drawer/ten.toml", "like = 'ten-core-control'");
    let answer = bench.run("fits heron-stick curlew --cable drawer/ten.toml").sound();
    assert!(answer.contains("Curlew home computer: works"), "{answer}");
}
