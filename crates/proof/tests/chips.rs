//! Leads with chips, held against a second evaluation that shares no code with the proof: plain boolean algebra over
//! nets, every state and every step.
//!
//! What each chip does is written down here a second time, from its data sheet's function table: 74HC157 (S39 of
//! the sheets named in `trade`), CD4021, 74HC165, 74HC04, 74HC00, 74HC125.

mod bench;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use bench::{STICK, lead};
use solderside_lead::{Assembly, Body, EndId, Leg, State, states};
use solderside_profile::{ActiveLevel, Control, ControllerRole, Level, PortRole, Spot};
use solderside_proof::{Code, Finding, Proof, Severity, Verdict, prove};
use solderside_quantity::Ohms;
use solderside_trade::ContactId;

/// A lead between two profiles of the catalogue, with joins as its file has them.
fn catalogue_lead(controller: &str, port: &str, joins: &str, rest: &str) -> Assembly {
    let mut text = String::new();
    for join in joins.split_whitespace() {
        let (from, to) = join.split_once('=').expect("a join is written a=b");
        let at = |end: &str| match end.split_once('.') {
            Some(_) => end.to_owned(),
            None => end.replacen('c', "controller.", 1).replacen('p', "port.", 1),
        };
        let _ = write!(text, "\"{} - {}\", ", at(from), at(to));
    }
    let file = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"{controller}\"\nport = \"{port}\"\njoins = [{text}]\n{rest}"
    );
    let library = solderside_profile::Library::catalogue();
    solderside_lead::read_lead(&solderside_profile::SourceFile::new("lead.toml", file), &library)
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn straight(controller: &str, port: &str, contacts: &[u8]) -> Assembly {
    let joins: Vec<String> = contacts.iter().map(|contact| format!("{contact}-{contact}")).collect();
    lead(&[], [controller, port], joins.iter().map(String::as_str), "")
}

/// A pull-up of 10 kΩ for each of these legs, to the supply leg.
fn pull_ups(legs: &[&str], supply: &str, first: usize) -> (String, String) {
    let (mut joins, mut parts) = (String::new(), String::new());
    for (leg, number) in legs.iter().zip(first..) {
        let _ = write!(joins, " r{number}.1={leg} r{number}.2={supply}");
        let _ = write!(parts, "[part.r{number}]\nohms = 10000\n");
    }
    (joins, parts)
}

