//! What comes of it, in one line.

use solderside_lead::{Assembly, EndId, NoSecond, SECOND};
use solderside_profile::{Action, Control, Direction, Port};
use solderside_quantity::Volts;

use super::alone::Performed;
use super::plugged::Other;
use super::{Fit, Fitting};
use crate::finding::{Figure, Finding, Verdict};
use crate::readings::ActionProof;
use crate::words::names;

/// What the controls do here, held against what they do at the lead's own place.
pub(super) struct Compared {
    pub(super) controls_lost: Vec<Control>,
    pub(super) actions_lost: Vec<Action>,
    pub(super) differs: Vec<String>,
    /// What is played by another button or as another fire than at the lead's own place; this loses nothing.
    renamed: Vec<String>,
    /// The lead's own place, in words.
    own_place: String,
}

impl Compared {
    /// Compares the lead's own assembly, and what is performed there, with that of the other place.
    pub(super) fn of(
        [assembly, plugged]: [&Assembly; 2],
        own: &Performed,
        here: &Performed,
        other: Other<'_>,
    ) -> Self {
        let mut compared = match other {
            Other::Port(_) => Self {
                controls_lost: of_controls(assembly, |control| {
                    own.contains_key(control) && !here.contains_key(control)
                }),
                actions_lost: Vec::new(),
                differs: Vec::new(),
                renamed: Vec::new(),
                own_place: format!("on {}", assembly.port.title),
            },
            Other::Controller(end, _) => Self {
                controls_lost: Vec::new(),
                actions_lost: actions(assembly, own, here),
                differs: Vec::new(),
                renamed: Vec::new(),
                own_place: match [assembly, plugged].map(|one| one.controller(end)) {
                    [Some(own), Some(here)] if own.contacts.is_empty() && !here.contacts.is_empty() => {
                        "with nothing plugged in there".to_owned()
                    }
                    [Some(own), _] => format!("with {}", own.title),
                    [None, _] => String::new(),
                },
            },
        };
        for control in plugged.joined_controls() {
            let [before, now] = [own, here].map(|all| all.get(&control).map_or(&[][..], Vec::as_slice));
            if !now.is_empty() {
                compared.compare(&control, before, now);
            }
        }
        compared
    }

    /// Whether nothing is lost, and nothing does what nobody would expect of it.
    pub(super) fn is_all(&self) -> bool {
        self.controls_lost.is_empty() && self.actions_lost.is_empty() && self.differs.is_empty()
    }

    fn compare(&mut self, control: &Control, before: &[Action], here: &[Action]) {
        let told = self.differs.len();
        let of_lever = direction(control);
        for action in here {
            let (plays, is_expected) = match action.direction() {
                Some(direction) => ("moves", of_lever == Some(direction) || before.contains(action)),
                None => ("plays", of_lever.is_none() || before.contains(action)),
            };
            let clause = format!("`{control}` {plays} `{action}`");
            if !is_expected {
                self.differs.push(clause);
            } else if !before.contains(action) && of_lever.is_none() {
                self.renamed.push(clause);
            }
        }
        // What it does instead has been told already.
        if self.differs.len() > told {
            return;
        }
        let lost = before.iter().filter(|action| action.direction().is_some() && !here.contains(action));
        self.differs.extend(lost.map(|action| format!("`{control}` no longer moves `{action}`")));
    }

    /// All that is lost or different, in one line.
    fn told(&self) -> String {
        let nothing = |verb: &str| format!("{} {verb} nothing", names(&self.controls_lost));
        let lost = match self.controls_lost.len() {
            0 => None,
            1 => Some(nothing("does")),
            _ => Some(nothing("do")),
        };
        let unplayed =
            (!self.actions_lost.is_empty()).then(|| format!("nothing plays {}", names(&self.actions_lost)));
        let clauses: Vec<String> = lost.into_iter().chain(unplayed).chain(self.differs.clone()).collect();
        clauses.join(", ")
    }
}

/// The direction of a lever that a control is, of the second controller's too.
fn direction(control: &Control) -> Option<Direction> {
    let own = control.as_str().strip_prefix(SECOND).and_then(|rest| rest.strip_prefix('-'));
    control.direction().or_else(|| Direction::parse(own?))
}

