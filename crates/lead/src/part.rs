//! The parts of a lead, each in the hood of one end.

use solderside_profile::{Body, PartId};

use crate::lead::EndId;

/// A part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its number among those of its kind, from 1.
    pub number: u8,
    /// What is bought.
    pub body: Body,
    /// The end in whose hood it sits.
    pub sits: EndId,
}

impl Part {
    /// Its name.
    pub const fn id(&self) -> PartId {
        self.body.id(self.number)
    }
}
