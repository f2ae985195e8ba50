//! What a meter is expected to show against published tables of wire, contacts and thresholds.

use solderside_lead::{Assembly, Cord};
use solderside_meter::{Bench, Buzz, Measurement, Plan, PlanStep, Range, Span};
use solderside_quantity::Metres;
use solderside_trade::Conductor;

/// Ω per km at 20 °C (*AWG*, Hardware Book; *Copper Wire Tables*, NBS Handbook 100).
const TABLE: [(u8, f64); 5] = [(22, 52.94), (24, 84.20), (26, 133.86), (28, 212.87), (30, 338.50)];

fn stick_in(gauge: u8, length: Metres) -> Assembly {
    let mut assembly = crate::shelf::stick_to_plover();
    assembly.lead.cord = Cord { conductor: Conductor::Awg(gauge), length };
    assembly
}

fn continuity(plan: &Plan) -> impl Iterator<Item = &PlanStep> {
    plan.steps.iter().filter(|step| !step.good.is_open())
}

#[test]
fn a_conductor_reads_what_the_wire_table_says() {
    // Thirty metres, so that the wire is far above what the meter and its probes are off by.
    for (gauge, ohms_per_km) in TABLE {
        let assembly = stick_in(gauge, Metres::literal(30.0));
        let plan = Plan::of(&Bench::new(&assembly));
        assert_eq!(continuity(&plan).count(), 7);
        for step in continuity(&plan) {
            assert!(step.good.holds(ohms_per_km * 0.03), "AWG {gauge}: {:?}", step.good);
            // Six gauges on, at a quarter or four times as much, it would be another wire.
            for other in [0.25, 4.0] {
                assert!(!step.good.holds(ohms_per_km * 0.03 * other), "AWG {gauge}: {:?}", step.good);
            }
        }
    }
}

#[test]
fn three_metres_of_awg_28_are_told_from_a_weak_joint_and_not_from_the_probes() {
    // 0.64 Ω one way; the probes alone read 0.1 Ω to 0.2 Ω and are subtracted first.
    let assembly = stick_in(28, Metres::literal(3.0));
    let plan = Plan::of(&Bench::new(&assembly));
    for step in continuity(&plan) {
        assert!(step.good.holds(0.64));
        assert!(step.good.low() < 0.2 && step.good.high() < 50.0);
    }
}

/// What a held control's contact reads at the port end, the return beside it.
fn held(assembly: &Assembly, control: &str, contact: u8, home: u8) -> Span {
    let leg = |number| solderside_lead::Leg::port(solderside_trade::ContactId::Number(number));
    let held = solderside_profile::Control::new(control).unwrap();
    let measurement =
        Measurement { range: Range::Ohms, red: leg(contact), black: leg(home), held: Some(vec![held]) };
    Bench::new(assembly).reads(&[], &measurement).unwrap()
}

#[test]
fn no_buzzer_can_be_asked_for_a_carbon_contact_or_through_520_ohms() {
    let carbon = crate::shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7");
    assert_ne!(held(&carbon, "up", 1, 8).buzz(), Buzz::Sounds);
    let series = crate::shelf::from_text(
        "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"curlew\"\njoins = [\n\
         \"controller.15 - r1.1\", \"r1.2 - port.1\", \"controller.7 - port.2\", \"controller.1 - port.8\"]\n\
         [part.r1]\nohms = 520\nsits_in = \"port\"\n",
        &["heron-stick", "curlew"],
    );
    assert_eq!(held(&series, "up", 1, 8).buzz(), Buzz::Silent);
    let through = |step: &&PlanStep| step.good.low() > 400.0 && !step.good.is_open();
    let plan = Plan::of(&Bench::new(&series));
    assert!(plan.steps.iter().any(|step| through(&step)));
    assert!(plan.steps.iter().filter(through).all(|step| !step.buzzer_will_do));
}
