//! Multiplexers.

use super::super::{Block, ChipLeg, ChipOutput, ChipSheet, Drive, Gate};
use super::{
    GND, HC_AMPS, HC_FARADS, HC_SUPPLY, HCT_SUPPLY, VCC, amps, delay, double_input, farads, input, output,
    supply,
};
use crate::logic::LogicFamily;
use crate::source::Source;

const HC157_SHEET: Source =
    Source::published("74HC157; 74HCT157 Quad 2-input multiplexer, rev. 7, 2015, tables 2 to 4, icpdf.com");
const LS157_SHEET: Source = Source::published(
    "DM74LS157 / DM74LS158 data sheet, pages 2 and 3, \
     manualmachine.com/fairchildsemiconductor/dm74ls157cw/3914981-datasheet",
);

const LEGS: &[ChipLeg] = &[
    input("S"),
    input("1I0"),
    input("1I1"),
    output("1Y"),
    input("2I0"),
    input("2I1"),
    output("2Y"),
    GND,
    output("3Y"),
    input("3I1"),
    input("3I0"),
    output("4Y"),
    input("4I1"),
    input("4I0"),
    input("E"),
    VCC,
];

const LS_LEGS: &[ChipLeg] = &[
    double_input("S"),
    input("1A"),
    input("1B"),
    output("1Y"),
    input("2A"),
    input("2B"),
    output("2Y"),
    GND,
    output("3Y"),
    input("3B"),
    input("3A"),
    output("4Y"),
    input("4B"),
    input("4A"),
    double_input("G"),
    VCC,
];

const BLOCKS: &[Block] = &[
    two_to_one(&[15, 1, 2, 3], 4),
    two_to_one(&[15, 1, 5, 6], 7),
    two_to_one(&[15, 1, 11, 10], 9),
    two_to_one(&[15, 1, 14, 13], 12),
];

/// One of four: enable, select, the two data inputs. A disabled output is low.
const fn two_to_one(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate {
        inputs,
        output,
        rows: &["HXXX L", "LLLX L", "LLHX H", "LHXL L", "LHXH H"],
        otherwise: Drive::Low,
    })
}

pub(in super::super) const HC157: ChipSheet = ChipSheet {
    name: "74HC157",
    what: "quad 2:1 multiplexer",
    family: LogicFamily::Hc,
    low_share: None,
    legs: LEGS,
    blocks: BLOCKS,
    output: Some(ChipOutput::of(LogicFamily::Hc)),
    delay: delay(
        13e-9,
        45e-9,
        Source::assumed(
            "from memory: 74HC157, select to output below 45 ns at 4.5 V and 85 °C; 13 ns typical at 5 V is \
             printed in M74HC157, www.ic-phoenix.com/M/M15/M74HC157.html",
        ),
    ),
    clocking: None,
    supply: HC_SUPPLY,
    supply_amps: HC_AMPS,
    leg_farads: HC_FARADS,
    source: HC157_SHEET,
};

pub(in super::super) const HCT157: ChipSheet = ChipSheet {
    name: "74HCT157",
    family: LogicFamily::Hct,
    delay: delay(
        16e-9,
        50e-9,
        Source::assumed(
            "from memory: 74HCT157, below 50 ns at 4.5 V and 85 °C; 16 ns typical is printed in M74HCT157, \
             manualmachine.com/st/m74hct157/8427026-user-manual",
        ),
    ),
    supply: HCT_SUPPLY,
    ..HC157
};

pub(in super::super) const LS157: ChipSheet = ChipSheet {
    name: "74LS157",
    what: "quad 2:1 multiplexer",
    family: LogicFamily::Ttl,
    low_share: None,
    legs: LS_LEGS,
    blocks: BLOCKS,
    output: Some(ChipOutput::of(LogicFamily::Ttl)),
    delay: delay(
        9e-9,
        32e-9,
        Source::assumed(
            "from memory: 74LS157, select to output below 32 ns into 50 pF; 9 ns typical is printed in \
             DM74LS157",
        ),
    ),
    clocking: None,
    supply: supply([4.75, 5.0, 5.25], LS157_SHEET),
    supply_amps: amps([0.0, 9.7e-3, 16e-3], LS157_SHEET),
    leg_farads: farads([0.0, 5e-12, 10e-12], Source::assumed("from memory: an LS input, 5 pF; most assumed")),
    source: LS157_SHEET,
};
