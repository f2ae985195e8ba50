//! A proved lead as pictures and pages: the drawing (SVG) and the guide (HTML); and the atlas of all pairs (HTML).
//!
//! Connectors are drawn with the standard's geometry, from the side that the builder looks at, and
//! say which side that is. A page is one file: it loads nothing and needs no script to be read.
//!
//! This crate computes no electricity: what a lead does, `proof` has said, and what a meter shows of it, `meter`. It
//! touches no file.

mod atlas;
mod colouring;
mod drawing;
mod guide;
mod laid;
mod perfboard;
mod timing;
mod words;

#[cfg(test)]
mod shelf;

pub use atlas::{Atlas, atlas_page};
pub use colouring::Colouring;
pub use drawing::{drawing, end_drawing};
pub use guide::{Changes, Elsewhere, GuideOptions, guide, meter_table};
pub use perfboard::{BoardEntry, BoardPlan, BoardSeat, BoardWire, Hole, board_drawing};
pub use timing::timing_drawing;
