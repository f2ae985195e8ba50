//! Every span holds what the whole circuit reads, wire by wire, at any values within its tolerances.

use proptest::prelude::*;
use solderside_lead::Assembly;
use solderside_profile::{Library, SourceFile};

use super::*;
use crate::universe::universe;

/// A lead with diodes into a shared line, a resistor beside a diode, and a transistor.
const PARTS: &str = r#"
format = 1
kind = "lead"
controller = "fifteen-pin-stick"
port = "nine-pin-one-fire"
joins = [
    "controller.15 - port.1", "controller.7 - port.2", "controller.14 - d1.cathode", "d1.anode - port.3",
    "controller.6 - d2.cathode", "d2.anode - port.3", "controller.13 - r1.1", "r1.2 - port.6",
    "d3.anode - port.6", "d3.cathode - controller.13", "controller.1 - port.8",
    "controller.5 - q1.base", "q1.collector - port.4", "q1.emitter - port.8", "r2.1 - port.4", "r2.2 - port.7",
]

[part.d1]
diode = "1N4148"
sits_in = "port"

[part.d2]
diode = "BAT85"
sits_in = "port"

[part.d3]
diode = "1N4148"
sits_in = "port"

[part.r1]
ohms = 470
tolerance_percent = 5
sits_in = "port"

[part.r2]
ohms = 10000
tolerance_percent = 5
sits_in = "port"

[part.q1]
transistor = "BC547"
sits_in = "port"
"#;

fn assembly() -> Assembly {
    let library = Library::with_shelf(Vec::new());
    solderside_lead::read_lead(&SourceFile::new("parts.toml", PARTS), &library)
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}

/// Each value within its tolerance by the next of a list of shares.
struct Shares(Vec<f64>, usize);

impl Shares {
    fn within(&mut self, low: f64, high: f64) -> f64 {
        let share = self.0[self.1 % self.0.len()];
        self.1 += 1;
        low + (high - low) * share
    }
}

