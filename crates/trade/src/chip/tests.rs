//! Outside checks of the chips, each beside its published source.

use std::collections::BTreeSet;

use super::*;
use crate::source::Evidence;

mod logic;

const FIVE: Volts = Volts::literal(5.0);

fn leg_called(sheet: &ChipSheet, name: &str) -> LegNumber {
    let place = sheet.legs.iter().position(|leg| leg.name == name);
    u8::try_from(place.unwrap_or_else(|| panic!("{} has no leg {name}", sheet.name)) + 1).unwrap()
}

fn inputs(block: &Block) -> Vec<LegNumber> {
    match block {
        Block::Gate(gate) => gate.inputs.to_vec(),
        Block::Register(register) => {
            [&[register.serial, register.load], register.parallel, register.clocks].concat()
        }
        Block::Counter(counter) => vec![counter.clock, counter.reset],
        Block::Switch(switch) => vec![switch.control],
    }
}

fn outputs(block: &Block) -> Vec<LegNumber> {
    match block {
        Block::Gate(gate) => vec![gate.output],
        Block::Register(Register { outputs, .. }) | Block::Counter(Counter { outputs, .. }) => {
            outputs.iter().map(|output| output.leg).collect()
        }
        Block::Switch(_) => Vec::new(),
    }
}

fn contacts(block: &Block) -> Vec<LegNumber> {
    match block {
        Block::Switch(switch) => switch.sides.to_vec(),
        Block::Gate(_) | Block::Register(_) | Block::Counter(_) => Vec::new(),
    }
}

fn sorted(mut legs: Vec<LegNumber>) -> Vec<LegNumber> {
    legs.sort_unstable();
    legs
}

#[test]
fn a_chip_is_found_by_its_name_in_any_case() {
    for part in ChipPart::ALL {
        assert_eq!(ChipPart::parse(&part.to_string().to_lowercase()), Some(part));
    }
    let names: BTreeSet<&str> = ChipPart::ALL.map(ChipPart::name).into();
    assert_eq!(names.len(), ChipPart::ALL.len());
    assert_eq!(ChipPart::parse("74HC595"), None);
}

#[test]
fn every_leg_has_a_name_of_its_own_and_every_chip_one_supply_and_one_ground() {
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        let names: BTreeSet<&str> = sheet.legs.iter().map(|leg| leg.name).collect();
        assert_eq!(names.len(), sheet.legs.len(), "{part}");
        assert!([14, 16, 20].contains(&sheet.legs.len()), "{part}: {}", sheet.legs.len());
        assert_eq!(sheet.legs_for(LegRole::Supply).count(), 1, "{part}");
        assert_eq!(sheet.legs_for(LegRole::Ground).count(), 1, "{part}");
    }
}

/// The corners of a dual in-line package: ground ends the first row, supply the second (common practice, no
/// source; all sheets named in `chip/sheets` agree).
#[test]
fn ground_and_supply_sit_at_opposite_corners() {
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        let last = u8::try_from(sheet.legs.len()).unwrap();
        assert_eq!(sheet.legs_for(LegRole::Ground).collect::<Vec<_>>(), [last / 2], "{part}");
        assert_eq!(sheet.legs_for(LegRole::Supply).collect::<Vec<_>>(), [last], "{part}");
        assert_eq!(sheet.leg(0), None);
        assert_eq!(sheet.leg(last + 1), None);
    }
}

#[test]
fn no_leg_is_left_over_and_none_is_driven_twice() {
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        let read: BTreeSet<LegNumber> = sheet.blocks.iter().flat_map(inputs).collect();
        assert_eq!(read.into_iter().collect::<Vec<_>>(), sheet.legs_for(LegRole::Input).collect::<Vec<_>>());
        let driven = sorted(sheet.blocks.iter().flat_map(outputs).collect());
        assert_eq!(driven, sheet.legs_for(LegRole::Output).collect::<Vec<_>>(), "{part}");
        let switched = sorted(sheet.blocks.iter().flat_map(contacts).collect());
        assert_eq!(switched, sheet.legs_for(LegRole::Contact).collect::<Vec<_>>(), "{part}");
        assert_eq!(sheet.legs_for(LegRole::Open).count(), 0, "{part}");
        assert_eq!(sheet.output.is_some(), sheet.legs_for(LegRole::Output).next().is_some(), "{part}");
        let clocked = |block: &Block| matches!(block, Block::Register(_) | Block::Counter(_));
        assert_eq!(sheet.clocking.is_some(), sheet.blocks.iter().any(clocked), "{part}");
    }
}

