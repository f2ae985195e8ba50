//! What readings tell of a cable, and which of them contradict each other.
//!
//! All of it follows from the readings alone, whatever their order: nothing is taken for granted but that a
//! reading is right. What is likely only chooses the next question (`choose`).

use std::collections::{BTreeMap, BTreeSet};

use solderside_trade::ContactId;

use super::unknown::{Bunch, Far, Touch, UnknownCable};
use super::{SurveyReading, Way};

/// What is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Known {
    /// Each point of the other end with the first one that it is joined to: conductors that are shorted are one.
    conductor: BTreeMap<Far, Far>,
    /// Conductors that are surely not joined, each pair in its order.
    apart: BTreeSet<(Far, Far)>,
    /// Bunches between which there is a way, and nobody knows yet from where to where.
    pub(super) shorts: Vec<Vec<(Far, Far)>>,
    /// Where each contact may end.
    pub(super) contacts: BTreeMap<ContactId, Ending>,
}

/// Where a contact may end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ending {
    /// The conductors that it may be joined to.
    pub(super) may_be: BTreeSet<Far>,
    /// It is joined to one of them; otherwise it may be joined to none.
    pub(super) is_joined: bool,
}

impl Ending {
    /// The conductor that it is surely joined to.
    pub(super) fn surely(&self) -> Option<Far> {
        self.may_be.first().copied().filter(|_| self.is_joined && self.may_be.len() == 1)
    }

    /// Whether nothing is left to find out.
    pub(super) fn is_settled(&self) -> bool {
        self.may_be.is_empty() || self.surely().is_some()
    }
}

impl Known {
    /// What is known before anything is read.
    pub(super) fn at_first(unknown: &UnknownCable) -> Self {
        let conductor: BTreeMap<Far, Far> = unknown.far().into_iter().map(|far| (far, far)).collect();
        let anywhere = Ending { may_be: conductor.keys().copied().collect(), is_joined: false };
        let contacts = unknown.contacts().map(|contact| (contact, anywhere.clone())).collect();
        Self { conductor, apart: BTreeSet::new(), shorts: Vec::new(), contacts }
    }

    /// What the readings tell together; nothing if they contradict each other.
    pub(super) fn of(unknown: &UnknownCable, readings: &[SurveyReading]) -> Option<Self> {
        let mut known = Self::at_first(unknown);
        // What is joined tells what is apart, and the other way round.
        loop {
            let before = known.clone();
            known.look(readings)?;
            if known == before {
                return Some(known);
            }
        }
    }

    /// The conductors, each by its first point.
    pub(super) fn conductors(&self) -> BTreeSet<Far> {
        self.conductor.values().copied().collect()
    }

    /// All points of a conductor.
    pub(super) fn points(&self, conductor: Far) -> Bunch {
        self.conductor.iter().filter(|(_, own)| **own == conductor).map(|(far, _)| *far).collect()
    }

