//! A lead as it lies on the bench: its places and its wires, numbered.

use std::collections::BTreeMap;

use solderside_circuit::{Element, Network, Node};
use solderside_lead::{Allocation, Assembly, Body, EndId, Join, Leg, Part, PartId};
use solderside_quantity::{Ohms, Triple, Volts};
use solderside_trade::{Body as Shape, Connector, ContactId, Side};

use crate::build::{Build, Joint, Wire, WireEnd};
use crate::fault::{Fault, Tip};
use crate::nets::Nets;
use crate::reading::{Measurement, OPEN_FROM, Span};

/// What stands for nothing at all between two places.
const NOTHING: Ohms = Ohms::literal(1e12);

/// Contacts whose heights differ by less metres stand in one row: heights on a circle are sines, and no two rows are so near.
const ONE_HEIGHT: f64 = 1e-6;

/// A place of a lead by its number: a cup, a shell, or a leg of a part.
pub(crate) type Spot = usize;

/// A lead, with everything about it that no fault changes.
#[derive(Debug, Clone)]
pub struct Bench<'a> {
    assembly: &'a Assembly,
    /// Every cup of every end, every shell, every leg of every part, in rising order.
    spots: Vec<Leg>,
    wires: Vec<MeantWire>,
    moulded: Vec<EndId>,
}

/// A conductor as it is meant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MeantWire {
    pub(crate) join: Join,
    pub(crate) ohms: Triple<Ohms>,
    /// Where its two ends belong: those of the join in its order.
    pub(crate) tips: [Spot; 2],
}

impl<'a> Bench<'a> {
    /// Numbers a lead's places.
    pub fn new(assembly: &'a Assembly) -> Self {
        let lead = &assembly.lead;
        let cups = lead.ends.iter().flat_map(|end| {
            let contacts = end.connector.family.contact_ids();
            contacts.map(|contact| Leg { end: end.id, contact })
        });
        let legs = lead.parts.iter().flat_map(|part| part.body.legs().map(|leg| Leg::part(part.id(), leg)));
        let joined = lead.joins.iter().flat_map(|join| [join.from, join.to]);
        let mut spots: Vec<Leg> = cups.chain(legs).chain(joined).collect();
        spots.sort_unstable();
        spots.dedup();
        let number = |leg: &Leg| spots.binary_search(leg).ok();
        let mut joins = lead.joins.clone();
        joins.sort_unstable();
        let wires = joins.iter().filter_map(|join| {
            Some(MeantWire {
                join: *join,
                ohms: lead.wire_ohms(join),
                tips: [number(&join.from)?, number(&join.to)?],
            })
        });
        let wires = wires.collect();
        let moulded = Allocation::of(assembly)
            .map_or_else(Vec::new, |allocation| allocation.moulded.into_keys().collect());
        Self { assembly, spots, wires, moulded }
    }

