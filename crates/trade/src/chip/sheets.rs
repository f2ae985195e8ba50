//! The data sheets of the chips.

use solderside_quantity::{Amps, Seconds, Triple, Volts};

use super::{Block, ChipLeg, ChipSheet, Drive, Gate, LegRole, Register, StageOutput};
use crate::logic::LogicFamily;
use crate::source::{Source, Sourced};

const HC157_SHEET: Source =
    Source::published("74HC157; 74HCT157 Quad 2-input multiplexer, rev. 7, 2015, tables 2 to 4, icpdf.com");
const HC157_DELAY: Source = Source::published(
    "M74HC157, summary (13 ns typical at 5 V, equivalent part), www.ic-phoenix.com/M/M15/M74HC157.html; \
     the most is assumed",
);
const CD4021_SHEET: Source = Source::published(
    "CD4021BC 8-Stage Static Shift Register, DC table, page 3, \
     manualmachine.com/fairchildsemiconductor/cd4021bcn/3934777-datasheet",
);

const fn leg(name: &'static str, role: LegRole) -> ChipLeg {
    ChipLeg { name, role }
}

/// One of four: enable, select, the two data inputs. A disabled output is low.
const fn two_to_one(inputs: &'static [u8], output: u8) -> Block {
    Block::Gate(Gate {
        inputs,
        output,
        rows: &["HXXX L", "LLLX L", "LLHX H", "LHXL L", "LHXH H"],
        otherwise: Drive::Low,
    })
}

pub(super) const HC157: ChipSheet = ChipSheet {
    name: "74HC157",
    what: "quad 2:1 multiplexer",
    family: LogicFamily::Hc,
    legs: &[
        leg("S", LegRole::Input),
        leg("1I0", LegRole::Input),
        leg("1I1", LegRole::Input),
        leg("1Y", LegRole::Output),
        leg("2I0", LegRole::Input),
        leg("2I1", LegRole::Input),
        leg("2Y", LegRole::Output),
        leg("GND", LegRole::Ground),
        leg("3Y", LegRole::Output),
        leg("3I1", LegRole::Input),
        leg("3I0", LegRole::Input),
        leg("4Y", LegRole::Output),
        leg("4I1", LegRole::Input),
        leg("4I0", LegRole::Input),
        leg("E", LegRole::Input),
        leg("VCC", LegRole::Supply),
    ],
    blocks: &[
        two_to_one(&[15, 1, 2, 3], 4),
        two_to_one(&[15, 1, 5, 6], 7),
        two_to_one(&[15, 1, 11, 10], 9),
        two_to_one(&[15, 1, 14, 13], 12),
    ],
    delay: Sourced::new(Triple::<Seconds>::literal(0.0, 13e-9, 50e-9), HC157_DELAY),
    supply: Sourced::new(Triple::<Volts>::literal(2.0, 5.0, 6.0), HC157_SHEET),
    supply_amps: Sourced::new(Triple::<Amps>::literal(0.0, 1e-6, 80e-6), HC157_SHEET),
    source: HC157_SHEET,
};

pub(super) const CD4021: ChipSheet = ChipSheet {
    name: "CD4021",
    what: "8-bit register, parallel in and serial out",
    family: LogicFamily::Cd4000,
    legs: &[
        leg("PI8", LegRole::Input),
        leg("Q6", LegRole::Output),
        leg("Q8", LegRole::Output),
        leg("PI4", LegRole::Input),
        leg("PI3", LegRole::Input),
        leg("PI2", LegRole::Input),
        leg("PI1", LegRole::Input),
        leg("VSS", LegRole::Ground),
        leg("P/S", LegRole::Input),
        leg("CLK", LegRole::Input),
        leg("SER", LegRole::Input),
        leg("Q7", LegRole::Output),
        leg("PI5", LegRole::Input),
        leg("PI6", LegRole::Input),
        leg("PI7", LegRole::Input),
        leg("VDD", LegRole::Supply),
    ],
    blocks: &[Block::Register(Register {
        serial: 11,
        parallel: &[7, 6, 5, 4, 13, 14, 15, 1],
        load: 9,
        load_level: Drive::High,
        load_at_clock: false,
        clocks: &[10],
        outputs: &[
            StageOutput { leg: 2, stage: 5, inverted: false },
            StageOutput { leg: 12, stage: 6, inverted: false },
            StageOutput { leg: 3, stage: 7, inverted: false },
        ],
    })],
    delay: Sourced::new(Triple::<Seconds>::literal(0.0, 250e-9, 1e-6), CD4021_SHEET),
    supply: Sourced::new(Triple::<Volts>::literal(3.0, 5.0, 15.0), CD4021_SHEET),
    supply_amps: Sourced::new(Triple::<Amps>::literal(0.0, 0.1e-6, 20e-6), CD4021_SHEET),
    source: CD4021_SHEET,
};
