//! What the chips of a pad get for a supply.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, Unbuilt};
use solderside_profile::{Controller, ControllerRole, PadLogic, PortRole, Step};
use solderside_quantity::{Triple, Volts};

use crate::cases::{Case, Moving};
use crate::code::Code;
use crate::conditions::Condition;
use crate::finding::{Figure, Finding, Severity};
use crate::readings::too_many;
use crate::search::{Breaches, Patience, breaches};
use crate::voltages::{Strays, across, stays_within};
use crate::words::{place, while_pressed};

/// A pad whose chips are used, or whose supply contact is joined to something.
struct Pad<'p> {
    controller: &'p Controller,
    logic: &'p PadLogic,
    supply: Leg,
    common: Leg,
    /// The machine's supply that is joined to its own.
    source: Option<Leg>,
}

fn pads(assembly: &Assembly) -> impl Iterator<Item = Pad<'_>> {
    assembly.controllers().filter_map(|(end, controller)| {
        let at = |contact| Leg { end, contact };
        let logic = controller.logic.as_ref()?;
        let supply = at(controller.supply()?);
        let common = at(*controller.chip_commons().first()?);
        let is_source = |leg: &Leg| {
            let role = assembly.port_contact(*leg).map(|contact| &contact.role);
            matches!(role, Some(PortRole::Supply(_)))
        };
        let source = assembly.lead.joined(supply).find(is_source);
        let is_asked = assembly.uses_chips(end) || assembly.lead.joined(supply).next().is_some();
        is_asked.then_some(Pad { controller, logic, supply, common, source })
    })
}

/// Tells of each pad whose chips get no supply. It takes no more than a few operating points.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn unfed(assembly: &Assembly) -> Result<Vec<Finding>, Unbuilt> {
    let mut findings = Vec::new();
    for Pad { controller, logic, supply, .. } in pads(assembly).filter(|pad| pad.source.is_none()) {
        let remedy = match assembly.port.supplies().first() {
            None => {
                "this port has no supply: the pad needs one of its own, which a plain lead does not carry"
                    .to_owned()
            }
            Some((first, _)) => format!("join `{supply}` to {}", place(assembly, Leg::port(*first))),
        };
        let is_pulled_up = |leg: &Leg| {
            let role = assembly.port_contact(*leg).map(|contact| &contact.role);
            matches!(role, Some(PortRole::Action { .. } | PortRole::Data { .. } | PortRole::Sense { .. }))
        };
        if let Some(source) = assembly.lead.joined(supply).find(is_pulled_up) {
            findings.push(pulled_up_finding(assembly, supply, source, logic, &remedy)?);
            continue;
        }
        let text = format!(
            "the chips of `{}` get no supply on `{supply}`; they need {} to {}",
            controller.name,
            logic.supply_volts.low(),
            logic.supply_volts.high()
        );
        findings.push(
            Finding::new(Code::PowerMissing, Severity::Fail, text)
                .at([supply])
                .figures([Figure::volts("needs_volts", logic.supply_volts.low())])
                .remedy(remedy),
        );
    }
    Ok(findings)
}

/// Holds what the chips of each pad get against what they need and stand: too much under any condition, and too
/// little while the lead is sound, the worst of each.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn out_of_range(
    assembly: &Assembly,
    conditions: &[Condition],
    moving: &Moving,
    patience: &Patience,
) -> Result<Vec<Finding>, Unbuilt> {
    let mut findings = Vec::new();
    for Pad { logic, supply, common, source, .. } in pads(assembly) {
        let Some(source) = source else { continue };
        let legs = [supply, common, source];
        let mut told: [Option<Finding>; 2] = [None, None];
        for condition in conditions {
            for step in &condition.steps {
                let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
                for (side, told) in [Extreme::Highest, Extreme::Lowest].into_iter().zip(&mut told) {
                    // A pad whose supply or return is open does not work, and does no harm by that.
                    let is_asked = side == Extreme::Highest || condition.is_sound();
                    if !is_asked || told.as_ref().is_some_and(|told| told.severity > Severity::Note) {
                        continue;
                    }
                    let at = (condition, step, &circuit);
                    let found = strays_to(side, logic.supply_volts, legs, at, moving, patience);
                    // What does occur takes the place of a doubt.
                    if found.as_ref().map(|found| found.severity) > told.as_ref().map(|told| told.severity) {
                        *told = found;
                    }
                }
            }
        }
        findings.extend(told.into_iter().flatten());
    }
    Ok(findings)
}

const REGULATED: &str = "do not plug this pad in there; its chips want a regulated supply";
const THICKER: &str = "thicker or shorter conductors for supply and return, or more of them";

