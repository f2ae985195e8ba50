//! One line: how long it takes from where it may stand to where it is read for certain.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use solderside_circuit::logic::{Drive, Instead, Thresholds};
use solderside_circuit::{Extreme, Node, Spread};
use solderside_lead::{Assembly, Circuit, State, Surroundings};
use solderside_profile::Control;
use solderside_quantity::{Farads, Ohms, Seconds, Triple, Volts};

use super::charged::Charged;
use crate::cases::Moving;
use crate::readings::TO_SPARE;
use crate::script::Script;
use crate::voltages::{highest_source, lowest_source};

/// So many switches round one line are tried in every combination.
const MOST_SWITCHES: usize = 8;

/// So many combinations of outputs and switches are tried.
const MOST_TRIED: usize = 1024;

/// Which values count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Values {
    Worst,
    Typical,
}

/// What reads a line.
#[derive(Debug, Clone)]
pub(crate) struct Reader {
    pub(crate) node: Node,
    pub(crate) guaranteed: Thresholds,
    pub(crate) typical: Thresholds,
    /// What a line stands beyond the guaranteed thresholds at rest; a transistor asks for nothing beyond its own.
    pub(crate) spare: Volts,
    /// What it asks of the network in the place of some of its elements.
    pub(crate) instead: Vec<Instead>,
}

/// How long a line takes.
#[derive(Debug, Clone)]
pub(crate) enum Takes {
    /// So long.
    Seconds(Slow),
    /// It comes to no level, which others tell.
    NoLevel,
    /// Nobody knows.
    Open,
}

/// The slowest of all combinations.
#[derive(Debug, Clone)]
pub(crate) struct Slow {
    pub(crate) seconds: Seconds,
    network: Rc<Spread>,
    pressed: State,
}

/// The lines of one step.
pub(crate) struct Lines<'l> {
    pub(crate) assembly: &'l Assembly,
    pub(crate) script: &'l Script<'l>,
    pub(crate) at: usize,
    pub(crate) circuit: &'l Circuit,
    pub(crate) charged: Charged,
    moving: &'l Moving,
    values: Values,
    round: RefCell<BTreeMap<Node, Rc<Surroundings>>>,
}

impl<'l> Lines<'l> {
    pub(crate) fn of(
        assembly: &'l Assembly,
        script: &'l Script<'l>,
        at: usize,
        moving: &'l Moving,
        values: Values,
    ) -> Self {
        let circuit = script.circuit(at);
        let charged = Charged::of(assembly, circuit);
        Self { assembly, script, at, circuit, charged, moving, values, round: RefCell::default() }
    }

    /// What lies round a node.
    pub(crate) fn round(&self, node: Node) -> Rc<Surroundings> {
        let mut round = self.round.borrow_mut();
        Rc::clone(round.entry(node).or_insert_with(|| Rc::new(self.circuit.surroundings(node))))
    }

    /// How long a line takes, whatever the switches and the outputs round it do.
    pub(crate) fn takes(&self, reader: &Reader) -> Takes {
        let round = self.round(reader.node);
        let controls: Vec<&Control> = round.controls.iter().collect();
        if controls.len() > MOST_SWITCHES {
            return self.takes_in_any_state(reader);
        }
        let mut slowest: Option<Slow> = None;
        let mut tried = 0;
        for combination in 0..1_usize << controls.len() {
            let pressed = controls.iter().enumerate().filter(|(at, _)| combination >> at & 1 == 1);
            let pressed: State = pressed.map(|(_, control)| (*control).clone()).collect();
            let released: State = round.controls.difference(&pressed).cloned().collect();
            let Some(all) = self.drives(&pressed, &round) else { return Takes::Open };
            for drives in all {
                tried += 1;
                if tried > MOST_TRIED {
                    return Takes::Open;
                }
                let network = self.circuit.with_drives(&pressed, &released, &drives);
                match self.takes_in(reader, network, &pressed) {
                    Takes::Seconds(slow) => {
                        if slowest.as_ref().is_none_or(|so_far| slow.seconds > so_far.seconds) {
                            slowest = Some(slow);
                        }
                    }
                    Takes::NoLevel => {}
                    Takes::Open => return Takes::Open,
                }
            }
        }
        slowest.map_or(Takes::NoLevel, Takes::Seconds)
    }

    /// What the outputs round a line can do together while these controls are pressed, those that are certain then
    /// in one way only.
    fn drives(&self, pressed: &State, round: &Surroundings) -> Option<Vec<Vec<(usize, Drive)>>> {
        let mut found = vec![Vec::new()];
        if round.outputs.is_empty() {
            return Some(found);
        }
        let others = self.moving.all_pressed(&self.moving.whole());
        let either: State = others.into_iter().filter(|control| !round.controls.contains(control)).collect();
        // Only contacts can be undecided.
        let certain = either.iter().all(|control| self.circuit.is_contact(control));
        let run = certain.then(|| self.script.run(pressed, &either));
        let settled = run.as_ref().and_then(|run| run.settled.get(self.at));
        for output in &round.outputs {
            let certain = settled.and_then(|settled| settled.drives.get(*output)).copied();
            let drives = match certain {
                Some(drive @ (Drive::Low | Drive::High | Drive::Off)) => vec![drive],
                Some(Drive::Unknown) | None => self.circuit.drives_of(*output),
            };
            found = found
                .into_iter()
                .flat_map(|so_far: Vec<(usize, Drive)>| {
                    drives
                        .iter()
                        .map(move |drive| so_far.iter().copied().chain([(*output, *drive)]).collect())
                })
                .collect();
            if found.len() > MOST_TRIED {
                return None;
            }
        }
        Some(found)
    }

