//! What to measure next.
//!
//! 1. The bare cores against each other. They are numbered, and for each binary digit those with a 0 there are held
//!    together against those with a 1: any two numbers differ in some digit, so ⌈log₂ n⌉ readings without a way
//!    part all n cores (the counting sequence of board tests, from memory). A way is halved down to its two cores.
//! 2. What is likely: the shell in the drain, the order of a cable that is said to be alike, straight through where
//!    both ends are moulded. As soon as that is wrong twice more often than right, it is given up.
//! 3. The rest. A block is the contacts and the cores that may still belong together. Half of its cores are held
//!    together and each contact is tried against them, if that saves more time than the holding takes;
//!    otherwise one point is held and tried against the others one by one.
//! 4. A contact that none of these found is tried against all cores, held together:
//!    only then it is surely empty, or a second contact on a core that is taken.
//!
//! Steps 2 and 3 go by what is regular (a core ends in one contact), and are right whatever the cable is: what was
//! assumed is measured before it is told.

use std::collections::{BTreeMap, BTreeSet};

use solderside_trade::ContactId;

use super::known::{Ending, Known};
use super::unknown::{Far, Touch, UnknownCable};

/// What one reading takes, in seconds: two probes, a look, a word on the keyboard. Judgement.
pub(super) const READING_SECONDS: f64 = 10.0;
/// What it takes to hold cores together with a clip, and each core in it. Judgement.
const CLIP_SECONDS: f64 = 3.0;
const CLIPPED_CORE_SECONDS: f64 = 2.0;

/// Where each contact probably ends.
pub(super) type Guess = BTreeMap<ContactId, Far>;

/// Returns the next measurement; nothing when there is nothing left to find out.
pub(super) fn choose(unknown: &UnknownCable, known: &Known, guess: &Guess) -> Option<Touch> {
    let apart =
        if unknown.is_bare() { narrow_a_short(known).or_else(|| part_the_cores(known)) } else { None };
    apart.or_else(|| try_the_guess(known, guess)).or_else(|| {
        let blocks = Block::all(known);
        let halved = blocks.iter().filter(|_| unknown.is_bare()).find_map(|block| block.halve(known));
        halved
            .or_else(|| blocks.iter().find_map(|block| block.hold_one(known)))
            .or_else(|| if unknown.is_bare() { try_the_empty(known) } else { None })
    })
}

/// About how many readings are left, and how many seconds they take, if the cable is a regular one.
pub(super) fn expected(unknown: &UnknownCable, known: &Known, guess: &Guess) -> (f64, f64) {
    let cores = count(known.conductors().len());
    let digits = if unknown.is_bare() && part_the_cores(known).is_some() {
        libm::ceil(libm::log2(cores))
    } else {
        0.0
    };
    let clips = digits * (2.0 * CLIP_SECONDS + CLIPPED_CORE_SECONDS * cores);
    let open = count(known.contacts.values().filter(|ending| !ending.is_settled()).count());
    let empty = (open - count(free(known).len())).max(0.0);
    let (readings, seconds) = if guess.len() > 1 && try_the_guess(known, guess).is_some() {
        (open, open * READING_SECONDS)
    } else {
        let blocks = Block::all(known);
        let costs = blocks.iter().map(|block| block.cost(unknown.is_bare()));
        let sum = costs.fold((0.0, 0.0), |sum, own| (sum.0 + own.0, sum.1 + own.1));
        (sum.0 + empty, sum.1 + empty * READING_SECONDS)
    };
    (digits + readings, digits * READING_SECONDS + clips + seconds)
}

#[expect(clippy::cast_precision_loss, reason = "no connector has 2^53 contacts")]
pub(super) fn count(number: usize) -> f64 {
    number as f64
}

fn narrow_a_short(known: &Known) -> Option<Touch> {
    // A way is told of again by every reading that it was halved in.
    let pairs = known.shorts.iter().min_by_key(|pairs| pairs.len())?;
    let [ones, others]: [BTreeSet<Far>; 2] =
        [pairs.iter().map(|pair| pair.0).collect(), pairs.iter().map(|pair| pair.1).collect()];
    let (halved, whole) = if ones.len() >= others.len() { (ones, others) } else { (others, ones) };
    let half: Vec<Far> = halved.iter().copied().take(halved.len().div_ceil(2)).collect();
    Some(Touch::Across(known.all_points(&half), known.all_points(&whole)))
}

