//! Axes, the slow and obvious way: every part at some value within its tolerance, everything else that can be moved
//! somewhere, one circuit solved exactly for each, and the time by the formula of one capacitor. No time may lie outside
//! what is proved, and no two positions on the same parts nearer to each other.

mod bench;

use solderside_circuit::{Element, Network, Node, OperatingPoint, Uncertain};
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, states};
use solderside_profile::{AxisInput, Control, Ramp};
use solderside_proof::{AxisProof, MovedBy, prove};
use solderside_quantity::{Ohms, Quantity, Seconds, Triple, Volts};

use bench::{STICK, lead};

const GAME_STICK: &str = "fifteen-pin-game-stick";
const GAME: &str = "fifteen-pin-game";
const KEYPAD_STICK: &str = "fifteen-pin-analogue-stick-with-keypad";
const KEYPAD: &str = "fifteen-pin-analogue-with-keypad";
const SIDE_BUTTONS: &str = "[play]\nfire = [\"a\"]\nsecond-fire = [\"b\"]\n";

/// Points of each lead.
const POINTS: usize = 300;

/// What a solver may be off.
const EXACT: f64 = 1e-6;

/// Numbers that look random and are the same each time.
struct Dice(u64);

impl Dice {
    /// From 0 to 1, both ends often.
    fn share(&mut self) -> f64 {
        // Marsaglia's xorshift.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        match self.0 % 10 {
            0..=3 => 0.0,
            4..=7 => 1.0,
            _ => f64::from(u32::try_from(self.0 >> 40).expect("24 bits")) / f64::from(1 << 24),
        }
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn pick<T: Quantity>(&mut self, triple: Triple<T>) -> f64 {
        self.between(triple.low().get(), triple.high().get())
    }
}

/// The parts of one lead and one machine: they stay while everything moves.
struct Parts {
    rail: f64,
    farads: f64,
    /// What the cable and the plugs add.
    beside: f64,
    series: f64,
    threshold: f64,
    track: f64,
    /// One number for each element, by its place.
    shares: Vec<f64>,
}

impl Parts {
    /// The time of one capacitor behind what feeds it.
    fn time(&self, [open, ohms]: [f64; 2]) -> f64 {
        let to = self.threshold * self.rail;
        if open <= to {
            return f64::INFINITY;
        }
        (ohms + self.series) * (self.farads + self.beside) * libm::log(open / (open - to))
    }
}

/// An axis of an assembly, as this test takes it apart.
struct Axis<'a> {
    proof: &'a AxisProof,
    input: &'a AxisInput,
    ramp: Ramp,
    circuit: &'a Circuit,
    rail: Triple<Volts>,
    node: Node,
}

impl Axis<'_> {
    /// The network at one point with the own pot at so many ohms, a source or a current put on its contact.
    fn solve(
        &self,
        parts: &Parts,
        state: &State,
        own_ohms: f64,
        dice: &mut Dice,
        draws: &[f64],
    ) -> Vec<OperatingPoint> {
        let spread = self.circuit.in_state(state);
        let mut network = Network::new();
        let count = spread.typical().node_count();
        let ohms = |ohms: f64| Ohms::new(ohms).expect("a number");
        let volts = |volts: f64| Volts::new(volts).expect("a number");
        for _ in 1..count {
            let node = network.node();
            // What no conductor reaches stands somewhere too.
            network
                .add(Element::Resistor { a: node, b: Node::GROUND, ohms: ohms(1e14) })
                .expect("an element");
        }
        let at =
            |place: usize, low: f64, high: f64| low + (high - low) * parts.shares[place % parts.shares.len()];
        for (place, element) in spread.elements().iter().enumerate() {
            let label = self.circuit.label(solderside_circuit::ElementId::at(place), state).expect("a label");
            let own = |triple: Triple<Ohms>| at(place, triple.low().get(), triple.high().get());
            let element = match *element {
                Uncertain::Resistor { a, b, ohms: triple } if label.what == "pot" => {
                    let value = if MovedBy::Pot(label.leg) == self.proof.moved_by {
                        own_ohms
                    } else {
                        dice.pick(triple)
                    };
                    Element::Resistor { a, b, ohms: ohms(value) }
                }
                Uncertain::Resistor { a, b, ohms: triple } => {
                    Element::Resistor { a, b, ohms: ohms(own(triple)) }
                }
                Uncertain::Source { .. }
                    if label.what == "what the axis charges" && label.leg == self.proof.leg =>
                {
                    continue;
                }
                // Another axis' capacitor stands anywhere meanwhile.
                Uncertain::Source { node, ohms: triple, .. } if label.what == "what the axis charges" => {
                    Element::Source {
                        node,
                        volts: volts(dice.between(0.0, parts.rail)),
                        ohms: ohms(own(triple)),
                    }
                }
                Uncertain::Source { node, volts: range, ohms: triple } => {
                    let fed = if range == self.rail {
                        parts.rail
                    } else {
                        at(place + 7, range.low().get(), range.high().get())
                    };
                    Element::Source { node, volts: volts(fed), ohms: ohms(own(triple)) }
                }
                Uncertain::Current { a, b, amps } => {
                    let amps = solderside_quantity::Amps::new(dice.pick(amps)).expect("a number");
                    Element::Current { a, b, amps }
                }
                Uncertain::Diode { .. } | Uncertain::Sink { .. } => panic!("these leads are of resistances"),
            };
            network.add(element).expect("what the box holds is an element");
        }
        let solved = draws.iter().map(|draw| {
            let mut network = network.clone();
            let amps = solderside_quantity::Amps::new(*draw).expect("a number");
            network.add(Element::Current { a: self.node, b: Node::GROUND, amps }).expect("an element");
            network.operating_point().expect("a circuit of resistances has a point")
        });
        solved.collect()
    }

    /// What feeds the capacitor at one point, and through how much.
    fn thevenin(&self, parts: &Parts, state: &State, own_ohms: f64, dice: &mut Dice) -> [f64; 2] {
        let draw = 1e-5;
        let points = self.solve(parts, state, own_ohms, dice, &[0.0, draw]);
        let [open, drawn] = [0, 1].map(|at| points[at].volts(self.node).get());
        [open, (open - drawn) / draw]
    }

    /// Takes parts for a lead.
    fn parts(&self, assembly: &Assembly, dice: &mut Dice) -> Parts {
        let MovedBy::Pot(at) = self.proof.moved_by else { panic!("a pot moves it") };
        let pot = assembly.controller_contact(at).expect("a contact");
        let solderside_profile::ControllerRole::Pot(pot) = &pot.role else { panic!("a pot") };
        Parts {
            rail: dice.pick(self.rail),
            farads: dice.pick(self.ramp.farads),
            // Two metres of cable, a cord of three, and the machine's contact.
            beside: dice.between(0.0, 0.7e-9),
            series: dice.pick(self.ramp.series),
            threshold: dice.pick(self.ramp.threshold),
            track: dice.pick(pot.ohms),
            shares: (0..61).map(|_| dice.share()).collect(),
        }
    }
}

