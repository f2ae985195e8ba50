//! What a port's reading script cannot be told from its keys alone.

use std::collections::{BTreeMap, BTreeSet};

use solderside_trade::ContactId;

use crate::complaint::{Complaint, listed, quoted};
use crate::contacts::Contacts;
use crate::port::{Level, Step};
use crate::port_file::{ContactEntry, DriveWord, RoleEntry, StepEntry};
use crate::profile_file::{Identity, Names};
use crate::source::{At, Place};
use crate::word::Action;

/// The name of the only step of a port that drives nothing.
const READ: &str = "read";

/// The most steps that a script may have: more than any machine takes for a pad, and still read in a moment.
const MOST_STEPS: usize = 20_000;

/// What the steps of a script may name.
pub(crate) struct Lines<'f> {
    identity: &'f Identity,
    contacts: &'f Contacts<ContactEntry>,
    /// The actions with a contact of their own.
    own: &'f Names<'f, Action>,
    /// The contacts that the steps may drive, and those among them that drive nothing high.
    drives: BTreeSet<ContactId>,
    cannot_high: BTreeSet<ContactId>,
    /// The contacts that are read for what the steps say.
    data: BTreeSet<ContactId>,
}

/// What the steps that were checked so far have said.
struct Said {
    names: BTreeMap<String, Place>,
    /// What the step before drives; not known if it could not be read.
    before: Option<BTreeMap<ContactId, Level>>,
    /// Where each action is read that has no contact of its own.
    places: BTreeMap<Action, (ContactId, Place)>,
    /// The actions that no step has read yet, and the data contacts.
    unread: Vec<At<Action>>,
    idle: BTreeSet<ContactId>,
    /// A contact or an action of some `reads` could not be told.
    read_is_wrong: bool,
}

impl<'f> Lines<'f> {
    pub(crate) fn of(
        contacts: &'f Contacts<ContactEntry>,
        own: &'f Names<'f, Action>,
        identity: &'f Identity,
    ) -> Self {
        let with = |role: &RoleEntry| -> BTreeSet<ContactId> {
            contacts.iter().filter(|(_, entry)| entry.value.role_is(role)).map(|(id, _)| *id).collect()
        };
        let drives = with(&RoleEntry::Drive);
        let pulls_only = |id: &ContactId| {
            let family = contacts.get(id).and_then(|entry| entry.value.family.as_ref());
            family.is_some_and(|family| !family.value.drives_high())
        };
        Self {
            identity,
            contacts,
            own,
            cannot_high: drives.iter().copied().filter(pulls_only).collect(),
            drives,
            data: with(&RoleEntry::Data),
        }
    }

    /// Checks a script; without one the machine reads all at once.
    pub(crate) fn script(
        &self,
        steps: Option<At<Vec<At<StepEntry>>>>,
        complaints: &mut Vec<Complaint>,
    ) -> Vec<Step> {
        let Some(steps) = steps else {
            complaints.extend(self.data.iter().filter_map(|id| self.idle_line(*id, None)));
            return vec![Step { name: READ.to_owned(), ..Step::default() }];
        };
        let count = steps.value.len();
        if count == 0 || count > MOST_STEPS {
            let place = steps.place.clone();
            complaints.push(if count == 0 {
                Complaint::new(place, "the reading script has no step")
                    .help("add a `[[step]]`, or drop `step`: then all actions are read at once")
                    .absence()
            } else {
                Complaint::new(place, format!("the reading script has {count} steps, more than {MOST_STEPS}"))
                    .help("leave out what repeats: a lead that works in a round works in the next one")
            });
            return Vec::new();
        }
        let mut said = Said {
            names: BTreeMap::new(),
            before: Some(BTreeMap::new()),
            places: BTreeMap::new(),
            unread: self.contacts.values().filter_map(|entry| entry.value.action()).collect(),
            idle: self.data.clone(),
            read_is_wrong: false,
        };
        let mut script = Vec::new();
        for step in steps.value {
            script.extend(self.step(step.value, &mut said, complaints));
        }
        complaints.extend(said.unread.iter().map(|action| self.unread_action(action, &steps.place)));
        if !said.read_is_wrong {
            complaints.extend(said.idle.iter().filter_map(|id| self.idle_line(*id, Some(&steps.place))));
        }
        script
    }

