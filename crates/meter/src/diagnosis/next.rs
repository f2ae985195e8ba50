//! The next test: what takes most uncertainty away for each minute.

use std::collections::BTreeMap;

use solderside_lead::{Stand, State, Unbuilt};
use solderside_profile::Control;

use crate::bench::Bench;
use crate::benches::Benches;
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
    /// The way in which the lead is to stand, by its number.
    pub at: usize,
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

impl Test {
    /// Where everything is to stand that counts for it: what is plugged in does not, while the lead is alone.
    pub fn stands(&self, benches: &Benches<'_>) -> Vec<Stand> {
        let is_alone = match &self.kind {
            TestKind::Measure(measurement) => measurement.held.is_none(),
            TestKind::Press(_) => false,
        };
        benches.setting(self.at).stands().filter(|stand| stand.is_of_switch() || !is_alone).collect()
    }

    /// The same in words for a sentence of evidence: " with mode at as-up"; nothing where there is nothing to say.
    pub fn said(&self, benches: &Benches<'_>) -> String {
        let stands: Vec<String> =
            self.stands(benches).iter().map(|stand| stand.told().replace('`', "")).collect();
        if stands.is_empty() { String::new() } else { format!(" with {}", stands.join(" and ")) }
    }
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

/// Putting a switch of the lead into another position, or plugging a controller in or out. In minutes; judgement.
const MOVING: f64 = 0.2;

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
        let (place, stood) = self.place();
        let mut best: Option<Test> = None;
        let mut offer = |test: Test| {
            let rate = |test: &Test| test.bits / test.minutes;
            if test.bits >= WORTH && best.as_ref().is_none_or(|best| rate(&test) > rate(best)) {
                best = Some(test);
            }
        };
        for (at, held, probings) in self.candidates() {
            let bench = self.benches.at(at);
            let nets: Vec<Nets> = likeliest
                .iter()
                .map(|one| Nets::of(bench, &one.build(bench, &self.faults), held.as_deref()))
                .collect();
            let good = Nets::of(bench, &bench.good(), held.as_deref());
            let (minutes, there, is_moved) = match held {
                None => (READING, Place::Bench, at != self.benches.alone_as(stood)),
                Some(_) => (HELD_READING, Place::Controller, at != stood),
            };
            let minutes = if place == there { minutes } else { minutes + GOING };
            let minutes = if is_moved { minutes + MOVING } else { minutes };
            for probing in probings {
                let bits = bits(&nets, &shares, probing);
                if bits < WORTH {
                    continue;
                }
                let measurement = Measurement { held: held.clone(), ..probing.measurement(bench) };
                if self.was_read(at, &measurement) {
                    continue;
                }
                let good = Some(probing.shown(&good));
                offer(Test { kind: TestKind::Measure(measurement), at, bits, minutes, good });
            }
        }
        if best.as_ref().is_none_or(|best| best.bits < TOO_LITTLE)
            && let Some(press) = self.press(&likeliest, &shares, (place, stood))?
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

    /// Where the last evidence was found, and the way in which the lead stood then.
    fn place(&self) -> (Place, usize) {
        let last = self.evidence.iter().rev().find_map(|evidence| evidence.ways.first());
        let Some(way) = last else { return (Place::Bench, 0) };
        let place = way.clues.last().map_or(Place::Bench, |clue| match clue {
            Clue::Reading(measurement, _) | Clue::Buzzer(measurement, _) => match measurement.held {
                None => Place::Bench,
                Some(_) => Place::Controller,
            },
            Clue::Deed(..) => Place::Machine,
        });
        (place, way.at)
    }

