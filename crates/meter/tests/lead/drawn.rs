//! Fifty leads drawn by chance, and the covering problem of each as text for a solver outside.
//!
//! Nothing here comes from the crate under test but its readings and the names of its faults: which measurements may be
//! taken is worked out again from the joins.

use std::collections::BTreeMap;
use std::fmt::Write;

use solderside_lead::{Assembly, Body, EndId, Join, Leg, Part, PartId, PlayMap, Resistor};
use solderside_meter::{Bench, Fault, Measurement, Range, Tip, universe};
use solderside_profile::Library;
use solderside_quantity::Ohms;
use solderside_trade::{Connector, ContactId, DiodePart, Family, Gender, TerminalCount};

/// How many leads are drawn: these of wire only first, then those with parts.
const OF_WIRE: u64 = 30;
const ALL: u64 = 50;

/// A generator of random numbers (S. Vigna, splitmix64.c, 2015, from memory).
struct Chance(u64);

impl Chance {
    const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below another.
    fn below(&mut self, bound: usize) -> usize {
        usize::try_from(self.next() % bound as u64).unwrap()
    }

    /// Whether something happens that does so once in so many times.
    fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// Puts things in any order.
    fn shuffled<T>(&mut self, mut things: Vec<T>) -> Vec<T> {
        for last in (1..things.len()).rev() {
            things.swap(last, self.below(last + 1));
        }
        things
    }
}

/// All of them.
pub fn leads() -> impl Iterator<Item = Assembly> {
    (0..ALL).map(|number| lead(&mut Chance(number), number >= OF_WIRE))
}

fn lead(chance: &mut Chance, has_parts: bool) -> Assembly {
    let library = Library::with_shelf(Vec::new());
    let template = library.controller("nine-pin-select-pad").unwrap();
    let mut controller = library.controller("fifteen-pin-stick").unwrap();
    let mut port = library.port("nine-pin-two-trigger").unwrap();
    let is_large = chance.once_in(5);
    controller.connector = connector(chance, is_large);
    port.connector = connector(chance, is_large);
    let [from, to] = [controller.connector, port.connector].map(|connector| {
        let cups = connector.family.contact_ids().filter(|contact| *contact != ContactId::Shell);
        chance.shuffled(cups.collect::<Vec<_>>())
    });
    let most = from.len().min(to.len());
    let count = if is_large { most - chance.below(3) } else { 3 + chance.below(most.min(15) - 2) };
    let pairs: Vec<(ContactId, ContactId)> =
        from.iter().copied().zip(to.iter().copied()).take(count).collect();

    // Roles decide which readings are taken in any case.
    let with_role = |role: fn(&solderside_profile::ControllerRole) -> bool| {
        template.contacts.values().find(|contact| role(&contact.role)).unwrap().clone()
    };
    let common = with_role(|role| *role == solderside_profile::ControllerRole::Common);
    let supplied = with_role(|role| *role == solderside_profile::ControllerRole::Supply);
    let supply = port.contacts[&ContactId::Number(5)].clone();
    let home = port.contacts[&ContactId::Number(9)].clone();
    controller.contacts.clear();
    port.contacts.clear();
    if !chance.once_in(4) {
        port.contacts.extend([(pairs[0].1, supply), (pairs[1].1, home.clone())]);
        if chance.once_in(3) {
            port.contacts.insert(pairs[2].1, home);
        }
        if chance.once_in(2) {
            controller.contacts.extend([(pairs[0].0, supplied), (pairs[1].0, common)]);
        }
    }

    let mut assembly = Assembly::between(controller, port, PlayMap::default());
    let legs = pairs.iter().map(|(from, to)| Join::new(Leg::controller(*from), Leg::port(*to)));
    let mut joins: Vec<Join> = legs.collect();
    let free_at_the_port: Vec<ContactId> = to[count..].to_vec();
    if let Some(free) = free_at_the_port.first().filter(|_| chance.once_in(2)) {
        // A link from cup to cup, or a second conductor in one cup.
        let used = pairs[chance.below(count)];
        let near = if chance.once_in(2) { Leg::port(used.1) } else { Leg::controller(used.0) };
        joins.push(Join::new(near, Leg::port(*free)));
    }
    let [one, other] = [EndId::Controller(0), EndId::Port].map(|id| assembly.lead.end(id).unwrap().connector);
    if one.family.has_shell() && other.family.has_shell() && chance.once_in(3) {
        joins.push(Join::new(Leg::controller(ContactId::Shell), Leg::port(ContactId::Shell)));
    }
    if has_parts {
        let mut diodes = 0;
        let mut resistors = 0;
        for at in 0..=chance.below(3) {
            let (id, body) = if chance.once_in(3) {
                resistors += 1;
                let ohms = [330.0, 4700.0, 10e3][chance.below(3)];
                (
                    PartId::Resistor(resistors),
                    Body::Resistor(Resistor { ohms: Ohms::literal(ohms), tolerance: 0.05 }),
                )
            } else {
                diodes += 1;
                let kind = DiodePart::ALL[chance.below(DiodePart::ALL.len())];
                (PartId::Diode(diodes), Body::Diode(kind))
            };
            let [near, far] = if chance.once_in(2) { [1, 2] } else { [2, 1] };
            let [near, far] = [near, far].map(|leg| Leg::part(id, ContactId::Number(leg)));
            assembly.lead.parts.push(Part { number: id.number(), body, sits: EndId::Port });
            let join = joins[at];
            if chance.once_in(3) {
                // From one line to another.
                joins.extend([Join::new(join.to, near), Join::new(far, joins[at + 1].to)]);
            } else {
                joins[at] = Join::new(join.from, near);
                joins.push(Join::new(far, join.to));
            }
        }
    }
    assembly.lead.joins = joins;
    assembly.lead.settle();
    assembly
}

