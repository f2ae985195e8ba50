//! The `solderside` program: arguments in, text or JSON out, nothing clever.
//!
//! [`run`] takes the arguments and gives an [`Answer`] for a [`Terminal`]; `main` prints it. Each subcommand is a file of
//! `commands`: its arguments, its help and what it does. Files are touched in `store` only, JSON has its
//! shapes in `wire` only.
//!
//! This crate knows nothing of the trade: what it says, the floors below have found.

mod answer;
mod commands;
mod dialogue;
mod elsewhere;
mod interrupt;
mod page;
mod progress;
mod report;
mod setting;
mod shelf;
mod stands;
mod store;
mod subject;
mod terminal;
mod tone;
mod trouble;
mod wire;
mod wishes;

pub use answer::{Answer, Status};
pub use commands::run;
pub use interrupt::watch_for_interrupts;
pub use terminal::Terminal;
pub use wire::schemas;
