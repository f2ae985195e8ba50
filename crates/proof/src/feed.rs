//! What the chips of a pad get for a supply.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, Unbuilt};
use solderside_profile::{Controller, ControllerRole, PadLogic, PortRole};
use solderside_quantity::Volts;

use crate::code::Code;
use crate::conditions::Condition;
use crate::finding::{Figure, Finding, Severity};
use crate::readings::in_order;
use crate::voltages::{Across, across, stays_within};
use crate::words::{place, while_pressed};

/// Holds what a pad's chips get against what they need and stand.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn feed(
    assembly: &Assembly,
    controller: &Controller,
    logic: &PadLogic,
    [supply, common]: [Leg; 2],
    conditions: &[Condition],
) -> Result<Option<Finding>, Unbuilt> {
    let joined: Vec<Leg> = assembly.lead.joined(supply).collect();
    let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
    let supplied = joined.iter().find(|leg| matches!(role(leg), Some(PortRole::Supply(_))));
    let pulled_up = joined.iter().find(|leg| {
        matches!(role(leg), Some(PortRole::Action { .. } | PortRole::Data { .. } | PortRole::Sense { .. }))
    });
    let supplies: Vec<Leg> = assembly.port.supplies().into_iter().map(|(id, _)| Leg::port(id)).collect();
    let remedy = match supplies.as_slice() {
        [] => "this port has no supply: the pad needs one of its own, which a plain lead does not carry"
            .to_owned(),
        [first, ..] => format!("join `{supply}` to {}", place(assembly, *first)),
    };
    match (supplied, pulled_up) {
        (Some(source), _) => out_of_range(assembly, logic, [supply, common, *source], conditions),
        (None, Some(source)) => pulled_up_finding(assembly, supply, *source, logic, &remedy).map(Some),
        (None, None) => {
            let text = format!(
                "the chips of `{}` get no supply on `{supply}`; they need {} to {}",
                controller.name,
                logic.supply_volts.low(),
                logic.supply_volts.high()
            );
            Ok(Some(
                Finding::new(Code::PowerMissing, Severity::Fail, text)
                    .at([supply])
                    .figures([Figure::volts("needs_volts", logic.supply_volts.low())])
                    .remedy(remedy),
            ))
        }
    }
}

const REGULATED: &str = "do not plug this pad in there; its chips want a regulated supply";
const THICKER: &str = "thicker or shorter conductors for supply and return, or more of them";

/// Too much under any condition, or too little while the lead is sound.
fn out_of_range(
    assembly: &Assembly,
    logic: &PadLogic,
    [supply, common, source]: [Leg; 3],
    conditions: &[Condition],
) -> Result<Option<Finding>, Unbuilt> {
    let (low, high) = (logic.supply_volts.low(), logic.supply_volts.high());
    let mut doubt = None;
    for condition in conditions {
        for step in &condition.steps {
            let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
            let (Some(node), Some(from)) = (circuit.node(supply), circuit.node(common)) else { continue };
            for state in &condition.states {
                let network = circuit.in_state(state);
                let enough = if condition.is_sound() { low } else { Volts::literal(-1000.0) };
                if stays_within(&network, node, from, [enough, high])
                    || !network.is_held(node)
                    || !network.is_held(from)
                {
                    continue;
                }
                let pressed = in_order(assembly, state);
                let tell = |code, severity, volts: Volts, what: &str, figure, remedy: &str| {
                    let text = format!(
                        "the pad's chips {what} {volts} between `{supply}` and `{common}` {}{}; they need {low} to {high}",
                        while_pressed(&pressed),
                        condition.told()
                    );
                    Finding::new(code, severity, text)
                        .at([supply, source])
                        .when(pressed.iter().cloned(), &step.name)
                        .figures([Figure::volts(figure, volts), Figure::volts("needs_volts", low)])
                        .remedy(remedy)
                };
                let Across { occurs, never } = across(&network, node, from, Extreme::Highest);
                match (occurs, never) {
                    (Some(volts), _) if volts > high => {
                        let code = Code::PowerOutOfRange;
                        return Ok(Some(tell(
                            code,
                            Severity::Harm,
                            volts,
                            "can get",
                            "reaches_volts",
                            REGULATED,
                        )));
                    }
                    (_, Some(volts)) if volts > high && doubt.is_none() => {
                        let what = "are not certain never to get";
                        doubt = Some(tell(
                            Code::DriveUnproved,
                            Severity::Note,
                            volts,
                            what,
                            "reaches_volts",
                            REGULATED,
                        ));
                    }
                    _ => {}
                }
                // A pad whose supply or return is open does not work, and does no harm by that.
                if !condition.is_sound() {
                    continue;
                }
                let Across { occurs, never } = across(&network, node, from, Extreme::Lowest);
                match (occurs, never) {
                    (Some(volts), _) if volts < low => {
                        let code = Code::PowerOutOfRange;
                        return Ok(Some(tell(
                            code,
                            Severity::Fail,
                            volts,
                            "can get as little as",
                            "sags_to_volts",
                            THICKER,
                        )));
                    }
                    (_, Some(volts)) if volts < low && doubt.is_none() => {
                        let what = "are not certain to get more than";
                        doubt = Some(tell(
                            Code::DriveUnproved,
                            Severity::Note,
                            volts,
                            what,
                            "sags_to_volts",
                            THICKER,
                        ));
                    }
                    _ => {}
                }
            }
        }
    }
    Ok(doubt)
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