/// The ten leads.
#[expect(clippy::too_many_lines, reason = "ten leads, one after the other")]
fn leads() -> Vec<(&'static str, Assembly)> {
    let decoupled = |chips: &[&str]| -> String {
        let chip = |(at, chip): (usize, &&str)| {
            format!("[part.u{at}]\nchip = \"{chip}\"\n[part.c{at}]\nfarads = 100e-9\n", at = at + 1)
        };
        chips.iter().enumerate().map(chip).collect()
    };
    let mut leads = vec![
        (
            "the 8-bit pad",
            straight("nine-pin-register-pad-8-bit", "nine-pin-register-8-bit", &[2, 3, 4, 6, 8]),
        ),
        (
            "the 16-bit pad",
            straight("nine-pin-register-pad-16-bit", "nine-pin-register-16-bit", &[2, 3, 4, 6, 8]),
        ),
        ("the select pad", straight("nine-pin-select-pad", "nine-pin-select", &[1, 2, 3, 4, 5, 6, 7, 8, 9])),
    ];

    // The stick behind a multiplexer: with select low two lines are low, and the other buttons show.
    let (joins, parts) =
        pull_ups(&["u1.3", "u1.6", "u1.11", "u1.10", "u1.14", "u1.13", "p1", "p2"], "u1.16", 1);
    leads.push((
        "a stick behind a multiplexer",
        catalogue_lead(
            STICK,
            "nine-pin-select",
            &format!(
                "c15=p1 c7=p2 c1=p8 u1.16=p5 u1.8=p8 u1.15=u1.8 u1.1=p7 c1.1=u1.16 c1.2=u1.8 \
                 u1.2=u1.8 c14=u1.3 u1.4=p3 u1.5=u1.8 c6=u1.6 u1.7=p4 \
                 c13=u1.11 c5=u1.10 u1.9=p6 c11=u1.14 c12=u1.13 u1.12=p9 {joins}"
            ),
            &format!(
                "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n\
                 a = [\"a\"]\nb = [\"b\"]\nc = [\"c\"]\nstart = [\"start\"]\n{}{parts}",
                decoupled(&["74HC157"])
            ),
        ),
    ));

    // The stick into registers: bit 0 lies at the last stage.
    let play8 = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\na = [\"a\"]\n\
                 b = [\"b\"]\nselect = [\"select\"]\nstart = [\"start\"]\n";
    let wires = |legs: [&str; 8]| -> String {
        let contacts = ["c13", "c5", "c3", "c11", "c15", "c7", "c14", "c6"];
        let wire = |(contact, leg): (&&str, &str)| format!("{contact}={leg}");
        contacts.iter().zip(legs).map(wire).collect::<Vec<_>>().join(" ")
    };
    let stages = ["u1.1", "u1.15", "u1.14", "u1.13", "u1.4", "u1.5", "u1.6", "u1.7"];
    let (joins, parts) = pull_ups(&stages, "u1.16", 1);
    leads.push((
        "a stick in a register that loads while high",
        catalogue_lead(
            STICK,
            "nine-pin-register-8-bit",
            &format!(
                "{} c1=p8 u1.16=p6 u1.8=p8 c1.1=u1.16 c1.2=u1.8 u1.9=p3 u1.10=p4 u1.3=p2 u1.11=u1.8 {joins}",
                wires(stages)
            ),
            &format!("{play8}{}{parts}", decoupled(&["CD4021"])),
        ),
    ));
    // The 74HC165 loads while low: the latch comes through an inverter. Its bit 0 lies at D7.
    let stages = ["u1.6", "u1.5", "u1.4", "u1.3", "u1.14", "u1.13", "u1.12", "u1.11"];
    let (joins, parts) = pull_ups(&stages, "u1.16", 1);
    leads.push((
        "a stick in a register that loads while low, behind an inverter",
        catalogue_lead(
            STICK,
            "nine-pin-register-8-bit",
            &format!(
                "{} c1=p8 u1.16=p6 u1.8=p8 c1.1=u1.16 c1.2=u1.8 u2.14=p6 u2.7=p8 c2.1=u2.14 c2.2=u2.7 \
                 u2.1=p3 u2.2=u1.1 u2.3=u2.7 u2.5=u2.7 u2.9=u2.7 u2.11=u2.7 u2.13=u2.7 \
                 u1.2=p4 u1.15=u1.8 u1.10=u1.8 u1.9=p2 {joins}",
                wires(stages)
            ),
            &format!("{play8}{}{parts}", decoupled(&["74HC165", "74HC04"])),
        ),
    ));
    // Two registers in a chain, the second's unused stages not pressed.
    let first = ["u1.1", "u1.15", "u1.14", "u1.13", "u1.4", "u1.5", "u1.6", "u1.7"];
    let (joins, parts) = pull_ups(&first, "u1.16", 1);
    let (more, more_parts) = pull_ups(&["u2.1", "u2.15"], "u2.16", 9);
    leads.push((
        "a stick in two registers",
        catalogue_lead(
            STICK,
            "nine-pin-register-16-bit",
            &format!(
                "{} c12=u2.1 c4=u2.15 c1=p8 u1.16=p6 u1.8=p8 u2.16=p6 u2.8=p8 c1.1=u1.16 c1.2=u1.8 c2.1=u2.16 c2.2=u2.8 \
                 u1.9=p3 u1.10=p4 u2.9=p3 u2.10=p4 u1.3=p2 u2.3=u1.11 u2.11=u2.8 \
                 u2.14=u2.16 u2.13=u2.16 u2.4=u2.16 u2.5=u2.16 u2.6=u2.16 u2.7=u2.16 {joins}{more}",
                wires(first)
            ),
            &format!(
                "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n\
                 lower-face = [\"a\"]\nleft-face = [\"b\"]\nselect = [\"select\"]\nstart = [\"start\"]\n\
                 right-face = [\"c\"]\nupper-face = [\"d\"]\n{}{parts}{more_parts}",
                decoupled(&["CD4021", "CD4021"])
            ),
        ),
    ));

    // One line of four through gates of three kinds, on a plain port.
    let plain = "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8";
    let (joins, parts) = pull_ups(&["u1.1"], "u1.14", 1);
    let fire = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n";
    leads.push((
        "a button through two inverters",
        catalogue_lead(
            STICK,
            "nine-pin-one-fire",
            &format!(
                "{plain} c13=u1.1 u1.2=u1.3 u1.4=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
                 u1.5=u1.7 u1.9=u1.7 u1.11=u1.7 u1.13=u1.7 {joins}"
            ),
            &format!("{fire}fire = [\"a\"]\n{}{parts}", decoupled(&["74HC04"])),
        ),
    ));
    let (joins, parts) = pull_ups(&["u1.1", "u1.2"], "u1.14", 1);
    leads.push((
        "either of two buttons through NANDs",
        catalogue_lead(
            STICK,
            "nine-pin-one-fire",
            &format!(
                "{plain} c13=u1.1 c5=u1.2 u1.3=u1.4 u1.3=u1.5 u1.6=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
                 u1.9=u1.7 u1.10=u1.7 u1.12=u1.7 u1.13=u1.7 {joins}"
            ),
            &format!("{fire}fire = [\"a\", \"b\"]\n{}{parts}", decoupled(&["74HC00"])),
        ),
    ));
    let (joins, parts) = pull_ups(&["u1.1"], "u1.14", 1);
    leads.push((
        "a button that enables a buffer whose input is low",
        catalogue_lead(
            STICK,
            "nine-pin-one-fire",
            &format!(
                "{plain} c13=u1.1 u1.2=u1.7 u1.3=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
                 u1.4=u1.14 u1.5=u1.7 u1.10=u1.14 u1.9=u1.7 u1.13=u1.14 u1.12=u1.7 {joins}"
            ),
            &format!("{fire}fire = [\"a\"]\n{}{parts}", decoupled(&["74HC125"])),
        ),
    ));
    leads
}

/// A place in the boolean picture.
type Place = Leg;

/// Nets, chips and switches of an assembly, as a boolean picture of it.
struct Picture<'a> {
    assembly: &'a Assembly,
    wires: Vec<[Place; 2]>,
    pulls: Vec<[Place; 2]>,
    switches: Vec<(Control, [Place; 2])>,
    chips: Vec<(EndId, &'static str)>,
}

/// Where the supply, the ground and the rail of pull-ups are: no contact has such a letter.
const TIED: [Leg; 2] = [
    Leg { end: EndId::Controller(200), contact: ContactId::Number(1) },
    Leg { end: EndId::Controller(201), contact: ContactId::Number(1) },
];
const LOW: Leg = TIED[0];
const HIGH: Leg = TIED[1];

impl<'a> Picture<'a> {
    fn of(assembly: &'a Assembly) -> Self {
        let mut picture =
            Self { assembly, wires: Vec::new(), pulls: Vec::new(), switches: Vec::new(), chips: Vec::new() };
        picture.wires.extend(assembly.lead.joins.iter().map(|join| [join.from, join.to]));
        for part in &assembly.lead.parts {
            picture.part(EndId::Part(part.id()), part.body);
        }
        for (id, contact) in &assembly.port.contacts {
            let leg = Leg::port(*id);
            match &contact.role {
                PortRole::Return => picture.wires.push([leg, LOW]),
                PortRole::Supply(_) => picture.wires.push([leg, HIGH]),
                PortRole::Action { .. } | PortRole::Data { .. } => {
                    let input = assembly.port.input_of(*id).expect("it is read");
                    assert_eq!(input.active_level(), ActiveLevel::Low);
                    if input.pull_up.is_some() {
                        picture.pulls.push([leg, HIGH]);
                    }
                }
                PortRole::Sense { .. }
                | PortRole::Fed(_)
                | PortRole::Signal(_)
                | PortRole::Drive(_)
                | PortRole::Axis(_)
                | PortRole::Pot
                | PortRole::Unused => {}
            }
        }
        for ((end, controller), at) in assembly.controllers().zip(0..) {
            let at_contact = |contact| Leg { end, contact };
            let commons: Vec<Leg> = controller.commons().into_iter().map(at_contact).collect();
            picture.wires.extend(commons.windows(2).map(|two| [two[0], two[1]]));
            for (id, contact) in &controller.contacts {
                if let ControllerRole::Control(control) = &contact.role {
                    picture.switches.push((control.clone(), [at_contact(*id), commons[0]]));
                }
            }
            let Some(inside) = &controller.inside else { continue };
            let place = |spot: Spot| match spot {
                Spot::Contact(contact) => at_contact(contact),
                Spot::Leg(part, contact) => Leg { end: EndId::Inside(at, part), contact },
            };
            picture.wires.extend(inside.joins.iter().map(|join| join.map(place)));
            for switch in &inside.switches {
                picture.switches.push((switch.control.clone(), switch.between.map(place)));
            }
            for part in &inside.parts {
                picture.part(EndId::Inside(at, part.id), part.body);
            }
        }
        picture
    }

    fn part(&mut self, end: EndId, body: Body) {
        let leg = |number| Leg { end, contact: ContactId::Number(number) };
        match body {
            Body::Resistor(resistor) => {
                assert!(resistor.ohms >= Ohms::literal(1000.0), "a pull-up, nothing stronger");
                self.pulls.push([leg(1), leg(2)]);
            }
            Body::Capacitor(_) => {}
            Body::Chip(chip) => self.chips.push((end, chip.name())),
            Body::Diode(_) | Body::Transistor(_) => panic!("no boolean picture of {body}"),
        }
    }

    /// The level of each place while these controls are pressed, the machine drives these contacts, and the outputs
    /// do this.
    fn levels(
        &self,
        pressed: &State,
        driven: &BTreeMap<Leg, bool>,
        outputs: &BTreeMap<Leg, Option<bool>>,
    ) -> BTreeMap<Leg, bool> {
        let closed =
            self.switches.iter().filter(|(control, _)| pressed.contains(control)).map(|(_, ends)| *ends);
        let mut groups = Groups::default();
        for [a, b] in self.wires.iter().copied().chain(closed) {
            groups.join(a, b);
        }
        let mut strong: BTreeMap<Leg, bool> = BTreeMap::new();
        let outputs = outputs.iter().filter_map(|(leg, level)| Some((*leg, (*level)?)));
        let known = driven.iter().map(|(leg, level)| (*leg, *level)).chain(outputs);
        for (leg, level) in known.chain([(LOW, false), (HIGH, true)]) {
            let before = strong.insert(groups.root(leg), level);
            assert!(before.is_none_or(|before| before == level), "two levels on one line at {leg}");
        }
        let mut weak: BTreeMap<Leg, bool> = BTreeMap::new();
        for [a, b] in &self.pulls {
            for (from, to) in [(*a, *b), (*b, *a)] {
                if let Some(level) = strong.get(&groups.root(from)) {
                    weak.insert(groups.root(to), *level);
                }
            }
        }
        let roots: Vec<(Leg, Leg)> = groups.places().map(|place| (place, groups.root(place))).collect();
        let level = |root: &Leg| strong.get(root).or_else(|| weak.get(root)).copied();
        roots.into_iter().filter_map(|(place, root)| Some((place, level(&root)?))).collect()
    }

    /// What each action reads over the whole script, in one state.
    fn reads(&self, pressed: &State) -> BTreeSet<String> {
        let mut memory: BTreeMap<EndId, Vec<bool>> = BTreeMap::new();
        let mut before: Option<BTreeMap<Leg, bool>> = None;
        let mut reads = BTreeSet::new();
        for step in &self.assembly.port.steps {
            let driven: BTreeMap<Leg, bool> = step
                .drives
                .iter()
                .filter(|(_, level)| **level != Level::Released)
                .map(|(id, level)| (Leg::port(*id), *level == Level::High))
                .collect();
            let now = self.settle(pressed, &driven, &memory);
            let was = before.unwrap_or_else(|| now.clone());
            for (end, chip) in &self.chips {
                if let Some(held) = after(chip, *end, memory.get(end), &was, &now) {
                    memory.insert(*end, held);
                }
            }
            let now = self.settle(pressed, &driven, &memory);
            for (contact, action) in self.assembly.port.samples(step) {
                if now.get(&Leg::port(contact)) == Some(&false) {
                    reads.insert(action.to_string());
                }
            }
            for (contact, level) in &step.expects {
                assert_eq!(now.get(&Leg::port(*contact)), Some(&(*level == Level::High)), "{}", step.name);
            }
            before = Some(now);
        }
        reads
    }

    fn settle(
        &self,
        pressed: &State,
        driven: &BTreeMap<Leg, bool>,
        memory: &BTreeMap<EndId, Vec<bool>>,
    ) -> BTreeMap<Leg, bool> {
        let mut outputs: BTreeMap<Leg, Option<bool>> = BTreeMap::new();
        for _ in 0..20 {
            let levels = self.levels(pressed, driven, &outputs);
            let mut next = BTreeMap::new();
            for (end, chip) in &self.chips {
                let at = |number| {
                    levels
                        .get(&Leg { end: *end, contact: ContactId::Number(number) })
                        .copied()
                        .unwrap_or(true)
                };
                for (number, level) in shows(chip, at, memory.get(end)) {
                    next.insert(Leg { end: *end, contact: ContactId::Number(number) }, level);
                }
            }
            if next == outputs {
                return levels;
            }
            outputs = next;
        }
        panic!("it comes to no rest");
    }
}

/// Places that are electrically one.
#[derive(Default)]
struct Groups(BTreeMap<Leg, Leg>);

impl Groups {
    fn root(&self, place: Leg) -> Leg {
        let mut at = place;
        while let Some(next) = self.0.get(&at).filter(|next| **next != at) {
            at = *next;
        }
        at
    }

    fn join(&mut self, a: Leg, b: Leg) {
        let [from, to] = [a, b].map(|place| self.root(place));
        for place in [a, b] {
            self.0.entry(place).or_insert(place);
        }
        self.0.insert(from, to);
    }

    fn places(&self) -> impl Iterator<Item = Leg> {
        self.0.keys().copied()
    }
}

/// What a chip shows at its outputs; none for off.
fn shows(chip: &str, at: impl Fn(u8) -> bool, held: Option<&Vec<bool>>) -> Vec<(u8, Option<bool>)> {
    let stage = |stage: usize| held.map(|held| held[stage]);
    match chip {
        "74HC157" => [(2, 3, 4), (5, 6, 7), (11, 10, 9), (14, 13, 12)]
            .map(|(zero, one, out)| (out, Some(!at(15) && at(if at(1) { one } else { zero }))))
            .into(),
        "74HC04" => [(1, 2), (3, 4), (5, 6), (9, 8), (11, 10), (13, 12)]
            .map(|(input, out)| (out, Some(!at(input))))
            .into(),
        "74HC00" => [(1, 2, 3), (4, 5, 6), (9, 10, 8), (12, 13, 11)]
            .map(|(a, b, out)| (out, Some(!(at(a) && at(b)))))
            .into(),
        "74HC125" => [(1, 2, 3), (4, 5, 6), (10, 9, 8), (13, 12, 11)]
            .map(|(enable, input, out)| (out, (!at(enable)).then(|| at(input))))
            .into(),
        "CD4021" => vec![(2, stage(5)), (12, stage(6)), (3, stage(7))],
        "74HC165" => vec![(9, stage(7)), (7, stage(7).map(|level| !level))],
        _ => panic!("no second description of {chip}"),
    }
}

/// What a register holds after a change; none for a chip that holds nothing.
fn after(
    chip: &str,
    end: EndId,
    held: Option<&Vec<bool>>,
    was: &BTreeMap<Leg, bool>,
    is: &BTreeMap<Leg, bool>,
) -> Option<Vec<bool>> {
    let at = |levels: &BTreeMap<Leg, bool>, number: u8| {
        levels.get(&Leg { end, contact: ContactId::Number(number) }).copied().unwrap_or(true)
    };
    let (parallel, load, loads_high, clocks, serial): ([u8; 8], u8, bool, &[u8], u8) = match chip {
        "CD4021" => ([7, 6, 5, 4, 13, 14, 15, 1], 9, true, &[10], 11),
        "74HC165" => ([11, 12, 13, 14, 3, 4, 5, 6], 1, false, &[2, 15], 10),
        _ => return None,
    };
    let clock = |levels: &BTreeMap<Leg, bool>| clocks.iter().any(|clock| at(levels, *clock));
    let mut stages = held.cloned().unwrap_or_else(|| vec![false; 8]);
    if at(is, load) == loads_high {
        stages = parallel.map(|leg| at(is, leg)).into();
    } else if !clock(was) && clock(is) {
        stages.insert(0, at(was, serial));
        stages.truncate(8);
    }
    Some(stages)
}

fn told(proof: &Proof) -> String {
    let line = |finding: &Finding| format!("{} {}", finding.code, finding.text);
    proof.findings.iter().map(line).collect::<Vec<_>>().join("\n")
}

#[test]
fn ten_leads_with_chips_read_in_every_state_what_boolean_algebra_says() {
    let mut sound = 0;
    for (name, assembly) in leads() {
        let proof = prove(&assembly).expect("a circuit");
        let picture = Picture::of(&assembly);
        assert!(
            matches!(proof.verdict, Verdict::Works | Verdict::Thin),
            "{name}: {:?}\n{}",
            proof.verdict,
            told(&proof)
        );
        sound += 1;
        let controller = assembly.controllers.first().expect("one controller");
        let joined = assembly.joined_controls();
        let every = states(controller, &joined);
        let rows: BTreeMap<State, BTreeSet<String>> = proof
            .truth
            .iter()
            .map(|row| {
                let reads = row.reads.iter().map(ToString::to_string).collect();
                (row.pressed.iter().cloned().collect(), reads)
            })
            .collect();
        let mut compared = 0;
        for state in every {
            let Some(row) = rows.get(&state) else { continue };
            assert_eq!(*row, picture.reads(&state), "{name}: {state:?}");
            compared += 1;
        }
        assert!(compared >= 18, "{name}: {compared} states");
    }
    assert_eq!(sound, 10);
}

#[test]
fn a_floating_input_of_a_chip_is_told_with_its_leg() {
    let (joins, parts) = pull_ups(&["u1.1"], "u1.14", 1);
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        &format!(
            "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=u1.1 u1.2=u1.3 u1.4=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
             u1.5=u1.7 u1.9=u1.7 u1.11=u1.7 {joins}"
        ),
        &format!("[part.u1]\nchip = \"74HC04\"\n[part.c1]\nfarads = 100e-9\n{parts}"),
    );
    let proof = prove(&assembly).expect("a circuit");
    let floats = proof.findings.iter().find(|finding| finding.code == Code::ReadFloating);
    let floats = floats.expect("u1.13 leads nowhere");
    assert_eq!((floats.severity, floats.legs[0].to_string()), (Severity::Fail, "u1.13".to_owned()));
}