/// The controls of a lead's own controllers of which something holds, in their own order.
fn of_controls(assembly: &Assembly, holds: impl Fn(&Control) -> bool) -> Vec<Control> {
    assembly.joined_controls().into_iter().filter(holds).collect()
}

/// The actions that are performed at the lead's own place and not here, in the port's order.
fn actions(assembly: &Assembly, own: &Performed, here: &Performed) -> Vec<Action> {
    let performs =
        |performed: &Performed, action: &Action| performed.values().flatten().any(|one| one == action);
    let lost = |action: &&Action| performs(own, action) && !performs(here, action);
    assembly.port.actions().into_iter().filter(lost).cloned().collect()
}

/// Why a lead must not go there, and the figures behind it.
pub(super) fn never(
    here: &Assembly,
    worst: Option<&Finding>,
    verdict: Verdict,
    is_harmless: bool,
) -> (String, Vec<Figure>) {
    let found = worst.map(|finding| finding.text.clone());
    let reason = match (&here.port.hazard, found) {
        (Some(hazard), Some(found)) => format!("{hazard}; {found}"),
        (Some(hazard), None) => format!("{hazard}; the proof finds no harm, but no lead belongs there"),
        (None, Some(found)) => found,
        (None, None) => "nothing that is pressed reads".to_owned(),
    };
    let harm = if is_harmless || verdict == Verdict::Harms || here.port.hazard.is_some() {
        ""
    } else {
        "; that it does no harm is not proved"
    };
    (reason + harm, worst.map_or_else(Vec::new, |finding| finding.figures.clone()))
}

/// A machine's socket that takes an end for a controller.
pub(super) fn tied(end: EndId, port: &Port) -> Fitting {
    let what = port.hazard.as_ref().map_or_else(String::new, |hazard| format!("{hazard}; "));
    let reason =
        format!("{what}it takes the end that is for a controller, and would tie two machines together");
    Fitting { end, ..untried(Other::Port(port), reason) }
}

/// A controller that cannot go together with the other one of a lead for two.
pub(super) fn apart(other: Other<'_>, wrong: &[NoSecond]) -> Fitting {
    let wrong: Vec<String> = wrong.iter().map(ToString::to_string).collect();
    untried(other, format!("{}; that it does no harm is not proved", wrong.join("; ")))
}

/// What is not tried, and why: nobody may take it for safe.
fn untried(other: Other<'_>, reason: String) -> Fitting {
    Fitting {
        name: other.name().to_owned(),
        title: other.title().to_owned(),
        place: other.place(),
        end: other.end(),
        fit: Fit::Never,
        verdict: Verdict::Unproved,
        is_harmless: false,
        reason,
        figures: Vec::new(),
        play: Vec::new(),
        controls_lost: Vec::new(),
        actions_lost: Vec::new(),
        differs: Vec::new(),
        findings: Vec::new(),
    }
}

/// What a sound lead does there, the narrowest margin and how that is told, and the figures behind it.
pub(super) fn sound(
    compared: &Compared,
    actions: &[ActionProof],
    thin: Option<&Finding>,
) -> (String, Option<(Volts, String)>, Vec<Figure>) {
    let told = if !compared.is_all() {
        compared.told()
    } else if compared.renamed.is_empty() {
        format!("every control does what it does {}", compared.own_place)
    } else {
        format!("nothing is lost; {}", compared.renamed.join(", "))
    };
    if let Some(thin) = thin {
        return (format!("{told}; without margin: {}", thin.text), None, thin.figures.clone());
    }
    let margins = actions.iter().filter_map(|action| Some((action.margin?, &action.action)));
    match margins.min_by(|(a, _), (b, _)| a.get().total_cmp(&b.get())) {
        Some((margin, action)) => {
            let words = format!("the narrowest margin is {margin} (`{action}`)");
            (told, Some((margin, words)), vec![Figure::volts("margin_volts", margin)])
        }
        None => (told, None, Vec::new()),
    }
}
