//! Where else a lead fits: every other thing that takes one of its connectors, each proved.
//!
//! Nobody has wished for anything there, so the play map follows from the joins: a control performs what it makes the
//! machine read. The proof with that map says whether it does so for sure, in all combinations, and without harm.

mod alone;
mod plugged;
mod told;

use solderside_lead::{Assembly, End, EndId, Setting, Unbuilt};
use solderside_profile::{Action, Control, Controller, Port};
use solderside_quantity::Volts;

use crate::code::Code;
use crate::finding::{Figure, Finding, Severity, Verdict};
use crate::prove::{judge_for_use, sorted};
use crate::settings::{moved_findings, must_break_first, of_the_whole, only_while_moved, told_once};
use alone::{Performed, performed, play_map};
use plugged::Other;

/// What comes of a lead at another place, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// It must not go there: it harms, or nothing covers that it does not, or it does not work.
    Never,
    /// It is sound there, but something is lost or does something else.
    InPart,
    /// All that it does at its own place it does there as well.
    Works,
}

/// What one of the lead's connectors goes into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A controller, at a controller end.
    Controller,
    /// A machine's port, at the port end.
    Machine,
    /// A socket that is none for a controller.
    Hazard,
}

/// What comes of the lead with one other thing plugged in.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitting {
    /// The profile's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// What it is.
    pub place: Place,
    /// The end of the lead that goes into it.
    pub end: EndId,
    /// What comes of it.
    pub fit: Fit,
    /// What the proof there comes to.
    pub verdict: Verdict,
    /// Whether nothing is damaged, whatever else comes of it. Never said of a hazard.
    pub is_harmless: bool,
    /// Why, in one line.
    pub reason: String,
    /// The figures behind it.
    pub figures: Vec<Figure>,
    /// What the controls do there, each with its actions; those that do nothing are left out.
    pub play: Vec<(Control, Vec<Action>)>,
    /// The controls that do something at the lead's own place and nothing here.
    pub controls_lost: Vec<Control>,
    /// The actions that the lead's own controller performs, and this one does not.
    pub actions_lost: Vec<Action>,
    /// What else differs, a clause each: "`up` moves `left`".
    pub differs: Vec<String>,
    /// What there is to say of it, the worst first; of a place where it harms, no more than that takes.
    pub findings: Vec<Finding>,
}

impl Fit {
    /// The word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Never => "never",
            Self::InPart => "works in part",
            Self::Works => "works",
        }
    }
}

impl Place {
    /// The words of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Controller => "controller",
            Self::Machine => "machine",
            Self::Hazard => "no controller port",
        }
    }
}