/// Too much, or too little, in one step under one condition.
fn strays_to(
    side: Extreme,
    needed: Triple<Volts>,
    [supply, common, source]: [Leg; 3],
    (condition, step, circuit): (&Condition, &Step, &Circuit),
    moving: &Moving,
    patience: &Patience,
) -> Option<Finding> {
    let (node, from) = circuit.node(supply).zip(circuit.node(common))?;
    let (low, high) = (needed.low(), needed.high());
    let (limit, within) = match side {
        Extreme::Highest => (high, [Volts::literal(-1000.0), high]),
        Extreme::Lowest => (low, [low, Volts::literal(1000.0)]),
    };
    let strays = |case: &Case| {
        let [pressed, either] = moving.controls(case);
        let network = circuit.in_states(&pressed, &either);
        if stays_within(&network, node, from, within) || !network.is_held(node) || !network.is_held(from) {
            return Strays::WITHIN;
        }
        Strays::of(case, [(across(&network, node, from, side), side, limit)])
    };
    let tell = |state: &Case, is_certain: bool, volts: Volts| {
        let (code, severity, what) = match (is_certain, side) {
            (true, Extreme::Highest) => (Code::PowerOutOfRange, Severity::Harm, "can get"),
            (true, Extreme::Lowest) => (Code::PowerOutOfRange, Severity::Fail, "can get as little as"),
            (false, Extreme::Highest) => {
                (Code::DriveUnproved, Severity::Note, "are not certain never to get")
            }
            (false, Extreme::Lowest) => {
                (Code::DriveUnproved, Severity::Note, "are not certain to get more than")
            }
        };
        let (figure, remedy) = match side {
            Extreme::Highest => ("reaches_volts", REGULATED),
            Extreme::Lowest => ("sags_to_volts", THICKER),
        };
        let pressed = moving.pressed(state);
        let text = format!(
            "the pad's chips {what} {volts} between `{supply}` and `{common}` {}{}; they need {low} to {high}",
            while_pressed(&pressed),
            condition.told()
        );
        Finding::new(code, severity, text)
            .at([supply, source])
            .when(pressed, &step.name)
            .figures([Figure::volts(figure, volts), Figure::volts("needs_volts", low)])
            .remedy(remedy)
    };
    let mut found = Breaches::default();
    for base in moving.without_chips(circuit) {
        breaches(&mut found, moving, &base, patience, |case| strays(case).kept);
    }
    let at = |state: &Case| strays(state).at.map(|(volts, _)| volts);
    if let Some(state) = &found.passed
        && let Some(volts) = at(state)
    {
        return Some(tell(state, true, volts));
    }
    if let Some(state) = &found.doubtful
        && let Some(volts) = at(state)
    {
        return Some(tell(state, false, volts));
    }
    found.open.then(|| {
        let what = format!("the chips' supply on `{supply}` stays in range{}", condition.told());
        too_many(Code::DriveUnproved, &what, [supply], moving)
    })
}

/// The assembly with nothing joined but a pad's supply and its common.
fn alone(assembly: &Assembly, leg: Leg) -> Assembly {
    let mut alone = assembly.clone();
    let kept = |leg: Leg| {
        assembly.controller_contact(leg).is_some_and(|contact| contact.role == ControllerRole::Common)
    };
    alone.lead.joins.retain(|join| [join.from, join.to].iter().any(|end| *end == leg || kept(*end)));
    alone
}

/// What a pad's supply contact typically stands at with nothing pressed.
fn typical_supply(assembly: &Assembly, leg: Leg) -> Result<Volts, Unbuilt> {
    let Some(step) = assembly.port.steps.first() else { return Ok(Volts::ZERO) };
    let circuit = Circuit::of(assembly, step, Purpose::Limits)?;
    let point = circuit.in_state(&State::new()).typical().operating_point();
    Ok(point.ok().zip(circuit.node(leg)).map_or(Volts::ZERO, |(point, node)| point.volts(node)))
}

/// A contact that only looks like a supply.
fn pulled_up_finding(
    assembly: &Assembly,
    leg: Leg,
    source: Leg,
    logic: &PadLogic,
    remedy: &str,
) -> Result<Finding, Unbuilt> {
    let pull_up = assembly.port.input_of(source.contact).and_then(|input| input.pull_up);
    let through = pull_up.map_or(String::new(), |ohms| format!(" through {} to {}", ohms.low(), ohms.high()));
    let load = logic.supply_amps.typical();
    let by_itself = alone(assembly, leg);
    let (sags, clamps) = (typical_supply(&by_itself, leg)?, typical_supply(assembly, leg)?);
    let worst = extreme_supply(&by_itself, leg, Extreme::Lowest)?;
    let best = extreme_supply(&by_itself, leg, Extreme::Highest)?;
    let text = format!(
        "{} is only pulled up{through}: a meter alone reads {} there, but the pad's load ({load} at {}) pulls it \
         down to {sags} ({worst} to {best} over all tolerances), or to {clamps} with what idle lines feed through the \
         pad's clamps; the pad needs {}",
        place(assembly, source),
        assembly.port.rail.typical(),
        logic.supply_volts.typical(),
        logic.supply_volts.low()
    );
    let mut figures = vec![
        Figure::volts("open_volts", assembly.port.rail.typical()),
        Figure::volts("sags_to_volts", sags),
        Figure::volts("sags_to_at_worst_volts", worst),
        Figure::volts("sags_to_at_best_volts", best),
        Figure::volts("with_clamps_volts", clamps),
        Figure::volts("needs_volts", logic.supply_volts.low()),
        Figure::amps("load_amps", load),
    ];
    figures.extend(pull_up.map(|ohms| Figure::ohms("pull_up_ohms", ohms.typical())));
    let settle = format!(
        "{remedy}. To see it, measure `{source}` against the return with 1 kΩ across: a supply hardly moves, a \
         pull-up collapses"
    );
    Ok(Finding::new(Code::PowerPulledUp, Severity::Fail, text)
        .at([source, leg])
        .figures(figures)
        .remedy(settle))
}

/// The extreme of a pad's supply contact with nothing pressed.
fn extreme_supply(assembly: &Assembly, leg: Leg, extreme: Extreme) -> Result<Volts, Unbuilt> {
    let Some(step) = assembly.port.steps.first() else { return Ok(Volts::ZERO) };
    let circuit = Circuit::of(assembly, step, Purpose::Limits)?;
    let network = circuit.in_state(&State::new());
    let bound = circuit.node(leg).and_then(|node| network.bound(node, extreme).ok());
    Ok(bound.and_then(|bound| bound.guaranteed).unwrap_or(Volts::ZERO))
}
