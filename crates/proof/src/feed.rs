//! What the chips of a pad get for a supply.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, EndId, Leg, Purpose, State, Unbuilt};
use solderside_profile::{Controller, ControllerRole, PadLogic, PortRole};
use solderside_quantity::Volts;

use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};
use crate::voltages::{About, Range, sources};
use crate::words::place;

/// A pad whose chips are used, or whose supply contact is joined to something.
struct Pad<'p> {
    controller: &'p Controller,
    logic: &'p PadLogic,
    supply: Leg,
    common: Leg,
    feed: Feed,
}

/// What feeds the chips of a pad, by wire or through parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Feed {
    /// A supply of the machine.
    Supply(Leg),
    /// A contact that is only pulled up, and is no supply.
    PulledUp(Leg),
    /// Nothing.
    Nothing,
}

/// What feeds the supply contact of a controller; nothing if it has none.
pub(crate) fn feed_of(assembly: &Assembly, end: EndId) -> Feed {
    let supply = assembly.controller(end).and_then(Controller::supply).map(|contact| Leg { end, contact });
    let Some(supply) = supply else { return Feed::Nothing };
    let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
    let is_source = |leg: &Leg| matches!(role(leg), Some(PortRole::Supply(_)));
    let is_pulled_up = |leg: &Leg| {
        matches!(role(leg), Some(PortRole::Action { .. } | PortRole::Data { .. } | PortRole::Sense { .. }))
    };
    let reach = assembly.lead.reach(supply);
    match (reach.iter().find(|leg| is_source(leg)), reach.iter().find(|leg| is_pulled_up(leg))) {
        (Some(source), _) => Feed::Supply(*source),
        (None, Some(line)) => Feed::PulledUp(*line),
        (None, None) => Feed::Nothing,
    }
}

/// Whether each pad whose chips drive a line has its supply. Without it the chips answer nothing, whatever
/// their clamps let through, and the lead fails for that.
pub(crate) fn is_fed(assembly: &Assembly) -> bool {
    let mut used = assembly.controllers().filter(|(end, _)| assembly.uses_chips(*end));
    used.all(|(end, _)| matches!(feed_of(assembly, end), Feed::Supply(_)))
}

fn pads(assembly: &Assembly) -> impl Iterator<Item = Pad<'_>> {
    assembly.controllers().filter_map(|(end, controller)| {
        let at = |contact| Leg { end, contact };
        let logic = controller.logic.as_ref()?;
        let supply = at(controller.supply()?);
        let common = at(*controller.chip_commons().first()?);
        let is_asked = assembly.uses_chips(end) || assembly.lead.joined(supply).next().is_some();
        let feed = feed_of(assembly, end);
        is_asked.then_some(Pad { controller, logic, supply, common, feed })
    })
}

/// Tells of each pad whose chips get no supply. It takes no more than a few operating points.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn unfed(assembly: &Assembly) -> Result<Vec<Finding>, Unbuilt> {
    let mut findings = Vec::new();
    for Pad { controller, logic, supply, feed, .. } in pads(assembly) {
        if matches!(feed, Feed::Supply(_)) {
            continue;
        }
        let remedy = match assembly.port.supplies().first() {
            None => {
                "this port has no supply: the pad needs one of its own, which a plain lead does not carry"
                    .to_owned()
            }
            Some((first, _)) => format!("join `{supply}` to {}", place(assembly, Leg::port(*first))),
        };
        if let Feed::PulledUp(source) = feed {
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

/// What the chips of each pad must get, and what they stand, as ranges: too much under any condition, and too little
/// while the lead is sound.
pub(crate) fn supplies(assembly: &Assembly) -> Vec<Range> {
    let sources = sources(assembly);
    let span = sources[1] - sources[0];
    let mut ranges = Vec::new();
    for Pad { logic, supply, common, feed, .. } in pads(assembly) {
        let Feed::Supply(source) = feed else { continue };
        let needs = [logic.supply_volts.low(), logic.supply_volts.high()];
        for [lowest, highest] in [[-span, needs[1]], [needs[0], span]] {
            let about = About::Supply { needs, source };
            ranges.push(Range { leg: supply, from: Some(common), lowest, highest, sources, about });
        }
    }
    ranges
}

const REGULATED: &str = "do not plug this pad in there; its chips want a regulated supply";
const THICKER: &str = "thicker or shorter conductors for supply and return, or more of them";

/// Says what a pad's chips get.
pub(crate) fn told(
    [supply, common, source]: [Leg; 3],
    [low, high]: [Volts; 2],
    (volts, side, is_certain): (Volts, Extreme, bool),
    when: &str,
) -> (Code, String, Vec<Leg>, [Figure; 2], &'static str) {
    let what = match (is_certain, side) {
        (true, Extreme::Highest) => "can get",
        (true, Extreme::Lowest) => "can get as little as",
        (false, Extreme::Highest) => "are not certain never to get",
        (false, Extreme::Lowest) => "are not certain to get more than",
    };
    let (figure, remedy) = match side {
        Extreme::Highest => ("reaches_volts", REGULATED),
        Extreme::Lowest => ("sags_to_volts", THICKER),
    };
    let text = format!(
        "the pad's chips {what} {volts} between `{supply}` and `{common}` {when}; they need {low} to {high}"
    );
    let figures = [Figure::volts(figure, volts), Figure::volts("needs_volts", low)];
    (Code::PowerOutOfRange, text, vec![supply, source], figures, remedy)
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
