//! What a builder waits for: the plan, the dictionary of all pairs of faults, the next measurement.
//!
//! `cargo bench -p solderside-meter`

use divan::{Bencher, black_box};
use solderside_lead::{Assembly, Join, Leg, default_map};
use solderside_meter::{Bench, Case, Clue, Evidence, Plan, Weights};
use solderside_profile::Library;
use solderside_trade::ContactId;

fn main() {
    divan::main();
}

/// Fifteen conductors from contact to contact: an analogue stick with a keypad to its port.
fn fifteen() -> Assembly {
    let library = Library::with_shelf(Vec::new());
    let controller = library.controller("fifteen-pin-analogue-stick-with-keypad").expect("it ships");
    let port = library.port("fifteen-pin-analogue-with-keypad").expect("it ships");
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::between(controller, port, play);
    let straight = (1..=15).map(ContactId::Number);
    assembly.lead.joins =
        straight.map(|contact| Join::new(Leg::controller(contact), Leg::port(contact))).collect();
    assembly.lead.settle();
    assembly
}

/// What a good lead reads at each step of its plan, but one: there it reads so much.
fn readings(plan: &Plan, wrong: usize, reading: f64) -> Vec<Evidence> {
    let read = |(at, step): (usize, &solderside_meter::PlanStep)| {
        let value = if at == wrong { reading } else { step.good.low() };
        let clue = Clue::Reading(step.measurement.clone(), value);
        Evidence::of(step.measurement.to_string(), vec![clue])
    };
    plan.steps.iter().enumerate().map(read).collect()
}

/// The first step that is read within a conductor.
fn first_conductor(plan: &Plan) -> usize {
    plan.steps.iter().position(|step| !step.good.is_open()).unwrap_or(0)
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn plan_of_fifteen_conductors(bencher: Bencher<'_, '_>) {
    let assembly = fifteen();
    bencher.bench(|| Plan::of(&Bench::new(black_box(&assembly))).steps.len());
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn all_pairs_of_faults_over_the_plan(bencher: Bencher<'_, '_>) {
    let assembly = fifteen();
    let bench = Bench::new(&assembly);
    let plan = Plan::of(&bench);
    let readings = readings(&plan, first_conductor(&plan), f64::INFINITY);
    bencher.with_inputs(|| readings.clone()).bench_values(|readings| {
        let mut case = Case::new(&bench, &Weights::shipped());
        case.take(readings).expect("the shipped profiles can be built");
        case.evidence().len()
    });
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn next_measurement(bencher: Bencher<'_, '_>) {
    let assembly = fifteen();
    let bench = Bench::new(&assembly);
    let plan = Plan::of(&bench);
    // All that is known is one conductor that reads open.
    let first = first_conductor(&plan);
    let known = readings(&plan, first, f64::INFINITY).into_iter().skip(first).take(1).collect();
    let mut case = Case::new(&bench, &Weights::shipped());
    case.take(known).expect("the shipped profiles can be built");
    bencher.bench_local(|| case.next_test().expect("the shipped profiles can be built").is_some());
}
