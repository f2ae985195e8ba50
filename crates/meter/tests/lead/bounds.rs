//! What is published of the fewest tests of a bundle of wires, each for what it states, beside what two probes need.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Leg};
use solderside_meter::{Bench, Danger, Fault, Plan, PlanStep};

use crate::drawn;

/// The fewest tests of a tester that reaches all terminals at once, for opens, shorts and wiring errors: p - 1 + ⌈log2 q⌉ for
/// q clusters, the largest of p terminals (W. H. Kautz, "Testing for Faults in Wiring Networks", IEEE Transactions on
/// Computers C-23, 1974, abstract).
fn many_probes(clusters: usize, largest: usize) -> usize {
    largest - 1 + digits(clusters)
}

/// The tests of nets driven and read at once: each net has a code of its own that is neither all zeros nor all ones
/// (P. Goel and M. T. `McMahon`, "Electronic Chip-In-Place Test", International Test Conference 1982, from memory).
fn modified_counting(nets: usize) -> usize {
    digits(nets + 2)
}

/// Binary digits that tell so many things apart: ⌈log2 n⌉.
fn digits(things: usize) -> usize {
    things.next_power_of_two().trailing_zeros() as usize
}

/// The nine ways and the fifteen ways from contact to contact.
fn straight() -> [(Assembly, usize); 2] {
    let joins = |ways: usize| (1..=ways).map(|at| format!("{at}-{at}")).collect::<Vec<_>>().join(" ");
    [
        (crate::shelf::lead("bittern-pad", "bittern", &joins(9)), 9),
        (crate::shelf::lead("whimbrel-stick", "whimbrel", &joins(15)), 15),
    ]
}

/// What is one by wire.
fn net(assembly: &Assembly, leg: Leg) -> BTreeSet<Leg> {
    assembly.lead.net(leg)
}

/// Two nets, the lesser first.
fn pair(assembly: &Assembly, one: Leg, other: Leg) -> [Leg; 2] {
    let [one, other] = [one, other].map(|leg| net(assembly, leg).into_iter().min().unwrap_or(leg));
    [one.min(other), one.max(other)]
}

/// The cups between which a bridge is found.
fn bridges(plan: &Plan) -> impl Iterator<Item = [Leg; 2]> {
    plan.found.iter().filter_map(|fault| if let Fault::Bridge(cups) = fault { Some(*cups) } else { None })
}

fn isolation(plan: &Plan) -> Vec<&PlanStep> {
    plan.steps.iter().filter(|step| step.good.is_open()).collect()
}

#[test]
fn testers_with_many_probes_need_what_is_published_for_them() {
    assert_eq!([many_probes(9, 2), many_probes(15, 2), many_probes(16, 3)], [5, 5, 6]);
    assert_eq!([9, 14, 15].map(modified_counting), [4, 4, 5]);
    // As many as there are: no code is left over that is neither of the two forbidden ones.
    for nets in 1..40 {
        let digits = modified_counting(nets);
        assert!((1..(1_usize << digits) - 1).count() >= nets);
        assert!(digits == 1 || (1..(1_usize << (digits - 1)) - 1).count() < nets);
    }
}

#[test]
fn two_probes_need_more_than_many_as_they_read_one_pair_at_a_time() {
    for (assembly, ways) in straight() {
        let plan = Plan::of(&Bench::new(&assembly));
        assert!(plan.is_shortest());
        // Those bounds are no bounds of ours: one of their tests drives and reads every terminal.
        assert!(plan.steps.len() > ways);
        assert!(ways > many_probes(ways, 2).max(modified_counting(ways)));
    }
}

#[test]
fn a_conductor_for_itself_takes_one_continuity_reading_and_no_more() {
    for (assembly, ways) in straight() {
        let plan = Plan::of(&Bench::new(&assembly));
        assert_eq!(plan.steps.len() - isolation(&plan).len(), ways);
    }
}

#[test]
fn a_net_of_wire_takes_a_continuity_reading_for_every_two_of_its_loose_ends() {
    // A wire that ends nowhere else is read from its loose end, and a reading has two ends.
    for assembly in drawn::leads().filter(|assembly| assembly.lead.parts.is_empty()) {
        let plan = Plan::of(&Bench::new(&assembly));
        let legs: BTreeSet<Leg> = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).collect();
        let nets: BTreeSet<BTreeSet<Leg>> = legs.iter().map(|leg| net(&assembly, *leg)).collect();
        for net in nets {
            let loose = net.iter().filter(|leg| assembly.lead.joined(**leg).count() == 1).count();
            let is_within = |step: &&PlanStep| {
                [step.measurement.red, step.measurement.black].iter().all(|leg| net.contains(leg))
            };
            let readings = plan.steps.iter().filter(is_within).count();
            assert!(readings >= loose.div_ceil(2), "{net:?}");
        }
    }
}

#[test]
fn isolation_takes_one_reading_for_each_pair_of_nets_that_are_neighbours_somewhere() {
    let of_wire = drawn::leads().filter(|assembly| assembly.lead.parts.is_empty());
    for assembly in of_wire.chain(straight().map(|(assembly, _)| assembly)) {
        let plan = Plan::of(&Bench::new(&assembly));
        let nets = |step: &&PlanStep| pair(&assembly, step.measurement.red, step.measurement.black);
        let (first, others): (Vec<_>, Vec<_>) =
            isolation(&plan).into_iter().partition(|step| step.danger == Danger::SupplyShort);
        // Some are read in any case, at either end, whatever they are beside.
        let first: BTreeSet<[Leg; 2]> = first.iter().map(nets).collect();
        let read: Vec<[Leg; 2]> = others.iter().map(nets).collect();
        let needed = bridges(&plan).map(|[one, other]| pair(&assembly, one, other));
        let needed: BTreeSet<[Leg; 2]> = needed.filter(|pair| !first.contains(pair)).collect();
        assert_eq!(read.len(), needed.len());
        assert_eq!(read.into_iter().collect::<BTreeSet<_>>(), needed);
    }
}

#[test]
fn neighbours_are_far_fewer_than_all_pairs() {
    let between_conductors = |(assembly, _): &(Assembly, usize)| {
        let plan = Plan::of(&Bench::new(assembly));
        let is_wired = |leg: Leg| assembly.lead.joined(leg).next().is_some();
        let wired = bridges(&plan).filter(|cups| cups.iter().all(|cup| is_wired(*cup)));
        let pairs = wired.map(|[one, other]| pair(assembly, one, other));
        pairs.collect::<BTreeSet<_>>().len()
    };
    let all_pairs = |ways: usize| ways * (ways - 1) / 2;
    // Two rows of five and four: seven neighbours along them, and each of the four has two across; of eight and seven
    // likewise.
    assert_eq!(straight().each_ref().map(between_conductors), [4 + 3 + 8, 7 + 6 + 14]);
    assert_eq!([9, 15].map(all_pairs), [36, 105]);
}
