//! DC networks: the exact operating point, Thevenin equivalents, and guaranteed bounds over a box
//! of tolerances.
//!
//! A network is nodes and two-terminal elements. Each element is *monotone* (more voltage never
//! gives less current), and everything here rests on that: a well-posed network has exactly one
//! operating point, Newton's method with a line search reaches it from anywhere, elimination needs
//! no subtraction, and the worst case over a box is the operating point of one more network.
//!
//! This crate has never heard of a controller, a port or a lead, and it reads no file.

mod bounds;
mod diode;
mod equivalent;
mod law;
pub mod logic;
mod network;
mod newton;
mod settling;
mod solve;
mod star_mesh;
mod sweep;

pub use bounds::{AmpsBound, Argument, Bound, Extreme, Spread, Uncertain};
pub use diode::Diode;
pub use equivalent::{Equivalent, time_constants};
pub use network::{Element, ElementId, Network, Node, Refused};
pub use settling::Settling;
pub use solve::{OperatingPoint, Thevenin, Unsolvable};
pub use sweep::Unswept;