fn connector(chance: &mut Chance, is_large: bool) -> Connector {
    let strip = |screws| Family::Terminals(TerminalCount::new(screws).unwrap());
    let families = if is_large {
        vec![Family::Da15, Family::De15Hd, strip(15)]
    } else {
        vec![
            Family::De9,
            Family::De9,
            Family::Da15,
            Family::De15Hd,
            Family::MiniDin8,
            Family::Din5Arc180,
            Family::Din8Arc262,
            Family::Din8Arc270,
            strip(4 + u8::try_from(chance.below(12)).unwrap()),
        ]
    };
    let gender = if chance.once_in(2) { Gender::Plug } else { Gender::Socket };
    Connector { family: families[chance.below(families.len())], gender }
}

/// The places that a probe reaches, in rising order.
fn places(assembly: &Assembly) -> Vec<Leg> {
    let ends = assembly.lead.ends.iter();
    let mut places: Vec<Leg> = ends
        .flat_map(|end| end.connector.family.contact_ids().map(|contact| Leg { end: end.id, contact }))
        .collect();
    places.sort_unstable();
    places
}

/// What may be measured: ohms between any two places, and both ways on the diode range where two hang together by way of
/// parts, a diode among them, and not by wire.
pub fn measurements(assembly: &Assembly) -> Vec<Measurement> {
    let places = places(assembly);
    let lead = &assembly.lead;
    let legs = lead.parts.iter().map(|part| [1, 2].map(|leg| Leg::part(part.id(), ContactId::Number(leg))));
    let wires: Vec<[Leg; 2]> = lead.joins.iter().map(|join| [join.from, join.to]).collect();
    let parts: Vec<[Leg; 2]> = legs.collect();
    let nets = together(&places, &wires);
    let groups = together(&places, &[wires, parts.clone()].concat());
    let is_diode = |part: &Part| matches!(part.body, Body::Diode(_));
    let with_diode: Vec<Leg> = lead
        .parts
        .iter()
        .zip(&parts)
        .filter(|(part, [one, other])| is_diode(part) && nets[one] != nets[other])
        .map(|(_, [one, _])| groups[one])
        .collect();
    let pairs = || {
        places
            .iter()
            .enumerate()
            .flat_map(|(at, one)| places[at + 1..].iter().map(move |other| [*one, *other]))
    };
    let measurement = |range, [red, black]: [Leg; 2]| Measurement { range, red, black, held: None };
    let ohms = pairs().map(|pair| measurement(Range::Ohms, pair));
    let tied = pairs().filter(|[one, other]| {
        nets[one] != nets[other] && groups[one] == groups[other] && with_diode.contains(&groups[one])
    });
    let diode = tied
        .flat_map(|[one, other]| [[one, other], [other, one]].map(|pair| measurement(Range::Diode, pair)));
    ohms.chain(diode).collect()
}

