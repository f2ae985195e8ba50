//! Networks with logic blocks, settled, against plain boolean tables and state by state.

use proptest::prelude::*;
use solderside_circuit::logic::{
    Bit, Counter, Drive, Input, Instead, Level, Logic, Memo, Numbered, Output, Register, Row, Settled,
    Settling, Table, Thresholds, Unsettled,
};
use solderside_circuit::{Diode, Node, Spread, Uncertain};
use solderside_quantity::{Amps, Kelvin, Ohms, Triple, Volts};

fn volts(low: f64, high: f64) -> Triple<Volts> {
    Triple::new(Volts::literal(low), Volts::literal(f64::midpoint(low, high)), Volts::literal(high))
        .expect("rising values")
}

fn ohms(low: f64, high: f64) -> Triple<Ohms> {
    Triple::new(Ohms::literal(low), Ohms::literal(f64::midpoint(low, high)), Ohms::literal(high))
        .expect("rising values")
}

/// Lines that a test puts to a level or leaves open, and blocks between them.
struct Board {
    network: Spread,
    logic: Logic,
}

impl Board {
    fn new() -> Self {
        Self { network: Spread::new(), logic: Logic::new() }
    }

    fn line(&mut self) -> Node {
        self.network.node()
    }

    fn input(&mut self, node: Node) -> usize {
        let thresholds =
            |low: f64, high: f64| Thresholds { low: Volts::literal(low), high: Volts::literal(high) };
        self.logic.input(Input {
            node,
            guaranteed: thresholds(1.4, 3.6),
            typical: thresholds(2.4, 2.6),
            instead: Vec::new(),
        })
    }

    fn output(&mut self, node: Node) -> usize {
        let source = |low: f64, high: f64| Uncertain::Source {
            node,
            volts: volts(low, high),
            ohms: ohms(20.0, 140.0),
        };
        let sink = Uncertain::Sink {
            node,
            to: Node::GROUND,
            offset: Triple::exactly(Volts::ZERO),
            ohms: ohms(20.0, 60.0),
            off: Triple::exactly(Ohms::literal(1e9)),
        };
        let either = Uncertain::Source { node, volts: volts(0.0, 5.25), ohms: ohms(20.0, 1e18) };
        self.logic.output(Output {
            low: vec![sink],
            high: vec![source(4.6, 5.25)],
            off: Vec::new(),
            either: vec![either],
        })
    }

    /// A gate by the outcomes of its table, the first input being the lowest digit.
    fn gate(&mut self, inputs: &[Node], output: Node, outcomes: &[bool]) {
        let row = |(at, outcome): (usize, &bool)| Row {
            asks: (0..inputs.len()).map(|input| Some(at >> input & 1 == 1)).collect(),
            does: Drive::from(Bit::from(*outcome)),
        };
        let rows: Vec<Row> = outcomes.iter().enumerate().map(row).collect();
        let table = Table::new(inputs.len(), &rows, Drive::Off).expect("it can be made");
        let inputs = inputs.iter().map(|node| self.input(*node)).collect();
        let output = self.output(output);
        self.logic.gate(table, inputs, output);
    }

    fn inverter(&mut self, from: Node, to: Node) {
        self.gate(&[from], to, &[true, false]);
    }

    /// The network with lines at levels; unknown ones are anything.
    fn with(&self, lines: &[(Node, Bit)]) -> Spread {
        let mut network = self.network.clone();
        for (node, bit) in lines {
            let (volts, ohms) = match bit {
                Bit::Low => (volts(0.0, 0.1), ohms(20.0, 60.0)),
                Bit::High => (volts(4.75, 5.25), ohms(20.0, 60.0)),
                Bit::Unknown => (volts(0.0, 5.25), ohms(20.0, 1e18)),
            };
            network.add(Uncertain::Source { node: *node, volts, ohms }).expect("it can be made");
        }
        network
    }

    fn begin(&self, lines: &[(Node, Bit)]) -> Settled {
        self.begin_from(lines, lines)
    }

    /// The first moment, after one in which the lines stood so.
    fn begin_from(&self, before: &[(Node, Bit)], lines: &[(Node, Bit)]) -> Settled {
        let [now, moving] = [self.with(lines), self.with(before)];
        let now = Numbered { number: 0, network: &now };
        let moving = Numbered { number: 1, network: &moving };
        self.logic.begin(Settling { now, moving }, &mut Memo::default()).expect("rising values")
    }

