//! Soldering, meter tests and first power.

use solderside_meter::{Bench, Danger, Plan};

use super::*;

/// The readings of the lead alone, each in a line.
fn readings(page: &str) -> Vec<String> {
    let words = words_of(page, "bench");
    let is_reading = |line: &&str| {
        line.matches(" | ").count() == 4 && line.starts_with(|first: char| first.is_ascii_digit())
    };
    words.lines().filter(is_reading).map(str::to_owned).collect()
}

#[test]
fn the_readings_are_those_of_the_plan_and_each_says_what_a_wrong_one_points_to() {
    for assembly in every_pair() {
        let page = page(&assembly);
        let bench = section(&page, "bench");
        let plan = Plan::of(&Bench::new(&assembly));
        assert_eq!(readings(&page).len(), plan.steps.len());
        assert_eq!(bench.matches("<label class=\"tick\">").count(), plan.steps.len());
        assert_eq!(bench.matches("<tr class=\"where\">").count(), plan.steps.len());
        // What is dangerous stands open.
        let dangerous = plan.steps.iter().filter(|step| step.danger != Danger::Dead).count();
        assert_eq!(bench.matches("<details open>").count(), dangerous);
    }
}

#[test]
fn a_reading_names_conductors_by_their_letters_and_contacts_by_what_they_do() {
    let page = page(&stick_to_plover());
    let words = words_of(&page, "bench");
    let rows = words.lines().skip_while(|line| !line.starts_with("First the supply"));
    insta::assert_snapshot!(rows.take(19).collect::<Vec<_>>().join("\n"), @"
    First the supply against the return. A wrong reading here is a short: stop, mend it, read it again.
    Row | Red probe | Black probe | Good | Right |
    1 | Port end 5 (supply) | Port end 9 (return) | open or silent |  |
    Reads anything else?at most 0.9 Ω: a bridge 5 – 9 at the port end.
    |
    2 | Port end 5 (supply) | Port end shell | open or silent |  |
    Reads anything else?No single slip does this: a stray strand, or solder between several cups. |
    Then the supply against everything else. A wrong reading here puts it on a line: stop, mend it, read it again.
    Row | Red probe | Black probe | Good | Right |
    3 | Port end 5 (supply) | Controller end 6 (right) | open or silent |  |
    Reads anything else?at most 0.9 Ω: a bridge 4 – 5 at the port end; OG in cup 5 of the port end instead of 4.
    |
    Then everything else. What is wrong here makes a lead that does not work.
    Row | Red probe | Black probe | Good | Right |
    4 OG | Port end 4 (right) | Controller end 6 (right) | at most 0.8 Ω |  |
    Reads anything else?49.2 Ω to 5.04 kΩ: a joint of OG weak, at either end.
    open: a joint of OG open, at either end; OG swapped with another conductor, at either end; OG in a cup beside its own, at either end; either end counted from the wrong side; the rows of either end taken for each other.
    |
    5 | Port end 4 (right) | Controller end 5 (b) | open or silent |  |
    ");
}

#[test]
fn conductors_that_share_a_cup_are_suspected_by_their_own_letters() {
    let page = page(&two_buttons_one_fire());
    let words = words_of(&page, "bench");
    assert!(words.contains("a joint of BN or GN open, at either end"), "{words}");
}

#[test]
fn a_buzzer_is_asked_for_no_conductor_and_no_switch() {
    let page = page(&stick_to_plover());
    let is_conductor = |row: &&String| row.contains("at most");
    let rows = readings(&page);
    assert_eq!(rows.iter().filter(is_conductor).count(), 7);
    assert!(
        rows.iter().filter(is_conductor).all(|row| !row.contains("or silent") && !row.contains("or a beep"))
    );
    assert!(section(&page, "switches").contains("On the ohms range, never the buzzer"));
}

#[test]
fn the_supply_is_tested_against_the_return_before_all_else() {
    let rows = readings(&page(&pad_to_curlew()));
    assert!(rows[0].contains("Controller end 1 (common) | Controller end 8 (supply) | open"), "{rows:?}");
    assert!(rows[1].contains("Port end 7 (supply) | Port end 8 (return) | open"), "{rows:?}");
    assert!(rows[2].contains("Port end 7 (supply) | Port end shell | open"), "{rows:?}");
}

#[test]
fn a_crushed_cable_is_sought_where_no_part_hides_it() {
    let [at_port, at_controller] = [one_button_on_two_fires(), one_cup_with_two_diodes()].map(|assembly| {
        let bench = words_of(&page(&assembly), "bench");
        bench.lines().find(|line| line.starts_with("Not looked for")).unwrap_or_default().to_owned()
    });
    assert!(at_port.contains("1, 6, 7, 13, 14 and 15 of the controller end"), "{at_port}");
    assert!(at_controller.contains("of the port end"), "{at_controller}");
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
fn terminals_are_clamped_and_round_cups_soldered_and_only_a_shell_that_is_there_is_tested() {
    let page = page(&buttons_to_round());
    let steps = section(&page, "steps");
    assert!(
        steps.contains("write <b>2 (up)</b> on a piece of tape")
            && steps.contains("into cup <b>8 (left)</b>")
    );
    assert!(
        steps.contains("Nothing is clamped yet.")
            && steps.contains("Crimp a ferrule")
            && !steps.contains("<b>Row")
    );
    assert!(!steps.contains("under the screw of terminal"), "that is done when the lead was found right");
    let clamped = section(&page, "switches");
    assert!(clamped.contains("under the screw of terminal <b>2 (up)</b>"), "{clamped}");
    assert!(page.find("id=\"bench\"") < page.find("under the screw of terminal"));
    for id in ["bench", "switches", "power"] {
        let words = words_of(&page, id).to_lowercase();
        for wrong in [
            "unplug the lead at both ends",
            "plug the controller",
            "controller not plugged in",
            "no controller plugged in",
        ] {
            assert!(!words.contains(wrong), "{id}: {wrong}: {words}");
        }
    }
    assert!(words_of(&page, "power").contains("hold no control of the"));
    let rows = readings(&page);
    assert!(
        rows.iter().all(|row| !row.contains("Controller end shell")),
        "a strip of terminals has no shell"
    );
    assert!(rows.iter().any(|row| row.contains("Port end shell")));
    assert!(
        steps.contains("each used cup against its neighbours, used or not, and against the shell."),
        "{steps}"
    );
    let needs = section(&page, "needs");
    assert!(needs.contains("270 degrees of a circle and its middle") && !needs.contains("hood for shell"));
    assert!(
        needs.contains("5 ferrules") && needs.contains("5 pieces of 10 mm"),
        "no sleeve goes under a screw: {needs}"
    );
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
fn of_two_controllers_every_switch_is_tested_and_each_end_is_named() {
    let page = page(&stick_with_pass_through());
    let switches = words_of(&page, "switches");
    assert!(switches.contains("Plug both controllers into the lead"), "{switches}");
    for (end, controls) in [
        ("controller 1 end", ["up", "down", "left", "right", "a"]),
        ("controller 2 end", ["second-up", "second-down", "second-left", "second-right", "second-a"]),
    ] {
        let own = switches.split(&format!("of the controller at the {end}")).nth(1).unwrap();
        let own = own.split("Each control").next().unwrap();
        for control in controls {
            assert_eq!(
                own.lines().filter(|row| row.starts_with(&format!("{control} |"))).count(),
                1,
                "{own}"
            );
        }
    }
    let power = words_of(&page, "power");
    assert!(power.contains("At the controller 1 end: black probe fixed to 1 (common), red probe to 15 (up)"));
    assert!(power.contains("leave both controllers out") && power.contains("Plug both controllers in"));
    let needs = words_of(&page, "needs");
    assert!(needs.contains("It goes into the Nine-pin stick with one button"), "{needs}");
}

#[test]
fn two_connectors_of_one_kind_for_controllers_of_one_kind_are_named_once() {
    let mut assembly = stick_with_pass_through();
    assembly.lead.ends[1].connector = assembly.lead.ends[0].connector;
    assembly.controllers[1].title = assembly.controllers[0].title.clone();
    let needs =
        words_of(&guide(&assembly, &prove(&stick_to_curlew()).unwrap(), &GuideOptions::default()), "needs");
    assert!(
        needs.contains("2 × DA-15 socket") && needs.contains("One goes onto each Heron stick."),
        "{needs}"
    );
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
        steps.contains("then take the first 3 of the meter tests once more, supply against return"),
        "{steps}"
    );
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
    assert!(needs.contains("9 pieces of 10 mm"), "seven cups, and two spare cores: {needs}");
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
