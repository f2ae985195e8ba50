//! The whole proof.

use solderside_lead::{Assembly, Unbuilt};
use solderside_profile::Control;

use crate::axes::{Axes, AxisProof, axes};
use crate::build;
use crate::cases::Moving;
use crate::chips::chips;
use crate::clamps::clamps;
use crate::code::Code;
use crate::feed::{is_fed, unfed};
use crate::finding::{Finding, Severity, Verdict};
use crate::forgetting::forgetting;
use crate::holds::{Holds, holds};
use crate::loads::{Asked, Enough, Load, Loads, loads};
use crate::readings::{ActionProof, Readings, readings, readings_briefly, readings_until};
use crate::rollover::rollover;
use crate::script::Script;
use crate::settings::{SetProof, judge_settings, prove_settings};
use crate::settling::settling;
use crate::standing::{Standing, standings};
use crate::truth::{TruthRow, TruthTable};

/// What is proved of a lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// What it comes to.
    pub verdict: Verdict,
    /// Operating points that the proof is about, each over the whole box of tolerances: samples of all steps and
    /// states, and each state again for the limits, sound and with the return or the supply open. One bound
    /// covers many of them where a control's position does not matter; those that no bound covered are the
    /// subject of a finding of their own.
    pub operating_points: u64,
    /// What there is to say, the worst first.
    pub findings: Vec<Finding>,
    /// How each action reads.
    pub actions: Vec<ActionProof>,
    /// How each axis to which a pot leads is measured, by the port's contacts.
    pub axes: Vec<AxisProof>,
    /// What contacts carry, against their limits.
    pub loads: Vec<Load>,
    /// The range over which the verdict holds.
    pub holds_for: Vec<Holds>,
    /// The facts it stands on, the weakest first.
    pub stands_on: Vec<Standing>,
    /// What the machine reads in each state, or where there are more than 4096 in those with the fewest controls
    /// pressed.
    pub truth: Vec<TruthRow>,
    /// None if `truth` lists every state; else it lists those with so many controls pressed at most.
    pub truth_pressed_at_most: Option<usize>,
    /// The controls that perform no action.
    pub controls_lost: Vec<Control>,
    /// What is proved in each setting of the lead's own switches; nothing of a lead without any. With them the verdict and
    /// all above is the worst of all settings and of what happens between them, but for `axes` and `truth`, which are those
    /// of the first setting.
    pub settings: Vec<SetProof>,
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
    prove_as_set(assembly, Asked::All)
}

/// Proves a lead as [`prove`] does, but tells of one that is not sound neither what the machine reads state by state nor, if it
/// harms, what everything carries: nobody builds it, and that takes long to find.
///
/// # Errors
/// As [`prove`].
pub fn prove_to_build(assembly: &Assembly) -> Result<Proof, Unbuilt> {
    prove_as_set(assembly, Asked::ToBuild)
}

/// Proves a lead as [`prove`] does, but tells neither over which range the verdict holds nor what anything carries, nor what
/// reads state by state; and of a line that reads wrong, a state in which it does, not the first of the worst: enough to
/// compare many leads, at a fraction of the price.
///
/// # Errors
/// As [`prove`].
pub fn prove_briefly(assembly: &Assembly) -> Result<Proof, Unbuilt> {
    prove_as_set(assembly, Asked::Briefly)
}

fn prove_as_set(assembly: &Assembly, asked: Asked<'_>) -> Result<Proof, Unbuilt> {
    if assembly.lead.has_settings() {
        return prove_settings(assembly, asked, |set| prove_as_asked(set, &Moving::of(set), asked));
    }
    prove_as_asked(assembly, &Moving::of(assembly), asked)
}

/// Proves a lead without switches of its own over these states.
#[cfg(test)]
pub(crate) fn prove_over(assembly: &Assembly, moving: &Moving) -> Result<Proof, Unbuilt> {
    prove_as_asked(assembly, moving, Asked::All)
}

fn prove_as_asked(assembly: &Assembly, moving: &Moving, asked: Asked<'_>) -> Result<Proof, Unbuilt> {
    let proof = told(assembly, weigh(assembly, moving, asked)?)?;
    let is_range_asked = match asked {
        Asked::All | Asked::ToBuild => proof.verdict.is_sound(),
        Asked::Findings | Asked::Briefly | Asked::Until(_) => false,
    };
    let holds_for =
        if is_range_asked { holds(assembly, moving, &proof.actions, &proof.loads)? } else { Vec::new() };
    Ok(Proof { holds_for, ..proof })
}

/// What was weighed as a proof, without the range over which it holds.
fn told(assembly: &Assembly, weighed: Weighed) -> Result<Proof, Unbuilt> {
    let Weighed { judgement, readings, truth, loads, axes } = weighed;
    let Judgement { verdict, findings, controls_lost } = judgement;
    Ok(Proof {
        verdict,
        operating_points: readings.samples.saturating_add(loads.points),
        stands_on: standings(assembly, &findings),
        findings,
        actions: readings.actions(assembly)?,
        axes: axes.proofs,
        loads: loads.carried,
        holds_for: Vec::new(),
        truth: truth.rows,
        truth_pressed_at_most: truth.pressed_at_most,
        controls_lost,
        settings: Vec::new(),
    })
}

