//! The facts that a verdict stands on.

use solderside_lead::{Assembly, Body, Donor, EndId, Leg};
use solderside_profile::{Control, Controller, Fact, PortRole, Ramp, Supply};
use solderside_trade::{ChangeoverPart, ClosedBy, Evidence, Source, TransistorPart};

use crate::code::Code;
use crate::finding::Finding;

/// A fact that the verdict stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// What it says.
    pub what: String,
    /// The contacts that it is about; none if it is about all.
    pub legs: Vec<Leg>,
    /// How well it is known.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}

/// Collects them, the weakest first; facts with the same words and source are one. Findings tell what only keeps harm away.
pub(crate) fn standings(assembly: &Assembly, findings: &[Finding]) -> Vec<Standing> {
    let mut found = Found::default();
    let mut take = |what, leg, evidence, source: &str| found.take(what, leg, evidence, source);
    let mut legs: Vec<Leg> = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).collect();
    legs.sort_unstable();
    legs.dedup();
    for leg in legs {
        if let Some(contact) = assembly.controller_contact(leg) {
            let whose = if leg.end == EndId::Donor { "donor" } else { "controller" };
            take(
                format!("which contact does what at the {whose}"),
                Some(leg),
                contact.fact.evidence,
                &contact.fact.source,
            );
        }
        let Some(contact) = assembly.port_contact(leg) else { continue };
        let Fact { evidence, source } = &contact.fact;
        take("which contact does what at the port".to_owned(), Some(leg), *evidence, source);
        match &contact.role {
            PortRole::Action { input, .. } | PortRole::Data { input } | PortRole::Sense { input } => {
                let Some(input) = assembly.port.inputs.get(input) else { continue };
                for (what, pull) in [("pull-up", input.pull_up), ("pull-down", input.pull_down)] {
                    let Some(ohms) = pull else { continue };
                    let what = format!("{what} of {ohms}");
                    take(what, Some(leg), input.fact.evidence, &input.fact.source);
                }
                if let Some(charge) = input.charge {
                    let what = format!("{} charged within {}", charge.farads, charge.seconds);
                    take(what, Some(leg), input.fact.evidence, &input.fact.source);
                }
                if let Some(settle) = input.settle {
                    let what = format!("a line that can be read after {settle}");
                    take(what, Some(leg), input.fact.evidence, &input.fact.source);
                }
                let levels = input.family.levels_at(assembly.port.rail);
                for (what, sourced) in
                    [("guaranteed low", levels.low_guaranteed), ("guaranteed high", levels.high_guaranteed)]
                {
                    let Source { evidence, text } = sourced.source;
                    take(
                        format!("{what} of {} inputs at {}", input.family, sourced.value),
                        Some(leg),
                        evidence,
                        text,
                    );
                }
            }
            PortRole::Supply(Supply { amps_max, amps_max_stated, .. }) => {
                let what = format!("supply limit of {amps_max}");
                if *amps_max_stated {
                    take(what, Some(leg), *evidence, source);
                } else {
                    take(
                        what,
                        Some(leg),
                        Evidence::Assumed,
                        "no figure found: the lowest that is published for such ports",
                    );
                }
            }
            PortRole::Drive(_) => {
                let what =
                    contact.note.clone().unwrap_or_else(|| "when the machine drives it, and how".to_owned());
                take(what, Some(leg), *evidence, source);
            }
            PortRole::Axis(axis) => {
                let (least, most) = axis.reads;
                take(format!("times from {least} to {most} are measured"), Some(leg), *evidence, source);
                let Some(input) = assembly.port.inputs.get(&axis.input) else { continue };
                if let Some(Ramp { farads, series, threshold }) = input.ramp {
                    let what = format!(
                        "{farads} charged through {series} to a share of {} to {} of the rail",
                        threshold.low(),
                        threshold.high()
                    );
                    take(what, Some(leg), input.fact.evidence, &input.fact.source);
                }
            }
            PortRole::Fed(_) | PortRole::Signal(_) | PortRole::Return | PortRole::Pot | PortRole::Unused => {}
        }
    }
    found.take_pads(assembly);
    found.take_parts(assembly);
    for finding in findings.iter().filter(|finding| finding.code == Code::BuildBreaksFirst) {
        let Source { evidence, text } = ChangeoverPart::BREAKS_FIRST;
        for leg in &finding.legs {
            found.take("a switch that breaks before it makes".to_owned(), Some(*leg), evidence, text);
        }
    }
    for (_, transistor) in assembly.transistors() {
        found.take_transistor(transistor);
    }
    if let Some(cable) = &assembly.lead.cable {
        let what = format!("the copper, the cores and the ends of the cable `{}`", cable.name);
        found.take(what, None, cable.fact.evidence, &cable.fact.source);
    }
    found.0.sort_by_key(|standing| std::cmp::Reverse(standing.evidence));
    found.0
}

/// The facts that were met so far.
#[derive(Default)]
struct Found(Vec<Standing>);

