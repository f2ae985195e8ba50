//! Leads with a hidden fault, and whether diagnosis names it.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, Leg, Setting, State};
use solderside_meter::{
    Benches, Case, Clue, Danger, Evidence, Fault, Measurement, Plan, TestKind, Weights, universe,
};
use solderside_profile::Control;

use crate::simulator::{Dice, Specimen};

/// Ten leads: wire to plain ports, to a matrix, to charge times; a pad with chips; diodes; chips on boards.
pub fn leads() -> Vec<Assembly> {
    let straight =
        |contacts: &str| contacts.split(' ').map(|at| format!("{at}-{at}")).collect::<Vec<_>>().join(" ");
    vec![
        crate::shelf::stick_to_plover(),
        crate::shelf::lead("heron-stick", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8"),
        crate::shelf::lead("heron-stick", "teal", "15-1 7-2 14-3 6-4 13-6 5-9 1-8"),
        crate::shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7"),
        crate::shelf::lead("godwit-stick", "godwit", &straight("1 2 3 4 5 6 7")),
        crate::shelf::lead("whimbrel-stick", "whimbrel", &straight("1 2 3 4 5 6 7 8 9 10 11 12 13 14 15")),
        crate::shelf::lead("bittern-pad", "bittern", &straight("1 2 3 4 5 6 7 8 9")),
        crate::shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]),
        crate::shelf::written("heron-stick-to-dunlin", &["heron-stick", "dunlin"]),
        crate::shelf::from_text(TWO_JOBS, &["heron-stick", "curlew"]),
    ]
}

/// One button with two jobs: two diodes let B play up as well.
const TWO_JOBS: &str = r#"
format = 1
kind = "lead"
controller = "heron-stick"
port = "curlew"
joins = [
    "controller.15 - port.1", "controller.7 - port.2", "controller.14 - port.3", "controller.6 - port.4",
    "controller.13 - port.6", "controller.1 - port.8", "controller.5 - d1.cathode", "controller.5 - d2.cathode",
    "d1.anode - port.1", "d2.anode - port.6",
]

[play]
up = ["up", "b"]
down = ["down"]
left = ["left"]
right = ["right"]
fire = ["a", "b"]

[part.d1]
diode = "BAT85"
sits_in = "port"

[part.d2]
diode = "BAT85"
sits_in = "port"
"#;

/// Leads that are used in several ways: one with a switch, one for two controllers.
pub fn leads_of_several_ways() -> Vec<Assembly> {
    vec![
        crate::shelf::written("heron-stick-to-plover-with-mode-switch", &["heron-stick", "plover"]),
        crate::shelf::written("heron-stick-to-curlew-with-pass-through", &["heron-stick", "curlew"]),
    ]
}

/// What the machine does when a control is pressed while the lead stands in one way, as one sentence of evidence.
fn press(benches: &Benches<'_>, way: usize, fault: &Fault, control: &Control, dice: &mut Dice) -> Evidence {
    let pressed: State = [control.clone()].into_iter().collect();
    let deeds = benches.at(way).deeds(std::slice::from_ref(fault), &pressed).unwrap();
    let clues = deeds.into_iter().map(|(action, active)| {
        let active = active.unwrap_or_else(|| dice.share() < 0.5);
        Clue::Deed(pressed.clone(), action, active)
    });
    Evidence::of(format!("{control} pressed"), clues.collect()).at(way, benches)
}

fn reading(benches: &Benches<'_>, way: usize, measurement: &Measurement, reading: f64) -> Evidence {
    let clue = Clue::Reading(measurement.clone(), reading);
    Evidence::of(format!("{measurement} reads {reading}"), vec![clue]).at(way, benches)
}

