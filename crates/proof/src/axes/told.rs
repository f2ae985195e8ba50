//! What there is to say of an axis.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State};
use solderside_profile::Direction;
use solderside_quantity::{Ohms, Quantity, Seconds, Volts, significant};

use super::apart::Weighed;
use super::bench::Unbounded;
use super::occurs::{At, Point, nearest};
use super::{Joined, Position, THIN_APART, WORKS_APART};
use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};
use crate::words::{names, place};

/// Neighbouring positions.
const NEIGHBOURS: [[Position; 2]; 2] =
    [[Position::Low, Position::Centre], [Position::Centre, Position::High]];

/// Which way the axis moves, if it is not the one that the port expects.
pub(super) fn direction(assembly: &Assembly, joined: &Joined<'_>) -> Option<Finding> {
    let Joined { leg, axis, at, pot, .. } = joined;
    let [theirs, own] = [place(assembly, *leg), place(assembly, *at)];
    let told = |severity, text: String, remedy: &str| {
        let found = Finding::new(Code::ReadAxisReversed, severity, text).at([*leg, *at]);
        Some(found.remedy(remedy))
    };
    let is_level = |end: Direction| matches!(end, Direction::Left | Direction::Right);
    match (axis.low_end, pot.low_end) {
        (Some(wanted), Some(found)) if wanted == found => None,
        (Some(wanted), Some(found)) if wanted.opposite() == found => told(
            Severity::Fail,
            format!(
                "{own} has 0 Ω at {} and the machine expects the shortest time at {}: {theirs} moves the wrong way",
                found.as_str(),
                wanted.as_str()
            ),
            "no lead turns it round: lead the pot's other outer leg to the plug, inside the stick",
        ),
        (Some(wanted), Some(found)) => told(
            Severity::Fail,
            format!(
                "{own} is moved {} and the machine measures {} on {theirs}: the axes are crossed",
                if is_level(found) { "to the sides" } else { "up and down" },
                if is_level(wanted) { "left and right" } else { "up and down" }
            ),
            "join each axis to its own contact",
        ),
        (Some(wanted), None) => told(
            Severity::Note,
            format!(
                "nobody says at which end {own} has 0 Ω; the machine expects the shortest time of {theirs} at {}",
                wanted.as_str()
            ),
            "measure it: the end at which a meter reads about 0 Ω from the pot to its other end, and write it into the \
             controller's file as `low`",
        ),
        (None, Some(_) | None) => None,
    }
}

/// An axis of which nothing is measured.
pub(super) fn unbounded(assembly: &Assembly, joined: &Joined<'_>, why: &Unbounded) -> Finding {
    match why {
        Unbounded::Floats => still(assembly, joined),
        Unbounded::Capacitor(farads) => {
            let text = format!(
                "{farads} hang on {} beside the {} that the machine charges: whether they are empty when it begins to \
                 measure is not known",
                place(assembly, joined.leg),
                joined.ramp.farads
            );
            open(joined, text, "take the capacitor off the line, or a shorter cable")
        }
        Unbounded::TooMany => {
            let text = format!(
                "what {} measures is not settled: chips that the controls move can stand in too many ways",
                place(assembly, joined.leg)
            );
            open(joined, text, "leave controls out that nobody needs")
        }
    }
}

/// What the machine measures, where that is not what it should be.
pub(super) fn measured(
    assembly: &Assembly,
    joined: &Joined<'_>,
    weighed: Option<&Weighed>,
    points: Option<&[Point]>,
) -> Vec<Finding> {
    let idle = points.and_then(<[Point]>::first);
    if idle.is_some_and(|idle| !idle.seconds[Position::Centre.place()].is_finite()) {
        return vec![still(assembly, joined)];
    }
    let mut findings = Vec::new();
    if let Some(found) = points.and_then(|points| mixed_up(assembly, joined, points)) {
        return vec![found];
    }
    let least = weighed.map_or(f64::NEG_INFINITY, |weighed| weighed.apart[0].min(weighed.apart[1]));
    if least < THIN_APART {
        let text = format!(
            "nothing shows that the machine always tells low, centre and high of {} apart",
            place(assembly, joined.leg)
        );
        let remedy = "measure the values that the proof calls assumed, and put them into the profiles";
        return vec![open(joined, text, remedy)];
    }
    if least < WORKS_APART {
        findings.push(close(assembly, joined, least));
    }
    findings.extend(weighed.and_then(|weighed| beyond(assembly, joined, weighed, idle)));
    findings
}