/// For each leg the least one that it hangs together with.
fn together(places: &[Leg], pairs: &[[Leg; 2]]) -> BTreeMap<Leg, Leg> {
    let mut of: BTreeMap<Leg, Leg> =
        places.iter().chain(pairs.iter().flatten()).map(|leg| (*leg, *leg)).collect();
    for [one, other] in pairs {
        let [one, other] = [of[one], of[other]];
        for own in of.values_mut().filter(|own| **own == one.max(other)) {
            *own = one.min(other);
        }
    }
    of
}

/// The covering problem of a lead: what it is, and for each fault of the lead which measurements show it, in digits of
/// four bits, the first measurement in the highest bit of the first digit.
pub fn problem(assembly: &Assembly) -> String {
    let bench = Bench::new(assembly);
    let mut text = String::new();
    for end in &assembly.lead.ends {
        writeln!(text, "end {} {}", end.id, end.connector.family).unwrap();
    }
    let port = &assembly.port;
    let supplies = port.supplies().into_iter().map(|(contact, _)| Leg::port(contact));
    let homes = port.returns().into_iter().map(Leg::port);
    roles(&mut text, "port", supplies.collect(), homes.collect());
    let pad = &assembly.controllers[0];
    roles(
        &mut text,
        "controller",
        pad.supply().into_iter().map(Leg::controller).collect(),
        pad.commons().into_iter().map(Leg::controller).collect(),
    );
    for part in &assembly.lead.parts {
        writeln!(text, "part {} {}", part.id(), part.body).unwrap();
    }
    for join in &assembly.lead.joins {
        writeln!(text, "join {} {}", join.from, join.to).unwrap();
    }
    let measurements = measurements(assembly);
    for measurement in &measurements {
        writeln!(text, "column {} {} {}", measurement.range.as_str(), measurement.red, measurement.black)
            .unwrap();
    }
    let good: Vec<_> =
        measurements.iter().map(|measurement| bench.reads(&[], measurement).unwrap()).collect();
    for fault in universe(&bench).into_iter().filter(|fault| fault.kind().is_of_the_lead()) {
        let shows: Vec<bool> = measurements
            .iter()
            .zip(&good)
            .map(|(measurement, good)| {
                !bench.reads(std::slice::from_ref(&fault), measurement).unwrap().meets(*good)
            })
            .collect();
        let digit =
            |four: &[bool]| (0..4).fold(0, |digit, at| digit * 2 + u32::from(four.get(at) == Some(&true)));
        let digits: String =
            shows.chunks(4).map(|four| std::char::from_digit(digit(four), 16).unwrap()).collect();
        writeln!(text, "fault {} {digits}", words(&fault)).unwrap();
    }
    text
}

fn roles(text: &mut String, end: &str, supplies: Vec<Leg>, homes: Vec<Leg>) {
    for leg in supplies {
        writeln!(text, "supply {end} {leg}").unwrap();
    }
    for leg in homes {
        writeln!(text, "home {end} {leg}").unwrap();
    }
}

/// A fault in words without blanks within them.
fn words(fault: &Fault) -> String {
    let kind = fault.kind().as_str();
    let tip = |tip: &Tip| format!("{} {} {}", tip.join.from, tip.join.to, tip.at);
    match fault {
        Fault::OpenJoint(own) | Fault::WeakJoint(own) => format!("{kind} {}", tip(own)),
        Fault::Bridge([one, other]) => format!("{kind} {one} {other}"),
        Fault::Swapped(one, other) => format!("{kind} {} {}", tip(one), tip(other)),
        Fault::Mirrored(end) | Fault::RowsExchanged(end) => format!("{kind} {end}"),
        Fault::OneCupOff(own, cup) => format!("{kind} {} {cup}", tip(own)),
        Fault::PartMissing(id) | Fault::PartReversed(id) => format!("{kind} {id}"),
        Fault::DecadeUp(id) => format!("{kind} {id} up"),
        Fault::DecadeDown(id) => format!("{kind} {id} down"),
        Fault::LegOpen(leg) => format!("{kind} {leg}"),
        Fault::CableShort(_)
        | Fault::ThrowOpen(_)
        | Fault::DirtyContact(..)
        | Fault::StuckContact(..)
        | Fault::DeadInput(_) => {
            unreachable!("none of these is in what a plan looks for")
        }
    }
}

/// A digest of a text (G. Fowler, L. C. Noll, K.-P. Vo, FNV-1a of 64 bits; RFC 9923, from memory).
pub fn digest(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |digest, byte| {
        (digest ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}
