//! What contacts are exposed to, against their limits: in every state and step, with the lead sound, and
//! with each conductor of the return or the supply open, as in a half-plugged connector.

use solderside_circuit::{ElementId, Extreme, Spread};
use solderside_lead::{Assembly, Circuit, Join, Leg, Purpose, State, Unbuilt};
use solderside_profile::{ControllerRole, PadLogic, PortRole, Step, Supply};
use solderside_quantity::{Amps, Volts};

use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};
use crate::readings::{all_states, in_order};
use crate::words::{place, while_pressed};

/// The most that a contact carries, against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The contact.
    pub leg: Leg,
    /// What carries it: `supply`, `output`, `pad output`.
    pub what: &'static str,
    /// The most in any state, step and corner of the sound lead.
    pub amps: Amps,
    /// What it may carry.
    pub limit: Amps,
    /// Whether the limit is stated in a profile; else it is the family's or the trade's.
    pub stated: bool,
}

pub(crate) struct Loads {
    pub(crate) points: u64,
    pub(crate) carried: Vec<Load>,
    pub(crate) findings: Vec<Finding>,
}

/// Something with a limit.
struct Guard {
    leg: Leg,
    what: &'static str,
    /// Whose currents are added up.
    sources: Vec<Leg>,
    limit: Amps,
    stated: bool,
    code: Code,
}

/// A lead as it is, or with one conductor open.
struct Condition<'a> {
    assembly: Assembly,
    open: Option<&'a Join>,
}

/// Checks everything that has a limit.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn loads(assembly: &Assembly) -> Result<Loads, Unbuilt> {
    let mut found = Loads { points: 0, carried: Vec::new(), findings: Vec::new() };
    let guards = guards(assembly);
    let sound = Condition { assembly: assembly.clone(), open: None };
    let opened = assembly
        .lead
        .joins
        .iter()
        .filter(|join| [join.from, join.to].iter().any(|leg| carries_return_or_supply(assembly, *leg)))
        .map(|join| Condition { assembly: assembly.without(join), open: Some(join) });
    let mut worst: Vec<Option<(Amps, State, String)>> = guards.iter().map(|_| None).collect();
    for condition in std::iter::once(sound).chain(opened) {
        let mut broken: Vec<Option<(Amps, State, String)>> = guards.iter().map(|_| None).collect();
        for step in &assembly.port.steps {
            let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
            for state in all_states(assembly) {
                found.points += 1;
                let network = circuit.in_state(&state);
                for (guard, broken) in guards.iter().zip(&mut broken) {
                    let Some(amps) = guard.amps(&circuit, &network, &condition) else { continue };
                    if broken.as_ref().is_none_or(|(so_far, ..)| amps.get() > so_far.get() * (1.0 + 1e-9)) {
                        *broken = Some((amps, state.clone(), step.name.clone()));
                    }
                }
            }
        }
        let sound = condition.open.is_none();
        for ((guard, broken), worst) in guards.iter().zip(broken).zip(&mut worst) {
            let Some((amps, state, step)) = broken else { continue };
            let known = worst.as_ref().is_some_and(|(amps, ..)| *amps > guard.limit);
            if amps > guard.limit && !known {
                found.findings.push(guard.exceeded(assembly, condition.open, amps, &state, &step));
            }
            if sound {
                found.carried.push(guard.load(amps));
            }
            if worst.as_ref().is_none_or(|(so_far, ..)| amps > *so_far) {
                *worst = Some((amps, state, step));
            }
        }
    }
    found.findings.extend(volts(assembly)?);
    for (end, controller) in assembly.controllers() {
        if let (Some(logic), Some(contact)) = (&controller.logic, controller.supply()) {
            found.findings.extend(pad_supply(assembly, Leg { end, contact }, logic)?);
        }
    }
    Ok(found)
}

fn carries_return_or_supply(assembly: &Assembly, leg: Leg) -> bool {
    let ours = assembly.controller_contact(leg).map(|contact| &contact.role);
    let theirs = assembly.port_contact(leg).map(|contact| &contact.role);
    matches!(ours, Some(ControllerRole::Common | ControllerRole::Supply))
        || matches!(theirs, Some(PortRole::Return | PortRole::Supply(_)))
}

