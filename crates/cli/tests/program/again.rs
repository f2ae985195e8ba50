//! What one process proposes and saves, another proves again from the file alone, and comes to the same in all.

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
    let bench = Bench::demo();
    let (code, designed) = bench.json(&format!("design {pair} --class {class} --save saved.toml"));
    assert_eq!(code, 0, "{pair}: a {class} lead is proposed");
    let option = &designed["options"][0];
    assert_eq!(option["class"], class, "{pair}");
    let (_, proof) = bench.json("prove saved.toml");
    for said in SAID {
        assert!(!proof[said].is_null(), "{said}");
        assert_eq!(option[said], proof[said], "{pair}, {class}: {said}");
    }
    assert_eq!(option["joins"], proof["lead"]["joins"], "{pair}, {class}");
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
