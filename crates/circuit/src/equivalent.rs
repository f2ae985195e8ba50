//! What a node looks like from outside, over a box of tolerances, and how long it takes to charge a capacitor.
//!
//! Let `V` be the node's voltage without load, and let a load draw the current `I`, which brings it to `v`. The two
//! operating points differ by the voltages of a network of *chords*: each element stands as the resistance between its
//! two states, every known voltage is zero, and `I` is drawn. So `v = V − I·R`, where `R` is a resistance of that network.
//! Elements are monotone, so a chord lies between an open element and a closed one: of a diode anything, of an output
//! that can only sink between its slope and its leakage. With resistors alone, `R` is Thévenin's.
//!
//! That holds at each moment by itself. A capacitor `C` behind `r` is charged with `(V − u) / (R + r)` while it stands at
//! `u`, whatever else moves meanwhile, as long as `V` and `R` stay within their bounds. So the time to a voltage `u` is
//! never more than that of the highest `R` and the lowest `V`, and never less than that of the lowest `R` and the highest
//! `V`: `t = (R + r) · C · ln(V / (V − u))`.

use solderside_quantity::{Farads, Ohms, Seconds, Triple, Volts};

use crate::bounds::{Extreme, Spread, Uncertain};
use crate::network::{ElementId, Node, Refused};

/// A diode that is closed, and one that is open.
const CHORD: [Ohms; 2] = [Ohms::literal(1e-6), Ohms::literal(1e18)];

/// What a node looks like from outside, whatever the values within the tolerances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equivalent {
    /// The lowest and the highest voltage without load.
    pub open: [Volts; 2],
    /// The lowest and the highest resistance behind it.
    pub ohms: [Ohms; 2],
}

/// How many time constants pass until what is charged from nothing towards `open` is at `to`: infinitely many if it never
/// comes there.
pub fn time_constants(open: Volts, to: Volts) -> f64 {
    if to <= Volts::ZERO {
        0.0
    } else if open <= to {
        f64::INFINITY
    } else {
        -libm::log1p(-to.get() / open.get())
    }
}

impl Equivalent {
    /// The shortest and the longest time in which a discharged capacitor behind `series` is charged to a voltage; none
    /// where it may never come there.
    pub fn charging(
        &self,
        series: Triple<Ohms>,
        farads: Triple<Farads>,
        to: [Volts; 2],
    ) -> [Option<Seconds>; 2] {
        let time = |ohms: Ohms, farads: Farads, open: Volts, to: Volts| {
            Seconds::new(ohms.get() * farads.get() * time_constants(open, to)).ok()
        };
        let [least, most] = self.ohms;
        [
            time(least + series.low(), farads.low(), self.open[1], to[0]),
            time(most + series.high(), farads.high(), self.open[0], to[1]),
        ]
    }
}

impl Spread {
    /// Bounds what a node looks like from outside. None if nothing, or nothing but diodes, holds it.
    pub fn equivalent(&self, node: Node) -> Option<Equivalent> {
        if !self.is_held(node) {
            return None;
        }
        let open = |extreme| self.bound(node, extreme).ok()?.guaranteed;
        let least = self.chords().measured(node, Extreme::Lowest)?.max(Ohms::ZERO);
        let most = self.most_ohms(node)?.max(least);
        Some(Equivalent { open: [open(Extreme::Lowest)?, open(Extreme::Highest)?], ohms: [least, most] })
    }

    /// Whether nothing but resistances, sources behind resistances and currents leads to a node.
    pub fn is_straight_round(&self, node: Node) -> bool {
        let round = self.round(node);
        self.elements().iter().all(|element| match element {
            Uncertain::Diode { anode: a, cathode: b, .. } | Uncertain::Sink { node: a, to: b, .. } => {
                !round.contains(a) && !round.contains(b)
            }
            Uncertain::Resistor { .. } | Uncertain::Source { .. } | Uncertain::Current { .. } => true,
        })
    }

    /// The same network with other values in some elements' places.
    ///
    /// # Errors
    /// Refuses what [`Spread::add`] would.
    pub fn with_each(
        &self,
        mut change: impl FnMut(ElementId, &Uncertain) -> Uncertain,
    ) -> Result<Self, Refused> {
        let mut changed = self.with(Vec::new());
        for (at, element) in self.elements().iter().enumerate() {
            changed.add(change(ElementId(at), element))?;
        }
        Ok(changed)
    }

    /// The network of all chords: every known voltage at zero, no current.
    fn chords(&self) -> Self {
        let typical = |[low, high]: [Ohms; 2]| Triple::new(low, low, high).unwrap_or(Triple::exactly(low));
        self.changed(|element| match *element {
            Uncertain::Resistor { .. } => Some(*element),
            Uncertain::Source { node, ohms, .. } => {
                Some(Uncertain::Source { node, volts: Triple::exactly(Volts::ZERO), ohms })
            }
            Uncertain::Sink { node, to, ohms, off, .. } => {
                let both = (ohms.low().get().recip() + off.low().get().recip()).recip();
                let least = Ohms::new(both).unwrap_or(ohms.low());
                Some(Uncertain::Resistor { a: node, b: to, ohms: typical([least, off.high().max(least)]) })
            }
            Uncertain::Diode { anode, cathode, .. } => {
                Some(Uncertain::Resistor { a: anode, b: cathode, ohms: typical(CHORD) })
            }
            Uncertain::Current { .. } => None,
        })
    }
}