fn part_the_cores(known: &Known) -> Option<Touch> {
    let cores: Vec<Far> = known.conductors().into_iter().collect();
    let mut digit = 1;
    while digit < cores.len() {
        let side = |wanted: bool| {
            let numbered =
                cores.iter().enumerate().filter(move |(number, _)| (number & digit == 0) == wanted);
            numbered.map(|(_, core)| *core)
        };
        if side(true).any(|one| side(false).any(|other| !known.are_apart(one, other))) {
            let [one, other] = [true, false].map(|wanted| side(wanted).collect::<Vec<_>>());
            return Some(Touch::Across(known.all_points(&one), known.all_points(&other)));
        }
        digit *= 2;
    }
    None
}

fn try_the_guess(known: &Known, guess: &Guess) -> Option<Touch> {
    let [mut right, mut wrong] = [0, 0];
    let mut next = None;
    for (contact, far) in guess {
        let Some(ending) = known.contacts.get(contact) else { continue };
        let Some(conductor) = known.conductors().into_iter().find(|own| known.points(*own).contains(far))
        else {
            continue;
        };
        let is_shell = *contact == ContactId::Shell;
        if ending.surely() == Some(conductor) {
            right += usize::from(!is_shell);
        } else if !ending.may_be.contains(&conductor) {
            wrong += usize::from(!is_shell);
        } else if next.is_none() && !ending.is_settled() {
            next = Some(Touch::Through(*contact, known.points(conductor)));
        }
    }
    next.filter(|touch| wrong < right + 2 || matches!(touch, Touch::Through(ContactId::Shell, _)))
}

/// A contact that nothing likely is left for, against all that it may still be joined to. What it is surely not joined
/// to does no harm in the clip, which then serves the next contact too.
fn try_the_empty(known: &Known) -> Option<Touch> {
    let (contact, ending) = known.contacts.iter().find(|(_, ending)| !ending.is_settled())?;
    let all = known.conductors();
    let against = if ending.may_be.len() > 1 { &all } else { &ending.may_be };
    Some(Touch::Through(*contact, known.all_points(against)))
}

/// The conductors in which no contact surely ends.
fn free(known: &Known) -> BTreeSet<Far> {
    let taken: BTreeSet<Far> = known.contacts.values().filter_map(Ending::surely).collect();
    known.conductors().difference(&taken).copied().collect()
}

/// Contacts with the conductors that they may regularly be joined to, as far as these hang together.
struct Block {
    contacts: BTreeMap<ContactId, BTreeSet<Far>>,
    conductors: BTreeSet<Far>,
}

impl Block {
    /// All blocks, in the order of their first contacts.
    fn all(known: &Known) -> Vec<Self> {
        let mut blocks: Vec<Self> = Vec::new();
        for (contact, may_be) in likely(known) {
            let mut own = Self { conductors: may_be.clone(), contacts: BTreeMap::from([(contact, may_be)]) };
            let (touching, rest): (Vec<Self>, Vec<Self>) =
                blocks.into_iter().partition(|block| !block.conductors.is_disjoint(&own.conductors));
            for block in touching {
                own.contacts.extend(block.contacts);
                own.conductors.extend(block.conductors);
            }
            blocks = rest;
            blocks.push(own);
        }
        blocks.sort_by_key(|block| block.contacts.keys().next().copied());
        blocks
    }

    /// The conductors that are held together.
    fn half(&self) -> BTreeSet<Far> {
        self.conductors.iter().copied().take(self.conductors.len().div_ceil(2)).collect()
    }

    /// The next contact against half of the conductors, if halving pays.
    fn halve(&self, known: &Known) -> Option<Touch> {
        let [contacts, conductors] = [self.contacts.len(), self.conductors.len()].map(count);
        if !halving_pays(contacts, conductors) {
            return None;
        }
        let half = self.half();
        // As the block hangs together, some contact may be joined to either half.
        let undecided = |may_be: &BTreeSet<Far>| !may_be.is_subset(&half) && !may_be.is_disjoint(&half);
        let (contact, _) = self.contacts.iter().find(|(_, may_be)| undecided(may_be))?;
        Some(Touch::Through(*contact, known.all_points(&half)))
    }