/// Judges a lead: the verdict and the findings of [`prove`].
///
/// # Errors
/// As [`prove`].
pub fn judge(assembly: &Assembly) -> Result<Judgement, Unbuilt> {
    let judge_set =
        |set: &Assembly| weigh(set, &Moving::of(set), Asked::Findings).map(|weighed| weighed.judgement);
    if assembly.lead.has_settings() { judge_settings(assembly, judge_set) } else { judge_set(assembly) }
}

/// Why a lead is judged no further.
enum Ended {
    /// A value of a profile cannot be an element of a circuit.
    Unbuilt(Unbuilt),
    /// Something that was found cannot be borne.
    Unbearable,
}

impl From<Unbuilt> for Ended {
    fn from(unbuilt: Unbuilt) -> Self {
        Self::Unbuilt(unbuilt)
    }
}

/// Judges a lead as long as everything that is found can be borne: none as soon as something cannot, which is often told
/// long before the judgement is done. Its findings are those of [`prove_briefly`], but of a line that reads wrong or without
/// margin any state may be told in which it does.
///
/// # Errors
/// As [`prove`].
pub fn judge_while(
    assembly: &Assembly,
    is_bearable: impl Fn(&Finding) -> bool,
) -> Result<Option<Judgement>, Unbuilt> {
    if !assembly.lead.has_settings() {
        return judge_set_while(assembly, is_bearable);
    }
    let judged = judge_settings(assembly, |set| match judge_set_while(set, &is_bearable)? {
        Some(judgement) => Ok(judgement),
        None => Err(Ended::Unbearable),
    });
    match judged {
        Ok(judgement) => Ok(judgement.findings.iter().all(is_bearable).then_some(judgement)),
        Err(Ended::Unbearable) => Ok(None),
        Err(Ended::Unbuilt(unbuilt)) => Err(unbuilt),
    }
}

fn judge_set_while(
    assembly: &Assembly,
    is_bearable: impl Fn(&Finding) -> bool,
) -> Result<Option<Judgement>, Unbuilt> {
    let is_unbearable = |finding: &Finding| !is_bearable(finding);
    let moving = Moving::of(assembly);
    if build::findings(assembly).iter().chain(&unfed(assembly)?).any(is_unbearable) {
        return Ok(None);
    }
    let script = Script::of(assembly)?;
    let mut of_chips = chips(assembly, &script, &moving);
    let uncounted = forgetting(assembly);
    let is_vain = !uncounted.is_empty();
    of_chips.extend(uncounted);
    if of_chips.iter().any(is_unbearable) {
        return Ok(None);
    }
    let mut readings =
        if is_vain { Readings::untold() } else { readings_until(assembly, &script, &moving, is_unbearable) };
    if readings.findings.iter().any(is_unbearable) {
        return Ok(None);
    }
    readings.findings.extend(of_chips);
    readings.findings.extend(settling(assembly, &script, &moving));
    readings.findings.extend(axes(assembly, &script, &moving).findings);
    readings.findings.extend(rollover(assembly, &script, &moving));
    if readings.findings.iter().any(is_unbearable) {
        return Ok(None);
    }
    let enough = Enough { finding: &is_unbearable, doubt: false };
    let mut loads = loads(assembly, &moving, Asked::Until(enough))?;
    loads.findings.extend(clamps(assembly)?);
    let found = [&mut readings.findings, &mut loads.findings].map(std::mem::take);
    let judgement = judgement(assembly, found);
    let is_borne = judgement.findings.iter().all(is_bearable);
    Ok(is_borne.then_some(judgement))
}

/// A judgement with what it was made from.
struct Weighed {
    judgement: Judgement,
    readings: Readings,
    truth: TruthTable,
    loads: Loads,
    axes: Axes,
}

/// What a donor's own buttons leave open may be certain while nobody touches them: what is wrong then is wrong.
fn weigh(assembly: &Assembly, moving: &Moving, asked: Asked<'_>) -> Result<Weighed, Unbuilt> {
    let weighed = weigh_as_it_is(assembly, moving, asked)?;
    if weighed.judgement.verdict == Verdict::Unproved
        && let Some(alone) = assembly.left_alone()
    {
        let alone = weigh_as_it_is(&alone, moving, asked)?;
        if alone.judgement.verdict > Verdict::Unproved {
            return Ok(alone);
        }
    }
    Ok(weighed)
}