    fn next(&self, before: &Settled, was: &[(Node, Bit)], is: &[(Node, Bit)]) -> Result<Settled, Unsettled> {
        let moving: Vec<(Node, Bit)> =
            was.iter().zip(is).map(|(was, is)| (is.0, was.1.agreed(is.1))).collect();
        let [now, moving] = [self.with(is), self.with(&moving)];
        let now = Numbered { number: 0, network: &now };
        let moving = Numbered { number: 1, network: &moving };
        self.logic.next(before, Settling { now, moving }, &mut Memo::default())
    }
}

#[test]
fn a_ring_of_one_inverter_settles_at_nothing_and_is_no_hang() {
    let mut board = Board::new();
    let line = board.line();
    board.inverter(line, line);
    assert_eq!(board.begin(&[]).drives, [Drive::Unknown]);
}

#[test]
fn a_latch_of_two_gates_remembers_nothing_that_it_was_not_told() {
    // Two NANDs: with both inputs high nobody knows what it holds; with one low everybody does.
    let mut board = Board::new();
    let [set, reset, q, not_q] = [(); 4].map(|()| board.line());
    let nand = [true, true, true, false];
    board.gate(&[set, not_q], q, &nand);
    board.gate(&[reset, q], not_q, &nand);
    let high = board.begin(&[(set, Bit::High), (reset, Bit::High)]);
    assert_eq!(high.drives, [Drive::Unknown; 2]);
    let told = board.begin(&[(set, Bit::Low), (reset, Bit::High)]);
    assert_eq!(told.drives, [Drive::High, Drive::Low]);
}

/// A register of four stages whose clock is a line, directly or through gates.
fn register(board: &mut Board, clock: Node, load: Node, parallel: [Node; 4], data: Node) {
    let own = Register { stages: 4, load_level: true, load_at_clock: false };
    let serial = board.network.node();
    board
        .network
        .add(Uncertain::Source { node: serial, volts: volts(0.0, 0.1), ohms: ohms(20.0, 60.0) })
        .expect("it can be made");
    let mut inputs = vec![board.input(serial), board.input(load)];
    inputs.extend(parallel.map(|node| board.input(node)));
    inputs.push(board.input(clock));
    let output = board.output(data);
    board.logic.register(own, inputs, vec![(output, 3, false)]);
}

#[test]
fn a_register_gives_its_stages_one_by_one_at_a_direct_clock_and_at_an_inverted_one() {
    for inverted in [false, true] {
        let mut board = Board::new();
        let [clock, load, data, a, b, c, d] = [(); 7].map(|()| board.line());
        let at_register = if inverted { board.line() } else { clock };
        if inverted {
            board.inverter(clock, at_register);
        }
        register(&mut board, at_register, load, [a, b, c, d], data);
        let pressed = [Bit::Low, Bit::High, Bit::High, Bit::Low];
        let idle = if inverted { Bit::High } else { Bit::Low };
        let at = |clock_bit: Bit, load_bit: Bit| {
            let stages = [a, b, c, d].into_iter().zip(pressed);
            [(clock, clock_bit), (load, load_bit)].into_iter().chain(stages).collect::<Vec<_>>()
        };
        let mut lines = at(idle, Bit::High);
        let mut settled = board.begin(&lines);
        let mut read = Vec::new();
        let data_drive = |settled: &Settled| settled.drives[board.logic.ways().last().expect("a block").1[0]];
        for step in [at(idle, Bit::Low)]
            .into_iter()
            .chain((0..3).flat_map(|_| [at(idle.inverted(), Bit::Low), at(idle, Bit::Low)]))
        {
            settled = board.next(&settled, &lines, &step).expect("it can be made");
            lines = step;
            read.push(data_drive(&settled));
        }
        let shown: Vec<Drive> = read.iter().step_by(2).copied().collect();
        assert_eq!(shown, [Drive::Low, Drive::High, Drive::High, Drive::Low], "inverted: {inverted}");
    }
}

