//! The sweep over a lead's switches against one exact solution for each state.

use solderside_circuit::{Element, ElementId, Network, Unsolvable, Unswept};
use solderside_lead::{Assembly, Circuit, EndId, Join, Leg, PlayMap, Purpose};
use solderside_profile::{Kind, Library, SourceFile};
use solderside_trade::ContactId;

const MICROVOLT: f64 = 1e-6;

const LEADS: usize = 300;

/// More switches than any stick and most pads have.
const MOST_SWITCHES: usize = 12;

/// The most joins of a lead, so that all its states can be solved exactly too.
const MOST_JOINS: usize = 6;

/// The catalogue's pad, whose outputs only sink, with outputs that also drive.
const DRIVING_PAD: &str = "like = \"fifteen-pin-pad-with-logic\"\n[logic]\nfamily = \"hc\"\noutput = \"push-pull\"\n\
                           supply_volts = [4.5, 5.0, 5.5]\nsupply_amps = [0.0005, 0.005, 0.01]\n";

/// Numbers that are the same in each run: the generator of Steele, Lea and Flood, "Fast splittable
/// pseudorandom number generators" (2014).
struct Random(u64);

impl Random {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        for (shift, factor) in [(30, 0xbf58_476d_1ce4_e5b9), (27, 0x94d0_49bb_1331_11eb)] {
            mixed = (mixed ^ mixed >> shift).wrapping_mul(factor);
        }
        usize::try_from((mixed ^ mixed >> 31) % bound as u64).expect("it is below the bound")
    }

    fn one_of<'t, T>(&mut self, among: &'t [T]) -> &'t T {
        &among[self.below(among.len())]
    }
}

/// A lead between two random ends with random joins between their contacts, some of them within one end.
fn assembly(random: &mut Random, library: &Library) -> Assembly {
    let named = |kind: Kind| -> Vec<String> {
        let entries = library.entries().into_iter().map(|entry| entry.name);
        entries.filter(|name| library.kind(name) == Some(kind)).collect()
    };
    let controller =
        library.controller(random.one_of(&named(Kind::Controller)).as_str()).expect("a profile of ours");
    let port = library.port(random.one_of(&named(Kind::Port)).as_str()).expect("a profile of ours");
    let mut assembly = Assembly::between(controller, port, PlayMap::default());
    let at = |end| move |contact: &ContactId| Leg { end, contact: *contact };
    let ours: Vec<Leg> = assembly.controllers[0].contacts.keys().map(at(EndId::Controller(0))).collect();
    let theirs: Vec<Leg> = assembly.port.contacts.keys().map(at(EndId::Port)).collect();
    for _ in 0..=random.below(MOST_JOINS) {
        let from = *random.one_of(&ours);
        let within = random.below(8) == 0;
        let to = *random.one_of(if within { &ours } else { &theirs });
        if from != to {
            assembly.lead.joins.push(Join::new(from, to));
        }
    }
    assembly.lead.settle();
    assembly
}

/// The network with the switches of a state closed.
fn in_state(network: &Network, switches: &[ElementId], state: u64) -> Network {
    let mut exact = Network::new();
    for _ in 1..network.node_count() {
        exact.node();
    }
    for (at, element) in network.elements().iter().enumerate() {
        let set = switches.iter().position(|id| id.index() == at).map(|bit| state >> bit & 1 == 1);
        let element = match (*element, set) {
            (Element::Switch { a, b, on, off, .. }, Some(closed)) => {
                Element::Switch { a, b, closed, on, off }
            }
            (Element::OpenCollector { node, to, offset, ohms, off, .. }, Some(on)) => {
                Element::OpenCollector { node, to, on, offset, ohms, off }
            }
            (other, _) => other,
        };
        exact.add(element).expect("it was let in before");
    }
    exact
}

/// Each node's voltage but the ground's.
fn exactly(network: &Network) -> Result<Vec<f64>, Unsolvable> {
    let point = network.operating_point()?;
    let mut again = Network::new();
    Ok((1..network.node_count()).map(|_| point.volts(again.node()).get()).collect())
}

#[test]
fn the_sweep_of_any_lead_is_one_exact_solution_for_each_state() {
    let shelf = vec![SourceFile::new(
        "driving-pad.toml",
        format!("format = 1\nkind = \"controller\"\n{DRIVING_PAD}"),
    )];
    let library = Library::with_shelf(shelf);
    let mut random = Random(3);
    let (mut states, mut with_diodes, mut worst) = (0, 0, 0.0_f64);
    let mut taken = 0;
    while taken < LEADS {
        let assembly = assembly(&mut random, &library);
        let step = random.one_of(&assembly.port.steps);
        let purpose = *random.one_of(&[Purpose::Reading, Purpose::Limits]);
        let circuit = Circuit::of(&assembly, step, purpose).expect("profiles of ours make a circuit");
        let (network, switches) = circuit.with_switches();
        // A keypad's states are too many for one exact solution each.
        if switches.len() > MOST_SWITCHES {
            continue;
        }
        taken += 1;
        let switches: Vec<ElementId> = switches.into_iter().map(|(_, _, id)| id).collect();
        let bent = network.elements().iter().any(|element| matches!(element, Element::Diode { .. }));
        let mut seen = 0;
        let swept = network.sweep(&switches, |state, volts| {
            assert_eq!(state, seen, "the states come in rising order");
            seen += 1;
            let exact = exactly(&in_state(&network, &switches, state)).expect("the sweep has solved it");
            for (volts, exact) in volts.iter().zip(exact) {
                worst = worst.max((volts - exact).abs());
            }
        });
        match swept {
            Ok(()) => {
                assert_eq!(seen, 1 << switches.len(), "each state comes once");
                states += seen;
                with_diodes += usize::from(bent && seen > 1);
            }
            Err(Unswept::Unsolvable { state, why }) => {
                assert_eq!(exactly(&in_state(&network, &switches, state)), Err(why));
            }
            Err(other) => panic!("{other}"),
        }
    }
    assert!(worst <= MICROVOLT, "{worst}");
    assert!(states > 5000 && with_diodes > 40, "too few to say anything: {states} {with_diodes}");
}
