//! What flows through an element between two nodes of which neither need stand still.
//!
//! Hold one of its ends at the voltage that no operating point passes there. What flows then depends on the
//! other end alone, whose extreme is that of one more network: the element conducts most there, as the more
//! a passive element conducts the more flows through it, and the further its held end is driven the more
//! flows too. Either end may be the one that is held, and the closer bound of the two counts.

use solderside_quantity::{Amps, Ohms, Triple, Volts};

use super::elements::{chosen, ends, laws, typical};
use super::{AmpsBound, Extreme, Spread, Uncertain};
use crate::network::{Element, ElementId, Network, Node};
use crate::solve::Unsolvable;

const UNKNOWN: AmpsBound = AmpsBound { attained: None, guaranteed: None };

impl Spread {
    /// Bounds the current through a resistor, a diode or an output that can only sink: from `a` to `b`, from anode
    /// to cathode, from the output to where it sinks (`Highest`), or the other way (`Lowest`, then below zero). Zero
    /// where it never flows that way, and for any other element; [`Spread::source_amps`] is for sources.
    ///
    /// Where it never passes the size `enough` no more is found out: neither how much less it is nor what occurs.
    ///
    /// # Errors
    /// As [`Spread::bound`].
    pub fn amps_through(
        &self,
        id: ElementId,
        extreme: Extreme,
        enough: Amps,
    ) -> Result<AmpsBound, Unsolvable> {
        let Some((element, [_, most])) =
            self.elements.get(id.0).and_then(|element| Some((*element, laws(element)?)))
        else {
            return Ok(AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) });
        };
        if matches!(element, Uncertain::Source { .. }) {
            return Ok(AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) });
        }
        // What flows rises with the first end and falls with the second, or the other way round.
        let [first, second] = ends(&element);
        let opposite = match extreme {
            Extreme::Highest => Extreme::Lowest,
            Extreme::Lowest => Extreme::Highest,
        };
        let this_way = |amps: Amps| match extreme {
            Extreme::Highest => amps.max(Amps::ZERO),
            Extreme::Lowest => amps.min(Amps::ZERO),
        };
        // What flows the other way is least where the element conducts least: that is not asked.
        let flows = |from: Volts, to: Volts| Amps::new(most.at((from - to).get()).0).map(this_way);
        let is_enough = |amps: Amps| amps.max(-amps) <= enough;
        // The rough ranges of both ends may do.
        if let Some((from, to)) = self.roughly_at(first, extreme).zip(self.roughly_at(second, opposite)) {
            let amps = flows(from, to)?;
            if is_enough(amps) {
                return Ok(AmpsBound { attained: None, guaranteed: Some(amps) });
            }
        }
        let mut found = UNKNOWN;
        let mut points: Vec<Vec<(ElementId, Element)>> = vec![Vec::new()];
        for (held, side, other, wanted) in
            [(first, extreme, second, opposite), (second, opposite, first, extreme)]
        {
            let Some(at) = self.bound(held, side)?.guaranteed else { continue };
            let network = self.held_at(held, at, id);
            let Some(reaches) = network.bound(other, wanted)?.guaranteed else { continue };
            let amps = if held == first { flows(at, reaches) } else { flows(reaches, at) }?;
            let closer = |so_far: Amps| match extreme {
                Extreme::Highest => so_far.min(amps),
                Extreme::Lowest => so_far.max(amps),
            };
            found.guaranteed = Some(found.guaranteed.map_or(amps, closer));
            if is_enough(amps) {
                return Ok(found);
            }
            points.extend(self.corner(held, side));
            points.extend(network.corner(other, wanted));
        }
        // Whatever these points are, they lie within the box: what flows there does occur.
        for point in points {
            for conducts_most in [true, false] {
                let own = (id, chosen(&element, conducts_most, extreme));
                let Some(amps) = self.flowing_at(&point, own).map(this_way) else { continue };
                let further = |so_far: Amps| match extreme {
                    Extreme::Highest => so_far.max(amps),
                    Extreme::Lowest => so_far.min(amps),
                };
                found.attained = Some(found.attained.map_or(amps, further));
            }
        }
        Ok(found)
    }

    /// One end of a node's rough range.
    fn roughly_at(&self, node: Node, extreme: Extreme) -> Option<Volts> {
        self.roughly(node).map(|[low, high]| if extreme == Extreme::Highest { high } else { low })
    }

    /// Whether anything leads from an element to a known voltage. Through one that floats nothing flows.
    pub fn is_fed(&self, id: ElementId) -> bool {
        let is_held = |node: Node| node == Node::GROUND || self.is_held(node);
        self.elements.get(id.0).is_some_and(|element| ends(element).into_iter().any(is_held))
    }

    /// The network with a node held, and an element at its most.
    fn held_at(&self, node: Node, volts: Volts, id: ElementId) -> Self {
        let mut held = self.clone();
        held.forget();
        if let Some(own) = held.elements.get_mut(id.0) {
            *own = at_its_most(own);
        }
        if held.held(node).is_some() {
            // An ideal source of its own is set to what was asked for.
            for element in &mut held.elements {
                if let Uncertain::Source { node: at, volts: own, ohms } = element
                    && *at == node
                    && ohms.high() == Ohms::ZERO
                {
                    *own = Triple::exactly(volts);
                }
            }
        } else {
            let (volts, ohms) = (Triple::exactly(volts), Triple::exactly(Ohms::ZERO));
            held.elements.push(Uncertain::Source { node, volts, ohms });
        }
        held
    }

    /// What flows through one element with the others at these values, or at their typical ones.
    fn flowing_at(&self, point: &[(ElementId, Element)], own: (ElementId, Element)) -> Option<Amps> {
        let mut elements: Vec<Element> = self.elements.iter().map(typical).collect();
        for (id, element) in point.iter().chain([&own]) {
            // What was held is no element of this network.
            if let Some(place) = elements.get_mut(id.0) {
                *place = *element;
            }
        }
        let mut network = Network::new();
        for _ in 0..self.nodes {
            network.node();
        }
        for element in elements {
            network.add(element).ok()?;
        }
        Some(network.operating_point().ok()?.amps(own.0))
    }
}

/// An element that conducts as much as it may.
fn at_its_most(element: &Uncertain) -> Uncertain {
    match *element {
        Uncertain::Resistor { a, b, ohms } => Uncertain::Resistor { a, b, ohms: Triple::exactly(ohms.low()) },
        Uncertain::Diode { anode, cathode, least: _, most } => {
            Uncertain::Diode { anode, cathode, least: most, most }
        }
        Uncertain::Sink { node, to, offset, ohms, off } => Uncertain::Sink {
            node,
            to,
            offset: Triple::exactly(offset.low()),
            ohms: Triple::exactly(ohms.low()),
            off: Triple::exactly(off.low()),
        },
        own @ (Uncertain::Source { .. } | Uncertain::Current { .. }) => own,
    }
}
