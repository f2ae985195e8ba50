//! The networks of cases, each made once, and the moments in which limits are held.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use solderside_circuit::Spread;
use solderside_lead::Circuit;
use solderside_profile::Step;

use crate::cases::{Case, Moving};
use crate::conditions::Condition;

/// So many are kept at a time: about 10 MB.
const MOST_KEPT: usize = 1024;

/// Makes and keeps the networks of one circuit, with what they know of themselves: several questions look at
/// the same cases.
pub(crate) struct Networks<'c> {
    circuit: &'c Circuit,
    moving: &'c Moving,
    kept: RefCell<BTreeMap<Case, Rc<Spread>>>,
}

/// One moment under one condition, in which limits are held.
pub(crate) struct Moment<'c> {
    pub(crate) condition: &'c Condition,
    pub(crate) step: &'c Step,
    networks: Networks<'c>,
}

impl<'c> Moment<'c> {
    /// Takes the moment's circuit, made for limits.
    pub(crate) fn of(
        condition: &'c Condition,
        step: &'c Step,
        circuit: &'c Circuit,
        moving: &'c Moving,
    ) -> Self {
        Self { condition, step, networks: Networks::of(circuit, moving) }
    }

    /// The network of a case in this moment, in which limits are held.
    pub(crate) fn network(&self, case: &Case) -> Rc<Spread> {
        self.networks.network(case)
    }

    /// The circuit that its networks are made of.
    pub(crate) fn circuit(&self) -> &'c Circuit {
        self.networks.circuit()
    }

    /// The controls whose positions its networks are about.
    pub(crate) fn moving(&self) -> &'c Moving {
        self.networks.moving()
    }
}

impl<'c> Networks<'c> {
    pub(crate) fn of(circuit: &'c Circuit, moving: &'c Moving) -> Self {
        Self { circuit, moving, kept: RefCell::new(BTreeMap::new()) }
    }

    /// The network of a case, in which undecided controls are anything between closed and open.
    pub(crate) fn network(&self, case: &Case) -> Rc<Spread> {
        let mut kept = self.kept.borrow_mut();
        if let Some(network) = kept.get(case) {
            return Rc::clone(network);
        }
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        let [pressed, either] = self.moving.controls(case);
        let network = Rc::new(self.circuit.in_states(&pressed, &either));
        kept.insert(case.clone(), Rc::clone(&network));
        network
    }

    /// The circuit that they are made of.
    pub(crate) fn circuit(&self) -> &'c Circuit {
        self.circuit
    }

    /// The controls whose positions they are about.
    pub(crate) fn moving(&self) -> &'c Moving {
        self.moving
    }
}
