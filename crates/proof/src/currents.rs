//! What contacts and parts carry, against what they may.

mod outputs;
mod ratings;
mod transistors;

use std::collections::BTreeSet;

use solderside_circuit::{AmpsBound, ElementId, Extreme, OperatingPoint, Spread};
use solderside_lead::{Assembly, Circuit, Leg, PartId, State};
use solderside_profile::PortRole;
use solderside_quantity::{Amps, Ohms};
use solderside_trade::LogicFamily;

use crate::cases::Case;
use crate::code::Code;
use crate::conditions::is_discharged;
use crate::finding::{Figure, Finding, Severity};
use crate::limit::{Limit, Look};
use crate::loads::Load;
use crate::networks::Moment;
use crate::search::Kept;
use crate::words::{place, while_pressed};

/// What a solver may leave where nothing flows.
const NEXT_TO_NOTHING: Amps = Amps::literal(1e-6);

/// What one direction of a current may reach.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Most {
    /// Up to this it is kept.
    amps: Amps,
    /// Above this it is passed for certain; the same but where the limit hangs on the part's own tolerance.
    passed_above: Amps,
    /// Whether a profile states it; else it is the family's or the trade's.
    stated: bool,
}

impl Most {
    const fn of(amps: Amps, stated: bool) -> Self {
        Self { amps, passed_above: amps, stated }
    }
}

/// A contact or a part whose current has limits.
pub(crate) struct Guard {
    leg: Leg,
    what: &'static str,
    carrier: Carrier,
    /// For what flows out of the machine's contacts, and for what flows into them; of a part forth and back.
    limits: [Option<Most>; 2],
    code: Code,
}

/// What carries the current.
enum Carrier {
    /// The sources behind a contact of the machine.
    Contact,
    /// A pad's output: each half and each clamp by itself.
    Output {
        /// What feeds it, if nothing else does.
        fed_by: Option<Fed>,
        /// What each half may carry, and each clamp.
        halves: [Amps; 2],
        clamp: Amps,
    },
    /// A part of the lead.
    Part {
        /// The contacts of the machine that feed it, if nothing but their sources does.
        fed_by: Option<Vec<Leg>>,
        /// A resistor's least and largest value.
        ohms: Option<[Ohms; 2]>,
    },
    /// A leg of a transistor: all that it carries together.
    Leg {
        /// What feeds it, if nothing else does.
        fed_by: Option<Fed>,
    },
}

/// All that can feed a leg by wire or through parts: what flows through the leg is no more than they bring together.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Fed {
    /// Contacts of the machine with nothing but sources behind them.
    sources: Vec<Leg>,
    /// Resistors, by their first legs, with anything behind them.
    resistors: Vec<Leg>,
}

/// A current that flows one way, against its limit.
struct Flow {
    way: usize,
    amps: AmpsBound,
    most: Most,
}

/// Everything whose current has limits.
pub(crate) fn guards(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = contacts(assembly);
    guards.extend(outputs::guards(assembly));
    guards.extend(ratings::guards(assembly));
    guards.extend(transistors::guards(assembly));
    guards
}

