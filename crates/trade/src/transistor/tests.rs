//! Outside checks of the transistors, each beside its published source.

use solderside_quantity::{Kelvin, NotFinite};

use super::*;
use crate::source::Evidence;

fn base(part: TransistorPart) -> BaseSheet {
    match part.sheet().closed_by {
        ClosedBy::Base(base) => base,
        ClosedBy::Gate(_) => panic!("{part} has no base"),
    }
}

fn gate(part: TransistorPart) -> GateSheet {
    match part.sheet().closed_by {
        ClosedBy::Gate(gate) => gate,
        ClosedBy::Base(_) => panic!("{part} has no gate"),
    }
}

fn at_25(model: DiodeModel) -> DiodeModel {
    model.at_temperature(Kelvin::literal(298.15))
}

fn drop(model: DiodeModel, amps: f64) -> Result<f64, NotFinite> {
    model.forward_volts(Amps::literal(amps)).map(Volts::get)
}

/// What stands across a closed transistor at the weak ends.
fn weakest(part: TransistorPart, amps: f64) -> f64 {
    let closed = part.sheet().closed.value;
    closed.offset.high().get() + closed.ohms.high().get() * amps
}

fn typical(part: TransistorPart, amps: f64) -> f64 {
    let closed = part.sheet().closed.value;
    closed.offset.typical().get() + closed.ohms.typical().get() * amps
}

#[test]
fn a_transistor_is_found_by_its_name_in_any_case() {
    for part in TransistorPart::ALL {
        assert_eq!(TransistorPart::parse(&part.to_string().to_lowercase()), Some(part));
    }
    assert_eq!(TransistorPart::parse("BC337"), None);
}

#[test]
fn each_kind_has_the_control_and_the_legs_of_its_kind() {
    for part in TransistorPart::ALL {
        let has_gate = matches!(part.sheet().closed_by, ClosedBy::Gate(_));
        assert_eq!(has_gate, part.kind() == TransistorKind::NChannel, "{part}");
        assert_eq!(part.sheet().body.is_some(), has_gate, "{part}");
        let (mut row, mut legs) = (part.sheet().row.value, part.kind().legs());
        row.sort_unstable();
        legs.sort_unstable();
        assert_eq!(row, legs, "{part}");
    }
}

/// *BC546 / BC547 / BC548 / BC549 / BC550*, electrical characteristics: 90 mV typical, 250 mV most at 10 mA
/// and 0.5 mA; 600 mV at 100 mA and 5 mA; 200 mV typical: *BC546B, BC547A, B, C* rev. 7. *BC557B*, March
/// 2003: 60 mV and 300 mV, 180 mV and 650 mV.
#[test]
fn a_closed_bipolar_transistor_meets_both_points_of_its_sheet() {
    for (part, [low_typical, low_most], [high_typical, high_most]) in [
        (TransistorPart::Bc547, [0.09, 0.25], [0.2, 0.6]),
        (TransistorPart::Bc557, [0.06, 0.3], [0.18, 0.65]),
    ] {
        for (amps, base_amps, expected_typical, most) in
            [(10e-3, 0.5e-3, low_typical, low_most), (0.1, 5e-3, high_typical, high_most)]
        {
            assert!((base(part).forced_gain.value * base_amps - amps).abs() < 1e-9, "{part}");
            assert!((weakest(part, amps) - most).abs() < 0.002, "{part} at {amps} A");
            assert!((typical(part, amps) - expected_typical).abs() < 0.002, "{part} at {amps} A");
        }
        assert!(base(part).forced_gain.value < base(part).gain.value[0], "{part}");
    }
}