fn guards(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = Vec::new();
    for (id, contact) in &assembly.port.contacts {
        let leg = Leg::port(*id);
        match &contact.role {
            PortRole::Supply(Supply { amps_max, amps_max_stated, .. }) => guards.push(Guard {
                leg,
                what: "supply",
                sources: vec![leg],
                limit: *amps_max,
                stated: *amps_max_stated,
                code: Code::PowerOverload,
            }),
            PortRole::Drive(family) => {
                // The smaller of what it may sink and source: which of the two it does, the step says.
                let default = family.sink_limit().value.min(family.source_limit().value);
                let stated = [contact.limits.sink_amps, contact.limits.source_amps].into_iter().flatten();
                let stated = stated.reduce(Amps::min);
                guards.push(Guard {
                    leg,
                    what: "output",
                    sources: vec![leg],
                    limit: stated.unwrap_or(default),
                    stated: stated.is_some(),
                    code: Code::DriveOverload,
                });
            }
            PortRole::Action { .. }
            | PortRole::Sense { .. }
            | PortRole::Return
            | PortRole::Pot
            | PortRole::Unused => {}
        }
    }
    for (end, controller) in assembly.controllers() {
        let Some(logic) = &controller.logic else { continue };
        for control in controller.controls() {
            let Some(contact) = controller.contact_of(control) else { continue };
            let leg = Leg { end, contact };
            let sources: Vec<Leg> =
                assembly.lead.joined(leg).filter(|other| assembly.port_contact(*other).is_some()).collect();
            if !sources.is_empty() {
                // What comes in over the lead goes through the output or through a clamp.
                let limit = logic.family.sink_limit().value.min(logic.family.clamp_amps().value);
                guards.push(Guard {
                    leg,
                    what: "pad output",
                    sources,
                    limit,
                    stated: false,
                    code: Code::DriveOverload,
                });
            }
        }
    }
    guards
}

/// What is told as no current at all: less is the rounding of the solver, and no meter shows it.
const NOTHING: Amps = Amps::literal(1e-9);

impl Guard {
    /// The most that flows at the guarded contact, either way; none if nothing bounds it or nothing flows.
    fn amps(&self, circuit: &Circuit, network: &Spread, condition: &Condition<'_>) -> Option<Amps> {
        let mut sum = Amps::ZERO;
        for leg in &self.sources {
            // A contact that is joined to nothing carries nothing.
            condition.assembly.lead.joined(*leg).next()?;
            let id = circuit.source(*leg)?;
            // Where a rough bound is enough, an exact one would tell nobody more.
            let most = match network.source_amps_roughly(id) {
                Some(amps) if sum + amps <= self.limit => amps,
                Some(_) | None => most_either_way(network, id)?,
            };
            sum = sum + most;
        }
        Some(sum)
    }

    fn load(&self, amps: Amps) -> Load {
        let amps = if amps < NOTHING { Amps::ZERO } else { amps };
        Load { leg: self.leg, what: self.what, amps, limit: self.limit, stated: self.stated }
    }

    fn exceeded(
        &self,
        assembly: &Assembly,
        open: Option<&Join>,
        amps: Amps,
        state: &State,
        step: &str,
    ) -> Finding {
        let broken = open.map_or(String::new(), |join| format!(", with the conductor `{join}` open"));
        let text = format!(
            "{} can carry {amps} {}{broken}; its limit is {}",
            place(assembly, self.leg),
            while_pressed(&in_order(assembly, state)),
            self.limit
        );
        let mut legs = vec![self.leg];
        legs.extend(open.into_iter().flat_map(|join| [join.from, join.to]).filter(|leg| *leg != self.leg));
        Finding::new(self.code, Severity::Harm, text)
            .at(legs)
            .when(in_order(assembly, state), step)
            .figures([Figure::amps("carries_amps", amps), Figure::amps("limit_amps", self.limit)])
            .remedy("take out the join that loads it; nothing but what the limit allows may hang on it")
    }
}

