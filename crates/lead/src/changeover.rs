//! The switches of a lead that stay where they are put, and the leads that they make of it.
//!
//! With its switches standing in one way a lead is a lead without any: each closed contact is a join between two legs of
//! one switch. So whatever is said of a lead with switches is said of those leads, one by one: of each in which all
//! switches stand where they are meant to, and of each that there may be for a moment while a hand moves one.

use std::collections::BTreeSet;

use solderside_profile::{Action, Body, Control, PartId};
use solderside_trade::{ChangeoverPart, ContactId};

use crate::assembly::Assembly;
use crate::lead::{EndId, Join, Lead, Leg};

/// So many poles a lead's switches may have together: each stands in up to four ways while it is moved, and all of them
/// are proved.
pub const MOST_POLES: u8 = 3;

/// What a switch of a lead is called, and what its positions are for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changeover {
    /// The part that it is.
    pub part: PartId,
    /// Its name, a kebab-case word: `mode`.
    pub called: String,
    /// Its two positions: in the first the first throws are closed, in the second the second ones.
    pub positions: [ChangeoverPosition; 2],
    /// Whether it makes the new contact before it breaks the old one; else it breaks first.
    pub makes_first: bool,
}

/// One position of a switch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeoverPosition {
    /// Its name, a kebab-case word: `as-up`. No two positions of a lead share one.
    pub name: String,
    /// Actions with the controls that perform them while the switch stands here, in place of what the play map says.
    pub play: Vec<(Action, Vec<Control>)>,
}

/// One way in which the switches of a lead stand.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Setting {
    /// Each switch with the position in which it stands; none for one that is being moved.
    pub at: Vec<(String, Option<String>)>,
    /// The switches that stand so only if they make first, though they are said to break first.
    pub made_first: BTreeSet<PartId>,
    /// The controller, by its place, that is not plugged in.
    empty: Option<usize>,
    contacts: BTreeSet<Join>,
    play: Vec<(Action, Vec<Control>)>,
}

/// Where one switch stands, or which controllers are plugged in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stand {
    /// The switch; `plugged` where it says which controllers are plugged in.
    pub called: String,
    /// Its position; of what is plugged in `both`, or the one end that is not empty.
    pub position: String,
}

impl Stand {
    /// Whether it is of a switch of the lead; else of what is plugged into it.
    pub fn is_of_switch(&self) -> bool {
        self.called != PLUGGED
    }

    /// "`mode` at `as-up`", "both controllers plugged in", "nothing plugged into `controller-2`".
    pub fn told(&self) -> String {
        let Self { called, position } = self;
        if self.is_of_switch() {
            return format!("`{called}` at `{position}`");
        }
        let ends = [0, 1].map(|at| EndId::Controller(at).to_string());
        match ends.iter().position(|end| end == position) {
            None => "both controllers plugged in".to_owned(),
            Some(at) => format!("nothing plugged into `{}`", ends[1 - at]),
        }
    }
}

/// How one pole stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pole {
    At(u8),
    Open,
    Both,
}

impl Pole {
    /// Whether a throw is joined to the common, counted from 0.
    const fn closes(self, throw: u8) -> bool {
        match self {
            Self::At(own) => own == throw,
            Self::Open => false,
            Self::Both => true,
        }
    }
}

/// What stands in the place of a switch's name where it is told which controllers are plugged in.
pub(crate) const PLUGGED: &str = "plugged";
/// Both are; else the one whose end is named.
const BOTH: &str = "both";

impl Setting {
    /// "with `mode` at `as-up`", "while `mode` is moved"; nothing where there is no switch.
    pub fn told(&self) -> String {
        let moved = self.at.iter().filter(|(_, position)| position.is_none());
        let moved: Vec<String> = moved.map(|(called, _)| format!("`{called}`")).collect();
        let moved = match moved.as_slice() {
            [] => String::new(),
            [only] => format!("while {only} is moved"),
            several => format!("while {} are moved", several.join(" and ")),
        };
        let stand: Vec<String> = self.stands().map(|stand| stand.told()).collect();
        let stand = if stand.is_empty() { String::new() } else { format!("with {}", stand.join(" and ")) };
        [moved, stand].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
    }

