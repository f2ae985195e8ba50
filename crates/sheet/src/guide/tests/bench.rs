//! Soldering, meter tests and first power.

use super::*;

#[test]
fn each_meter_test_says_what_a_wrong_reading_points_to() {
    for assembly in every_pair() {
        let page = page(&assembly);
        let bench = section(&page, "bench");
        let tests = bench.matches("<label class=\"tick\">").count();
        assert_eq!(bench.matches("<tr class=\"where\">").count(), tests);
    }
    let page = page(&pad_to_curlew());
    let bench = section(&page, "bench");
    assert!(bench.contains(
        "Anything but open, STOP: a bridge 7 – 8 at the port end, or conductors that touch in the cable."
    ));
    assert!(bench.contains(
        "Open: the joint at controller end 13 (a) or at port end 6 (fire), or the conductor between them."
    ));
}

#[test]
fn conductors_that_share_a_cup_are_suspected_together() {
    let page = page(&two_buttons_one_fire());
    let bench = section(&page, "bench");
    assert_eq!(bench.matches("at port end 6 (fire) (shared with").count(), 2);
}

#[test]
fn a_buzzer_is_asked_for_no_conductor_and_no_switch() {
    let page = page(&stick_to_plover());
    assert!(section(&page, "bench").contains("On the ohms range, not the buzzer"));
    assert!(section(&page, "switches").contains("on the ohms range: a buzzer is silent above 50 Ω"));
}

#[test]
fn every_join_is_wired_soldered_at_both_ends_and_buzzed() {
    for assembly in [stick_to_plover(), pad_to_curlew()] {
        let page = page(&assembly);
        let colouring = Colouring::usual(&assembly);
        for join in &assembly.lead.joins {
            let name = format!("<b>{}</b>", colouring.letters(*join));
            let times = |id: &str| section(&page, id).matches(&name).count();
            assert_eq!(["wires", "steps", "bench"].map(times), [1, 2, 1], "{join}");
        }
    }
}

#[test]
fn the_supply_is_tested_against_the_return_before_all_else() {
    let page = page(&pad_to_curlew());
    let bench = section(&page, "bench");
    let supply = bench.find("7 (supply) – 8 (return)").unwrap();
    assert!(supply < bench.find("Continuity").unwrap() && supply < bench.find("Isolation").unwrap());
}

// *Common Wire Gauges*, HyperPhysics: AWG 28 has 64.9 Ω for 1000 ft, which is 0.32 Ω for 1.5 m.
#[test]
fn continuity_expects_what_published_tables_give_for_the_wire() {
    let page = page(&stick_to_plover());
    assert!(section(&page, "bench").replace('\u{a0}', " ").contains("<b>0.27 Ω to 0.43 Ω</b>"));
}

#[test]
fn terminals_are_clamped_and_round_cups_soldered_and_only_a_shell_that_is_there_is_tested() {
    let page = page(&buttons_to_round());
    let steps = section(&page, "steps");
    assert!(steps.contains("into terminal <b>2 (up)</b>") && steps.contains("into cup <b>8 (left)</b>"));
    assert!(steps.contains("Crimp a ferrule") && !steps.contains("<b>Row"));
    let bench = section(&page, "bench");
    let isolation = bench.split("id=\"isolation-").skip(1).collect::<Vec<_>>();
    assert!(!isolation[0].contains("shell") && isolation[1].contains("8 and shell"));
    let needs = section(&page, "needs");
    assert!(needs.contains("270 degrees of a circle and its middle") && !needs.contains("hood for shell"));
}

#[test]
fn every_pair_of_neighbours_is_tested_once() {
    let page = page(&stick_to_plover());
    let bench = section(&page, "bench");
    // DE-9, *row by row*: contact 1 has 2, 6 and the shell beside it; 2 has 3, 6 and 7.
    assert!(bench.contains("<td>2, 6 and shell</td>"));
    assert!(bench.contains("<td>3, 6, 7 and shell</td>"));
}

#[test]
fn the_far_row_is_soldered_before_the_near_one_and_the_middle_before_the_outside() {
    let rows = far_row_first(&stick_to_plover(), EndId::Controller(0));
    let read = |row: &[solderside_trade::ContactId]| listed(row);
    // The stick's connector lies with row 1 to 8 up, away from the conductors.
    assert_eq!(read(&rows[0]), "4, 5, 3, 6, 2, 7, 1 and 8");
    assert_eq!(read(&rows[1]), "12, 11, 13, 10, 14, 9 and 15");
}

#[test]
fn a_controller_with_chips_is_not_measured_through() {
    let page = page(&pad_to_curlew());
    assert!(section(&page, "switches").contains("has chips inside"));
    assert_eq!(section(&page, "switches").matches("<table>").count(), 0);
}

#[test]
fn the_first_power_begins_with_the_lead_in_the_machine() {
    for assembly in [stick_to_plover(), stick_to_curlew()] {
        let page = page(&assembly);
        let power = section(&page, "power");
        let plugged_in = power.find("Plug the lead into the machine").unwrap();
        assert!(plugged_in < power.find("Switch on").unwrap());
        // A loose lead reads nothing: this reading tells it from one that is plugged in.
        assert!(power.contains("red probe to 15 (up), no resistor. Switch on. Expect more than 1.4 V"));
    }
}