/// The pin descriptions of the sheets: *74HC157; 74HCT157* rev. 7, table 2; *M74HCT157*, pin description;
/// *74HC165* pinout; *MC14014B, MC14021B* rev. 3, logic diagram; *74HC125; 74HCT125* rev. 5, table 2;
/// *74HC/HCT244*, December 1990; *74HC05* rev. 02 and *74HC00; 74HCT00* rev. 7, table 2; *74HC4066* rev. 10,
/// figure 1; *CD4066B*, SCHS051I; *74HC/HCT393*, December 1990; *SN54/74LS145*, page 5-240.
#[test]
fn the_legs_stand_where_the_sheets_number_them() {
    let sheets = [
        (
            ChipPart::Hc157,
            "S,E = 1,15; 1I0,2I0,3I0,4I0 = 2,5,11,14; 1I1,2I1,3I1,4I1 = 3,6,10,13; 1Y,2Y,3Y,4Y = 4,7,9,12",
        ),
        (
            ChipPart::Ls157,
            "S,G = 1,15; 1A,2A,3A,4A = 2,5,11,14; 1B,2B,3B,4B = 3,6,10,13; 1Y,2Y,3Y,4Y = 4,7,9,12",
        ),
        (
            ChipPart::Hc165,
            "PL,CP,Q7N,Q7,DS,CE = 1,2,7,9,10,15; D0,D1,D2,D3,D4,D5,D6,D7 = 11,12,13,14,3,4,5,6",
        ),
        (
            ChipPart::Cd4021,
            "PI1,PI2,PI3,PI4,PI5,PI6,PI7,PI8 = 7,6,5,4,13,14,15,1; P/S,CLK,SER,Q6,Q7,Q8 = 9,10,11,2,12,3",
        ),
        (ChipPart::Hc125, "1OE,2OE,3OE,4OE = 1,4,10,13; 1A,2A,3A,4A = 2,5,9,12; 1Y,2Y,3Y,4Y = 3,6,8,11"),
        (
            ChipPart::Hc244,
            "1OE,2OE = 1,19; 1A0,1A1,1A2,1A3 = 2,4,6,8; 2Y0,2Y1,2Y2,2Y3 = 3,5,7,9; \
             2A0,2A1,2A2,2A3 = 17,15,13,11; 1Y0,1Y1,1Y2,1Y3 = 18,16,14,12",
        ),
        (ChipPart::Hc05, "1A,2A,3A,4A,5A,6A = 1,3,5,9,11,13; 1Y,2Y,3Y,4Y,5Y,6Y = 2,4,6,8,10,12"),
        (ChipPart::Hc00, "1A,2A,3A,4A = 1,4,9,12; 1B,2B,3B,4B = 2,5,10,13; 1Y,2Y,3Y,4Y = 3,6,8,11"),
        (ChipPart::Hc4066, "1E,2E,3E,4E = 13,5,6,12; 1Y,2Y,3Y,4Y = 1,4,8,11; 1Z,2Z,3Z,4Z = 2,3,9,10"),
        (
            ChipPart::Cd4066,
            "CONTROL A,CONTROL B,CONTROL C,CONTROL D = 13,5,6,12; \
             SIG A IN/OUT,SIG B IN/OUT,SIG C IN/OUT,SIG D IN/OUT = 1,4,8,11; \
             SIG A OUT/IN,SIG B OUT/IN,SIG C OUT/IN,SIG D OUT/IN = 2,3,9,10",
        ),
        (ChipPart::Hc393, "1CP,2CP,1MR,2MR = 1,13,2,12; 1Q0,1Q1,1Q2,1Q3,2Q0,2Q1,2Q2,2Q3 = 3,4,5,6,11,10,9,8"),
        (ChipPart::Ls145, "P0,P1,P2,P3 = 15,14,13,12; Q0,Q1,Q2,Q3,Q4,Q5,Q6,Q7,Q8,Q9 = 1,2,3,4,5,6,7,9,10,11"),
    ];
    for (part, printed) in sheets {
        let sheet = part.sheet();
        // Supply and ground stand in a test of their own.
        let mut named = 2;
        for group in printed.split("; ") {
            let (names, numbers) = group.split_once(" = ").unwrap();
            for (name, number) in names.split(',').zip(numbers.split(',')) {
                assert_eq!(leg_called(sheet, name).to_string(), number, "{part} {name}");
                named += 1;
            }
        }
        assert_eq!(named, sheet.legs.len(), "{part}");
    }
}

