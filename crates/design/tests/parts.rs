//! Leads with diodes and resistors: where wire alone ghosts, and which diode serves.

mod bench;

use solderside_design::{Choice, Class, Designs, FactKind, Wishes};
use solderside_lead::{Body, EndId, Leg, PartId};
use solderside_profile::Library;
use solderside_proof::{Code, Verdict, judge};
use solderside_trade::DiodePart;

use bench::{LIGHT_GUN, ONE_FIRE, PAD, STICK, TWO_TRIGGER, action, control, designed, ends, join};

/// `b` plays `up` and is second fire.
fn b_jumps() -> Wishes {
    Wishes {
        play: vec![
            (action("up"), vec![control("up"), control("b")]),
            (action("second-fire"), vec![control("b")]),
        ],
        ..Wishes::default()
    }
}

fn with(designs: &Designs, diode: DiodePart) -> &Choice {
    let has =
        |choice: &&Choice| choice.assembly.lead.parts.iter().any(|part| part.body == Body::Diode(diode));
    designs.options.iter().find(has).unwrap_or_else(|| panic!("no lead with {diode}"))
}

#[test]
fn a_button_with_two_jobs_gets_a_diode_where_it_shares_a_line() {
    let designs = designed(&ends([STICK, ""], [LIGHT_GUN, ""]), &b_jumps());
    assert!(designs.refused.iter().all(|refusal| refusal.class == Class::Plain));
    assert!(designs.refused.iter().any(|it| it.facts.iter().any(|fact| fact.kind == FactKind::OnlyWire)));
    let choice = with(&designs, DiodePart::SchottkyBat85);
    assert_eq!(choice.class, Class::Parts);
    let joins: Vec<String> = choice.assembly.lead.joins.iter().map(ToString::to_string).collect();
    for expected in ["controller.5 - port.9", "d1.cathode - port.9", "d1.anode - port.1"] {
        assert!(joins.contains(&expected.to_owned()), "{expected} is not in {joins:?}");
    }
    assert!(!choice.assembly.lead.joins.contains(&join("5-1")));
    // The lever's own line stays wire, and the button has one core in the cable.
    assert!(joins.contains(&"controller.15 - port.1".to_owned()), "{joins:?}");
    let cores =
        choice.assembly.lead.joins.iter().filter(|join| choice.assembly.lead.runs_through_cable(join));
    assert_eq!(cores.count(), 7);
}

/// A silicon drop in the cold against a TTL threshold, and a Schottky drop that leaves room: computed.
#[test]
fn silicon_is_thin_on_ttl_where_schottky_works() {
    let designs = designed(&ends([STICK, ""], [LIGHT_GUN, ""]), &b_jumps());
    assert_eq!(with(&designs, DiodePart::SchottkyBat85).proof.verdict, Verdict::Works);
    assert_eq!(with(&designs, DiodePart::Silicon1N4148).proof.verdict, Verdict::Thin);
    assert_eq!(designs.options[0], *with(&designs, DiodePart::SchottkyBat85), "the better one comes first");
}

/// Leakage in the heat through several reversed Schottky diodes against a pull-up of megohms.
#[test]
fn schottky_leaks_too_much_for_a_very_weak_pull_up_where_silicon_serves() {
    let weak = "[input.line]\nfamily = \"ttl\"\npull_up_ohms = [400e3, 470e3, 600e3]\n";
    let hc = weak.replace("ttl", "hc");
    let designs = designed(&ends([STICK, ""], [LIGHT_GUN, &hc]), &b_jumps());
    assert!(with(&designs, DiodePart::Silicon1N4148).proof.verdict.is_sound());
    let schottky = designs.options.iter().find(|choice| {
        choice.assembly.lead.parts.iter().any(|part| part.body == Body::Diode(DiodePart::SchottkyBat85))
    });
    assert!(schottky.is_none_or(|choice| choice.proof.verdict > Verdict::Works), "Schottky leaks");
}