    fn step(&self, step: StepEntry, said: &mut Said, complaints: &mut Vec<Complaint>) -> Option<Step> {
        let drives = self.drives(&step, said, complaints);
        let reads = self.reads(step.reads, said, complaints);
        said.read_is_wrong |= step.read_is_wrong;
        let restricted = step.samples.is_some();
        let samples = self.actions("sample", step.samples, said, complaints);
        // A name that is wrong may have been meant for any action.
        let wrong = step.sample_is_wrong || samples.iter().any(|action| !self.own.has(&action.value));
        said.unread
            .retain(|action| restricted && !wrong && samples.iter().all(|it| it.value != action.value));
        let sampled = |action: &Action| !restricted || samples.iter().any(|it| it.value == *action);
        let expects = self.expects(step.expects, &reads, &sampled, said, complaints);
        let quiet = self.actions("quiet", step.quiet, said, complaints);
        let held = self.actions("held", step.held, said, complaints);
        for action in &quiet {
            let also_held = held.iter().find(|other| other.value == action.value);
            complaints.extend(also_held.map(|other| {
                Complaint::new(
                    action.place.clone(),
                    format!("{} is both quiet and held", quoted(action.value.as_str())),
                )
                .help("a line that a key holds low cannot be idle: take it out of one of the two")
                .also(other.place.clone(), "held here")
            }));
        }
        let name = step.name?;
        if let Some(first) = said.names.insert(name.value.clone(), name.place.clone()) {
            complaints.push(
                Complaint::new(name.place, format!("two steps are called {}", quoted(&name.value)))
                    .help("give each step a name of its own")
                    .also(first, "the first one"),
            );
        }
        let bare = |actions: Vec<At<Action>>| actions.into_iter().map(|action| action.value).collect();
        Some(Step {
            name: name.value,
            drives,
            hold: step.hold.map(|hold| hold.value),
            samples: restricted.then(|| bare(samples)),
            reads: reads.into_iter().map(|(id, action)| (id, action.value)).collect(),
            expects,
            quiet: bare(quiet),
            held: bare(held),
        })
    }

    /// Takes what a step drives, with what is toggled brought to a level.
    fn drives(
        &self,
        step: &StepEntry,
        said: &mut Said,
        complaints: &mut Vec<Complaint>,
    ) -> BTreeMap<ContactId, Level> {
        let before = said.before.take();
        let mut drives = BTreeMap::new();
        for (id, word) in &step.drives {
            if !self.drives.contains(id) {
                let headline = format!("a step drives contact {id}, which is no `drive`");
                let help = match self.drives.iter().map(ToString::to_string).collect::<Vec<_>>().as_slice() {
                    [] => "give the contact `role = \"drive\"`, or write `[[step]]` anew".to_owned(),
                    known => format!("drive contacts: {}", listed(known.iter().map(String::as_str), "and")),
                };
                complaints.push(Complaint::new(word.place.clone(), headline).help(help));
                continue;
            }
            let level = match word.value {
                DriveWord::To(level) => level,
                DriveWord::Toggled => match before.as_ref().map(|before| before.get(id)) {
                    Some(Some(Level::Low)) => Level::High,
                    Some(Some(Level::High)) | None => Level::Low,
                    Some(Some(Level::Released) | None) => {
                        let headline =
                            format!("contact {id} is toggled, but the step before does not drive it");
                        let help = "write `low` or `high`, or drive it in the step before";
                        complaints.push(Complaint::new(word.place.clone(), headline).help(help));
                        Level::Low
                    }
                },
            };
            if level == Level::High && self.cannot_high.contains(id) {
                let headline = format!("contact {id} is an open output, which drives nothing high");
                complaints.push(Complaint::new(word.place.clone(), headline).help("write `released`"));
            }
            drives.insert(*id, level);
        }
        said.before = (!step.drive_is_wrong).then(|| drives.clone());
        drives
    }

    /// Takes what a step reads from data contacts.
    fn reads(
        &self,
        reads: Vec<(At<ContactId>, At<Action>)>,
        said: &mut Said,
        complaints: &mut Vec<Complaint>,
    ) -> BTreeMap<ContactId, At<Action>> {
        let mut kept = BTreeMap::new();
        for (At { value: id, place }, action) in reads {
            said.idle.remove(&id);
            let name = quoted(action.value.as_str());
            if !self.data.contains(&id) {
                // What the file took away from the profile that it starts from.
                if self.is_own(&place) {
                    let headline = format!("a step reads {name} from contact {id}, which is no `data` line");
                    complaints.push(Complaint::new(place, headline).help(self.no_data(id)));
                }
                continue;
            }
            if self.own.has(&action.value) {
                let headline =
                    format!("a step reads {name} from contact {id}, but it has a contact of its own");
                let help = "take it out of `reads`, or make that contact `role = \"data\"` too";
                complaints.push(Complaint::new(action.place.clone(), headline).help(help));
                continue;
            }
            match said.places.get(&action.value) {
                Some((other, first)) if *other != id => complaints.push(
                    Complaint::new(
                        action.place.clone(),
                        format!("{name} is read from contacts {other} and {id}"),
                    )
                    .help("let all steps read it from one contact, or give one of the two another name")
                    .also(first.clone(), "the first one"),
                ),
                Some(_) => {}
                None => _ = said.places.insert(action.value.clone(), (id, action.place.clone())),
            }
            kept.insert(id, action);
        }
        kept
    }