#[test]
fn a_clock_that_may_have_spiked_leaves_nothing_known() {
    // Clock = line AND NOT line: always low, and a spike whenever the line moves.
    let mut board = Board::new();
    let [line, inverse, clock, load, data, a, b, c, d] = [(); 9].map(|()| board.line());
    board.inverter(line, inverse);
    board.gate(&[line, inverse], clock, &[false, false, false, true]);
    register(&mut board, clock, load, [a, b, c, d], data);
    let at = |line_bit: Bit, load_bit: Bit| {
        let stages = [a, b, c, d].map(|node| (node, Bit::High));
        [(line, line_bit), (load, load_bit)].into_iter().chain(stages).collect::<Vec<_>>()
    };
    let (loaded, held, moved) = (at(Bit::Low, Bit::High), at(Bit::Low, Bit::Low), at(Bit::High, Bit::Low));
    let settled = board.begin(&loaded);
    let settled = board.next(&settled, &loaded, &held).expect("it can be made");
    assert_eq!(settled.drives.last(), Some(&Drive::High));
    let settled = board.next(&settled, &held, &moved).expect("it can be made");
    assert_eq!(settled.drives.last(), Some(&Drive::Unknown));
}

#[test]
fn counters_in_a_chain_carry_and_a_counter_that_clocks_itself_is_named() {
    let mut board = Board::new();
    let [clock, reset, first, second] = [(); 4].map(|()| board.line());
    let counter = Counter { stages: 1, counts_at: false, from_zero: false };
    for (from, to) in [(clock, first), (first, second)] {
        let inputs = vec![board.input(from), board.input(reset)];
        let output = board.output(to);
        board.logic.counter(counter, inputs, vec![(output, 0, false)]);
    }
    let at = |clock_bit: Bit, reset_bit: Bit| vec![(clock, clock_bit), (reset, reset_bit)];
    let mut lines = at(Bit::Low, Bit::High);
    let mut settled = board.begin(&lines);
    let mut shown = Vec::new();
    for step in [at(Bit::Low, Bit::Low)]
        .into_iter()
        .chain((0..4).flat_map(|_| [at(Bit::High, Bit::Low), at(Bit::Low, Bit::Low)]))
    {
        settled = board.next(&settled, &lines, &step).expect("it can be made");
        lines = step;
        shown.push(settled.drives.clone());
    }
    let counts: Vec<u8> = shown
        .iter()
        .step_by(2)
        .map(|drives| u8::from(drives[0] == Drive::High) + 2 * u8::from(drives[1] == Drive::High))
        .collect();
    assert_eq!(counts, [0, 1, 2, 3, 0]);

    let mut board = Board::new();
    let [reset, own, back] = [(); 3].map(|()| board.line());
    board.inverter(own, back);
    // It counts rising edges of its own output's opposite: each count makes the next.
    let inputs = vec![board.input(back), board.input(reset)];
    let output = board.output(own);
    let counter = Counter { stages: 1, counts_at: true, from_zero: false };
    board.logic.counter(counter, inputs, vec![(output, 0, false)]);
    let held = vec![(reset, Bit::High)];
    let settled = board.begin(&held);
    assert_eq!(settled.drives[1], Drive::Low);
    // Released, nothing moves it: its clock stands high.
    let free = vec![(reset, Bit::Low)];
    let settled = board.next(&settled, &held, &free).expect("it can be made");
    assert_eq!(settled.drives[1], Drive::Low);
}

#[test]
fn a_counter_from_zero_counts_its_first_edge_if_that_is_certain_to_be_one() {
    let shows = |counts_at: bool, from_zero: bool, before: Bit, first: Bit| {
        let mut board = Board::new();
        let [clock, reset, shown] = [(); 3].map(|()| board.line());
        let inputs = vec![board.input(clock), board.input(reset)];
        let output = board.output(shown);
        let counter = Counter { stages: 1, counts_at, from_zero };
        board.logic.counter(counter, inputs, vec![(output, 0, false)]);
        let at = |bit: Bit| [(clock, bit), (reset, Bit::Low)];
        board.begin_from(&at(before), &at(first)).drives[0]
    };
    let [falls, rises] = [false, true];
    // Wherever the line stood before, a line that is high now has not fallen.
    for before in [Bit::Low, Bit::High, Bit::Unknown] {
        assert_eq!(shows(falls, true, before, Bit::High), Drive::Low);
        assert_eq!(shows(rises, true, before, Bit::Low), Drive::Low);
        assert_eq!(shows(falls, false, before, Bit::High), Drive::Unknown);
    }
    // One that is low may have fallen just now, or stood there.
    assert_eq!(shows(falls, true, Bit::Unknown, Bit::Low), Drive::Unknown);
    assert_eq!(shows(falls, true, Bit::Low, Bit::Low), Drive::Low);
    assert_eq!(shows(falls, true, Bit::High, Bit::Low), Drive::High);
    assert_eq!(shows(rises, true, Bit::Unknown, Bit::High), Drive::Unknown);
}

