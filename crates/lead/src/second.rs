//! The controller at a lead's second controller end.

use solderside_profile::{Controller, Port};

/// What stands before the name of each control of a second controller, with a hyphen: `second-up`.
pub const SECOND: &str = "second";

/// Says why a controller cannot be the second one of a lead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoSecond {
    /// Nothing is known of its contacts.
    #[error("nothing is known of the contacts of `{0}`")]
    Unknown(String),
    /// Its plug is none for the port that is passed through.
    #[error("`{second}` does not go into `{port}`, whose contacts are passed through")]
    DoesNotMate {
        /// The second controller.
        second: String,
        /// The port.
        port: String,
    },
    /// One of the two has two-key rollover.
    #[error("`{first}` and `{second}` cannot share a lead: one has two-key rollover")]
    TwoKeys {
        /// The first controller.
        first: String,
        /// The second one.
        second: String,
    },
    /// A control's name leaves no room for what stands before it.
    #[error("a control of `{0}` has too long a name")]
    LongName(String),
    /// The first controller has a control that is called like one of the second's.
    #[error("`{first}` has a control \"{control}\", which one of the second controller would be called too")]
    Twice {
        /// The first controller.
        first: String,
        /// The control.
        control: String,
    },
}

impl NoSecond {
    /// How to mend it.
    pub const fn help(&self) -> &'static str {
        match self {
            Self::Unknown(_) => "name a controller whose contacts are known",
            Self::DoesNotMate { .. } => "name a controller of the port's own class, or pass nothing through",
            Self::TwoKeys { .. } => {
                "which keys of two hands bring a ghost together is not proved; build a lead for each"
            }
            Self::LongName(_) => "shorten it in a profile of your own",
            Self::Twice { .. } => "rename it in a profile of your own, or exchange the two controllers",
        }
    }
}

/// The second controller of a lead, with names of their own for its controls: `second-up`.
///
/// # Errors
/// Says everything that keeps it from being one.
pub fn second_controller(
    first: &Controller,
    second: &Controller,
    port: &Port,
    passes_through: bool,
) -> Result<Controller, Vec<NoSecond>> {
    let name = || second.name.clone();
    if second.contacts.is_empty() {
        return Err(vec![NoSecond::Unknown(name())]);
    }
    let mut wrong = Vec::new();
    if passes_through && !second.connector.mates_with(&port.connector) {
        wrong.push(NoSecond::DoesNotMate { second: name(), port: port.name.clone() });
    }
    let named = second.prefixed(SECOND);
    match &named {
        None => wrong.push(NoSecond::LongName(name())),
        Some(named) => wrong.extend(cannot_share(first, named)),
    }
    named.filter(|_| wrong.is_empty()).ok_or(wrong)
}

/// Says why a first and a second controller cannot share a lead, whose controls have names of their own already.
pub fn cannot_share(first: &Controller, second: &Controller) -> Vec<NoSecond> {
    let mut wrong = Vec::new();
    if [first, second].iter().any(|own| !own.two_key_rollover.is_empty()) {
        wrong.push(NoSecond::TwoKeys { first: first.name.clone(), second: second.name.clone() });
    }
    let own = first.controls();
    let twice = second.controls().into_iter().find(|control| own.contains(control));
    wrong.extend(
        twice.map(|control| NoSecond::Twice { first: first.name.clone(), control: control.to_string() }),
    );
    wrong
}

/// What stands for a second controller where the port is passed through and nobody says to what: nothing is known of it
/// but that its plug goes into the port.
pub fn unknown_controller(first: &Controller, port: &Port) -> Controller {
    Controller {
        name: "unknown".to_owned(),
        title: "whatever goes into the port".to_owned(),
        connector: port.connector.mate(),
        ..first.unplugged()
    }
}
