//! The plans of fifty leads drawn by chance against the fewest measurements that two solvers found outside, and against
//! their tables of what shows what, which for wire were worked out outside as well. `reference/README.md` tells how.

use solderside_meter::{Bench, Danger, Plan};

use crate::drawn;

/// One line of the record.
struct Recorded {
    digest: u64,
    faults: usize,
    measurements: usize,
    taken: usize,
    fewest: usize,
}

fn record() -> Vec<Recorded> {
    let text = include_str!("../../../../reference/meter/minima.txt");
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    let recorded = lines.enumerate().map(|(at, line)| {
        let words: Vec<&str> = line.split(' ').collect();
        let [number, digest, _, faults, measurements, taken, fewest] = words[..] else { panic!("{line}") };
        assert_eq!(number.parse(), Ok(at));
        Recorded {
            digest: u64::from_str_radix(digest, 16).unwrap(),
            faults: faults.parse().unwrap(),
            measurements: measurements.parse().unwrap(),
            taken: taken.parse().unwrap(),
            fewest: fewest.parse().unwrap(),
        }
    });
    recorded.collect()
}

#[test]
fn no_plan_of_fifty_leads_has_a_step_more_than_two_solvers_need() {
    let record = record();
    assert_eq!(record.len(), 50);
    for (number, (assembly, recorded)) in drawn::leads().zip(record).enumerate() {
        let plan = Plan::of(&Bench::new(&assembly));
        assert_eq!(plan.steps.len(), recorded.fewest, "lead {number}");
        assert!(plan.is_shortest(), "lead {number}: at least {}", plan.at_least);
        assert_eq!(plan.found.len(), recorded.faults, "lead {number}");
        let first = plan.steps.iter().take_while(|step| step.danger == Danger::SupplyShort).count();
        assert_eq!(first, recorded.taken, "lead {number}");
        assert!(plan.steps.is_sorted_by_key(|step| step.danger), "lead {number}");
        // And it is a cover: some step shows each fault.
        for fault in &plan.found {
            let mut pointers = plan.steps.iter().flat_map(|step| &step.wrong);
            assert!(pointers.any(|pointer| pointer.faults.contains(fault)), "lead {number}: {fault:?}");
        }
    }
}

#[test]
fn what_shows_which_fault_is_what_was_recorded() {
    for (number, (assembly, recorded)) in drawn::leads().zip(record()).enumerate() {
        assert_eq!(drawn::measurements(&assembly).len(), recorded.measurements, "lead {number}");
        assert_eq!(drawn::digest(&drawn::problem(&assembly)), recorded.digest, "lead {number}");
    }
}
