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

    /// Those whose plug goes into a port: a person's own, or where there is none those of the catalogue.
    pub fn for_port(&self, port: &Port) -> Vec<Controller> {
        let fitting = |pads: &[Controller]| -> Vec<Controller> {
            pads.iter().filter(|pad| pad.connector.mates_with(&port.connector)).cloned().collect()
        };
        let own = fitting(&self.own);
        if own.is_empty() { fitting(&self.of_catalogue) } else { own }
    }
}