/// Where the stick is at low, centre and high, as shares of the track.
const TRAVEL: [[f64; 2]; 3] = [[0.0, 0.01], [0.4, 0.6], [1.0, 1.0]];

fn every_time_is_within_what_is_proved(assembly: &Assembly) {
    let proof = prove(assembly).expect("the catalogue's values make a circuit");
    assert!(!proof.axes.is_empty());
    let circuit = Circuit::of(assembly, &assembly.port.steps[0], Purpose::Reading).expect("a circuit");
    let controls: Vec<Control> = assembly.joined_controls();
    let states = states(&assembly.controllers[0], &controls);
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    for axis in &proof.axes {
        let (_, input) =
            assembly.port.axes().find(|(id, _)| Leg::port(*id) == axis.leg).expect("the port's axis");
        let ramp = assembly.port.inputs[&input.input].ramp.expect("it is measured");
        let node = circuit.node(axis.leg).expect("it is joined");
        let own = Axis { proof: axis, input, ramp, circuit: &circuit, rail: assembly.port.rail, node };
        for _ in 0..POINTS {
            let parts = own.parts(assembly, &mut dice);
            let times = TRAVEL.map(|[least, most]| {
                let ohms = (parts.track * dice.between(least, most)).max(0.01);
                let at = usize::try_from(dice.0 % 97).expect("small") % states.len();
                let seen = own.thevenin(&parts, &states[at], ohms, &mut dice);
                parts.time(seen)
            });
            for (time, proved) in times.iter().zip(&axis.travel) {
                let least = proved.least.map_or(f64::INFINITY, Seconds::get);
                let most = proved.most.map_or(f64::INFINITY, Seconds::get);
                assert!(
                    (least * (1.0 - EXACT)..=most * (1.0 + EXACT)).contains(time),
                    "{}, {}: {time} s, proved {least} s to {most} s",
                    axis.axis,
                    proved.position.as_str()
                );
            }
            // On the same parts no two positions are nearer than is proved.
            let (shortest, longest) = own.input.reads;
            let read = times.map(|time| time.max(shortest.get()).min(longest.get()));
            let full = own.input.full_scale.get()
                * (parts.farads + parts.beside)
                * libm::log(1.0 / (1.0 - parts.threshold));
            let apart = axis.apart.expect("these leads are bounded");
            for (pair, proved) in read.windows(2).zip(apart) {
                let found = (pair[1] - pair[0]) / full;
                assert!(found >= proved - EXACT, "{}: {found} of the travel, proved {proved}", axis.axis);
            }
        }
    }
}

