//! What was found of a network, kept for all that are written alike: the same lead is judged, proved and asked how far its
//! values may be off, and its networks come again and again.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use super::flow::NearSources;
use super::ranges::Ranges;
use super::regions::{Regions, fingerprint, write};
use super::{AmpsBound, Bound, Extreme, Spread, Survey};
use crate::network::{ElementId, Node};
use crate::solve::Unsolvable;

/// So many networks with diodes are kept at a time.
const MOST_KEPT: usize = 512;

thread_local! {
    static KNOWN: RefCell<Known> = RefCell::default();
}

/// A network as it is written, with what was found of it.
type Written = (Vec<u64>, Rc<Found>);

/// What is known of networks, by the fingerprints of what is written of them.
#[derive(Default)]
struct Known {
    networks: BTreeMap<u64, Vec<Written>>,
    count: usize,
}

/// What was found of one network so far.
#[derive(Debug, Clone, Default)]
pub(super) struct Found {
    /// Where its nodes are and what its diodes carry, found when first asked for.
    pub(super) survey: OnceCell<Survey>,
    /// What its diodes carry at most, by the bounds of their ends; found when the survey does not settle it.
    pub(super) closer: OnceCell<Vec<Option<f64>>>,
    /// Where its nodes are at most, found where the survey finds nothing.
    pub(super) bent: OnceCell<Option<Ranges>>,
    /// Where nodes near its sources stand, by what can flow there; found when first asked for.
    pub(super) near: OnceCell<Option<NearSources>>,
    /// What its sources were found to give and to take.
    pub(super) amps: RefCell<BTreeMap<(ElementId, Extreme), Result<AmpsBound, Unsolvable>>>,
    /// How it falls into parts of which none moves another.
    pub(super) regions: OnceCell<Option<Regions>>,
    /// What its nodes were bounded to.
    pub(super) bounds: RefCell<BTreeMap<(Node, Extreme), Result<Bound, Unsolvable>>>,
}

impl Found {
    /// What was found of a network that is written like this one. Of one without diodes nothing is kept but its regions.
    pub(super) fn of(spread: &Spread) -> Rc<Self> {
        if !spread.elements.iter().any(super::is_diode) {
            return Rc::default();
        }
        let mut written = vec![spread.nodes as u64];
        for element in &spread.elements {
            write(&mut written, element, super::ends(element).map(|node| [node.0 as u64, 0, 0]));
        }
        KNOWN.with_borrow_mut(|known| known.network(written))
    }

    /// What of a network still holds while one of its elements stands somewhere within its tolerance.
    pub(super) fn of_box(&self) -> Self {
        Self {
            survey: self.survey.clone(),
            closer: self.closer.clone(),
            bent: self.bent.clone(),
            near: self.near.clone(),
            ..Self::default()
        }
    }
}

impl Known {
    fn network(&mut self, written: Vec<u64>) -> Rc<Found> {
        let place = fingerprint(&written);
        let alike = self.networks.get(&place).into_iter().flatten();
        if let Some((_, found)) = alike.into_iter().find(|(known, _)| *known == written) {
            return Rc::clone(found);
        }
        if self.count >= MOST_KEPT {
            *self = Self::default();
        }
        let found = Rc::<Found>::default();
        self.networks.entry(place).or_default().push((written, Rc::clone(&found)));
        self.count += 1;
        found
    }
}
