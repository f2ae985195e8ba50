//! A lead with a hidden fault and a meter with noise, made without anything of the crate under test but the names of its
//! faults: joins edited by hand, a dense elimination, and a generator of its own.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, Body, EndId, Leg, PartId};
use solderside_meter::{Fault, Measurement, Range, Tip};
use solderside_profile::{Control, ControllerRole};
use solderside_trade::{ContactId, DiodePart};

/// A generator of random numbers (P. L'Ecuyer, "Tables of Linear Congruential Generators", 1999, from memory).
#[derive(Clone)]
pub struct Dice(u64);

impl Dice {
    pub const fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(2).wrapping_add(1))
    }

    /// From 0 up to 1.
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(3_935_559_000_370_003_845).wrapping_add(2_691_343_689_449_507_681);
        f64::from(u32::try_from(self.0 >> 32).unwrap()) / 4_294_967_296.0
    }

    /// Of mean 0 and deviation 1: a sum of twelve.
    fn error(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

#[derive(Clone, Copy)]
enum Element {
    Ohms(f64),
    /// Conducts from its first place to its second above so many volts.
    Diode(f64),
}

/// A lead as it was soldered, every value drawn once.
pub struct Specimen<'a> {
    assembly: &'a Assembly,
    elements: Vec<(Leg, Leg, Element)>,
    dirty: Option<(EndId, Control)>,
    stuck: Option<(EndId, Control)>,
}

impl<'a> Specimen<'a> {
    pub fn new(assembly: &'a Assembly, fault: Option<&Fault>, dice: &mut Dice) -> Self {
        let mut elements = Vec::new();
        for join in &assembly.lead.joins {
            // The contact of a switch goes with it.
            if join.is_of_switch()
                && matches!(fault, Some(Fault::PartMissing(id)) if join.from.end == EndId::Part(*id))
            {
                continue;
            }
            let wire = assembly.lead.wire_ohms(join);
            let mut ohms = wire.low().get() + (wire.high().get() - wire.low().get()) * dice.share();
            let is_own = |tip: &Tip| tip.join == *join;
            match fault {
                Some(Fault::OpenJoint(tip)) if is_own(tip) => continue,
                // From 50 Ω to 5 kΩ, each decade as likely as another.
                Some(Fault::WeakJoint(tip)) if is_own(tip) => ohms += 50.0 * libm::pow(100.0, dice.share()),
                _ => {}
            }
            let [from, to] = [join.from, join.to].map(|leg| landed(assembly, fault, join, leg));
            elements.push((from, to, Element::Ohms(ohms)));
        }
        if let Some(Fault::Bridge([one, other])) = fault {
            elements.push((*one, *other, Element::Ohms(0.05 * dice.share())));
        }
        for part in &assembly.lead.parts {
            let id = part.id();
            if fault == Some(&Fault::PartMissing(id)) {
                continue;
            }
            let [one, other] = [PartId::ANODE, PartId::CATHODE].map(|leg| Leg::part(id, leg));
            match part.body {
                // Their usual drops at 1 mA, less what 30 Ω drop (their data sheets, read off the curves).
                Body::Diode(DiodePart::Silicon1N4148) => elements.push((one, other, Element::Diode(0.57))),
                Body::Diode(DiodePart::SchottkyBat85) => elements.push((one, other, Element::Diode(0.24))),
                Body::Resistor(resistor) => {
                    let decade = match fault {
                        Some(Fault::DecadeUp(own)) if *own == id => 10.0,
                        Some(Fault::DecadeDown(own)) if *own == id => 0.1,
                        _ => 1.0,
                    };
                    let spread = 1.0 + resistor.tolerance * (2.0 * dice.share() - 1.0);
                    elements.push((one, other, Element::Ohms(resistor.ohms.get() * decade * spread)));
                }
                // A capacitor is full, a chip is out of its socket; no lead of these tests has a transistor.
                Body::Capacitor(_) | Body::Chip(_) | Body::Transistor(_) | Body::Changeover(_) => {}
            }
        }
        let dirty = match fault {
            Some(Fault::DirtyContact(end, control)) => Some((*end, control.clone())),
            _ => None,
        };
        let stuck = match fault {
            Some(Fault::StuckContact(end, control)) => Some((*end, control.clone())),
            _ => None,
        };
        Self { assembly, elements, dirty, stuck }
    }

