//! The file of a drawer of parts: a table for each kind, a part and its count in each line.

use std::collections::BTreeMap;

use solderside_quantity::{Farads, Ohms, Quantity};
use solderside_trade::{ChipPart, DiodePart, TransistorPart};

use crate::complaint::{Complaint, listed, quoted};
use crate::document::Table;
use crate::drawer::Drawer;
use crate::file_quantity::{FileQuantity, range};
use crate::heading::{Heading, Kind, heading};
use crate::profile_file::{Identity, ProfileFile};
use crate::source::{At, Place};
use crate::spelling::nearest;

/// A drawer's file as it stands. A table that is there and empty says that there is no such part.
#[derive(Debug)]
pub(crate) struct DrawerFile {
    heading: Heading,
    place: Place,
    chips: Option<Vec<(ChipPart, usize)>>,
    diodes: Option<Vec<(DiodePart, usize)>>,
    transistors: Option<Vec<(TransistorPart, usize)>>,
    resistors: Option<Vec<(Ohms, usize)>>,
    capacitors: Option<Vec<(Farads, usize)>>,
}

/// More than anybody has of a part.
const MOST: i64 = 9999;

/// The tables, and the word for what is in each.
const TABLES: [(&str, &str); 5] = [
    ("chips", "chip"),
    ("diodes", "diode"),
    ("transistors", "transistor"),
    ("resistors", "resistor"),
    ("capacitors", "capacitor"),
];

/// Letters that stand for a power of ten, and for the point: `4k7` (IEC 60062, from memory).
const OHM_LETTERS: [(char, f64); 5] = [('R', 1.0), ('r', 1.0), ('k', 1e3), ('K', 1e3), ('M', 1e6)];
const FARAD_LETTERS: [(char, f64); 4] = [('p', 1e-12), ('n', 1e-9), ('u', 1e-6), ('µ', 1e-6)];

impl ProfileFile for DrawerFile {
    type Profile = Drawer;

    const KIND: Kind = Kind::Drawer;

    fn read(table: &mut Table<'_>) -> Self {
        let heading = heading(table, Kind::Drawer);
        let named = |key, doc, what, parts: Vec<&'static str>| (key, doc, what, parts);
        let chips = named(
            "chips",
            "how many there are of each chip, by the name on it: `74HC157 = 2`; not counted if absent",
            "chip",
            ChipPart::ALL.map(ChipPart::name).to_vec(),
        );
        let diodes = named(
            "diodes",
            "how many there are of each diode, by the name on it: `BAT85 = 10`; not counted if absent",
            "diode",
            DiodePart::ALL.map(DiodePart::name).to_vec(),
        );
        let transistors = named(
            "transistors",
            "how many there are of each transistor, by the name on it: `BC547 = 5`; not counted if absent",
            "transistor",
            TransistorPart::ALL.map(TransistorPart::name).to_vec(),
        );
        let file = Self {
            heading,
            place: table.place(),
            chips: by_name(table, &chips, ChipPart::parse),
            diodes: by_name(table, &diodes, DiodePart::parse),
            transistors: by_name(table, &transistors, TransistorPart::parse),
            resistors: by_value(
                table,
                (
                    "resistors",
                    "how many there are of each resistor, by its ohms: `10k = 20`; not counted if absent",
                ),
                ("resistor", "such as `470`, `10k` or `4k7`"),
                |text| coded(text, &OHM_LETTERS, &["Ω", "ohms", "ohm"], true),
            ),
            capacitors: by_value(
                table,
                (
                    "capacitors",
                    "how many there are of each capacitor, by its farads: `100n = 5`; not counted if absent",
                ),
                ("capacitor", "such as `100n`, `2n2` or `10u`"),
                |text| coded(text, &FARAD_LETTERS, &["F"], false),
            ),
        };
        table.require(&["format", "kind"]);
        table.foreign("like", "a drawer starts from no other one", "list what is in this one");
        for key in ["part", "parts"] {
            table.foreign(
                key,
                "a drawer has a table for each kind of part",
                "write `[chips]`, `[diodes]`, `[transistors]`, `[resistors]` or `[capacitors]`",
            );
        }
        file
    }

    fn like(&self) -> Option<&At<String>> {
        None
    }

    fn over(self, _parent: Self) -> Self {
        self
    }

    fn check(self, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Drawer> {
        let says_nothing = self.chips.is_none()
            && self.diodes.is_none()
            && self.transistors.is_none()
            && self.resistors.is_none()
            && self.capacitors.is_none();
        if says_nothing {
            let help =
                "add `[chips]` with a line such as `74HC157 = 2`; an empty table says that there is none";
            complaints
                .push(Complaint::new(self.place, "the drawer says nothing of any part").help(help).absence());
            return None;
        }
        let title = self.heading.title.map_or_else(|| identity.name.clone(), |title| title.value);
        Some(Drawer {
            title,
            chips: self.chips.map(BTreeMap::from_iter),
            diodes: self.diodes.map(BTreeMap::from_iter),
            transistors: self.transistors.map(BTreeMap::from_iter),
            resistors: self.resistors.map(rising),
            capacitors: self.capacitors.map(rising),
            name: identity.name,
            origin: identity.origin,
        })
    }
}

fn rising<Q: PartialOrd + Copy>(mut stock: Vec<(Q, usize)>) -> Vec<(Q, usize)> {
    stock.sort_by(|(one, _), (other, _)| one.partial_cmp(other).unwrap_or(std::cmp::Ordering::Equal));
    stock
}

/// A table of parts that have a name: its key, what it is for, the word for one, and the names.
type Named = (&'static str, &'static str, &'static str, Vec<&'static str>);

fn by_name<P: Copy + PartialEq>(
    table: &mut Table<'_>,
    (key, doc, what, names): &Named,
    parse: fn(&str) -> Option<P>,
) -> Option<Vec<(P, usize)>> {
    stock(table, key, doc, |text| {
        parse(text).ok_or_else(|| {
            let headline = format!("no {what} that is known here is called {}", quoted(text));
            let help = match (elsewhere(text), nearest(text, names.iter().copied())) {
                (Some(table), _) => format!("put it under `[{table}]`"),
                (None, Some(near)) => format!("write `{near}`, or drop the line: no lead is made with it"),
                (None, None) => {
                    format!("drop the line: leads are made with {}", listed(names.iter().copied(), "and"))
                }
            };
            (headline, help)
        })
    })
}

/// The table that a part with this name belongs in.
fn elsewhere(text: &str) -> Option<&'static str> {
    let belongs = [
        ChipPart::parse(text).is_some(),
        DiodePart::parse(text).is_some(),
        TransistorPart::parse(text).is_some(),
    ];
    TABLES.into_iter().zip(belongs).find(|(_, belongs)| *belongs).map(|((table, _), _)| table)
}

