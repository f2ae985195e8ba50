//! The networks of cases, each made once, and the moments in which limits are held.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use solderside_circuit::Spread;
use solderside_lead::{Circuit, Leg, State};
use solderside_profile::Step;

use crate::cases::{Case, Moving, Order};
use crate::conditions::Condition;
use crate::script::Script;

/// So many are kept at a time: about 10 MB.
const MOST_KEPT: usize = 1024;

/// Makes and keeps the networks of one circuit, with what they know of themselves: several questions look at
/// the same cases.
pub(crate) struct Networks<'c> {
    of: Of<'c>,
    moving: &'c Moving,
    kept: RefCell<BTreeMap<Case, Rc<Spread>>>,
}

/// What the networks are made of.
enum Of<'c> {
    /// One circuit without a history.
    Circuit(&'c Circuit),
    /// A step of the machine's reading, by its place.
    Step(&'c Script<'c>, usize),
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

    /// The order in which cases are best split where a contact is asked for.
    pub(crate) fn order(&self, leg: Leg) -> Order {
        self.networks.order(leg)
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
        Self { of: Of::Circuit(circuit), moving, kept: RefCell::new(BTreeMap::new()) }
    }

    /// Those of a step, in which chips hold what the steps before it made them hold.
    pub(crate) fn of_step(script: &'c Script<'c>, at: usize, moving: &'c Moving) -> Self {
        Self { of: Of::Step(script, at), moving, kept: RefCell::new(BTreeMap::new()) }
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
        let network = match self.of {
            Of::Circuit(circuit) => Rc::new(circuit.in_states(&pressed, &either)),
            Of::Step(script, at) => script.network(at, &pressed, &either),
        };
        kept.insert(case.clone(), Rc::clone(&network));
        network
    }

    /// The network of a case without its undecided contacts and without outputs that are not known: what holds a
    /// line there holds it in every state of the case.
    pub(crate) fn held(&self, pressed: &State, either: &State) -> Spread {
        match self.of {
            Of::Circuit(circuit) => circuit.in_state(pressed),
            Of::Step(script, at) => script.held_network(at, pressed, either),
        }
    }

    /// The circuit that they are made of.
    pub(crate) fn circuit(&self) -> &'c Circuit {
        match self.of {
            Of::Circuit(circuit) => circuit,
            Of::Step(script, at) => script.circuit(at),
        }
    }

    /// The order in which cases are best split where a contact is asked for: by the controls that move it, the nearest
    /// first.
    pub(crate) fn order(&self, leg: Leg) -> Order {
        let circuit = self.circuit();
        self.moving.order(&circuit.node(leg).map_or(Vec::new(), |node| circuit.moved_by(node)))
    }

    /// Whether chips stand between the controls and the line.
    pub(crate) fn has_logic(&self) -> bool {
        match self.of {
            Of::Circuit(circuit) => !circuit.logic().is_empty(),
            Of::Step(script, _) => script.has_logic(),
        }
    }

    /// The controls whose positions they are about.
    pub(crate) fn moving(&self) -> &'c Moving {
        self.moving
    }
}
