//! An axis' contact with everything that is joined to it and the machine's own input taken off: what the capacitor sees.

use solderside_circuit::{ElementId, Equivalent, Node, Spread, Uncertain};
use solderside_lead::{Assembly, Circuit, Leg, State};
use solderside_profile::Ramp;
use solderside_quantity::{Amps, Farads, Ohms, Quantity, Triple, Volts};

use super::Joined;
use crate::cases::Moving;
use crate::script::Script;
use crate::settling::charged::Charged;

/// So many networks are looked at: of each step, and of each way in which chips that controls move can stand.
const MOST_NETWORKS: usize = 256;

/// A feed that is not the rail's own is cut into so many pieces: within one, it is the same for all positions.
const PIECES: usize = 16;

/// What hangs on the line beside what the machine charges may be so large a share of that: so much is as empty as it gets,
/// through the machine's own resistance, within the time of a stick at its stop. More might still be charged when the
/// machine begins to measure.
const MOST_BESIDE: f64 = 0.5;

/// The networks round one axis.
pub(super) struct Bench {
    networks: Vec<Round>,
    /// What the cable and the plugs add to what is charged.
    pub(super) beside: Farads,
    /// A source of the machine round the axis that is not the rail, with its range as a share of the rail.
    feed: Option<(Leg, [f64; 2])>,
    rail: Triple<Volts>,
}

struct Round {
    network: Spread,
    node: Node,
    /// The pot, where one moves the axis.
    pot: Option<ElementId>,
    feed: Option<ElementId>,
    /// Whether all voltages are those at the typical rail; else they are as they are.
    at_typical_rail: bool,
}

/// Why nothing bounds an axis.
pub(super) enum Unbounded {
    /// Nothing holds its contact.
    Floats,
    /// A capacitor of the lead hangs on the line.
    Capacitor(Farads),
    /// Chips that controls move can stand in too many ways.
    TooMany,
}

impl Bench {
    pub(super) fn of(
        assembly: &Assembly,
        script: &Script<'_>,
        moving: &Moving,
        joined: &Joined<'_>,
    ) -> Result<Self, Unbounded> {
        let mut bench = Self::bare(assembly);
        let mut seen: Vec<*const Circuit> = Vec::new();
        for (at, _) in script.steps() {
            let circuit = script.circuit(at);
            let is_new = !seen.contains(&std::ptr::from_ref(circuit));
            // Without chips a circuit has no history: once is enough.
            if !is_new && !script.has_logic() {
                continue;
            }
            seen.push(std::ptr::from_ref(circuit));
            let own = Own::of(circuit, joined.leg, Some(joined.at)).filter(|own| own.pot.is_some());
            let Some(own) = own else { return Err(Unbounded::Floats) };
            bench.beside = bench.beside.max(beside(assembly, circuit, joined.leg));
            for base in moving.without_chips(circuit) {
                let [pressed, either] = moving.controls(&base);
                bench.look(assembly, script, at, &own, [&pressed, &either])?;
            }
        }
        bench.if_light(joined.ramp)
    }

    /// The networks round an axis that controls move, in these cases: which controls are pressed, and which are either.
    pub(super) fn in_cases(
        assembly: &Assembly,
        script: &Script<'_>,
        (leg, ramp): (Leg, Ramp),
        cases: &[[State; 2]],
    ) -> Result<Self, Unbounded> {
        let mut bench = Self::bare(assembly);
        for (at, _) in script.steps() {
            let circuit = script.circuit(at);
            let Some(own) = Own::of(circuit, leg, None) else { return Err(Unbounded::Floats) };
            bench.beside = bench.beside.max(beside(assembly, circuit, leg));
            for [pressed, either] in cases {
                bench.look(assembly, script, at, &own, [pressed, either])?;
            }
        }
        bench.if_light(ramp)
    }

    fn bare(assembly: &Assembly) -> Self {
        Self { networks: Vec::new(), beside: Farads::ZERO, feed: None, rail: assembly.port.rail }
    }