/// A source's largest current, either way; none if nothing bounds it: the readings say `unproved` of such
/// nets.
fn most_either_way(network: &Spread, id: ElementId) -> Option<Amps> {
    let amps = |extreme| network.source_amps(id, extreme).ok().flatten().map(Amps::abs);
    Some(amps(Extreme::Highest)?.max(amps(Extreme::Lowest)?))
}

/// Voltages outside a contact's limits.
///
/// No node lies beyond the sources of its network, so contacts whose limits hold all sources need no
/// solving.
fn volts(assembly: &Assembly) -> Result<Vec<Finding>, Unbuilt> {
    let port = &assembly.port;
    let highest = highest_source(assembly);
    let mut findings = Vec::new();
    for (id, contact) in &port.contacts {
        let leg = Leg::port(*id);
        let family = match &contact.role {
            PortRole::Action { input, .. } | PortRole::Sense { input } => {
                port.inputs.get(input).map(|input| input.family)
            }
            PortRole::Supply(_)
            | PortRole::Return
            | PortRole::Drive(_)
            | PortRole::Pot
            | PortRole::Unused => None,
        };
        let range = family.map(|family| family.input_range(port.rail.low()).value);
        let stated = contact.limits.volts;
        let Some((low, high)) = stated.or(range.map(|range| (range.lowest, range.highest))) else { continue };
        if (low <= Volts::ZERO && high >= highest) || assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        findings.extend(beyond(assembly, leg, low, high)?);
    }
    Ok(findings)
}

/// The highest voltage that feeds the lead from anywhere.
pub(crate) fn highest_source(assembly: &Assembly) -> Volts {
    let supplies = assembly.port.supplies().into_iter().map(|(_, supply)| supply.volts.high());
    supplies.fold(assembly.port.rail.high(), Volts::max)
}

fn beyond(assembly: &Assembly, leg: Leg, low: Volts, high: Volts) -> Result<Option<Finding>, Unbuilt> {
    let mut worst: Option<(Volts, Volts, State, &Step)> = None;
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Limits)?;
        let Some(node) = circuit.node(leg) else { continue };
        for state in all_states(assembly) {
            let network = circuit.in_state(&state);
            for (extreme, limit) in [(Extreme::Highest, high), (Extreme::Lowest, low)] {
                let Ok(bound) = network.bound(node, extreme) else { continue };
                let volts = bound.guaranteed.unwrap_or(bound.attained);
                let over = if extreme == Extreme::Highest { volts - limit } else { limit - volts };
                let more = worst.as_ref().is_none_or(|(so_far, limit, ..)| over > (*so_far - *limit).abs());
                if over > Volts::ZERO && more {
                    worst = Some((volts, limit, state.clone(), step));
                }
            }
        }
    }
    Ok(worst.map(|(volts, limit, state, step)| {
        let text = format!(
            "{} can stand at {volts} {}; its limit is {limit}",
            place(assembly, leg),
            while_pressed(&in_order(assembly, &state))
        );
        Finding::new(Code::DriveVolts, Severity::Harm, text)
            .at([leg])
            .when(in_order(assembly, &state), &step.name)
            .figures([Figure::volts("stands_at_volts", volts), Figure::volts("limit_volts", limit)])
            .remedy("take out the join that lifts it")
    }))
}

