//! A lead with switches of its own, proved in every way in which they may stand.
//!
//! In a setting, in which all of them stand where they are meant to, it is a lead without any, and proved as one: what
//! is read there is held against the play map of that setting. While a hand moves one, nobody plays: what is read in that
//! moment counts for nothing, but nothing may be harmed.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Leg, PartId, PlayMap, Setting, Unbuilt};
use solderside_profile::Control;
use solderside_quantity::Volts;

use crate::build;
use crate::cases::Moving;
use crate::chips::chips;
use crate::clamps::clamps;
use crate::code::Code;
use crate::finding::{Finding, Severity};
use crate::holds::{Holds, in_all_settings, is_borne_with, supply_limits};
use crate::loads::{Asked, Enough, Load, loads};
use crate::prove::{Judgement, Proof, sorted};
use crate::readings::{ActionProof, Worst};
use crate::script::Script;
use crate::standing::standings;

/// What is proved of a lead with its switches in one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct SetProof {
    /// Where the switches stand.
    pub setting: Setting,
    /// Who performs what there.
    pub play: PlayMap,
    /// What is proved of it.
    pub proof: Proof,
}

/// Proves a lead in each setting, and that it does no harm in between.
pub(crate) fn prove_settings(
    assembly: &Assembly,
    asked: Asked<'_>,
    prove: impl Fn(&Assembly) -> Result<Proof, Unbuilt>,
) -> Result<Proof, Unbuilt> {
    let mut sets = Vec::new();
    let mut settings = Vec::new();
    for setting in assembly.settings() {
        let set = assembly.set(&setting);
        let proof = prove(&set)?;
        settings.push(SetProof { setting, play: set.lead.play.clone(), proof });
        sets.push(set);
    }
    let each = settings.iter().map(|own| (&own.setting, own.proof.findings.as_slice()));
    let mut findings = told_once(&each.collect::<Vec<_>>());
    findings.extend(of_the_whole(assembly));
    let moved = while_moved(assembly, asked)?;
    let lost = settings.iter().map(|own| own.proof.controls_lost.as_slice());
    let Judgement { verdict, findings, controls_lost } = together(assembly, findings, &moved.findings, lost)?;
    let mut loads = moved.carried;
    let mut actions: Vec<ActionProof> = Vec::new();
    let mut points = moved.points;
    for own in settings.iter().map(|own| &own.proof) {
        points = points.saturating_add(own.operating_points);
        heaviest(&mut loads, &own.loads);
        worst_read(&mut actions, &own.actions);
    }
    let mut holds_for = Vec::new();
    if verdict.is_sound() {
        let ranges = settings.iter().map(|own| own.proof.holds_for.as_slice());
        let own: Vec<(Assembly, &[Holds])> = sets.into_iter().zip(ranges).collect();
        for holds in in_all_settings(&own)? {
            let mut is_borne = true;
            for setting in assembly.moves() {
                is_borne &= is_borne_with(&assembly.set(&setting), &holds)?;
            }
            holds_for.extend(is_borne.then_some(holds));
        }
        holds_for.extend(supply_limits(assembly, &loads));
    }
    let first = settings.first().map(|own| own.proof.clone());
    let (truth, truth_pressed_at_most) =
        first.as_ref().map(|own| (own.truth.clone(), own.truth_pressed_at_most)).unwrap_or_default();
    Ok(Proof {
        verdict,
        operating_points: points,
        stands_on: standings(assembly, &findings),
        findings,
        actions,
        axes: first.map(|own| own.axes).unwrap_or_default(),
        loads,
        holds_for,
        truth,
        truth_pressed_at_most,
        controls_lost,
        settings,
    })
}

/// Judges a lead in each setting and in between, until a judgement fails.
pub(crate) fn judge_settings<E: From<Unbuilt>>(
    assembly: &Assembly,
    judge: impl Fn(&Assembly) -> Result<Judgement, E>,
) -> Result<Judgement, E> {
    let mut judged = Vec::new();
    for setting in assembly.settings() {
        let judgement = judge(&assembly.set(&setting))?;
        judged.push((setting, judgement));
    }
    let each = judged.iter().map(|(setting, own)| (setting, own.findings.as_slice()));
    let mut findings = told_once(&each.collect::<Vec<_>>());
    findings.extend(of_the_whole(assembly));
    let moved = moved_findings(assembly)?;
    let lost = judged.iter().map(|(_, own)| own.controls_lost.as_slice());
    together(assembly, findings, &moved, lost).map_err(E::from)
}