    /// What the meter shows: infinite for no reading.
    pub fn read(&self, measurement: &Measurement, dice: &mut Dice) -> f64 {
        let mut elements = self.elements.clone();
        if let Some(held) = &measurement.held {
            self.plug_in(held, &mut elements, dice);
        }
        let true_value = match measurement.range {
            Range::Ohms => resistance(&elements, measurement.red, measurement.black, dice),
            Range::Diode => {
                volts(&elements, measurement.red, measurement.black, 0.001 * (0.8 + 0.5 * dice.share()))
            }
        };
        match measurement.range {
            Range::Ohms if true_value > 2e6 => f64::INFINITY,
            // A digit of 0.1 Ω, the probes, a quarter of a per cent.
            Range::Ohms => {
                let shown = true_value * (1.0 + 0.0025 * dice.error()) + 0.06 * dice.error();
                ((shown.max(0.0) * 10.0).round()) / 10.0
            }
            Range::Diode if true_value > 2.0 => f64::INFINITY,
            Range::Diode => (true_value + 0.003 * dice.error()).max(0.0),
        }
    }

    fn plug_in(&self, held: &[Control], elements: &mut Vec<(Leg, Leg, Element)>, dice: &mut Dice) {
        for (end, controller) in self.assembly.controllers() {
            let at = |contact: ContactId| Leg { end, contact };
            for net in controller.common_nets() {
                elements.extend(net.windows(2).map(|two| (at(two[0]), at(two[1]), Element::Ohms(0.01))));
            }
            for (contact, known) in &controller.contacts {
                let ControllerRole::Control(control) = &known.role else { continue };
                let is_dirty =
                    self.dirty.as_ref().is_some_and(|(own, dirty)| *own == end && dirty == control);
                let Some(common) = controller.commons_of(control).first().copied() else { continue };
                let is_stuck =
                    self.stuck.as_ref().is_some_and(|(own, stuck)| *own == end && stuck == control);
                if (is_stuck || held.contains(control) && !is_dirty)
                    && controller.driver_of(control).is_none()
                {
                    let closed = controller.closed_ohms(control);
                    let ohms = closed.low().get() + (closed.high().get() - closed.low().get()) * dice.share();
                    elements.push((at(*contact), at(common), Element::Ohms(ohms)));
                }
            }
        }
    }
}

/// Where an end of a conductor really lies.
fn landed(assembly: &Assembly, fault: Option<&Fault>, join: &solderside_lead::Join, leg: Leg) -> Leg {
    let is_this = |tip: &Tip| tip.join == *join && tip.at == leg;
    match fault {
        Some(Fault::Swapped(one, other)) if is_this(one) => other.at,
        Some(Fault::Swapped(one, other)) if is_this(other) => one.at,
        Some(Fault::OneCupOff(tip, cup)) if is_this(tip) => *cup,
        Some(Fault::Mirrored(end)) if *end == leg.end => {
            moved(assembly, leg, |rows, row, along| (row, rows[row] - 1 - along))
        }
        Some(Fault::RowsExchanged(end)) if *end == leg.end => {
            moved(assembly, leg, |rows, row, along| (rows.len() - 1 - row, along))
        }
        Some(Fault::PartReversed(id)) if leg.end == EndId::Part(*id) && matches!(id, PartId::Diode(_)) => {
            Leg::part(*id, if leg.contact == PartId::ANODE { PartId::CATHODE } else { PartId::ANODE })
        }
        // Its two throws change places, and nothing inside it.
        Some(Fault::PartReversed(id))
            if leg.end == EndId::Part(*id)
                && matches!(id, PartId::Changeover(_))
                && leg.contact != PartId::COMMON
                && !join.is_of_switch() =>
        {
            let number = if leg.contact == ContactId::Number(2) { 3 } else { 2 };
            Leg::part(*id, ContactId::Number(number))
        }
        _ => leg,
    }
}

/// A contact of a D-sub by its row and its place there, moved; a place that is not there leaves it.
fn moved(assembly: &Assembly, leg: Leg, to: impl Fn(&[usize], usize, usize) -> (usize, usize)) -> Leg {
    let ContactId::Number(number) = leg.contact else { return leg };
    let Some(end) = assembly.lead.end(leg.end) else { return leg };
    let rows: Vec<usize> = end.connector.family.rows().into_iter().map(usize::from).collect();
    let mut row = 0;
    let mut along = usize::from(number) - 1;
    while along >= rows[row] {
        along -= rows[row];
        row += 1;
    }
    let (row, along) = to(&rows, row, along);
    if along >= rows[row] {
        return leg;
    }
    let number = rows[..row].iter().sum::<usize>() + along + 1;
    Leg { contact: ContactId::Number(u8::try_from(number).unwrap()), ..leg }
}

