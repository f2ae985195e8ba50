//! The parts that somebody has, which a lead may be made of.

use std::collections::BTreeMap;

use solderside_quantity::{Farads, Ohms};
use solderside_trade::{ChipPart, DiodePart, TransistorPart};

use crate::heading::Origin;
use crate::part::{Body, Capacitor, Resistor};

/// A drawer of parts that was read and checked: of each how many there are.
///
/// A kind of part of which it says nothing is not counted: whoever lists chips alone has resistors enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawer {
    /// The file's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// Chips, by the name that is printed on them.
    pub chips: Option<BTreeMap<ChipPart, usize>>,
    /// Diodes, by the name that is printed on them.
    pub diodes: Option<BTreeMap<DiodePart, usize>>,
    /// Transistors, by the name that is printed on them.
    pub transistors: Option<BTreeMap<TransistorPart, usize>>,
    /// Resistors by their value, the least first, each value once.
    pub resistors: Option<Vec<(Ohms, usize)>>,
    /// Capacitors by their value, the least first, each value once.
    pub capacitors: Option<Vec<(Farads, usize)>>,
    /// Where the file is.
    pub origin: Origin,
}

/// What there is of a kind of part: its heading, and each part with its count; none if the kind is not counted.
pub type StockOf = (&'static str, Option<Vec<(Body, usize)>>);

/// Two values this near are one: they differ in how they were written.
const ONE_VALUE: f64 = 1e-6;

impl Drawer {
    /// All that it says, kind by kind.
    pub fn stock(&self) -> [StockOf; 5] {
        fn each<P: Copy>(
            stock: impl IntoIterator<Item = (P, usize)>,
            body: impl Fn(P) -> Body,
        ) -> Vec<(Body, usize)> {
            stock.into_iter().map(|(part, count)| (body(part), count)).collect()
        }
        let resistor = |ohms| Body::Resistor(Resistor { ohms, tolerance: Resistor::COMMON_TOLERANCE });
        let capacitor =
            |farads| Body::Capacitor(Capacitor { farads, tolerance: Capacitor::COMMON_TOLERANCE });
        [
            ("Chips", self.chips.clone().map(|all| each(all, Body::Chip))),
            ("Diodes", self.diodes.clone().map(|all| each(all, Body::Diode))),
            ("Transistors", self.transistors.clone().map(|all| each(all, Body::Transistor))),
            ("Resistors", self.resistors.clone().map(|all| each(all, resistor))),
            ("Capacitors", self.capacitors.clone().map(|all| each(all, capacitor))),
        ]
    }

    /// How many there are of a part; none if its kind is not counted.
    pub fn count(&self, body: &Body) -> Option<usize> {
        let near = |one: f64, other: f64| (one - other).abs() <= ONE_VALUE * other.abs();
        match body {
            Body::Chip(chip) => self.chips.as_ref().map(|all| all.get(chip).copied().unwrap_or(0)),
            Body::Diode(diode) => self.diodes.as_ref().map(|all| all.get(diode).copied().unwrap_or(0)),
            // A switch is in a lead because somebody asked for it.
            Body::Changeover(_) => None,
            Body::Transistor(transistor) => {
                self.transistors.as_ref().map(|all| all.get(transistor).copied().unwrap_or(0))
            }
            Body::Resistor(Resistor { ohms: wanted, .. }) => self.resistors.as_ref().map(|all| {
                all.iter().filter(|(ohms, _)| near(ohms.get(), wanted.get())).map(|(_, count)| count).sum()
            }),
            Body::Capacitor(Capacitor { farads: wanted, .. }) => self.capacitors.as_ref().map(|all| {
                all.iter()
                    .filter(|(farads, _)| near(farads.get(), wanted.get()))
                    .map(|(_, count)| count)
                    .sum()
            }),
        }
    }

    /// Whether there is at least one of a part.
    pub fn has(&self, body: &Body) -> bool {
        self.count(body).is_none_or(|count| count > 0)
    }

    /// What of these parts is not there: each kind once, with how many are wanting.
    pub fn wanting<'b>(&self, bodies: impl IntoIterator<Item = &'b Body>) -> Vec<(Body, usize)> {
        let mut wanted: Vec<(Body, usize)> = Vec::new();
        for body in bodies {
            match wanted.iter_mut().find(|(other, _)| other == body) {
                Some((_, count)) => *count += 1,
                None => wanted.push((*body, 1)),
            }
        }
        wanted
            .into_iter()
            .filter_map(|(body, count)| {
                let more = count.saturating_sub(self.count(&body)?);
                (more > 0).then_some((body, more))
            })
            .collect()
    }
}
