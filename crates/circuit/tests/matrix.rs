//! Small matrices of switches and diodes between columns that are pulled up and rows that are driven: full of rings.

#![expect(clippy::unwrap_used, reason = "helpers of tests")]

use proptest::prelude::*;
use solderside_circuit::{Diode, Element, Extreme, Network, Node, Spread, Uncertain};
use solderside_quantity::{Amps, Kelvin, Ohms, Triple, Volts};

const COLUMNS: usize = 3;
const ROWS: usize = 3;

/// 1N4148 between a cold and a warm room, roughly.
fn diode(is: f64, kelvin: f64) -> Diode {
    Diode { is: Amps::literal(is), n: 1.9, rs: Ohms::literal(0.6), at: Kelvin::literal(kelvin) }
}

/// What stands at a crossing.
#[derive(Debug, Clone, Copy)]
struct Crossing {
    switch: Switch,
    /// Whether the bar is towards the row; none without a diode.
    bar_at_row: Option<bool>,
}

#[derive(Debug, Clone, Copy)]
enum Switch {
    Open,
    Closed,
    Either,
}

fn crossings() -> impl Strategy<Value = Vec<Crossing>> {
    let switch = prop_oneof![2 => Just(Switch::Open), 2 => Just(Switch::Closed), 3 => Just(Switch::Either)];
    let bar = prop_oneof![6 => Just(Some(true)), 1 => Just(Some(false)), 1 => Just(None)];
    let crossing = (switch, bar).prop_map(|(switch, bar_at_row)| Crossing { switch, bar_at_row });
    proptest::collection::vec(crossing, COLUMNS * ROWS)
}

fn ohms(low: f64, high: f64) -> Triple<Ohms> {
    Triple::<Ohms>::literal(low, low, high)
}

/// The matrix, and its columns and rows: one row is low, some are let go, the others are high.
fn matrix(crossings: &[Crossing], low: usize, let_go: &[usize]) -> (Spread, Vec<Node>) {
    let mut spread = Spread::new();
    let nodes: Vec<Node> = (0..COLUMNS + ROWS).map(|_| spread.node()).collect();
    let mut source = |node: Node, volts: [f64; 2], inner: Triple<Ohms>| {
        let volts = Triple::<Volts>::literal(volts[0], volts[0], volts[1]);
        spread.add(Uncertain::Source { node, volts, ohms: inner }).unwrap();
    };
    for column in &nodes[..COLUMNS] {
        source(*column, [4.75, 5.25], ohms(4.7e3, 22e3));
    }
    for (at, row) in nodes[COLUMNS..].iter().enumerate().filter(|(at, _)| !let_go.contains(at)) {
        source(*row, if at == low { [0.0, 0.2] } else { [4.5, 5.25] }, ohms(20.0, 60.0));
    }
    for (at, crossing) in crossings.iter().enumerate() {
        let [column, row] = [nodes[at % COLUMNS], nodes[COLUMNS + at / COLUMNS]];
        let inner = spread.node();
        match crossing.switch {
            Switch::Open => {}
            Switch::Closed => {
                let closed = Uncertain::Resistor { a: column, b: inner, ohms: ohms(50.0, 1e3) };
                spread.add(closed).unwrap();
            }
            Switch::Either => {
                let either = Uncertain::Resistor { a: column, b: inner, ohms: ohms(50.0, 1e18) };
                spread.add(either).unwrap();
            }
        }
        let [least, most] = [diode(3e-10, 273.15), diode(3e-8, 313.15)];
        let element = match crossing.bar_at_row {
            Some(true) => Uncertain::Diode { anode: inner, cathode: row, least, most },
            Some(false) => Uncertain::Diode { anode: row, cathode: inner, least, most },
            None => Uncertain::Resistor { a: inner, b: row, ohms: ohms(0.1, 0.2) },
        };
        spread.add(element).unwrap();
    }
    (spread, nodes)
}