/// The machine's contacts that have limits.
fn contacts(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = Vec::new();
    for (id, contact) in &assembly.port.contacts {
        let leg = Leg::port(*id);
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        let stated = |amps: Option<Amps>| amps.map(|amps| Most::of(amps, true));
        let (own_source, own_sink) = (stated(contact.limits.source_amps), stated(contact.limits.sink_amps));
        let of_family = |family: LogicFamily| {
            let limit = |amps| Some(Most::of(amps, false));
            (limit(family.source_limit().value), limit(family.sink_limit().value))
        };
        let (what, source, sink, code) = match &contact.role {
            PortRole::Supply(supply) => {
                let limit = Most::of(supply.amps_max, supply.amps_max_stated);
                let least = own_source.filter(|own| own.amps < limit.amps).unwrap_or(limit);
                ("supply", Some(least), own_sink, Code::PowerOverload)
            }
            // Nothing may be taken from where the machine is powered, nor given.
            PortRole::Fed(_) => {
                let none = Some(Most::of(NEXT_TO_NOTHING, true));
                ("fed", none, none, Code::PowerFed)
            }
            PortRole::Signal(signal) => {
                let limit = Some(Most::of(signal.amps_max, signal.amps_max_stated));
                ("signal", own_source.or(limit), own_sink.or(limit), Code::DriveOverload)
            }
            PortRole::Drive(family) => {
                let (source, sink) = of_family(*family);
                ("output", own_source.or(source), own_sink.or(sink), Code::DriveOverload)
            }
            PortRole::Action { input, .. } | PortRole::Data { input } | PortRole::Sense { input } => {
                // A line that the machine can also drive is an output then, and one that a key holds a row.
                let input = assembly.port.inputs.get(input);
                let is_held = |action| assembly.port.steps.iter().any(|step| step.held.contains(action));
                let row = contact.action().filter(|action| is_held(action));
                let row = row.and(input).map(|input| assembly.port.drive_family().unwrap_or(input.family));
                let driven = contact.driven.and(input).map(|input| input.family);
                let least = |a: Option<Most>, b: Option<Most>| match (a, b) {
                    (Some(a), Some(b)) => Some(if b.amps < a.amps { b } else { a }),
                    (a, b) => a.or(b),
                };
                let (source, sink) = [row, driven]
                    .into_iter()
                    .flatten()
                    .map(of_family)
                    .fold((None, None), |(source, sink), (more, also)| {
                        (least(source, more), least(sink, also))
                    });
                ("input", own_source.or(source), own_sink.or(sink), Code::DriveOverload)
            }
            // What may flow into an analogue input while it is discharged, nobody publishes.
            PortRole::Pot if is_discharged(assembly, leg) => {
                let limit = Most::of(LogicFamily::NmosPort.sink_limit().value, false);
                ("pot", own_source, own_sink.or(Some(limit)), Code::DrivePot)
            }
            PortRole::Return | PortRole::Axis(_) | PortRole::Pot | PortRole::Unused => continue,
        };
        if source.is_some() || sink.is_some() {
            guards.push(Guard { leg, what, carrier: Carrier::Contact, limits: [source, sink], code });
        }
    }
    guards
}

impl Fed {
    /// What its resistors let through together at most.
    fn through(&self, circuit: &Circuit, network: &Spread) -> Option<Amps> {
        let none = State::new();
        let resistors = self.resistors.iter().flat_map(|leg| circuit.rated(*leg, &none, &none));
        resistors.map(|id| network.amps_alone(id)).try_fold(Amps::ZERO, |sum, amps| Some(sum + amps?))
    }
}

/// What can feed a leg, by wire or through parts, if it is nothing but sources and resistors.
fn fed_by(assembly: &Assembly, leg: Leg) -> Option<Fed> {
    feed(assembly, leg, &mut BTreeSet::new())
}

/// What feeds a leg; none if there is something that nothing bounds. A part that is met twice is a way round.
fn feed(assembly: &Assembly, leg: Leg, met: &mut BTreeSet<PartId>) -> Option<Fed> {
    if leg.part_id().is_some_and(|part| !met.insert(part)) {
        return None;
    }
    let mut fed = Fed::default();
    // A gate takes nothing.
    let is_gate = |leg: &Leg| matches!(leg.part_id(), Some(PartId::Mosfet(_))) && leg.contact == PartId::BASE;
    // A switch's closed contact is wire.
    let is_switch = |leg: &Leg| matches!(leg.part_id(), Some(PartId::Changeover(_)));
    let net = assembly.lead.net(leg).into_iter();
    for other in net.filter(|other| *other != leg && !is_gate(other) && !is_switch(other)) {
        match (assembly.lead.across(other), other.part_id(), assembly.port_contact(other)) {
            (Some(across), part, _) => match (feed(assembly, across, &mut met.clone()), part) {
                (Some(behind), _) => {
                    fed.sources.extend(behind.sources);
                    fed.resistors.extend(behind.resistors);
                    met.extend(part);
                }
                // Whatever is behind it, a resistor lets no more through than all voltages together drive.
                (None, Some(id @ PartId::Resistor(_))) => fed.resistors.push(Leg::part(id, PartId::ANODE)),
                (None, _) => return None,
            },
            (None, _, Some(contact)) if is_source(&contact.role) => fed.sources.push(other),
            (None, _, Some(_) | None) => return None,
        }
    }
    Some(fed)
}

