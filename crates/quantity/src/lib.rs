//! Typed SI quantities, tolerance triples, and the one formatter of numbers.
//!
//! A quantity is finite: its constructor refuses NaN and the infinities, so nothing above ever
//! meets them. Trade units (kΩ, mA, °C) stand only in constructors, getters and texts.
//!
//! This crate knows no connector, no circuit and no file.

mod format;
mod triple;
mod unit;

pub use format::significant;
pub use triple::{OutOfOrder, Triple};
pub use unit::{Amps, Farads, Kelvin, Metres, NotFinite, Ohms, Quantity, Seconds, Volts, Watts};
