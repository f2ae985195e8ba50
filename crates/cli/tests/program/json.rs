//! The machine-readable twin of each command.

use crate::bench::Bench;
use serde_json::{Value, json};

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().map(|object| object.keys().map(String::as_str).collect()).unwrap_or_default()
}

#[test]
fn design_gives_options_with_their_proofs() {
    let (code, answer) = Bench::demo().json("design heron-stick curlew");
    assert_eq!((code, &answer["format"], &answer["refused"]), (0, &json!(1), &json!([])));
    let option = &answer["options"][0];
    assert_eq!(option["class"], "plain");
    assert_eq!(option["verdict"], "works");
    assert_eq!(option["controls_lost"], json!(["b", "c", "d", "select", "start"]));
    assert_eq!(option["parts"], json!([]));
    let fire =
        json!({ "controller": "13", "port": "6", "from": "controller.13", "to": "port.6", "core": null });
    assert!(option["joins"].as_array().is_some_and(|joins| joins.contains(&fire)), "{option:#}");
    assert_eq!(option["play"]["fire"], json!(["a"]));
    assert_eq!(
        option["ends"][0],
        json!({ "end": "controller", "profile": "heron-stick", "connector": "DA-15 socket" })
    );
    for key in ["findings", "actions", "holds_for", "stands_on", "loads"] {
        assert!(option[key].is_array(), "{key}");
    }
}

#[test]
fn design_gives_refusals_with_their_facts_and_the_nearest_lead() {
    let (code, answer) = Bench::demo().json("design heron-pad teal --join 8-7");
    assert_eq!((code, &answer["options"], &answer["saved"]), (1, &json!([]), &Value::Null));
    let refusal = &answer["refused"][0];
    assert_eq!(refusal["class"], "plain");
    assert!(refusal["facts"].as_array().is_some_and(|facts| facts.iter().all(Value::is_string)));
    assert_eq!(refusal["nearest"]["verdict"], "harms");
}

#[test]
fn prove_gives_findings_actions_and_the_range_that_the_verdict_holds_for() {
    let (code, proof) = Bench::demo().json("prove heron-pad teal --join 8-7");
    assert_eq!((code, &proof["format"], &proof["verdict"]), (1, &json!(1), &json!("harms")));
    assert!(proof["operating_points"].as_u64().is_some_and(|points| points > 0));
    assert_eq!(
        keys(&proof["findings"][0]),
        ["code", "severity", "contacts", "text", "figures", "state", "step", "remedy"]
    );

    let (code, proof) = Bench::demo().json("prove heron-pad teal");
    assert_eq!((code, &proof["verdict"]), (0, &json!("works")));
    let action = &proof["actions"][0];
    assert_eq!(
        keys(action),
        ["action", "contact", "active_worst_volts", "idle_worst_volts", "margin_volts", "active", "idle"]
    );
    assert_eq!(
        keys(&action["active"]),
        ["volts", "guaranteed_volts", "typical_volts", "margin_volts", "state", "step", "corner"]
    );
    assert_eq!(action["active"]["volts"], action["active_worst_volts"]);
    assert_eq!(
        keys(&proof["holds_for"][0]),
        ["what", "contacts", "unit", "from", "to", "taken", "evidence", "text", "settle"]
    );
    assert_eq!(keys(&proof["stands_on"][0]), ["what", "contacts", "evidence", "source"]);
    assert_eq!(keys(&proof["loads"][0]), ["contact", "what", "amps", "limit_amps", "stated"]);
    assert_eq!(proof.get("truth"), None);
}

#[test]
fn prove_gives_the_truth_table_when_it_is_asked_for() {
    let (_, proof) = Bench::demo().json("prove heron-stick curlew --truth");
    assert_eq!(proof["truth"][0], json!({ "pressed": [], "reads": [] }));
    let both = json!({ "pressed": ["up", "a"], "reads": ["up", "fire"] });
    assert!(proof["truth"].as_array().is_some_and(|rows| rows.contains(&both)), "{proof:#}");
}