    /// Says how to mend a step that reads from a contact that is no data line.
    fn no_data(&self, id: ContactId) -> String {
        let action = self.contacts.get(&id).and_then(|entry| entry.value.action());
        let known: Vec<String> = self.data.iter().map(ToString::to_string).collect();
        match (action, known.as_slice()) {
            (Some(_), _) => {
                format!(
                    "contact {id} has an action of its own: name it in `sample`, or make it `role = \"data\"`"
                )
            }
            (None, []) => format!("give contact {id} `role = \"data\"`"),
            (None, known) => format!("data contacts: {}", listed(known.iter().map(String::as_str), "and")),
        }
    }

    /// Takes the fixed levels that a step expects.
    fn expects(
        &self,
        expects: Vec<(At<ContactId>, Level)>,
        reads: &BTreeMap<ContactId, At<Action>>,
        sampled: &impl Fn(&Action) -> bool,
        said: &mut Said,
        complaints: &mut Vec<Complaint>,
    ) -> BTreeMap<ContactId, Level> {
        let mut kept = BTreeMap::new();
        for (At { value: id, place }, level) in expects {
            said.idle.remove(&id);
            let role = self.contacts.get(&id).and_then(|entry| entry.value.role.as_ref());
            let (is_read, own) = match role.map(|role| &role.value) {
                Some(RoleEntry::Action(action)) => (true, Some(action).filter(|action| sampled(action))),
                Some(RoleEntry::Data) => (true, reads.get(&id).map(|action| &action.value)),
                Some(RoleEntry::Sense) => (true, None),
                // The place where a role could not be read has its complaint already.
                None if self.contacts.contains_key(&id) => (true, None),
                Some(
                    RoleEntry::Supply
                    | RoleEntry::Fed
                    | RoleEntry::Signal
                    | RoleEntry::Return
                    | RoleEntry::Drive
                    | RoleEntry::Axis
                    | RoleEntry::Pot
                    | RoleEntry::Unused,
                )
                | None => (false, None),
            };
            if !is_read {
                if self.is_own(&place) {
                    let headline =
                        format!("a step expects a level of contact {id}, where the machine reads none");
                    let help = "take it out of `expects`, or give the contact `role = \"data\"`";
                    complaints.push(Complaint::new(place, headline).help(help));
                }
                continue;
            }
            if let Some(action) = own {
                let name = quoted(action.as_str());
                let headline =
                    format!("contact {id} is read for {name} and expected to be {}", level.as_str());
                let help = "whatever is pressed, it cannot be both: take it out of one of the two";
                complaints.push(Complaint::new(place, headline).help(help));
            }
            kept.insert(id, level);
        }
        kept
    }

    /// Takes a step's list of actions, each with a contact of its own.
    fn actions(
        &self,
        key: &str,
        list: Option<At<Vec<At<Action>>>>,
        said: &Said,
        complaints: &mut Vec<Complaint>,
    ) -> Vec<At<Action>> {
        let list = self.identity.own_or_known(list, |action| self.own.has(action));
        let (unowned, checked): (Vec<_>, Vec<_>) =
            list.iter().cloned().partition(|action| said.places.contains_key(&action.value));
        self.own.check_list(key, &checked, complaints);
        complaints.extend(unowned.into_iter().map(|action| {
            let headline = format!("`{key}` names {}, which `reads` reads", quoted(action.value.as_str()));
            Complaint::new(action.place, headline)
                .help(format!("`{key}` is for actions with a contact of their own: take it out"))
        }));
        list
    }

    fn is_own(&self, place: &Place) -> bool {
        place.file == self.identity.file
    }

    /// Complains about an action that no step reads: at the action, unless only the steps are the file's own.
    fn unread_action(&self, action: &At<Action>, steps: &Place) -> Complaint {
        let headline = format!("no step reads {}", quoted(action.value.as_str()));
        let help = "add it to a step's `sample`, or take the action from its contact";
        if self.is_own(&action.place) || !self.is_own(steps) {
            Complaint::new(action.place.clone(), headline).help(help)
        } else {
            Complaint::new(steps.clone(), headline).help(help).also(action.place.clone(), "the action")
        }
    }

    /// Complains about a data contact that no step reads, in the same way.
    fn idle_line(&self, id: ContactId, steps: Option<&Place>) -> Option<Complaint> {
        let role = self.contacts.get(&id)?.value.role.as_ref()?;
        let headline = format!("no step reads contact {id}, a `data` line");
        let help = format!("add `reads = {{ {id} = \"NAME\" }}` to a step, or correct the role");
        Some(match steps.filter(|steps| self.is_own(steps) && !self.is_own(&role.place)) {
            None => Complaint::new(role.place.clone(), headline).help(help),
            Some(steps) => {
                Complaint::new(steps.clone(), headline).help(help).also(role.place.clone(), "the role")
            }
        })
    }
}
