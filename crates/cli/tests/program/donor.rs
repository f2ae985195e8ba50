//! Leads into the port's own pad, opened.

use crate::bench::Bench;

const LEAD: &str = include_str!("../../../../demo/leads/heron-stick-to-bittern-by-its-own-pad.toml");
const NAME: &str = "heron-stick-to-bittern-by-its-own-pad";

fn with_lead() -> Bench {
    let bench = Bench::demo();
    bench.put(&format!("{NAME}.toml"), LEAD);
    bench
}

#[test]
fn the_demos_lead_into_a_donor_works_and_names_its_points_by_function() {
    let bench = with_lead();
    let (code, proof) = bench.json(&format!("prove {NAME}"));
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    let (_, shown) = bench.json(&format!("show {NAME}"));
    assert_eq!(shown["donor"], "bittern-pad");
    let joins: Vec<&str> =
        shown["joins"].as_array().unwrap().iter().map(|join| join["to"].as_str().unwrap()).collect();
    assert_eq!(joins.len(), 9, "what is soldered, and not the pad's own plug");
    assert!(joins.contains(&"donor.up") && joins.contains(&"donor.up.common"), "{joins:?}");
}

#[test]
fn what_design_saves_is_proved_again_from_its_file() {
    let bench = Bench::demo();
    let (code, designed) = bench.json("design heron-stick dunlin --donor dunlin-pad --save");
    assert_eq!(code, 0);
    assert_eq!(designed["options"][0]["class"], "donor");
    let (code, proof) = bench.json("prove heron-stick-to-dunlin-by-dunlin-pad");
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    assert!(!proof["findings"].to_string().contains("build-stale"), "{}", proof["findings"]);
}

#[test]
fn without_a_word_the_pads_of_the_shelf_are_tried() {
    let (code, designed) = Bench::demo().json("design heron-stick bittern");
    assert_eq!((code, &designed["options"][0]["donor"]), (0, &"bittern-pad".into()));
    let (code, refused) = Bench::demo().json("design heron-stick sanderling --class donor");
    assert_eq!(code, 1);
    assert_eq!(refused["not_donors"][0]["pad"], "sanderling-pad");
    let why = refused["not_donors"][0]["why"].as_str().unwrap();
    assert!(why.starts_with("its switches share no common"), "{why}");
}

#[test]
fn what_is_not_made_of_a_lead_into_a_donor_is_said() {
    let bench = with_lead();
    let buzz = bench.run(&format!("buzz {NAME}")).wrong();
    assert!(buzz.starts_with("error: meter tests of leads with a donor are not made"), "{buzz}");
    assert!(
        buzz.contains("first read the pad's supply against its return")
            && buzz.contains("controller.15 - donor.up"),
        "{buzz}"
    );
    for (command, what) in [
        (format!("diagnose {NAME}"), "diagnoses of leads with a donor are not made"),
        (format!("compare {NAME} curlew"), "comparisons of leads with a donor are not made"),
    ] {
        let told = bench.run(&command).wrong();
        assert!(told.contains(what), "{told}");
    }
}

#[test]
fn the_guide_tells_how_to_open_the_pad_and_find_its_points() {
    let bench = with_lead();
    _ = bench.run(&format!("guide {NAME} --out guide.html")).sound();
    let page = bench.read("guide.html");
    for words in [
        "beeps with leg 3 of U1, a 74HC157",
        "beeps with contact 8 of the plug",
        "pull the pad’s plug out of it",
        "Meter tests that find every mistake are not made for leads with a donor.",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(!page.contains("Nothing in this guide needs a case to be opened"));
}