#[test]
fn chips_of_one_number_share_their_legs_and_what_they_do() {
    for (one, other) in [
        (ChipPart::Hc157, ChipPart::Hct157),
        (ChipPart::Hc125, ChipPart::Hct125),
        (ChipPart::Hc244, ChipPart::Hct244),
        (ChipPart::Hc04, ChipPart::Hct04),
        (ChipPart::Hc00, ChipPart::Hct00),
    ] {
        assert_eq!(one.sheet().legs, other.sheet().legs, "{one}");
        assert_eq!(one.sheet().blocks, other.sheet().blocks, "{one}");
        assert_eq!(other.sheet().family, LogicFamily::Hct);
    }
    assert_eq!(ChipPart::Hc157.sheet().blocks, ChipPart::Ls157.sheet().blocks);
    assert_eq!(ChipPart::Hc04.sheet().legs, ChipPart::Hc05.sheet().legs);
    assert_eq!(ChipPart::Hc00.sheet().legs, ChipPart::Hc03.sheet().legs);
    assert_eq!(ChipPart::Cd4021.sheet().legs, ChipPart::Cd4014.sheet().legs);
}

#[test]
fn an_output_that_can_be_off_says_what_it_leaks_and_an_open_one_never_drives_high() {
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        let Some(output) = sheet.output else { continue };
        let does: Vec<Drive> = sheet
            .blocks
            .iter()
            .flat_map(|block| match block {
                Block::Gate(gate) => logic::all_levels(gate.inputs.len())
                    .map(|levels| logic::by_table(gate, &levels))
                    .collect(),
                Block::Register(_) | Block::Counter(_) => vec![Drive::Low, Drive::High],
                Block::Switch(_) => Vec::new(),
            })
            .collect();
        assert!(does.contains(&Drive::Low), "{part}");
        assert_eq!(does.contains(&Drive::High), output.high.is_some(), "{part}");
        assert_eq!(does.contains(&Drive::Off), output.off_amps.is_some(), "{part}");
    }
}

/// *CD4021BC*, DC table, page 3: 0.44 mA at 0.4 V, which is 909 Ω, so a pull-up of 4.7 kΩ holds a low at
/// 0.81 V, just out of reach of TTL; one of 10 kΩ at 0.42 V.
#[test]
fn a_registers_low_into_a_pull_up_is_no_better_than_the_sheet_allows() {
    let ohms = 0.4 / 0.44e-3;
    assert!((ohms - 909.0_f64).abs() < 0.5);
    let level = |output: f64, pull_up: f64| 5.0 * output / (output + pull_up);
    assert!((level(ohms, 4700.0) - 0.81).abs() < 0.005);
    assert!((level(ohms, 10_000.0) - 0.42).abs() < 0.005);

    let low = ChipPart::Cd4021.sheet().output.unwrap().low.value;
    let found = |pull_up: f64| {
        let (offset, own) = (low.offset.high().get(), low.ohms.high().get());
        offset + (5.0 - offset) * own / (own + pull_up)
    };
    assert!(found(4700.0) >= level(ohms, 4700.0));
    assert!(found(4700.0) > LogicFamily::Ttl.levels().low_guaranteed.value.get());
    assert!(found(10_000.0) < LogicFamily::Ttl.levels().low_guaranteed.value.get());
}

/// *74HC245; 74HCT245* rev. 03, table 7: 0.33 V and 3.84 V at 6 mA on 4.5 V to 85 °C.
#[test]
fn a_bus_output_meets_the_points_of_the_sheet() {
    for part in [ChipPart::Hc125, ChipPart::Hct244] {
        let output = part.sheet().output.unwrap();
        let drop =
            |output: crate::logic::Output| output.offset.high().get() + output.ohms.high().get() * 6e-3;
        assert!((drop(output.low.value) - 0.33).abs() < 0.001, "{part}");
        assert!((4.5 - drop(output.high.unwrap().value) - 3.84).abs() < 0.001, "{part}");
        assert!(output.low.value.ohms.high() < LogicFamily::Hc.output_low().value.ohms.high(), "{part}");
    }
}

/// *74HC03; 74HCT03* rev. 4, table 6: 0.33 V at 4 mA on 4.5 V to 85 °C.
#[test]
fn an_open_drain_meets_the_point_of_the_sheet() {
    for part in [ChipPart::Hc03, ChipPart::Hc05] {
        let low = part.sheet().output.unwrap().low.value;
        let drop = low.offset.high().get() + low.ohms.high().get() * 4e-3;
        assert!((0.33..0.34).contains(&drop), "{part}: {drop} V");
    }
}

/// *SN74LS145* rev. 6: 15 V off, 24 mA; its inputs are TTL's and survive 7 V.
#[test]
fn a_decoders_outputs_stand_more_than_its_inputs() {
    let sheet = ChipPart::Ls145.sheet();
    assert_eq!(sheet.output.unwrap().ceiling.value.at(FIVE), Volts::literal(15.0));
    assert_eq!(sheet.output.unwrap().sink_limit.value, Amps::literal(24e-3));
    assert_eq!(sheet.family.input_range(FIVE).value.highest, Volts::literal(7.0));
}