/// What is found while switches are moved, without what everything carries.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn moved_findings(assembly: &Assembly) -> Result<Vec<Finding>, Unbuilt> {
    let enough = Enough { finding: &|_: &Finding| false, doubt: false };
    Ok(while_moved(assembly, Asked::Until(enough))?.findings)
}

/// The judgement of all: a control is lost that performs nothing in any setting.
fn together<'l>(
    assembly: &Assembly,
    mut findings: Vec<Finding>,
    moved: &[Finding],
    mut lost: impl Iterator<Item = &'l [Control]>,
) -> Result<Judgement, Unbuilt> {
    findings.extend(only_while_moved(moved, &findings));
    findings.extend(must_break_first(assembly, &findings)?);
    let mut controls_lost = lost.next().unwrap_or_default().to_vec();
    for lost in lost {
        controls_lost.retain(|control| lost.contains(control));
    }
    let (verdict, findings) = sorted(findings);
    Ok(Judgement { verdict, findings, controls_lost })
}

/// Which switches must break before they make: those by which something would come to harm if they did not. Nothing but
/// their kind keeps that away, and both kinds are sold.
pub(crate) fn must_break_first(assembly: &Assembly, told: &[Finding]) -> Result<Vec<Finding>, Unbuilt> {
    let is_new = |finding: &Finding| counts_while_moved(finding) && !is_told(finding, told);
    let enough = Enough { finding: &is_new, doubt: false };
    let mut found = Vec::new();
    let mut known: BTreeSet<PartId> = BTreeSet::new();
    for setting in assembly.moves_if_made_first() {
        // One that must break first never stands so.
        if !known.is_disjoint(&setting.made_first) {
            continue;
        }
        let moved = moved_to(assembly, &setting, Asked::Until(enough))?;
        let Some(harm) = moved.findings.into_iter().find(is_new) else { continue };
        let own = setting.made_first.iter().filter_map(|part| assembly.lead.changeover(*part));
        let names: Vec<String> = own.map(|own| format!("`{}`", own.called)).collect();
        let names = names.join(" and ");
        let text = format!("{names} must break before it makes; else, {}: {}", setting.told(), harm.text);
        let common = |part: &PartId| Leg::part(*part, PartId::COMMON);
        found.push(Finding {
            code: Code::BuildBreaksFirst,
            severity: Severity::Note,
            text,
            legs: setting.made_first.iter().map(common).collect(),
            remedy: "buy a switch that is sold as non-shorting; with the buzzer between its two throws it stays silent \
                while it is moved slowly"
                .to_owned(),
            ..harm
        });
        known.extend(setting.made_first);
    }
    Ok(found)
}

/// What is said of the lead whatever its setting: profiles that have changed since it was proved, and that nothing is proved
/// of what may be plugged into an end that passes the port through, where nobody says what that is.
pub(crate) fn of_the_whole(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = build::stale(assembly);
    if assembly.lead.passes_through && assembly.controllers.get(1).is_some_and(|own| own.contacts.is_empty())
    {
        let text = "the verdict is about nothing plugged into `controller-2`: nobody says what else may be";
        findings.push(Finding::new(Code::BuildUnknownEnd, Severity::Note, text).remedy(
            "name the controller that will be plugged in there: `second = \"…\"`; until then leave that end empty",
        ));
    }
    findings
}

/// The findings of all settings, each once: what is found in each of them is told as it is, anything else with its
/// settings.
pub(crate) fn told_once(settings: &[(&Setting, &[Finding])]) -> Vec<Finding> {
    let mut told: Vec<Finding> = Vec::new();
    let mut known: Vec<&Finding> = Vec::new();
    for finding in settings.iter().flat_map(|(_, own)| *own) {
        if known.contains(&finding) {
            continue;
        }
        known.push(finding);
        let of_it: Vec<&Setting> =
            settings.iter().filter(|(_, own)| own.contains(finding)).map(|(setting, _)| *setting).collect();
        told.push(if of_it.len() == settings.len() { finding.clone() } else { at_settings(finding, &of_it) });
    }
    told
}

