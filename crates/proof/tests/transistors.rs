//! Transistors as switches in leads, against boolean algebra and against the equations of Ebers and Moll.

#[path = "bench/picture.rs"]
mod picture;

use std::fmt::Write as _;

use picture::{catalogue_lead, compare, told};
use solderside_lead::{Assembly, read_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{Code, Finding, Proof, Severity, Verdict, prove};
use solderside_trade::Evidence;

const STICK: &str = "fifteen-pin-stick";
const ONE_FIRE: &str = "nine-pin-one-fire";
const ACTIVE_HIGH: &str = "nine-pin-active-high";
const SCANNED: &str = "nine-pin-scanned-returns-supply-on-7";

/// Joins to a plain port of one fire, all but that of the fire.
const PLAIN: &str = "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8";

/// The `[part]` tables of parts written `r1=4700 q1=BC547`.
fn parts(text: &str) -> String {
    let mut tables = String::new();
    for part in text.split_whitespace() {
        let (name, value) = part.split_once('=').expect("a part is written a=b");
        let (key, quote) = match name.as_bytes()[0] {
            b'r' => ("ohms", ""),
            b'c' => ("farads", ""),
            b'u' => ("chip", "\""),
            _ => ("transistor", "\""),
        };
        let _ = writeln!(tables, "[part.{name}]\n{key} = {quote}{value}{quote}");
    }
    tables
}

fn proved(port: &str, joins: &str, play: &str, with: &str) -> (Assembly, Proof) {
    let assembly = catalogue_lead(STICK, port, joins, &format!("{play}{}", parts(with)));
    let proof = prove(&assembly).expect("a circuit");
    (assembly, proof)
}

fn finding<'p>(proof: &'p Proof, code: Code, leg: &str) -> &'p Finding {
    let is_it =
        |finding: &&Finding| finding.code == code && finding.legs.iter().any(|own| own.to_string() == leg);
    proof.findings.iter().find(is_it).unwrap_or_else(|| panic!("no {code} at {leg}:\n{}", told(proof)))
}

/// A button that closes to ground, on a port whose lines are active high: an NPN pulls the line low until it is pressed.
fn inverter(base: u32) -> (Assembly, Proof) {
    proved(
        ACTIVE_HIGH,
        "c1=p8 c13=r1.1 r1.2=p5 c13=r2.1 r2.2=q1.base q1.emitter=p8 q1.collector=p6 r3.1=p6 r3.2=p5",
        "[play]\nfire = [\"a\"]\n",
        &format!("r1=4700 r2={base} r3=1000 q1=BC547"),
    )
}

/// The common of a stick, pulled low by the second of two transistors while its row is held low.
fn behind_a_row(joins: &str, with: &str) -> Assembly {
    let stick = "c15=p1 c7=p2 c14=p3 c6=p4 c13=p6";
    let mut assembly = catalogue_lead(STICK, SCANNED, &format!("{stick} {joins}"), &parts(with));
    // Where a key is held, a floating common shorts lines together, as in every lead to such a port.
    assembly.port.steps.retain(|step| step.held.is_empty());
    assembly
}