/// Positions that the machine does take for one another.
fn mixed_up(assembly: &Assembly, joined: &Joined<'_>, points: &[Point]) -> Option<Finding> {
    let too_near = |points: &[&'_ Point], pair| {
        let (apart, _) = nearest(joined, points, pair)?;
        (apart < THIN_APART).then_some(apart)
    };
    for pair in NEIGHBOURS {
        for point in points.iter().filter(|point| point.is_alone()) {
            if let Some(apart) = too_near(&[point], pair) {
                return Some(not_apart(assembly, joined, pair, apart, point));
            }
        }
    }
    let rest = points.first()?;
    let at_typical: Vec<&Point> =
        points.iter().filter(|point| !matches!(point.at, At::Slowest | At::Soonest)).collect();
    NEIGHBOURS.into_iter().find_map(|pair| {
        let (apart, moved) = nearest(joined, &at_typical, pair)?;
        if apart < THIN_APART { moved_by(assembly, joined, pair, rest, moved) } else { None }
    })
}

fn open(joined: &Joined<'_>, text: String, remedy: &str) -> Finding {
    Finding::new(Code::ReadUnproved, Severity::Note, text).at([joined.leg, joined.at]).remedy(remedy)
}

/// An axis that is never charged.
fn still(assembly: &Assembly, joined: &Joined<'_>) -> Finding {
    let other = Leg { end: joined.at.end, contact: joined.pot.other_end };
    let joins: Vec<Leg> = assembly.lead.net(other).into_iter().filter(|leg| *leg != other).collect();
    let why = match (joins.first(), stands_at(assembly, other)) {
        (None, _) => format!("its pot's other end `{other}` is joined to nothing"),
        (Some(_), Some(volts)) => {
            format!("its pot's other end {} stands at no more than {volts}", place(assembly, other))
        }
        (Some(_), None) => format!("nothing feeds its pot's other end {}", place(assembly, other)),
    };
    let rail = assembly.port.rail.typical().get();
    let needs =
        Volts::new(rail * joined.ramp.threshold.typical().get()).unwrap_or(assembly.port.rail.typical());
    let text =
        format!("{} is never charged to {needs}, wherever the stick is: {why}", place(assembly, joined.leg));
    let feeds = assembly.port.contacts.iter().filter(|(_, contact)| {
        contact.voltage().is_some_and(|supply| supply.volts.low() > needs && contact.role.feeds())
    });
    let feeds: Vec<Leg> = feeds.map(|(id, _)| Leg::port(*id)).collect();
    let remedy = if feeds.is_empty() {
        "this port feeds no pot".to_owned()
    } else {
        format!("join `{other}` to one of {}", names(feeds))
    };
    Finding::new(Code::ReadAxisStill, Severity::Fail, text)
        .at([joined.leg, joined.at, other])
        .figures([Figure::volts("needs_volts", needs)])
        .remedy(remedy)
}

/// The most at which a contact of a controller stands with nothing pressed.
fn stands_at(assembly: &Assembly, leg: Leg) -> Option<Volts> {
    let circuit = Circuit::of(assembly, assembly.port.steps.first()?, Purpose::Reading).ok()?;
    circuit.in_state(&State::new()).bound(circuit.node(leg)?, Extreme::Highest).ok()?.guaranteed
}

/// Times in words: "24.2 µs, 574 µs and 1.12 ms".
fn times(point: &Point) -> String {
    let [low, centre, high] = point.seconds.map(told);
    format!("{low}, {centre} and {high}")
}

fn told(seconds: f64) -> String {
    Seconds::new(seconds).map_or_else(|_| "never".to_owned(), |seconds| seconds.to_string())
}

fn figures(point: &Point) -> impl Iterator<Item = Figure> {
    let names = ["low_seconds", "centre_seconds", "high_seconds"];
    let finite = names.into_iter().zip(point.seconds).filter(|(_, seconds)| seconds.is_finite());
    finite.map(|(name, value)| Figure { name, value, unit: Seconds::SYMBOL })
}

fn percent(share: f64) -> String {
    format!("{} %", significant(share.max(0.0) * 100.0, 2))
}