/// One network of the box; every second share picks a corner.
fn point(spread: &Spread, shares: &[f64], is_corner: bool) -> Network {
    let mut network = Network::new();
    for _ in 1..spread.typical().node_count() {
        network.node();
    }
    let mut shares = shares.iter().map(|share| if is_corner { share.round() } else { *share }).cycle();
    for element in spread.elements() {
        let mut share = || shares.next().unwrap_or(0.0);
        let mut between = |low: f64, high: f64| low * libm::pow(high / low, share());
        let element = match *element {
            Uncertain::Resistor { a, b, ohms } => {
                let ohms = Ohms::literal(between(ohms.low().get(), ohms.high().get()));
                Element::Resistor { a, b, ohms }
            }
            Uncertain::Source { node, volts, ohms } => {
                let ohms = Ohms::literal(between(ohms.low().get(), ohms.high().get()));
                let [low, high] = [volts.low().get(), volts.high().get()];
                Element::Source { node, volts: Volts::literal(low + share() * (high - low)), ohms }
            }
            Uncertain::Diode { anode, cathode, least, most } => {
                Element::Diode { anode, cathode, diode: if share() < 0.5 { least } else { most } }
            }
            Uncertain::Current { .. } | Uncertain::Sink { .. } => unreachable!("a matrix has none"),
        };
        network.add(element).unwrap();
    }
    network
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn no_point_of_a_matrix_passes_what_is_guaranteed_of_its_columns_and_rows(
        crossings in crossings(),
        low in 0..=ROWS,
        let_go in proptest::collection::vec(0..ROWS, 0..3),
        shares in proptest::collection::vec(proptest::collection::vec(0.0..=1.0f64, 61), 16),
    ) {
        let (spread, nodes) = matrix(&crossings, low, &let_go);
        let points: Vec<_> = shares.iter().enumerate()
            .filter_map(|(at, shares)| point(&spread, shares, at % 2 == 0).operating_point().ok()).collect();
        // A row that nobody drives may hang on nothing.
        prop_assert!(!points.is_empty() || !let_go.is_empty());
        for node in nodes {
            for extreme in [Extreme::Highest, Extreme::Lowest] {
                let Ok(bound) = spread.bound(node, extreme) else { continue };
                let Some(guaranteed) = bound.guaranteed.map(Volts::get) else { continue };
                for point in &points {
                    let volts = point.volts(node).get();
                    let over = if extreme == Extreme::Highest { volts - guaranteed } else { guaranteed - volts };
                    prop_assert!(over <= 1e-6, "{volts} passes {bound:?}");
                }
                if let Some(attained) = bound.attained.map(Volts::get) {
                    let over = if extreme == Extreme::Highest { attained - guaranteed } else { guaranteed - attained };
                    prop_assert!(over <= 1e-6, "{bound:?}");
                }
            }
        }
    }
}

#[test]
fn a_column_of_a_matrix_that_may_stand_any_way_is_bounded_as_by_its_own_row_alone() {
    let either = Crossing { switch: Switch::Either, bar_at_row: Some(true) };
    let mut crossings = vec![either; COLUMNS * ROWS];
    crossings[0].switch = Switch::Closed;
    let (spread, nodes) = matrix(&crossings, 0, &[]);
    let volts = spread.bound(nodes[0], Extreme::Highest).unwrap().guaranteed.unwrap().get();
    // At most 0.2 V of the row, three columns' 1.1 mA through 60 Ω, 1.1 V at the switch, and a cold diode.
    assert!((1.5..2.3).contains(&volts), "{volts}");
    // Of its rows that are driven high it sees nothing but leakage.
    let idle = spread.bound(nodes[COLUMNS + 1], Extreme::Lowest).unwrap().guaranteed.unwrap().get();
    assert!((4.4..=4.5).contains(&idle), "{idle}");
}

#[test]
fn rows_that_are_let_go_move_a_column_by_no_more_than_what_leaks_through_them() {
    let either = Crossing { switch: Switch::Either, bar_at_row: Some(true) };
    let mut crossings = vec![either; COLUMNS * ROWS];
    crossings[0].switch = Switch::Closed;
    let driven = &crossings[..COLUMNS];
    let [alone, with_rows] = [driven, &crossings].map(|crossings| {
        let (spread, nodes) = matrix(crossings, 0, &[1, 2]);
        spread.bound(nodes[0], Extreme::Highest).unwrap().guaranteed.unwrap().get()
    });
    // Two rows of three diodes leak 2 × 2 × 3 × 30 nA at most, through what a column of 22 kΩ can stand for.
    assert!((0.0..=0.36e-6 * 22e3).contains(&(with_rows - alone)), "{with_rows} {alone}");
}
