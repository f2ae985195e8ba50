//! The lead with something else plugged into one of its ends.

use solderside_lead::{Assembly, EndId, NoSecond, cannot_share, second_controller};
use solderside_profile::{Controller, Port};

use super::Place;

/// What else is plugged in.
#[derive(Debug, Clone, Copy)]
pub(super) enum Other<'a> {
    Controller(EndId, &'a Controller),
    Port(&'a Port),
}

impl Other<'_> {
    pub(super) fn end(&self) -> EndId {
        match self {
            Self::Controller(end, _) => *end,
            Self::Port(_) => EndId::Port,
        }
    }

    pub(super) fn name(&self) -> &str {
        match self {
            Self::Controller(_, controller) => &controller.name,
            Self::Port(port) => &port.name,
        }
    }

    pub(super) fn title(&self) -> &str {
        match self {
            Self::Controller(_, controller) => &controller.title,
            Self::Port(port) => &port.title,
        }
    }

    pub(super) const fn place(&self) -> Place {
        match self {
            Self::Controller(..) => Place::Controller,
            Self::Port(port) if port.hazard.is_some() => Place::Hazard,
            Self::Port(_) => Place::Machine,
        }
    }

    /// Whether its connector goes together with the lead's, and it is not what the lead is made for.
    pub(super) fn is_another(&self, assembly: &Assembly) -> bool {
        let theirs = match self {
            Self::Controller(_, controller) => controller.connector,
            Self::Port(port) => port.connector,
        };
        let (end, made_for) = match self {
            Self::Controller(end, _) => {
                let end = assembly.lead.end(*end);
                (end, end.map(|end| end.profile.as_str()))
            }
            Self::Port(_) => (assembly.lead.end_at_machine(), Some(assembly.port.name.as_str())),
        };
        end.is_some_and(|end| end.connector.mates_with(&theirs)) && made_for != Some(self.name())
    }

    /// Whether both are ports of one and the same kind under two names, so that one proof tells of both.
    pub(super) fn is_twin(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Port(one), Self::Port(other)) => {
                one.hazard == other.hazard
                    && one.fire_order == other.fire_order
                    && one.fingerprint() == other.fingerprint()
            }
            (Self::Controller(..), _) | (_, Self::Controller(..)) => false,
        }
    }

    /// The lead as it is, with this plugged in. What it was proved against no longer counts.
    ///
    /// # Errors
    /// Says why it cannot go together with the other controller of a lead for two.
    pub(super) fn plugged(&self, assembly: &Assembly) -> Result<Assembly, Vec<NoSecond>> {
        let mut plugged = assembly.clone();
        plugged.lead.proved = None;
        if let Some(end) = plugged.lead.ends.iter_mut().find(|end| end.id == self.end()) {
            self.name().clone_into(&mut end.profile);
        }
        match (self, plugged.controllers.as_mut_slice()) {
            (Self::Controller(EndId::Controller(0), controller), [first]) => first.clone_from(controller),
            (Self::Controller(EndId::Controller(0), controller), [first, second, ..]) => {
                let wrong = cannot_share(controller, second);
                // Nothing is plugged in where nobody says what.
                if !second.contacts.is_empty() && !wrong.is_empty() {
                    return Err(wrong);
                }
                first.clone_from(controller);
            }
            (Self::Controller(EndId::Controller(_), controller), [first, second, ..]) => {
                *second = second_controller(first, controller, &assembly.port, assembly.lead.passes_through)?;
            }
            (Self::Controller(..), _) => {}
            (Self::Port(port), _) => plugged.port.clone_from(port),
        }
        Ok(plugged)
    }
}
