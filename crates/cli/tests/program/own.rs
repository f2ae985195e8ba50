//! The machines of the shelf whose reading takes steps, chips or time, each with the controller made for it.

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
