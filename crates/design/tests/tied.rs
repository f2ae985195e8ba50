//! Pads with chips inside on ports that do not speak to them: their inputs tied, and held against boolean algebra that
//! shares no code with the proof.

#[expect(dead_code, reason = "the other tests use the rest")]
mod bench;
#[path = "../../proof/tests/bench/picture.rs"]
#[expect(dead_code, reason = "the proof's own tests use the rest")]
mod picture;

use std::collections::BTreeSet;

use solderside_design::{Choice, Class, Designs, FactKind, Wishes};
use solderside_lead::{Body, EndId, Leg, PartId};
use solderside_proof::Verdict;
use solderside_trade::{ContactId, LegRole};

use bench::{LIGHT_GUN, ONE_FIRE, TWO_TRIGGER, action, control, designed, ends};
use picture::compare;

const SELECT_PAD: &str = "nine-pin-select-pad";
const SIX_BUTTON_PAD: &str = "nine-pin-select-pad-six-buttons";
const REGISTER_PAD: &str = "nine-pin-register-pad-8-bit";
const KEYBOARD_LINES: &str = "nine-pin-one-fire-keyboard-lines";
/// Switches that wear less than the carbon of the catalogue's pads.
const NEW_SWITCHES: &str = "switch = \"microswitch\"\n";

fn own(number: u8) -> Leg {
    Leg::controller(ContactId::Number(number))
}

fn line(number: u8) -> Leg {
    Leg::port(ContactId::Number(number))
}

fn first(controller: [&str; 2], port: &str) -> Choice {
    let designs = designed(&ends(controller, [port, ""]), &Wishes::default());
    designs.options.into_iter().next().unwrap_or_else(|| panic!("no lead from {} to {port}", controller[0]))
}

fn chips(choice: &Choice) -> Vec<&'static str> {
    let chip = |body: Body| if let Body::Chip(chip) = body { Some(chip.name()) } else { None };
    choice.assembly.lead.parts.iter().filter_map(|part| chip(part.body)).collect()
}

/// The line on which a pad's multiplexer chooses goes to its own supply, so that it shows the directions and the second
/// and third button for good.
#[test]
fn a_pad_with_a_multiplexer_plays_a_plain_port_by_wire_while_its_select_is_tied() {
    for (port, fires) in [(ONE_FIRE, vec!["b"]), (LIGHT_GUN, vec!["b", "c"])] {
        let choice = first([SELECT_PAD, NEW_SWITCHES], port);
        assert_eq!((choice.class, choice.proof.verdict), (Class::Plain, Verdict::Works), "{port}");
        let lead = &choice.assembly.lead;
        assert!(lead.net(own(7)).contains(&own(5)), "{port}: select is at the pad's supply");
        for (from, to) in [(1, 1), (2, 2), (3, 3), (4, 4), (6, 6)] {
            assert!(lead.net(own(from)).contains(&line(to)), "{port}: {from} to {to}");
        }
        let played: Vec<String> = ["fire", "second-fire"]
            .iter()
            .flat_map(|it| lead.play.controls(&action(it)))
            .map(ToString::to_string)
            .collect();
        assert_eq!(played, fires, "{port}");
        assert!(compare(port, &choice.assembly, &choice.proof) >= 18, "{port}");
    }
}

/// 1 kΩ of worn carbon and a strong pull-up stand above a TTL low; what leaves the pad through its chip needs no help.
#[test]
fn only_the_lines_that_worn_carbon_cannot_pull_get_a_buffer() {
    let choice = first([SELECT_PAD, ""], ONE_FIRE);
    assert_eq!((choice.class, chips(&choice)), (Class::Logic, vec!["74HC125"]));
    assert_eq!(choice.proof.verdict, Verdict::Works);
    let lead = &choice.assembly.lead;
    let chip = EndId::Part(PartId::Chip(1));
    let driven: BTreeSet<u8> = [1, 2, 3, 4, 6]
        .into_iter()
        .filter(|number| lead.net(line(*number)).iter().any(|leg| leg.end == chip))
        .collect();
    assert_eq!(driven, BTreeSet::from([1, 2]), "up and down are switches, the others are the multiplexer's");
    assert!(compare(ONE_FIRE, &choice.assembly, &choice.proof) >= 18);
}