#[test]
fn an_action_without_controls_has_no_active_reading() {
    let (code, proof) = Bench::demo().json("prove heron-stick curlew --play fire=");
    assert_eq!(code, 0);
    let actions = proof["actions"].as_array().expect("actions");
    let fire = actions.iter().find(|action| action["action"] == "fire").expect("the port listens for it");
    assert_eq!((&fire["active"], &fire["active_worst_volts"]), (&Value::Null, &Value::Null));
    assert!(fire["idle_worst_volts"].is_f64());
}

#[test]
fn shelf_gives_every_file_with_what_is_wrong_with_it() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = 'nine-pin-one-fire'\ntitel = 'x'\n");
    let (code, answer) = bench.json("shelf");
    assert_eq!((code, &answer["shelf"]), (0, &json!(".")));
    let entry = |name: &str| answer["entries"].as_array()?.iter().find(|entry| entry["name"] == name);
    let teal = json!({
        "name": "teal", "kind": "port", "title": "Teal games console",
        "like": "nine-pin-two-button-light-gun", "hazard": null, "file": "teal.toml", "complaints": [],
    });
    assert_eq!(entry("teal"), Some(&teal));
    assert_eq!(entry("fifteen-pin-stick").map(|entry| &entry["file"]), Some(&Value::Null));
    let complaint = json!({
        "file": "mine.toml", "line": 2, "column": 1,
        "headline": "unknown key `titel`", "help": "write `title`",
    });
    assert_eq!(entry("mine").map(|entry| &entry["complaints"]), Some(&json!([complaint])));
}

#[test]
fn show_gives_profiles_and_leads() {
    let bench = Bench::demo();
    let (code, port) = bench.json("show teal");
    assert_eq!((code, &port["kind"], &port["mate"]), (0, &json!("port"), &json!("DE-9 socket")));
    let seventh = json!({
        "contact": "7", "role": "sense", "function": "sense", "called": null, "input": "line", "axis": null,
        "supply_volts": null, "supply_amps_max": null, "driven": "both",
        "limits": { "volts": null, "sink_amps": null, "source_amps": null }, "inside": null,
        "evidence": "assumed",
        "source": "from memory: light-gun line, pulled up in the machine; some machines can drive it",
        "note": null,
    });
    assert!(port["contacts"].as_array().is_some_and(|contacts| contacts.contains(&seventh)), "{port:#}");
    assert_eq!(
        port["steps"][0],
        json!({
            "name": "read", "drives": {}, "hold_seconds": null, "reads": {}, "expects": {}, "samples": null,
            "quiet": [], "held": [],
        })
    );
    let (_, controller) = bench.json("show heron-pad");
    assert_eq!(
        (&controller["kind"], &controller["logic"]["supply_volts"]),
        (&json!("controller"), &json!([4.5, 5.0, 5.5]))
    );
    bench.run("design heron-stick curlew --save").sound();
    let (_, lead) = bench.json("show heron-stick-to-curlew");
    assert_eq!((&lead["kind"], &lead["play"]["fire"]), (&json!("lead"), &json!(["a"])));
}

