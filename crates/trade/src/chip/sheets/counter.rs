//! Counters.

use super::super::{Block, ChipLeg, ChipOutput, ChipSheet, Clocking, Counter, StageOutput};
use super::{GND, HC_AMPS, HC_FARADS, HC_SUPPLY, VCC, delay, input, output, second};
use crate::logic::LogicFamily;
use crate::source::Source;

const HC393_SHEET: Source = Source::published(
    "74HC/HCT393, December 1990, pin description and count sequence, a copy on a mirror of manuals",
);
const HC393_DELAY: Source = Source::published(
    "CD54HC393, SCHS186F, March 2022, ti.com/document-viewer (38 ns to Q0 and 49 ns to Q1 at 4.5 V and 85 \
     °C, so 11 ns for each stage); 12 ns and 5 ns typical: 74HC/HCT393, December 1990",
);
const HC393_CLOCK: Source = Source::assumed(
    "assumed: as CD74HC390, the decade counter of the same make, SCHS185E, ti.com/document-viewer: reset \
     removal 18 ns, pulses of 20 ns, 24 MHz at 4.5 V and 85 °C; nothing waits for its clock",
);

const HC393_LEGS: &[ChipLeg] = &[
    input("1CP"),
    input("1MR"),
    output("1Q0"),
    output("1Q1"),
    output("1Q2"),
    output("1Q3"),
    GND,
    output("2Q3"),
    output("2Q2"),
    output("2Q1"),
    output("2Q0"),
    input("2MR"),
    input("2CP"),
    VCC,
];

const fn stage(leg: u8, stage: u8) -> StageOutput {
    StageOutput { leg, stage, inverted: false }
}

const fn counter(clock: u8, reset: u8, outputs: &'static [StageOutput]) -> Block {
    Block::Counter(Counter { clock, falling: true, reset, stages: 4, outputs })
}

pub(in super::super) const HC393: ChipSheet = ChipSheet {
    name: "74HC393",
    what: "dual 4-bit binary counter",
    family: LogicFamily::Hc,
    low_share: None,
    legs: HC393_LEGS,
    blocks: &[
        counter(1, 2, &[stage(3, 0), stage(4, 1), stage(5, 2), stage(6, 3)]),
        counter(13, 12, &[stage(11, 0), stage(10, 1), stage(9, 2), stage(8, 3)]),
    ],
    output: Some(ChipOutput::of(LogicFamily::Hc)),
    // To the first stage and on through three more.
    delay: delay(12e-9 + 3.0 * 5e-9, 38e-9 + 3.0 * 11e-9, HC393_DELAY),
    clocking: Some(Clocking {
        set_up: second(18e-9, HC393_CLOCK),
        hold: second(0.0, HC393_CLOCK),
        pulse: second(20e-9, HC393_CLOCK),
        period: second(1.0 / 24e6, HC393_CLOCK),
    }),
    supply: HC_SUPPLY,
    supply_amps: HC_AMPS,
    leg_farads: HC_FARADS,
    source: HC393_SHEET,
};
