//! Every fault and every pair of faults, and how likely each makes what was seen.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use solderside_lead::{EndId, State, Unbuilt};
use solderside_profile::Control;

use crate::bench::{Bench, Spot};
use crate::benches::Benches;
use crate::build::Build;
use crate::fault::{Fault, FaultKind};
use crate::machine::Deeds;
use crate::nets::Nets;
use crate::plan::{self, Probing};
use crate::reading::{Buzz, Measurement, Range};
use crate::weights::Weights;

use super::outcome::{self, Steps};
use super::{Clue, Evidence};

/// No fault, one, or two, by their numbers; and the logarithms of its weight now, and before anything was known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hypothesis {
    faults: [u16; 2],
    pub(super) score: f64,
    prior: f64,
}

/// What stands where there is no fault.
const NONE: u16 = u16::MAX;

/// What the machine does, by the way in which the lead stands, by the faults and by what is pressed.
pub(super) type KnownDeeds = BTreeMap<(usize, [u16; 2], State), Deeds>;

/// Whether something is so with some faults; what is surest comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Likely {
    Yes,
    Perhaps,
    No,
}

/// What nobody can tell apart: the steps of all readings of the lead alone; where a fault is one that no such reading sees,
/// also those with each control held, and what the machine does at each press.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Looks {
    alone: Vec<Steps>,
    elsewhere: Option<(Vec<Steps>, Vec<Deeds>)>,
}

/// What is below this share of the likeliest is dropped: three misreadings.
const DROPPED: f64 = 1e-9;

/// How likely a symptom is that the circuit shows, leaves open, or does not show: people err more in these than in figures.
/// (Judgement.)
const SYMPTOM: [f64; 3] = [0.995, 0.4, 0.004];

/// How likely a sound of the buzzer is, likewise.
const BUZZER: [f64; 3] = [0.985, 0.5, 0.015];

/// So many pairs of faults have the machine simulated; of the others it is taken that each fault does its own.
const SIMULATED_PAIRS: usize = 30;

impl Hypothesis {
    /// The lead is good.
    pub(super) const GOOD: Self = Self { faults: [NONE, NONE], score: 0.0, prior: 0.0 };

    /// The numbers of its faults.
    pub(super) fn faults(&self) -> impl Iterator<Item = usize> {
        self.faults.into_iter().filter(|at| *at != NONE).map(usize::from)
    }

    fn new(faults: [u16; 2], prior: f64) -> Self {
        Self { faults, score: prior, prior }
    }

    /// How well it explains what was seen, whatever it weighed before: the logarithm, up to a constant.
    fn explains(&self) -> f64 {
        self.score - self.prior
    }

    fn is_pair(&self) -> bool {
        self.faults[1] != NONE
    }

    pub(super) fn build(&self, bench: &Bench<'_>, faults: &[Fault]) -> Build {
        let mut build = bench.good();
        for at in self.faults() {
            faults[at].make(bench, &mut build);
        }
        build
    }
}

/// Everything that is possible before anything is known. Behind so many faults that are plausible stand bridges that only a
/// reading proposes: solder does not reach so far, so they weigh as conductors that touch.
pub(super) fn all(faults: &[Fault], plausible: usize, weights: &Weights) -> Vec<Hypothesis> {
    let kind = |at: usize, fault: &Fault| if at < plausible { fault.kind() } else { FaultKind::CableShort };
    let weight = |(at, fault): (usize, &Fault)| libm::log(weights.of(kind(at, fault)));
    let odds: Vec<(u16, f64)> = (0..NONE).zip(faults.iter().enumerate().map(weight)).collect();
    let mut all = vec![Hypothesis::new([NONE, NONE], libm::log(weights.good()))];
    all.extend(odds.iter().map(|(at, score)| Hypothesis::new([*at, NONE], *score)));
    for (place, (one, own)) in odds.iter().enumerate() {
        let others = odds.iter().skip(place + 1);
        all.extend(others.map(|(other, more)| Hypothesis::new([*one, *other], own + more)));
    }
    all
}

