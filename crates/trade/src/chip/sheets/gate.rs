//! Inverters and NANDs.

use super::super::{Block, ChipLeg, ChipOutput, ChipSheet, Drive, Gate};
use super::{GND, HC_FARADS, HC_GATE_AMPS, HC_SUPPLY, HCT_SUPPLY, VCC, delay, input, output};
use crate::logic::LogicFamily;
use crate::source::Source;

const HC04_SHEET: Source = Source::published(
    "74HC04; 74HCT04 rev. 4, 3 August 2012, tables 2 to 4, www.manualshelf.com (74HC04PW), page 3",
);
const HC05_SHEET: Source =
    Source::published("74HC05 rev. 02, 18 June 2009, tables 2 to 4, www.omo-ic.com/pdf/263007 (74HC05D)");
const HC00_SHEET: Source = Source::published(
    "74HC00; 74HCT00 rev. 7, 25 November 2015, tables 2 to 4, page 3, a copy on a mirror of manuals",
);
const HC03_SHEET: Source = Source::published(
    "74HC03; 74HCT03 rev. 4, 27 November 2015, table 6, www.omo-ic.com/pdf/241683; 74HC/HCT03, December \
     1990, manualmachine.com/philips/74hchct03/5139966-datasheets; legs from memory: those of the 74HC00",
);

const INVERTER_LEGS: &[ChipLeg] = &[
    input("1A"),
    output("1Y"),
    input("2A"),
    output("2Y"),
    input("3A"),
    output("3Y"),
    GND,
    output("4Y"),
    input("4A"),
    output("5Y"),
    input("5A"),
    output("6Y"),
    input("6A"),
    VCC,
];

const NAND_LEGS: &[ChipLeg] = &[
    input("1A"),
    input("1B"),
    output("1Y"),
    input("2A"),
    input("2B"),
    output("2Y"),
    GND,
    output("3Y"),
    input("3A"),
    input("3B"),
    output("4Y"),
    input("4A"),
    input("4B"),
    VCC,
];

/// Drives both ways.
const fn inverter(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate { inputs, output, rows: &["L H", "H L"], otherwise: Drive::Off })
}

/// Pulls low or lets go.
const fn open_inverter(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate { inputs, output, rows: &["L Z", "H L"], otherwise: Drive::Off })
}

/// Drives both ways.
const fn nand(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate { inputs, output, rows: &["LX H", "XL H", "HH L"], otherwise: Drive::Off })
}

/// Pulls low or lets go.
const fn open_nand(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate { inputs, output, rows: &["LX Z", "XL Z", "HH L"], otherwise: Drive::Off })
}

pub(in super::super) const HC04: ChipSheet = ChipSheet {
    name: "74HC04",
    what: "hex inverter",
    family: LogicFamily::Hc,
    low_share: None,
    legs: INVERTER_LEGS,
    blocks: &[
        inverter(&[1], 2),
        inverter(&[3], 4),
        inverter(&[5], 6),
        inverter(&[9], 8),
        inverter(&[11], 10),
        inverter(&[13], 12),
    ],
    output: Some(ChipOutput::of(LogicFamily::Hc)),
    delay: delay(
        7e-9,
        21e-9,
        Source::assumed(
            "from memory: 74HC04, 21 ns at 4.5 V and 85 °C; 7 ns typical at 5 V is printed in 74HC04; \
             74HCT04, quick reference data, machineu.com/circuitboardchips",
        ),
    ),
    clocking: None,
    supply: HC_SUPPLY,
    supply_amps: HC_GATE_AMPS,
    leg_farads: HC_FARADS,
    source: HC04_SHEET,
};

pub(in super::super) const HCT04: ChipSheet = ChipSheet {
    name: "74HCT04",
    family: LogicFamily::Hct,
    delay: delay(
        10e-9,
        24e-9,
        Source::published("74HC/HCT04, September 1993, page 5, datasheetbank.com (74HCT04PW; 4.5 V, 85 °C)"),
    ),
    supply: HCT_SUPPLY,
    ..HC04
};

pub(in super::super) const HC05: ChipSheet = ChipSheet {
    name: "74HC05",
    what: "hex inverter, open drain",
    blocks: &[
        open_inverter(&[1], 2),
        open_inverter(&[3], 4),
        open_inverter(&[5], 6),
        open_inverter(&[9], 8),
        open_inverter(&[11], 10),
        open_inverter(&[13], 12),
    ],
    output: Some(ChipOutput::OPEN_DRAIN),
    delay: delay(
        10e-9,
        23e-9,
        Source::published(
            "HD74HC05, AC characteristics, page 2, www.datasheetandpdf.com/EN/HITACHI/2/HD74HC05.htm (4.5 \
             V, 85 °C)",
        ),
    ),
    source: HC05_SHEET,
    ..HC04
};

pub(in super::super) const HC00: ChipSheet = ChipSheet {
    name: "74HC00",
    what: "quad NAND",
    legs: NAND_LEGS,
    blocks: &[nand(&[1, 2], 3), nand(&[4, 5], 6), nand(&[9, 10], 8), nand(&[12, 13], 11)],
    delay: delay(
        7e-9,
        23e-9,
        Source::assumed(
            "from memory: 74HC00, 23 ns at 4.5 V and 85 °C; 7 ns typical at 5 V is printed in 74HC/HCT00, \
             December 1990, manualmachine.com/datasheet/74hchct00/4014524-datasheet-philips",
        ),
    ),
    source: HC00_SHEET,
    ..HC04
};

pub(in super::super) const HCT00: ChipSheet = ChipSheet {
    name: "74HCT00",
    family: LogicFamily::Hct,
    delay: delay(
        10e-9,
        24e-9,
        Source::assumed(
            "from memory: 74HCT00, 24 ns at 4.5 V and 85 °C; 10 ns typical at 5 V is printed in 74HC/HCT00, \
             December 1990, manualmachine.com/datasheet/74hchct00/4014524-datasheet-philips",
        ),
    ),
    supply: HCT_SUPPLY,
    ..HC00
};

pub(in super::super) const HC03: ChipSheet = ChipSheet {
    name: "74HC03",
    what: "quad NAND, open drain",
    blocks: &[open_nand(&[1, 2], 3), open_nand(&[4, 5], 6), open_nand(&[9, 10], 8), open_nand(&[12, 13], 11)],
    output: Some(ChipOutput::OPEN_DRAIN),
    delay: delay(
        8e-9,
        24e-9,
        Source::assumed(
            "from memory: 74HC03, 24 ns at 4.5 V and 85 °C; 8 ns typical at 5 V is printed in 74HC/HCT03, \
             December 1990, manualmachine.com/philips/74hchct03/5139966-datasheets",
        ),
    ),
    source: HC03_SHEET,
    ..HC00
};