/// What a pad's chips get.
fn pad_supply(assembly: &Assembly, leg: Leg, logic: &PadLogic) -> Result<Option<Finding>, Unbuilt> {
    let joined: Vec<Leg> = assembly.lead.joined(leg).collect();
    let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
    let supplied = joined.iter().find(|leg| matches!(role(leg), Some(PortRole::Supply(_))));
    let pulled_up =
        joined.iter().find(|leg| matches!(role(leg), Some(PortRole::Action { .. } | PortRole::Sense { .. })));
    let needs = format!("{} to {}", logic.supply_volts.low(), logic.supply_volts.high());
    let source = supplied.or(pulled_up);
    let supplies: Vec<Leg> = assembly.port.supplies().into_iter().map(|(id, _)| Leg::port(id)).collect();
    let remedy = match supplies.as_slice() {
        [] => "this port has no supply: the pad needs one of its own, which a plain lead does not carry"
            .to_owned(),
        [first, ..] => format!("join `{leg}` to {}", place(assembly, *first)),
    };
    let Some(source) = source else {
        let text = format!("the pad's chips get no supply on `{leg}`; they need {needs}");
        return Ok(Some(
            Finding::new(Code::PowerMissing, Severity::Fail, text)
                .at([leg])
                .figures([Figure::volts("needs_volts", logic.supply_volts.low())])
                .remedy(remedy),
        ));
    };
    let mut low: Option<(Volts, State, &Step)> = None;
    let mut high = Volts::ZERO;
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Limits)?;
        let Some(node) = circuit.node(leg) else { continue };
        for state in all_states(assembly) {
            let network = circuit.in_state(&state);
            let volts = |extreme| {
                network
                    .bound(node, extreme)
                    .map_or(Volts::ZERO, |bound| bound.guaranteed.unwrap_or(bound.attained))
            };
            let lowest = volts(Extreme::Lowest);
            if low.as_ref().is_none_or(|(so_far, ..)| lowest < *so_far - Volts::literal(1e-6)) {
                low = Some((lowest, state.clone(), step));
            }
            high = high.max(volts(Extreme::Highest));
        }
    }
    let Some((low, state, step)) = low else { return Ok(None) };
    let typical = typical_supply(assembly, leg)?;
    let alone = typical_supply(&alone(assembly, leg), leg)?;
    let limits = [Figure::volts("needs_volts", logic.supply_volts.low())];
    if supplied.is_none() {
        return Ok(Some(pulled_up_finding(
            assembly,
            leg,
            *source,
            logic,
            [low, alone, typical, high],
            &remedy,
        )));
    }
    if high > logic.supply_volts.high() {
        let text = format!("the pad's supply on `{leg}` can reach {high}; its chips stand {needs}");
        return Ok(Some(
            Finding::new(Code::PowerOutOfRange, Severity::Harm, text)
                .at([leg, *source])
                .figures([Figure::volts("reaches_volts", high)])
                .figures(limits)
                .remedy("do not plug this pad in there; its chips want a regulated supply"),
        ));
    }
    if low < logic.supply_volts.low() {
        let text = format!(
            "the pad's supply on `{leg}` can sag to {low} {}; its chips need {needs}",
            while_pressed(&in_order(assembly, &state))
        );
        return Ok(Some(
            Finding::new(Code::PowerOutOfRange, Severity::Fail, text)
                .at([leg, *source])
                .when(in_order(assembly, &state), &step.name)
                .figures([Figure::volts("sags_to_volts", low)])
                .figures(limits)
                .remedy("thicker or shorter conductors for supply and return"),
        ));
    }
    Ok(None)
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
    [low, alone, typical, high]: [Volts; 4],
    remedy: &str,
) -> Finding {
    let pull_up = assembly.port.input_of(source.contact).and_then(|input| input.pull_up);
    let through = pull_up.map_or(String::new(), |ohms| format!(" through {} to {}", ohms.low(), ohms.high()));
    let load = logic.supply_amps.typical();
    let text = format!(
        "{} is only pulled up{through}: a meter alone reads {} there, but the pad's load ({load} at {}) pulls it \
         down to {alone}, and to {typical} with what idle lines feed through the pad's clamps; the pad needs {}",
        place(assembly, source),
        assembly.port.rail.typical(),
        logic.supply_volts.typical(),
        logic.supply_volts.low()
    );
    let mut figures = vec![
        Figure::volts("open_volts", assembly.port.rail.typical()),
        Figure::volts("sags_to_volts", alone),
        Figure::volts("with_clamps_volts", typical),
        Figure::volts("sags_to_at_worst_volts", low),
        Figure::volts("sags_to_at_best_volts", high),
        Figure::volts("needs_volts", logic.supply_volts.low()),
        Figure::amps("load_amps", load),
    ];
    figures.extend(pull_up.map(|ohms| Figure::ohms("pull_up_ohms", ohms.typical())));
    let settle = format!(
        "{remedy}. To see it, measure `{source}` against the return with 1 kΩ across: a supply hardly moves, a \
         pull-up collapses"
    );
    Finding::new(Code::PowerPulledUp, Severity::Fail, text).at([source, leg]).figures(figures).remedy(settle)
}