/// Weighs what is possible by evidence, puts the likeliest first and drops the next to impossible.
pub(super) fn weigh(
    benches: &Benches<'_>,
    faults: &[Fault],
    live: &mut Vec<Hypothesis>,
    evidence: &[Evidence],
    known: &mut KnownDeeds,
) -> Result<(), Unbuilt> {
    let is_deed = |evidence: &&Evidence| {
        evidence.ways.iter().flat_map(|way| &way.clues).any(|clue| matches!(clue, Clue::Deed(..)))
    };
    let (deeds, readings): (Vec<&Evidence>, Vec<&Evidence>) = evidence.iter().partition(is_deed);
    weigh_readings(benches, faults, live, &readings);
    settle(live);
    if deeds.is_empty() {
        return Ok(());
    }
    let table = Alone::of(benches, faults, live, &deeds, known)?;
    let mut weighed = live.clone();
    for one in &mut weighed {
        one.score += table.score(one);
    }
    let mut order: Vec<usize> = (0..weighed.len()).collect();
    order.sort_by(|one, other| weighed[*other].score.total_cmp(&weighed[*one].score));
    let pairs = order.into_iter().filter(|at| weighed[*at].is_pair()).take(SIMULATED_PAIRS);
    for at in pairs.collect::<Vec<_>>() {
        let mut one = live[at];
        for evidence in &deeds {
            let ways = of_ways(benches, faults, &one, evidence, known)?;
            let score = |way: &Vec<Likely>| way.iter().map(|own| libm::log(symptom(*own))).sum();
            one.score += best(ways.iter().map(score));
        }
        weighed[at] = one;
    }
    *live = weighed;
    settle(live);
    Ok(())
}

/// What was seen is so in one way at least: the one that explains it best.
fn best(scores: impl Iterator<Item = f64>) -> f64 {
    scores.fold(f64::NEG_INFINITY, f64::max)
}

/// Whether each clue of some evidence is so, in each way in which the lead may have stood.
fn of_ways(
    benches: &Benches<'_>,
    faults: &[Fault],
    one: &Hypothesis,
    evidence: &Evidence,
    known: &mut KnownDeeds,
) -> Result<Vec<Vec<Likely>>, Unbuilt> {
    let mut ways = Vec::new();
    for way in &evidence.ways {
        let clues = way.clues.iter().map(|clue| likely(benches, way.at, faults, one, clue, known));
        ways.push(clues.collect::<Result<Vec<_>, _>>()?);
    }
    Ok(ways)
}

/// Whether all of some evidence is so with some faults, in the way that explains it best.
pub(super) fn all_of(
    benches: &Benches<'_>,
    faults: &[Fault],
    one: &Hypothesis,
    evidence: &Evidence,
    known: &mut KnownDeeds,
) -> Result<Likely, Unbuilt> {
    let ways = of_ways(benches, faults, one, evidence, known)?;
    let all = ways.into_iter().map(|clues| clues.into_iter().max().unwrap_or(Likely::Yes));
    Ok(all.min().unwrap_or(Likely::Yes))
}

/// Whether each clue is so in a good lead and with each fault alone: by evidence, way and clue.
struct Alone {
    good: Vec<Vec<Vec<Likely>>>,
    with: BTreeMap<u16, Vec<Vec<Vec<Likely>>>>,
}

impl Alone {
    fn of(
        benches: &Benches<'_>,
        faults: &[Fault],
        live: &[Hypothesis],
        evidence: &[&Evidence],
        known: &mut KnownDeeds,
    ) -> Result<Self, Unbuilt> {
        let mut of = |one: &Hypothesis| {
            let each = evidence.iter().map(|evidence| of_ways(benches, faults, one, evidence, known));
            each.collect::<Result<Vec<_>, _>>()
        };
        let good = of(&Hypothesis::GOOD)?;
        let mut with = BTreeMap::new();
        for fault in live.iter().flat_map(|one| one.faults).filter(|fault| *fault != NONE) {
            if let Entry::Vacant(place) = with.entry(fault) {
                place.insert(of(&Hypothesis::new([fault, NONE], 0.0))?);
            }
        }
        Ok(Self { good, with })
    }