    /// About how many readings are left, and how many seconds they take; no more contacts are wired than there are
    /// conductors.
    fn cost(&self, is_bare: bool) -> (f64, f64) {
        let conductors = count(self.conductors.len());
        let contacts = count(self.contacts.len());
        if is_bare && halving_pays(contacts, conductors) {
            let half = self.half();
            let is_decided = |may_be: &&BTreeSet<Far>| may_be.is_subset(&half) || may_be.is_disjoint(&half);
            let decided = count(self.contacts.values().filter(is_decided).count());
            let (readings, seconds) = halved_cost(contacts, conductors);
            (readings - decided, seconds - decided * READING_SECONDS)
        } else {
            held_cost(contacts.min(conductors), conductors)
        }
    }

    /// One point of the smaller side against one of the other.
    fn hold_one(&self, known: &Known) -> Option<Touch> {
        let (contact, conductor) = if self.contacts.len() <= self.conductors.len() {
            let (contact, may_be) = self.contacts.first_key_value()?;
            (contact, may_be.first()?)
        } else {
            let conductor = self.conductors.first()?;
            (self.contacts.iter().find(|(_, may_be)| may_be.contains(conductor))?.0, conductor)
        };
        Some(Touch::Through(*contact, known.points(*conductor)))
    }
}

/// What each open contact may regularly be joined to: a conductor that is free, and not one of so many that are
/// needed by as many other contacts.
fn likely(known: &Known) -> BTreeMap<ContactId, BTreeSet<Far>> {
    let free = free(known);
    let open = || known.contacts.iter().filter(|(_, ending)| !ending.is_settled());
    let all_are_wired = open().count() <= free.len();
    let mut likely: BTreeMap<ContactId, BTreeSet<Far>> = BTreeMap::new();
    let mut wired: BTreeSet<ContactId> = BTreeSet::new();
    for (contact, ending) in open() {
        let mut may_be: BTreeSet<Far> = ending.may_be.intersection(&free).copied().collect();
        if may_be.is_empty() && ending.is_joined {
            may_be.clone_from(&ending.may_be);
        }
        if ending.is_joined || all_are_wired {
            wired.insert(*contact);
        }
        likely.insert(*contact, may_be);
    }
    while let Some(full) = full_set(&likely, &wired) {
        for may_be in likely.values_mut().filter(|may_be| !may_be.is_subset(&full)) {
            may_be.retain(|far| !full.contains(far));
        }
    }
    likely.retain(|_, may_be| !may_be.is_empty());
    likely
}

/// Conductors that are needed by as many contacts as they are, and that another contact still has on its list.
fn full_set(
    likely: &BTreeMap<ContactId, BTreeSet<Far>>,
    wired: &BTreeSet<ContactId>,
) -> Option<BTreeSet<Far>> {
    let sets: BTreeSet<&BTreeSet<Far>> = likely.values().filter(|may_be| !may_be.is_empty()).collect();
    sets.into_iter()
        .find(|set| {
            let within = likely.iter().filter(|(contact, may_be)| {
                wired.contains(contact) && !may_be.is_empty() && may_be.is_subset(set)
            });
            within.count() >= set.len()
                && likely.values().any(|may_be| !may_be.is_subset(set) && !may_be.is_disjoint(set))
        })
        .cloned()
}

fn halving_pays(contacts: f64, conductors: f64) -> bool {
    conductors >= 2.0 && halved_cost(contacts, conductors).1 < held_cost(contacts, conductors).1
}

/// One point after the other is held against those that are left on the other side, and found half way on average.
fn held_cost(contacts: f64, conductors: f64) -> (f64, f64) {
    let (few, many) = (contacts.min(conductors), contacts.max(conductors));
    let readings = few * (many + 1.0) / 2.0 - few * (few - 1.0).max(0.0) / 4.0;
    (readings, readings * READING_SECONDS)
}

/// Each contact is tried against half of the conductors; those that come last need not be, once the half is
/// full.
fn halved_cost(contacts: f64, conductors: f64) -> (f64, f64) {
    let half = libm::ceil(conductors / 2.0);
    let rest = conductors - half;
    let wired = contacts.min(conductors);
    let in_half = wired * half / conductors;
    let spared = if contacts <= conductors { in_half / (wired - in_half + 1.0) } else { 0.0 };
    let tried = contacts - spared.min(contacts - 1.0).max(0.0);
    let (halves, seconds) = [(in_half, half), (contacts - in_half, rest)]
        .map(|(contacts, conductors)| held_cost(contacts, conductors))
        .into_iter()
        .fold((0.0, 0.0), |sum, own| (sum.0 + own.0, sum.1 + own.1));
    let clip = CLIP_SECONDS + CLIPPED_CORE_SECONDS * half;
    (tried + halves, tried * READING_SECONDS + clip + seconds)
}
