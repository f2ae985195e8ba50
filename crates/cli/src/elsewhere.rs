//! Where else a lead fits, among all profiles that can be read.

use solderside_lead::Assembly;
use solderside_profile::{Controller, Gap, Kind, Port};
use solderside_proof::{Fitting, fits};
use solderside_sheet as sheet;

use crate::shelf::Shelf;
use crate::trouble::Trouble;

/// What takes one of the lead's connectors, and what is left out.
pub struct Elsewhere {
    /// All that was proved, what harms first.
    pub fittings: Vec<Fitting>,
    /// Profiles with mistakes: nobody knows whether the lead fits them.
    pub unreadable: Vec<String>,
    /// Sockets that take one of the lead's connectors and are not in the catalogue.
    pub gaps: Vec<&'static Gap>,
}

impl Elsewhere {
    /// Proves the lead with all that the catalogue and the shelf have.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub fn of(assembly: &Assembly, shelf: &Shelf) -> Result<Self, Trouble> {
        let mut controllers: Vec<Controller> = Vec::new();
        let mut ports: Vec<Port> = Vec::new();
        let mut unreadable = Vec::new();
        for entry in shelf.library.entries() {
            let read = match entry.kind {
                Some(Kind::Controller) => {
                    shelf.library.controller(&entry.name).map(|controller| controllers.push(controller))
                }
                Some(Kind::Port) => shelf.library.port(&entry.name).map(|port| ports.push(port)),
                Some(Kind::Lead | Kind::Cable | Kind::Drawer | Kind::BuzzRun) | None => continue,
            };
            if read.is_err() {
                unreadable.push(entry.name);
            }
        }
        let ends = assembly.lead.ends.iter();
        Ok(Self {
            fittings: fits(assembly, &controllers, &ports)?,
            unreadable,
            gaps: ends.flat_map(|end| Gap::for_lead_end(end.connector)).collect(),
        })
    }

    /// The same for the guide.
    pub fn for_guide(self) -> Vec<sheet::Elsewhere> {
        let told = |fitting: Fitting| sheet::Elsewhere {
            title: fitting.title,
            place: fitting.place,
            end: fitting.end,
            fit: fitting.fit,
            verdict: fitting.verdict,
            is_harmless: fitting.is_harmless,
            reason: fitting.reason,
            // The reason has them already.
            figures: Vec::new(),
        };
        self.fittings.into_iter().map(told).collect()
    }

    /// What is so, in its order. What is told in the same words stands together: a machine of the shelf beside its
    /// class.
    pub fn that(&self, is_so: impl Fn(&Fitting) -> bool) -> Vec<Vec<&Fitting>> {
        let those = self.fittings.iter().filter(|fitting| is_so(fitting));
        let mut alike: Vec<Vec<&Fitting>> = Vec::new();
        for fitting in those {
            let same = |group: &&mut Vec<&Fitting>| {
                group.first().is_some_and(|first| {
                    (&first.reason, first.verdict, first.place, first.end)
                        == (&fitting.reason, fitting.verdict, fitting.place, fitting.end)
                })
            };
            match alike.iter_mut().find(same) {
                Some(group) => group.push(fitting),
                None => alike.push(vec![fitting]),
            }
        }
        alike
    }
}