fn leads() -> Vec<(&'static str, Assembly)> {
    let (inverted, _) = inverter(4700);
    let (twice, _) = proved(
        ONE_FIRE,
        &format!(
            "{PLAIN} c13=r1.1 r1.2=p7 c13=r2.1 r2.2=q1.base q1.emitter=p8 q1.collector=q2.base \
             r3.1=q1.collector r3.2=p7 q2.emitter=q1.emitter q2.collector=p6"
        ),
        "",
        "r1=4700 r2=10000 r3=4700 q1=BC547 q2=BC547",
    );
    let (high_side, _) = proved(
        ACTIVE_HIGH,
        "c1=p8 c13=r2.1 r2.2=q1.base r3.1=q1.base r3.2=q1.emitter q1.emitter=p5 q1.collector=p6 \
         c5=r4.1 r4.2=q2.base r5.1=q2.base r5.2=q2.emitter q2.emitter=q1.emitter q2.collector=p9",
        "[play]\nfire = [\"a\"]\nsecond-fire = [\"b\"]\n",
        "r2=10000 r3=10000 r4=10000 r5=10000 q1=BC557 q2=BC557",
    );
    let bipolar = behind_a_row(
        "p8=r1.1 r1.2=p7 p8=r2.1 r2.2=q1.base r5.1=q1.base r5.2=q1.emitter q1.emitter=p5 r3.1=p7 r3.2=q1.collector \
         r4.1=q1.collector r4.2=q2.base q2.emitter=q1.emitter q2.collector=c1",
        "r1=4700 r2=10000 r3=4700 r4=4700 r5=10000 q1=BC547 q2=BC547",
    );
    let mosfets = behind_a_row(
        "p8=r1.1 r1.2=p7 p8=m1.gate m1.source=p5 r3.1=p7 r3.2=m1.drain m2.gate=m1.drain m2.source=p5 m2.drain=c1",
        "r1=10000 r3=4700 m1=2N7000 m2=2N7000",
    );
    vec![
        ("an NPN inverter on an active-high port", inverted),
        ("a button through two inverters", twice),
        ("PNPs at the supply", high_side),
        ("an open collector on a scanned return", bipolar),
        ("an open drain on a scanned return", mosfets),
    ]
}

#[test]
fn leads_with_transistors_read_in_every_state_what_boolean_algebra_says() {
    for (name, assembly) in leads() {
        let proof = prove(&assembly).expect("a circuit");
        assert_eq!(proof.verdict, Verdict::Works, "{name}:\n{}", told(&proof));
        let compared = compare(name, &assembly, &proof);
        assert!(compared >= 2, "{name}: {compared} states");
    }
}

/// Common practice, no source; by hand, at the worst of all values: the collector carries up to 5.25 V / 950 Ω = 5.5 mA.
/// A base behind 4.7 kΩ and 10 kΩ takes (4.75 V − 0.9 V) / 15.4 kΩ = 0.25 mA, which closes it for 5.0 mA and no more;
/// with 4.7 kΩ and 4.7 kΩ it takes 0.39 mA, for 7.8 mA; with 47 kΩ 0.07 mA, for 1.4 mA.
#[test]
fn a_transistor_is_closed_when_its_base_takes_a_twentieth_of_its_collectors_current() {
    let (_, strong) = inverter(4700);
    assert_eq!(strong.verdict, Verdict::Works, "{}", told(&strong));
    for base in [10_000, 47_000] {
        let (_, weak) = inverter(base);
        assert_eq!(weak.verdict, Verdict::Fails, "{}", told(&weak));
        finding(&weak, Code::ReadMissed, "q1.base");
    }
}

#[test]
fn a_pressed_switch_behind_one_inverter_reads_as_released() {
    let (assembly, proof) = proved(
        ONE_FIRE,
        &format!("{PLAIN} c13=r1.1 r1.2=p7 c13=r2.1 r2.2=q1.base q1.emitter=p8 q1.collector=p6"),
        "",
        "r1=4700 r2=10000 q1=BC547",
    );
    assert_eq!(proof.verdict, Verdict::Fails, "{}", told(&proof));
    finding(&proof, Code::ReadGhost, "port.6");
    finding(&proof, Code::ReadMissed, "port.6");
    assert!(compare("one inverter", &assembly, &proof) >= 18);
}

#[test]
fn a_base_on_a_supply_without_a_resistor_is_harmed() {
    let (_, proof) =
        proved(ONE_FIRE, &format!("{PLAIN} q1.base=p7 q1.emitter=p8 q1.collector=p6"), "", "q1=BC547");
    assert_eq!(proof.verdict, Verdict::Harms, "{}", told(&proof));
    assert_eq!(finding(&proof, Code::PowerHotPart, "q1.base").severity, Severity::Harm);
}

#[test]
fn a_base_that_nothing_holds_is_told_with_its_leg() {
    let (_, proof) = proved(
        ONE_FIRE,
        &format!("{PLAIN} c13=r2.1 r2.2=q1.base q1.emitter=p8 q1.collector=p6"),
        "",
        "r2=10000 q1=BC547",
    );
    assert_eq!(finding(&proof, Code::ReadFloating, "q1.base").severity, Severity::Fail);
    assert!(!proof.verdict.is_sound());
}

