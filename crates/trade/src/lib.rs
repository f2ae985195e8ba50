//! The trade's standards as data and functions, each value with its source.
//!
//! Connectors and their geometry, copper wire, colour letters and bands, logic levels, chips, switch contacts,
//! diodes and transistors. A number stands here once; beside it stands where it comes from, and `common practice,
//! no source` or `from memory` where nobody printed it.
//!
//! This crate knows no profile file and no circuit.

mod bus;
mod changeover;
mod chip;
mod colour;
mod connector;
mod contact;
mod contact_kind;
mod core_colour;
mod diode;
mod diode_part;
mod family;
mod farads;
mod logic;
mod preferred;
mod resistor;
mod shape;
mod source;
mod transistor;
mod wire;

pub use bus::Bus;
pub use changeover::ChangeoverPart;
pub use chip::{
    Block, ChipLeg, ChipOutput, ChipPart, ChipSheet, Clocking, Counter, Drive, Gate, LegNumber, LegRole,
    Register, StageOutput, Switch,
};
pub use colour::{CannotCombine, Colour, combine};
pub use connector::{Connector, Gender, ParseConnectorError};
pub use contact::{ContactId, Letter, ParseContactError};
pub use contact_kind::{OPEN_CONTACT_OHMS, SwitchKind, connector_contact_ohms};
pub use core_colour::{CoreColour, DIN_47100_COLOURS, ParseCoreColourError};
pub use diode::{
    Barrier, DiodeModel, DropLimit, SCHOTTKY_BAT85_DROP, SILICON_1N4148, SILICON_1N4148_DROP, drop_at_most,
    schottky_leakage_at_most, silicon_leakage_at_most,
};
pub use diode_part::{DiodePart, ROOM};
pub use family::{Family, Misnomer, ParseFamilyError, TerminalCount};
pub use farads::{
    CONTROLLER_CONTACT_FARADS, CORE_FARADS_PER_METRE, MACHINE_CONTACT_FARADS, SCREENED_CORE_FARADS_PER_METRE,
};
pub use logic::{Ceiling, InputRange, LS_COMMON_INPUT_LOW, Levels, LogicFamily, Output};
pub use preferred::{E12, preferred_ohms};
pub use resistor::{RESISTOR_WATTS, resistor_bands};
pub use shape::{Body, Place, Side};
pub use source::{Evidence, Source, Sourced};
pub use transistor::{
    BaseSheet, ClosedBy, GateSheet, Junction, OffState, TransistorKind, TransistorPart, TransistorSheet,
};
pub use wire::{
    Area, Conductor, Iec60228, NotAnArea, ParseConductorError, awg_area, awg_diameter, copper_resistance,
    copper_temperature_factor, iec60228_max, run_ohms,
};