    /// Where each of its switches stands that stands where it is meant to, and which controllers are plugged in.
    pub fn stands(&self) -> impl Iterator<Item = Stand> {
        self.at.iter().filter_map(|(called, position)| {
            Some(Stand { called: called.clone(), position: position.clone()? })
        })
    }

    /// Whether all is plugged in that there is an end for.
    pub const fn is_full(&self) -> bool {
        self.empty.is_none()
    }

    /// The positions by their names, for files and screens: `as-up`; nothing where there is no switch.
    pub fn name(&self) -> String {
        let names: Vec<&str> = self.at.iter().filter_map(|(_, position)| position.as_deref()).collect();
        names.join("+")
    }
}

impl Lead {
    /// Whether there are several settings in which it is used: by switches, or by an end that may stay empty.
    pub fn has_settings(&self) -> bool {
        self.has_changeovers() || self.may_be_empty
    }

    /// Whether it has switches that stay where they are put.
    pub fn has_changeovers(&self) -> bool {
        !self.changeovers.is_empty()
    }

    /// The switch that a part is.
    pub fn changeover(&self, part: PartId) -> Option<&Changeover> {
        self.changeovers.iter().find(|own| own.part == part)
    }

    fn kind(&self, changeover: &Changeover) -> Option<ChangeoverPart> {
        match self.part(changeover.part)?.body {
            Body::Changeover(kind) => Some(kind),
            Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) => {
                None
            }
        }
    }

    /// The contacts that are closed while the poles of a switch stand so.
    fn contacts(&self, changeover: &Changeover, poles: &[Pole]) -> Vec<Join> {
        let Some(kind) = self.kind(changeover) else { return Vec::new() };
        let leg = |number: u8| Leg::part(changeover.part, ContactId::Number(number));
        let of_pole = |(at, pole): (u8, &Pole)| {
            let common = at * (1 + kind.throws()) + 1;
            let closed = (0..kind.throws()).filter(|throw| pole.closes(*throw));
            closed.map(|throw| Join::new(leg(common), leg(common + 1 + throw))).collect::<Vec<_>>()
        };
        (0..).zip(poles).flat_map(of_pole).collect()
    }

    /// All settings in which each pole of a switch stands in one of so many ways.
    fn settings_of(&self, ways: impl Fn(&Changeover) -> Vec<Pole>) -> Vec<Setting> {
        let mut settings = vec![Setting::default()];
        for changeover in &self.changeovers {
            let poles = self.kind(changeover).map_or(0, ChangeoverPart::poles);
            let mut stands: Vec<Vec<Pole>> = vec![Vec::new()];
            for _ in 0..poles {
                let ways = ways(changeover);
                let longer = stands
                    .iter()
                    .flat_map(|stand| ways.iter().map(|way| [stand.as_slice(), &[*way]].concat()));
                stands = longer.collect();
            }
            let more = settings.iter().flat_map(|setting| {
                stands.iter().map(|stand| {
                    let mut setting = setting.clone();
                    let position = (0..)
                        .zip(&changeover.positions)
                        .find(|(at, _)| stand.iter().all(|pole| *pole == Pole::At(*at)));
                    setting.at.push((
                        changeover.called.clone(),
                        position.map(|(_, position)| position.name.clone()),
                    ));
                    let is_made_first = stand.contains(&Pole::Both) && !changeover.makes_first;
                    setting.made_first.extend(is_made_first.then_some(changeover.part));
                    setting.contacts.extend(self.contacts(changeover, stand));
                    setting
                        .play
                        .extend(position.into_iter().flat_map(|(_, position)| position.play.iter().cloned()));
                    setting
                })
            });
            settings = more.collect();
        }
        settings
    }
}