#[test]
fn a_gate_that_nothing_holds_is_told_with_its_leg() {
    let (_, proof) =
        proved(ONE_FIRE, &format!("{PLAIN} c13=m1.gate m1.source=p8 m1.drain=p6"), "", "m1=2N7000");
    assert!(!proof.verdict.is_sound(), "{}", told(&proof));
    let of_gate =
        proof.findings.iter().any(|finding| finding.legs[..1].iter().any(|leg| leg.to_string() == "m1.gate"));
    assert!(of_gate, "{}", told(&proof));
}

#[test]
fn a_transistor_that_is_turned_round_fails() {
    for (joins, with, leg) in [
        (
            "c13=r1.1 r1.2=p7 c13=r2.1 r2.2=q1.base q1.collector=p8 q1.emitter=p6",
            "r1=4700 r2=10000 q1=BC547",
            "q1.collector",
        ),
        ("c13=r1.1 r1.2=p7 c13=m1.gate m1.drain=p8 m1.source=p6", "r1=4700 m1=2N7000", "m1.drain"),
    ] {
        let (_, proof) = proved(ONE_FIRE, &format!("{PLAIN} {joins}"), "", with);
        assert_eq!(proof.verdict, Verdict::Fails, "{}", told(&proof));
        assert_eq!(finding(&proof, Code::BuildTurnedRound, leg).severity, Severity::Fail);
    }
}

#[test]
fn a_transistor_whose_emitter_the_machine_drives_is_unproved() {
    let joins = "p7=r1.1 r1.2=q1.base q1.emitter=p8 q1.collector=c1";
    let assembly = behind_a_row(joins, "r1=10000 q1=BC547");
    let proof = prove(&assembly).expect("a circuit");
    assert_eq!(proof.verdict, Verdict::Unproved, "{}", told(&proof));
    finding(&proof, Code::DriveUnproved, "q1.emitter");
}

#[test]
fn what_is_assumed_of_a_transistor_reaches_the_verdict() {
    let (_, proof) = inverter(4700);
    for what in ["what the base of a BC547 bears", "up to where a BC547 is off, and what it then leaks"] {
        let known = proof.stands_on.iter().find(|standing| standing.what == what);
        assert_eq!(known.map(|standing| standing.evidence), Some(Evidence::Assumed), "{what}");
    }
    let known = proof.stands_on.iter().find(|standing| standing.what == "what closes a BC547");
    assert_eq!(known.map(|standing| standing.evidence), Some(Evidence::Published));
}

/// A transistor inside a controller, between the button and its line.
#[test]
fn a_transistor_inside_a_controller_is_proved_as_one_in_a_lead() {
    let pad = |base: &str| {
        let contacts =
            ["up", "down", "left", "right"].iter().zip(1..).fold(String::new(), |mut all, (control, at)| {
                let _ = writeln!(all, "[contact.{at}]\ncontrol = \"{control}\"");
                all
            });
        format!(
            "format = 1\nkind = \"controller\"\ntitle = \"A stick with an open collector\"\n\
             connector = \"DE-9 socket\"\nswitch = \"microswitch\"\ngate = \"eight-way\"\nfire_order = [\"a\"]\n\
             evidence = \"assumed\"\nsource = \"assumed: an example\"\n{contacts}\
             [contact.6]\nrole = \"wired\"\ncalled = \"fire\"\n[contact.7]\nrole = \"supply\"\n\
             [contact.8]\nrole = \"common\"\n[inside]\n\
             joins = [\"r2.2 - q1.base\", \"q1.emitter - 8\", \"q1.collector - 6\", \"r3.1 - q1.base\", \"r3.2 - 8\"]\n\
             evidence = \"assumed\"\nsource = \"assumed: an example\"\n[inside.switches]\na = \"r2.1 - 7\"\n\
             [part.q1]\ntransistor = \"BC547\"\n[part.r2]\nohms = {base}\n[part.r3]\nohms = 10000\n"
        )
    };
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"pad\"\nport = \"{ONE_FIRE}\"\njoins = [{}]\n",
        [1, 2, 3, 4, 6, 7, 8].map(|at| format!("\"controller.{at} - port.{at}\"")).join(", ")
    );
    let verdict = |base: &str| {
        let library = Library::with_shelf(vec![SourceFile::new("pad.toml", pad(base))]);
        let assembly = read_lead(&SourceFile::new("lead.toml", text.clone()), &library)
            .unwrap_or_else(|failure| panic!("{}", failure.render()));
        prove(&assembly).expect("a circuit").verdict
    };
    // By hand: (4.75 V − 0.9 V) / 10.5 kΩ less 0.9 V / 9.5 kΩ are 0.27 mA, 5.4 mA at the collector, where 5.25 V over
    // 3.1 kΩ are 1.7 mA. Behind 100 kΩ nothing is left.
    assert_eq!(verdict("10000"), Verdict::Works);
    assert_eq!(verdict("100000"), Verdict::Fails);
}

