//! The machine's reading as circuits: one step after the other, with what chips hold from each to the next.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use solderside_circuit::Spread;
use solderside_circuit::logic::{Memo, Numbered, Settled, Settling, Unsettled};
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, Unbuilt};
use solderside_profile::{Level, Step};
use solderside_trade::ContactId;

/// So many runs are kept at a time.
const MOST_KEPT: usize = 256;

/// So many networks of a lead without chips are kept at a time.
const MOST_NETWORKS: usize = 1024;

/// The steps of a port with the circuit of each.
pub(crate) struct Script<'a> {
    steps: &'a [Step],
    /// The circuits that differ.
    circuits: Vec<Circuit>,
    /// For each step its circuit, and that of the moment in which its lines move; before the first step of a controller
    /// that counts from zero they may stand anyhow.
    moments: Vec<Moment>,
    runs: RefCell<BTreeMap<(State, State), Rc<Run>>>,
    /// The networks of a lead without chips, by the place of their circuit: many steps share one.
    plain: RefCell<BTreeMap<(usize, State, State), Rc<Spread>>>,
    oscillates_at: Cell<Option<usize>>,
}

#[derive(Clone, Copy)]
struct Moment {
    now: usize,
    moving: usize,
}

/// The steps of one run, in the states of one case.
pub(crate) struct Run {
    /// Each step with all chips settled.
    pub(crate) settled: Vec<Settled>,
}

/// What a step does to the lead.
type Signature = (BTreeMap<ContactId, Level>, Vec<ContactId>, BTreeSet<ContactId>);

impl<'a> Script<'a> {
    /// Lowers each step of the machine's reading.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element's.
    pub(crate) fn of(assembly: &'a Assembly) -> Result<Self, Unbuilt> {
        let mut known: Vec<Signature> = Vec::new();
        let mut circuits = Vec::new();
        let mut place = |step: &Step, moving: BTreeSet<ContactId>| -> Result<usize, Unbuilt> {
            let signature = signature(assembly, step, moving);
            if let Some(at) = known.iter().position(|known| *known == signature) {
                return Ok(at);
            }
            circuits.push(Circuit::while_moving(assembly, step, &signature.2, Purpose::Reading)?);
            known.push(signature);
            Ok(circuits.len() - 1)
        };
        let steps = &assembly.port.steps;
        let mut moments = Vec::new();
        for (at, step) in steps.iter().enumerate() {
            let now = place(step, BTreeSet::new())?;
            let before = at.checked_sub(1).and_then(|before| steps.get(before));
            let moved = match before {
                Some(before) => moved(assembly, before, step),
                None if assembly.forgetting().is_empty() => BTreeSet::new(),
                None => assembly.moved_by_port().collect(),
            };
            let moving = if moved.is_empty() { now } else { place(step, moved)? };
            moments.push(Moment { now, moving });
        }
        let (runs, plain) = (RefCell::default(), RefCell::default());
        Ok(Self { steps, circuits, moments, runs, plain, oscillates_at: Cell::new(None) })
    }

    /// The steps.
    pub(crate) fn steps(&self) -> impl Iterator<Item = (usize, &'a Step)> {
        self.steps.iter().enumerate()
    }

    /// Whether a step does and reads what an earlier one does, so that it says nothing new. Chips may hold something
    /// else by then.
    pub(crate) fn is_repeated(&self, assembly: &Assembly, at: usize) -> bool {
        let (now, port) = (&self.steps[at], &assembly.port);
        let is_same = |before: usize| {
            let step = &self.steps[before];
            self.moments[before].now == self.moments[at].now
                && step.quiet == now.quiet
                && port.samples(step) == port.samples(now)
        };
        !self.has_logic() && (0..at).any(is_same)
    }

    /// The place of a step.
    pub(crate) fn place_of(&self, step: &Step) -> Option<usize> {
        self.steps.iter().position(|own| own == step)
    }

    /// The circuit of a step.
    pub(crate) fn circuit(&self, at: usize) -> &Circuit {
        &self.circuits[self.moments[at].now]
    }

    /// The lines that move when a step begins, in a round of the whole reading: the last step comes before the first.
    pub(crate) fn moved_in(&self, assembly: &Assembly, at: usize) -> BTreeSet<ContactId> {
        let now = &self.steps[at];
        let before = at.checked_sub(1).map_or(self.steps.last(), |before| self.steps.get(before));
        let Some(before) = before else { return BTreeSet::new() };
        let mut moved = moved(assembly, before, now);
        let other = |one: &'a Step, other: &'a Step| {
            one.held.iter().filter(|action| !other.held.contains(action)).collect::<Vec<_>>()
        };
        let held = other(before, now).into_iter().chain(other(now, before));
        moved.extend(held.filter_map(|action| assembly.port.contact_of(action)));
        moved
    }

