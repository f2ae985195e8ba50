//! The readings with power: a supply stays where it is with 1 kΩ across, and a line that is only pulled up falls.

use solderside_lead::Assembly;
use solderside_meter::{ACROSS, Powered};
use solderside_proof::prove;

use crate::shelf;

fn powered(assembly: &Assembly) -> Powered {
    Powered::of(assembly, &prove(assembly).unwrap())
}

#[test]
fn a_line_that_is_only_pulled_up_falls_far_below_the_supply() {
    let assembly = shelf::stick_to_plover();
    let powered = powered(&assembly);
    assert!(powered.supplies.is_empty());
    // Six lines; the seventh conductor is the return, against which they are read.
    assert_eq!(powered.lines.len(), 6);
    let rail = assembly.port.rail;
    for line in &powered.lines {
        assert!(line.at_most.unwrap() < rail.low() * 0.5, "{}", line.leg);
        assert_eq!(line.home.unwrap().to_string(), "controller.1");
    }
    // The divider by hand, for the strongest pull-up of them all.
    let input =
        assembly.port.input_of(powered.lines[0].leg.contact).or_else(|| assembly.port.inputs.values().next());
    let pull_up = input.unwrap().pull_up.unwrap().low();
    let by_hand = rail.high() * (ACROSS.get() / (ACROSS.get() + pull_up.get()));
    assert!(powered.lines.iter().any(|line| line.at_most.unwrap() >= by_hand));
}

#[test]
fn something_tells_that_the_lead_is_plugged_in_at_all_where_no_supply_does() {
    let assembly = shelf::stick_to_plover();
    let powered = powered(&assembly);
    let plugged_in = powered.plugged_in.unwrap();
    assert!(plugged_in.more_than < assembly.port.rail.low());
    assert!(powered.lines.iter().any(|line| line.leg == plugged_in.leg));
}

#[test]
fn a_pad_with_chips_gets_its_supply_measured_and_nothing_else() {
    let assembly = shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7");
    let powered = powered(&assembly);
    let [supply] = powered.supplies.as_slice() else { panic!("one supply: {powered:?}") };
    assert_eq!((supply.leg.to_string(), supply.is_wire), ("controller.8".to_owned(), true));
    assert!(supply.needs.is_some() && powered.lines.is_empty());
}

#[test]
fn a_chip_of_the_lead_is_measured_at_its_empty_socket() {
    let assembly = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let powered = powered(&assembly);
    let [chip] = powered.chips.as_slice() else { panic!("one chip: {powered:?}") };
    assert_eq!([chip.legs.supply, chip.legs.ground].map(|leg| leg.to_string()), ["u1.16", "u1.8"]);
    assert!(chip.fed.unwrap().1);
}

/// The lead has 10 kΩ within 5 % from the supply to each of these, and an input of a CMOS chip, which gives next to nothing.
#[test]
fn a_line_that_the_lead_itself_pulls_up_falls_to_what_its_resistor_divides() {
    let assembly = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let powered = powered(&assembly);
    let pulled_up: Vec<_> = powered.lines.iter().filter(|line| line.is_pulled_up).collect();
    assert_eq!(pulled_up.len(), 6);
    let by_hand = assembly.port.rail.high() * (ACROSS.get() / (ACROSS.get() + 9500.0));
    for line in pulled_up {
        let at_most = line.at_most.unwrap();
        assert!(at_most >= by_hand && at_most.get() < by_hand.get() + 0.11, "{}: {at_most}", line.leg);
    }
}

#[test]
fn a_machine_that_is_fed_through_the_lead_is_not_switched_on_with_it() {
    let text = "format = 1\nkind = \"lead\"\ncontroller = \"loose-arcade-panel\"\nport = \"arcade-edge-player-1\"\njoins = []\n";
    let powered = powered(&shelf::from_text(text, &[]));
    assert!(!powered.fed.is_empty());
    assert!(powered.supplies.is_empty() && powered.lines.is_empty() && powered.plugged_in.is_none());
}
