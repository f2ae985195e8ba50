//! Outside checks of the logic families, each beside its published source.

use super::*;
use crate::source::Evidence;

fn close(found: Volts, expected: f64) {
    assert!((found.get() - expected).abs() < 1e-9, "found {found}, expected {expected} V");
}

/// What an output stands at, at its high ends, when it carries a current.
fn weakest(output: Output, amps: f64) -> f64 {
    output.offset.high().get() + output.ohms.high().get() * amps
}

#[test]
fn every_family_is_read_back_from_its_word() {
    for family in LogicFamily::ALL {
        assert_eq!(LogicFamily::parse(&family.to_string()), Some(family));
    }
    assert_eq!(LogicFamily::parse("ecl"), None);
}

#[test]
fn levels_rise_from_the_guaranteed_low_to_the_guaranteed_high() {
    for family in LogicFamily::ALL {
        let levels = family.levels();
        let rising = [
            levels.low_guaranteed.value,
            levels.low_typical.value,
            levels.high_typical.value,
            levels.high_guaranteed.value,
        ];
        assert!(rising.is_sorted(), "{family}: {rising:?}");
        assert!(levels.low_guaranteed.value < levels.high_guaranteed.value);
    }
}

/// *74HC245; 74HCT245* rev. 03, table 7: 3.15 V and 1.35 V at 4.5 V.
#[test]
fn hc_levels_are_those_of_the_sheet_at_its_supply() {
    let levels = LogicFamily::Hc.levels_at(Triple::exactly(Volts::literal(4.5)));
    close(levels.high_guaranteed.value, 3.15);
    close(levels.low_guaranteed.value, 1.35);
}

#[test]
fn hc_levels_allow_for_a_supply_that_is_off_by_five_per_cent() {
    let levels = LogicFamily::Hc.levels();
    close(levels.low_guaranteed.value, 1.425);
    close(levels.low_typical.value, 2.5);
    close(levels.high_guaranteed.value, 3.675);
}

/// *CD4021BC 8-Stage Static Shift Register*, DC table: 1.5 V and 3.5 V at 5 V.
#[test]
fn metal_gate_levels_are_those_of_the_sheet_at_its_supply() {
    let levels = LogicFamily::Cd4000.levels_at(Triple::exactly(Volts::literal(5.0)));
    close(levels.low_guaranteed.value, 1.5);
    close(levels.high_guaranteed.value, 3.5);
}

/// *DM74LS157 / DM74LS158* data sheet, page 3: 0.8 V, 2.0 V; 0.4 mA and 20 µA a data input; 0.8 mA the
/// select input.
#[test]
fn ttl_inputs_are_those_of_the_sheet() {
    let levels = LogicFamily::Ttl.levels();
    close(levels.low_guaranteed.value, 0.8);
    close(levels.high_guaranteed.value, 2.0);
    assert_eq!(LogicFamily::Ttl.input_low_amps().value.high(), Amps::literal(0.4e-3));
    assert_eq!(LogicFamily::Ttl.input_high_amps().value.high(), Amps::literal(20e-6));
    assert_eq!(LS_COMMON_INPUT_LOW.value, Amps::literal(0.8e-3));
}

/// *DM74LS157 / DM74LS158* data sheet, page 3: 0.4 V at 4 mA, 0.5 V at 8 mA; 2.7 V at 0.4 mA on 4.75 V;
/// a short carries 20 mA to 100 mA.
#[test]
fn a_ttl_output_meets_the_points_of_the_sheet() {
    let low = LogicFamily::Ttl.output_low().value;
    assert!((weakest(low, 4e-3) - 0.4).abs() < 1e-9);
    assert!((weakest(low, 8e-3) - 0.5).abs() < 1e-9);
    let high = LogicFamily::Ttl.output_high().value;
    assert!((weakest(high, 0.4e-3) - 2.05).abs() < 0.01);
    let short = |offset: Volts, ohms: Ohms| (Volts::literal(5.25) - offset).across(ohms).unwrap();
    assert!(short(high.offset.low(), high.ohms.low()) >= Amps::literal(0.1));
    assert!(short(high.offset.high(), high.ohms.high()) <= Amps::literal(0.02));
}

/// *CD4021BC*, DC table: 0.4 V at 0.44 mA at 25 °C and 0.36 mA at 85 °C, 0.88 mA typical, 0.05 V
/// without load.
#[test]
fn a_metal_gate_output_is_no_stronger_than_the_sheet_guarantees() {
    let low = LogicFamily::Cd4000.output_low().value;
    assert!(weakest(low, 0.0) >= 0.05);
    assert!(weakest(low, 0.36e-3) >= 0.399);
    assert!(weakest(low, 0.44e-3) >= 0.4);
    assert!((low.ohms.typical().get() * 0.88e-3 - 0.4).abs() < 0.001);
}

/// *6526 Complex Interface Adapter (CIA)* chip specifications: two TTL loads, 3.2 mA.
#[test]
fn a_port_sinks_two_ttl_loads() {
    let low = LogicFamily::NmosPort.output_low().value;
    assert!((weakest(low, 3.2e-3) - 0.4).abs() < 1e-9);
}

#[test]
fn a_family_with_a_pull_up_inside_counts_no_input_current_beside_it() {
    for family in LogicFamily::ALL {
        if family.pull_up().is_some() {
            assert_eq!(family.input_low_amps().value.high(), Amps::ZERO, "{family}");
            assert_eq!(family.input_high_amps().value.high(), Amps::ZERO, "{family}");
        }
    }
}

#[test]
fn a_family_works_on_five_volts_and_survives_its_own_rails() {
    for family in LogicFamily::ALL {
        let supply = family.supply().value;
        assert!(supply.low() <= Volts::literal(5.0) && Volts::literal(5.0) <= supply.high());
        let range = family.input_range(Volts::literal(5.0)).value;
        assert!(range.lowest < Volts::ZERO && range.highest > Volts::literal(5.0), "{family}");
    }
    assert!(LogicFamily::Hc.clamps_to_supply());
    assert!(!LogicFamily::Ttl.clamps_to_supply());
}

#[test]
fn every_assumption_says_that_it_is_one() {
    for family in LogicFamily::ALL {
        let levels = family.levels();
        for source in [
            levels.low_guaranteed.source,
            levels.low_typical.source,
            levels.high_typical.source,
            levels.high_guaranteed.source,
            family.output_low().source,
            family.output_high().source,
            family.clamp_amps().source,
            family.input_range(Volts::literal(5.0)).source,
            family.supply().source,
        ] {
            let says_so = ["from memory", "assumed", "common practice"]
                .iter()
                .any(|words| source.text.starts_with(words));
            assert_eq!(says_so, source.evidence == Evidence::Assumed, "{family}: {source}");
        }
    }
}
