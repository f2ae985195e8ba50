//! Analogue switches.

use solderside_quantity::{Amps, Ohms, Triple};

use super::super::{Block, ChipLeg, ChipSheet, Drive, LegRole, Switch};
use super::{GND, HC_SUPPLY, VCC, VDD, VSS, amps, delay, farads, input, leg, supply};
use crate::logic::LogicFamily;
use crate::source::{Source, Sourced};

const HC4066_LEGS_SHEET: Source = Source::published(
    "74HC4066; 74HCT4066 rev. 10, 8 June 2021, figure 1 and pinning, m.eeworld.com.cn/datasheet_part",
);
const HC4066_DC: Source = Source::published(
    "SN74HC4066, SCLS325G, July 2003, page 3, a copy on a mirror of manuals (low \
     at 0.9 V on 4.5 V; 50 Ω typical and 215 Ω most on 4.5 V; 5 µA; 20 µA; contacts of 9 pF)",
);
const HC4066_DELAY: Source = Source::published(
    "74HC4066; 74HCT4066 rev. 7, 2 April 2013, table 9, page 9, a copy on a mirror of manuals (turn-off, 4.5 V, 85 °C)",
);
const HC4066_FARADS: Source =
    Source::assumed("assumed: 15 pF most; 9 pF typical is printed in SN74HC4066, SCLS325G, page 3");
const CD4066_LEGS_SHEET: Source = Source::published(
    "CD4066B, SCHS051I, May 2024, pin functions, ti.com/document-viewer/lit/html/SCHS051I; CD4066BC, revised \
     October 2005, pdf.datasheet.directory/53c97592 (3 V to 15 V; closed while its control is high)",
);
const CD4066_MEMORY: Source = Source::assumed(
    "from memory: CD4066B and CD4066BC at 5 V, low to 1 V, 270 Ω typical and 1200 Ω most at 85 °C, 200 nA \
     open, 7.5 µA, 125 ns at 25 °C; the other ends are assumed",
);
const CD4066_FARADS: Source = Source::assumed(
    "assumed: 12 pF most; 8 pF typical is printed in CD4066BC, AC table, \
     manualshive.com/en/manual/texas-instruments/cd4066bc/1097137",
);

const HC4066_LEGS: &[ChipLeg] = &[
    contact("1Y"),
    contact("1Z"),
    contact("2Z"),
    contact("2Y"),
    input("2E"),
    input("3E"),
    GND,
    contact("3Y"),
    contact("3Z"),
    contact("4Z"),
    contact("4Y"),
    input("4E"),
    input("1E"),
    VCC,
];

const CD4066_LEGS: &[ChipLeg] = &[
    contact("SIG A IN/OUT"),
    contact("SIG A OUT/IN"),
    contact("SIG B OUT/IN"),
    contact("SIG B IN/OUT"),
    input("CONTROL B"),
    input("CONTROL C"),
    VSS,
    contact("SIG C IN/OUT"),
    contact("SIG C OUT/IN"),
    contact("SIG D OUT/IN"),
    contact("SIG D IN/OUT"),
    input("CONTROL D"),
    input("CONTROL A"),
    VDD,
];

/// The peak over all voltages that it passes; the least is assumed.
const HC4066_ON: Sourced<Triple<Ohms>> = Sourced::new(Triple::<Ohms>::literal(15.0, 50.0, 215.0), HC4066_DC);
const HC4066_OFF: Sourced<Amps> = Sourced::new(Amps::literal(5e-6), HC4066_DC);
const CD4066_ON: Sourced<Triple<Ohms>> =
    Sourced::new(Triple::<Ohms>::literal(80.0, 270.0, 1200.0), CD4066_MEMORY);
const CD4066_OFF: Sourced<Amps> = Sourced::new(Amps::literal(200e-9), CD4066_MEMORY);

const fn contact(name: &'static str) -> ChipLeg {
    leg(name, LegRole::Contact)
}

/// Four, each closed while its control is high; both chips have the same legs.
const fn switches(on: Sourced<Triple<Ohms>>, off_amps: Sourced<Amps>) -> [Block; 4] {
    [
        switch([1, 2], 13, on, off_amps),
        switch([4, 3], 5, on, off_amps),
        switch([8, 9], 6, on, off_amps),
        switch([11, 10], 12, on, off_amps),
    ]
}

const fn switch(sides: [u8; 2], control: u8, on: Sourced<Triple<Ohms>>, off_amps: Sourced<Amps>) -> Block {
    Block::Switch(Switch { sides, control, closed_at: Drive::High, on, off_amps })
}

pub(in super::super) const HC4066: ChipSheet = ChipSheet {
    name: "74HC4066",
    what: "quad analogue switch",
    family: LogicFamily::Hc,
    low_share: Some(Sourced::new(0.2, HC4066_DC)),
    legs: HC4066_LEGS,
    blocks: &switches(HC4066_ON, HC4066_OFF),
    output: None,
    delay: delay(16e-9, 38e-9, HC4066_DELAY),
    clocking: None,
    supply: HC_SUPPLY,
    supply_amps: amps([0.0, 0.0, 20e-6], HC4066_DC),
    leg_farads: farads([0.0, 9e-12, 15e-12], HC4066_FARADS),
    source: HC4066_LEGS_SHEET,
};

pub(in super::super) const CD4066: ChipSheet = ChipSheet {
    name: "CD4066",
    what: "quad analogue switch",
    family: LogicFamily::Cd4000,
    low_share: Some(Sourced::new(0.2, CD4066_MEMORY)),
    legs: CD4066_LEGS,
    blocks: &switches(CD4066_ON, CD4066_OFF),
    output: None,
    delay: delay(60e-9, 200e-9, CD4066_MEMORY),
    clocking: None,
    supply: supply([3.0, 5.0, 15.0], CD4066_LEGS_SHEET),
    supply_amps: amps([0.0, 0.01e-6, 7.5e-6], CD4066_MEMORY),
    leg_farads: farads([0.0, 8e-12, 12e-12], CD4066_FARADS),
    source: CD4066_LEGS_SHEET,
};
