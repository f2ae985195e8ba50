//! Ports that read the stick through the rows of a keyboard: what a floating common does, and what a diode costs.

mod bench;

use solderside_lead::{Assembly, read_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{Code, Proof, Verdict, prove};
use solderside_trade::DiodePart;

use bench::{STICK, lead};

const SCANNED: &str = "nine-pin-scanned-returns";

/// Common practice, no source: 13–7, 5–6, 1–8 and the directions; no supply.
const COMMON_PRACTICE: [&str; 7] = ["15-1", "7-2", "14-3", "6-4", "13-7", "5-6", "1-8"];

fn proof(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the catalogue's values make a circuit")
}

/// The common-practice lead, proved with these steps alone.
fn in_steps(wanted: &[&str]) -> Proof {
    let mut assembly = lead(&[], [STICK, SCANNED], COMMON_PRACTICE, "");
    assembly.port.steps.retain(|step| wanted.contains(&step.name.as_str()));
    assert_eq!(assembly.port.steps.len(), wanted.len());
    proof(&assembly)
}

/// The actions that read although nobody asked.
fn ghosts(proof: &Proof) -> Vec<String> {
    let ghosts = proof.findings.iter().filter(|finding| finding.code == Code::ReadGhost);
    let action = |text: &str| text.split('`').nth(1).map(str::to_owned);
    let mut ghosts: Vec<String> = ghosts.filter_map(|finding| action(&finding.text)).collect();
    ghosts.sort();
    ghosts
}

#[test]
fn the_lead_that_people_build_works_while_only_its_own_row_is_read() {
    let own = in_steps(&["own-row"]);
    assert_eq!(own.verdict, Verdict::Works, "{:#?}", own.findings);
    // A row of 0.4 V at most, 0.6 V of the sound chip, and what row, wire and switch take of 200 µA for each column.
    for action in &own.actions {
        let active = action.active.as_ref().expect("each action has a control");
        assert!((0.400..0.405).contains(&active.volts.get()), "{}: {}", action.action, active.volts);
    }
}

#[test]
fn the_other_sticks_row_sees_nothing_of_a_stick_on_the_first_common() {
    let both = in_steps(&["own-row", "other-sticks-row"]);
    assert_eq!(both.verdict, Verdict::Works, "{:#?}", both.findings);
}

#[test]
fn a_floating_common_types_wherever_two_switches_meet_a_key() {
    // The lever cannot be up and down at once, so a key on the one never ghosts the other.
    for (step, expected) in [
        ("key-on-up", &["fire", "left", "right", "second-fire"][..]),
        ("key-on-down", &["fire", "left", "right", "second-fire"]),
        ("key-on-left", &["down", "fire", "second-fire", "up"]),
        ("key-on-right", &["down", "fire", "second-fire", "up"]),
        ("key-on-fire", &["down", "left", "right", "second-fire", "up"]),
        ("key-on-second-fire", &["down", "fire", "left", "right", "up"]),
    ] {
        let proof = in_steps(&["own-row", step]);
        assert_eq!(proof.verdict, Verdict::Fails, "{step}");
        assert_eq!(ghosts(&proof), expected, "{step}");
        for finding in proof.findings.iter().filter(|finding| finding.code == Code::ReadGhost) {
            assert_eq!(finding.step.as_deref(), Some(step));
            // The two that meet: one on the key's column, one on the column that follows.
            assert_eq!(finding.state.as_ref().map(Vec::len), Some(2), "{}", finding.text);
        }
    }
}

#[test]
fn the_way_of_such_a_ghost_runs_from_column_to_column_through_the_common() {
    let proof = in_steps(&["own-row", "key-on-fire"]);
    let up = proof.findings.iter().find(|finding| finding.text.starts_with("`up`")).expect("a ghost");
    assert!(
        up.text.ends_with("port.1 – controller.15 – controller.1 – controller.13 – port.7"),
        "{}",
        up.text
    );
}

#[test]
fn a_common_on_the_true_ground_of_a_scanned_port_is_read_with_every_row() {
    for (port, ground) in
        [("nine-pin-scanned-returns-supply-on-7", 5), ("nine-pin-scanned-return-supply-on-5", 9)]
    {
        let common = format!("1-{ground}");
        let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", &common];
        let proof = proof(&lead(&[], [STICK, port], joins, ""));
        assert_eq!(proof.verdict, Verdict::Fails, "{port}");
        let expected = ["down", "fire", "left", "right", "up"];
        assert_eq!(ghosts(&proof).iter().filter(|ghost| expected.contains(&ghost.as_str())).count(), 5);
    }
}

/// A row on 8 and a column on 1, with a diode between the column and its switch.
fn with_diodes(part: DiodePart, family: &str, rail: f64, pull_up: f64) -> Proof {
    let port = format!(
        "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [{rail:?}, {rail:?}, {rail:?}]\n\
         [input.column]\nfamily = \"{family}\"\npull_up_ohms = [{pull_up:?}, {pull_up:?}, {pull_up:?}]\n\
         [contact.1]\naction = \"up\"\n[contact.8]\nrole = \"drive\"\nfamily = \"ls145\"\n\
         [[step]]\nname = \"row\"\ndrive = {{ 8 = \"low\" }}\n"
    );
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"{STICK}\"\nport = \"row\"\n\
         joins = [\"controller.15 - d1.cathode\", \"d1.anode - port.1\", \"controller.1 - port.8\"]\n\
         [part.d1]\ndiode = \"{part}\"\n"
    );
    let library = Library::with_shelf(vec![SourceFile::new("row.toml", port)]);
    let assembly = read_lead(&SourceFile::new("lead.toml", text), &library);
    proof(&assembly.unwrap_or_else(|failure| panic!("{}", failure.render())))
}