/// Proves a lead with each of these plugged in whose connector goes together with the lead's, but for those that it
/// is made for. What harms comes first, then what else must never be done, then what works in part, then what works.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub fn fits(
    assembly: &Assembly,
    controllers: &[Controller],
    ports: &[Port],
) -> Result<Vec<Fitting>, Unbuilt> {
    let settings = assembly.sets();
    let mut own = Vec::new();
    for (setting, set) in &settings {
        own.push((setting, set, performed(set)?));
    }
    let ends = assembly.controllers().map(|(end, _)| end);
    let controllers =
        ends.flat_map(|end| controllers.iter().map(move |controller| Other::Controller(end, controller)));
    let others: Vec<Other<'_>> = controllers.chain(ports.iter().map(Other::Port)).collect();
    let mut proved: Vec<(Other<'_>, Fitting)> = Vec::new();
    for other in others.into_iter().filter(|other| other.is_another(assembly)) {
        let twin = proved.iter().find(|(one, _)| one.is_twin(&other));
        let fitting = match twin {
            Some((_, twin)) => {
                Fitting { name: other.name().to_owned(), title: other.title().to_owned(), ..twin.clone() }
            }
            None => match other.plugged(assembly) {
                Ok(plugged) => fitting_set(&plugged, &own, other)?,
                Err(wrong) => told::apart(other, &wrong),
            },
        };
        proved.push((other, fitting));
    }
    let mut fittings: Vec<Fitting> = proved.into_iter().map(|(_, fitting)| fitting).collect();
    fittings.extend(tied(assembly, ports));
    fittings.sort_by(|a, b| {
        let key = |fitting: &Fitting| (fitting.fit, fitting.verdict != Verdict::Harms);
        key(a).cmp(&key(b)).then_with(|| a.name.cmp(&b.name)).then(a.end.cmp(&b.end))
    });
    Ok(fittings)
}

/// A setting of the lead, the lead as it is then, and what is performed with what it is made for.
type Own<'a> = (&'a Setting, &'a Assembly, Performed);

/// What comes of a lead in one setting.
struct Tried {
    fitting: Fitting,
    /// Why, without the margin.
    told: String,
    /// The narrowest margin, where it is sound; else nothing counts.
    margin: Option<Volts>,
}

impl Tried {
    /// Whether it comes to less than another, and of what comes to the same whether its margin is narrower.
    fn is_worse(&self, other: &Self) -> bool {
        let key = |own: &Self| (own.fitting.fit, std::cmp::Reverse(own.fitting.verdict));
        let is_narrower = match (self.margin, other.margin) {
            (Some(own), Some(other)) => own < other,
            (Some(_), None) | (None, _) => false,
        };
        key(self) < key(other) || key(self) == key(other) && is_narrower
    }
}

/// What comes of a lead with something else plugged in, in all settings and while its switches are moved: the worst.
///
/// A setting is held against the lead's own in the same one. An end of which nobody knew what goes in has none with it
/// plugged in: then against the first.
fn fitting_set(plugged: &Assembly, own: &[Own<'_>], other: Other<'_>) -> Result<Fitting, Unbuilt> {
    let mut each: Vec<(Setting, Tried)> = Vec::new();
    for setting in plugged.settings() {
        let same = own.iter().find(|(own, ..)| own.at == setting.at).or(own.first());
        let Some((_, set, performs)) = same else { continue };
        let tried = fitting(set, performs, plugged.set(&setting), other)?;
        each.push((setting, tried));
    }
    let worst = each.iter().reduce(|worst, own| if own.1.is_worse(&worst.1) { own } else { worst });
    let (setting, tried) = worst.expect("a lead is used in one setting at least");
    let mut all = tried.fitting.clone();
    if !plugged.lead.has_settings() {
        return Ok(all);
    }
    // What is so in every setting is told without any.
    if each.iter().any(|(_, own)| own.told != tried.told) {
        all.reason = format!("{}: {}", setting.told(), all.reason);
    }
    let each: Vec<(Setting, Fitting)> =
        each.into_iter().map(|(setting, own)| (setting, own.fitting)).collect();
    let findings = each.iter().map(|(setting, own)| (setting, own.findings.as_slice()));
    all.findings = told_once(&findings.collect::<Vec<_>>());
    all.findings.extend(of_the_whole(plugged));
    for (_, own) in &each {
        all.verdict = all.verdict.max(own.verdict);
        all.is_harmless &= own.is_harmless;
        for control in &own.controls_lost {
            if !all.controls_lost.contains(control) {
                all.controls_lost.push(control.clone());
            }
        }
        for action in &own.actions_lost {
            if !all.actions_lost.contains(action) {
                all.actions_lost.push(action.clone());
            }
        }
        for (control, actions) in &own.play {
            match all.play.iter_mut().find(|(known, _)| known == control) {
                Some((_, known)) => {
                    let more = actions.iter().filter(|action| !known.contains(action));
                    let more: Vec<Action> = more.cloned().collect();
                    known.extend(more);
                }
                None => all.play.push((control.clone(), actions.clone())),
            }
        }
    }
    let moved = only_while_moved(&moved_findings(plugged)?, &all.findings);
    if let Some(first) = moved.first() {
        all.fit = Fit::Never;
        all.verdict = all.verdict.max(verdict_of(&moved));
        all.is_harmless = false;
        all.reason.clone_from(&first.text);
        all.figures.clone_from(&first.figures);
        all.findings.extend(moved);
    }
    all.findings.extend(must_break_first(plugged, &all.findings)?);
    (_, all.findings) = sorted(all.findings);
    Ok(all)
}

/// What findings come to.
fn verdict_of(findings: &[Finding]) -> Verdict {
    sorted(findings.to_vec()).0
}

fn fitting(
    assembly: &Assembly,
    own: &Performed,
    mut here: Assembly,
    other: Other<'_>,
) -> Result<Tried, Unbuilt> {
    let mut performs = performed(&here)?;
    here.lead.play = play_map(&here, &performs);
    let (judgement, readings) = judge_for_use(&here)?;
    let place = other.place();
    let compared = told::Compared::of([assembly, &here], own, &performs, other);
    let fit = if place == Place::Hazard || !judgement.verdict.is_sound() || performs.is_empty() {
        Fit::Never
    } else if compared.is_all() {
        Fit::Works
    } else {
        Fit::InPart
    };
    // What no argument covers may be harm, unless it is only a reading.
    let may_harm =
        |finding: &Finding| finding.severity == Severity::Harm || finding.code == Code::DriveUnproved;
    let is_harmless = place != Place::Hazard && !judgement.findings.iter().any(may_harm);
    // What a hazard is stands in its reason anyhow.
    let worst = judgement.findings.iter().find(|finding| finding.code != Code::BuildNoPort);
    let worst = worst.filter(|finding| finding.severity > Severity::Note);
    let open = judgement.findings.iter().find(|finding| finding.is_open());
    let (told, margin, figures) = match fit {
        Fit::Never => {
            let (told, figures) = told::never(&here, worst.or(open), judgement.verdict, is_harmless);
            (told, None, figures)
        }
        Fit::InPart | Fit::Works => told::sound(&compared, &readings.actions(&here)?, worst),
    };
    let reason = match &margin {
        Some((_, words)) => format!("{told}; {words}"),
        None => told.clone(),
    };
    let fitting = Fitting {
        name: other.name().to_owned(),
        title: other.title().to_owned(),
        place,
        end: other.end(),
        fit,
        verdict: judgement.verdict,
        is_harmless,
        reason,
        figures,
        controls_lost: compared.controls_lost,
        actions_lost: compared.actions_lost,
        differs: compared.differs,
        play: here
            .joined_controls()
            .into_iter()
            .filter_map(|control| performs.remove_entry(&control))
            .collect(),
        findings: judgement.findings,
    };
    Ok(Tried { fitting, told, margin: margin.map(|(volts, _)| volts) })
}

/// Sockets of machines that take an end that is for a controller. They are never tried: the proof knows one machine.
fn tied(assembly: &Assembly, ports: &[Port]) -> Vec<Fitting> {
    let ends = assembly.lead.ends.iter().filter(|end| matches!(end.id, EndId::Controller(_)));
    let takes = |end: &End| {
        let connector = end.connector;
        ports.iter().filter(move |port| connector.mates_with(&port.connector))
    };
    ends.flat_map(|end| takes(end).map(|port| told::tied(end.id, port))).collect()
}