/// *BC546B, BC547A, B, C* rev. 7: 0.55 V least at 2 mA; *BC546 / BC547*, sheetsdata.com: 0.70 V most; *BC556,
/// BC557, BC558*, dtsheet.com/doc/2921827: 0.55 V least; *BC557B*, March 2003: 0.75 V most. The base takes 2
/// mA by the gain: 110 to 800, 75 to 800.
#[test]
fn a_base_lies_between_its_two_laws_where_the_sheets_measure_it() {
    for (part, [least_volts, most_volts], saturated) in [
        (TransistorPart::Bc547, [0.55, 0.70], [(0.5e-3, 0.7), (5e-3, 0.9)]),
        (TransistorPart::Bc557, [0.55, 0.75], [(0.5e-3, 0.75), (5e-3, 0.93)]),
    ] {
        let BaseSheet { junction, gain, .. } = base(part);
        let [least, most] = [junction.least(), junction.most()].map(|law| at_25(law.value));
        for gain in gain.value {
            let amps = 2e-3 / gain;
            assert!(drop(most, amps).unwrap() <= least_volts, "{part}");
            assert!(drop(least, amps).unwrap() >= most_volts - 0.001, "{part}");
        }
        for (amps, volts) in saturated {
            let found = drop(junction.typical().value, amps).unwrap();
            assert!((found - volts).abs() < 0.002, "{part} at {amps} A: {found} V");
            assert!(drop(most, amps).unwrap() < volts && volts < drop(least, amps).unwrap(), "{part}");
        }
    }
}

/// *BC546/BC547/BC548*, May 2011: 1.1 V at 5 mA into the base; *BC556, A / B*, 26 April 2005: 1.0 V.
#[test]
fn a_base_drops_as_much_as_the_sheets_allow() {
    for (part, volts) in [(TransistorPart::Bc547, 1.1), (TransistorPart::Bc557, 1.0)] {
        let found = drop(at_25(base(part).junction.least().value), 5e-3).unwrap();
        assert!((found - volts).abs() < 0.002, "{part}: {found} V");
    }
}

/// Whatever flows into the base of the most conducting one, its collector takes no more than that law gives
/// an emitter: 0.55 V at 2 mA, and a tenth for each 62 mV less at 40 °C.
#[test]
fn a_bipolar_transistor_that_is_off_leaks_less_than_it_says() {
    for part in [TransistorPart::Bc547, TransistorPart::Bc557] {
        let off = part.sheet().off.value;
        let emitter = base(part).junction.most().value;
        assert!(drop(emitter, off.amps.get()).unwrap() >= off.up_to.get(), "{part}");
        assert!(
            drop(emitter, off.amps.get() * 0.1).unwrap() < off.up_to.get(),
            "{part} is needlessly strict"
        );
    }
}

/// *2N7000*, DSFP-2N7000, page 2: 0.8 V to 3.0 V at 1 mA; 5.3 Ω at 4.5 V and 75 mA at 25 °C; *2N7000*,
/// November 1994, www.datasheetandpdf.com/EN/DIODES/1/2N7000.htm: 0.4 V at 75 mA and 4.5 V.
#[test]
fn a_closed_mosfet_drops_at_least_what_its_sheets_allow() {
    let part = TransistorPart::N2n7000;
    let control = gate(part);
    assert!(control.threshold.value.high() < control.closed_from.value);
    assert!(
        control.closed_from.value < Volts::literal(4.75) - LOW_RAIL,
        "a CMOS high on 5 V - 5 % closes it"
    );
    assert!(weakest(part, 75e-3) >= 0.4);
    assert!(weakest(part, 75e-3) >= 5.3 * 75e-3);
    assert_eq!(part.sheet().closed.value.offset.high(), Volts::ZERO);
}

/// What a CMOS output stands below its supply without load.
const LOW_RAIL: Volts = Volts::literal(0.1);