/// The highest voltage that the column reads when its switch is closed, and its margin.
fn column(proof: &Proof) -> [f64; 2] {
    let active = proof.actions[0].active.as_ref().expect("up has a control");
    [active.volts.get(), active.margin.get()]
}

/// Row low 0.4 V, 1N4148 of the published parameters (github.com/lkshirahatti/IntegratedCircuits) at 27 °C, in the
/// order of the pull-ups: what a typical silicon diode leaves. Worked out by hand: 0.4 V + n·VT·ln(1 + I/Is) + I·Rs.
const TYPICAL_SILICON: [(f64, f64); 4] = [(1000.0, 1.08), (3300.0, 1.01), (4700.0, 1.00), (10_000.0, 0.96)];

#[test]
fn a_silicon_diode_on_a_row_misses_a_ttl_low_at_every_pull_up_and_meets_that_of_hc() {
    for (pull_up, typical) in TYPICAL_SILICON {
        let ttl_levels = with_diodes(DiodePart::Silicon1N4148, "nmos-port", 5.0, pull_up);
        let [volts, margin] = column(&ttl_levels);
        // Worse than a typical one: the sheet's greatest drop, in a cold room, and up to 20 mV more of the row.
        assert!((typical..typical + 0.2).contains(&volts), "{pull_up} Ω: {volts} V");
        assert!(margin < 0.0 && ttl_levels.verdict == Verdict::Thin, "{pull_up} Ω: {margin} V to 0.8 V");
        // 74HC245; 74HCT245, table 7: a low up to 1.35 V on 4.5 V.
        let hc = with_diodes(DiodePart::Silicon1N4148, "hc", 4.5, pull_up);
        let [volts, margin] = column(&hc);
        assert!((volts + margin - 1.35).abs() < 1e-9);
        assert!(margin > 0.1 && hc.verdict == Verdict::Works, "{pull_up} Ω: {margin} V to 1.35 V");
    }
}

#[test]
fn a_schottky_diode_on_a_row_meets_a_ttl_low_but_for_the_strongest_pull_up_in_the_cold() {
    for (pull_up, most) in [(3300.0, 0.79), (4700.0, 0.77), (10_000.0, 0.74)] {
        let [volts, margin] = column(&with_diodes(DiodePart::SchottkyBat85, "nmos-port", 5.0, pull_up));
        assert!((0.7..most).contains(&volts) && margin > 0.0, "{pull_up} Ω: {volts} V");
    }
    // 4.2 mA and 0 °C: the sheet's 0.40 V at 10 mA and 25 °C would stay below 0.8 V; a cold room takes 30 mV more.
    let [volts, margin] = column(&with_diodes(DiodePart::SchottkyBat85, "nmos-port", 5.0, 1000.0));
    assert!((0.80..0.84).contains(&volts) && margin < 0.0, "{volts} V");
    let silicon = column(&with_diodes(DiodePart::Silicon1N4148, "nmos-port", 5.0, 1000.0));
    assert!(silicon[0] - volts > 0.4, "half a volt worse: {} V", silicon[0]);
}

