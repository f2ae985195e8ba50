//! Whether the lead can be built in its cable: enough cores, and moulded ends that are what the lead needs.

use solderside_lead::{Allocation, Assembly, EndId, Join, Leg, PartId};
use solderside_profile::{Cable, CoreId};

use crate::code::Code;
use crate::finding::{Finding, Severity};
use crate::words::{names, place};

/// All of it; nothing of a lead of which no cable is chosen.
pub(crate) fn findings(assembly: &Assembly) -> Vec<Finding> {
    let (Some(cable), Some(allocation)) = (&assembly.lead.cable, Allocation::of(assembly)) else {
        return Vec::new();
    };
    let mut findings = strays(assembly, cable, &allocation);
    findings.extend(inside(assembly, cable, &allocation));
    let joins = allocation.without.iter().filter(|join| !is_at_a_part_inside(assembly, &allocation, **join));
    let (moulded, few): (Vec<Join>, Vec<Join>) =
        joins.partition(|join| !moulded_legs(&allocation, **join).is_empty());
    findings.extend(moulded.into_iter().map(|join| blocked(assembly, cable, &allocation, join)));
    findings.extend(few_cores(cable, &allocation, &few));
    findings.extend(moulded_through(assembly, cable, &allocation));
    findings
}

/// Moulded connectors that are at no end of the lead.
fn strays(assembly: &Assembly, cable: &Cable, allocation: &Allocation) -> Vec<Finding> {
    let ends: Vec<String> = assembly.lead.ends.iter().map(|end| end.connector.with_article()).collect();
    let stray = |connector| {
        let text = format!(
            "the {connector} that is moulded onto the cable `{}` is at no end of the lead, which needs {}",
            cable.name,
            ends.join(" and ")
        );
        Finding::new(Code::BuildGender, Severity::Fail, text)
            .remedy("take another cable, or cut that end off and take it out of the cable's file")
    };
    allocation.strays.iter().map(stray).collect()
}

/// Parts, and joins from cup to cup, that would be soldered inside a moulded end.
fn inside(assembly: &Assembly, cable: &Cable, allocation: &Allocation) -> Vec<Finding> {
    let lead = &assembly.lead;
    let finding = |what: String, end: EndId, legs: [Leg; 2], remedy: &str| {
        let text = format!(
            "{what} is inside the {end} end, which is moulded onto the cable `{}`: nothing can be soldered there",
            cable.name
        );
        Finding::new(Code::BuildMouldedEnd, Severity::Fail, text)
            .at(legs)
            .remedy(format!("{remedy}, or cut that end off and solder a connector"))
    };
    let mut findings = Vec::new();
    for part in lead.parts.iter().filter(|part| allocation.moulded.contains_key(&part.sits)) {
        let legs = [PartId::ANODE, PartId::CATHODE].map(|contact| Leg::part(part.id(), contact));
        let remedy = "let it sit in the hood of the other end";
        findings.push(finding(format!("the part `{}`", part.id()), part.sits, legs, remedy));
    }
    for join in lead.joins.iter().filter(|join| !lead.runs_through_cable(join)) {
        let legs = [join.from, join.to];
        if allocation.moulded.contains_key(&join.from.end) && join.from.end == join.to.end {
            let remedy = "make the join at the other end";
            findings.push(finding(format!("`{join}`"), join.from.end, legs, remedy));
        }
    }
    findings
}

/// Whether a join begins or ends at a part inside a moulded end.
fn is_at_a_part_inside(assembly: &Assembly, allocation: &Allocation, join: Join) -> bool {
    let mut parts = [join.from, join.to].into_iter().filter(|leg| leg.part_id().is_some());
    parts.any(|leg| allocation.moulded.contains_key(&assembly.lead.hood(leg)))
}

/// The legs of a join that are at moulded ends.
fn moulded_legs(allocation: &Allocation, join: Join) -> Vec<Leg> {
    [join.from, join.to].into_iter().filter(|leg| allocation.moulded.contains_key(&leg.end)).collect()
}

/// A join that a moulded end keeps from running.
fn blocked(assembly: &Assembly, cable: &Cable, allocation: &Allocation, join: Join) -> Finding {
    let legs = moulded_legs(allocation, join);
    let core_at = |leg: &Leg| allocation.moulded.get(&leg.end)?.contacts.get(&leg.contact).copied();
    let open = legs.iter().find(|leg| core_at(leg).is_none());
    let taken = legs.iter().filter_map(|leg| Some((*leg, core_at(leg)?))).find_map(|(leg, core)| {
        let other = allocation.cores.iter().find(|(_, used)| **used == core).map(|(other, _)| *other);
        Some((leg, core, other?))
    });
    let (text, remedy) = match (open, taken) {
        (Some(leg), _) => (
            format!(
                "nothing ends in contact {} of the moulded {} end of the cable `{}`, and `{join}` needs it",
                leg.contact, leg.end, cable.name
            ),
            "take a cable in which the contact is wired, or cut that end off and solder a connector",
        ),
        (None, Some((leg, core, other))) => (
            format!(
                "{} reaches {} and runs `{other}`, so that `{join}` has none",
                core_name(core),
                place(assembly, leg)
            ),
            "bridge the two at the end that is soldered and run one conductor, or cut the moulded end off",
        ),
        (None, None) => (
            format!("no core of the cable `{}` runs from `{}` to `{}`", cable.name, join.from, join.to),
            "cut one of the moulded ends off and solder a connector",
        ),
    };
    Finding::new(Code::BuildMouldedEnd, Severity::Fail, text).at([join.from, join.to]).remedy(remedy)
}

fn few_cores(cable: &Cable, allocation: &Allocation, without: &[Join]) -> Option<Finding> {
    let in_cores = allocation.cores.values().filter(|core| **core != CoreId::Drain).count();
    let (have, need) = (cable.colours.len(), in_cores + without.len());
    let text = format!(
        "{need} joins run through the cable `{}`, which has {}: none is left for {}",
        cable.name,
        if have == 1 { "1 core".to_owned() } else { format!("{have} cores") },
        names(without)
    );
    let remedy = format!("take a cable of {need} cores or more, or leave out what can be spared");
    (!without.is_empty()).then(|| {
        let legs = without.iter().flat_map(|join| [join.from, join.to]);
        Finding::new(Code::BuildFewCores, Severity::Fail, text).at(legs).remedy(remedy)
    })
}

/// Cores that are moulded in at both ends and join what the lead does not: nothing that was proved holds
/// with them.
fn moulded_through(assembly: &Assembly, cable: &Cable, allocation: &Allocation) -> Vec<Finding> {
    let mut findings = Vec::new();
    for core in &allocation.spares {
        for join in allocation.moulded_through(*core) {
            if assembly.lead.net(join.from).contains(&join.to) {
                continue;
            }
            let text = format!(
                "{} is moulded in at both ends of the cable `{}` and joins {} to {}, which the lead does not",
                core_name(*core),
                cable.name,
                place(assembly, join.from),
                place(assembly, join.to)
            );
            findings.push(
                Finding::new(Code::BuildMouldedEnd, Severity::Fail, text)
                    .at([join.from, join.to])
                    .remedy(format!("add the join `{join}` and prove it, or cut one end off")),
            );
        }
    }
    findings
}

fn core_name(core: CoreId) -> String {
    match core {
        CoreId::Number(number) => format!("core {number}"),
        CoreId::Drain => "the drain".to_owned(),
    }
}