impl Found {
    /// Takes a fact in; the same one met at another contact is one.
    fn take(&mut self, what: String, leg: Option<Leg>, evidence: Evidence, source: &str) {
        let same = |known: &&mut Standing| {
            known.what == what && known.evidence == evidence && known.source == source
        };
        if let Some(known) = self.0.iter_mut().find(same) {
            known.legs.extend(leg.filter(|leg| !known.legs.contains(leg)));
        } else {
            let legs = leg.into_iter().collect();
            self.0.push(Standing { what, legs, evidence, source: source.to_owned() });
        }
    }

    /// Takes in what is known of a transistor: each kind once.
    fn take_transistor(&mut self, part: TransistorPart) {
        let sheet = part.sheet();
        let mut facts = vec![
            (format!("how well a closed {part} conducts"), sheet.closed.source),
            (format!("up to where a {part} is off, and what it then leaks"), sheet.off.source),
            (format!("how long a {part} takes to open or close"), sheet.delay.source),
        ];
        match &sheet.closed_by {
            ClosedBy::Base(base) => facts.extend([
                (format!("what the base of a {part} takes"), base.junction.least().source),
                (format!("what closes a {part}"), base.forced_gain.source),
                (format!("what the base of a {part} bears"), base.amps_max.source),
            ]),
            ClosedBy::Gate(gate) => {
                facts.push((format!("what closes a {part}"), gate.closed_from.source));
            }
        }
        for (what, Source { evidence, text }) in facts {
            self.take(what, None, evidence, text);
        }
    }

    /// Takes in what is known of the lead's diodes and switches.
    fn take_parts(&mut self, assembly: &Assembly) {
        for part in &assembly.lead.parts {
            if let Body::Diode(diode) = part.body {
                for (which, law) in [("greatest drop", diode.least()), ("greatest leakage", diode.most())] {
                    let Source { evidence, text } = law.source;
                    self.take(format!("the {which} of a {diode}"), None, evidence, text);
                }
            }
            if let Body::Changeover(switch) = part.body {
                let closed = switch.closed_ohms();
                let Source { evidence, text } = closed.source;
                self.take(
                    format!("a closed contact of a {switch} switch of {}", closed.value),
                    None,
                    evidence,
                    text,
                );
                let carries = switch.amps_max();
                let Source { evidence, text } = carries.source;
                self.take(format!("what a {switch} switch carries"), None, evidence, text);
            }
        }
    }

    /// Takes in what is inside the controllers and the donor.
    fn take_pads(&mut self, assembly: &Assembly) {
        for (end, controller) in assembly.controllers() {
            self.take_controller(assembly, end, controller);
        }
        if let Some(donor) = &assembly.donor {
            self.take_donor(assembly, donor);
        }
    }

    /// Takes in what is inside a donor. Its own switches only stand beside those of the controller.
    fn take_donor(&mut self, assembly: &Assembly, donor: &Donor) {
        let pad = donor.pad();
        if let Some(Fact { evidence, source }) = pad.inside.as_ref().map(|inside| &inside.fact) {
            let what = format!("what is inside `{}`, and how its switches are wired to that", pad.name);
            self.take(what, None, *evidence, source);
        }
        for (control, [line, _]) in donor.points() {
            if let Some(series) =
                pad.series_of(control).filter(|_| assembly.lead.joined(line).next().is_some())
            {
                let what =
                    format!("a resistor of {} between a switch of the donor and its plug", series.ohms);
                self.take(what, Some(line), series.fact.evidence, &series.fact.source);
            }
        }
    }

    /// Takes in what is inside a controller.
    fn take_controller(&mut self, assembly: &Assembly, end: EndId, controller: &Controller) {
        if let Some(logic) = &controller.logic {
            let supply = controller.supply().map(|contact| Leg { end, contact });
            let what = format!("the pad takes {} at {}", logic.supply_amps, logic.supply_volts.typical());
            self.take(what, supply, logic.fact.evidence, &logic.fact.source);
        }
        let switches =
            controller.controls().into_iter().filter(|control| controller.driver_of(control).is_none());
        let switches: Vec<&Control> = switches.collect();
        if !switches.is_empty() {
            let closed = controller.switch.closed_ohms();
            self.take(
                format!("a closed {} of {}", controller.switch.as_str(), closed.value),
                None,
                closed.source.evidence,
                closed.source.text,
            );
        }
        for (contact, pot) in controller.axes() {
            let leg = Leg { end, contact };
            if assembly.lead.joined(leg).next().is_some()
                && let Some(Fact { evidence, source }) =
                    assembly.controller_contact(leg).map(|contact| &contact.fact)
            {
                self.take(format!("a pot of {}", pot.ohms), Some(leg), *evidence, source);
            }
        }
        for control in switches {
            let Some(series) = controller.series_of(control) else { continue };
            let leg = controller.contact_of(control).map(|contact| Leg { end, contact });
            if leg.is_some_and(|leg| assembly.lead.joined(leg).next().is_some()) {
                let what = format!("a resistor of {} in series with a switch", series.ohms);
                self.take(what, leg, series.fact.evidence, &series.fact.source);
            }
        }
    }
}
