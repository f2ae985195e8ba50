//! The `[part.NAME]` tables of a file.

use solderside_quantity::{Farads, Ohms};
use solderside_trade::{ChangeoverPart, ChipPart, DiodePart, TransistorKind, TransistorPart};

use crate::believed::Believed;
use crate::complaint::{Complaint, quoted};
use crate::document::Table;
use crate::part::{Body, Capacitor, PartId, Resistor};
use crate::source::At;
use crate::value::Value;

/// A `[part.NAME]` table as it stands.
#[derive(Debug)]
pub struct PartEntry {
    diode: Option<At<DiodePart>>,
    ohms: Option<At<Ohms>>,
    farads: Option<At<Farads>>,
    tolerance_percent: Option<At<i64>>,
    transistor: Option<At<TransistorPart>>,
    chip: Option<At<ChipPart>>,
    switch: Option<At<ChangeoverPart>>,
}

/// The key that says what a part is, and the name that a part with it has.
const TELLING: [(&str, &str); 6] = [
    ("diode", "drop it, or call the part `d1`"),
    ("ohms", "drop it, or call the part `r1`"),
    ("farads", "drop it, or call the part `c1`"),
    ("transistor", "drop it, or call the part `q1`, a MOSFET `m1`"),
    ("chip", "drop it, or call the part `u1`"),
    ("switch", "drop it, or call the part `s1`"),
];

/// Reads the tables of all parts, each with what else its table has.
pub fn part_entries<T>(
    table: &mut Table<'_>,
    mut other_keys: impl FnMut(&mut Table<'_>) -> T,
) -> Vec<(PartId, At<(PartEntry, T)>)> {
    let meaning = "the parts: `[part.d1]`, `[part.r1]`, `[part.u1]`";
    table.key("part", meaning).map(Some("d1"), |key, value| {
        let id = PartId::parse(&key.value);
        if id.is_none() && !value.is_imagined() {
            value.complain(
                Complaint::new(key.place.clone(), format!("{} names no part", quoted(&key.value))).help(
                    "write `d1` for a diode, `r1` for a resistor, `c1` for a capacitor, `q1` for a bipolar \
                     transistor, `m1` for a MOSFET, `u1` for a chip or `s1` for a switch, counted from 1",
                ),
            );
        }
        let entry = value.table(|table| (PartEntry::read(table, id), other_keys(table)))?;
        Some((id?, At { value: entry.value, place: key.place.clone() }))
    })
}

impl PartEntry {
    fn read(table: &mut Table<'_>, id: Option<PartId>) -> Self {
        let own = id.map(|id| match id {
            PartId::Diode(_) => "diode",
            PartId::Resistor(_) => "ohms",
            PartId::Capacitor(_) => "farads",
            PartId::Bipolar(_) | PartId::Mosfet(_) => "transistor",
            PartId::Chip(_) => "chip",
            PartId::Changeover(_) => "switch",
        });
        // The schema describes all kinds.
        let has = |key: &str| own.is_none_or(|own| own == key);
        let has_tolerance = has("ohms") || has("farads");
        let transistors = TransistorPart::ALL.into_iter().filter(|part| match (id, part.kind()) {
            (Some(PartId::Mosfet(_)), kind) => kind == TransistorKind::NChannel,
            (Some(PartId::Bipolar(_)), kind) => kind != TransistorKind::NChannel,
            (_, _) => true,
        });
        let transistors: Vec<(&'static str, TransistorPart)> =
            transistors.map(|part| (part.name(), part)).collect();
        let entry = Self {
            diode: has("diode")
                .then(|| table.key("diode", "which diode a `d` is"))
                .and_then(|value| value.choice(DiodePart::ALL.map(|diode| (diode.name(), diode)))),
            ohms: has("ohms")
                .then(|| table.key("ohms", "the value of an `r`"))
                .and_then(|value| value.believed(Believed::RESISTOR).quantity()),
            farads: has("farads")
                .then(|| table.key("farads", "the value of a `c`: 100e-9 is 100 nF"))
                .and_then(Value::quantity),
            tolerance_percent: has_tolerance
                .then(|| {
                    let meaning = "how far it may be off, in per cent; 5 for a resistor and 20 for a capacitor if absent";
                    table.key("tolerance_percent", meaning)
                })
                .and_then(|value| value.whole(0, 50)),
            transistor: has("transistor")
                .then(|| table.key("transistor", "which transistor a `q` or an `m` is"))
                .and_then(|value| value.choice(transistors)),
            chip: has("chip")
                .then(|| table.key("chip", "which chip a `u` is"))
                .and_then(|value| value.choice(ChipPart::ALL.map(|chip| (chip.name(), chip)))),
            switch: has("switch")
                .then(|| table.key("switch", "what an `s` is, by its poles and throws"))
                .and_then(|value| value.choice(ChangeoverPart::ALL.map(|part| (part.name(), part)))),
        };
        for (key, help) in TELLING {
            if !has(key) {
                table.foreign(key, "a part of this kind has no such key", help);
            }
        }
        if !has_tolerance {
            let help = "drop it: its data sheet says how far it may be off";
            table.foreign("tolerance_percent", "a part of this kind has no such key", help);
        }
        if let Some(own) = own {
            table.require(&[own]);
        }
        entry
    }

    /// What the part is, if what it needs is there.
    pub fn body(&self) -> Option<Body> {
        let tolerance = |common: f64| self.tolerance_percent.as_ref().map_or(common, share);
        let diode = self.diode.as_ref().map(|at| Body::Diode(at.value));
        let resistor = self.ohms.as_ref().map(|at| {
            Body::Resistor(Resistor { ohms: at.value, tolerance: tolerance(Resistor::COMMON_TOLERANCE) })
        });
        let capacitor = self.farads.as_ref().map(|at| {
            Body::Capacitor(Capacitor { farads: at.value, tolerance: tolerance(Capacitor::COMMON_TOLERANCE) })
        });
        let transistor = self.transistor.as_ref().map(|at| Body::Transistor(at.value));
        let chip = self.chip.as_ref().map(|at| Body::Chip(at.value));
        let switch = self.switch.as_ref().map(|at| Body::Changeover(at.value));
        diode.or(switch).or(resistor).or(capacitor).or(transistor).or(chip)
    }
}

#[expect(clippy::cast_precision_loss, reason = "at most 50")]
fn share(percent: &At<i64>) -> f64 {
    percent.value.clamp(0, 50) as f64 / 100.0
}
