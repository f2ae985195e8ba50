//! Voltages at contacts, against what they stand.

use solderside_circuit::{Bound, Extreme, Node, Spread};
use solderside_lead::{Assembly, Circuit, Leg, Purpose, Unbuilt};
use solderside_profile::{AxisInput, Controller, PortRole};
use solderside_quantity::Volts;

use crate::cases::{Case, Moving};
use crate::code::Code;
use crate::conditions::Condition;
use crate::finding::{Figure, Finding, Severity};
use crate::line::LEFT_OUT_MOVES;
use crate::readings::too_many;
use crate::search::{Breaches, Kept, Patience, breaches};
use crate::words::{place, while_pressed};

/// A contact with the voltages that it stands.
struct Range {
    leg: Leg,
    lowest: Volts,
    highest: Volts,
    /// A pad's common, from which its chips count; the return if none.
    from: Option<Leg>,
}

/// The highest voltage of any source of the machine. No node of a lead without sources of its own lies above
/// it.
pub(crate) fn highest_source(assembly: &Assembly) -> Volts {
    let volts = assembly.port.contacts.values().filter_map(|contact| Some(contact.voltage()?.volts.high()));
    volts.fold(assembly.port.rail.high(), Volts::max)
}

/// The lowest voltage of any source of the machine, or that of the return. No node of a lead without sources
/// of its own lies below it.
pub(crate) fn lowest_source(assembly: &Assembly) -> Volts {
    let volts = assembly.port.contacts.values().filter_map(|contact| Some(contact.voltage()?.volts.low()));
    volts.fold(Volts::ZERO, Volts::min)
}

/// Holds every contact's voltage against its range, one finding a contact.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn voltages(
    assembly: &Assembly,
    conditions: &[Condition],
    moving: &Moving,
    patience: &Patience,
) -> Result<Vec<Finding>, Unbuilt> {
    let (top, bottom) = (highest_source(assembly), lowest_source(assembly));
    let mut findings = Vec::new();
    for range in ranges(assembly) {
        // Contacts whose range holds all sources need no solving.
        if range.lowest <= bottom && range.highest >= top {
            continue;
        }
        let mut told: Option<Finding> = None;
        for condition in conditions {
            let found = beyond(assembly, condition, &range, moving, patience)?;
            // A harm takes the place of a doubt.
            if told.is_none() || found.as_ref().is_some_and(Finding::is_harm) {
                told = found.or(told);
            }
            if told.as_ref().is_some_and(Finding::is_harm) {
                break;
            }
        }
        findings.extend(told);
    }
    Ok(findings)
}

