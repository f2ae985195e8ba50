//! The extremes of each uncertain element.

use solderside_quantity::{Ohms, Quantity, Triple, Volts};

use super::{Extreme, Spread, Uncertain};
use crate::diode::Junction;
use crate::law::Law;
use crate::network::{Element, ElementId, Node};
use crate::solve::Unsolvable;

pub(super) fn side<T: Quantity>(triple: Triple<T>, extreme: Extreme) -> T {
    match extreme {
        Extreme::Highest => triple.high(),
        Extreme::Lowest => triple.low(),
    }
}

/// The voltage at which ideal sources and the ground hold each node.
pub(super) fn held_at(spread: &Spread, extreme: Extreme) -> Result<Vec<Option<f64>>, Unsolvable> {
    let mut held: Vec<Option<f64>> = vec![None; spread.nodes + 1];
    held[0] = Some(0.0);
    for (at, element) in spread.elements.iter().enumerate() {
        if let Uncertain::Source { node, volts, ohms } = element
            && ohms.high() == Ohms::ZERO
            && held[node.0].replace(side(*volts, extreme).get()).is_some()
        {
            return Err(Unsolvable::Contradiction { node: *node, element: ElementId(at) });
        }
    }
    Ok(held)
}

pub(super) fn ends(element: &Uncertain) -> [Node; 2] {
    match *element {
        Uncertain::Resistor { a, b, .. } | Uncertain::Current { a, b, .. } => [a, b],
        Uncertain::Source { node, .. } => [node, Node::GROUND],
        Uncertain::Sink { node, to, .. } => [node, to],
        Uncertain::Diode { anode, cathode, .. } => [anode, cathode],
    }
}

/// The laws that conduct least and most; none for what is no branch.
pub(super) fn laws(element: &Uncertain) -> Option<[Law; 2]> {
    match element {
        Uncertain::Source { ohms, .. } if ohms.high() == Ohms::ZERO => None,
        Uncertain::Resistor { ohms, .. } | Uncertain::Source { ohms, .. } => {
            Some([linear(ohms.high()), linear(ohms.low())])
        }
        Uncertain::Current { .. } => None,
        Uncertain::Diode { least, most, .. } => {
            let [least, most] = [least, most].map(|diode| Junction::new(diode).ok().map(Law::Junction));
            Some([least?, most?])
        }
        Uncertain::Sink { offset, ohms, off, .. } => {
            Some([sink(offset.high(), ohms.high(), off.high()), sink(offset.low(), ohms.low(), off.low())])
        }
    }
}

pub(super) fn middle(element: &Uncertain) -> Option<Law> {
    match element {
        Uncertain::Resistor { ohms, .. } | Uncertain::Source { ohms, .. } => Some(linear(ohms.typical())),
        Uncertain::Sink { offset, ohms, off, .. } => {
            Some(sink(offset.typical(), ohms.typical(), off.typical()))
        }
        Uncertain::Diode { .. } => laws(element).map(|[least, _]| least),
        Uncertain::Current { .. } => None,
    }
}

pub(super) fn linear(ohms: Ohms) -> Law {
    Law::Linear(ohms.get().recip())
}

pub(super) fn sink(offset: Volts, ohms: Ohms, off: Ohms) -> Law {
    Law::Sink { offset: offset.get(), conductance: ohms.get().recip(), leak: off.get().recip() }
}

/// The element with its typical values.
pub(super) fn typical(element: &Uncertain) -> Element {
    match *element {
        Uncertain::Resistor { a, b, ohms } => Element::Resistor { a, b, ohms: ohms.typical() },
        Uncertain::Source { node, volts, ohms } => {
            Element::Source { node, volts: volts.typical(), ohms: ohms.typical() }
        }
        Uncertain::Current { a, b, amps } => Element::Current { a, b, amps: amps.typical() },
        Uncertain::Diode { anode, cathode, least, most: _ } => {
            Element::Diode { anode, cathode, diode: least }
        }
        Uncertain::Sink { node, to, offset, ohms, off } => Element::OpenCollector {
            node,
            to,
            on: true,
            offset: offset.typical(),
            ohms: ohms.typical(),
            off: off.typical(),
        },
    }
}

/// The element with its values chosen.
pub(super) fn chosen(element: &Uncertain, most: bool, extreme: Extreme) -> Element {
    let pick = |ohms: Triple<Ohms>| if most { ohms.low() } else { ohms.high() };
    match *element {
        Uncertain::Resistor { a, b, ohms } => Element::Resistor { a, b, ohms: pick(ohms) },
        Uncertain::Source { node, volts, ohms } => {
            Element::Source { node, volts: side(volts, extreme), ohms: pick(ohms) }
        }
        Uncertain::Current { a, b, amps } => {
            Element::Current { a, b, amps: if most { amps.high() } else { amps.low() } }
        }
        Uncertain::Diode { anode, cathode, least, most: greatest } => {
            Element::Diode { anode, cathode, diode: if most { greatest } else { least } }
        }
        Uncertain::Sink { node, to, offset, ohms, off } => Element::OpenCollector {
            node,
            to,
            on: true,
            offset: if most { offset.low() } else { offset.high() },
            ohms: pick(ohms),
            off: pick(off),
        },
    }
}
