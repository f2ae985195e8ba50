//! The proof in cases against the proof state by state, on random small leads.
//!
//! The oracle is this crate with every case a single state, which leaves nothing of the search but a loop. For limits
//! there is another in `points`: it solves single points of the box, and knows nothing of bounds.

mod matrices;
mod points;

#[path = "../tests/bench/mod.rs"]
mod bench;
#[path = "../tests/bench/panel.rs"]
mod panel;

use std::fmt::Write as _;

use proptest::prelude::*;
use solderside_lead::{Assembly, Body, Circuit, EndId, Join, Leg, Part, PartId, Purpose, Resistor};
use solderside_profile::Action;
use solderside_quantity::Ohms;
use solderside_trade::{ContactId, DiodePart, TransistorPart};

use bench::{STICK, lead};

use crate::cases::Moving;
use crate::code::Code;
use crate::finding::Verdict;
use crate::prove::{Proof, prove_over};
use crate::readings::{Side, margins_of, samples_of};

/// A random small shelf with a lead.
#[derive(Debug, Clone)]
struct Shelf {
    controller: String,
    port: String,
    joins: Vec<String>,
    play: &'static str,
    /// The contacts of the controller and of the port between which a diode sits, its bar at the port.
    diode: Option<(u8, u8)>,
    /// The contacts of the controller and of the port between which a resistor sits, and its value.
    resistor: Option<(u8, u8, f64)>,
    /// What a transistor is, the contact of the port that feeds its base, through how much, and those of its collector
    /// and its emitter.
    transistor: Option<(TransistorPart, u8, f64, [u8; 2])>,
}

impl Shelf {
    fn assembly(&self) -> Assembly {
        let files = [("controller", self.controller.as_str()), ("port", self.port.as_str())];
        let joins = self.joins.iter().map(String::as_str);
        let mut assembly = lead(&files, ["controller", "port"], joins, self.play);
        if let Some((ours, theirs)) = self.diode {
            let id = PartId::Diode(1);
            let body = Body::Diode(DiodePart::Silicon1N4148);
            assembly.lead.parts.push(Part { number: 1, body, sits: EndId::Port });
            let [ours, theirs] = [ours, theirs].map(ContactId::Number);
            assembly.lead.joins.extend([
                Join::new(Leg::controller(ours), Leg::part(id, PartId::ANODE)),
                Join::new(Leg::part(id, PartId::CATHODE), Leg::port(theirs)),
            ]);
        }
        if let Some((ours, theirs, ohms)) = self.resistor {
            let id = PartId::Resistor(1);
            assembly.lead.parts.push(Part { number: 1, body: resistor_of(ohms), sits: EndId::Port });
            let [ours, theirs] = [ours, theirs].map(ContactId::Number);
            assembly.lead.joins.extend([
                Join::new(Leg::controller(ours), Leg::part(id, PartId::ANODE)),
                Join::new(Leg::part(id, PartId::CATHODE), Leg::port(theirs)),
            ]);
        }
        if let Some((part, feeds, ohms, [collector, emitter])) = self.transistor {
            let [body, base] = [Body::Transistor(part), resistor_of(ohms)];
            let (own, number) = (body.id(1), 2);
            assembly.lead.parts.push(Part { number: 1, body, sits: EndId::Port });
            assembly.lead.parts.push(Part { number, body: base, sits: EndId::Port });
            let port = |contact| Leg::port(ContactId::Number(contact));
            assembly.lead.joins.extend([
                Join::new(port(feeds), Leg::part(base.id(number), PartId::ANODE)),
                Join::new(Leg::part(base.id(number), PartId::CATHODE), Leg::part(own, PartId::BASE)),
                Join::new(Leg::part(own, PartId::COLLECTOR), port(collector)),
                Join::new(Leg::part(own, PartId::EMITTER), port(emitter)),
            ]);
        }
        assembly.lead.settle();
        assembly
    }
}

fn resistor_of(ohms: f64) -> Body {
    Body::Resistor(Resistor { ohms: Ohms::literal(ohms), tolerance: Resistor::COMMON_TOLERANCE })
}

const CONTROLS: [&str; 6] = ["up", "down", "left", "a", "b", "c"];
const ACTIONS: [&str; 5] = ["up", "down", "left", "fire", "second-fire"];

/// What the controller is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Inside {
    Switches,
    Resistors,
    OpenDrain,
    PushPull,
    /// Chips for `a` and `b` alone.
    Mixed,
}