/// A gate of two inputs: the lines that it reads, by number, and its table.
type Gate = ([usize; 2], [bool; 4]);

/// What each line comes to, gate by gate, in plain boolean algebra.
fn evaluate(lines: &[bool], gates: &[Gate]) -> Vec<bool> {
    let mut all = lines.to_vec();
    for ([a, b], table) in gates {
        let [a, b] = [a, b].map(|at| all[at % all.len()]);
        all.push(table[usize::from(a) + 2 * usize::from(b)]);
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What a settled network is certain of is what boolean algebra says for *every* value of the lines that are
    /// unknown; and where all are known, all is certain.
    #[test]
    fn what_is_certain_holds_for_every_completion(
        lines in prop::collection::vec(prop::sample::select(vec![Bit::Low, Bit::High, Bit::Unknown]), 3..5),
        gates in prop::collection::vec((any::<[usize; 2]>(), any::<[bool; 4]>()), 1..7),
    ) {
        let mut board = Board::new();
        let mut nodes: Vec<Node> = lines.iter().map(|_| board.line()).collect();
        for ([a, b], table) in &gates {
            let [a, b] = [a, b].map(|at| nodes[at % nodes.len()]);
            let output = board.line();
            board.gate(&[a, b], output, table);
            nodes.push(output);
        }
        let levels: Vec<(Node, Bit)> = nodes.iter().copied().zip(lines.iter().copied()).collect();
        let settled = board.begin(&levels);
        for completion in 0..1_usize << lines.len() {
            let own: Vec<bool> = (0..lines.len()).map(|at| completion >> at & 1 == 1).collect();
            if !lines.iter().zip(&own).all(|(bit, own)| bit.can_be(*own)) {
                continue;
            }
            let all = evaluate(&own, &gates);
            for (drive, level) in settled.drives.iter().zip(&all[lines.len()..]) {
                let expected = Drive::from(Bit::from(*level));
                prop_assert!(*drive == Drive::Unknown || *drive == expected);
                prop_assert!(lines.contains(&Bit::Unknown) || *drive == expected);
            }
        }
    }
}

/// By hand: 5 V over 10 kΩ into a junction that drops no more than 0.8 V at what it is asked for give 0.42 mA. Whatever
/// the junction itself, its own voltage lies between 0.3 V and 0.8 V and tells nothing of that.
#[test]
fn a_base_takes_what_is_left_over_ten_kilohms_and_no_more() {
    let level = |asked: f64| {
        let mut network = Spread::new();
        let base = network.node();
        let exactly = |value: f64| Triple::exactly(Ohms::literal(value));
        network.add(Uncertain::Source { node: base, volts: volts(5.0, 5.0), ohms: exactly(10e3) }).unwrap();
        let diode =
            |is: f64| Diode { is: Amps::literal(is), n: 1.0, rs: Ohms::ZERO, at: Kelvin::literal(298.15) };
        let [least, most] = [1e-17, 1e-9].map(diode);
        let junction = Uncertain::Diode { anode: base, cathode: Node::GROUND, least, most };
        let element = network.add(junction).unwrap();
        let amps = Triple::new(Amps::ZERO, Amps::literal(asked), Amps::literal(asked)).unwrap();
        let by = Uncertain::Current { a: base, b: Node::GROUND, amps };
        let thresholds = Thresholds { low: Volts::literal(0.3), high: Volts::literal(0.8) };
        let instead = vec![Instead { element, by }];
        let input = Input { node: base, guaranteed: thresholds, typical: thresholds, instead };
        Level::of(&network, &input).unwrap().bit
    };
    assert_eq!([0.1e-3, 0.41e-3, 0.43e-3].map(level), [Bit::High, Bit::High, Bit::Unknown]);
}