    /// The logarithm of how likely all clues are, if each fault does its own: what one of two changes is changed.
    fn score(&self, one: &Hypothesis) -> f64 {
        let alone = one.faults.map(|fault| self.with.get(&fault));
        let of_evidence = |(at, good): (usize, &Vec<Vec<Likely>>)| {
            let ways = good.iter().enumerate().map(|(way, good)| {
                let of_clue = |(clue, good): (usize, &Likely)| {
                    let own =
                        alone.map(|fault| fault.map(|own| own[at][way][clue]).filter(|own| own != good));
                    let likely = match own {
                        [None, None] => *good,
                        [Some(own), None] | [None, Some(own)] => own,
                        [Some(own), Some(other)] if own == other => own,
                        [Some(_), Some(_)] => Likely::Perhaps,
                    };
                    libm::log(symptom(likely))
                };
                good.iter().enumerate().map(of_clue).sum()
            });
            best(ways)
        };
        self.good.iter().enumerate().map(of_evidence).sum()
    }
}

fn symptom(likely: Likely) -> f64 {
    let [yes, perhaps, no] = SYMPTOM;
    match likely {
        Likely::Yes => yes,
        Likely::Perhaps => perhaps,
        Likely::No => no,
    }
}

/// What a reading belongs to, its evidence and the way of it, and what was read.
type Read<'e> = ([usize; 2], Probing, &'e Clue);

/// Weighs by readings, with the circuit of each hypothesis reduced once for each way and set of held controls.
fn weigh_readings(benches: &Benches<'_>, faults: &[Fault], live: &mut [Hypothesis], evidence: &[&Evidence]) {
    let mut by_held: BTreeMap<(usize, Option<&[Control]>), Vec<Read<'_>>> = BTreeMap::new();
    for (number, evidence) in evidence.iter().enumerate() {
        for (place, way) in evidence.ways.iter().enumerate() {
            for clue in &way.clues {
                let (Clue::Reading(measurement, _) | Clue::Buzzer(measurement, _)) = clue else { continue };
                if let Some(probing) = probing(benches.first(), measurement) {
                    let key = (way.at, measurement.held.as_deref());
                    by_held.entry(key).or_default().push(([number, place], probing, clue));
                }
            }
        }
    }
    let nothing: Vec<Vec<f64>> = evidence.iter().map(|evidence| vec![0.0; evidence.ways.len()]).collect();
    for one in live.iter_mut() {
        let mut scores = nothing.clone();
        for ((way, held), clues) in &by_held {
            let bench = benches.at(*way);
            let nets = Nets::of(bench, &one.build(bench, faults), *held);
            for ([number, place], probing, clue) in clues {
                scores[*number][*place] += libm::log(likelihood(&nets, *probing, clue));
            }
        }
        one.score += scores.into_iter().map(|ways| best(ways.into_iter())).sum::<f64>();
    }
}

/// How likely a clue of the meter is.
fn likelihood(nets: &Nets, probing: Probing, clue: &Clue) -> f64 {
    match clue {
        Clue::Reading(measurement, reading) => {
            let is_held = probing.shown(nets).holds(*reading);
            steps(nets, probing).likelihood(outcome::of(measurement.range, *reading), is_held)
        }
        Clue::Buzzer(_, sounds) => {
            let [yes, perhaps, no] = BUZZER;
            match (nets.read(Range::Ohms, probing.red, probing.black).buzz(), sounds) {
                (Buzz::Sounds, true) | (Buzz::Silent, false) => yes,
                (Buzz::Either, _) => perhaps,
                (Buzz::Sounds, false) | (Buzz::Silent, true) => no,
            }
        }
        Clue::Deed(..) => 1.0,
    }
}

