//! From readings and symptoms to the faults that explain them, and to the next thing to try.
//!
//! Every single fault and every pair is a hypothesis, and so is a lead without any. Each piece of evidence weighs each of
//! them by how likely it would be then; what nobody can tell apart with a meter is named together. The next test is the one
//! that is expected to take most uncertainty away for each minute it costs (J. de Kleer and B. C. Williams, "Diagnosing
//! Multiple Faults", Artificial Intelligence 32, 1987, pp. 97-130, from memory).
//!
//! What is seen is a class: a reading falls into one of some hundred steps of its range, of which a hypothesis makes those
//! likely that its tolerances reach, and every other one a little, as people misread.

mod hypotheses;
mod next;
mod outcome;
#[cfg(test)]
mod trees;

use solderside_lead::{Leg, State, Unbuilt};
use solderside_profile::Action;

pub use self::next::{Test, TestKind};

use crate::benches::Benches;
use crate::fault::Fault;
use crate::reading::{Measurement, Range};
use crate::weights::Weights;

use self::hypotheses::{Hypothesis, Likely};

/// What somebody found, in one sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// As it was given.
    pub text: String,
    /// What it says in each way in which the lead may have stood: it is so in at least one of them.
    pub ways: Vec<Way>,
}

/// What a sentence says if the lead stood in one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The way, by its number.
    pub at: usize,
    /// What was seen then.
    pub clues: Vec<Clue>,
}

impl Evidence {
    /// Evidence of a lead that is used in one way, or of its first way.
    pub fn of(text: String, clues: Vec<Clue>) -> Self {
        Self { text, ways: vec![Way { at: 0, clues }] }
    }
}

/// One thing that was seen.
#[derive(Debug, Clone, PartialEq)]
pub enum Clue {
    /// The meter showed so many ohms or volts; infinitely many for no reading.
    Reading(Measurement, f64),
    /// The buzzer sounded or kept silent.
    Buzzer(Measurement, bool),
    /// While these controls were pressed the machine took an action for active, or did not.
    Deed(State, Action, bool),
}

/// What is known of a lead that does not do what it should.
pub struct Case<'a> {
    benches: Benches<'a>,
    weights: Weights,
    faults: Vec<Fault>,
    /// So many faults are plausible of every such lead; what follows them was proposed by what was read.
    plausible: usize,
    /// What is still possible, the likeliest first.
    live: Vec<Hypothesis>,
    evidence: Vec<Evidence>,
    deeds: hypotheses::KnownDeeds,
}

/// Faults that would explain everything, or come nearest to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The faults, none, one or two; where there are several lists, no meter can tell which it is.
    pub either: Vec<Vec<Fault>>,
    /// How likely it is among all explanations, from 0 to 1: these faults, and perhaps another of which nothing speaks.
    pub share: f64,
    /// For each piece of evidence whether it speaks for this, in the order in which it was given.
    pub weighs: Vec<Weighs>,
}

/// What a piece of evidence says of an explanation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weighs {
    /// It would not be so in a good lead, and is so with these faults.
    For,
    /// It would be so in a good lead too, and is so with these faults.
    Neither,
    /// It would not be so with these faults.
    Against,
}

/// Two pieces of evidence that cannot both be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Contradiction {
    /// The same measurement or the same press gave two answers: the places of both.
    Twice(usize, usize),
    /// The likeliest explanation does not explain this one, and none that is worth a thought explains all.
    Unexplained(usize),
}

impl<'a> Case<'a> {
    /// Begins with everything possible.
    pub fn new(benches: impl Into<Benches<'a>>, weights: &Weights) -> Self {
        let benches = benches.into();
        let faults = benches.faults();
        let plausible = faults.len();
        let live = hypotheses::all(&faults, plausible, weights);
        let deeds = hypotheses::KnownDeeds::default();
        Self { benches, weights: weights.clone(), faults, plausible, live, evidence: Vec::new(), deeds }
    }

    /// What was taken so far.
    pub fn evidence(&self) -> &[Evidence] {
        &self.evidence
    }