#[test]
fn a_diode_for_each_switch_ends_the_ghosts_and_takes_its_drop_from_the_row() {
    let diodes = |part: DiodePart| {
        let columns = [(15, 1), (7, 2), (14, 3), (6, 4), (13, 7), (5, 6)];
        let joins = (1..).zip(columns).map(|(number, (from, to))| {
            format!("\"controller.{from} - d{number}.cathode\", \"d{number}.anode - port.{to}\"")
        });
        let joins = joins.chain(["\"controller.1 - port.8\"".to_owned()]).collect::<Vec<_>>().join(", ");
        let parts = (1..=6).map(|number| format!("[part.d{number}]\ndiode = \"{part}\"\n"));
        let text = format!(
            "format = 1\nkind = \"lead\"\ncontroller = \"{STICK}\"\nport = \"{SCANNED}\"\njoins = [{joins}]\n{}",
            parts.collect::<String>()
        );
        let assembly = read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue());
        proof(&assembly.unwrap_or_else(|failure| panic!("{}", failure.render())))
    };
    for part in DiodePart::ALL {
        let proof = diodes(part);
        assert_eq!(ghosts(&proof), [""; 0], "{part}");
        // 0.6 V is all that the sound chip guarantees to take for low; 1.4 V is typical.
        assert_eq!(proof.verdict, Verdict::Thin, "{part}: {:#?}", proof.findings);
        let [volts, margin] = column(&proof);
        assert!((volts + margin - 0.6).abs() < 1e-9 && margin < 0.0, "{part}: {volts} V");
    }
}

/// Each contact of a controller to the same of the port.
fn straight(pair: [&str; 2], contacts: &[u8]) -> Proof {
    let joins: Vec<String> = contacts.iter().map(|contact| format!("{contact}-{contact}")).collect();
    proof(&lead(&[], pair, joins.iter().map(String::as_str), ""))
}

#[test]
fn a_pad_with_a_diode_for_each_switch_is_proved_on_its_own_port_in_all_its_million_states() {
    let pair = ["fifteen-pin-matrix-pad", "fifteen-pin-matrix"];
    let proof = straight(pair, &[1, 2, 3, 4, 6, 10, 11, 12, 13, 14]);
    // A contact worn to 1 kΩ and a cold diode leave the strongest pull-up above what every part takes for low.
    assert_eq!(proof.verdict, Verdict::Thin, "{:#?}", proof.findings);
    assert!(
        proof.findings.iter().all(|finding| finding.code == Code::ReadWornContact),
        "{:#?}",
        proof.findings
    );
    assert_eq!(proof.actions.len(), 21);
    for action in &proof.actions {
        let [active, idle] = [&action.active, &action.idle].map(|worst| worst.as_ref().expect("a reading"));
        assert!((1.7..1.9).contains(&active.volts.get()), "{}: {}", action.action, active.volts);
        assert!(idle.margin.get() > 0.9, "{}: {}", action.action, idle.margin);
    }
    // The lever keeps two of the six switches of the first row apart from two others.
    let row = proof.loads.iter().map(|load| load.amps.get()).fold(0.0, f64::max);
    assert!((5e-3..6e-3).contains(&row), "{row} A");
}

#[test]
fn a_keypad_without_diodes_is_proved_for_two_keys_and_names_the_ghost_of_three() {
    let pair = ["fifteen-pin-analogue-stick-with-keypad", "fifteen-pin-analogue-with-keypad"];
    let proof = straight(pair, &[1, 2, 3, 4, 5, 6, 7, 8, 13, 14, 15]);
    assert_eq!(proof.verdict, Verdict::Thin, "{:#?}", proof.findings);
    assert_eq!(ghosts(&proof), [""; 0]);
    // No key, one or two of fifteen, each with both buttons free.
    assert_eq!(proof.truth.len(), (1 + 15 + 105) * 4);
    let note = proof.findings.iter().find(|finding| finding.code == Code::ReadRollover).expect("a note");
    let held: Vec<String> = note.state.iter().flatten().map(ToString::to_string).collect();
    assert_eq!(held, ["key-0", "key-1", "key-2"]);
    assert!(note.text.contains("`key-star` reads as well"), "{}", note.text);
}
