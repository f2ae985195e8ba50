//! Registers, parallel in and serial out.

use super::super::{Block, ChipLeg, ChipOutput, ChipSheet, Clocking, Drive, Register, StageOutput};
use super::{
    CD4000_FARADS, GND, HC_AMPS, HC_FARADS, HC_SUPPLY, VCC, VDD, VSS, amps, delay, input, output, second,
    supply,
};
use crate::logic::LogicFamily;
use crate::source::Source;

const HC165_SHEET: Source = Source::published(
    "74HC165; 74HCT165 rev. 3, 14 March 2008, description, dtsheet.com/doc/198148/philips-74hc165; table 7, \
     page 8, a copy on a mirror of manuals; legs: 74HC165 pinout, \
     circflow.com/ic/74hc165",
);
const HC165_TIMING: Source = Source::published(
    "CD74HC165, SCHS156D, November 2021, prerequisites for switching, ti.com/document-viewer (16 ns to 20 \
     ns); recovery 25 ns: 74HC165 rev. 3, table 7 (all at 4.5 V and 85 °C)",
);
const HC165_MEMORY: Source =
    Source::assumed("from memory: 74HC165, hold 5 ns, clock to 24 MHz at 4.5 V and 85 °C");
const CD4021_SHEET: Source = Source::published(
    "CD4021BC 8-Stage Static Shift Register, truth table and DC table, page 3, \
     manualmachine.com/fairchildsemiconductor/cd4021bcn/3934777-datasheet; legs: MC14014B, MC14021B, rev. 3, \
     manualmachine.com/motorola/mc14021bcp/4160774-datasheet",
);
const CD4014_SHEET: Source = Source::published(
    "HEF4014B rev. 10, 17 October 2018, pdf.datasheet.global/33c9b657; MC14014B, MC14021B, rev. 3, \
     manualmachine.com/motorola/mc14021bcp/4160774-datasheet",
);
const CD4021_MEMORY: Source = Source::assumed(
    "from memory: MC14014B and MC14021B, the slowest of several makers, at 5 V: 400 ns typical and 800 ns \
     from the clock, 1.5 MHz, pulses of 400 ns, set-up 350 ns, hold 100 ns",
);
const CD4021_AMPS: Source = Source::assumed(
    "from memory: CD4021BC, 150 µA at 85 °C; printed in its DC table: 0.1 µA typical and 20 µA most at 25 °C",
);

const HC165_LEGS: &[ChipLeg] = &[
    input("PL"),
    input("CP"),
    input("D4"),
    input("D5"),
    input("D6"),
    input("D7"),
    output("Q7N"),
    GND,
    output("Q7"),
    input("DS"),
    input("D0"),
    input("D1"),
    input("D2"),
    input("D3"),
    input("CE"),
    VCC,
];

const CD4021_LEGS: &[ChipLeg] = &[
    input("PI8"),
    output("Q6"),
    output("Q8"),
    input("PI4"),
    input("PI3"),
    input("PI2"),
    input("PI1"),
    VSS,
    input("P/S"),
    input("CLK"),
    input("SER"),
    output("Q7"),
    input("PI5"),
    input("PI6"),
    input("PI7"),
    VDD,
];

const CD4021_REGISTER: Register = Register {
    serial: 11,
    parallel: &[7, 6, 5, 4, 13, 14, 15, 1],
    load: 9,
    load_level: Drive::High,
    load_at_clock: false,
    clocks: &[10],
    outputs: &[stage(2, 5), stage(12, 6), stage(3, 7)],
};

const fn stage(leg: u8, stage: u8) -> StageOutput {
    StageOutput { leg, stage, inverted: false }
}

/// Its clock inhibit is a second clock: which of the two is which is the builder's choice.
pub(in super::super) const HC165: ChipSheet = ChipSheet {
    name: "74HC165",
    what: "8-bit register, parallel in and serial out, loads while PL is low",
    family: LogicFamily::Hc,
    low_share: None,
    legs: HC165_LEGS,
    blocks: &[Block::Register(Register {
        serial: 10,
        parallel: &[11, 12, 13, 14, 3, 4, 5, 6],
        load: 1,
        load_level: Drive::Low,
        load_at_clock: false,
        clocks: &[2, 15],
        outputs: &[stage(9, 7), StageOutput { leg: 7, stage: 7, inverted: true }],
    })],
    output: Some(ChipOutput::of(LogicFamily::Hc)),
    delay: delay(16e-9, 41e-9, HC165_SHEET),
    clocking: Some(Clocking {
        set_up: second(25e-9, HC165_TIMING),
        hold: second(5e-9, HC165_MEMORY),
        pulse: second(20e-9, HC165_TIMING),
        period: second(1.0 / 24e6, HC165_MEMORY),
    }),
    supply: HC_SUPPLY,
    supply_amps: HC_AMPS,
    leg_farads: HC_FARADS,
    source: HC165_SHEET,
};

pub(in super::super) const CD4021: ChipSheet = ChipSheet {
    name: "CD4021",
    what: "8-bit register, parallel in and serial out, loads while P/S is high",
    family: LogicFamily::Cd4000,
    low_share: None,
    legs: CD4021_LEGS,
    blocks: &[Block::Register(CD4021_REGISTER)],
    output: Some(ChipOutput::of(LogicFamily::Cd4000)),
    delay: delay(400e-9, 800e-9, CD4021_MEMORY),
    clocking: Some(Clocking {
        set_up: second(350e-9, CD4021_MEMORY),
        hold: second(100e-9, CD4021_MEMORY),
        pulse: second(400e-9, CD4021_MEMORY),
        period: second(1.0 / 1.5e6, CD4021_MEMORY),
    }),
    supply: supply([3.0, 5.0, 15.0], CD4021_SHEET),
    supply_amps: amps([0.0, 0.1e-6, 150e-6], CD4021_AMPS),
    leg_farads: CD4000_FARADS,
    source: CD4021_SHEET,
};

pub(in super::super) const CD4014: ChipSheet = ChipSheet {
    name: "CD4014",
    what: "8-bit register, parallel in and serial out, loads at a clock while P/S is high",
    blocks: &[Block::Register(Register { load_at_clock: true, ..CD4021_REGISTER })],
    supply: supply([3.0, 5.0, 15.0], CD4014_SHEET),
    source: CD4014_SHEET,
    ..CD4021
};
