//! The pads that may be opened and used as the converter where nobody names one.

use solderside_profile::{Controller, Kind, Library, Origin, Port};

/// The pads whose insides are known.
#[derive(Debug, Clone, Default)]
pub struct Pads {
    own: Vec<Controller>,
    of_catalogue: Vec<Controller>,
}

impl Pads {
    /// Those of a library. A file with mistakes is none; it is told where it is asked for.
    pub fn of(library: &Library) -> Self {
        let mut pads = Self::default();
        for entry in library.entries().into_iter().filter(|entry| entry.kind == Some(Kind::Controller)) {
            let Ok(pad) = library.controller(&entry.name) else { continue };
            if pad.inside.is_some() {
                let all =
                    if entry.origin == Origin::Catalogue { &mut pads.of_catalogue } else { &mut pads.own };
                all.push(pad);
            }
        }
        pads
    }

    /// Those whose plug goes into a port: a person's own first.
    pub fn for_port(&self, port: &Port) -> Donors {
        let fitting = |pads: &[Controller]| -> Vec<Controller> {
            pads.iter().filter(|pad| pad.connector.mates_with(&port.connector)).cloned().collect()
        };
        Donors { first: fitting(&self.own), otherwise: fitting(&self.of_catalogue) }
    }
}

/// The pads that may be opened for one port.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Donors {
    /// Each of them is tried.
    pub first: Vec<Controller>,
    /// They are tried where none of the first works in the port by itself: a plug that fits is not enough.
    pub otherwise: Vec<Controller>,
}

impl From<Vec<Controller>> for Donors {
    /// Pads that somebody named.
    fn from(first: Vec<Controller>) -> Self {
        Self { first, otherwise: Vec::new() }
    }
}
