//! Times that do occur: at typical values, with nothing else moved, and with one other thing moved at a time.

use solderside_circuit::{ElementId, Equivalent, Spread, Uncertain, time_constants};
use solderside_lead::{Assembly, Leg, State};
use solderside_profile::{Control, Pot, Ramp};
use solderside_quantity::{Ohms, Quantity, Seconds, Triple, Volts};

use super::bench::Own;
use super::{Joined, Position, from_rail, pots};
use crate::cases::Moving;
use crate::script::Script;

/// The times at low, centre and high while one thing is moved; infinite where it never charges.
pub(super) struct Point {
    pub(super) at: At,
    pub(super) seconds: [f64; 3],
    /// What the full travel that the port is made for takes with these parts.
    full: f64,
}

/// What is special about a point.
#[derive(Clone)]
pub(super) enum At {
    /// Typical values, and nothing else moved.
    Rest,
    /// Nothing else moved, with the largest track, capacitor, series resistance and threshold, and the middle of the travel
    /// as far as it lies from 0 Ω.
    Slowest,
    /// The same with the smallest of each.
    Soonest,
    /// A control is pressed.
    Pressed(Control),
    /// Another pot stands at one of its ends.
    Pot(Leg, Position),
}

impl At {
    fn of<T: Quantity>(&self, triple: Triple<T>) -> T {
        match self {
            Self::Rest | Self::Pressed(_) | Self::Pot(..) => triple.typical(),
            Self::Slowest => triple.high(),
            Self::Soonest => triple.low(),
        }
    }
}

impl Point {
    /// What the machine makes of the time at a position: of one beyond what it measures the nearest that it does.
    fn read(&self, joined: &Joined<'_>, position: Position) -> f64 {
        let (shortest, longest) = joined.axis.reads;
        self.seconds[position.place()].max(shortest.get()).min(longest.get())
    }

    /// Whether nothing but the stick itself is moved.
    pub(super) const fn is_alone(&self) -> bool {
        matches!(self.at, At::Rest | At::Slowest | At::Soonest)
    }
}

/// The times that do occur in the first step, with nothing moved first. None where the circuit is not one of resistances.
pub(super) fn points(
    assembly: &Assembly,
    script: &Script<'_>,
    moving: &Moving,
    joined: &Joined<'_>,
) -> Option<Vec<Point>> {
    script.steps().next()?;
    let circuit = script.circuit(0);
    let own = Own::of(circuit, joined.leg, Some(joined.at))?;
    let pot = own.pot?;
    let others: Vec<(Leg, ElementId, &Pot)> = pots(assembly)
        .into_iter()
        .filter(|(leg, _)| *leg != joined.at)
        .filter_map(|(leg, pot)| Some((leg, circuit.pot(leg)?, pot)))
        .collect();
    let single = moving.states(1).into_iter().flat_map(|state| moving.pressed(&state)).map(At::Pressed);
    let ends =
        others.iter().flat_map(|(leg, ..)| [Position::Low, Position::High].map(|end| At::Pot(*leg, end)));
    let points = [At::Rest, At::Slowest, At::Soonest].into_iter().chain(single).chain(ends);
    points
        .map(|at| {
            let pressed: State = match &at {
                At::Pressed(control) => State::from([control.clone()]),
                At::Rest | At::Slowest | At::Soonest | At::Pot(..) => State::new(),
            };
            let network = own.taken_off(&script.network(0, &pressed, &State::new()))?;
            if !network.is_straight_round(own.node) {
                return None;
            }
            let mut set: Vec<(ElementId, Ohms)> = Vec::new();
            if let At::Pot(leg, end) = &at {
                let other = others.iter().find(|(other, ..)| other == leg);
                set.extend(other.map(|(_, id, pot)| (*id, end.ohms(pot.ohms).typical())));
            }
            let seconds = Position::ALL.map(|position| {
                // Of the low end what occurs for certain is 0 Ω.
                let track = position.ohms(joined.pot.ohms);
                let ohms = if position == Position::Low { track.typical() } else { at.of(track) };
                set.push((pot, ohms));
                let time = time(assembly, joined, &at, &own, &network, &set);
                set.pop();
                time
            });
            let [Some(low), Some(centre), Some(high)] = seconds else { return None };
            let scale = from_rail(at.of(joined.ramp.threshold).get());
            let full = joined.axis.full_scale.get() * at.of(joined.ramp.farads).get() * scale;
            Some(Point { at, seconds: [low, centre, high], full })
        })
        .collect()
}

/// The time with some pots where they are set, all else of the lead at its typical values.
fn time(
    assembly: &Assembly,
    joined: &Joined<'_>,
    at: &At,
    own: &Own,
    network: &Spread,
    set: &[(ElementId, Ohms)],
) -> Option<f64> {
    let set = network.with_each(|id, element| match (element, set.iter().find(|(own, _)| *own == id)) {
        (Uncertain::Resistor { a, b, .. }, Some((_, ohms))) => {
            Uncertain::Resistor { a: *a, b: *b, ohms: Triple::exactly(*ohms) }
        }
        (_, _) => *element,
    });
    charged(assembly, &joined.ramp, at, own, &set.ok()?)
}

/// The time in one state of the first step with nothing else moved, at typical values; none where the circuit is not one of
/// resistances, or nothing charges the line.
pub(super) fn typical(
    assembly: &Assembly,
    script: &Script<'_>,
    (leg, ramp): (Leg, &Ramp),
    pressed: &State,
) -> Option<Seconds> {
    script.steps().next()?;
    let own = Own::of(script.circuit(0), leg, None)?;
    let network = own.taken_off(&script.network(0, pressed, &State::new()))?;
    let seconds = charged(assembly, ramp, &At::Rest, &own, &network)?;
    Seconds::new(seconds).ok().filter(|_| network.is_straight_round(own.node))
}

/// How long the capacitor takes with all of the lead at its typical values.
fn charged(assembly: &Assembly, ramp: &Ramp, at: &At, own: &Own, network: &Spread) -> Option<f64> {
    // Without tolerances the bounds are the values.
    let Equivalent { open: [open, _], ohms: [ohms, _] } = network.without_tolerance().equivalent(own.node)?;
    let to = Volts::new(assembly.port.rail.typical().get() * at.of(ramp.threshold).get()).ok()?;
    let ohms = ohms + at.of(ramp.series);
    Some(ohms.get() * at.of(ramp.farads).get() * time_constants(open, to))
}

/// How far two neighbouring positions are apart at most, as a share of the port's full travel, and the points at which the
/// nearer one takes longest and the farther one shortest.
pub(super) fn nearest<'p>(
    joined: &Joined<'_>,
    points: &[&'p Point],
    [near, far]: [Position; 2],
) -> Option<(f64, [&'p Point; 2])> {
    let read = |position: Position| move |point: &&Point| point.read(joined, position);
    let by = |read: &dyn Fn(&&Point) -> f64, a: &&Point, b: &&Point| read(a).total_cmp(&read(b));
    let (of_near, of_far) = (read(near), read(far));
    let latest = points.iter().copied().max_by(|a, b| by(&of_near, a, b))?;
    let soonest = points.iter().copied().min_by(|a, b| by(&of_far, a, b))?;
    Some(((of_far(&soonest) - of_near(&latest)) / soonest.full, [latest, soonest]))
}
