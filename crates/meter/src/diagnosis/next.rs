//! The next test: what takes most uncertainty away for each minute.

use std::collections::BTreeMap;

use solderside_lead::{State, Unbuilt};
use solderside_profile::Control;

use crate::nets::Nets;
use crate::plan::Probing;
use crate::reading::{Measurement, Span};

use super::hypotheses::{self, Hypothesis};
use super::outcome::{self, STEPS, Steps};
use super::{Case, Clue};

/// Something to try next.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// What to do.
    pub kind: TestKind,
    /// The bits of uncertainty that it is expected to take away.
    pub bits: f64,
    /// The minutes that it takes, getting there included.
    pub minutes: f64,
    /// What a good lead shows; none for a press.
    pub good: Option<Span>,
}

/// What a test is.
#[derive(Debug, Clone, PartialEq)]
pub enum TestKind {
    /// A reading of the meter.
    Measure(Measurement),
    /// Press a control, and see what the machine does.
    Press(Control),
}

/// Where the lead is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// On the bench, unplugged.
    Bench,
    /// In the controller only.
    Controller,
    /// Between controller and machine.
    Machine,
}

/// A reading of the lead alone, one with the controller held, a press; and going from one place to another. In minutes;
/// judgement.
const READING: f64 = 0.4;
const HELD_READING: f64 = 0.6;
const PRESS: f64 = 0.3;
const GOING: f64 = 1.0;

/// So many hypotheses are told apart, or as many as make this share of all.
const LOOKED_AT: usize = 200;
const SHARE: f64 = 0.999;

/// A press is offered where the meter is expected to tell less than this.
const TOO_LITTLE: f64 = 0.05;

/// So many hypotheses are simulated for a press.
const SIMULATED: usize = 24;

/// Nothing that tells less is worth a test.
const WORTH: f64 = 0.01;

/// A machine is not switched on while a short of its supply is as likely as this.
const RISK: f64 = 0.001;

