//! What contacts carry, against what they may.

use solderside_circuit::{AmpsBound, Extreme, OperatingPoint, Spread};
use solderside_lead::{Assembly, Circuit, Leg};
use solderside_profile::{Control, PortRole};
use solderside_quantity::Amps;
use solderside_trade::LogicFamily;

use crate::cases::Moving;
use crate::code::Code;
use crate::conditions::{Condition, is_discharged};
use crate::finding::{Figure, Finding, Severity};
use crate::loads::Load;
use crate::readings::too_many;
use crate::words::{place, while_pressed};

/// What a solver may leave where nothing flows.
const NEXT_TO_NOTHING: Amps = Amps::literal(1e-6);

/// What one direction of a contact's current may reach.
#[derive(Debug, Clone, Copy)]
struct Limit {
    amps: Amps,
    /// Whether a profile states it; else it is the family's.
    stated: bool,
}

/// A contact with limits.
pub(crate) struct Guard {
    leg: Leg,
    what: &'static str,
    /// The machine's contacts whose currents come together here.
    sources: Vec<Leg>,
    /// For what flows out of the machine's contacts.
    source: Option<Limit>,
    /// For what flows into them.
    sink: Option<Limit>,
    code: Code,
}

/// What a guard says of one network.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Carried {
    /// The most, and that it stays within the limit.
    Within(Amps),
    /// More than the limit, and this does occur.
    Beyond(Amps, Amps),
    /// Nothing keeps it within the limit, and nothing shows that it passes it.
    Unsettled,
}

/// The contacts of an assembly that have limits.
pub(crate) fn guards(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = Vec::new();
    for (id, contact) in &assembly.port.contacts {
        let leg = Leg::port(*id);
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        let stated = |amps: Option<Amps>| amps.map(|amps| Limit { amps, stated: true });
        let (own_source, own_sink) = (stated(contact.limits.source_amps), stated(contact.limits.sink_amps));
        let of_family = |family: LogicFamily| {
            let limit = |amps| Some(Limit { amps, stated: false });
            (limit(family.source_limit().value), limit(family.sink_limit().value))
        };
        let (what, source, sink, code) = match &contact.role {
            PortRole::Supply(supply) => {
                let limit = Limit { amps: supply.amps_max, stated: supply.amps_max_stated };
                let least = own_source.filter(|own| own.amps < limit.amps).unwrap_or(limit);
                ("supply", Some(least), own_sink, Code::PowerOverload)
            }
            // Nothing may be taken from where the machine is powered, nor given.
            PortRole::Fed(_) => {
                let none = Some(Limit { amps: NEXT_TO_NOTHING, stated: true });
                ("fed", none, none, Code::PowerFed)
            }
            PortRole::Signal(signal) => {
                let limit = Some(Limit { amps: signal.amps_max, stated: signal.amps_max_stated });
                ("signal", own_source.or(limit), own_sink.or(limit), Code::DriveOverload)
            }
            PortRole::Drive(family) => {
                let (source, sink) = of_family(*family);
                ("output", own_source.or(source), own_sink.or(sink), Code::DriveOverload)
            }
            PortRole::Action { input, .. } | PortRole::Data { input } | PortRole::Sense { input } => {
                // A line that the machine can also drive is an output then.
                let family = contact.driven.and(assembly.port.inputs.get(input)).map(|input| input.family);
                let (source, sink) = family.map_or((None, None), of_family);
                ("input", own_source.or(source), own_sink.or(sink), Code::DriveOverload)
            }
            // What may flow into an analogue input while it is discharged, nobody publishes.
            PortRole::Pot if is_discharged(assembly, leg) => {
                let limit = Limit { amps: LogicFamily::NmosPort.sink_limit().value, stated: false };
                ("pot", own_source, own_sink.or(Some(limit)), Code::DrivePot)
            }
            PortRole::Return | PortRole::Axis(_) | PortRole::Pot | PortRole::Unused => continue,
        };
        if source.is_some() || sink.is_some() {
            guards.push(Guard { leg, what, sources: vec![leg], source, sink, code });
        }
    }
    guards.extend(pad_outputs(assembly));
    guards
}

/// What comes in over the lead goes through a pad's output or through its clamps.
fn pad_outputs(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = Vec::new();
    for (end, controller) in assembly.controllers() {
        for control in controller.controls() {
            let Some(logic) = controller.driver_of(control) else { continue };
            let Some(contact) = controller.contact_of(control) else { continue };
            let leg = Leg { end, contact };
            let net = assembly.lead.net(leg);
            let sources: Vec<Leg> =
                net.into_iter().filter(|other| assembly.port_contact(*other).is_some()).collect();
            if sources.is_empty() {
                continue;
            }
            let family = logic.family;
            let amps =
                family.sink_limit().value.min(family.source_limit().value).min(family.clamp_amps().value);
            let limit = Some(Limit { amps, stated: false });
            let what = "pad output";
            guards.push(Guard { leg, what, sources, source: limit, sink: limit, code: Code::DriveOverload });
        }
    }
    guards
}