/// *DM74LS157 / DM74LS158*, page 3: select and strobe ask for 0.8 mA and 40 µA, the data inputs for 0.4 mA.
#[test]
fn the_common_inputs_of_an_ls_multiplexer_count_twice() {
    let sheet = ChipPart::Ls157.sheet();
    let amps = |name: &str| {
        let loads = sheet.leg(leg_called(sheet, name)).unwrap().loads;
        sheet.family.input_low_amps().value.high() * f64::from(loads)
    };
    assert_eq!(amps("S"), crate::logic::LS_COMMON_INPUT_LOW.value);
    assert_eq!(amps("G"), amps("S"));
    assert_eq!(amps("3B"), Amps::literal(0.4e-3));
    let doubled = ChipPart::ALL.iter().flat_map(|part| part.sheet().legs).filter(|leg| leg.loads != 1);
    assert_eq!(doubled.count(), 2);
}

/// *SN74HC4066*, SCLS325G, page 3: low to 0.9 V and high from 3.15 V on 4.5 V.
#[test]
fn an_analogue_switch_reads_low_later_than_its_family() {
    let levels = ChipPart::Hc4066.sheet().levels_at(Triple::exactly(Volts::literal(4.5)));
    assert!((levels.low_guaranteed.value.get() - 0.9).abs() < 1e-9);
    assert!((levels.high_guaranteed.value.get() - 3.15).abs() < 1e-9);
    let plain = ChipPart::Hc00.sheet().levels_at(Triple::exactly(Volts::literal(4.5)));
    assert!((plain.low_guaranteed.value.get() - 1.35).abs() < 1e-9);
    for part in ChipPart::ALL {
        let supply = Triple::exactly(FIVE);
        let own = part.sheet().levels_at(supply).low_guaranteed.value;
        assert!(own <= part.sheet().family.levels_at(supply).low_guaranteed.value, "{part}");
    }
}

/// Linux kernel source, gamecon.c: latch 12 µs, clock 6 µs low and 6 µs high. *74HC165* rev. 3, table 7: 41
/// ns.
#[test]
fn every_register_keeps_up_with_the_serial_protocol() {
    let half = Seconds::literal(6e-6);
    for part in [ChipPart::Cd4021, ChipPart::Cd4014, ChipPart::Hc165] {
        let sheet = part.sheet();
        let clocking = sheet.clocking.unwrap();
        let answers = sheet.delay.value.high() + clocking.set_up.value;
        assert!(answers < half && clocking.pulse.value < half, "{part}");
        assert!(clocking.period.value < half * 2.0 && clocking.hold.value < half, "{part}");
        assert!(clocking.pulse.value * 2.0 >= clocking.period.value * 0.9, "{part}: pulses make the period");
    }
    assert_eq!(ChipPart::Hc165.sheet().delay.value.high(), Seconds::literal(41e-9));
}

#[test]
fn every_chip_works_on_five_volts_within_its_familys_supply() {
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        let (own, family) = (sheet.supply.value, sheet.family.supply().value);
        assert!(own.low() <= FIVE && FIVE <= own.high(), "{part}");
        assert!(family.low() <= own.low() && own.high() <= family.high(), "{part}");
        assert!(sheet.supply_amps.value.high() > Amps::ZERO && sheet.delay.value.high() > Seconds::ZERO);
        assert!(sheet.leg_farads.value.high() >= sheet.leg_farads.value.typical(), "{part}");
    }
}

#[test]
fn every_assumption_of_a_sheet_says_that_it_is_one() {
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        let mut sources = vec![
            sheet.delay.source,
            sheet.supply.source,
            sheet.supply_amps.source,
            sheet.leg_farads.source,
            sheet.source,
        ];
        sources.extend(sheet.low_share.map(|share| share.source));
        if let Some(Clocking { set_up, hold, pulse, period }) = sheet.clocking {
            sources.extend([set_up.source, hold.source, pulse.source, period.source]);
        }
        if let Some(output) = sheet.output {
            sources.extend([output.low.source, output.sink_limit.source, output.ceiling.source]);
            sources.extend(output.off_amps.map(|amps| amps.source));
        }
        for source in sources {
            let says_so = ["from memory", "assumed"].iter().any(|words| source.text.starts_with(words));
            assert_eq!(says_so, source.evidence == Evidence::Assumed, "{part}: {source}");
        }
        assert_eq!(sheet.source.evidence, Evidence::Published, "{part}");
    }
}
