//! Leads with logic chips: composed for ports that no wire serves, and held against boolean algebra that shares no code
//! with the proof.

#[expect(dead_code, reason = "the other tests use the rest")]
mod bench;
#[path = "../../proof/tests/bench/picture.rs"]
#[expect(dead_code, reason = "the proof's own tests use the rest")]
mod picture;

use std::collections::BTreeSet;

use solderside_design::{Choice, Class, Wishes};
use solderside_lead::{Body, Leg, PartId, write_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{MovedBy, Verdict, prove};
use solderside_trade::{ContactId, LegRole};

use bench::{ONE_FIRE, PAD, STICK, control, designed, ends};
use picture::compare;

const PANEL: &str = "loose-arcade-panel";
const SELECT: &str = "nine-pin-select";
const MATRIX: &str = "fifteen-pin-matrix";
const GAME: &str = "fifteen-pin-game";

/// The lead with chips between two classes.
fn logic(controller: &str, port: &str) -> Choice {
    let designs = designed(&ends([controller, ""], [port, ""]), &Wishes::default());
    let own = designs.options.into_iter().find(|choice| choice.class == Class::Logic);
    own.unwrap_or_else(|| panic!("no lead with chips from {controller} to {port}"))
}

fn chips(choice: &Choice) -> Vec<&'static str> {
    let chip = |body: Body| if let Body::Chip(chip) = body { Some(chip.name()) } else { None };
    choice.assembly.lead.parts.iter().filter_map(|part| chip(part.body)).collect()
}

/// What is drawn is what each port asks for: a multiplexer for a line that selects, registers for lines that load and
/// shift, buffers for rows; two registers for sixteen bits.
#[test]
fn a_stick_and_a_panel_get_the_chips_that_each_port_asks_for() {
    for controller in [STICK, PANEL] {
        for (port, expected) in [
            (SELECT, vec!["74HC157"]),
            ("nine-pin-register-8-bit", vec!["CD4021"]),
            ("nine-pin-register-16-bit", vec!["CD4021", "CD4021"]),
            (MATRIX, vec!["74HC125", "74HC125"]),
        ] {
            let choice = logic(controller, port);
            assert_eq!(chips(&choice), expected, "{controller} to {port}");
            assert_eq!(choice.proof.verdict, Verdict::Works, "{controller} to {port}");
            let compared = compare(port, &choice.assembly, &choice.proof);
            assert!(compared >= 18, "{controller} to {port}: {compared} states");
        }
    }
}

#[test]
fn every_button_that_a_port_reads_gets_through_and_nothing_else_is_lost() {
    let lost = |controller: &str, port: &str| -> Vec<String> {
        logic(controller, port).proof.controls_lost.iter().map(ToString::to_string).collect()
    };
    // Four buttons are read for three of the stick's four, and its select has no action.
    assert_eq!(lost(STICK, SELECT), ["d", "select"]);
    assert_eq!(lost(STICK, "nine-pin-register-16-bit"), Vec::<String>::new());
}

/// A pad with chips of its own may be plugged in without the lead's chips having their supply, and the other way round.
#[test]
fn a_pads_outputs_are_kept_from_the_leads_chips_by_a_resistor_each() {
    let choice = logic(PAD, SELECT);
    assert_eq!((chips(&choice), choice.proof.verdict), (vec!["74HC157"], Verdict::Works));
    let lead = &choice.assembly.lead;
    let read = [13, 5, 12, 11, 14, 6].map(|number| Leg::controller(ContactId::Number(number)));
    for contact in read {
        let net = lead.net(contact);
        let parts: Vec<PartId> = net.iter().filter_map(|leg| leg.part_id()).collect();
        assert!(matches!(parts.as_slice(), [PartId::Resistor(_)]), "{contact}: {parts:?}");
    }
}

/// *Implications of Slow or Floating CMOS Inputs*, SCBA004: an input that nobody drives is tied.
#[test]
fn no_input_floats_and_each_chip_has_its_capacitor_beside_it() {
    for (controller, port) in
        [(STICK, SELECT), (STICK, MATRIX), (PANEL, "nine-pin-register-16-bit"), (STICK, GAME)]
    {
        let choice = logic(controller, port);
        let lead = &choice.assembly.lead;
        for part in &lead.parts {
            let Body::Chip(chip) = part.body else { continue };
            let leg = |number| Leg::part(part.id(), ContactId::Number(number));
            for number in chip.sheet().legs_for(LegRole::Input) {
                assert!(
                    lead.joined(leg(number)).next().is_some(),
                    "{controller} to {port}: {} floats",
                    leg(number)
                );
            }
            let [supply, ground] = [LegRole::Supply, LegRole::Ground]
                .map(|role| chip.sheet().legs_for(role).map(leg).next().unwrap());
            let on = |leg: Leg| -> BTreeSet<PartId> {
                let capacitor = |part: &PartId| matches!(part, PartId::Capacitor(_));
                lead.joined(leg).filter_map(Leg::part_id).filter(capacitor).collect()
            };
            assert!(on(supply).intersection(&on(ground)).next().is_some(), "{port}: {} is bare", part.id());
        }
    }
}

/// Two buttons in different rows share a column: each pulls it low through a diode, so that neither fights the other.
#[test]
fn outputs_that_share_a_column_never_fight() {
    let choice = logic(STICK, MATRIX);
    let column = Leg::port(ContactId::Number(10));
    let on_column = choice.assembly.lead.net(column);
    let parts: BTreeSet<PartId> = on_column.iter().filter_map(|leg| leg.part_id()).collect();
    assert_eq!(parts, (1..=3).map(PartId::Diode).collect());
}