/// What is found while switches are moved and in no setting: anything else is told already.
pub(crate) fn only_while_moved(moved: &[Finding], told: &[Finding]) -> Vec<Finding> {
    moved.iter().filter(|own| !is_told(own, told)).cloned().collect()
}

/// Whether the same is told already, if not in the same words.
fn is_told(own: &Finding, told: &[Finding]) -> bool {
    told.iter().any(|known| (known.code, known.severity, &known.legs) == (own.code, own.severity, &own.legs))
}

/// A finding with the settings in which it is found: "with `mode` at `as-up` or nothing plugged into `controller`: …".
fn at_settings(finding: &Finding, settings: &[&Setting]) -> Finding {
    let told: Vec<String> = settings.iter().map(|setting| setting.told()).collect();
    let bare = told.iter().skip(1).map(|own| own.strip_prefix("with ").unwrap_or(own));
    let told: Vec<&str> = told.first().map(String::as_str).into_iter().chain(bare).collect();
    Finding { text: format!("{}: {}", told.join(" or "), finding.text), ..finding.clone() }
}

/// What is found while switches are moved.
struct Moved {
    points: u64,
    carried: Vec<Load>,
    findings: Vec<Finding>,
}

/// Holds all limits in every way in which the switches may stand for a moment.
fn while_moved(assembly: &Assembly, asked: Asked<'_>) -> Result<Moved, Unbuilt> {
    let mut all = Moved { points: 0, carried: Vec::new(), findings: Vec::new() };
    for setting in assembly.moves() {
        let moved = moved_to(assembly, &setting, asked)?;
        all.points = all.points.saturating_add(moved.points);
        heaviest(&mut all.carried, &moved.carried);
        for finding in &moved.findings {
            if !is_told(finding, &all.findings) {
                all.findings.push(at_settings(finding, &[&setting]));
            }
        }
    }
    Ok(all)
}

/// Holds all limits in one of them. That chips are without a supply for so long is no fault; what they then do to anything
/// that has a limit is.
fn moved_to(assembly: &Assembly, setting: &Setting, asked: Asked<'_>) -> Result<Moved, Unbuilt> {
    let set = assembly.set(setting);
    let moving = Moving::of(&set);
    let script = Script::of(&set)?;
    let mut findings = build::findings(&set);
    findings.extend(chips(&set, &script, &moving));
    let loads = loads(&set, &moving, asked)?;
    findings.extend(loads.findings);
    findings.extend(clamps(&set)?);
    findings.retain(counts_while_moved);
    Ok(Moved { points: loads.points, carried: loads.carried, findings })
}

/// Whether a finding is one also while a hand moves a switch: what harms, what leaves harm open, and what puts two
/// outputs on one line.
fn counts_while_moved(finding: &Finding) -> bool {
    finding.is_harm()
        || matches!(
            finding.code,
            Code::DriveUnproved | Code::DriveFight | Code::DriveScannedLogic | Code::PowerPulledUp
        )
}

/// The most that each contact carries in any of them.
fn heaviest(loads: &mut Vec<Load>, more: &[Load]) {
    let is_same = |known: &Load, load: &Load| {
        known.leg == load.leg && known.what == load.what && known.limit == load.limit
    };
    merge(loads, more, is_same, |known, load| {
        if load.amps > known.amps {
            *known = load.clone();
        }
    });
}

/// The worst that each action reads in any of them.
fn worst_read(actions: &mut Vec<ActionProof>, more: &[ActionProof]) {
    let worse = |known: &mut Option<Worst>, other: &Option<Worst>| {
        let all = known.take().into_iter().chain(other.clone());
        *known = all.reduce(|one, other| if other.margin < one.margin { other } else { one });
    };
    let is_same = |known: &ActionProof, own: &ActionProof| known.action == own.action && known.leg == own.leg;
    merge(actions, more, is_same, |known, own| {
        worse(&mut known.active, &own.active);
        worse(&mut known.idle, &own.idle);
        known.margin = known.margin.into_iter().chain(own.margin).reduce(Volts::min);
    });
}

/// Takes more of what is known already, or as it is what is not.
fn merge<T: Clone>(
    all: &mut Vec<T>,
    more: &[T],
    is_same: impl Fn(&T, &T) -> bool,
    take: impl Fn(&mut T, &T),
) {
    for own in more {
        match all.iter_mut().find(|known| is_same(known, own)) {
            Some(known) => take(known, own),
            None => all.push(own.clone()),
        }
    }
}