/// The steps that a reading may fall into.
pub(super) fn steps(nets: &Nets, probing: Probing) -> Steps {
    outcome::reached(probing.range, probing.shown(nets))
}

/// A measurement by the numbers of its places.
pub(super) fn probing(bench: &Bench<'_>, measurement: &Measurement) -> Option<Probing> {
    let [red, black] = [measurement.red, measurement.black].map(|leg| bench.spot(leg));
    Some(Probing { range: measurement.range, red: red?, black: black? })
}

/// Whether a clue is so with some faults, in one way.
fn likely(
    benches: &Benches<'_>,
    way: usize,
    faults: &[Fault],
    one: &Hypothesis,
    clue: &Clue,
    known: &mut KnownDeeds,
) -> Result<Likely, Unbuilt> {
    let bench = benches.at(way);
    match clue {
        Clue::Reading(measurement, reading) => {
            let Some(probing) = probing(bench, measurement) else { return Ok(Likely::Perhaps) };
            let nets = Nets::of(bench, &one.build(bench, faults), measurement.held.as_deref());
            Ok(if probing.shown(&nets).holds(*reading) { Likely::Yes } else { Likely::No })
        }
        Clue::Buzzer(measurement, sounds) => {
            let Some(probing) = probing(bench, measurement) else { return Ok(Likely::Perhaps) };
            let nets = Nets::of(bench, &one.build(bench, faults), measurement.held.as_deref());
            Ok(match (nets.read(Range::Ohms, probing.red, probing.black).buzz(), sounds) {
                (Buzz::Sounds, true) | (Buzz::Silent, false) => Likely::Yes,
                (Buzz::Either, _) => Likely::Perhaps,
                (Buzz::Sounds, false) | (Buzz::Silent, true) => Likely::No,
            })
        }
        Clue::Deed(pressed, action, active) => {
            let deeds = deeds(benches, way, faults, one, pressed, known)?;
            Ok(matches(deeds.get(action).copied().unwrap_or(Some(false)), *active))
        }
    }
}

fn matches(answer: Option<bool>, active: bool) -> Likely {
    match answer {
        Some(answer) if answer == active => Likely::Yes,
        Some(_) => Likely::No,
        None => Likely::Perhaps,
    }
}

/// What the machine does with some faults, simulated once.
pub(super) fn deeds<'k>(
    benches: &Benches<'_>,
    way: usize,
    faults: &[Fault],
    one: &Hypothesis,
    pressed: &State,
    known: &'k mut KnownDeeds,
) -> Result<&'k Deeds, Unbuilt> {
    let key = (way, one.faults, pressed.clone());
    if !known.contains_key(&key) {
        let bench = benches.at(way);
        let deeds = bench.deeds_of(&one.build(bench, faults), pressed)?;
        known.insert(key.clone(), deeds);
    }
    Ok(&known[&key])
}

/// Puts the likeliest first, with a score of zero, and drops the next to impossible.
fn settle(live: &mut Vec<Hypothesis>) {
    let best = live.iter().map(|one| one.score).fold(f64::NEG_INFINITY, f64::max);
    let least = best + libm::log(DROPPED);
    live.retain(|one| one.score >= least);
    for one in live.iter_mut() {
        one.score -= best;
    }
    // Of equals the first stays first: fewer faults before more.
    live.sort_by(|one, other| other.score.total_cmp(&one.score));
}