fn ranges(assembly: &Assembly) -> Vec<Range> {
    let port = &assembly.port;
    let mut ranges = Vec::new();
    for (id, contact) in &port.contacts {
        let leg = Leg::port(*id);
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        let family = match &contact.role {
            PortRole::Action { input, .. }
            | PortRole::Data { input }
            | PortRole::Sense { input }
            | PortRole::Axis(AxisInput { input, .. }) => port.inputs.get(input).map(|input| input.family),
            PortRole::Drive(family) => Some(*family),
            PortRole::Supply(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Pot
            | PortRole::Unused => None,
        };
        // The ceiling hangs on the same rail as the contact's own pull-up: at its highest like that one.
        let of_family = family.map(|family| family.input_range(port.rail.high()).value);
        let range = contact.limits.volts.or(of_family.map(|range| (range.lowest, range.highest)));
        ranges.extend(range.map(|(lowest, highest)| Range { leg, lowest, highest, from: None }));
    }
    for (end, controller) in assembly.controllers() {
        ranges.extend(pad_ranges(assembly, controller, |contact| Leg { end, contact }));
    }
    ranges
}

/// The contacts of a pad without clamps to its supply; the others are guarded by what their clamps carry.
fn pad_ranges(
    assembly: &Assembly,
    controller: &Controller,
    leg: impl Fn(solderside_trade::ContactId) -> Leg,
) -> Vec<Range> {
    let Some(logic) = controller.logic.as_ref().filter(|logic| !logic.family.clamps_to_supply()) else {
        return Vec::new();
    };
    let stands = logic.family.input_range(logic.supply_volts.low()).value;
    let driven = controller.controls().into_iter().filter(|control| controller.driver_of(control).is_some());
    let contacts = driven.filter_map(|control| controller.contact_of(control));
    contacts
        .map(&leg)
        .filter(|leg| assembly.lead.joined(*leg).next().is_some())
        .map(|at| Range {
            leg: at,
            lowest: stands.lowest,
            highest: stands.highest,
            from: controller.chip_commons().first().copied().map(&leg),
        })
        .collect()
}

/// The worst voltage beyond the range: a harm if it occurs, unproved if it merely cannot be excluded.
fn beyond(
    assembly: &Assembly,
    condition: &Condition,
    range: &Range,
    moving: &Moving,
    patience: &Patience,
) -> Result<Option<Finding>, Unbuilt> {
    let mut doubt = None;
    for step in &condition.steps {
        let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
        let Some(node) = circuit.node(range.leg) else { continue };
        let from = range.from.and_then(|leg| circuit.node(leg)).unwrap_or(Node::GROUND);
        let strays = |case: &Case| {
            let [pressed, either] = moving.controls(case);
            let network = circuit.in_states(&pressed, &either);
            let within = [range.lowest, range.highest];
            if stays_within(&network, node, from, within) || !network.is_held(node) {
                return Strays::WITHIN;
            }
            let sides = [(Extreme::Highest, range.highest), (Extreme::Lowest, range.lowest)];
            Strays::of(
                case,
                sides.map(|(extreme, limit)| (across(&network, node, from, extreme), extreme, limit)),
            )
        };
        let tell = |state: &Case, code, severity, verb: &str, (volts, extreme): (Volts, Extreme)| {
            let limit = if extreme == Extreme::Highest { range.highest } else { range.lowest };
            let pressed = moving.pressed(state);
            let text = format!(
                "{} {verb} at {volts} {}{}; its limit is {limit}",
                place(assembly, range.leg),
                while_pressed(&pressed),
                condition.told()
            );
            Finding::new(code, severity, text)
                .at([range.leg])
                .when(pressed, &step.name)
                .figures([Figure::volts("stands_at_volts", volts), Figure::volts("limit_volts", limit)])
                .remedy("take out the join that lifts it, or use a machine whose lines stand lower")
        };
        let mut found = Breaches::default();
        for base in moving.without_chips(&circuit) {
            breaches(&mut found, moving, &base, patience, |case| strays(case).kept);
        }
        if let Some(state) = &found.passed
            && let Some(at) = strays(state).at
        {
            return Ok(Some(tell(state, Code::DriveVolts, Severity::Harm, "can stand", at)));
        }
        if let Some(state) = found.doubtful.as_ref().filter(|_| doubt.is_none())
            && let Some(at) = strays(state).at
        {
            let verb = "is not certain never to stand";
            doubt = Some(tell(state, Code::DriveUnproved, Severity::Note, verb, at));
        }
        if found.open && doubt.is_none() {
            let what = format!("`{}` stays within its limits{}", range.leg, condition.told());
            doubt = Some(too_many(Code::DriveUnproved, &what, [range.leg], moving));
        }
    }
    Ok(doubt)
}

/// Whether a voltage keeps its limits in a case, and where it does not.
pub(crate) struct Strays {
    pub(crate) kept: Kept,
    /// The voltage that passes its limit, or may, and on which side.
    pub(crate) at: Option<(Volts, Extreme)>,
}

impl Strays {
    pub(crate) const WITHIN: Self = Self { kept: Kept::Within, at: None };

    /// Holds each side against its limit; what occurs on one side outweighs a doubt on the other.
    pub(crate) fn of<const N: usize>(case: &Case, sides: [(Across, Extreme, Volts); N]) -> Self {
        let mut strays = Self::WITHIN;
        for (Across { occurs, never }, extreme, limit) in sides {
            let over = |volts: &Volts| match extreme {
                Extreme::Highest => *volts > limit,
                Extreme::Lowest => *volts < limit,
            };
            // A case's network is a bound for its states: what occurs there need not occur in any.
            let is_safe = never.is_some_and(|volts| match extreme {
                Extreme::Highest => volts + LEFT_OUT_MOVES <= limit,
                Extreme::Lowest => volts - LEFT_OUT_MOVES >= limit,
            });
            let side = match (case.is_state(), occurs.filter(over), never.filter(over)) {
                (true, Some(volts), _) => Self { kept: Kept::Passed, at: Some((volts, extreme)) },
                (true, None, Some(volts)) => Self { kept: Kept::Doubtful, at: Some((volts, extreme)) },
                (false, ..) if !is_safe => Self { kept: Kept::Doubtful, at: None },
                (true, None, None) | (false, ..) => Self::WITHIN,
            };
            if side.kept > strays.kept {
                strays = side;
            }
        }
        strays
    }
}

/// A voltage between two nodes that occurs, and one that is never passed.
pub(crate) struct Across {
    pub(crate) occurs: Option<Volts>,
    pub(crate) never: Option<Volts>,
}

/// Whether a rough survey already shows that the voltage between two nodes stays between two others.
pub(crate) fn stays_within(network: &Spread, node: Node, from: Node, [low, high]: [Volts; 2]) -> bool {
    let both = network.roughly(node).zip(network.roughly(from));
    both.is_some_and(|(own, from)| own[0] - from[1] >= low && own[1] - from[0] <= high)
}

/// Bounds the voltage between two nodes by those of each: what is reached at the one, whatever the other does.
pub(crate) fn across(network: &Spread, node: Node, from: Node, extreme: Extreme) -> Across {
    let none = Bound { attained: None, guaranteed: None, argument: solderside_circuit::Argument::Added(0) };
    let bound = |node, extreme| network.bound(node, extreme).unwrap_or(none);
    let opposite = if extreme == Extreme::Highest { Extreme::Lowest } else { Extreme::Highest };
    let own = bound(node, extreme);
    Across {
        // Where the one is at its extreme, the other is at most at its own of the same direction.
        occurs: own.attained.zip(bound(from, extreme).guaranteed).map(|(a, b)| a - b),
        never: own.guaranteed.zip(bound(from, opposite).guaranteed).map(|(a, b)| a - b),
    }
}
