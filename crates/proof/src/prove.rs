//! The whole proof.

use solderside_lead::{Assembly, Unbuilt};
use solderside_profile::Control;

use crate::build;
use crate::clamps::clamps;
use crate::code::Code;
use crate::finding::{Finding, Severity, Verdict};
use crate::holds::{Holds, holds};
use crate::loads::{Load, Loads, Until, loads};
use crate::readings::{ActionProof, Readings, TruthRow, is_fed, readings};
use crate::standing::{Standing, standings};

/// What is proved of a lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// What it comes to.
    pub verdict: Verdict,
    /// Operating points that were covered, each over the whole box of tolerances: samples of all steps and
    /// states, and each state again for the limits, sound and with the return or the supply open.
    pub operating_points: u64,
    /// What there is to say, the worst first.
    pub findings: Vec<Finding>,
    /// How each action reads.
    pub actions: Vec<ActionProof>,
    /// What contacts carry, against their limits.
    pub loads: Vec<Load>,
    /// The range over which the verdict holds.
    pub holds_for: Vec<Holds>,
    /// The facts it stands on, the weakest first.
    pub stands_on: Vec<Standing>,
    /// What the machine reads in each state.
    pub truth: Vec<TruthRow>,
    /// The controls that perform no action.
    pub controls_lost: Vec<Control>,
}

/// What a lead comes to, without the range over which it does and the facts that it stands on: enough to
/// choose between leads, at a fraction of the price.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// What it comes to.
    pub verdict: Verdict,
    /// What there is to say, the worst first.
    pub findings: Vec<Finding>,
    /// The controls that perform no action.
    pub controls_lost: Vec<Control>,
}

/// Proves a lead.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub fn prove(assembly: &Assembly) -> Result<Proof, Unbuilt> {
    let (Judgement { verdict, findings, controls_lost }, readings, loads) = weigh(assembly)?;
    let actions = readings.actions(assembly)?;
    let holds_for = if verdict.is_sound() { holds(assembly, &actions, &loads.carried)? } else { Vec::new() };
    Ok(Proof {
        verdict,
        operating_points: readings.samples + loads.points,
        findings,
        actions,
        loads: loads.carried,
        holds_for,
        stands_on: standings(assembly),
        truth: readings.truth,
        controls_lost,
    })
}

/// Judges a lead: the verdict and the findings of [`prove`].
///
/// # Errors
/// As [`prove`].
pub fn judge(assembly: &Assembly) -> Result<Judgement, Unbuilt> {
    weigh(assembly).map(|(judgement, ..)| judgement)
}

fn weigh(assembly: &Assembly) -> Result<(Judgement, Readings, Loads), Unbuilt> {
    let mut readings = readings(assembly)?;
    let mut loads = loads(assembly, Until::End)?;
    loads.findings.extend(clamps(assembly)?);
    let found = [&mut readings.findings, &mut loads.findings].map(std::mem::take);
    Ok((judgement(assembly, found, &readings.truth), readings, loads))
}

/// Judges a lead as far as it takes to know whether it may be used: of a lead that harms no more is told than that, and
/// of one that does not work, whether harm is excluded.
///
/// # Errors
/// As [`prove`].
pub(crate) fn judge_for_use(assembly: &Assembly) -> Result<(Judgement, Readings), Unbuilt> {
    let is_lost =
        !is_fed(assembly) || build::findings(assembly).iter().any(|one| one.severity >= Severity::Fail);
    let mut loads = loads(assembly, if is_lost { Until::Doubt } else { Until::Harm })?;
    loads.findings.extend(clamps(assembly)?);
    let mut readings = if loads.harm() { Readings::untold() } else { readings(assembly)? };
    let found = [&mut readings.findings, &mut loads.findings].map(std::mem::take);
    Ok((judgement(assembly, found, &readings.truth), readings))
}

fn judgement(assembly: &Assembly, found: [Vec<Finding>; 2], truth: &[TruthRow]) -> Judgement {
    let mut findings = build::findings(assembly);
    findings.extend(build::no_port(assembly));
    findings.extend(found.into_iter().flatten());
    // What floats reads as it likes: that is told already.
    if !findings.iter().any(|finding| finding.code == Code::ReadFloating) {
        findings.extend(build::opposites(truth));
    }
    // The worst first, then by code; the contact decides among equals.
    findings.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.code.cmp(&b.code)).then(a.legs.cmp(&b.legs)));
    let unproved = findings.iter().any(Finding::is_open);
    let verdict = findings
        .iter()
        .map(|finding| Verdict::from(finding.severity))
        .chain(unproved.then_some(Verdict::Unproved))
        .max()
        .unwrap_or(Verdict::Works);
    Judgement { verdict, findings, controls_lost: build::lost_controls(assembly) }
}
