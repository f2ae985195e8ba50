//! The machines of the shelf whose reading takes steps, chips or time, each with the controller made for it, and the
//! shelf's leads with chips.

use crate::bench::Bench;

#[test]
fn each_machine_works_with_its_own_controller_joined_contact_to_contact() {
    let bench = Bench::demo();
    for (controller, port) in [
        ("bittern-pad", "bittern"),
        ("dunlin-pad", "dunlin"),
        ("knot-pad", "knot"),
        ("sanderling-pad", "sanderling"),
        ("godwit-stick", "godwit"),
        ("whimbrel-stick", "whimbrel"),
    ] {
        let (code, designed) = bench.json(&format!("design {controller} {port}"));
        assert_eq!(code, 0, "{controller} to {port}");
        let option = &designed["options"][0];
        assert_eq!(option["verdict"], "works", "{controller} to {port}: {option}");
        let joins = option["joins"].as_array().expect("an option has joins");
        let is_straight = |join: &serde_json::Value| join["controller"] == join["port"];
        assert!(!joins.is_empty() && joins.iter().all(is_straight), "{controller} to {port}: {joins:?}");
    }
}

/// Leads written by hand: a multiplexer, a register, and analogue switches with a transistor.
const LEADS: [(&str, &str); 3] = [
    ("heron-stick-to-bittern", include_str!("../../../../demo/leads/heron-stick-to-bittern.toml")),
    ("heron-stick-to-dunlin", include_str!("../../../../demo/leads/heron-stick-to-dunlin.toml")),
    (
        "heron-stick-to-curlew-by-switches",
        include_str!("../../../../demo/leads/heron-stick-to-curlew-by-switches.toml"),
    ),
];

fn with_leads() -> Bench {
    let bench = Bench::demo();
    for (name, text) in LEADS {
        bench.put(&format!("{name}.toml"), text);
    }
    bench
}

#[test]
fn leads_with_chips_that_are_written_by_hand_work() {
    let bench = with_leads();
    for (name, _) in LEADS {
        let (code, proof) = bench.json(&format!("prove {name}"));
        assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{name}: {}", proof["findings"]);
    }
}

#[test]
fn a_lead_with_a_multiplexer_works_on_its_class_and_harms_a_plain_machine() {
    let bench = with_leads();
    let (code, fits) = bench.json("fits heron-stick-to-bittern");
    assert_eq!(code, 0);
    let fitting = |name: &str| {
        let all = fits["fittings"].as_array().expect("places");
        all.iter().find(|place| place["name"] == name).unwrap_or_else(|| panic!("{name} is not looked at"))
    };
    assert_eq!(fitting("nine-pin-select")["fit"], "works");
    // Its supply lands on an input there, and its select on the supply.
    assert_eq!(fitting("curlew")["verdict"], "harms");
}

#[test]
fn a_register_becomes_a_multiplexer_by_moves_that_are_proved() {
    let bench = with_leads();
    let (code, change) = bench.json("compare heron-stick-to-dunlin heron-stick-to-bittern");
    assert_eq!(code, 0);
    let moves = change["steps"].as_array().expect("steps");
    assert!(
        moves.iter().any(|one| one["text"].to_string().contains("put a 74HC157 in its place")),
        "{moves:?}"
    );
    assert_eq!(change["rewired"]["verdict"], "works");
}
