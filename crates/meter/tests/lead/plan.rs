//! The plan: it finds every fault that a meter can find, dangerous ones first, and asks the buzzer nothing that it cannot
//! tell.

use solderside_lead::{Body, EndId, Leg};
use solderside_meter::{Bench, Danger, Fault, FaultKind, Plan, Range, universe};
use solderside_trade::ContactId;

fn port(contact: u8) -> Leg {
    Leg::port(ContactId::Number(contact))
}

#[test]
fn supply_against_return_is_read_before_anything_else() {
    let assembly = crate::shelf::stick_to_plover();
    let plan = Plan::of(&Bench::new(&assembly));
    let first = &plan.steps[0].measurement;
    assert_eq!([first.red, first.black], [port(5), port(9)]);
    let dangers: Vec<Danger> = plan.steps.iter().map(|step| step.danger).collect();
    assert!(dangers.is_sorted());
}

#[test]
fn a_lead_of_wire_has_no_fault_that_a_meter_cannot_find() {
    for assembly in [
        crate::shelf::stick_to_plover(),
        crate::shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7"),
        crate::shelf::lead("godwit-stick", "godwit", "1-1 2-2 3-3 4-4 5-5 6-6 7-7"),
    ] {
        let bench = Bench::new(&assembly);
        let plan = Plan::of(&bench);
        assert!(plan.unseen.is_empty(), "{}", plan.unseen[0].told(&bench));
        assert!(plan.is_shortest());
        let of_the_lead = universe(&bench).into_iter().filter(|fault| fault.kind().is_of_the_lead()).count();
        assert_eq!(plan.found.len(), of_the_lead);
    }
}

#[test]
fn every_fault_that_counts_as_found_gives_a_wrong_reading_in_the_whole_circuit() {
    let assembly = crate::shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let bench = Bench::new(&assembly);
    let plan = Plan::of(&bench);
    for fault in &plan.found {
        let faults = std::slice::from_ref(fault);
        let is_wrong = plan.steps.iter().any(|step| {
            let reads = bench.reads(faults, &step.measurement).unwrap();
            !reads.meets(bench.reads(&[], &step.measurement).unwrap())
        });
        assert!(is_wrong, "{}", fault.told(&bench));
    }
}

#[test]
fn solder_between_any_two_nets_of_a_board_gives_a_wrong_reading() {
    for (name, shelf) in [
        ("heron-stick-to-bittern", ["heron-stick", "bittern"]),
        ("heron-stick-to-curlew-by-switches", ["heron-stick", "curlew"]),
        ("heron-stick-to-dunlin", ["heron-stick", "dunlin"]),
    ] {
        let assembly = crate::shelf::written(name, &shelf);
        let lead = &assembly.lead;
        let bench = Bench::new(&assembly);
        let plan = Plan::of(&bench);
        let good: Vec<_> =
            plan.steps.iter().map(|step| bench.reads(&[], &step.measurement).unwrap()).collect();
        let chip = lead.parts.iter().find(|part| matches!(part.body, Body::Chip(_))).unwrap();
        let parts = || lead.parts.iter().filter(|part| part.sits == chip.sits);
        let legs: Vec<Leg> =
            parts().flat_map(|part| part.body.legs().map(|leg| Leg::part(part.id(), leg))).collect();
        let mut bridges = 0;
        let mut unseen = Vec::new();
        for (at, one) in legs.iter().enumerate() {
            let net = lead.net(*one);
            for other in legs.iter().skip(at + 1).filter(|other| !net.contains(other)) {
                let bridge = [Fault::Bridge([*one, *other])];
                let is_wrong = plan
                    .steps
                    .iter()
                    .zip(&good)
                    .any(|(step, good)| !bench.reads(&bridge, &step.measurement).unwrap().meets(*good));
                // A channel whose gate floats reads anything, with a bridge across it or without: that is told.
                let far = lead.net(*other);
                let is_told = plan.unseen.iter().any(|fault| {
                    let Fault::Bridge([a, b]) = fault else { return false };
                    net.contains(a) && far.contains(b) || net.contains(b) && far.contains(a)
                });
                assert!(is_wrong || is_told, "{name}: {one} and {other}");
                unseen.extend((!is_wrong).then(|| [*one, *other].map(|leg| leg.to_string())));
                bridges += 1;
            }
        }
        assert!(bridges > 100, "{name}: {bridges}");
        assert!(unseen.iter().all(|legs| legs.contains(&"m1.drain".to_owned())), "{name}: {unseen:?}");
    }
}