impl Guard {
    /// Holds what flows in one network against the limits.
    pub(crate) fn carried(&self, circuit: &Circuit, network: &Spread) -> Carried {
        let mut most = Amps::ZERO;
        for (limit, extreme) in [(self.source, Extreme::Highest), (self.sink, Extreme::Lowest)] {
            let Some(limit) = limit else { continue };
            let AmpsBound { attained, guaranteed } = self.amps(circuit, network, extreme, limit);
            match (guaranteed, attained) {
                (Some(amps), _) if amps <= limit.amps => most = most.max(amps),
                (_, Some(amps)) if amps > limit.amps => return Carried::Beyond(amps, limit.amps),
                _ => return Carried::Unsettled,
            }
        }
        Carried::Within(most)
    }

    /// Whether more than the smaller limit flows, either way, at one operating point.
    pub(crate) fn seems_beyond(&self, circuit: &Circuit, point: &OperatingPoint) -> bool {
        let limits = [self.source, self.sink].into_iter().flatten();
        let least = limits.map(|limit| limit.amps).reduce(Amps::min);
        let carried = self.sources.iter().flat_map(|leg| circuit.sources(*leg)).map(|id| point.amps(*id));
        least.is_some_and(|least| carried.map(|amps| amps.max(-amps)).any(|amps| amps > least))
    }

    /// The largest current of one direction, counted above zero.
    fn amps(&self, circuit: &Circuit, network: &Spread, extreme: Extreme, limit: Limit) -> AmpsBound {
        let sources = || self.sources.iter().flat_map(|leg| circuit.sources(*leg));
        // Where rough bounds are enough, exact ones would tell nobody more.
        let rough = sources().try_fold(Amps::ZERO, |sum, id| Some(sum + network.source_amps_roughly(*id)?));
        if let Some(rough) = rough.filter(|rough| *rough <= limit.amps) {
            return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(rough) };
        }
        if network.has_many_diodes() {
            let most = sources().try_fold(Amps::ZERO, |sum, id| Some(sum + network.flow_amps(*id, extreme)?));
            if let Some(most) = most.filter(|most| *most <= limit.amps) {
                return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(most) };
            }
        }
        let mut sum = AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) };
        for id in sources() {
            let none = AmpsBound { attained: None, guaranteed: None };
            let one = network.source_amps(*id, extreme).unwrap_or(none);
            let size = |amps: Amps| if extreme == Extreme::Highest { amps } else { -amps }.max(Amps::ZERO);
            sum = AmpsBound {
                // Extremes of several sources need not come together; the largest of them does occur.
                attained: sum.attained.zip(one.attained.map(size)).map(|(a, b)| a.max(b)),
                guaranteed: sum.guaranteed.zip(one.guaranteed.map(size)).map(|(a, b)| a + b),
            };
        }
        sum
    }

    /// The most that the contact carries in a sound lead, against the smaller of its limits.
    pub(crate) fn load(&self, amps: Amps) -> Load {
        let limit = [self.source, self.sink]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.amps.get().total_cmp(&b.amps.get()));
        let Limit { amps: limit, stated } = limit.unwrap_or(Limit { amps, stated: false });
        Load { leg: self.leg, what: self.what, amps, limit, stated }
    }

    /// Says that a limit is exceeded.
    pub(crate) fn beyond(
        &self,
        assembly: &Assembly,
        condition: &Condition,
        [amps, limit]: [Amps; 2],
        pressed: &[Control],
        step: &str,
    ) -> Finding {
        let limit_told = if self.code == Code::PowerFed {
            "the machine itself is powered there, and nothing may be taken".to_owned()
        } else {
            format!("its limit is {limit}")
        };
        let text = format!(
            "{} can carry {amps} {}{}; {limit_told}",
            place(assembly, self.leg),
            while_pressed(pressed),
            condition.told()
        );
        self.finding(condition, Severity::Harm, self.code, text)
            .when(pressed.iter().cloned(), step)
            .figures([Figure::amps("carries_amps", amps), Figure::amps("limit_amps", limit)])
            .remedy("take out the join that loads it; nothing but what the limit allows may hang on it")
    }

    /// Says that nothing settles whether a limit is kept.
    pub(crate) fn unsettled(&self, assembly: &Assembly, condition: &Condition) -> Finding {
        let text = format!(
            "nothing bounds what {} carries{}, so its limit may not be kept",
            place(assembly, self.leg),
            condition.told()
        );
        self.finding(condition, Severity::Note, Code::DriveUnproved, text)
            .remedy("give the sources on its net a resistance in the port's profile, or take the join out")
    }

    /// Says that there are too many states to settle whether a limit is kept.
    pub(crate) fn too_many(&self, condition: &Condition, moving: &Moving) -> Finding {
        let what = format!("`{}` stays within its limit{}", self.leg, condition.told());
        too_many(Code::DriveUnproved, &what, [self.leg], moving)
    }

    fn finding(&self, condition: &Condition, severity: Severity, code: Code, text: String) -> Finding {
        let mut legs = vec![self.leg];
        let open = condition.open.iter().flat_map(|join| [join.from, join.to]);
        legs.extend(open.filter(|leg| *leg != self.leg));
        Finding::new(code, severity, text).at(legs)
    }
}