/// The evidence that a builder begins with: the plan in each way; if that finds nothing the first press that does what it
/// should not. None where neither shows anything: that lead is not dead.
fn beginning(
    benches: &Benches<'_>,
    plans: &BTreeMap<usize, Plan>,
    fault: &Fault,
    specimens: &[Specimen<'_>],
    dice: &mut Dice,
) -> Option<Vec<Evidence>> {
    let mut evidence = Vec::new();
    for (way, plan) in plans {
        let mut is_dead = false;
        for step in &plan.steps {
            let shown = specimens[*way].read(&step.measurement, dice);
            evidence.push(reading(benches, *way, &step.measurement, shown));
            let is_wrong = !step.good.holds(shown);
            is_dead |= is_wrong;
            // Nobody goes on past a short of the supply.
            if is_wrong && step.danger == Danger::SupplyShort {
                break;
            }
        }
        if is_dead {
            return Some(evidence);
        }
    }
    for way in 0..specimens.len() {
        for control in benches.at(way).assembly().joined_controls() {
            let pressed: State = [control.clone()].into_iter().collect();
            let seen = press(benches, way, fault, &control, dice);
            let good = benches.at(way).deeds(&[], &pressed).unwrap();
            let is_wrong = seen.ways[0].clues.iter().any(|clue| {
                let Clue::Deed(_, action, active) = clue else { return false };
                good.get(action).copied().flatten().is_some_and(|good| good != *active)
            });
            evidence.push(seen);
            if is_wrong {
                return Some(evidence);
            }
        }
    }
    None
}

/// How many further tests may be needed: four, and one for each line more where solder on a board joins one of many lines that
/// are alike to a place, as a reading tells of one of them at a time.
fn further_tests(fault: &Fault) -> usize {
    let is_of_a_part = |leg: &Leg| leg.part_id().is_some();
    let is_of_a_board = matches!(fault, Fault::Bridge(legs) if legs.iter().all(is_of_a_part));
    if is_of_a_board { 8 } else { 4 }
}

/// Whether the true fault is named first after at most so many further tests.
fn is_named(
    sets: &[(Setting, Assembly)],
    plans: &BTreeMap<usize, Plan>,
    weights: &Weights,
    fault: &Fault,
    seed: u64,
) -> Option<bool> {
    let benches = Benches::of(sets)?;
    let mut dice = Dice::new(seed);
    // It is one lead, whose values are the same however it stands.
    let values = Dice::new(seed.wrapping_add(1));
    let specimens: Vec<Specimen<'_>> =
        sets.iter().map(|(_, set)| Specimen::new(set, Some(fault), &mut values.clone())).collect();
    let beginning = beginning(&benches, plans, fault, &specimens, &mut dice)?;
    let mut case = Case::new(benches.clone(), weights);
    case.take(beginning).unwrap();
    for _ in 0..further_tests(fault) {
        let Some(test) = case.next_test().unwrap() else { break };
        let evidence = match test.kind {
            TestKind::Measure(measurement) => {
                let shown = specimens[test.at].read(&measurement, &mut dice);
                reading(&benches, test.at, &measurement, shown)
            }
            TestKind::Press(control) => press(&benches, test.at, fault, &control, &mut dice),
        };
        case.take(vec![evidence]).unwrap();
    }
    let explanations = case.explanations().unwrap();
    let first = explanations.first()?;
    Some(first.either.iter().any(|faults| faults.as_slice() == std::slice::from_ref(fault)))
}

/// By kind of fault: named first, of so many that show at all.
pub type Tally = BTreeMap<&'static str, [usize; 2]>;

/// Tries faults of one of the leads, drawn evenly over all that are plausible there: about so many of each lead, or all.
pub fn tally(number: usize, assembly: &Assembly, about: Option<usize>) -> Tally {
    let weights = Weights::shipped();
    let sets = assembly.sets();
    let benches = Benches::of(&sets).unwrap();
    let plans: BTreeMap<usize, Plan> =
        benches.full().into_iter().map(|way| (way, Plan::of(benches.at(way)))).collect();
    let mut faults: Vec<Fault> = Vec::new();
    for fault in (0..sets.len()).flat_map(|way| universe(benches.at(way))) {
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }
    let stride = about.map_or(1, |about| faults.len().div_ceil(about));
    let mut tally = Tally::new();
    for (at, fault) in faults.iter().enumerate().skip(number % stride).step_by(stride) {
        let seed = u64::try_from(number * 10_000 + at).unwrap();
        let Some(is_named) = is_named(&sets, &plans, &weights, fault, seed) else { continue };
        let [named, of] = tally.entry(fault.kind().as_str()).or_default();
        *named += usize::from(is_named);
        *of += 1;
    }
    tally
}