fn controller(inside: Inside, gate: &str, switch: &str, two_commons: bool) -> String {
    let mut text = format!(
        "format = 1\nkind = \"controller\"\nconnector = \"DA-15 plug\"\nswitch = \"{switch}\"\ngate = \"{gate}\"\n\
         fire_order = [\"a\", \"b\", \"c\"]\n"
    );
    if inside == Inside::Resistors {
        text += "series_ohms = [400, 470, 520]\n";
    }
    text += "[contact.8]\nrole = \"common\"\n";
    if two_commons {
        text += "[contact.9]\nrole = \"common\"\n";
    }
    for (at, control) in CONTROLS.into_iter().enumerate() {
        let _ = write!(text, "[contact.{}]\ncontrol = \"{control}\"\n", at + 1);
        if two_commons {
            let _ = writeln!(text, "closes_to = {}", if at < 3 { 8 } else { 9 });
        }
    }
    let output = match inside {
        Inside::Switches | Inside::Resistors => return text,
        Inside::OpenDrain => "output = \"open-drain\"",
        Inside::PushPull => "output = \"push-pull\"",
        Inside::Mixed => "output = \"open-drain\"\ndrives = [\"a\", \"b\"]",
    };
    let _ = write!(
        text,
        "[contact.15]\nrole = \"supply\"\n[logic]\nfamily = \"hc\"\n{output}\nsupply_volts = [4.5, 5.0, 5.5]\n\
         supply_amps = [0.0005, 0.005, 0.01]\n"
    );
    text
}

fn port(family: &str, pull_up: u32, driven: [Option<&str>; 2], steps: &str, amps_max: f64) -> String {
    let mut text = format!(
        "format = 1\nkind = \"port\"\nconnector = \"DA-15 socket\"\nrail_volts = [4.75, 5.0, 5.25]\n\
         fire_order = [\"fire\", \"second-fire\"]\n{steps}\
         [input.line]\nfamily = \"{family}\"\npull_up_ohms = [{}, {pull_up}, {}]\n",
        pull_up / 2,
        pull_up * 2
    );
    for (at, action) in ACTIONS.into_iter().enumerate() {
        let _ = write!(text, "[contact.{}]\naction = \"{action}\"\n", at + 1);
        if let Some(levels) = at.checked_sub(3).and_then(|at| driven[at]) {
            let _ = writeln!(text, "driven = \"{levels}\"");
        }
    }
    let _ = write!(
        text,
        "[contact.8]\nrole = \"return\"\n[contact.9]\nrole = \"drive\"\n\
         [contact.15]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\namps_max = {amps_max:?}\n"
    );
    text
}

const ONE_STEP: &str = "";
const STROBED: &str = "[[step]]\nname = \"low\"\ndrive = { 9 = \"low\" }\n\
     [[step]]\nname = \"high\"\ndrive = { 9 = \"high\" }\nsample = [\"up\", \"fire\"]\n";
const QUIET: &str = "[[step]]\nname = \"read\"\ndrive = { 9 = \"low\" }\n\
     [[step]]\nname = \"rest\"\ndrive = { 9 = \"high\" }\nquiet = [\"up\", \"fire\"]\n";
const HELD: &str = "[[step]]\nname = \"read\"\n[[step]]\nname = \"typed\"\nheld = [\"left\"]\nsample = [\"up\", \"down\", \"fire\"]\n";