/// The published times of the port: t = 24.2 µs + 0.011 µs × R (`HelpPC`, *Joystick / Game Port (201h)*), with the
/// capacitor of 10 nF within 10 % that the profile states, the resistors within 5 %.
#[test]
fn a_lever_moves_the_axes_of_a_game_port_by_resistors_in_steps() {
    let choice = logic(STICK, GAME);
    assert_eq!((chips(&choice), choice.proof.verdict), (vec!["CD4066"], Verdict::Works));
    assert_eq!(choice.proof.axes.len(), 2);
    for axis in &choice.proof.axes {
        assert!(matches!(axis.moved_by, MovedBy::Controls(_)));
        let apart = axis.apart.expect("all three positions are bounded");
        assert!(apart.iter().all(|share| *share > 0.2), "{apart:?}");
        // The high end is 100 kΩ, the middle half of that, the low end next to nothing.
        for (time, ohms) in axis.travel.iter().zip([980.0, 50e3, 100e3]) {
            let published = 24.2e-6 + 0.011e-6 * ohms;
            let (least, most) = (time.least.expect("charges").get(), time.most.expect("charges").get());
            assert!(least < published && published < most, "{published} is not in {least} to {most}");
            let typical = time.typical.expect("charges").get();
            assert!((typical / published - 1.0).abs() < 0.15, "{typical} is not near {published}");
        }
    }
    // Wire alone plays no direction, so it comes last.
    let designs = designed(&ends([STICK, ""], [GAME, ""]), &Wishes::default());
    let classes: Vec<Class> = designs.options.iter().map(|choice| choice.class).collect();
    assert_eq!(classes, [Class::Logic, Class::Plain]);
}

/// A feed that is not the rail is looked at in pieces, and all of them count also where one end is left out.
#[test]
fn a_line_of_data_feeds_no_axis() {
    let choice = logic(STICK, "fifteen-pin-game-with-music");
    assert!(!choice.assembly.plays_no_direction());
    for music in [12, 15] {
        let leg = Leg::port(ContactId::Number(music));
        assert!(choice.assembly.lead.joined(leg).next().is_none(), "nothing hangs on {leg}");
    }
}

#[test]
fn an_axis_with_one_end_is_bounded_over_the_whole_range_of_its_feed() {
    let wide = "[contact.8]\nrole = \"supply\"\nvolts = [4.6, 5.0, 5.4]\namps_max = 0.05\n";
    let designs = designed(&ends([STICK, ""], [GAME, wide]), &Wishes::default());
    let choice =
        designs.options.into_iter().find(|choice| choice.class == Class::Logic).expect("a lead with chips");
    let mut one_ended = choice.assembly.clone();
    for (nobody, contact) in [("left", 14), ("up", 15)] {
        one_ended.lead.play.set(bench::action(nobody), []);
        one_ended.lead.joins.retain(|join| join.from != Leg::controller(ContactId::Number(contact)));
    }
    let proof = prove(&one_ended).expect("a circuit");
    assert_eq!(proof.axes.len(), 2);
    for (own, whole) in proof.axes.iter().zip(&choice.proof.axes) {
        let [_, centre, high] = own.travel;
        let [_, whole_centre, whole_high] = whole.travel;
        for (own, whole) in [(centre, whole_centre), (high, whole_high)] {
            for (own, whole) in [(own.least, whole.least), (own.most, whole.most)] {
                let (own, whole) = (own.expect("charges").get(), whole.expect("charges").get());
                // What hangs on the cut lines is gone too; one piece of the feed alone would be a third off.
                assert!((own / whole - 1.0).abs() < 0.01, "{own} of {whole}");
            }
        }
    }
}

#[test]
fn what_is_saved_is_proved_again_as_it_was() {
    let choice = logic(STICK, SELECT);
    let file = SourceFile::new("lead.toml", write_lead(&choice.assembly));
    let shelf = ["own-controller", "own-port"].into_iter().zip([STICK, SELECT]);
    let shelf =
        shelf.map(|(name, like)| SourceFile::new(format!("{name}.toml"), format!("like = \"{like}\"\n")));
    let again = solderside_lead::read_lead(&file, &Library::with_shelf(shelf.collect())).expect("a lead");
    assert_eq!(again.lead.joins, choice.assembly.lead.joins);
    let proof = prove(&again).expect("a circuit");
    assert_eq!((proof.verdict, proof.actions), (choice.proof.verdict, choice.proof.actions));
}

/// One control with two actions: the other control of the shared action keeps its own line, behind a diode.
#[test]
fn a_button_with_two_jobs_gets_a_diode_at_the_chip() {
    let wishes = Wishes {
        play: vec![
            (bench::action("a"), vec![control("a")]),
            (bench::action("b"), vec![control("b"), control("a")]),
        ],
        ..Wishes::default()
    };
    let designs = designed(&ends([STICK, ""], [SELECT, ""]), &wishes);
    let choice =
        designs.options.iter().find(|choice| choice.class == Class::Logic).expect("a lead with chips");
    compare("two jobs", &choice.assembly, &choice.proof);
    let diodes = choice.assembly.lead.parts.iter().filter(|part| matches!(part.body, Body::Diode(_)));
    assert_eq!(diodes.count(), 1);
}

#[test]
fn where_wire_serves_no_chip_is_proposed() {
    let designs = designed(&ends([STICK, ""], [ONE_FIRE, ""]), &Wishes::default());
    assert_eq!(designs.options.iter().map(|choice| choice.class).collect::<Vec<_>>(), [Class::Plain]);
}