    /// All points of several conductors.
    pub(super) fn all_points<'c>(&self, conductors: impl IntoIterator<Item = &'c Far>) -> Bunch {
        conductors.into_iter().flat_map(|conductor| self.points(*conductor)).collect()
    }

    /// Whether two conductors are surely not joined.
    pub(super) fn are_apart(&self, one: Far, other: Far) -> bool {
        self.apart.contains(&(one.min(other), one.max(other)))
    }

    fn of_bunch(&self, bunch: &Bunch) -> BTreeSet<Far> {
        bunch.iter().filter_map(|far| self.conductor.get(far).copied()).collect()
    }

    fn join(&mut self, one: Far, other: Far) -> Option<()> {
        let (first, second) = (one.min(other), one.max(other));
        if self.are_apart(first, second) {
            return None;
        }
        for own in self.conductor.values_mut().filter(|own| **own == second) {
            *own = first;
        }
        let renamed = |far: Far| if far == second { first } else { far };
        self.apart = self
            .apart
            .iter()
            .map(|(one, other)| [renamed(*one), renamed(*other)])
            .map(|[one, other]| (one.min(other), one.max(other)))
            .collect();
        Some(())
    }

    fn part(&mut self, one: Far, other: Far) -> Option<()> {
        (one != other).then(|| _ = self.apart.insert((one.min(other), one.max(other))))
    }

    /// Takes every reading once.
    fn look(&mut self, readings: &[SurveyReading]) -> Option<()> {
        self.look_across(readings)?;
        self.join_what_one_contact_joins(readings)?;
        let all = self.conductors();
        for ending in self.contacts.values_mut() {
            *ending = Ending { may_be: all.clone(), is_joined: false };
        }
        for SurveyReading { touch, way, .. } in readings {
            let Touch::Through(contact, bunch) = touch else { continue };
            let touched = self.of_bunch(bunch);
            let Some(ending) = self.contacts.get_mut(contact) else { continue };
            match way {
                Way::Wire | Way::Weak => {
                    ending.may_be.retain(|far| touched.contains(far));
                    ending.is_joined = true;
                }
                Way::None => ending.may_be.retain(|far| !touched.contains(far)),
            }
        }
        if self.contacts.values().any(|ending| ending.is_joined && ending.may_be.is_empty()) {
            return None;
        }
        self.part_by_contacts(readings)
    }

    /// Two bunches without a way between them part each core of one from each of the other. With a way, one
    /// pair at least is joined; it is known when no other is left.
    fn look_across(&mut self, readings: &[SurveyReading]) -> Option<()> {
        self.shorts.clear();
        for SurveyReading { touch, way, .. } in readings {
            let Touch::Across(one, other) = touch else { continue };
            let [ones, others] = [one, other].map(|bunch| self.of_bunch(bunch));
            let pairs = ones.iter().flat_map(|one| others.iter().map(move |other| (*one, *other)));
            let pairs: Vec<(Far, Far)> = pairs.collect();
            match way {
                Way::None => {
                    for (one, other) in pairs {
                        self.part(one, other)?;
                    }
                }
                Way::Wire | Way::Weak if pairs.iter().any(|(one, other)| one == other) => {}
                Way::Wire | Way::Weak => {
                    let open: Vec<(Far, Far)> =
                        pairs.into_iter().filter(|(one, other)| !self.are_apart(*one, *other)).collect();
                    match open.as_slice() {
                        [] => return None,
                        [(one, other)] => self.join(*one, *other)?,
                        [_, _, ..] => self.shorts.push(open),
                    }
                }
            }
        }
        Some(())
    }

    /// One contact that is joined to two single points joins them.
    fn join_what_one_contact_joins(&mut self, readings: &[SurveyReading]) -> Option<()> {
        let mut first: BTreeMap<ContactId, Far> = BTreeMap::new();
        for SurveyReading { touch, way, .. } in readings {
            let (Touch::Through(contact, bunch), Way::Wire | Way::Weak) = (touch, way) else { continue };
            let touched = self.of_bunch(bunch);
            let (Some(far), 1) = (touched.first().copied(), touched.len()) else { continue };
            match first.get(contact).and_then(|earlier| self.conductor.get(earlier).copied()) {
                Some(earlier) if earlier != far => self.join(earlier, far)?,
                Some(_) => {}
                None => _ = first.insert(*contact, far),
            }
        }
        Some(())
    }

    /// Where a contact surely ends, what it is not joined to is not joined to its conductor.
    fn part_by_contacts(&mut self, readings: &[SurveyReading]) -> Option<()> {
        for SurveyReading { touch, way, .. } in readings {
            let (Touch::Through(contact, bunch), Way::None) = (touch, way) else { continue };
            let Some(own) = self.contacts.get(contact).and_then(Ending::surely) else { continue };
            for other in self.of_bunch(bunch) {
                self.part(own, other)?;
            }
        }
        Some(())
    }
}

/// Of readings that contradict each other, those that do so without the others: with any one of them left out
/// the rest agree. The last is always among them.
pub(super) fn contradicting(unknown: &UnknownCable, readings: &[SurveyReading]) -> Vec<usize> {
    let mut kept: Vec<usize> = (0..readings.len()).collect();
    for at in 0..readings.len().saturating_sub(1) {
        let without: Vec<usize> = kept.iter().copied().filter(|own| *own != at).collect();
        let rest: Vec<SurveyReading> = without.iter().filter_map(|own| readings.get(*own)).cloned().collect();
        if Known::of(unknown, &rest).is_none() {
            kept = without;
        }
    }
    kept
}