/// Whether nothing but sources is behind a contact of the machine.
const fn is_source(role: &PortRole) -> bool {
    match role {
        PortRole::Action { .. }
        | PortRole::Data { .. }
        | PortRole::Sense { .. }
        | PortRole::Supply(_)
        | PortRole::Fed(_)
        | PortRole::Signal(_)
        | PortRole::Drive(_) => true,
        PortRole::Axis(_) | PortRole::Return | PortRole::Pot | PortRole::Unused => false,
    }
}

const WAYS: [Extreme; 2] = [Extreme::Highest, Extreme::Lowest];

impl Guard {
    /// What flows in a case, each way against its limit.
    fn flows(&self, moment: &Moment<'_>, case: &Case, network: &Spread) -> Vec<Flow> {
        let circuit = moment.circuit();
        // With the clamps of a chip that has no supply, or the junctions of transistors, what all elements round it can
        // bring settles more in less time.
        let is_tangled = network.has_many_diodes() || !circuit.transistors().is_empty();
        let elements = || {
            let [pressed, either] = moment.moving().controls(case);
            circuit.rated(self.leg, &pressed, &either)
        };
        let sources = |legs: &[Leg]| -> Vec<ElementId> {
            legs.iter().flat_map(|leg| circuit.sources(*leg)).copied().collect()
        };
        let each_way = |flow: &dyn Fn(Extreme, Most) -> AmpsBound| -> Vec<Flow> {
            let ways = WAYS.into_iter().zip(self.limits).enumerate();
            let asked = ways.filter_map(|(way, (extreme, most))| Some((way, extreme, most?)));
            asked.map(|(way, extreme, most)| Flow { way, amps: flow(extreme, most), most }).collect()
        };
        match &self.carrier {
            Carrier::Contact => {
                let own = sources(&[self.leg]);
                each_way(&|extreme, most| source_amps(network, &own, extreme, most.amps, is_tangled))
            }
            Carrier::Output { fed_by: Some(fed), .. } => {
                let own = sources(&fed.sources);
                let through = fed.through(circuit, network);
                each_way(&|extreme, most| {
                    let Some(through) = through else { return UNKNOWN };
                    let amps = source_amps(network, &own, extreme, most.amps - through, is_tangled);
                    AmpsBound { guaranteed: amps.guaranteed.map(|amps| amps + through), ..amps }
                })
            }
            Carrier::Output { fed_by: None, halves, clamp } => {
                outputs::flows(network, &elements(), *halves, *clamp)
            }
            Carrier::Leg { fed_by } => {
                let brought = fed_by.as_ref().and_then(|fed| {
                    Some(roughly(network, &sources(&fed.sources))? + fed.through(circuit, network)?)
                });
                if self.limits.iter().flatten().all(|most| brought.is_some_and(|amps| amps <= most.amps)) {
                    let amps = AmpsBound { attained: Some(Amps::ZERO), guaranteed: brought };
                    return each_way(&|_, _| amps);
                }
                transistors::flows(network, &elements(), self.limits)
            }
            Carrier::Part { fed_by, .. } => {
                let own = fed_by.as_ref().map(|legs| sources(legs)).unwrap_or_default();
                let elements = elements();
                each_way(&|extreme, most| {
                    if !own.is_empty()
                        && let Some(rough) = roughly(network, &own).filter(|rough| *rough <= most.amps)
                    {
                        return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(rough) };
                    }
                    elements.first().map_or(UNKNOWN, |id| through(network, *id, extreme, most.amps))
                })
            }
        }
    }

    /// The most that the contact carries in a sound lead, against the limit of the way that comes nearest to its own;
    /// none for a part.
    pub(crate) fn load(&self, amps: [Amps; 2]) -> Option<Load> {
        if matches!(self.carrier, Carrier::Part { .. } | Carrier::Leg { .. }) {
            return None;
        }
        let ways = amps.into_iter().zip(self.limits).filter_map(|(amps, most)| Some((amps, most?)));
        let share = |(amps, most): &(Amps, Most)| amps.get() / most.amps.get();
        let (amps, most) = ways.max_by(|a, b| share(a).total_cmp(&share(b)))?;
        Some(Load { leg: self.leg, what: self.what, amps, limit: most.amps, stated: most.stated })
    }
}

