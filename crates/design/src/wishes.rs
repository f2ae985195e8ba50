//! What a person asks of a lead.

use solderside_lead::Join;
use solderside_profile::{Action, Cable, Control, Controller, Drawer};

use crate::{Class, Donors};

/// What is asked of a lead beyond the default play map.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// Actions with the controls that shall perform them; the others keep the default map.
    pub play: Vec<(Action, Vec<Control>)>,
    /// Controls whose action a switch in the lead shall choose.
    pub switches: Vec<SwitchWish>,
    /// What shall go into a second controller end.
    pub second: Option<SecondWish>,
    /// Controls that must not be lost.
    pub must: Vec<Control>,
    /// Controls that should not be lost if some lead keeps them: of two sound leads the one that keeps more is better.
    pub nice: Vec<Control>,
    /// Joins that shall be there. Each takes the place of what the design would join to the same contact
    /// of the controller.
    pub joins: Vec<Join>,
    /// The classes that are allowed; all if none is named.
    pub classes: Vec<Class>,
    /// The cable that the lead shall run in.
    pub cable: Option<Cable>,
    /// The pads that may be opened and used as the converter.
    pub donors: Donors,
    /// The parts that there are; any if none is named.
    pub drawer: Option<Drawer>,
}

/// A control that a switch in the lead shall give one of two actions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SwitchWish {
    /// The control.
    pub control: Control,
    /// What it does in the first position, and in the second.
    pub actions: [Action; 2],
}

/// A second controller end.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondWish {
    /// The controller, as [`second_controller`](solderside_lead::second_controller) has it: its controls have names of their
    /// own. With `passes_through` it may be an [unknown](solderside_lead::unknown_controller) one.
    pub controller: Controller,
    /// Whether the end passes the port's contacts through, so that it may stay empty.
    pub passes_through: bool,
}

impl Wishes {
    /// Whether leads of a class may be proposed.
    pub fn allows(&self, class: Class) -> bool {
        self.classes.is_empty() || self.classes.contains(&class)
    }

    /// The plainest class that is allowed.
    pub(crate) fn plainest(&self) -> Class {
        self.classes.iter().copied().min().unwrap_or(Class::Plain)
    }
}