/// A port with a supply of its own beside the 5 V.
fn board(volts: &str, joins: &str, with: &str) -> Proof {
    let board = format!(
        "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [4.75, 5.0, 5.25]\n\
         [input.line]\nfamily = \"hct\"\npull_up_ohms = [4700, 5000, 5300]\n[contact.1]\naction = \"up\"\n\
         [contact.2]\naction = \"down\"\n[contact.5]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\namps_max = 1.0\n\
         [contact.7]\nrole = \"supply\"\nvolts = {volts}\namps_max = 1.0\n[contact.8]\nrole = \"return\"\n"
    );
    let joins = joins.split_whitespace().fold(String::new(), |mut all, join| {
        let (from, to) = join.split_once('=').expect("a join is written a=b");
        let _ = write!(all, "\"{from} - {to}\", ");
        all
    });
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"{STICK}\"\nport = \"board\"\njoins = [{joins}]\n\
         [play]\nup = [\"up\"]\n{}",
        parts(with)
    );
    let library = Library::with_shelf(vec![SourceFile::new("board.toml", board)]);
    let assembly = read_lead(&SourceFile::new("lead.toml", text), &library)
        .unwrap_or_else(|failure| panic!("{}", failure.render()));
    prove(&assembly).expect("a circuit")
}

#[test]
fn a_collector_that_carries_more_than_it_bears_is_harmed() {
    // 5.25 V over 20.9 Ω are 250 mA.
    let proof = board(
        "[4.75, 5.0, 5.25]",
        "controller.15=port.1 controller.1=port.8 r1.1=port.5 r1.2=q1.base q1.emitter=port.8 q1.collector=r2.1 \
         r2.2=port.7",
        "r1=1000 r2=22 q1=BC547",
    );
    assert_eq!(
        finding(&proof, Code::PowerHotPart, "q1.collector").severity,
        Severity::Harm,
        "{}",
        told(&proof)
    );
}

#[test]
fn what_a_gate_and_a_drain_bear_is_held_against_the_supplies() {
    let joins =
        "controller.15=port.1 controller.1=port.8 r1.1=port.7 r1.2=m1.gate m1.source=port.8 m1.drain=port.2";
    let kept = board("[11, 12, 13]", joins, "r1=10000 m1=2N7000");
    assert_eq!(kept.verdict, Verdict::Fails, "the line is held low for good\n{}", told(&kept));
    let passed = board("[22, 24, 26]", joins, "r1=10000 m1=2N7000");
    assert_eq!(finding(&passed, Code::DriveReverse, "m1.gate").severity, Severity::Harm, "{}", told(&passed));
    let joins = "controller.15=port.1 controller.1=port.8 r1.1=port.7 r1.2=q1.collector q1.emitter=port.8 \
                 q1.base=r2.1 r2.2=port.8";
    let passed = board("[46, 48, 50]", joins, "r1=100000 r2=10000 q1=BC547");
    assert_eq!(
        finding(&passed, Code::DriveReverse, "q1.collector").severity,
        Severity::Harm,
        "{}",
        told(&passed)
    );
}