/// What is left of what is possible, each with its weight, where a pair of faults that explains nothing better than one of
/// them alone counts with that one: nothing that was seen speaks of the other.
pub(super) fn folded(live: &[Hypothesis]) -> Vec<(usize, f64)> {
    const AS_WELL: f64 = 0.01;
    let mut weights: Vec<f64> = live.iter().map(|one| libm::exp(one.score)).collect();
    let alone = live.iter().enumerate().filter(|(_, one)| one.faults[0] != NONE && !one.is_pair());
    let alone: BTreeMap<u16, usize> = alone.map(|(at, one)| (one.faults[0], at)).collect();
    for (at, pair) in live.iter().enumerate().filter(|(_, one)| one.is_pair()) {
        let singles = pair.faults.iter().filter_map(|fault| alone.get(fault).copied());
        let as_well = singles.filter(|single| live[*single].explains() >= pair.explains() - AS_WELL);
        let best = as_well.max_by(|one, other| live[*one].score.total_cmp(&live[*other].score));
        if let Some(best) = best {
            weights[best] += weights[at];
            weights[at] = 0.0;
        }
    }
    let mut folded: Vec<(usize, f64)> =
        weights.into_iter().enumerate().filter(|(_, weight)| *weight > 0.0).collect();
    folded.sort_by(|one, other| other.1.total_cmp(&one.1));
    folded
}

/// Everything that can be measured at a lead alone.
pub(super) fn probings(bench: &Bench<'_>) -> Vec<Probing> {
    plan::probings(bench, &Nets::of(bench, &bench.good(), None))
}

/// What can be seen of a hypothesis.
pub(super) fn looks(
    benches: &Benches<'_>,
    faults: &[Fault],
    one: &Hypothesis,
    known: &mut KnownDeeds,
) -> Result<Looks, Unbuilt> {
    let mut alone = Vec::new();
    for way in benches.alone() {
        let bench = benches.at(way);
        let nets = Nets::of(bench, &one.build(bench, faults), None);
        alone.extend(probings(bench).iter().map(|probing| steps(&nets, *probing)));
    }
    if !one.faults().any(|at| is_never_seen(&faults[at])) {
        return Ok(Looks { alone, elsewhere: None });
    }
    let mut held = Vec::new();
    let mut pressed = Vec::new();
    for way in benches.all() {
        let bench = benches.at(way);
        let build = one.build(bench, faults);
        let at_port = at_port(bench);
        for control in bench.assembly().joined_controls() {
            let nets = Nets::of(bench, &build, Some(std::slice::from_ref(&control)));
            held.extend(at_port.iter().map(|probing| steps(&nets, *probing)));
            pressed
                .push(deeds(benches, way, faults, one, &std::iter::once(control).collect(), known)?.clone());
        }
    }
    Ok(Looks { alone, elsewhere: Some((held, pressed)) })
}

/// What can be measured at the port end of a lead that is plugged into its controller.
pub(super) fn at_port(bench: &Bench<'_>) -> Vec<Probing> {
    let lead = &bench.assembly().lead;
    let is_wired = |spot: &Spot| {
        let leg = bench.spots()[*spot];
        leg.end == EndId::Port && lead.joined(leg).next().is_some()
    };
    let spots: Vec<Spot> = (0..bench.spots().len()).filter(is_wired).collect();
    let pairs = spots.iter().enumerate().flat_map(|(at, red)| {
        spots.iter().skip(at + 1).map(|black| Probing { range: Range::Ohms, red: *red, black: *black })
    });
    pairs.collect()
}

/// Whether a fault is one that no meter sees at the lead alone, so that what it does must be told by the machine or by the eye.
fn is_never_seen(fault: &Fault) -> bool {
    match fault.kind() {
        FaultKind::DirtyContact | FaultKind::StuckContact | FaultKind::DeadInput | FaultKind::LegOpen => true,
        FaultKind::PartMissing | FaultKind::PartReversed => {
            let (Fault::PartMissing(id) | Fault::PartReversed(id)) = fault else { return false };
            matches!(id, solderside_lead::PartId::Chip(_) | solderside_lead::PartId::Capacitor(_))
        }
        FaultKind::OpenJoint
        | FaultKind::ThrowOpen
        | FaultKind::WeakJoint
        | FaultKind::Bridge
        | FaultKind::CableShort
        | FaultKind::Swapped
        | FaultKind::Mirrored
        | FaultKind::RowsExchanged
        | FaultKind::OneCupOff
        | FaultKind::DecadeOff => false,
    }
}