    /// The lead and what it is made for.
    pub const fn assembly(&self) -> &'a Assembly {
        self.assembly
    }

    /// What a meter shows of the lead with these faults, with all that it may be off; none if a probe is at no place of the
    /// lead.
    pub fn reads(&self, faults: &[Fault], measurement: &Measurement) -> Option<Span> {
        let mut build = self.good();
        for fault in faults {
            fault.make(self, &mut build);
        }
        let nets = Nets::of(self, &build, measurement.held.as_deref());
        let [red, black] = [measurement.red, measurement.black].map(|leg| self.spot(leg));
        Some(nets.read(measurement.range, red?, black?).shown(measurement.range))
    }

    /// The lead without any fault.
    pub(crate) fn good(&self) -> Build {
        let wire = |wire: &MeantWire| Wire { ends: wire.tips, joints: [Joint::Sound; 2] };
        Build::new(self.wires.iter().map(wire).collect())
    }

    /// All places.
    pub(crate) fn spots(&self) -> &[Leg] {
        &self.spots
    }

    /// The place of a leg; none if the lead has no such one.
    pub(crate) fn spot(&self, leg: Leg) -> Option<Spot> {
        self.spots.binary_search(&leg).ok()
    }

    /// All conductors, in the order of the lead's joins.
    pub(crate) fn wires(&self) -> &[MeantWire] {
        &self.wires
    }

    /// An end of a conductor by its number; none if the lead has no such one.
    pub(crate) fn end_of(&self, tip: Tip) -> Option<WireEnd> {
        let wire = self.wires.binary_search_by(|wire| wire.join.cmp(&tip.join)).ok()?;
        let side = [tip.join.from, tip.join.to].iter().position(|leg| *leg == tip.at)?;
        Some(WireEnd { wire, side })
    }

    /// A part by its name and what it is: "d1 (1N4148)".
    pub(crate) fn part_told(&self, id: PartId) -> String {
        let part = self.assembly.lead.part(id);
        part.map_or_else(|| id.to_string(), |part| format!("{id} ({})", part.body))
    }

    /// What the wires of a good lead come to between two places of one net; none if they are not of one.
    pub(crate) fn wire_span(&self, one: Spot, other: Spot) -> Option<Span> {
        let with = |ohms: fn(Triple<Ohms>) -> Ohms| {
            let mut network = Network::new();
            let nodes: Vec<Node> = self.spots.iter().map(|_| network.node()).collect();
            let node = |spot: Spot| nodes.get(spot).copied();
            for wire in &self.wires {
                let [a, b] = wire.tips;
                network.add(Element::Resistor { a: node(a)?, b: node(b)?, ohms: ohms(wire.ohms) }).ok()?;
            }
            // Places of other nets hang on nothing.
            for node in &nodes {
                network.add(Element::Resistor { a: *node, b: Node::GROUND, ohms: NOTHING }).ok()?;
            }
            network.add(Element::Source { node: node(other)?, volts: Volts::ZERO, ohms: Ohms::ZERO }).ok()?;
            let ohms = network.thevenin(node(one)?).ok()?.ohms;
            (ohms < OPEN_FROM).then_some(ohms.get())
        };
        Some(Span::new(with(Triple::low)?, with(Triple::high)?))
    }

    /// The parts.
    pub(crate) fn parts(&self) -> &'a [Part] {
        &self.assembly.lead.parts
    }

    /// Whether the connector at an end was moulded on in a factory.
    pub(crate) fn is_moulded(&self, end: EndId) -> bool {
        self.moulded.contains(&end)
    }

    /// Where each tip of an end lands if its cups were counted from the wrong side.
    pub(crate) fn mirrored(&self, end: EndId) -> BTreeMap<Spot, Spot> {
        let connector = self.assembly.lead.end(end).map(|end| end.connector);
        self.moved(end, |contact| mirror_image(connector?, contact))
    }

    /// Where each tip of an end lands if one row was taken for the other. Only straight rows can be.
    pub(crate) fn rows_exchanged(&self, end: EndId) -> BTreeMap<Spot, Spot> {
        let connector = self.assembly.lead.end(end).map(|end| end.connector);
        self.moved(end, |contact| other_row(connector?, contact))
    }

    /// Where each tip on a part lands if the part was put in the wrong way round.
    pub(crate) fn turned(&self, part: &Part) -> BTreeMap<Spot, Spot> {
        let id = part.id();
        self.moved(EndId::Part(id), |contact| turned_leg(part.body, contact))
    }

    fn moved(&self, end: EndId, image: impl Fn(ContactId) -> Option<ContactId>) -> BTreeMap<Spot, Spot> {
        let own = self.spots.iter().enumerate().filter(|(_, leg)| leg.end == end);
        let moved = own.filter_map(|(at, leg)| {
            let to = self.spot(Leg { end, contact: image(leg.contact)? })?;
            (to != at).then_some((at, to))
        });
        moved.collect()
    }
}

/// The contact whose number is read at another's cup by whoever counts from the wrong side: each row backwards. Nothing is
/// compared but heights and the order along a row, as the rows of a connector need not be symmetric: those of a DE-15 of
/// high density are not.
fn mirror_image(connector: Connector, contact: ContactId) -> Option<ContactId> {
    let height = connector.place(contact, Side::Solder)?.y;
    let contacts = connector.family.contact_ids();
    let places = contacts.filter_map(|other| Some((connector.place(other, Side::Solder)?, other)));
    let mut row: Vec<_> = places.filter(|(place, _)| (place.y - height).get().abs() < ONE_HEIGHT).collect();
    row.sort_by(|(one, _), (other, _)| one.x.get().total_cmp(&other.x.get()));
    let at = row.iter().rev().position(|(_, other)| *other == contact)?;
    row.get(at).map(|(_, image)| *image)
}

/// The contact that stands as far along the other row, counted in the order of the numbers: the first row for the
/// last. The longer row's last contacts have none.
fn other_row(connector: Connector, contact: ContactId) -> Option<ContactId> {
    match connector.family.body() {
        Shape::DShell { .. } | Shape::Slot { .. } => {}
        Shape::Skirt { .. } | Shape::Strip => return None,
    }
    let mut contacts =
        connector.family.contact_ids().filter(|contact| *contact != ContactId::Shell).collect::<Vec<_>>();
    let mut rows: Vec<Vec<ContactId>> = Vec::new();
    let height = |contact: ContactId| Some(connector.place(contact, Side::Solder)?.y);
    contacts.sort_unstable();
    for contact in contacts {
        let y = height(contact);
        match rows.iter_mut().find(|row| row.first().and_then(|first| height(*first)) == y) {
            Some(row) => row.push(contact),
            None => rows.push(vec![contact]),
        }
    }
    let last = rows.len().checked_sub(1)?;
    rows.iter().enumerate().find_map(|(at, row)| {
        let along = row.iter().position(|own| *own == contact)?;
        rows.get(last - at)?.get(along).copied()
    })
}