    /// Takes the network of a step in a case.
    fn look(
        &mut self,
        assembly: &Assembly,
        script: &Script<'_>,
        at: usize,
        own: &Own,
        [pressed, either]: [&State; 2],
    ) -> Result<(), Unbounded> {
        if self.networks.len() >= MOST_NETWORKS {
            return Err(Unbounded::TooMany);
        }
        let held = own.taken_off(&script.held_network(at, pressed, either));
        if !held.is_some_and(|held| held.is_held(own.node)) {
            return Err(Unbounded::Floats);
        }
        let network = own.taken_off(&script.network(at, pressed, either));
        self.take(assembly, script.circuit(at), own, network.ok_or(Unbounded::Floats)?);
        Ok(())
    }

    /// Itself, unless so much hangs on the line that it may not be empty when the machine begins.
    fn if_light(self, ramp: Ramp) -> Result<Self, Unbounded> {
        if self.beside.get() > ramp.farads.low().get() * MOST_BESIDE {
            return Err(Unbounded::Capacitor(self.beside));
        }
        Ok(self)
    }

    fn take(&mut self, assembly: &Assembly, circuit: &Circuit, own: &Own, network: Spread) {
        let rail = self.rail;
        let at_typical_rail = network.is_straight_round(own.node);
        let network = if at_typical_rail { at_rail(&network, rail) } else { network };
        let round = network.round(own.node);
        let own_voltage = |(id, contact): (&_, &solderside_profile::PortContact)| {
            let leg = Leg::port(*id);
            let volts = contact.voltage()?.volts;
            let is_round = circuit.node(leg).is_some_and(|node| round.contains(&node));
            (is_round && volts != rail).then_some((leg, volts))
        };
        // Of several the first: the others stay as wide as they are.
        let feed = assembly.port.contacts.iter().find_map(own_voltage).filter(|_| at_typical_rail);
        let id = feed.and_then(|(leg, _)| circuit.sources(leg).first().copied());
        self.feed = self.feed.or(feed.map(|(leg, volts)| {
            (leg, [volts.low().get() / rail.high().get(), volts.high().get() / rail.low().get()])
        }));
        self.networks.push(Round { network, node: own.node, pot: own.pot, feed: id, at_typical_rail });
    }

    /// In how many pieces the feed is looked at.
    pub(super) fn pieces(&self) -> usize {
        if self.feed.is_some() { PIECES } else { 1 }
    }

    /// What the capacitor sees with the pot at so many ohms, whatever else does, in one piece of the feed. Voltages are
    /// shares of the rail.
    pub(super) fn seen(&self, pot: Option<Triple<Ohms>>, piece: usize) -> Option<Equivalent> {
        let mut all: Option<Equivalent> = None;
        for round in &self.networks {
            let own = self.seen_in(round, pot, piece)?;
            all = Some(all.map_or(own, |all| Equivalent {
                open: [all.open[0].min(own.open[0]), all.open[1].max(own.open[1])],
                ohms: [all.ohms[0].min(own.ohms[0]), all.ohms[1].max(own.ohms[1])],
            }));
        }
        all
    }

    fn seen_in(&self, round: &Round, pot: Option<Triple<Ohms>>, piece: usize) -> Option<Equivalent> {
        let fed = self.feed.map(|(_, range)| self.piece(range, piece));
        let network = round.network.with_each(|id, element| match *element {
            Uncertain::Resistor { a, b, ohms } if Some(id) == round.pot => {
                Uncertain::Resistor { a, b, ohms: pot.unwrap_or(ohms) }
            }
            Uncertain::Source { node, volts, ohms } if Some(id) == round.feed => {
                Uncertain::Source { node, volts: fed.unwrap_or(volts), ohms }
            }
            Uncertain::Resistor { .. }
            | Uncertain::Source { .. }
            | Uncertain::Current { .. }
            | Uncertain::Diode { .. }
            | Uncertain::Sink { .. } => *element,
        });
        let Equivalent { open: [low, high], ohms } = network.ok()?.equivalent(round.node)?;
        let [least, most] = if round.at_typical_rail {
            [self.rail.typical(); 2]
        } else {
            [self.rail.high(), self.rail.low()]
        };
        let share = |volts: Volts, rail: Volts| Volts::new(volts.get() / rail.get()).ok();
        Some(Equivalent { open: [share(low, least)?, share(high, most)?], ohms })
    }

