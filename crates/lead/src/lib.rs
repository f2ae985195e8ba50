//! The lead between a controller and a port: its play map, its joins, its file, and the circuit that
//! it makes with both ends.
//!
//! This crate judges nothing: whether a lead works is `proof`'s to say. It solves no equations and
//! touches no file.

mod allocation;
mod assembly;
mod changeover;
mod difference;
mod donor;
mod edit;
mod file;
mod fingerprint;
mod forgetting;
mod lead;
mod lower;
mod part;
mod play;
mod second;
mod state;

pub use allocation::Allocation;
pub use assembly::{Assembly, Job, Walk};
pub use changeover::{Changeover, ChangeoverPosition, MOST_POLES, Setting, Stand};
pub use difference::{
    Act, Conductor, ConductorEnd, ControlChange, Difference, EndChange, NetChange, REWIRING_CAUTIONS, Stay,
    Step, Touch,
};
pub use donor::{Donor, NoDonor, SwitchName};
pub use edit::edit_lead;
pub use file::{lead_schema, read_lead, write_lead};
pub use forgetting::{Doubt, Forgetting};
pub use lead::{Cord, End, EndId, Holder, Join, Lead, Leg, ParseLegError, Proved};
pub use lower::{
    AT_THE_STOP, Chip, Circuit, Label, Position, Purpose, Surroundings, Transistor, Unbuilt, When,
};
pub use part::Part;
pub use play::{PlayMap, default_map, either_map};
pub use second::{NoSecond, SECOND, cannot_share, second_controller, unknown_controller};
pub use solderside_profile::{Body, Capacitor, PartId, Resistor};
pub use state::{State, may_be_together, states};