/// The resistance between two places. A diode may show anything on this range.
fn resistance(elements: &[(Leg, Leg, Element)], red: Leg, black: Leg, dice: &mut Dice) -> f64 {
    let linear: Vec<(Leg, Leg, f64)> = elements
        .iter()
        .map(|(a, b, element)| match element {
            Element::Ohms(ohms) => (*a, *b, *ohms),
            Element::Diode(_) => (*a, *b, 600.0 * libm::pow(1e4, dice.share())),
        })
        .collect();
    let volts = solved(&linear, &[], red, black, 1.0);
    volts[&red] - volts[&black]
}

/// What the diode range shows: each diode a wire of 0.55 V and 30 Ω, or nothing, whichever is consistent.
fn volts(elements: &[(Leg, Leg, Element)], red: Leg, black: Leg, amps: f64) -> f64 {
    let linear: Vec<(Leg, Leg, f64)> = elements
        .iter()
        .filter_map(
            |(a, b, element)| if let Element::Ohms(ohms) = element { Some((*a, *b, *ohms)) } else { None },
        )
        .collect();
    let diodes: Vec<(Leg, Leg, f64)> = elements
        .iter()
        .filter_map(
            |(a, b, element)| if let Element::Diode(drop) = element { Some((*a, *b, *drop)) } else { None },
        )
        .collect();
    (0..1_u32 << diodes.len())
        .find_map(|conducting| {
            let is_on = |at: usize| conducting >> at & 1 == 1;
            let on: Vec<(Leg, Leg, f64)> =
                (0..diodes.len()).filter(|at| is_on(*at)).map(|at| diodes[at]).collect();
            let volts = solved(&linear, &on, red, black, amps);
            let drop = |leg: Leg| volts.get(&leg).copied().unwrap_or(0.0);
            let agrees = |at: usize| {
                let (anode, cathode, least) = diodes[at];
                (drop(anode) - drop(cathode) > least) == is_on(at) || anode == cathode
            };
            (0..diodes.len()).all(agrees).then(|| drop(red) - drop(black))
        })
        .unwrap_or(f64::INFINITY)
}

/// The voltage of each place for a current between two, with diodes that conduct: a dense elimination.
fn solved(
    linear: &[(Leg, Leg, f64)],
    on: &[(Leg, Leg, f64)],
    red: Leg,
    black: Leg,
    amps: f64,
) -> BTreeMap<Leg, f64> {
    let mut places: Vec<Leg> = linear.iter().flat_map(|(a, b, _)| [*a, *b]).collect();
    places.extend(on.iter().flat_map(|(a, b, _)| [*a, *b]));
    places.extend([red, black]);
    places.sort_unstable();
    places.dedup();
    let at = |leg: Leg| places.binary_search(&leg).unwrap();
    let n = places.len();
    let mut rows = vec![vec![0.0; n + 1]; n];
    let mut stamp = |a: usize, b: usize, ohms: f64, drop: f64| {
        let siemens = 1.0 / ohms.max(1e-3);
        rows[a][a] += siemens;
        rows[b][b] += siemens;
        rows[a][b] -= siemens;
        rows[b][a] -= siemens;
        rows[a][n] += drop * siemens;
        rows[b][n] -= drop * siemens;
    };
    for (a, b, ohms) in linear {
        if a != b {
            stamp(at(*a), at(*b), *ohms, 0.0);
        }
    }
    for (a, b, drop) in on {
        if a != b {
            stamp(at(*a), at(*b), 30.0, *drop);
        }
    }
    for (place, row) in rows.iter_mut().enumerate() {
        row[place] += 1e-9;
    }
    rows[at(red)][n] += amps;
    rows[at(black)][n] -= amps;
    for pivot in 0..n {
        let best = (pivot..n).max_by(|a, b| rows[*a][pivot].abs().total_cmp(&rows[*b][pivot].abs())).unwrap();
        rows.swap(pivot, best);
        let own = rows[pivot].clone();
        for row in rows.iter_mut().skip(pivot + 1) {
            let by = row[pivot] / own[pivot];
            if by != 0.0 {
                row.iter_mut().zip(&own).for_each(|(value, own)| *value -= by * own);
            }
        }
    }
    let mut volts = vec![0.0; n];
    for row in (0..n).rev() {
        let known: f64 = (row + 1..n).map(|other| rows[row][other] * volts[other]).sum();
        volts[row] = (rows[row][n] - known) / rows[row][row];
    }
    places.into_iter().zip(volts).collect()
}
