//! Where transistors stand, by what the circuit for limits says of it.

use std::collections::BTreeSet;

use solderside_circuit::{ElementId, Extreme, Node, Uncertain};
use solderside_profile::PartId;
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{ContactId, TransistorKind};

use super::super::Circuit;
use super::super::chips::A_WIRE;
use super::Transistor;
use crate::state::State;

/// So far a collector may stand on the wrong side of its emitter, as two wires to one return make it. That doubles what
/// base and collector carry between them. As a base takes a third of what its collector would carry backwards at most
/// (assumed, no source), it takes no more than the law that conducts most, which is that of a whole emitter.
pub(super) const ASTRAY: Volts = Volts::literal(0.02);

/// No wire to a return or a supply moves by more than this, the supply's own tolerance included.
const MOST_SWAY: Volts = Volts::literal(1.5);

/// A transistor that stands as its sheet tests it.
pub(super) struct Stand {
    /// Where its emitter is.
    pub(super) emitter: [Volts; 2],
    /// The most that its collector can ever carry; none where nothing bounds it.
    pub(super) most: Option<Amps>,
}

impl Circuit {
    /// Whether a transistor stands as its sheet tests it, in a circuit for limits: asked with the legs that serve as
    /// its emitter and its collector.
    pub(super) fn stand(
        &self,
        transistor: &Transistor,
        [emitter, collector]: [ContactId; 2],
    ) -> Option<Stand> {
        let every: State = self.switches.iter().map(|switch| switch.control.clone()).collect();
        let mut network = self.in_states(&State::new(), &every);
        let node = |contact| self.node(transistor.leg(contact));
        let (emitter, far) = (node(emitter)?, node(collector)?);
        let [low, high] =
            if emitter == Node::GROUND { [Volts::ZERO; 2] } else { network.near_a_source(emitter)? };
        if high - low > MOST_SWAY {
            return None;
        }
        let forth = match transistor.part.kind() {
            TransistorKind::Npn | TransistorKind::NChannel => Extreme::Highest,
            TransistorKind::Pnp => Extreme::Lowest,
        };
        let switch =
            self.rated(transistor.leg(PartId::COLLECTOR), &State::new(), &State::new()).first().copied();
        let most = switch.map_or(Some(Amps::ZERO), |switch| network.flow_through(switch, forth));
        // Hold the emitter where the collector is most likely beyond it. From there on both move together, or the
        // collector less.
        let (at, worst) = match transistor.part.kind() {
            TransistorKind::Npn | TransistorKind::NChannel => (high, Extreme::Lowest),
            TransistorKind::Pnp => (low, Extreme::Highest),
        };
        if emitter != Node::GROUND && emitter != far {
            let (volts, ohms) = (Triple::exactly(at), Triple::exactly(Ohms::ZERO));
            network.add(Uncertain::Source { node: emitter, volts, ohms }).ok()?;
        }
        let [lowest, highest] = network.near_a_source(far)?;
        let reaches = if emitter == far { Some(at) } else { network.bound(far, worst).ok()?.guaranteed };
        let astray = match worst {
            Extreme::Lowest => at - reaches.unwrap_or(lowest).max(lowest),
            Extreme::Highest => reaches.unwrap_or(highest).min(highest) - at,
        };
        (astray <= ASTRAY).then_some(Stand { emitter: [low, high], most })
    }

    /// The one source that a node is a wire or two from, if there is one.
    pub(super) fn supply_of(&self, node: Node) -> Option<(ElementId, Node, Triple<Volts>, Triple<Ohms>)> {
        let mut near = BTreeSet::from([node]);
        for _ in 0..2 {
            let wires = self.network.elements().iter().filter_map(|element| match *element {
                Uncertain::Resistor { a, b, ohms } if ohms.high() <= A_WIRE => Some([a, b]),
                Uncertain::Resistor { .. }
                | Uncertain::Source { .. }
                | Uncertain::Current { .. }
                | Uncertain::Diode { .. }
                | Uncertain::Sink { .. } => None,
            });
            let reached: Vec<Node> =
                wires.filter(|wire| wire.iter().any(|end| near.contains(end))).flatten().collect();
            near.extend(reached);
        }
        let mut sources =
            self.network.elements().iter().enumerate().filter_map(|(at, element)| match *element {
                Uncertain::Source { node, volts, ohms } if near.contains(&node) && ohms.high() <= A_WIRE => {
                    Some((ElementId::at(at), node, volts, ohms))
                }
                Uncertain::Source { .. }
                | Uncertain::Resistor { .. }
                | Uncertain::Current { .. }
                | Uncertain::Diode { .. }
                | Uncertain::Sink { .. } => None,
            });
        let first = sources.next()?;
        (!near.contains(&Node::GROUND) && sources.next().is_none()).then_some(first)
    }
}
