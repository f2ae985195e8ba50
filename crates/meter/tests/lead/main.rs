//! Leads on the bench: the plan that finds their faults, runs of it, what people say of them, and diagnosis.

#![expect(clippy::unwrap_used, reason = "helpers of tests too")]

mod bounds;
mod diagnosis;
mod drawn;
mod evidence;
mod minima;
mod plan;
mod powered;
mod published;
mod run;
mod shelf;
mod simulator;
mod trial;