#[test]
fn a_chip_without_a_supply_fails_the_lead() {
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=u1.1 u1.2=u1.3 u1.4=p6 u1.7=p8",
        "[part.u1]\nchip = \"74HC04\"\n",
    );
    let proof = prove(&assembly).expect("a circuit");
    assert!(proof.findings.iter().any(|finding| finding.code == Code::PowerMissing), "{}", told(&proof));
    assert!(!proof.verdict.is_sound());
}

#[test]
fn two_outputs_on_one_line_harm_each_other() {
    let (joins, parts) = pull_ups(&["u1.1", "u1.5"], "u1.14", 1);
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        &format!(
            "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=u1.1 c5=u1.5 u1.2=p6 u1.6=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
             u1.3=u1.7 u1.9=u1.7 u1.11=u1.7 u1.13=u1.7 {joins}"
        ),
        &format!("[part.u1]\nchip = \"74HC04\"\n[part.c1]\nfarads = 100e-9\n{parts}"),
    );
    let proof = prove(&assembly).expect("a circuit");
    assert!(proof.findings.iter().any(|finding| finding.code == Code::DriveFight), "{}", told(&proof));
    assert_eq!(proof.verdict, Verdict::Harms);
}

#[test]
fn a_plain_stick_is_not_known_to_a_machine_that_looks_for_a_pad() {
    let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", "5-9", "1-8"];
    let play = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nb = [\"a\"]\nc = [\"b\"]\n";
    let assembly = lead(&[], [STICK, "nine-pin-select"], joins, play);
    let proof = prove(&assembly).expect("a circuit");
    let unknown = proof.findings.iter().find(|finding| finding.code == Code::ReadIdentity);
    assert_eq!(unknown.map(|finding| finding.severity), Some(Severity::Fail), "{}", told(&proof));
}

#[test]
fn of_a_lead_with_a_transistor_nothing_is_proved() {
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=p6 q1.base=p4 q1.collector=p3 q1.emitter=p8",
        "[part.q1]\ntransistor = \"BC547\"\n",
    );
    assert_eq!(prove(&assembly).expect("a circuit").verdict, Verdict::Unproved);
}