#[test]
fn each_diode_of_a_lead_is_needed() {
    let designs = designed(&ends([STICK, ""], [TWO_TRIGGER, ""]), &b_jumps());
    for choice in &designs.options {
        for part in &choice.assembly.lead.parts {
            // A diode bridged by wire lets the lines meet again.
            let mut bridged = choice.assembly.clone();
            let [anode, cathode] =
                [PartId::ANODE, PartId::CATHODE].map(|contact| Leg::part(part.id(), contact));
            bridged.lead.joins.push(solderside_lead::Join::new(anode, cathode));
            bridged.lead.settle();
            let findings = judge(&bridged).expect("it makes a circuit").findings;
            assert!(findings.iter().any(|it| it.code == Code::ReadGhost), "{} is not needed", part.id());
        }
    }
    assert!(designs.options.iter().any(|choice| choice.class == Class::Parts));
}

#[test]
fn a_class_that_is_not_allowed_is_not_proposed() {
    let wire = Wishes { classes: vec![Class::Plain], ..b_jumps() };
    let designs = designed(&ends([STICK, ""], [TWO_TRIGGER, ""]), &wire);
    assert!(designs.options.iter().all(|choice| choice.class == Class::Plain));
    assert!(!designs.parts_mend_nothing, "parts were not tried");
}

#[test]
fn no_part_gives_a_pad_the_supply_that_a_port_lacks() {
    let port = "[contact.7]\nrole = \"unused\"\n";
    let designs = designed(&ends([PAD, ""], [ONE_FIRE, port]), &Wishes::default());
    assert!(designs.options.is_empty() && designs.parts_mend_nothing);
}

#[test]
fn a_resistor_in_the_common_keeps_a_driven_line_within_its_limit() {
    // A line that the machine drives high against a switch to the return.
    let port = "[contact.1]\naction = \"up\"\ndriven = \"high\"\n[input.line]\nfamily = \"hc\"\n\
                pull_up_ohms = [47e3, 47e3, 47e3]\n";
    let designs = designed(&ends([STICK, ""], [LIGHT_GUN, port]), &Wishes::default());
    assert!(designs.refused.iter().flat_map(|it| &it.facts).count() > 0, "wire alone shorts the line");
    let choice = designs.options.first().expect("a resistor serves");
    let bodies: Vec<String> = choice.assembly.lead.parts.iter().map(|part| part.body.to_string()).collect();
    assert_eq!(bodies.len(), 1, "{bodies:?}");
    assert_eq!(choice.assembly.lead.parts[0].sits, EndId::Port);
    assert!(choice.proof.loads.iter().all(|load| load.amps <= load.limit));

    // Nothing is soldered inside a moulded end.
    let cable = Library::catalogue().cable("nine-core-moulded-socket").expect("a cable of the catalogue");
    let moulded = Wishes { cable: Some(cable), ..Wishes::default() };
    let designs = designed(&ends([STICK, ""], [LIGHT_GUN, port]), &moulded);
    let choice = designs.options.first().expect("a resistor serves at the other end");
    assert_eq!(choice.assembly.lead.parts[0].sits, EndId::Controller(0));
}

#[test]
fn lines_that_the_machine_drives_apart_get_a_resistor_each() {
    // One in the common would keep them from the return and not from one another.
    let port = "[contact.6]\naction = \"fire\"\ndriven = \"both\"\n[contact.9]\naction = \"second-fire\"\n\
                driven = \"both\"\n[input.line]\nfamily = \"ttl\"\npull_up_ohms = [4500, 4700, 4900]\n";
    let designs = designed(&ends([STICK, ""], [LIGHT_GUN, port]), &Wishes::default());
    let choice = designs.options.first().expect("two resistors serve");
    let joins: Vec<String> = choice.assembly.lead.joins.iter().map(ToString::to_string).collect();
    for expected in ["r1.2 - port.6", "r2.2 - port.9", "controller.1 - port.8"] {
        assert!(joins.contains(&expected.to_owned()), "{expected} is not in {joins:?}");
    }
    assert_eq!(choice.assembly.lead.parts.len(), 2);
    assert!(choice.proof.loads.iter().all(|load| load.amps <= load.limit));
}
