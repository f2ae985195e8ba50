//! Tri-state buffers.

use super::super::{Block, ChipLeg, ChipOutput, ChipSheet, Drive, Gate};
use super::{GND, HC_AMPS, HC_SUPPLY, HCT_SUPPLY, VCC, delay, farads, input, output};
use crate::logic::LogicFamily;
use crate::source::Source;

const HC125_SHEET: Source = Source::published(
    "74HC125; 74HCT125 rev. 5, 19 January 2015, tables 2 to 4, www.manualshelf.com (74HCT125D), page 3",
);
const HC244_SHEET: Source = Source::published(
    "74HC/HCT244, December 1990, pin description and quick reference, \
     datasheet.eeworld.com.cn/view/28670255.html; MC74HCT244A, function table, \
     en.eeworld.com/datasheet/view/10081739.html",
);
const HC_DELAY: Source = Source::assumed(
    "from memory: an HC buffer's enable, 38 ns at 4.5 V and 85 °C, as printed for SN74HC240 in SCLS128H; 9 \
     ns typical from input to output is printed in 74HC/HCT125 and 74HC/HCT244, December 1990",
);
const HCT_DELAY: Source = Source::assumed(
    "from memory: an HCT buffer's enable, below 45 ns at 4.5 V and 85 °C; 12 ns and 11 ns typical from \
     input to output are printed in 74HC/HCT125 and 74HC/HCT244, December 1990",
);
const BUS_FARADS: Source = Source::assumed(
    "assumed: twice the 10 pF that 74HC245; 74HCT245 rev. 03, table 7, prints as typical for a tri-state \
     contact",
);

const HC125_LEGS: &[ChipLeg] = &[
    input("1OE"),
    input("1A"),
    output("1Y"),
    input("2OE"),
    input("2A"),
    output("2Y"),
    GND,
    output("3Y"),
    input("3A"),
    input("3OE"),
    output("4Y"),
    input("4A"),
    input("4OE"),
    VCC,
];

const HC244_LEGS: &[ChipLeg] = &[
    input("1OE"),
    input("1A0"),
    output("2Y0"),
    input("1A1"),
    output("2Y1"),
    input("1A2"),
    output("2Y2"),
    input("1A3"),
    output("2Y3"),
    GND,
    input("2A3"),
    output("1Y3"),
    input("2A2"),
    output("1Y2"),
    input("2A1"),
    output("1Y1"),
    input("2A0"),
    output("1Y0"),
    input("2OE"),
    VCC,
];

/// An enable that is active low, and the input that it lets through.
const fn buffer(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate { inputs, output, rows: &["LL L", "LH H", "HX Z"], otherwise: Drive::Off })
}

pub(in super::super) const HC125: ChipSheet = ChipSheet {
    name: "74HC125",
    what: "quad tri-state buffer, four enables",
    family: LogicFamily::Hc,
    low_share: None,
    legs: HC125_LEGS,
    blocks: &[buffer(&[1, 2], 3), buffer(&[4, 5], 6), buffer(&[10, 9], 8), buffer(&[13, 12], 11)],
    output: Some(ChipOutput::BUS),
    delay: delay(9e-9, 38e-9, HC_DELAY),
    clocking: None,
    supply: HC_SUPPLY,
    supply_amps: HC_AMPS,
    leg_farads: farads([0.0, 10e-12, 20e-12], BUS_FARADS),
    source: HC125_SHEET,
};

pub(in super::super) const HCT125: ChipSheet = ChipSheet {
    name: "74HCT125",
    family: LogicFamily::Hct,
    delay: delay(12e-9, 45e-9, HCT_DELAY),
    supply: HCT_SUPPLY,
    ..HC125
};

pub(in super::super) const HC244: ChipSheet = ChipSheet {
    name: "74HC244",
    what: "dual quad tri-state buffer",
    legs: HC244_LEGS,
    blocks: &[
        buffer(&[1, 2], 18),
        buffer(&[1, 4], 16),
        buffer(&[1, 6], 14),
        buffer(&[1, 8], 12),
        buffer(&[19, 17], 3),
        buffer(&[19, 15], 5),
        buffer(&[19, 13], 7),
        buffer(&[19, 11], 9),
    ],
    source: HC244_SHEET,
    ..HC125
};

pub(in super::super) const HCT244: ChipSheet = ChipSheet {
    name: "74HCT244",
    family: LogicFamily::Hct,
    delay: delay(11e-9, 45e-9, HCT_DELAY),
    supply: HCT_SUPPLY,
    ..HC244
};