    /// One piece of a range of shares, as volts at the typical rail.
    fn piece(&self, [low, high]: [f64; 2], piece: usize) -> Triple<Volts> {
        let edge = |at: usize| {
            let share = low + (high - low) * in_units(at) / in_units(PIECES);
            Volts::new(share * self.rail.typical().get()).unwrap_or(self.rail.typical())
        };
        let [low, high] = [edge(piece), edge(piece + 1)];
        Triple::new(low, low, high).unwrap_or(Triple::exactly(high))
    }
}

/// Where the axis is in a circuit.
pub(super) struct Own {
    pub(super) node: Node,
    pub(super) pot: Option<ElementId>,
    inputs: Vec<ElementId>,
}

impl Own {
    /// The axis at a contact, and the pot at another.
    pub(super) fn of(circuit: &Circuit, leg: Leg, pot: Option<Leg>) -> Option<Self> {
        let inputs = circuit.sources(leg).to_vec();
        Some(Self { node: circuit.node(leg)?, pot: pot.and_then(|at| circuit.pot(at)), inputs })
    }

    /// A network with nothing in the place of the axis' own input.
    pub(super) fn taken_off(&self, network: &Spread) -> Option<Spread> {
        let nothing = Triple::exactly(Amps::ZERO);
        let change = |id, element: &Uncertain| {
            if self.inputs.contains(&id) {
                Uncertain::Current { a: Node::GROUND, b: self.node, amps: nothing }
            } else {
                *element
            }
        };
        network.with_each(change).ok()
    }
}

/// The network at the typical rail. In a network of resistances all voltages rise and fall together, so their shares of the
/// rail are the same at every rail, if what is not the rail's own is widened by how the rail may differ.
fn at_rail(network: &Spread, rail: Triple<Volts>) -> Spread {
    let typical = rail.typical().get();
    let [least, most] = [typical / rail.high().get(), typical / rail.low().get()];
    let widened = |low: f64, high: f64| {
        let low = if low < 0.0 { low * most } else { low * least };
        let high = if high < 0.0 { high * least } else { high * most };
        [low, high]
    };
    let changed = network.with_each(|_, element| match *element {
        Uncertain::Source { node, volts, ohms } if volts == rail => {
            Uncertain::Source { node, volts: Triple::exactly(rail.typical()), ohms }
        }
        Uncertain::Source { node, volts, ohms } => {
            let [low, high] = widened(volts.low().get(), volts.high().get());
            Uncertain::Source { node, volts: between(low, high).unwrap_or(volts), ohms }
        }
        Uncertain::Current { a, b, amps } => {
            let [low, high] = widened(amps.low().get(), amps.high().get());
            Uncertain::Current { a, b, amps: between(low, high).unwrap_or(amps) }
        }
        Uncertain::Resistor { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => *element,
    });
    changed.unwrap_or_else(|_| network.clone())
}

fn between<T: Quantity>(low: f64, high: f64) -> Option<Triple<T>> {
    let [low, high] = [T::new(low).ok()?, T::new(high).ok()?];
    Triple::new(low, low, high).ok()
}

/// What the cable, the plugs and the parts on an axis' line hold.
fn beside(assembly: &Assembly, circuit: &Circuit, leg: Leg) -> Farads {
    let charged = Charged::of(assembly, circuit);
    let mut nodes: Vec<Node> =
        assembly.lead.reach(leg).into_iter().filter_map(|leg| circuit.node(leg)).collect();
    nodes.sort_unstable();
    nodes.dedup();
    let farads = nodes.iter().filter_map(|node| charged.at.get(node));
    farads.map(|farads| farads.high()).sum()
}

/// A small count as a number.
pub(super) fn in_units(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