/// Two positions that the machine does not tell apart although nothing else is moved.
fn not_apart(
    assembly: &Assembly,
    joined: &Joined<'_>,
    [near, far]: [Position; 2],
    apart: f64,
    point: &Point,
) -> Finding {
    let (shortest, longest) = joined.axis.reads;
    let when = match point.at {
        At::Rest | At::Pressed(_) | At::Pot(..) => "",
        At::Slowest => " with all tolerances at their slow ends",
        At::Soonest => " with all tolerances at their fast ends",
    };
    let text = format!(
        "{} takes {} at low, centre and high{when}, and the machine measures {shortest} to {longest}: {} and {} come to {} of \
         the travel that the port is made for",
        place(assembly, joined.leg),
        times(point),
        near.as_str(),
        far.as_str(),
        percent(apart)
    );
    let is_slow = point.seconds[Position::High.place()] > longest.get();
    Finding::new(Code::ReadAxisRange, Severity::Fail, text)
        .at([joined.leg, joined.at])
        .figures(figures(point))
        .remedy(other_pot(joined, is_slow))
}

/// How to come to the travel that a port is made for.
fn other_pot(joined: &Joined<'_>, is_slow: bool) -> String {
    let (full, track) = (joined.axis.full_scale, joined.pot.ohms.typical());
    let stick = format!("a stick of {full}");
    if !is_slow || track <= full {
        return stick;
    }
    let across = Ohms::new(full.get() * track.get() / (track - full).get());
    across.map_or(stick.clone(), |across| {
        format!(
            "{stick}, or a resistor of {across} within 1 % from `{}` to what feeds the pot: it reaches the same end, and \
             the middle lies closer to it",
            joined.leg
        )
    })
}

/// Two positions that the machine does not tell apart while something else is moved.
fn moved_by(
    assembly: &Assembly,
    joined: &Joined<'_>,
    pair: [Position; 2],
    idle: &Point,
    moved: [&Point; 2],
) -> Option<Finding> {
    // The one that goes farther from where it is alone tells.
    let from = |at: usize| idle.seconds[pair[at].place()];
    let to = |at: usize| moved[at].seconds[pair[at].place()];
    let away = |at: usize| (to(at) / from(at)).max(from(at) / to(at));
    let at = usize::from(away(0) <= away(1));
    let (what, state) = match &moved[at].at {
        At::Pressed(control) => (format!("pressing `{control}`"), Some(vec![control.clone()])),
        At::Pot(leg, end) => (format!("{} at its {} end", place(assembly, *leg), end.as_str()), None),
        At::Rest | At::Slowest | At::Soonest => return None,
    };
    let text = format!(
        "{what} moves {} at {} from {} to {}: the machine takes that for another position",
        place(assembly, joined.leg),
        pair[at].as_str(),
        told(from(at)),
        told(to(at))
    );
    let mut found = Finding::new(Code::ReadAxisMoved, Severity::Fail, text)
        .at([joined.leg, joined.at])
        .figures(figures(moved[at]))
        .remedy("keep the axis' line to itself: one pot, and nothing else");
    found.state = state;
    Some(found)
}

/// Positions that are told apart, with little between them.
fn close(assembly: &Assembly, joined: &Joined<'_>, apart: f64) -> Finding {
    let text = format!(
        "low, centre and high of {} are only sure to be {} of the travel apart that the port is made for: a program that \
         is not calibrated may see a stick that hardly moves",
        place(assembly, joined.leg),
        percent(apart)
    );
    let is_slow = joined.pot.ohms.typical() > joined.axis.full_scale;
    Finding::new(Code::ReadAxisRange, Severity::Thin, text)
        .at([joined.leg, joined.at])
        .remedy(other_pot(joined, is_slow))
}

/// An end of the travel that lies beyond what the machine measures.
fn beyond(
    assembly: &Assembly,
    joined: &Joined<'_>,
    weighed: &Weighed,
    idle: Option<&Point>,
) -> Option<Finding> {
    let (shortest, longest) = joined.axis.reads;
    let least = weighed.times[Position::Low.place()][0];
    let most = weighed.times[Position::High.place()][1];
    let is_long = most.is_none_or(|most| most > longest);
    let is_short = least.is_some_and(|least| least < shortest);
    let (end, measured) = match (is_long, is_short) {
        (true, _) => {
            let most = most.map_or_else(|| "may take for ever".to_owned(), |most| format!("may take {most}"));
            (format!("{most} at its high end"), format!("up to {longest}"))
        }
        (false, true) => {
            let least = told(least.map_or(0.0, Seconds::get));
            (format!("may take only {least} at its low end"), format!("from {shortest} on"))
        }
        (false, false) => return None,
    };
    let text = format!(
        "{} {end}, and the machine measures {measured}: the last part of the travel reads as its end",
        place(assembly, joined.leg)
    );
    let found = Finding::new(Code::ReadAxisRange, Severity::Thin, text).at([joined.leg, joined.at]);
    let found = found.figures(idle.into_iter().flat_map(figures));
    Some(found.remedy(other_pot(joined, is_long)))
}