#[test]
fn a_lead_whose_parts_hang_in_the_air_has_no_board_to_bridge() {
    let text = "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"plover\"\n\
                joins = [\"d1.anode - port.1\", \"controller.15 - d1.cathode\", \"controller.1 - port.9\"]\n\
                [part.d1]\ndiode = \"1N4148\"\nsits_in = \"port\"\n";
    let assembly = crate::shelf::from_text(text, &["heron-stick", "plover"]);
    let faults = universe(&Bench::new(&assembly));
    let is_of_a_part = |fault: &&Fault| matches!(fault, Fault::Bridge(legs) if legs.iter().any(|leg| leg.part_id().is_some()));
    assert_eq!(faults.iter().find(is_of_a_part), None);
}

#[test]
fn what_no_meter_tells_is_named() {
    let assembly = crate::shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let bench = Bench::new(&assembly);
    let plan = Plan::of(&bench);
    let told: Vec<String> = plan.unseen.iter().map(|fault| fault.told(&bench)).collect();
    // A chip is out of its socket, a capacitor is open to a meter, and a weak joint drowns in a resistor's tolerance.
    assert!(told.contains(&"u1 (74HC157) sits turned round".to_owned()));
    assert!(told.contains(&"c1 (100 nF) is missing".to_owned()));
    assert!(told.contains(&"the joint of r1.2 - u1.3 at r1.2 is weak".to_owned()));
    assert!(plan.unseen.iter().all(|fault| fault.kind() != FaultKind::Bridge));
}

#[test]
fn the_buzzer_is_asked_for_isolation_of_wires_and_for_nothing_else() {
    for assembly in [
        crate::shelf::stick_to_plover(),
        crate::shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]),
    ] {
        let bench = Bench::new(&assembly);
        for step in Plan::of(&bench).steps {
            if step.buzzer_will_do {
                assert!(step.good.is_open() && step.measurement.range == Range::Ohms, "{}", step.measurement);
            }
        }
    }
}

#[test]
fn each_conductor_has_a_continuity_reading_of_its_own() {
    // With two probes nothing less can tell that each conductor is whole.
    let assembly = crate::shelf::stick_to_plover();
    let plan = Plan::of(&Bench::new(&assembly));
    for join in &assembly.lead.joins {
        let of_join = |leg: Leg| assembly.lead.net(join.from).contains(&leg);
        let readings = plan.steps.iter().map(|step| &step.measurement);
        assert_eq!(readings.filter(|one| of_join(one.red) && of_join(one.black)).count(), 1, "{join}");
    }
}

#[test]
fn two_swaps_that_undo_each_other_are_the_pairs_that_a_plan_misses() {
    let assembly = crate::shelf::stick_to_plover();
    let bench = Bench::new(&assembly);
    let plan = Plan::of(&bench);
    let doubles = plan.doubles(&bench);
    // Seven conductors: 21 swaps at either end, each undone by the same swap at the other.
    assert_eq!(doubles.of - doubles.found, 21);
}

#[test]
fn a_moulded_end_has_no_bridge_and_no_swap() {
    let text = "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"plover\"\nport_end = \"DE-9 socket\"\n\
                joins = [\"controller.15 - port.1\", \"controller.7 - port.2\", \"controller.1 - port.9\"]\n\
                [cord]\ncable = \"nine-core-moulded-socket\"\n";
    let assembly = crate::shelf::from_text(text, &["heron-stick", "plover"]);
    let bench = Bench::new(&assembly);
    let faults = universe(&bench);
    let at_the_port = |fault: &&Fault| fault.places().iter().any(|leg| leg.end == EndId::Port);
    let at_the_port: Vec<&Fault> =
        faults.iter().filter(|fault| fault.kind().is_of_the_lead()).filter(at_the_port).collect();
    assert_eq!(at_the_port.len(), 6);
    for fault in at_the_port {
        assert!(matches!(fault, Fault::OpenJoint(_) | Fault::WeakJoint(_)), "{}", fault.told(&bench));
    }
    assert!(!faults.contains(&Fault::Mirrored(EndId::Port)));
    assert!(faults.contains(&Fault::Mirrored(EndId::Controller(0))));
}