fn by_value<Q: FileQuantity + Quantity + PartialEq>(
    table: &mut Table<'_>,
    (key, doc): (&'static str, &'static str),
    (what, such): (&str, &str),
    parse: impl Fn(&str) -> Option<f64>,
) -> Option<Vec<(Q, usize)>> {
    stock(table, key, doc, |text| {
        let believed = range::<Q>();
        let value = parse(text).filter(|value| *value > 0.0 && *value <= believed.highest);
        value.and_then(|value| Q::new(value).ok()).ok_or_else(|| {
            let headline = format!("{} is no value of a {what}", quoted(text));
            let help = match elsewhere(text) {
                Some(table) => format!("put it under `[{table}]`"),
                None => format!("write its value, {such}"),
            };
            (headline, help)
        })
    })
}

/// Reads a table of parts with their counts; none if it is not there. What is no part is told by headline and help.
fn stock<P: Copy + PartialEq>(
    table: &mut Table<'_>,
    key: &'static str,
    doc: &'static str,
    part: impl Fn(&str) -> Result<P, (String, String)>,
) -> Option<Vec<(P, usize)>> {
    let is_there = table.has(key);
    let mut seen: Vec<(P, Place)> = Vec::new();
    let counted = table.key(key, doc).map(None, |name, value| {
        if value.is_imagined() {
            value.whole(0, MOST);
            return None;
        }
        let found = match part(&name.value) {
            Ok(part) => part,
            Err((headline, help)) => {
                value.complain(Complaint::new(name.place.clone(), headline).help(help));
                return None;
            }
        };
        if let Some((_, first)) = seen.iter().find(|(other, _)| *other == found) {
            let headline = format!("{} stands twice", quoted(&name.value));
            value.complain(
                Complaint::new(name.place.clone(), headline)
                    .help("keep one line, with the count of both")
                    .also(first.clone(), "the first one"),
            );
        }
        seen.push((found, name.place.clone()));
        let count = value.whole(0, MOST)?;
        Some((found, usize::try_from(count.value).unwrap_or(0)))
    });
    is_there.then_some(counted)
}

/// Reads `470`, `10k`, `4k7`, `4.7k`, `100n`; a number without a letter only where that is `bare`.
fn coded(text: &str, letters: &[(char, f64)], units: &[&str], bare: bool) -> Option<f64> {
    let text = text.trim();
    let unit = units.iter().find_map(|unit| text.strip_suffix(unit));
    let text = unit.unwrap_or(text).trim_end();
    let letter = text.char_indices().find_map(|(at, c)| {
        let (_, scale) = letters.iter().find(|(own, _)| *own == c)?;
        Some((at, at + c.len_utf8(), *scale))
    });
    let Some((at, end, scale)) = letter else { return number(text).filter(|_| bare) };
    let (whole, part) = (text.get(..at)?.trim_end(), text.get(end..)?);
    if part.is_empty() {
        return Some(number(whole)? * scale);
    }
    // The letter stands for the point: `R47` is 0.47.
    let are_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    (are_digits(whole) && are_digits(part))
        .then(|| number(&format!("0{whole}.{part}")))?
        .map(|number| number * scale)
}

/// Digits with a point among them at most: no sign, no exponent.
fn number(text: &str) -> Option<f64> {
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    text.parse().ok().filter(|_| is_plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_read_as_they_are_printed_on_bags() {
        let ohms = |text| coded(text, &OHM_LETTERS, &["Ω", "ohms", "ohm"], true);
        let farads = |text| coded(text, &FARAD_LETTERS, &["F"], false);
        let near = |one: Option<f64>, other: f64| one.is_some_and(|one| (one - other).abs() < 1e-9 * other);
        for (text, value) in [
            ("470", 470.0),
            ("10k", 10e3),
            ("4k7", 4700.0),
            ("4.7k", 4700.0),
            ("R47", 0.47),
            ("1M", 1e6),
            ("10 kΩ", 10e3),
        ] {
            assert!(near(ohms(text), value), "{text}");
        }
        for (text, value) in [("100n", 100e-9), ("2n2", 2.2e-9), ("100 nF", 100e-9), ("10u", 10e-6)] {
            assert!(near(farads(text), value), "{text}");
        }
        for text in ["", "k", "ten", "-5", "1e3", "inf", "NaN", "1.2.3", "4k7k", "4.k7"] {
            assert_eq!(ohms(text), None, "{text}");
        }
        assert_eq!(farads("100"), None, "100 of what?");
    }
}