#[test]
fn show_gives_scripts_axes_and_what_is_inside_a_controller() {
    let bench = Bench::demo();
    let (_, port) = bench.json("show nine-pin-select");
    assert_eq!(
        (&port["contacts"][6]["called"], &port["contacts"][6]["role"]),
        (&json!("select"), &json!("drive"))
    );
    let low = &port["steps"][1];
    assert_eq!(
        (&low["drives"], &low["hold_seconds"]),
        (&json!({ "7": "low" }), &json!([14e-6, 14e-6, 14e-6]))
    );
    assert_eq!(low["reads"], json!({ "1": "up", "2": "down", "6": "a", "9": "start" }));
    assert_eq!(low["expects"], json!({ "3": "low", "4": "low" }));
    let (_, game) = bench.json("show fifteen-pin-game");
    let axis = json!({ "full_scale_ohms": 100_000.0, "reads_seconds": [1e-5, 0.002], "low_end": "left" });
    assert_eq!((&game["contacts"][2]["axis"], &game["contacts"][2]["input"]), (&axis, &json!("axis")));
    assert_eq!(game["inputs"][0]["ramp"]["threshold_share"], json!([0.63, 0.667, 0.7]));
    let (_, stick) = bench.json("show fifteen-pin-game-stick");
    assert_eq!(stick["contacts"][2]["inside"]["low_end"], "left");
    let (_, pad) = bench.json("show nine-pin-select-pad");
    let inside = &pad["parts_inside"];
    let has = |list: &str, one: Value| inside[list].as_array().is_some_and(|all| all.contains(&one));
    assert!(has("parts", json!({ "part": "u1", "kind": "chip", "value": "74HC157" })), "{inside:#}");
    assert!(
        has("joins", json!(["u1.16", "5"]))
            && has("switches", json!({ "control": "a", "between": ["u1.11", "8"] }))
    );
    assert_eq!((&inside["evidence"], &inside["forgets_seconds"]), (&json!("assumed"), &json!(null)));
    let (_, pad) = bench.json("show nine-pin-select-pad-six-buttons");
    assert_eq!(pad["parts_inside"]["forgets_seconds"], json!([1.2e-3, 1.5e-3, 1.8e-3]));
    let (_, port) = bench.json("show nine-pin-select-six-buttons");
    assert_eq!(port["rest_seconds"], json!([9.8e-3, 10e-3, 20e-3]));
    assert_eq!(bench.json("show heron-stick").1["parts_inside"], json!(null));
}

#[test]
fn guide_gives_the_files_that_it_wrote() {
    let bench = Bench::demo();
    let (code, answer) = bench.json("guide heron-stick curlew --out a.html --drawing a.svg");
    assert_eq!(
        (code, &answer["verdict"], &answer["written"]),
        (0, &json!("works"), &json!(["a.html", "a.svg"]))
    );
    let (code, answer) = bench.json("guide heron-pad teal --join 8-7");
    assert_eq!((code, &answer["verdict"], &answer["written"]), (1, &json!("harms"), &json!([])));
    assert_eq!(answer["findings"][0]["code"], "drive-overload");
}

#[test]
fn explain_gives_each_code_with_its_page() {
    let bench = Bench::empty();
    let (code, answer) = bench.json("explain read-ghost");
    assert_eq!((code, answer["codes"].as_array().map(Vec::len)), (0, Some(1)));
    assert_eq!(keys(&answer["codes"][0]), ["code", "summary", "page"]);
    assert!(answer["codes"][0]["page"].as_str().is_some_and(|page| page.starts_with("# read-ghost\n")));
}

#[test]
fn errors_are_answered_in_json_too() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = 'nine-pin-one-fire'\ntitel = 'x'\n\n[contact.77]\nrole = 'return'\n");
    let (code, answer) = bench.json("show mine");
    assert_eq!(code, 2);
    assert_eq!(answer["error"]["text"], "`mine` has 2 mistakes");
    assert_eq!(
        answer["error"]["complaints"][1],
        json!({
            "file": "mine.toml", "line": 4, "column": 10,
            "headline": "a DE-9 plug has no contact 77", "help": "correct the contact, or the `connector`",
        })
    );
    let (code, answer) = bench.json("show telal");
    let error = json!({
        "text": "no controller, port, cable or lead is called `telal`", "help": "write `teal`", "complaints": [],
    });
    assert_eq!((code, &answer), (2, &json!({ "format": 1, "error": error })));
    let (code, answer) = bench.json("design heron-stick");
    assert_eq!(code, 2);
    assert!(answer["error"]["help"].as_str().is_some_and(|help| help.contains("<PORT>")), "{answer:#}");
}

#[test]
fn the_same_question_gives_the_same_bytes() {
    let bench = Bench::demo();
    for question in
        ["design heron-pad teal --json", "prove heron-stick plover --truth", "shelf", "show teal --json"]
    {
        assert_eq!(bench.run(question).sound(), bench.run(question).sound(), "{question}");
    }
}