/// The leg that lies where a leg belongs if a part is turned round.
fn turned_leg(body: Body, contact: ContactId) -> Option<ContactId> {
    let ContactId::Number(number) = contact else { return None };
    let turned = match body {
        Body::Diode(_) => 3_u8.checked_sub(number)?,
        Body::Resistor(_) | Body::Capacitor(_) => return None,
        Body::Transistor(part) => {
            let row = part.sheet().row.value;
            let names = part.kind().legs();
            let name = names.get(usize::from(number).checked_sub(1)?)?;
            let place = row.iter().position(|own| own == name)?;
            let lies_there = row.get(2 - place)?;
            u8::try_from(names.iter().position(|own| own == lies_there)? + 1).ok()?
        }
        Body::Chip(chip) => {
            let count = u8::try_from(chip.sheet().legs.len()).ok()?;
            let half = count / 2;
            if number > half { number - half } else { number + half }
        }
        // Turned round, each throw lies where the other belongs; a switch between on and off is the same either way.
        Body::Changeover(switch) => {
            let of_pole = 1 + switch.throws();
            match (number.checked_sub(1)? % of_pole, switch.throws()) {
                (1, 2) => number + 1,
                (2, 2) => number - 1,
                _ => number,
            }
        }
    };
    Some(ContactId::Number(turned))
}

#[cfg(test)]
mod tests {
    use solderside_trade::{Family, Gender};

    use super::*;

    fn image(of: impl Fn(Connector, ContactId) -> Option<ContactId>, family: Family, contact: u8) -> String {
        let connector = Connector { family, gender: Gender::Socket };
        of(connector, ContactId::Number(contact)).map_or("none".to_owned(), |contact| contact.to_string())
    }

    #[test]
    fn a_connector_read_from_the_wrong_side_counts_each_row_backwards() {
        for [own, other] in [[1, 5], [2, 4], [3, 3], [6, 9], [7, 8]] {
            assert_eq!(image(mirror_image, Family::De9, own), other.to_string());
        }
        assert_eq!(image(mirror_image, Family::Da15, 13), "11");
    }

    #[test]
    fn a_round_connector_read_from_the_wrong_side_counts_its_arc_backwards() {
        // 5/180 is numbered 1-4-2-5-3 along its arc (*DIN Connectors*, github.com/0cjs/sedoc).
        for family in [Family::Din5Arc180, Family::Din8Arc262, Family::Din8Arc270] {
            for [own, other] in [[1, 3], [3, 1], [4, 5], [5, 4], [2, 2]] {
                assert_eq!(image(mirror_image, family, own), other.to_string(), "{family}");
            }
        }
        for [own, other] in [[1, 2], [3, 5], [4, 4], [6, 8], [7, 7]] {
            assert_eq!(image(mirror_image, Family::MiniDin8, own), other.to_string());
        }
    }

    #[test]
    fn rows_that_are_not_symmetric_are_counted_backwards_too() {
        for [own, other] in [[1, 5], [3, 3], [6, 10], [7, 9], [11, 15], [14, 12]] {
            assert_eq!(image(mirror_image, Family::De15Hd, own), other.to_string());
        }
    }

    #[test]
    fn rows_taken_for_each_other_swap_what_stands_as_far_along() {
        for [own, other] in [[1, 6], [2, 7], [4, 9], [6, 1], [9, 4]] {
            assert_eq!(image(other_row, Family::De9, own), other.to_string());
        }
        // The fifth of the long row has nothing beside it in the short one.
        assert_eq!(image(other_row, Family::De9, 5), "none");
        assert_eq!(image(other_row, Family::De15Hd, 2), "12");
        assert_eq!(image(other_row, Family::De15Hd, 7), "7");
        assert_eq!(image(other_row, Family::Din5Arc180, 2), "none");
        let edge = Connector { family: Family::Edge28x2, gender: Gender::Socket };
        let first = other_row(edge, ContactId::Number(1)).map(|contact| contact.to_string());
        assert_eq!(first.as_deref(), Some("A"));
    }

    #[test]
    fn a_part_turned_round_has_each_leg_where_its_opposite_belongs() {
        let number = |number| ContactId::Number(number);
        let diode = Body::Diode(solderside_trade::DiodePart::Silicon1N4148);
        assert_eq!(turned_leg(diode, PartId::ANODE), Some(PartId::CATHODE));
        // A 74HC157 has 16 legs: turned round its leg 9 lies where 1 belongs.
        let chip = Body::Chip(solderside_trade::ChipPart::parse("74HC157").unwrap());
        assert_eq!(turned_leg(chip, number(1)), Some(number(9)));
        assert_eq!(turned_leg(chip, number(16)), Some(number(8)));
        // A BC547 is collector, base, emitter from left to right: its base stays in the middle.
        let transistor = Body::Transistor(solderside_trade::TransistorPart::Bc547);
        assert_eq!(turned_leg(transistor, PartId::BASE), Some(PartId::BASE));
        assert_eq!(turned_leg(transistor, PartId::COLLECTOR), Some(PartId::EMITTER));
    }
}