/// What the whole circuit reads: each wire, bridge and joint as a resistor of its own. None if nothing flows, and on the
/// ohms range where a junction or a channel makes it any.
fn whole(
    bench: &Bench<'_>,
    build: &Build,
    range: Range,
    [red, black]: [Spot; 2],
    shares: &mut Shares,
) -> f64 {
    let mut network = Network::new();
    let nodes: Vec<Node> = bench.spots().iter().map(|_| network.node()).collect();
    let resistor = |network: &mut Network, a: Spot, b: Spot, ohms: f64| {
        let ohms = Ohms::new(ohms.max(1e-6)).unwrap();
        network.add(Element::Resistor { a: nodes[a], b: nodes[b], ohms }).unwrap();
    };
    for (wire, meant) in build.wires().iter().zip(bench.wires()) {
        let mut ohms = shares.within(meant.ohms.low().get(), meant.ohms.high().get());
        for joint in wire.joints {
            match joint {
                Joint::Sound => {}
                Joint::Weak(weak) => ohms += shares.within(weak.low().get(), weak.high().get()),
                Joint::Open => ohms = f64::INFINITY,
            }
        }
        if ohms.is_finite() {
            resistor(&mut network, wire.ends[0], wire.ends[1], ohms);
        }
    }
    for [a, b] in build.bridges() {
        let ohms = shares.within(0.0, BRIDGE);
        resistor(&mut network, *a, *b, ohms);
    }
    for part in bench.parts() {
        let Some(body) = build.body(part) else { continue };
        let leg = |number| bench.spot(Leg::part(part.id(), solderside_trade::ContactId::Number(number)));
        let mut soft = Vec::new();
        take_body(body, &leg, &mut soft);
        for ([a, b], law) in soft {
            match (law, range) {
                (Law::Ohms { low, high }, _) => {
                    let ohms = shares.within(low, high);
                    resistor(&mut network, a, b, ohms);
                }
                (Law::Junction { .. }, Range::Ohms) => {
                    let ohms = JUNCTION_OHMS * libm::pow(10.0, shares.within(0.0, 6.0));
                    resistor(&mut network, a, b, ohms);
                }
                (Law::Junction { least, most }, Range::Diode) => {
                    let model = if shares.within(0.0, 1.0) < 0.5 { least } else { most };
                    let element = Element::Diode { anode: nodes[a], cathode: nodes[b], diode: diode(model) };
                    network.add(element).unwrap();
                }
                (Law::Anything, _) => {}
            }
        }
    }
    let source = Element::Source { node: nodes[black], volts: Volts::ZERO, ohms: Ohms::ZERO };
    network.add(source).unwrap();
    for node in &nodes {
        let ohms = METER * if range == Range::Ohms { 1e4 } else { 1.0 };
        network.add(Element::Resistor { a: *node, b: Node::GROUND, ohms }).unwrap();
    }
    match range {
        Range::Ohms => network.thevenin(nodes[red]).unwrap().ohms.get(),
        Range::Diode => {
            let amps = Amps::new(shares.within(DIODE_AMPS[0], DIODE_AMPS[2])).unwrap();
            network.add(Element::Current { a: Node::GROUND, b: nodes[red], amps }).unwrap();
            network.operating_point().map_or(f64::INFINITY, |point| point.volts(nodes[red]).get())
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn every_span_holds_what_the_whole_circuit_reads(
        picks in prop::collection::vec(0_usize..10_000, 0..3),
        spots in prop::array::uniform2(0_usize..10_000),
        shares in prop::collection::vec(0.0..1.0_f64, 7..23),
        is_ohms in any::<bool>(),
    ) {
        let assembly = assembly();
        let bench = Bench::new(&assembly);
        let faults = universe(&bench);
        let mut build = bench.good();
        for pick in picks {
            faults[pick % faults.len()].make(&bench, &mut build);
        }
        // Places of wires, which are more often of interest than empty cups.
        let wired: Vec<Spot> = bench.wires().iter().flat_map(|wire| wire.tips).collect();
        let [red, black] = spots.map(|at| wired[at % wired.len()]);
        prop_assume!(red != black);
        let range = if is_ohms { Range::Ohms } else { Range::Diode };
        let nets = Nets::of(&bench, &build, None);
        let shown = nets.read(range, red, black).shown(range);
        let reads = whole(&bench, &build, range, [red, black], &mut Shares(shares, 0));
        let open = match range {
            Range::Ohms => crate::reading::OPEN_FROM.get(),
            Range::Diode => crate::reading::DIODE_OPEN_SURELY.get(),
        };
        let reads = if reads >= open { f64::INFINITY } else { reads };
        prop_assert!(shown.holds(reads), "{shown:?} does not hold {reads}");
    }
}

#[test]
fn a_reading_along_one_way_is_the_sum_of_what_lies_on_it() {
    let assembly = assembly();
    let bench = Bench::new(&assembly);
    let nets = Nets::of(&bench, &bench.good(), None);
    let spot = |text: &str| bench.spot(text.parse().unwrap()).unwrap();
    let read = |range: Range, red: &str, black: &str| nets.read(range, spot(red), spot(black)).told(range);
    let read = [
        read(Range::Ohms, "port.4", "port.7"),
        read(Range::Diode, "port.3", "controller.14"),
        read(Range::Diode, "controller.14", "port.3"),
        // Two diodes whose cathodes part: one conducts into the shared line, the other never lets it out.
        read(Range::Diode, "controller.14", "controller.6"),
        // A resistor beside a diode, against the diode and with it.
        read(Range::Diode, "controller.13", "port.6"),
        read(Range::Diode, "port.6", "controller.13"),
    ];
    insta::assert_debug_snapshot!(read, @r#"
    [
        "9.5 kΩ to 10.5 kΩ",
        "0.48 V to 0.75 V",
        "open",
        "open",
        "0.31 V to 0.74 V",
        "0.30 V to 0.63 V",
    ]
    "#);
}