#[test]
fn pull_ups_in_a_row_are_as_good_as_pull_ups_at_one_point() {
    // Each resistor's upper leg is wired to the next one's, and only the first to the supply.
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        "c15=p1 c7=p2 c14=p3 c6=p4 c1=u1.7 c13=u1.1 c5=u1.2 u1.3=u1.4 u1.3=u1.5 u1.6=p6 u1.14=p7 u1.7=p8 \
         c1.1=u1.14 c1.2=u1.7 u1.9=u1.7 u1.10=u1.7 u1.12=u1.7 u1.13=u1.7 \
         r1.1=u1.14 r2.1=r1.1 r1.2=u1.1 r2.2=u1.2",
        "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nfire = [\"a\", \"b\"]\n\
         [part.u1]\nchip = \"74HC00\"\n[part.c1]\nfarads = 100e-9\n[part.r1]\nohms = 10000\n[part.r2]\nohms = 10000\n",
    );
    let proof = prove(&assembly).expect("a circuit");
    assert_eq!(proof.verdict, Verdict::Works, "{}", told(&proof));
}

#[test]
fn a_chips_leg_on_a_voltage_beyond_its_supply_is_harmed() {
    // A board edge with 12 V beside the 5 V: the input of a chip on 5 V pulled up to 12 V.
    let board = "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [4.75, 5.0, 5.25]\n\
        [input.line]\nfamily = \"hct\"\npull_up_ohms = [4700, 5000, 5300]\n[contact.1]\naction = \"up\"\n\
        [contact.5]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\n[contact.7]\nrole = \"supply\"\nvolts = [11, 12, 13]\n\
        [contact.8]\nrole = \"return\"\n";
    let rest = "[play]\nup = [\"up\"]\n[part.u1]\nchip = \"74HC04\"\n[part.c1]\nfarads = 100e-9\n[part.r1]\nohms = 1000\n";
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"{STICK}\"\nport = \"board\"\njoins = [\
         \"controller.15 - port.1\", \"controller.1 - port.8\", \"u1.14 - port.5\", \"u1.7 - port.8\", \
         \"c1.1 - u1.14\", \"c1.2 - u1.7\", \"u1.1 - r1.1\", \"r1.2 - port.7\", \"u1.3 - u1.7\", \
         \"u1.5 - u1.7\", \"u1.9 - u1.7\", \"u1.11 - u1.7\", \"u1.13 - u1.7\"]\n{rest}"
    );
    let library = solderside_profile::Library::with_shelf(vec![solderside_profile::SourceFile::new(
        "board.toml",
        board,
    )]);
    let assembly =
        solderside_lead::read_lead(&solderside_profile::SourceFile::new("lead.toml", text), &library)
            .unwrap_or_else(|failure| panic!("{}", failure.render()));
    let proof = prove(&assembly).expect("a circuit");
    assert_eq!(proof.verdict, Verdict::Harms, "{}", told(&proof));
    assert!(proof.findings.iter().any(|finding| finding.code == Code::DriveVolts), "{}", told(&proof));
}