    fn takes_in(&self, reader: &Reader, network: Spread, pressed: &State) -> Takes {
        let network = if reader.instead.is_empty() {
            network
        } else {
            network.replaced(reader.instead.iter().map(|instead| (instead.element, instead.by)))
        };
        let worst = |network: &Spread, extreme| network.bound(reader.node, extreme).ok()?.guaranteed;
        let ways = [(reader.guaranteed, reader.spare), (reader.typical, Volts::ZERO)];
        let (Some(low), Some(high)) = (worst(&network, Extreme::Lowest), worst(&network, Extreme::Highest))
        else {
            return Takes::NoLevel;
        };
        // What only a typical part reads is told elsewhere; it is at least read in time by that part.
        let found =
            ways.into_iter().zip([self.values, Values::Typical]).find_map(|((thresholds, spare), values)| {
                let is_low = high <= thresholds.low - spare;
                (is_low || low >= thresholds.high + spare).then_some((is_low, values))
            });
        let Some((is_low, values)) = found else { return Takes::NoLevel };
        let (network, thresholds) = match values {
            Values::Worst => (network, reader.guaranteed),
            Values::Typical => (network.without_tolerance(), reader.typical),
        };
        // Where it rests, in a network that brings it there no sooner.
        let extreme = if is_low { Extreme::Highest } else { Extreme::Lowest };
        let network = network.straightened(extreme);
        let Some(rest) = worst(&network, extreme) else { return Takes::Open };
        let near = if is_low { thresholds.low - rest } else { rest - thresholds.high };
        self.settles(reader.node, network, near, values, pressed)
    }

    /// The time for a line with many switches round it, which is at its level as soon as it is as near to its rest as every
    /// level has to spare.
    fn takes_in_any_state(&self, reader: &Reader) -> Takes {
        let either = self.moving.all_pressed(&self.moving.whole());
        // What rests at its very threshold comes to it in no time that anybody knows.
        if reader.spare < TO_SPARE || !either.iter().all(|control| self.circuit.is_contact(control)) {
            return Takes::Open;
        }
        let network = self.script.network(self.at, &State::new(), &either);
        let network = match self.values {
            Values::Worst => Spread::clone(&network),
            Values::Typical => network.without_tolerance(),
        };
        // One bound for all states is far above what any of them needs: if it does not do, nothing is known.
        let hold = self.script.steps().nth(self.at).and_then(|(_, step)| step.hold);
        match self.settles(reader.node, network, TO_SPARE, self.values, &State::new()) {
            Takes::Seconds(slow) if hold.is_none_or(|hold| slow.seconds > hold.low()) => Takes::Open,
            takes @ (Takes::Seconds(_) | Takes::NoLevel | Takes::Open) => takes,
        }
    }

    fn settles(&self, node: Node, network: Spread, near: Volts, values: Values, pressed: &State) -> Takes {
        let swing = highest_source(self.assembly) - lowest_source(self.assembly);
        let farads = self.farads(node, values);
        match network.settling(node, &farads, swing, near) {
            Some(settling) => {
                let (network, pressed) = (Rc::new(network), pressed.clone());
                Takes::Seconds(Slow { seconds: settling.within, network, pressed })
            }
            None => Takes::Open,
        }
    }

    /// What is charged together with a line: nothing beyond a rail, or what is wired to one.
    fn farads(&self, node: Node, values: Values) -> BTreeMap<Node, Triple<Farads>> {
        let round = self.round(node);
        let near = self.charged.at.iter().filter(|(at, _)| round.nodes.contains(at));
        near.map(|(at, farads)| match values {
            Values::Worst => (*at, *farads),
            Values::Typical => (*at, Triple::exactly(farads.typical())),
        })
        .collect()
    }

    /// What makes a line slow, in words: its resistance, its capacitance, and the greatest share of that.
    pub(crate) fn told(&self, node: Node, slow: &Slow) -> Option<String> {
        let ohms = slow.network.most_ohms(node)?;
        let round = self.round(node);
        let mut shares: BTreeMap<&str, Farads> = BTreeMap::new();
        for (_, farads, what) in self.charged.each.iter().filter(|(at, ..)| round.nodes.contains(at)) {
            let share = shares.entry(what).or_insert(Farads::ZERO);
            *share = *share + *farads;
        }
        let all: Farads = shares.values().copied().sum();
        let (what, most) = shares.iter().max_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
        let behind = self.resists(node, slow, ohms).map_or(String::new(), |what| format!(" ({what})"));
        Some(format!("up to {ohms}{behind} charge up to {all}, {most} of it {what}"))
    }

    /// The element that makes the resistance of a line.
    fn resists(&self, node: Node, slow: &Slow, ohms: Ohms) -> Option<String> {
        let eased = slow.network.eased().filter_map(|(id, eased)| Some((eased.most_ohms(node)?, id)));
        let (left, id) = eased.min_by(|a, b| a.0.get().total_cmp(&b.0.get()))?;
        if left.get() > ohms.get() / 2.0 {
            return None;
        }
        let label = self.circuit.label(id, &slow.pressed);
        Some(label.map_or("a chip's output".to_owned(), |label| format!("{} of `{}`", label.what, label.leg)))
    }
}