    /// What can be measured, and how the lead stands for it: at the lead alone, and at its port end where a held control that
    /// is a plain switch tells in a good lead.
    fn candidates(&self) -> Vec<(usize, Option<Vec<Control>>, Vec<Probing>)> {
        let alone = self.benches.alone().into_iter();
        let mut candidates: Vec<_> =
            alone.map(|at| (at, None, hypotheses::probings(self.benches.at(at)))).collect();
        for at in self.benches.all() {
            let bench: &Bench<'_> = self.benches.at(at);
            let good = bench.good();
            let released = Nets::of(bench, &good, Some(&[]));
            let at_port = hypotheses::at_port(bench);
            for control in bench.assembly().joined_controls() {
                let held = vec![control];
                let nets = Nets::of(bench, &good, Some(&held));
                let tells = |probing: &&Probing| !probing.shown(&nets).meets(probing.shown(&released));
                let telling: Vec<Probing> = at_port.iter().filter(tells).copied().collect();
                if !telling.is_empty() {
                    candidates.push((at, Some(held), telling));
                }
            }
        }
        candidates
    }

    /// Whether a measurement was made already, the lead standing the same way.
    fn was_read(&self, at: usize, measurement: &Measurement) -> bool {
        let of_one_way = self.evidence.iter().filter(|evidence| evidence.ways.len() == 1);
        let mut ways = of_one_way.flat_map(|evidence| &evidence.ways).filter(|way| way.at == at);
        let is_it = |clue: &Clue| matches!(clue, Clue::Reading(own, _) if super::same(own, measurement));
        ways.any(|way| way.clues.iter().any(is_it))
    }

    /// The press that tells most, if the machine may be switched on.
    fn press(
        &mut self,
        likeliest: &[Hypothesis],
        shares: &[f64],
        (place, stood): (Place, usize),
    ) -> Result<Option<Test>, Unbuilt> {
        if self.risk(likeliest, shares) > RISK {
            return Ok(None);
        }
        let mut best: Option<Test> = None;
        for at in self.benches.all() {
            for control in self.benches.at(at).assembly().joined_controls() {
                let pressed: State = std::iter::once(control.clone()).collect();
                let is_known = |clue: &Clue| matches!(clue, Clue::Deed(state, ..) if *state == pressed);
                let known = self.evidence.iter().filter(|evidence| evidence.ways.len() == 1);
                let mut known = known.flat_map(|evidence| &evidence.ways).filter(|way| way.at == at);
                if known.any(|way| way.clues.iter().any(is_known)) {
                    continue;
                }
                let mut outcomes: BTreeMap<Vec<Option<bool>>, f64> = BTreeMap::new();
                for (one, share) in likeliest.iter().zip(shares).take(SIMULATED) {
                    let deeds =
                        hypotheses::deeds(&self.benches, at, &self.faults, one, &pressed, &mut self.deeds)?;
                    *outcomes.entry(deeds.values().copied().collect()).or_default() += share;
                }
                let bits: f64 = outcomes.values().map(|share| -share * libm::log2(*share)).sum();
                let minutes = if place == Place::Machine { PRESS } else { PRESS + GOING };
                let minutes = if at == stood { minutes } else { minutes + MOVING };
                let rate = |bits: f64, minutes: f64| bits / minutes;
                if bits >= WORTH
                    && best.as_ref().is_none_or(|best| rate(bits, minutes) > rate(best.bits, best.minutes))
                {
                    best = Some(Test { kind: TestKind::Press(control), at, bits, minutes, good: None });
                }
            }
        }
        Ok(best)
    }

    /// How likely it is that a supply is shorted, in any way in which the lead may stand.
    fn risk(&self, likeliest: &[Hypothesis], shares: &[f64]) -> f64 {
        let ways: Vec<(&Bench<'_>, Vec<Probing>)> = self
            .benches
            .alone()
            .into_iter()
            .map(|at| self.benches.at(at))
            .map(|bench| (bench, crate::plan::supply_shorts(bench, &Nets::of(bench, &bench.good(), None))))
            .collect();
        let is_short = |one: &Hypothesis| {
            ways.iter().any(|(bench, shorts)| {
                let nets = Nets::of(bench, &one.build(bench, &self.faults), None);
                shorts.iter().any(|pair| nets.are_one(pair.red, pair.black))
            })
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