    /// The circuits that differ, each with the name of a step in which it stands.
    pub(crate) fn distinct(&self) -> impl Iterator<Item = (&'a str, &Circuit)> {
        self.circuits.iter().enumerate().filter_map(|(place, circuit)| {
            let at = self.moments.iter().position(|moment| moment.now == place)?;
            Some((self.steps[at].name.as_str(), circuit))
        })
    }

    /// The first step in which clocks were seen to move each other without end.
    pub(crate) fn oscillates_at(&self) -> Option<usize> {
        self.oscillates_at.get()
    }

    /// Whether chips stand between the controls and the machine.
    pub(crate) fn has_logic(&self) -> bool {
        self.circuits.iter().any(|circuit| !circuit.logic().is_empty())
    }

    /// The network of a step in the states of a case, with the chips' outputs as they are there.
    pub(crate) fn network(&self, at: usize, pressed: &State, either: &State) -> Rc<Spread> {
        if self.has_logic() {
            Rc::clone(&self.run(pressed, either).settled[at].network)
        } else {
            self.plain(at, pressed, either)
        }
    }

    fn plain(&self, at: usize, pressed: &State, either: &State) -> Rc<Spread> {
        let key = (self.moments[at].now, pressed.clone(), either.clone());
        let mut plain = self.plain.borrow_mut();
        if plain.len() >= MOST_NETWORKS && !plain.contains_key(&key) {
            plain.clear();
        }
        let anew = || Rc::new(self.circuit(at).in_states(pressed, either));
        Rc::clone(plain.entry(key).or_insert_with(anew))
    }

    /// The network of a step in these states, held only by what is certain to hold it: all undecided contacts open,
    /// and no output that is not known.
    pub(crate) fn held_network(&self, at: usize, pressed: &State, either: &State) -> Spread {
        let circuit = self.circuit(at);
        let network = circuit.in_state(pressed);
        if !self.has_logic() {
            return network;
        }
        circuit.with_known_outputs(&network, &self.run(pressed, either).settled[at])
    }

    /// All steps of a case.
    pub(crate) fn run(&self, pressed: &State, either: &State) -> Rc<Run> {
        let key = (pressed.clone(), either.clone());
        if let Some(run) = self.runs.borrow().get(&key) {
            return Rc::clone(run);
        }
        let run = Rc::new(self.run_anew(pressed, either));
        let mut runs = self.runs.borrow_mut();
        if runs.len() >= MOST_KEPT {
            runs.clear();
        }
        runs.insert(key, Rc::clone(&run));
        run
    }

    fn run_anew(&self, pressed: &State, either: &State) -> Run {
        let networks: Vec<Spread> =
            self.circuits.iter().map(|circuit| circuit.in_states(pressed, either)).collect();
        let numbered = |number: usize| Numbered { number, network: &networks[number] };
        let mut memo = Memo::default();
        let mut run = Run { settled: Vec::with_capacity(self.moments.len()) };
        for (at, moment) in self.moments.iter().enumerate() {
            let logic = self.circuits[moment.now].logic();
            let moved = Settling { now: numbered(moment.now), moving: numbered(moment.moving) };
            let settled = match run.settled.last() {
                None => logic.begin(moved, &mut memo),
                Some(before) => logic.next(before, moved, &mut memo),
            };
            let settled = settled.unwrap_or_else(|why| {
                if matches!(why, Unsettled::Oscillates(_)) {
                    self.oscillates_at.set(self.oscillates_at.get().or(Some(at)));
                }
                logic.nothing_known(&networks[moment.now])
            });
            run.settled.push(settled);
        }
        run
    }
}

fn signature(assembly: &Assembly, step: &Step, moving: BTreeSet<ContactId>) -> Signature {
    let drives =
        step.drives.iter().filter(|(id, level)| **level != Level::Released && is_joined(assembly, **id));
    let held = step.held.iter().filter_map(|action| assembly.port.contact_of(action)).collect();
    (drives.map(|(id, level)| (*id, *level)).collect(), held, moving)
}

/// The lines that the machine moves from one step to the next.
fn moved(assembly: &Assembly, before: &Step, now: &Step) -> BTreeSet<ContactId> {
    let level = |step: &Step, id: &ContactId| step.drives.get(id).copied().unwrap_or(Level::Released);
    let driven = before.drives.keys().chain(now.drives.keys());
    driven.filter(|id| level(before, id) != level(now, id) && is_joined(assembly, **id)).copied().collect()
}

fn is_joined(assembly: &Assembly, id: ContactId) -> bool {
    assembly.lead.joined(Leg::port(id)).next().is_some()
}
