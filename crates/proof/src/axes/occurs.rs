//! Times that do occur: at typical values, with nothing else moved, and with one other thing moved at a time.

use solderside_circuit::{ElementId, Spread, Uncertain, time_constants};
use solderside_lead::{Assembly, Leg, State};
use solderside_profile::Control;
use solderside_quantity::{Ohms, Quantity, Triple, Volts};

use super::bench::Own;
use super::{Joined, Position, pots};
use crate::cases::Moving;
use crate::script::Script;

/// The times at low, centre and high while one thing is moved; infinite where it never charges.
pub(super) struct Point {
    pub(super) moved: Option<Moved>,
    pub(super) seconds: [f64; 3],
}

/// What is moved.
pub(super) enum Moved {
    /// A control is pressed.
    Control(Control),
    /// Another pot stands at one of its ends.
    Pot(Leg, Position),
}

impl Point {
    /// What the machine makes of the time at a position: of one beyond what it measures the nearest that it does.
    fn read(&self, joined: &Joined<'_>, position: Position) -> f64 {
        let (shortest, longest) = joined.axis.reads;
        self.seconds[position.place()].max(shortest.get()).min(longest.get())
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
    let own = Own::of(circuit, joined)?;
    let single: Vec<Control> =
        moving.states(1).iter().flat_map(|state| moving.controls(state)[0].clone()).collect();
    let others: Vec<(Leg, ElementId, &solderside_profile::Pot)> = pots(assembly)
        .into_iter()
        .filter(|(leg, _)| *leg != joined.at)
        .filter_map(|(leg, pot)| Some((leg, circuit.pot(leg)?, pot)))
        .collect();
    let mut points = vec![None];
    points.extend(single.into_iter().map(|control| Some(Moved::Control(control))));
    for (leg, ..) in &others {
        points.extend([Position::Low, Position::High].map(|position| Some(Moved::Pot(*leg, position))));
    }
    let mut found = Vec::new();
    for moved in points {
        let pressed: State = match &moved {
            Some(Moved::Control(control)) => State::from([control.clone()]),
            Some(Moved::Pot(..)) | None => State::new(),
        };
        let network = own.taken_off(&script.network(0, &pressed, &State::new()))?;
        if !network.is_straight_round(own.node) {
            return None;
        }
        let mut seconds = [f64::INFINITY; 3];
        for (at, position) in Position::ALL.into_iter().enumerate() {
            let mut set = vec![(own.pot, position.ohms(joined.pot.ohms).typical())];
            if let Some(Moved::Pot(leg, position)) = &moved {
                let other = others.iter().find(|(other, ..)| other == leg);
                set.extend(other.map(|(_, id, pot)| (*id, position.ohms(pot.ohms).typical())));
            }
            seconds[at] = time(assembly, joined, &own, &network, &set)?;
        }
        found.push(Point { moved, seconds });
    }
    Some(found)
}

/// The time at typical values with some pots where they are set.
fn time(
    assembly: &Assembly,
    joined: &Joined<'_>,
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
    let seen = set.ok()?.typical().thevenin(own.node).ok()?;
    let ramp = &joined.ramp;
    let to = Volts::new(assembly.port.rail.typical().get() * ramp.threshold.typical().get()).ok()?;
    let ohms = seen.ohms + ramp.series.typical();
    Some(ohms.get() * ramp.farads.typical().get() * time_constants(seen.volts, to))
}

/// How far two neighbouring positions are apart at most, as a share of the port's full travel, and what is moved at the
/// nearer and at the farther one where they come nearest.
pub(super) fn nearest<'p>(
    joined: &Joined<'_>,
    points: &'p [Point],
    [near, far]: [Position; 2],
) -> Option<(f64, [&'p Point; 2])> {
    let by = |position: Position| {
        move |a: &&Point, b: &&Point| a.read(joined, position).total_cmp(&b.read(joined, position))
    };
    let latest = points.iter().max_by(by(near))?;
    let soonest = points.iter().min_by(by(far))?;
    let full = joined.axis.full_scale.get()
        * joined.ramp.farads.typical().get()
        * joined.scale(joined.ramp.threshold.typical().get());
    let apart = (soonest.read(joined, far) - latest.read(joined, near)) / full;
    Some((apart, [latest, soonest]))
}