impl Assembly {
    /// Each setting with both controllers plugged in, and with either end empty: first the way in which the lead is played
    /// most. Of a second controller of which nothing is known only that it is left out is looked at.
    fn occupied(&self, settings: Vec<Setting>) -> Vec<Setting> {
        if !self.lead.may_be_empty {
            return settings;
        }
        let is_known = self.controllers.get(1).is_some_and(|controller| !controller.contacts.is_empty());
        let ways: &[Option<usize>] = match (is_known, self.lead.passes_through) {
            (false, _) => &[Some(1)],
            (true, true) => &[Some(1), None, Some(0)],
            (true, false) => &[None, Some(0), Some(1)],
        };
        let with = |setting: &Setting, empty: Option<usize>| {
            let mut setting = Setting { empty, ..setting.clone() };
            let plugged = match empty {
                None => BOTH.to_owned(),
                Some(0) => EndId::Controller(1).to_string(),
                Some(_) => EndId::Controller(0).to_string(),
            };
            setting.at.push((PLUGGED.to_owned(), Some(plugged)));
            setting
        };
        settings.iter().flat_map(|setting| ways.iter().map(|empty| with(setting, *empty))).collect()
    }

    /// The ways in which the lead's switches are meant to stand: every combination of their positions, the first ones
    /// first. Of a lead without switches there is one.
    pub fn settings(&self) -> Vec<Setting> {
        let all = self.occupied(self.lead.settings_of(|_| vec![Pole::At(0), Pole::At(1)]));
        // The poles of one switch stand in the same position.
        all.into_iter().filter(|setting| setting.at.iter().all(|(_, position)| position.is_some())).collect()
    }

    /// Each of the [settings](Self::settings), with the lead as it is [set](Self::set) there.
    pub fn sets(&self) -> Vec<(Setting, Self)> {
        self.settings().into_iter().map(|setting| (setting.clone(), self.set(&setting))).collect()
    }

    /// Of the settings those with all plugged in that there is: for what is asked of the lead itself, which does not change
    /// with what is plugged in.
    pub fn full_settings(&self) -> Vec<Setting> {
        let all = self.settings();
        let has_full = all.iter().any(Setting::is_full);
        all.into_iter().filter(|setting| setting.is_full() || !has_full).collect()
    }

    /// The ways in which they may stand for a moment while a hand moves them, and that are none of the settings. No two
    /// poles need move at once; one that breaks first leaves both throws open in between, and one that makes first may
    /// join them, or leave them open while its contact bounces.
    pub fn moves(&self) -> Vec<Setting> {
        self.all_moves().into_iter().filter(|setting| setting.made_first.is_empty()).collect()
    }

    /// The ways in which they may stand besides if those that are said to break first make first, with the fewest such
    /// switches first.
    pub fn moves_if_made_first(&self) -> Vec<Setting> {
        self.all_moves().into_iter().filter(|setting| !setting.made_first.is_empty()).collect()
    }

    /// Every way of standing that is none of the settings, whatever is said of the order of contacts.
    fn all_moves(&self) -> Vec<Setting> {
        let ways = [Pole::Open, Pole::At(0), Pole::At(1), Pole::Both];
        let mut all = self.occupied(self.lead.settings_of(|_| ways.to_vec()));
        all.sort_by_key(|setting| setting.made_first.len());
        let circuit = |setting: &Setting| (setting.empty, setting.contacts.clone());
        let mut seen: BTreeSet<(Option<usize>, BTreeSet<Join>)> =
            self.settings().iter().map(circuit).collect();
        all.into_iter().filter(|setting| seen.insert(circuit(setting))).collect()
    }

    /// The lead with its switches standing in one way: one without any, whose closed contacts are joins that nobody
    /// solders, with the play map of that position.
    #[must_use]
    pub fn set(&self, setting: &Setting) -> Self {
        let mut set = self.clone();
        set.lead.changeovers.clear();
        set.lead.passes_through = false;
        set.lead.may_be_empty = false;
        // Nothing was proved of one setting by itself.
        set.lead.proved = None;
        set.lead.joins.extend(&setting.contacts);
        for (action, controls) in &setting.play {
            set.lead.play.set(action.clone(), controls.iter().cloned());
        }
        if let Some(out) = setting.empty.and_then(|at| set.controllers.get_mut(at)) {
            let gone: Vec<Control> = out.controls().into_iter().cloned().collect();
            *out = out.unplugged();
            let entries: Vec<(Action, Vec<Control>)> = set
                .lead
                .play
                .entries()
                .map(|(action, controls)| (action.clone(), controls.to_vec()))
                .collect();
            for (action, controls) in entries {
                set.lead.play.set(action, controls.into_iter().filter(|control| !gone.contains(control)));
            }
        }
        set.lead.settle();
        set
    }
}