    /// Weighs every hypothesis by more evidence. What it makes next to impossible is dropped.
    ///
    /// A short between two places that should be apart is a bridge between them, whatever else it may be: it is thought of
    /// where no plausible bridge makes the same two one.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub fn take(&mut self, evidence: Vec<Evidence>) -> Result<(), Unbuilt> {
        let known = self.faults.len();
        for bridge in evidence.iter().flat_map(|evidence| shorts(&self.benches, evidence)) {
            if !self.faults.iter().any(|fault| is_same_short(&self.benches, fault, bridge)) {
                self.faults.push(Fault::Bridge(bridge));
            }
        }
        if self.faults.len() == known {
            hypotheses::weigh(&self.benches, &self.faults, &mut self.live, &evidence, &mut self.deeds)?;
            self.evidence.extend(evidence);
            return Ok(());
        }
        // What was dropped may be a half of what it is now.
        self.evidence.extend(evidence);
        self.live = hypotheses::all(&self.faults, self.plausible, &self.weights);
        hypotheses::weigh(&self.benches, &self.faults, &mut self.live, &self.evidence, &mut self.deeds)
    }

    /// The explanations, the likeliest first, as long as they are worth a thought: one in a hundred.
    ///
    /// # Errors
    /// As [`Case::take`].
    pub fn explanations(&mut self) -> Result<Vec<Explanation>, Unbuilt> {
        const WORTH: f64 = 0.01;
        let groups = self.groups()?;
        let mut explanations = Vec::new();
        for (members, share) in groups {
            if share < WORTH && !explanations.is_empty() {
                break;
            }
            let Some(first) = members.first() else { continue };
            let weighs = self.weighs(*first)?;
            let either = members.into_iter().map(|at| self.faults_of(&self.live[at])).collect();
            explanations.push(Explanation { either, share, weighs });
        }
        Ok(explanations)
    }

    /// What cannot be: pairs of evidence, and evidence that the likeliest explanation leaves unexplained.
    ///
    /// # Errors
    /// As [`Case::take`].
    pub fn contradictions(&mut self) -> Result<Vec<Contradiction>, Unbuilt> {
        let mut found = Vec::new();
        for (at, one) in self.evidence.iter().enumerate() {
            for (later, other) in self.evidence.iter().enumerate().skip(at + 1) {
                let is_contrary =
                    one.ways.iter().all(|one| other.ways.iter().all(|other| are_contrary(one, other)));
                found.extend(is_contrary.then_some(Contradiction::Twice(at, later)));
            }
        }
        let explanations = self.explanations()?;
        let explains_all = |one: &Explanation| !one.weighs.contains(&Weighs::Against);
        let first = if explanations.iter().any(explains_all) { None } else { explanations.first() };
        let weighs = first.into_iter().flat_map(|first| first.weighs.iter().enumerate());
        let against = weighs.filter(|(_, weighs)| **weighs == Weighs::Against);
        found.extend(against.map(|(at, _)| Contradiction::Unexplained(at)));
        Ok(found)
    }

    /// The hypotheses by what nobody can tell apart, with their shares, the likeliest first.
    fn groups(&mut self) -> Result<Vec<(Vec<usize>, f64)>, Unbuilt> {
        const LOOKED_AT: usize = 200;
        const WORTH: f64 = 1e-4;
        let folded = hypotheses::folded(&self.live);
        let total: f64 = folded.iter().map(|(_, weight)| weight).sum();
        let mut groups: Vec<(hypotheses::Looks, Vec<usize>, f64)> = Vec::new();
        for (at, weight) in folded.into_iter().take(LOOKED_AT) {
            let one = &self.live[at];
            let share = weight / total;
            if share < WORTH {
                break;
            }
            let looks = hypotheses::looks(&self.benches, &self.faults, one, &mut self.deeds)?;
            match groups.iter_mut().find(|(own, ..)| *own == looks) {
                Some((_, members, sum)) => {
                    members.push(at);
                    *sum += share;
                }
                None => groups.push((looks, vec![at], share)),
            }
        }
        groups.sort_by(|one, other| other.2.total_cmp(&one.2));
        Ok(groups.into_iter().map(|(_, members, share)| (members, share)).collect())
    }

    fn faults_of(&self, hypothesis: &Hypothesis) -> Vec<Fault> {
        hypothesis.faults().map(|at| self.faults[at].clone()).collect()
    }

    /// What each piece of evidence says of a hypothesis.
    fn weighs(&mut self, at: usize) -> Result<Vec<Weighs>, Unbuilt> {
        let one = self.live[at];
        let mut weighs = Vec::new();
        for evidence in &self.evidence {
            let mut likely = |one: &Hypothesis| {
                hypotheses::all_of(&self.benches, &self.faults, one, evidence, &mut self.deeds)
            };
            let own = match (likely(&one)?, likely(&Hypothesis::GOOD)?) {
                (Likely::No, _) => Weighs::Against,
                (Likely::Yes | Likely::Perhaps, Likely::No) => Weighs::For,
                (Likely::Yes | Likely::Perhaps, Likely::Yes | Likely::Perhaps) => Weighs::Neither,
            };
            weighs.push(own);
        }
        Ok(weighs)
    }
}

