//! The data sheets of the chips, a file for each kind, and what several of them share.

mod buffer;
mod counter;
mod decoder;
mod gate;
mod multiplexer;
mod register;
mod switch;

use solderside_quantity::{Amps, Farads, Seconds, Triple, Volts};

use super::{ChipLeg, LegRole};
use crate::source::{Source, Sourced};

pub(super) use self::buffer::{HC125, HC244, HCT125, HCT244};
pub(super) use self::counter::HC393;
pub(super) use self::decoder::LS145;
pub(super) use self::gate::{HC00, HC03, HC04, HC05, HCT00, HCT04};
pub(super) use self::multiplexer::{HC157, HCT157, LS157};
pub(super) use self::register::{CD4014, CD4021, HC165};
pub(super) use self::switch::{CD4066, HC4066};

const HC_SUPPLY: Sourced<Triple<Volts>> = supply(
    [2.0, 5.0, 6.0],
    Source::published(
        "74HC244; 74HCT244 rev. 8, 5 August 2024, online.documentine.com (JESD7A: 2.0 V to 6.0 V)",
    ),
);
const HCT_SUPPLY: Sourced<Triple<Volts>> = supply(
    [4.5, 5.0, 5.5],
    Source::published("MC74HCT244A, features, en.eeworld.com/datasheet/view/10081739.html (4.5 V to 5.5 V)"),
);

/// Gates and inverters.
const HC_GATE_AMPS: Sourced<Triple<Amps>> = amps(
    [0.0, 0.0, 20e-6],
    Source::published(
        "MM74HC04 Hex Inverter, DC characteristics, page 3, a copy on a mirror of manuals (20 µA at 85 °C)",
    ),
);
/// Chips of several dozen gates.
const HC_AMPS: Sourced<Triple<Amps>> = amps(
    [0.0, 0.0, 80e-6],
    Source::published(
        "74HC245; 74HCT245 rev. 03, 31 January 2005, table 7, pdf.ic37.com (74HCT245D_7; 80 µA at 85 °C, for \
         all of this class)",
    ),
);

const HC_FARADS: Sourced<Triple<Farads>> = farads(
    [0.0, 5e-12, 10e-12],
    Source::published(
        "HD74HC05, AC characteristics, page 2, www.datasheetandpdf.com/EN/HITACHI/2/HD74HC05.htm",
    ),
);
const CD4000_FARADS: Sourced<Triple<Farads>> = farads(
    [0.0, 5e-12, 7.5e-12],
    Source::published(
        "CD4006BC, AC characteristics, hkdtupc.cn/cd4006bm_datasheet_16531853_3.html (5 pF typical, 7.5 pF \
         most, as for all inputs of its series)",
    ),
);

const fn input(name: &'static str) -> ChipLeg {
    leg(name, LegRole::Input)
}

/// An input that leads to two inside.
const fn double_input(name: &'static str) -> ChipLeg {
    ChipLeg { name, role: LegRole::Input, loads: 2 }
}

const fn output(name: &'static str) -> ChipLeg {
    leg(name, LegRole::Output)
}

const fn leg(name: &'static str, role: LegRole) -> ChipLeg {
    ChipLeg { name, role, loads: 1 }
}

const GND: ChipLeg = leg("GND", LegRole::Ground);
const VCC: ChipLeg = leg("VCC", LegRole::Supply);
const VSS: ChipLeg = leg("VSS", LegRole::Ground);
const VDD: ChipLeg = leg("VDD", LegRole::Supply);

const fn second(value: f64, source: Source) -> Sourced<Seconds> {
    Sourced::new(Seconds::literal(value), source)
}

/// From nothing, since no sheet says how soon the first part answers.
const fn delay(typical: f64, most: f64, source: Source) -> Sourced<Triple<Seconds>> {
    Sourced::new(Triple::<Seconds>::literal(0.0, typical, most), source)
}

const fn amps(values: [f64; 3], source: Source) -> Sourced<Triple<Amps>> {
    Sourced::new(Triple::<Amps>::literal(values[0], values[1], values[2]), source)
}

const fn farads(values: [f64; 3], source: Source) -> Sourced<Triple<Farads>> {
    Sourced::new(Triple::<Farads>::literal(values[0], values[1], values[2]), source)
}

const fn supply(values: [f64; 3], source: Source) -> Sourced<Triple<Volts>> {
    Sourced::new(Triple::<Volts>::literal(values[0], values[1], values[2]), source)
}