// The divider of the strongest pull-up and 1 kΩ on 5.25 V: 1.28 V with 3.1 kΩ, 0.20 V with 25 kΩ.
#[test]
fn every_used_contact_but_the_return_stays_below_its_figure() {
    for (assembly, figure, lines) in
        [(stick_to_curlew(), "below 1.3 V", 5), (stick_to_plover(), "below 0.3 V", 6)]
    {
        let page = page(&assembly);
        assert_eq!(section(&page, "power").matches(figure).count(), lines);
    }
}

#[test]
fn the_supply_of_a_pad_is_checked_before_it_is_soldered_to() {
    let page = page(&pad_to_curlew());
    let pad = section(&page, "pad");
    assert!(pad.contains("contact 8 (supply)") && pad.contains("nobody has measured it"));
    assert!(page.find("id=\"pad\"") < page.find("id=\"steps\""));
    assert!(section(&page, "needs").contains("100 Ω"));
    assert_eq!(section(&self::page(&stick_to_plover()), "pad"), "");
}

/// Both buttons on one fire: cups 5 and 13 are neighbours and share the port's cup 6.
fn two_buttons_one_fire() -> Assembly {
    let mut assembly = lead("heron-stick", "curlew", &[[13, 6], [5, 6], [1, 8]]);
    let fire = Action::new("fire").unwrap();
    assembly.lead.play.set(fire, ["a", "b"].map(|name| Control::new(name).unwrap()));
    assembly
}

#[test]
fn conductors_that_share_a_cup_are_soldered_together() {
    let page = page(&two_buttons_one_fire());
    let steps = section(&page, "steps");
    assert_eq!(steps.matches(", twisted together, into cup <b>6 (fire)</b>").count(), 1);
    assert_eq!(steps.matches("into cup <b>6 (fire)</b>").count(), 1);
    assert!(section(&page, "needs").contains("13 pieces"));
}

#[test]
fn cups_joined_through_the_other_end_are_buzzed_when_that_is_done() {
    let page = page(&two_buttons_one_fire());
    assert_eq!(section(&page, "steps").matches("5 with 13. Buzz these once more then.").count(), 1);
    assert!(!section(&self::page(&stick_to_curlew()), "steps").contains("once more then"));
}

#[test]
fn a_lead_without_a_supply_has_no_supply_to_solder() {
    let fresh = "fresh in view";
    assert!(!section(&page(&stick_to_plover()), "steps").contains(fresh));
    let page = page(&pad_to_curlew());
    let steps = section(&page, "steps");
    assert!(steps.contains(fresh));
    assert!(
        steps.contains("measure contact 7 (supply) of the port end against 8 (return) and shell once more")
    );
}

#[test]
fn a_crushed_cable_is_sought_where_no_part_hides_it() {
    let [at_port, at_controller] = [one_button_on_two_fires(), one_cup_with_two_diodes()].map(|assembly| {
        let page = page(&assembly);
        let bench = words_of(&page, "bench");
        let before = bench.split("A crushed cable").next().unwrap().to_owned();
        before.matches("3. Isolation").count()
    });
    assert_eq!([at_port, at_controller], [1, 2]);
}

#[test]
fn a_lead_in_a_cable_names_its_cores_and_its_spares() {
    let mut assembly = pad_to_curlew();
    assembly.lead.run_in(cable("five-pair-screened"));
    let page = page(&assembly);
    let needs = section(&page, "needs");
    assert!(needs.contains("<b>1.5 m of Five-pair screened control cable</b>"), "{needs}");
    assert!(needs.contains("Spare: <b>PK 6, BK 9, VT 10 and the drain</b>."), "{needs}");
    for join in &assembly.lead.joins {
        let name = format!("<b>{}</b>", Colouring::of(&assembly).letters(*join));
        let times = |id: &str| section(&page, id).matches(&name).count();
        assert_eq!(["needs", "wires", "steps", "bench"].map(times), [1, 1, 2, 1], "{join}");
    }
}

#[test]
fn nothing_is_bought_for_or_soldered_to_a_moulded_end() {
    let mut assembly = stick_to_plover();
    assembly.lead.run_in(cable("nine-core-moulded-socket"));
    let page = page(&assembly);
    let needs = section(&page, "needs");
    assert!(!needs.contains("1 × DE-9 socket") && needs.contains("1 × DA-15 socket"), "{needs}");
    assert!(needs.contains("is moulded onto the cable."), "{needs}");
    assert!(needs.contains("7 pieces of 10 mm"), "{needs}");
    let steps = section(&page, "steps");
    assert!(steps.contains("This DE-9 socket is moulded on: nothing is soldered here."), "{steps}");
    assert_eq!(steps.matches("Hold the ").count(), 1);
    assert!(steps.find("is moulded on") < steps.find("Hold the "), "it is checked first");
    assert!(steps.contains("insulate, each by itself: YE 5 and GY 8."), "{steps}");
    assert!(steps.contains("<b>Mind YE 5:</b>"), "contact 5 of the Plover is its supply: {steps}");
    assert!(steps.contains("Cut the cable 1.5 m from the moulded end"), "{steps}");
    assert_eq!(section(&page, "drawing").matches("For soldering: ").count(), 1);
}

#[test]
fn cores_that_look_alike_are_told_apart_with_the_meter() {
    let mut assembly = stick_to_plover();
    let mut cheap = cable("ten-core-control");
    cheap.colours[4] = cheap.colours[0];
    assembly.lead.run_in(cheap);
    assert!(section(&page(&assembly), "needs").contains("The cores <b>1 and 5</b> look alike"));
}