/// The lead may be in the machine while no pad is in it: a chip's input that nothing holds then reads as it likes.
#[test]
fn no_chips_input_floats_while_the_pad_is_unplugged() {
    for (pad, port) in
        [(SELECT_PAD, ONE_FIRE), (SELECT_PAD, "nine-pin-register-8-bit"), (SELECT_PAD, KEYBOARD_LINES)]
    {
        let Choice { assembly, proof, .. } = first([pad, NEW_SWITCHES], port);
        assert!(proof.verdict.is_sound(), "{port}");
        let lead = &assembly.lead;
        let rails: Vec<Leg> = assembly
            .port
            .supplies()
            .into_iter()
            .map(|(id, _)| id)
            .chain(assembly.port.returns())
            .map(Leg::port)
            .collect();
        for part in &lead.parts {
            let Body::Chip(chip) = part.body else { continue };
            for number in chip.sheet().legs_for(LegRole::Input) {
                let input = Leg::part(part.id(), ContactId::Number(number));
                let mut reached = vec![input];
                let mut next = 0;
                while let Some(leg) = reached.get(next).copied() {
                    next += 1;
                    let beyond = match leg.part_id() {
                        Some(PartId::Resistor(_)) => {
                            [PartId::ANODE, PartId::CATHODE].map(|end| Leg { contact: end, ..leg }).to_vec()
                        }
                        _ => Vec::new(),
                    };
                    for more in lead.net(leg).into_iter().chain(beyond) {
                        if !reached.contains(&more) {
                            reached.push(more);
                        }
                    }
                }
                let holds = |leg: &Leg| {
                    let is_output = |part: &solderside_lead::Part| {
                        let Body::Chip(chip) = part.body else { return false };
                        let mut outputs = chip.sheet().legs_for(LegRole::Output);
                        leg.part_id() == Some(part.id())
                            && outputs.any(|number| leg.contact == ContactId::Number(number))
                    };
                    rails.contains(leg) || leg.end == EndId::Port || lead.parts.iter().any(is_output)
                };
                assert!(reached.iter().any(holds), "{pad} to {port}: {input} hangs on the pad alone");
            }
        }
    }
}

/// The machine drives its lines too, to read its keyboard: outputs of the pad would fight it.
#[test]
fn lines_that_the_machine_also_drives_are_only_pulled_low() {
    let choice = first([SELECT_PAD, NEW_SWITCHES], KEYBOARD_LINES);
    assert_eq!(choice.class, Class::Logic);
    let lead = &choice.assembly.lead;
    for (from, to) in [(3, 3), (4, 4), (6, 6)] {
        assert!(
            !lead.net(own(from)).contains(&line(to)),
            "the pad's output {from} is kept from the machine's line"
        );
        let on_line: Vec<PartId> = lead.net(line(to)).iter().filter_map(|leg| leg.part_id()).collect();
        assert!(matches!(on_line.as_slice(), [PartId::Diode(_)]), "{to}: {on_line:?}");
    }
}

/// A pad of six buttons counts what its select does; while that stands still it is a pad of three.
#[test]
fn a_pad_that_counts_is_one_of_three_buttons_while_its_select_stands_still() {
    let choice = first([SIX_BUTTON_PAD, NEW_SWITCHES], LIGHT_GUN);
    assert_eq!((choice.class, choice.proof.verdict), (Class::Plain, Verdict::Works));
    let lost: Vec<String> = choice.proof.controls_lost.iter().map(ToString::to_string).collect();
    assert_eq!(lost, ["a", "x", "y", "z", "mode", "start"]);
}

/// Whoever asks for the button that hides behind the other level of select gets no lead that ties it away.
#[test]
fn a_button_that_must_not_be_lost_is_not_tied_away() {
    let must = |name: &str| Wishes { must: vec![control(name)], ..Wishes::default() };
    let options =
        |name: &str| -> Designs { designed(&ends([SELECT_PAD, NEW_SWITCHES], [ONE_FIRE, ""]), &must(name)) };
    assert!(!options("b").options.is_empty());
    assert!(options("start").options.is_empty());
}

/// A register gives its bits one after the other, and only to who clocks it.
#[test]
fn a_register_pad_is_read_by_nothing_plain() {
    for port in [ONE_FIRE, LIGHT_GUN, TWO_TRIGGER] {
        let designs = designed(&ends([REGISTER_PAD, NEW_SWITCHES], [port, ""]), &Wishes::default());
        assert!(designs.options.is_empty(), "{port}");
        let facts = designs.refused.iter().flat_map(|refusal| &refusal.facts);
        assert!(facts.map(|fact| &fact.kind).any(|kind| *kind == FactKind::Inside), "{port}");
    }
}

/// The row with the directions is led home as a common is; what the other rows close to leads nowhere.
#[test]
fn of_a_matrix_one_row_plays_a_plain_port_by_wire() {
    let choice = first(["fifteen-pin-matrix-pad", ""], TWO_TRIGGER);
    assert_eq!((choice.class, choice.proof.verdict), (Class::Plain, Verdict::Thin));
    assert!(!choice.assembly.plays_no_direction());
    let joins = &choice.assembly.lead.joins;
    assert!(
        joins.iter().any(|join| join.from == own(4) && join.to == line(9)),
        "row-1 to the return: {joins:?}"
    );
    for row in [1, 2, 3] {
        assert!(!joins.iter().any(|join| join.from == own(row)), "row {row} stays open: {joins:?}");
    }
}
