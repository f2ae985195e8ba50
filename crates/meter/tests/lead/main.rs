//! Leads on the bench: the plan that finds their faults, what people say of them, and diagnosis.

#![expect(clippy::unwrap_used, reason = "helpers of tests too")]

mod diagnosis;
mod evidence;
mod plan;
mod shelf;
mod simulator;