fn shelves() -> impl Strategy<Value = Shelf> {
    let inside = prop_oneof![
        4 => Just(Inside::Switches),
        2 => Just(Inside::Resistors),
        2 => Just(Inside::OpenDrain),
        1 => Just(Inside::PushPull),
        2 => Just(Inside::Mixed),
    ];
    let gate = prop_oneof![Just("none"), Just("eight-way")];
    let switch = prop_oneof![Just("microswitch"), Just("carbon-dome")];
    let controller = (inside, gate, switch, any::<bool>()).prop_map(|(inside, gate, switch, apart)| {
        controller(inside, gate, switch, apart && inside == Inside::Switches)
    });
    let family = prop_oneof![Just("nmos-port"), Just("ttl"), Just("hc"), Just("sound-port")];
    let pull_up = prop_oneof![Just(400_u32), Just(1000), Just(5000), Just(50_000)];
    let steps = prop_oneof![3 => Just(ONE_STEP), 1 => Just(STROBED), 1 => Just(QUIET), 1 => Just(HELD)];
    let amps = prop_oneof![Just(0.05), Just(0.002)];
    let levels = prop_oneof![2 => Just(None), 1 => Just(Some("low")), 1 => Just(Some("both"))];
    let driven = [levels.clone(), levels];
    let port = (family, pull_up, driven, steps, amps)
        .prop_map(|(family, pull_up, driven, steps, amps)| port(family, pull_up, driven, steps, amps));
    // Mostly the plain lead, with a few joins left out and a few strange ones put in.
    let plain = ["1-1", "2-2", "3-3", "4-4", "5-5", "8-8", "9-8", "15-15"];
    let kept = proptest::collection::vec(proptest::bool::weighted(0.85), plain.len());
    let ours = prop_oneof![3 => 1..=6_u8, 1 => Just(8), 1 => Just(9)];
    let theirs = prop_oneof![3 => 1..=5_u8, 1 => Just(8), 1 => Just(9), 1 => Just(15)];
    let strange = proptest::collection::vec((ours, theirs), 0..3);
    let doubled =
        prop_oneof![Just(""), Just("[play]\nfire = [\"a\", \"b\"]\nsecond-fire = [\"b\", \"c\"]\n")];
    let diodes = proptest::option::weighted(0.3, (1..=6_u8, 1..=5_u8));
    let ours = prop_oneof![2 => 1..=6_u8, 1 => Just(8), 1 => Just(15)];
    let theirs = prop_oneof![1 => 1..=5_u8, 1 => Just(8), 1 => Just(9), 1 => Just(15)];
    let value = prop_oneof![Just(10.0), Just(100.0), Just(470.0)];
    let resistors = proptest::option::weighted(0.3, (ours, theirs, value));
    (controller, port, kept, strange, doubled, diodes, resistors).prop_map(
        move |(controller, port, kept, strange, play, diode, resistor)| {
            let mut joins: Vec<String> = plain
                .iter()
                .zip(kept)
                .filter(|(_, kept)| *kept)
                .map(|(join, _)| (*join).to_owned())
                .collect();
            joins.extend(strange.into_iter().map(|(ours, theirs)| format!("{ours}-{theirs}")));
            joins.sort();
            joins.dedup();
            Shelf { controller, port, joins, play, diode, resistor, transistor: None }
        },
    )
}

/// A plain lead that keeps every limit, with a transistor, mostly where it belongs.
fn shelves_with_transistors() -> impl Strategy<Value = Shelf> {
    let feeds = prop_oneof![1 => 1..=5_u8, 3 => Just(15)];
    let ohms = prop_oneof![Just(150.0), Just(470.0), Just(10_000.0)];
    let collector = prop_oneof![4 => 1..=5_u8, 1 => Just(15)];
    let emitter = prop_oneof![4 => Just(8_u8), 1 => Just(15)];
    let part = proptest::sample::select(TransistorPart::ALL.to_vec());
    (part, feeds, ohms, collector, emitter).prop_map(|(part, feeds, ohms, collector, emitter)| Shelf {
        controller: controller(Inside::Switches, "none", "microswitch", false),
        port: port("hc", 5000, [None; 2], ONE_STEP, 0.05),
        joins: ["1-1", "2-2", "3-3", "4-4", "5-5", "8-8"].map(str::to_owned).into(),
        play: "",
        diode: None,
        resistor: None,
        transistor: Some((part, feeds, ohms, [collector, emitter])),
    })
}

fn both(assembly: &Assembly) -> [Proof; 2] {
    let moving = Moving::of(assembly);
    let fast = prove_over(assembly, &moving).expect("the values make a circuit");
    let slow = prove_over(assembly, &moving.one_by_one()).expect("the values make a circuit");
    [fast, slow]
}

/// What rounding may do to a voltage.
const EXACT: f64 = 1e-6;

/// How far each side of each action stays on the right side of its threshold.
fn margins(proof: &Proof) -> Vec<f64> {
    let worst = proof.actions.iter().flat_map(|action| [&action.active, &action.idle]);
    worst.map(|worst| worst.as_ref().map_or(f64::NEG_INFINITY, |worst| worst.margin.get())).collect()
}

/// State by state what does occur.
struct Occurring {
    /// The smallest margin that is attained, in the same order.
    margins: Vec<f64>,
    /// Whether every state's bound is attained.
    is_exact: bool,
}

fn occurring(assembly: &Assembly) -> Occurring {
    let moving = Moving::of(assembly);
    let actions = assembly.port.actions();
    let mut found = Occurring { margins: vec![f64::INFINITY; 2 * actions.len()], is_exact: true };
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Reading).expect("the values make a circuit");
        for state in moving.states(moving.len()) {
            let [pressed, _] = moving.controls(&state);
            let network = circuit.in_state(&pressed);
            for sample in samples_of(assembly, &pressed, step) {
                let of_action = actions.iter().position(|action| *action == sample.action);
                let side = usize::from(sample.side == Side::Idle);
                let at = 2 * of_action.expect("a sample is of an action") + side;
                if let Some([attained, guaranteed]) = margins_of(assembly, &circuit, &network, &sample) {
                    found.is_exact &= attained <= guaranteed;
                    found.margins[at] = found.margins[at].min(attained);
                }
            }
        }
    }
    found
}

