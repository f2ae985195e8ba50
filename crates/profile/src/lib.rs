//! Controllers, ports and cables: the file format, its checks, the evidence, and the catalogue.
//!
//! A file is read once into a checked type; nobody above checks again. [`Library`] is the door:
//! it knows all files by name and turns one into a [`Controller`], a [`Port`] or a [`Cable`], or into
//! all of its mistakes at once. The cursor that reads TOML and never stops at the first mistake
//! ([`read`], [`Table`], [`Value`]) serves other kinds of file too.
//!
//! This crate knows no circuit and no lead, and touches no file: texts come in, values go out.

mod believed;
mod cable;
mod cable_file;
mod catalogue;
mod complaint;
mod contacts;
mod controller;
mod controller_check;
mod controller_file;
mod document;
mod drawer;
mod drawer_file;
mod fact;
mod failure;
mod file_quantity;
mod fingerprint;
mod gap;
mod heading;
mod inside;
mod inside_check;
mod inside_file;
mod library;
mod part;
mod part_file;
mod port;
mod port_check;
mod port_file;
mod prefixed;
mod profile_file;
mod schema;
mod script;
mod shape;
mod share;
mod source;
mod spelling;
mod toml_text;
mod value;
mod word;

pub use cable::{Cable, CoreId, MouldedEnd};
pub use complaint::{Complaint, capital, listed, quoted, render};
pub use controller::{
    Controller, ControllerContact, ControllerRole, Gate, OutputKind, PadLogic, Pot, Series,
};
pub use document::{Reading, Table, describe, read};
pub use drawer::{Drawer, StockOf};
pub use fact::Fact;
pub use failure::Failure;
pub use file_quantity::FileQuantity;
pub use fingerprint::Canonical;
pub use gap::Gap;
pub use heading::{FORMAT, Heading, Kind, Origin, heading};
pub use inside::{Inside, InsidePart, InsideSwitch, Spot};
pub use library::{Entry, Library};
pub use part::{Body, Capacitor, PartId, Resistor};
pub use part_file::{PartEntry, part_entries};
pub use port::{
    ActiveLevel, AxisInput, Charge, Driven, InputCircuit, Level, Limits, Port, PortContact, PortRole, Ramp,
    Step, Supply,
};
pub use schema::schema;
pub use share::Share;
pub use source::{At, LONGEST_FILE, Place, SourceFile};
pub use spelling::nearest;
pub use toml_text::toml_text;
pub use value::{Misread, Value};
pub use word::{Action, Axis, Control, Direction, LONGEST_NAME, is_kebab};