const UNKNOWN: AmpsBound = AmpsBound { attained: None, guaranteed: None };

/// The size of a current one way.
fn size(amps: Amps, extreme: Extreme) -> Amps {
    if extreme == Extreme::Highest { amps } else { -amps }.max(Amps::ZERO)
}

/// The largest current through an element one way, counted above zero.
fn through(network: &Spread, id: ElementId, extreme: Extreme, enough: Amps) -> AmpsBound {
    if !network.is_fed(id) {
        return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) };
    }
    if network.has_many_diodes()
        && let Some(brought) = network.flow_through(id, extreme).filter(|amps| *amps <= enough)
    {
        return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(brought) };
    }
    let found = network.amps_through(id, extreme, enough).unwrap_or(UNKNOWN);
    let attained = found.attained.map(|amps| size(amps, extreme));
    let guaranteed = found.guaranteed.map(|amps| size(amps, extreme));
    if guaranteed.is_some_and(|amps| amps <= enough) {
        return AmpsBound { attained, guaranteed };
    }
    // Where ends move together, what the elements round it can bring may be closer.
    let brought = network.flow_through(id, extreme);
    let guaranteed =
        guaranteed.zip(brought).map(|(own, brought)| own.min(brought)).or(guaranteed).or(brought);
    // Whatever goes round in a ring of diodes, nothing carries more than all sources give.
    let is_within = |amps: &Amps| *amps <= enough;
    let guaranteed =
        guaranteed.filter(is_within).or_else(|| network.amps_given().filter(is_within)).or(guaranteed);
    AmpsBound { attained, guaranteed }
}

/// What sources give or take together, at once and roughly.
fn roughly(network: &Spread, sources: &[ElementId]) -> Option<Amps> {
    sources.iter().try_fold(Amps::ZERO, |sum, id| Some(sum + network.source_amps_roughly(*id)?))
}

/// The largest current of sources together one way, counted above zero.
fn source_amps(
    network: &Spread,
    sources: &[ElementId],
    extreme: Extreme,
    enough: Amps,
    is_tangled: bool,
) -> AmpsBound {
    // Where rough bounds are enough, exact ones would tell nobody more.
    if let Some(rough) = roughly(network, sources).filter(|rough| *rough <= enough) {
        return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(rough) };
    }
    if is_tangled {
        let brought = |sum: Amps, id: &ElementId| Some(sum + network.flow_amps(*id, extreme)?);
        if let Some(most) = sources.iter().try_fold(Amps::ZERO, brought).filter(|most| *most <= enough) {
            return AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(most) };
        }
    }
    let mut sum = AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) };
    for id in sources {
        let one = network.source_amps(*id, extreme).unwrap_or(UNKNOWN);
        let size = |amps: Amps| size(amps, extreme);
        sum = AmpsBound {
            // Extremes of several sources need not come together; the largest of them does occur.
            attained: sum.attained.zip(one.attained.map(size)).map(|(a, b)| a.max(b)),
            guaranteed: sum.guaranteed.zip(one.guaranteed.map(size)).map(|(a, b)| a + b),
        };
    }
    sum
}

impl Flow {
    fn kept(&self) -> Kept {
        match (self.amps.guaranteed, self.amps.attained) {
            (Some(amps), _) if amps <= self.most.amps => Kept::Within,
            (_, Some(amps)) if amps > self.most.passed_above => Kept::Passed,
            _ => Kept::Doubtful,
        }
    }
}

impl Limit for Guard {
    fn leg(&self) -> Leg {
        self.leg
    }