/// A panel of ten loose buttons, 2¹⁰ states, with joins left out and strange ones put in.
fn panels() -> impl Strategy<Value = Assembly> {
    let kept = proptest::collection::vec(proptest::bool::weighted(0.9), BUTTONS);
    let contact = prop_oneof![5 => 1..=10_u8, 1 => Just(26)];
    let strange = proptest::collection::vec((contact.clone(), contact), 0..3);
    (kept, strange).prop_map(|(kept, strange)| {
        let mut assembly = panel::panel(BUTTONS);
        let mut kept = kept.into_iter();
        // The common, the last, always stays.
        assembly.lead.joins.retain(|_| kept.next().unwrap_or(true));
        assembly.lead.joins.extend(strange.into_iter().map(|(ours, theirs)| {
            let [ours, theirs] = [ours, theirs].map(ContactId::Number);
            Join::new(Leg::controller(ours), Leg::port(theirs))
        }));
        assembly.lead.joins.sort();
        assembly.lead.joins.dedup();
        assembly
    })
}

const BUTTONS: usize = 10;

/// Holds the proof in cases against that of every state.
fn agree(assembly: &Assembly) -> Result<(), TestCaseError> {
    let [fast, slow] = both(assembly);
    prop_assert_eq!(fast.operating_points, slow.operating_points);
    for (fast, slow) in fast.loads.iter().zip(&slow.loads) {
        // Told is the way that comes nearest to its limit.
        let share = |load: &crate::loads::Load| load.amps.get() / load.limit.get();
        prop_assert!(share(fast) <= share(slow) + 1e-9, "{:?} {:?}", fast, slow);
    }
    let occurring = occurring(assembly);
    for (told, occurs) in margins(&fast).into_iter().zip(&occurring.margins) {
        prop_assert!(told <= *occurs + EXACT, "{} {}", told, occurs);
    }
    // What nothing bounds in one state, a case round it may bound.
    let is_open = slow.findings.iter().any(|finding| finding.code == Code::DriveUnproved);
    if occurring.is_exact && !is_open {
        prop_assert_eq!(fast.verdict, slow.verdict);
        prop_assert_eq!(&fast.findings, &slow.findings);
        prop_assert_eq!(&fast.truth, &slow.truth);
        prop_assert_eq!(&fast.actions, &slow.actions);
        prop_assert_eq!(&fast.holds_for, &slow.holds_for);
    } else {
        // A state's own bound is wider then than what occurs, and may be wider than that of a case round it:
        // the proof in cases may know better.
        prop_assert!(fast.verdict <= slow.verdict, "{} {}", fast.verdict, slow.verdict);
        // How far a lead is off that is open anyhow is not looked for much further.
        let compared = if fast.verdict < Verdict::Unproved { margins(&fast) } else { Vec::new() };
        for (fast, slow) in compared.into_iter().zip(margins(&slow)) {
            prop_assert!(fast >= slow - EXACT, "{} {}", fast, slow);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn a_proof_in_cases_is_that_of_every_state(shelf in shelves()) {
        agree(&shelf.assembly())?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, max_shrink_iters: 20, ..ProptestConfig::default() })]

    #[test]
    fn a_proof_of_ten_loose_buttons_is_that_of_all_their_states(assembly in panels()) {
        agree(&assembly)?;
    }
}

#[test]
fn a_plain_lead_of_the_catalogue_is_proved_alike() {
    let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"];
    let [fast, slow] = both(&lead(&[], [STICK, "nine-pin-one-fire"], joins, ""));
    assert_eq!(fast, slow);
}

/// Found by chance: no control plays `down`, and a diode leaves open where its line stands.
#[test]
fn a_line_that_nothing_bounds_may_read_in_every_state() {
    let shelf = Shelf {
        controller: controller(Inside::Switches, "none", "microswitch", true),
        port: port("nmos-port", 400, [None; 2], HELD, 0.05),
        joins: ["2-2", "4-9", "8-8"].map(str::to_owned).into(),
        play: "[play]\nfire = [\"a\", \"b\"]\nsecond-fire = [\"b\", \"c\"]\n",
        diode: Some((4, 2)),
        resistor: None,
        transistor: None,
    };
    for proof in both(&shelf.assembly()) {
        for row in &proof.truth {
            assert!(row.reads.iter().map(Action::as_str).eq(["down"]), "{:?}", row.pressed);
        }
    }
    agree(&shelf.assembly()).unwrap();
}
