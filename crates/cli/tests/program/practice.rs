//! What people build by hand, held against what the program designs: common practice, no source.

use crate::bench::Bench;
use serde_json::{Value, json};

/// The only option's joins as `13-6`, in their order.
fn joins(option: &Value) -> Vec<String> {
    let joins = option["joins"].as_array().expect("an option has joins");
    let text = |join: &Value, key: &str| join[key].as_str().map(str::to_owned).unwrap_or_default();
    joins.iter().map(|join| format!("{}-{}", text(join, "controller"), text(join, "port"))).collect()
}

#[track_caller]
fn check(controller: &str, port: &str, expected: &[&str]) {
    let (code, answer) = Bench::demo().json(&format!("design {controller} {port}"));
    let option = &answer["options"][0];
    assert_eq!((code, &option["verdict"]), (0, &json!("works")), "{answer:#}");
    let mut expected: Vec<&str> = expected.iter().copied().chain(["15-1", "7-2", "14-3", "6-4"]).collect();
    expected.sort_by_key(|join| join.split_once('-').map(|(contact, _)| contact.parse::<u8>().ok()));
    assert_eq!(joins(option), expected);
}

#[test]
fn the_leads_to_two_triggers_are_those_that_people_build() {
    check("heron-stick", "plover", &["13-6", "5-7", "1-9"]);
    check("heron-pad", "plover", &["13-6", "5-7", "1-9", "8-5"]);
}

#[test]
fn the_leads_to_one_fire_are_those_that_people_build() {
    check("heron-stick", "curlew", &["13-6", "1-8"]);
    check("heron-pad", "curlew", &["13-6", "1-8", "8-7"]);
}

#[test]
fn the_leads_to_the_light_gun_port_are_those_that_people_build() {
    check("heron-stick", "teal", &["13-6", "5-9", "1-8"]);
    check("heron-pad", "teal", &["13-6", "5-9", "1-8", "8-5"]);
}

#[test]
fn the_leads_to_a_second_button_on_9_are_those_that_people_build() {
    check("heron-stick", "curlew-plus", &["13-6", "5-9", "1-8"]);
    check("heron-pad", "curlew-plus", &["13-6", "5-9", "1-8", "8-7"]);
}

/// The common goes to 8, which is strobed, and not to the ground on 7.
#[test]
fn the_lead_to_the_mini_din_has_its_common_on_the_strobed_contact() {
    check("heron-stick", "dotterel", &["13-6", "1-8"]);
}

/// 13–7, 5–6, 1–8 and the directions, no supply: that lead of wire types while a key is held, so each switch gets
/// a diode, and the columns and the common stay where people put them.
#[test]
fn the_lead_to_scanned_returns_is_the_one_that_people_build_with_a_diode_for_each_switch() {
    let (code, answer) = Bench::demo().json("design heron-stick avocet");
    let option = &answer["options"][0];
    assert_eq!((code, &option["verdict"]), (0, &json!("thin")), "{answer:#}");
    let joins = option["joins"].as_array().expect("an option has joins");
    let text = |join: &Value, key: &str| join[key].as_str().map(str::to_owned).unwrap_or_default();
    let joins: Vec<[String; 2]> =
        joins.iter().map(|join| ["from", "to"].map(|key| text(join, key))).collect();
    // From the controller's contact to the port's, by way of a diode or without one.
    let reached = |contact: &str| -> Option<&str> {
        let (_, next) = joins.iter().map(|[from, to]| (from, to)).find(|(from, _)| *from == contact)?;
        let beyond = next.strip_suffix(".cathode").map(|diode| format!("{diode}.anode"));
        match beyond {
            Some(anode) => joins.iter().find(|[from, _]| *from == anode).map(|[_, to]| to.as_str()),
            None => Some(next),
        }
    };
    for (controller, port) in [(15, 1), (7, 2), (14, 3), (6, 4), (13, 7), (5, 6), (1, 8)] {
        let expected = format!("port.{port}");
        assert_eq!(reached(&format!("controller.{controller}")), Some(expected.as_str()), "{joins:?}");
    }
    assert_eq!(joins.len(), 13, "six diodes with two joins each, and the common: {joins:?}");
}

/// 5 V across 10 kΩ and the pad's 5 V ÷ 5 mA = 1 kΩ: 5 V × 1 ÷ 11, and a little more, which the
/// conductors take.
#[test]
fn the_pad_fed_from_the_light_gun_line_is_refused_with_the_volts_it_would_sag_to() {
    for join in ["8-7", "controller.8-port.7"] {
        let (code, answer) = Bench::demo().json(&format!("design heron-pad teal --join {join}"));
        let refusal = &answer["refused"][0];
        assert_eq!((code, &answer["options"]), (1, &json!([])));
        let findings = refusal["nearest"]["findings"].as_array().expect("a refusal has findings");
        let pulled_up = findings.iter().find(|finding| finding["code"] == "power-pulled-up");
        let pulled_up = pulled_up.expect("the contact is no supply");
        assert!(pulled_up["contacts"].as_array().is_some_and(|all| all.contains(&json!("port.7"))));
        let sags_to = pulled_up["figures"]["sags_to_volts"].as_f64().expect("a figure");
        assert!((sags_to - 5.0 / 11.0).abs() < 1e-3, "{sags_to}");
        assert!(refusal["facts"].as_array().is_some_and(|facts| facts.len() > 1), "{refusal:#}");
    }
}