    fn seems_passed(&self, circuit: &Circuit, point: &OperatingPoint) -> bool {
        let legs = match &self.carrier {
            Carrier::Contact => std::slice::from_ref(&self.leg),
            Carrier::Output { fed_by, .. } => fed_by.as_ref().map_or(&[][..], |fed| fed.sources.as_slice()),
            Carrier::Part { .. } | Carrier::Leg { .. } => &[],
        };
        let limits = self.limits.into_iter().flatten();
        let least = limits.map(|most| most.amps).reduce(Amps::min);
        let carried = legs.iter().flat_map(|leg| circuit.sources(*leg)).map(|id| point.amps(*id));
        least.is_some_and(|least| carried.map(|amps| amps.max(-amps)).any(|amps| amps > least))
    }

    fn look(&self, moment: &Moment<'_>, case: &Case) -> Look {
        let network = moment.network(case);
        let mut look = Look { kept: Kept::Within, amps: [Some(Amps::ZERO); 2] };
        for flow in self.flows(moment, case, &network) {
            // A case's network is a bound for its states: what occurs there need not occur in any.
            let kept = if case.is_state() { flow.kept() } else { flow.kept().min(Kept::Doubtful) };
            look.kept = look.kept.max(kept);
            let amps = match flow.kept() {
                Kept::Passed if case.is_state() => flow.amps.attained,
                Kept::Doubtful if case.is_state() => None,
                // Whatever occurs in the states of a case, none passes what holds for all.
                Kept::Within | Kept::Passed | Kept::Doubtful => flow.amps.guaranteed,
            };
            look.amps[flow.way] = look.amps[flow.way].zip(amps).map(|(so_far, amps)| so_far.max(amps));
        }
        look
    }

    fn finding(&self, assembly: &Assembly, moment: &Moment<'_>, state: &Case) -> Option<Finding> {
        let flows = self.flows(moment, state, &moment.network(state));
        let over = |flow: &&Flow| flow.kept() == Kept::Passed;
        let amps = |flow: &Flow| flow.amps.attained.unwrap_or(Amps::ZERO);
        let condition = moment.condition;
        let open = condition.open.iter().flat_map(|join| [join.from, join.to]);
        let legs: Vec<Leg> = std::iter::once(self.leg).chain(open.filter(|leg| *leg != self.leg)).collect();
        let Some(flow) = flows.iter().filter(over).max_by(|a, b| amps(a).get().total_cmp(&amps(b).get()))
        else {
            let text = format!(
                "nothing bounds what {} carries{}, so its limit may not be kept",
                place(assembly, self.leg),
                condition.told()
            );
            let remedy =
                "give the sources on its net a resistance in the port's profile, or take the join out";
            return Some(Finding::new(Code::DriveUnproved, Severity::Note, text).at(legs).remedy(remedy));
        };
        let (amps, limit) = (amps(flow), flow.most.amps);
        let pressed = moment.moving().pressed(state);
        let (limit_told, remedy) = self.told(amps, limit);
        let text = format!(
            "{} can carry {amps} {}{}; {limit_told}",
            place(assembly, self.leg),
            while_pressed(&pressed),
            condition.told()
        );
        Some(
            Finding::new(self.code, Severity::Harm, text)
                .at(legs)
                .when(pressed, &moment.step.name)
                .figures([Figure::amps("carries_amps", amps), Figure::amps("limit_amps", limit)])
                .remedy(remedy),
        )
    }

    fn question(&self) -> String {
        format!("`{}` stays within its limit", self.leg)
    }
}

impl Guard {
    /// The limit in words, and how to keep it.
    fn told(&self, amps: Amps, limit: Amps) -> (String, String) {
        if let Carrier::Part { ohms, .. } = &self.carrier {
            return ratings::told(self.what, *ohms, amps, limit);
        }
        if matches!(self.carrier, Carrier::Leg { .. }) {
            return transistors::told(self.what, limit);
        }
        let limit = if self.code == Code::PowerFed {
            "the machine itself is powered there, and nothing may be taken".to_owned()
        } else {
            format!("its limit is {limit}")
        };
        (
            limit,
            "take out the join that loads it; nothing but what the limit allows may hang on it".to_owned(),
        )
    }
}