impl Case<'_> {
    /// The next test; none where nothing that can be tried would tell more.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub fn next_test(&mut self) -> Result<Option<Test>, Unbuilt> {
        let (likeliest, shares) = self.likeliest();
        let place = self.place();
        let mut best: Option<Test> = None;
        let mut offer = |test: Test| {
            let rate = |test: &Test| test.bits / test.minutes;
            if test.bits >= WORTH && best.as_ref().is_none_or(|best| rate(&test) > rate(best)) {
                best = Some(test);
            }
        };
        for (held, probings) in self.candidates() {
            let nets: Vec<Nets> = likeliest
                .iter()
                .map(|one| Nets::of(self.bench, &one.build(self.bench, &self.faults), held.as_deref()))
                .collect();
            let good = Nets::of(self.bench, &self.bench.good(), held.as_deref());
            let (minutes, there) = match held {
                None => (READING, Place::Bench),
                Some(_) => (HELD_READING, Place::Controller),
            };
            let minutes = if place == there { minutes } else { minutes + GOING };
            for probing in probings {
                let bits = bits(&nets, &shares, probing);
                if bits < WORTH {
                    continue;
                }
                let measurement = Measurement { held: held.clone(), ..probing.measurement(self.bench) };
                let good = Some(probing.shown(&good));
                offer(Test { kind: TestKind::Measure(measurement), bits, minutes, good });
            }
        }
        if best.as_ref().is_none_or(|best| best.bits < TOO_LITTLE)
            && let Some(press) = self.press(&likeliest, &shares, place)?
        {
            best = Some(press);
        }
        Ok(best)
    }

    /// The likeliest hypotheses with their shares, which come to one.
    fn likeliest(&self) -> (Vec<Hypothesis>, Vec<f64>) {
        let total: f64 = self.live.iter().map(|one| libm::exp(one.score)).sum();
        let mut sum = 0.0;
        let mut likeliest = Vec::new();
        let mut shares = Vec::new();
        for one in self.live.iter().take(LOOKED_AT) {
            let share = libm::exp(one.score) / total;
            sum += share;
            likeliest.push(*one);
            shares.push(share);
            if sum >= SHARE {
                break;
            }
        }
        for share in &mut shares {
            *share /= sum;
        }
        (likeliest, shares)
    }

    /// Where the last evidence was found.
    fn place(&self) -> Place {
        let clues = self.evidence.iter().rev().flat_map(|evidence| evidence.clues.iter().rev());
        let place = clues.map(|clue| match clue {
            Clue::Reading(measurement, _) | Clue::Buzzer(measurement, _) => match measurement.held {
                None => Place::Bench,
                Some(_) => Place::Controller,
            },
            Clue::Deed(..) => Place::Machine,
        });
        place.into_iter().next().unwrap_or(Place::Bench)
    }

    /// What can be measured: at the lead alone, and at its port end where a held control that is a plain switch tells in a good
    /// lead.
    fn candidates(&self) -> Vec<(Option<Vec<Control>>, Vec<Probing>)> {
        let good = self.bench.good();
        let released = Nets::of(self.bench, &good, Some(&[]));
        let at_port = hypotheses::at_port(self.bench);
        let mut candidates = vec![(None, hypotheses::probings(self.bench))];
        for control in self.bench.assembly().joined_controls() {
            let held = vec![control];
            let nets = Nets::of(self.bench, &good, Some(&held));
            let tells = |probing: &&Probing| !probing.shown(&nets).meets(probing.shown(&released));
            let telling: Vec<Probing> = at_port.iter().filter(tells).copied().collect();
            if !telling.is_empty() {
                candidates.push((Some(held), telling));
            }
        }
        candidates
    }

    /// The press that tells most, if the machine may be switched on.
    fn press(
        &mut self,
        likeliest: &[Hypothesis],
        shares: &[f64],
        place: Place,
    ) -> Result<Option<Test>, Unbuilt> {
        if self.risk(likeliest, shares) > RISK {
            return Ok(None);
        }
        let controls: Vec<Control> = self.bench.assembly().joined_controls();
        let mut best: Option<Test> = None;
        for control in controls {
            let pressed: State = std::iter::once(control.clone()).collect();
            let is_known = |clue: &Clue| matches!(clue, Clue::Deed(state, ..) if *state == pressed);
            if self.evidence.iter().flat_map(|evidence| &evidence.clues).any(is_known) {
                continue;
            }
            let mut outcomes: BTreeMap<Vec<Option<bool>>, f64> = BTreeMap::new();
            for (one, share) in likeliest.iter().zip(shares).take(SIMULATED) {
                let deeds = hypotheses::deeds(self.bench, &self.faults, one, &pressed, &mut self.deeds)?;
                *outcomes.entry(deeds.values().copied().collect()).or_default() += share;
            }
            let bits: f64 = outcomes.values().map(|share| -share * libm::log2(*share)).sum();
            let minutes = if place == Place::Machine { PRESS } else { PRESS + GOING };
            if bits >= WORTH && best.as_ref().is_none_or(|best| bits > best.bits) {
                best = Some(Test { kind: TestKind::Press(control), bits, minutes, good: None });
            }
        }
        Ok(best)
    }

    /// How likely it is that a supply is shorted.
    fn risk(&self, likeliest: &[Hypothesis], shares: &[f64]) -> f64 {
        let good = Nets::of(self.bench, &self.bench.good(), None);
        let shorts = crate::plan::supply_shorts(self.bench, &good);
        let is_short = |one: &Hypothesis| {
            let nets = Nets::of(self.bench, &one.build(self.bench, &self.faults), None);
            shorts.iter().any(|pair| nets.are_one(pair.red, pair.black))
        };
        likeliest.iter().zip(shares).filter(|(one, _)| is_short(one)).map(|(_, share)| share).sum()
    }
}

/// The bits that a measurement is expected to tell: how uncertain its reading is, without what stays uncertain whatever is
/// wrong.
fn bits(nets: &[Nets], shares: &[f64], probing: Probing) -> f64 {
    let mut mixed = [0.0; STEPS as usize];
    let mut own = 0.0;
    let mut first: Option<Steps> = None;
    let mut are_alike = true;
    for (nets, share) in nets.iter().zip(shares) {
        let steps = hypotheses::steps(nets, probing);
        are_alike &= *first.get_or_insert(steps) == steps;
        steps.add(*share, &mut mixed);
        own += share * steps.uncertainty();
    }
    if are_alike { 0.0 } else { (outcome::mixed(&mixed) - own).max(0.0) }
}
