//! Decoders.

use solderside_quantity::Amps;

use super::super::{Block, ChipLeg, ChipOutput, ChipSheet, Drive, Gate};
use super::{GND, VCC, amps, delay, farads, input, output, supply};
use crate::logic::LogicFamily;
use crate::source::{Source, Sourced};

const LS145_SHEET: Source = Source::published(
    "SN54/74LS145 1-of-10 Decoder/Driver Open-Collector, FAST and LS TTL Data 5-240, \
     dtsheet.com/doc/48694/motorola-74ls145",
);
const LS145_MEMORY: Source = Source::assumed(
    "from memory: 74LS145, 250 µA off at 15 V, 13 mA, 50 ns; 35 mW typical is printed in FAST and LS TTL \
     Data 5-240; the other ends are assumed",
);

const LS145_LEGS: &[ChipLeg] = &[
    output("Q0"),
    output("Q1"),
    output("Q2"),
    output("Q3"),
    output("Q4"),
    output("Q5"),
    output("Q6"),
    GND,
    output("Q7"),
    output("Q8"),
    output("Q9"),
    input("P3"),
    input("P2"),
    input("P1"),
    input("P0"),
    VCC,
];

/// Pulls low at one code; every output is off at the codes above nine.
const fn at_code(rows: &'static [&'static str], output: u8) -> Block {
    Block::Gate(Gate { inputs: &[12, 13, 14, 15], output, rows, otherwise: Drive::Off })
}

/// Its inputs are those of TTL, its outputs the family of decoders that drive keyboards.
pub(in super::super) const LS145: ChipSheet = ChipSheet {
    name: "74LS145",
    what: "1-of-10 decoder, open collector",
    family: LogicFamily::Ttl,
    low_share: None,
    legs: LS145_LEGS,
    blocks: &[
        at_code(&["LLLL L"], 1),
        at_code(&["LLLH L"], 2),
        at_code(&["LLHL L"], 3),
        at_code(&["LLHH L"], 4),
        at_code(&["LHLL L"], 5),
        at_code(&["LHLH L"], 6),
        at_code(&["LHHL L"], 7),
        at_code(&["LHHH L"], 9),
        at_code(&["HLLL L"], 10),
        at_code(&["HLLH L"], 11),
    ],
    output: Some(ChipOutput {
        off_amps: Some(Sourced::new(Amps::literal(250e-6), LS145_MEMORY)),
        ..ChipOutput::of(LogicFamily::Ls145)
    }),
    delay: delay(25e-9, 50e-9, LS145_MEMORY),
    clocking: None,
    supply: supply([4.75, 5.0, 5.25], LS145_SHEET),
    supply_amps: amps([0.0, 7e-3, 13e-3], LS145_MEMORY),
    leg_farads: farads([0.0, 5e-12, 10e-12], Source::assumed("from memory: an LS input, 5 pF; most assumed")),
    source: LS145_SHEET,
};
