//! What everything that has a limit has in common: it is held in each moment, in every state.

use solderside_circuit::OperatingPoint;
use solderside_lead::{Assembly, Circuit, Leg};
use solderside_quantity::Amps;

use crate::cases::Case;
use crate::conditions::Condition;
use crate::finding::{Finding, Severity};
use crate::networks::Moment;
use crate::search::Kept;

/// What a limit says of a case.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// Whether it is kept.
    pub(crate) kept: Kept,
    /// What flows out of the machine and into it, at most, where currents are what is limited; none where that is
    /// not known.
    pub(crate) amps: [Option<Amps>; 2],
}

/// Something that must not be exceeded.
pub(crate) trait Limit {
    /// The contact or the part that it is about.
    fn leg(&self) -> Leg;

    /// Whether it is to be held under this condition.
    fn is_asked(&self, _condition: &Condition) -> bool {
        true
    }

    /// What it is to pass it: nothing worse is ever told.
    fn worst(&self) -> Severity {
        Severity::Harm
    }

    /// Whether one operating point seems to pass it.
    fn seems_passed(&self, _circuit: &Circuit, _point: &OperatingPoint) -> bool {
        false
    }

    /// Holds it in a case.
    fn look(&self, moment: &Moment<'_>, case: &Case) -> Look;

    /// Says what is wrong in a state in which it is passed, or in which nothing shows that it is kept.
    fn finding(&self, assembly: &Assembly, moment: &Moment<'_>, state: &Case) -> Option<Finding>;

    /// What is to be settled, for a sentence: "`port.6` stays within its limit".
    fn question(&self) -> String;
}

impl Look {
    /// That a limit is kept or not, where nothing else is to be told.
    pub(crate) const fn of(kept: Kept) -> Self {
        Self { kept, amps: [Some(Amps::ZERO); 2] }
    }
}