fn weigh_as_it_is(assembly: &Assembly, moving: &Moving, asked: Asked<'_>) -> Result<Weighed, Unbuilt> {
    let script = Script::of(assembly)?;
    let mut of_chips = chips(assembly, &script, moving);
    // A chip without its supply answers anything, and so does a pad of which nobody knows where its count begins: what
    // the machine would read is not worth a word.
    of_chips.extend(forgetting(assembly));
    let is_vain =
        of_chips.iter().any(|finding| matches!(finding.code, Code::PowerMissing | Code::TimingForgets));
    let mut readings = match asked {
        _ if is_vain => Readings::untold(),
        Asked::Briefly => readings_briefly(assembly, &script, moving),
        Asked::All | Asked::ToBuild | Asked::Findings | Asked::Until(_) => {
            readings(assembly, &script, moving)
        }
    };
    readings.findings.extend(of_chips);
    readings.findings.extend(settling(assembly, &script, moving));
    let mut axes = axes(assembly, &script, moving);
    readings.findings.append(&mut axes.findings);
    readings.findings.extend(rollover(assembly, &script, moving));
    let mut loads = loads(assembly, moving, asked)?;
    loads.findings.extend(clamps(assembly)?);
    let found = [&mut readings.findings, &mut loads.findings].map(std::mem::take);
    let judgement = judgement(assembly, found);
    let is_table_asked = match asked {
        Asked::All | Asked::Findings => true,
        Asked::ToBuild => judgement.verdict.is_sound(),
        Asked::Briefly | Asked::Until(_) => false,
    };
    if !readings.are_told || !is_table_asked {
        return Ok(Weighed { judgement, readings, truth: TruthTable::default(), loads, axes });
    }
    let truth = TruthTable::of(assembly, &script, moving);
    let judgement = judgement.with_opposites(&truth.rows);
    Ok(Weighed { judgement, readings, truth, loads, axes })
}

/// Judges a lead as far as it takes to know whether it may be used: of a lead that harms no more is told than that, and
/// one that does not work is not looked into further once it is in doubt whether it harms.
///
/// # Errors
/// As [`prove`].
pub(crate) fn judge_for_use(assembly: &Assembly) -> Result<(Judgement, Readings), Unbuilt> {
    let moving = Moving::of(assembly);
    let script = Script::of(assembly)?;
    let mut of_chips = chips(assembly, &script, &moving);
    let uncounted = forgetting(assembly);
    let built = build::findings(assembly);
    let is_failing = |finding: &Finding| finding.severity >= Severity::Fail;
    // That nothing is asked says nothing of what the machine would read.
    let is_vain = assembly.port.hazard.is_some()
        || !is_fed(assembly)
        || built.iter().filter(|finding| finding.code != Code::ReadNothing).any(is_failing)
        || !uncounted.is_empty()
        || of_chips.iter().any(is_failing);
    of_chips.extend(uncounted);
    let is_lost = is_vain || built.iter().any(is_failing);
    let enough = Enough { finding: &Finding::is_harm, doubt: is_lost };
    let mut loads = loads(assembly, &moving, Asked::Until(enough))?;
    loads.findings.extend(clamps(assembly)?);
    let mut readings =
        if is_vain || loads.harm() { Readings::untold() } else { readings(assembly, &script, &moving) };
    readings.findings.extend(of_chips);
    readings.findings.extend(settling(assembly, &script, &moving));
    readings.findings.extend(axes(assembly, &script, &moving).findings);
    readings.findings.extend(rollover(assembly, &script, &moving));
    let found = [&mut readings.findings, &mut loads.findings].map(std::mem::take);
    let judgement = judgement(assembly, found);
    if !readings.are_told {
        return Ok((judgement, readings));
    }
    let truth = TruthTable::of(assembly, &script, &moving);
    Ok((judgement.with_opposites(&truth.rows), readings))
}

fn judgement(assembly: &Assembly, found: [Vec<Finding>; 2]) -> Judgement {
    let mut findings = build::findings(assembly);
    findings.extend(build::no_port(assembly));
    findings.extend(found.into_iter().flatten());
    let (verdict, findings) = sorted(findings);
    Judgement { verdict, findings, controls_lost: build::lost_controls(assembly) }
}

impl Judgement {
    /// The same with the opposite directions that read at once.
    fn with_opposites(self, truth: &[TruthRow]) -> Self {
        // What floats reads as it likes: that is told already.
        if self.findings.iter().any(|finding| finding.code == Code::ReadFloating) {
            return self;
        }
        let (verdict, findings) = sorted([self.findings, build::opposites(truth)].concat());
        Self { verdict, findings, ..self }
    }
}

/// The findings in their order, and what they come to: the worst first, then by code; the contact decides among equals.
pub(crate) fn sorted(mut findings: Vec<Finding>) -> (Verdict, Vec<Finding>) {
    findings.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.code.cmp(&b.code)).then(a.legs.cmp(&b.legs)));
    let unproved = findings.iter().any(Finding::is_open);
    let verdict = findings
        .iter()
        .map(|finding| Verdict::from(finding.severity))
        .chain(unproved.then_some(Verdict::Unproved))
        .max()
        .unwrap_or(Verdict::Works);
    (verdict, findings)
}
