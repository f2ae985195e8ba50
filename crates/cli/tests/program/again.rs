//! What one process proposes and saves, another proves again from the file alone, and comes to the same in all.

use serde_json::Value;

use crate::bench::Bench;

/// What a proof says.
const SAID: [&str; 9] = [
    "verdict",
    "operating_points",
    "controls_lost",
    "findings",
    "actions",
    "holds_for",
    "stands_on",
    "axes",
    "loads",
];

fn proved_again(pair: &str, class: &str) {
    asked_again(&format!("{pair} --class {class}"), pair, class);
}

fn asked_again(asked: &str, pair: &str, class: &str) -> Value {
    let bench = Bench::demo();
    let (code, designed) = bench.json(&format!("design {asked} --save saved.toml"));
    assert_eq!(code, 0, "{pair}: a {class} lead is proposed");
    let option = &designed["options"][0];
    assert_eq!(option["class"], class, "{pair}");
    let (_, proof) = bench.json("prove saved.toml");
    for said in SAID {
        assert!(!proof[said].is_null(), "{said}");
        assert_eq!(option[said], proof[said], "{pair}, {class}: {said}");
    }
    // A lead without a switch has none.
    assert_eq!(option["settings"], proof["settings"], "{pair}, {class}");
    assert_eq!(option["joins"], proof["lead"]["joins"], "{pair}, {class}");
    proof
}

#[test]
fn a_saved_lead_of_wire_or_with_parts_is_proved_again_as_it_was() {
    proved_again("heron-stick plover", "plain");
    proved_again("heron-stick avocet", "parts");
    proved_again("nine-pin-select-pad-six-buttons curlew", "plain");
}

#[test]
fn a_saved_lead_with_chips_is_proved_again_as_it_was() {
    for port in ["bittern", "dunlin", "sanderling", "godwit", "whimbrel"] {
        proved_again(&format!("heron-stick {port}"), "logic");
    }
    proved_again("bittern-panel knot", "logic");
    proved_again("heron-pad bittern", "logic");
    proved_again("nine-pin-select-pad curlew", "logic");
}

#[test]
fn a_saved_lead_into_a_donor_is_proved_again_as_it_was() {
    proved_again("heron-stick bittern", "donor");
}

#[test]
fn a_saved_lead_with_a_switch_is_proved_again_as_it_was() {
    let pair = "heron-stick plover";
    let proof = asked_again(&format!("{pair} --switch b=up,second-fire"), pair, "parts");
    assert_eq!(proof["settings"].as_array().map(Vec::len), Some(2));
}