#[test]
fn a_base_far_below_its_emitter_is_harmed() {
    let joins = "controller.15=port.1 controller.1=port.8 r1.1=port.7 r1.2=q1.base q1.emitter=port.8 \
                 q1.collector=port.2";
    let proof = board("[-13, -12, -11]", joins, "r1=100000 q1=BC547");
    assert_eq!(finding(&proof, Code::DriveReverse, "q1.base").severity, Severity::Harm, "{}", told(&proof));
}

/// Numbers that look random and are the same each time: Marsaglia's xorshift.
struct Dice(u64);

impl Dice {
    #[expect(clippy::cast_precision_loss, reason = "a share of one")]
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

/// An NPN by the equations of Ebers and Moll, *Large-Signal Behavior of Junction Transistors*, Proceedings of the IRE 42,
/// 1954 (from memory), with a resistance at its collector.
struct EbersMoll {
    saturation: f64,
    gain: f64,
    backwards: f64,
    ohms: f64,
}

/// At 25 °C.
const THERMAL: f64 = 0.025_69;

impl EbersMoll {
    /// One that a sheet would pass: 0.55 V to 0.70 V at 2 mA, a gain of 110 to 800.
    fn any(dice: &mut Dice) -> Self {
        Self {
            saturation: 2e-3 / libm::exp(dice.between(0.55, 0.70) / THERMAL),
            gain: dice.between(110.0, 800.0),
            backwards: dice.between(1.0, 20.0),
            ohms: dice.between(0.01, 1.5),
        }
    }

    /// What flows into base and collector, its emitter at 0 V.
    fn amps(&self, base: f64, collector: f64) -> [f64; 2] {
        let [forth, back] =
            [base, base - collector].map(|volts| self.saturation * libm::expm1(volts / THERMAL));
        [forth / self.gain + back / self.backwards, forth - back - back / self.backwards]
    }
}

/// Where a falling function crosses zero.
fn crossing(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if f(middle) > 0.0 { low = middle } else { high = middle }
    }
    low
}

/// Where the line of the inverter stands: what feeds its base, and what its collector.
fn line(transistor: &EbersMoll, [base_volts, base_ohms]: [f64; 2], [volts, ohms]: [f64; 2]) -> f64 {
    let at_base = |collector: f64| {
        crossing(-1.0, 6.0, |base| (base_volts - base) / base_ohms - transistor.amps(base, collector)[0])
    };
    let carried = |collector: f64| transistor.amps(at_base(collector), collector)[1];
    let inner = crossing(-1.0, 6.0, |collector| {
        let amps = carried(collector);
        (volts - collector - amps * transistor.ohms) / ohms - amps
    });
    inner + carried(inner) * transistor.ohms
}

#[test]
fn a_transistor_of_ebers_and_moll_keeps_every_bound() {
    let (_, proof) = inverter(4700);
    let fire = proof.actions.iter().find(|action| action.action.as_str() == "fire").expect("it is read");
    let bound = |side: &Option<solderside_proof::Worst>| side.as_ref().expect("it is read").volts.get();
    let (active, idle) = (bound(&fire.active), bound(&fire.idle));
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let (mut lowest, mut highest) = (f64::INFINITY, 0.0_f64);
    for _ in 0..400 {
        let transistor = EbersMoll::any(&mut dice);
        let rail = dice.between(4.75, 5.25);
        let mut ohms = |typical: f64| dice.between(0.95, 1.05) * typical;
        let [pull_up, base, load] = [4700.0, 4700.0, 1000.0].map(&mut ohms);
        let down = dice.between(4700.0, 22_000.0);
        // The load with the machine's own resistor, as one source.
        let fed = [rail * down / (down + load), load * down / (down + load)];
        highest = highest.max(line(&transistor, [rail, pull_up + base], fed));
        let pressed = dice.between(0.015, 1.0) / pull_up * rail;
        lowest = lowest.min(line(&transistor, [pressed, base], fed));
    }
    assert!(highest <= idle && highest > 0.02, "{highest} V at rest, {idle} V told");
    assert!(lowest >= active && lowest - active < 0.3, "{lowest} V pressed, {active} V told");
}