/// *2N7000*, DSFP-2N7000, page 2: 0.8 V at 1 mA at least, 1 µA at 0 V. A TTL low of 0.4 V keeps it off.
#[test]
fn a_low_keeps_a_mosfet_off() {
    let part = TransistorPart::N2n7000;
    let off = part.sheet().off.value;
    assert!(off.up_to >= Volts::literal(0.4) && off.up_to < gate(part).threshold.value.low());
    let decades = (gate(part).threshold.value.low() - off.up_to).get() / 0.13;
    let below_threshold = 1e-3 * libm::exp10(-decades);
    let leaks = 1e-6 * libm::exp2(1.5);
    assert!(below_threshold + leaks <= off.amps.get(), "{below_threshold} A + {leaks} A");
}

/// *2N7000*, DSFP-2N7000, page 2: 0.85 V typical at 200 mA.
#[test]
fn a_body_diode_lies_between_its_two_laws() {
    let body = TransistorPart::N2n7000.sheet().body.unwrap();
    let [least, most] = [body.least(), body.most()].map(|law| at_25(law.value));
    let own = body.typical().value;
    assert!((drop(own, 0.2).unwrap() - 0.85).abs() < 0.002);
    assert!((drop(least, 0.2).unwrap() - 1.5).abs() < 0.002);
    for amps in [1e-6, 1e-3, 20e-3, 0.2] {
        let [low, middle, high] = [most, own, least].map(|law| drop(law, amps).unwrap());
        assert!(low < middle && middle < high, "{amps} A: {low} {middle} {high}");
    }
}

#[test]
fn each_junction_lies_between_its_two_laws_at_both_ends_of_the_room() {
    for part in TransistorPart::ALL {
        let junction = match part.sheet().closed_by {
            ClosedBy::Base(base) => base.junction,
            ClosedBy::Gate(_) => part.sheet().body.unwrap(),
        };
        for kelvin in ROOM {
            let own = junction.typical().value.at_temperature(kelvin);
            for amps in [1e-6, 10e-6, 0.1e-3, 1e-3, 5e-3] {
                let [most, own, least] =
                    [junction.most().value, own, junction.least().value].map(|law| drop(law, amps).unwrap());
                assert!(most <= own && own <= least, "{part} at {kelvin}, {amps} A: {most} {own} {least}");
            }
        }
    }
}

#[test]
fn every_transistor_stands_a_lead_of_five_volts() {
    for part in TransistorPart::ALL {
        let sheet = part.sheet();
        let five = Volts::literal(5.0);
        assert!(sheet.volts_max.value > five && sheet.reverse_volts_max.value >= five, "{part}");
        assert!(sheet.amps_max.value >= Amps::literal(0.1), "{part}");
        assert!(weakest(part, sheet.amps_max.value.get()) < 1.2, "{part}");
        assert!(sheet.input_farads.value.high() > Farads::ZERO && sheet.watts_max.value > Watts::ZERO);
    }
}

#[test]
fn every_assumption_of_a_transistor_says_that_it_is_one() {
    for part in TransistorPart::ALL {
        let sheet = part.sheet();
        let mut sources = vec![
            sheet.closed.source,
            sheet.off.source,
            sheet.amps_max.source,
            sheet.volts_max.source,
            sheet.reverse_volts_max.source,
            sheet.watts_max.source,
            sheet.input_farads.source,
            sheet.output_farads.source,
            sheet.delay.source,
            sheet.row.source,
        ];
        sources.extend(sheet.body.map(|body| body.typical().source));
        match sheet.closed_by {
            ClosedBy::Base(BaseSheet { junction, forced_gain, gain, amps_max }) => {
                sources.extend([junction.typical().source, forced_gain.source, gain.source, amps_max.source]);
            }
            ClosedBy::Gate(GateSheet { threshold, closed_from, volts_max, leak }) => {
                sources.extend([threshold.source, closed_from.source, volts_max.source, leak.source]);
            }
        }
        for source in sources {
            let says_so = ["from memory", "assumed"].iter().any(|words| source.text.starts_with(words));
            assert_eq!(says_so, source.evidence == Evidence::Assumed, "{part}: {source}");
        }
    }
}
