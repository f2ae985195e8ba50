//! The lead with something else plugged into one of its ends.

use solderside_lead::{Assembly, EndId};
use solderside_profile::{Controller, Port};

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
    pub(super) fn plugged(&self, assembly: &Assembly) -> Assembly {
        let mut plugged = assembly.clone();
        plugged.lead.proved = None;
        if let Some(end) = plugged.lead.ends.iter_mut().find(|end| end.id == self.end()) {
            self.name().clone_into(&mut end.profile);
        }
        match self {
            Self::Controller(EndId::Controller(at), controller) => {
                if let Some(own) = plugged.controllers.get_mut(usize::from(*at)) {
                    own.clone_from(controller);
                }
            }
            Self::Controller(
                EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Donor | EndId::Port,
                _,
            ) => {}
            Self::Port(port) => plugged.port.clone_from(port),
        }
        plugged
    }
}