#[test]
fn of_the_sticks_on_their_own_ports_every_point_is_within() {
    let game = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7"];
    every_time_is_within_what_is_proved(&lead(&[], [GAME_STICK, GAME], game, ""));
    let keypad = ["9-9", "10-10", "11-11", "13-13", "14-14", "15-15"];
    every_time_is_within_what_is_proved(&lead(&[], [KEYPAD_STICK, KEYPAD], keypad, SIDE_BUTTONS));
}

#[test]
fn of_sticks_that_do_not_suit_the_port_every_point_is_within() {
    let crossed = ["1-8", "2-2", "3-6", "4-4", "6-3", "7-7"];
    every_time_is_within_what_is_proved(&lead(&[], [GAME_STICK, GAME], crossed, ""));
    let large = ["9-1", "10-3", "11-6", "13-2", "14-7", "15-4"];
    every_time_is_within_what_is_proved(&lead(&[], [KEYPAD_STICK, GAME], large, SIDE_BUTTONS));
    let small = ["1-9", "2-13", "3-10", "4-15", "6-11", "7-14"];
    every_time_is_within_what_is_proved(&lead(&[], [GAME_STICK, KEYPAD], small, SIDE_BUTTONS));
}

#[test]
fn of_lines_that_something_else_moves_every_point_is_within() {
    let button = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-3"];
    every_time_is_within_what_is_proved(&lead(&[], [GAME_STICK, GAME], button, ""));
    let pulled_up = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7", "2-3"];
    every_time_is_within_what_is_proved(&lead(&[], [GAME_STICK, GAME], pulled_up, ""));
    let two_pots = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-3", "7-7"];
    every_time_is_within_what_is_proved(&lead(&[], [GAME_STICK, GAME], two_pots, ""));
}

#[test]
fn of_a_feed_that_is_not_the_rail_every_point_is_within() {
    // Any voltage of a range, and one that is regulated while the rail is not.
    for volts in ["[4.0, 5.0, 5.25]", "[5.0, 5.0, 5.0]"] {
        let port = format!(
            "like = \"{KEYPAD}\"\n[contact.9]\nvolts = {volts}\nevidence = \"assumed\"\nsource = \"for this test\"\n"
        );
        let joins = ["9-9", "10-10", "11-11", "13-13", "14-14", "15-15"];
        let assembly = lead(&[("own", &port)], [KEYPAD_STICK, "own"], joins, SIDE_BUTTONS);
        every_time_is_within_what_is_proved(&assembly);
    }
}

/// The capacitor of a stick at its middle charged step by step, with the cable's capacitance in front of the machine's own
/// resistance, and with both buttons and the other stick moved in each step.
#[test]
fn a_capacitor_that_is_charged_step_by_step_while_all_else_moves_is_full_within_what_is_proved() {
    let joins = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7"];
    let assembly = lead(&[], [GAME_STICK, GAME], joins, "");
    let proof = prove(&assembly).expect("the catalogue's values make a circuit");
    let axis = &proof.axes[0];
    let (_, input) = assembly.port.axes().next().expect("an axis");
    let ramp = assembly.port.inputs[&input.input].ramp.expect("it is measured");
    let circuit = Circuit::of(&assembly, &assembly.port.steps[0], Purpose::Reading).expect("a circuit");
    let node = circuit.node(axis.leg).expect("it is joined");
    let own = Axis { proof: axis, input, ramp, circuit: &circuit, rail: assembly.port.rail, node };
    let states = states(&assembly.controllers[0], &assembly.joined_controls());
    let mut dice = Dice(7);
    for _ in 0..6 {
        let mut parts = own.parts(&assembly, &mut dice);
        parts.beside = parts.beside.max(0.2e-9);
        let ohms = parts.track * dice.between(0.4, 0.6);
        let step = 0.1e-6;
        let mut steps = 0_usize;
        let mut seen = own.thevenin(&parts, &states[0], ohms, &mut dice);
        // Discharged at the capacitor: the line stands where pot and resistance divide.
        let mut line = seen[0] * parts.series / (parts.series + seen[1]);
        let mut charged = 0.0;
        while charged < parts.threshold * parts.rail {
            if steps.is_multiple_of(50) {
                seen = own.thevenin(&parts, &states[steps / 50 % states.len()], ohms, &mut dice);
            }
            let [open, behind] = seen;
            let into = (line - charged) / parts.series;
            line += ((open - line) / behind - into) * step / parts.beside;
            charged += into * step / parts.farads;
            steps += 1;
        }
        let seconds = f64::from(u32::try_from(steps).expect("some thousands")) * step;
        let [least, most] =
            [axis.travel[1].least, axis.travel[1].most].map(|time| time.expect("a time").get());
        assert!((least - step..=most + step).contains(&seconds), "{seconds} s, proved {least} s to {most} s");
    }
}

#[test]
fn a_stick_of_switches_measures_nothing() {
    let assembly = lead(&[], [STICK, GAME], ["13-2", "1-4"], "");
    assert!(prove(&assembly).expect("a circuit").axes.is_empty());
}
