//! What the machine does with a lead that has faults.

use std::collections::BTreeMap;

use solderside_lead::{State, Unbuilt};
use solderside_profile::Action;
use solderside_proof::answers;
use solderside_quantity::{Ohms, Triple};

use crate::bench::Bench;
use crate::build::Build;
use crate::fault::Fault;

/// What the machine takes each action for: active, not, or one or the other as tolerances have it.
pub type Deeds = BTreeMap<Action, Option<bool>>;

impl Bench<'_> {
    /// What the machine does while these controls are pressed, with these faults.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub fn deeds(&self, faults: &[Fault], pressed: &State) -> Result<Deeds, Unbuilt> {
        let mut build = self.good();
        for fault in faults {
            fault.make(self, &mut build);
        }
        self.deeds_of(&build, pressed)
    }

    pub(crate) fn deeds_of(&self, build: &Build, pressed: &State) -> Result<Deeds, Unbuilt> {
        // A weak joint is tried at both ends of its range: no reading turns back between them.
        let ends: &[fn(Triple<Ohms>) -> Ohms] =
            if build.has_weak_joints() { &[Triple::low, Triple::high] } else { &[Triple::typical] };
        let mut deeds: Option<Deeds> = None;
        for weak in ends {
            let mut now = Deeds::new();
            let assembly = build.assembly(self, weak);
            for (leg, read) in answers(&assembly, pressed)? {
                let Some(action) = read.action else { continue };
                let answer = if build.dead().contains(&leg.contact) { Some(false) } else { read.answer };
                let own = now.entry(action).or_insert(Some(false));
                *own = either(*own, answer);
            }
            deeds = Some(match deeds {
                None => now,
                Some(before) => before
                    .into_iter()
                    .map(|(action, own)| {
                        let other = now.get(&action).copied().flatten();
                        let both = own.filter(|own| other == Some(*own));
                        (action, both)
                    })
                    .collect(),
            });
        }
        Ok(deeds.unwrap_or_default())
    }
}

/// An action is active as soon as one of its samples is.
fn either(one: Option<bool>, other: Option<bool>) -> Option<bool> {
    match (one, other) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        (None, _) | (_, None) => None,
    }
}