/// Whether two things cannot both have been seen of a lead that stood the same way both times.
fn are_contrary(one: &Way, other: &Way) -> bool {
    one.at == other.at && one.clues.iter().any(|one| other.clues.iter().any(|other| contrary(one, other)))
}

/// Whether two measurements are one, the probes exchanged where that is all the same.
fn same(one: &Measurement, other: &Measurement) -> bool {
    let way = one.red == other.red && one.black == other.black;
    let turned = one.red == other.black && one.black == other.red && one.range == Range::Ohms;
    one.range == other.range && one.held == other.held && (way || turned)
}

/// The places that some evidence shows as one, and that are apart in a good lead.
fn shorts<'e>(benches: &'e Benches<'_>, evidence: &'e Evidence) -> impl Iterator<Item = [Leg; 2]> + 'e {
    let clues = evidence.ways.iter().flat_map(|way| way.clues.iter().map(|clue| (way.at, clue)));
    clues.filter_map(|(at, clue)| {
        let measurement = match clue {
            Clue::Reading(measurement, reading) if outcome::is_wire(measurement.range, *reading) => {
                measurement
            }
            Clue::Buzzer(measurement, true) => measurement,
            Clue::Reading(..) | Clue::Buzzer(..) | Clue::Deed(..) => return None,
        };
        let Measurement { red, black, held: None, .. } = measurement else { return None };
        let lead = &benches.at(at).assembly().lead;
        (!lead.net(*red).contains(black)).then_some([*red.min(black), *red.max(black)])
    })
}

/// Whether a fault makes the same two nets one as a bridge between two places.
fn is_same_short(benches: &Benches<'_>, fault: &Fault, [one, other]: [Leg; 2]) -> bool {
    let [a, b] = if let Fault::Bridge(legs) = fault {
        *legs
    } else if let Fault::CableShort([a, b]) = fault {
        [a.from, b.from]
    } else {
        return false;
    };
    let lead = &benches.first().assembly().lead;
    let [own, far] = [lead.net(one), lead.net(other)];
    own.contains(&a) && far.contains(&b) || own.contains(&b) && far.contains(&a)
}

/// Whether two clues cannot both be true of one lead.
fn contrary(one: &Clue, other: &Clue) -> bool {
    match (one, other) {
        (Clue::Reading(a, x), Clue::Reading(b, y)) => {
            same(a, b) && outcome::of(a.range, *x).abs_diff(outcome::of(b.range, *y)) > outcome::STEADY
        }
        (Clue::Buzzer(a, x), Clue::Buzzer(b, y)) => same(a, b) && x != y,
        (Clue::Deed(a, do_a, x), Clue::Deed(b, do_b, y)) => a == b && do_a == do_b && x != y,
        (Clue::Reading(..) | Clue::Buzzer(..) | Clue::Deed(..), _) => false,
    }
}
