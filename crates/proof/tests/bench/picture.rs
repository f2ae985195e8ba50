//! Boolean algebra over the nets of a lead: what its machine reads in a state, by a second way that shares no code with
//! the proof.
//!
//! What each chip does is written down here from its data sheet's function table: 74HC157 (S39 of the sheets named in
//! `trade`), CD4021, 74HC165, 74HC04, 74HC00, 74HC125, 74HC393. A transistor is a switch.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use solderside_lead::{Assembly, Body, EndId, Leg, PartId, State, states};
use solderside_profile::{ActiveLevel, Control, ControllerRole, Level, PortRole, Spot};
use solderside_proof::{Finding, Proof};
use solderside_quantity::Ohms;
use solderside_trade::ContactId;

/// A lead between two profiles of the catalogue, with joins as its file has them.
pub fn catalogue_lead(controller: &str, port: &str, joins: &str, rest: &str) -> Assembly {
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

/// A place in the boolean picture.
type Place = Leg;

/// Nets, chips and switches of an assembly, as a boolean picture of it.
pub struct Picture<'a> {
    assembly: &'a Assembly,
    wires: Vec<[Place; 2]>,
    /// Resistors, the strongest last: where two pull against each other it wins.
    pulls: Vec<(Ohms, [Place; 2])>,
    switches: Vec<(Control, [Place; 2])>,
    /// Diodes, the anode first: each pulls its anode low while its cathode is low.
    diodes: Vec<[Place; 2]>,
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
    pub fn of(assembly: &'a Assembly) -> Self {
        let mut picture = Self {
            assembly,
            wires: Vec::new(),
            pulls: Vec::new(),
            switches: Vec::new(),
            diodes: Vec::new(),
            chips: Vec::new(),
        };
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
                    let rail = if input.active_level() == ActiveLevel::Low { HIGH } else { LOW };
                    if let Some(ohms) = input.pull_up.or(input.pull_down) {
                        picture.pulls.push((ohms.typical(), [leg, rail]));
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
        for (holder, controller) in assembly.holders() {
            let end = holder.end();
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
                Spot::Leg(part, contact) => Leg { end: EndId::Inside(holder, part), contact },
            };
            picture.wires.extend(inside.joins.iter().map(|join| join.map(place)));
            for switch in &inside.switches {
                picture.switches.push((switch.control.clone(), switch.between.map(place)));
            }
            for part in &inside.parts {
                picture.part(EndId::Inside(holder, part.id), part.body);
            }
        }
        picture.pulls.sort_by(|one, other| other.0.get().total_cmp(&one.0.get()));
        picture
    }

    fn part(&mut self, end: EndId, body: Body) {
        let leg = |number| Leg { end, contact: ContactId::Number(number) };
        match body {
            Body::Resistor(resistor) => {
                assert!(resistor.ohms >= Ohms::literal(1000.0), "a pull-up, nothing stronger");
                let ends = [leg(1), leg(2)];
                let is_leg = |leg: &Leg, what| {
                    matches!(leg.end, EndId::Part(PartId::Bipolar(_))) && leg.contact == what
                };
                let on = |what| {
                    let nets = ends.map(|end| self.assembly.lead.net(end));
                    let is_on = |net: &BTreeSet<Leg>| {
                        let mut others = net.iter().filter(|leg| !is_leg(leg, what));
                        let mut is_fed =
                            || others.all(|leg| matches!(leg.end, EndId::Part(PartId::Resistor(_))));
                        net.iter().any(|leg| is_leg(leg, what)) && (what == PartId::EMITTER || is_fed())
                    };
                    nets.iter().any(is_on)
                };
                match (on(PartId::BASE), on(PartId::EMITTER)) {
                    // What is left in a base at rest goes this way.
                    (true, true) => {}
                    // A base is at the level that comes to it through its resistor.
                    (true, false) => self.wires.push(ends),
                    (false, _) => self.pulls.push((resistor.ohms, ends)),
                }
            }
            Body::Capacitor(_) => {}
            Body::Changeover(_) => panic!("no lead of these tests has a switch of its own"),
            Body::Chip(chip) => self.chips.push((end, chip.name())),
            Body::Transistor(transistor) => self.chips.push((end, transistor.name())),
            Body::Diode(_) => self.diodes.push([leg(1), leg(2)]),
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
        let closed: Vec<[Place; 2]> = closed.collect();
        let mut low: Vec<[Place; 2]> = Vec::new();
        loop {
            let levels = self.levels_with(closed.iter().chain(&low).copied(), driven, outputs);
            let conducts = |ends: &&[Place; 2]| {
                levels.get(&ends[1]) == Some(&false) && levels.get(&ends[0]) != Some(&false)
            };
            let more: Vec<[Place; 2]> =
                self.diodes.iter().filter(conducts).map(|ends| [ends[0], LOW]).collect();
            if more.is_empty() {
                return levels;
            }
            low.extend(more);
        }
    }

    /// The same with these places joined.
    fn levels_with(
        &self,
        joined: impl Iterator<Item = [Place; 2]>,
        driven: &BTreeMap<Leg, bool>,
        outputs: &BTreeMap<Leg, Option<bool>>,
    ) -> BTreeMap<Leg, bool> {
        let mut groups = Groups::default();
        for [a, b] in self.wires.iter().copied().chain(joined) {
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
        for (_, [a, b]) in &self.pulls {
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
    pub fn reads(&self, pressed: &State) -> BTreeSet<String> {
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
                let active = self.assembly.port.input_of(contact).expect("it is read").active_level();
                if now.get(&Leg::port(contact)) == Some(&(active == ActiveLevel::High)) {
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
        // An NPN and an N-channel pull low while their base or gate is high, a PNP pulls high while it is low.
        "BC547" | "2N7000" => vec![(2, at(1).then_some(false))],
        "BC557" => vec![(2, (!at(1)).then_some(true))],
        "CD4021" => vec![(2, stage(5)), (12, stage(6)), (3, stage(7))],
        "74HC165" => vec![(9, stage(7)), (7, stage(7).map(|level| !level))],
        // Before its machine begins to read it has forgotten what it counted.
        "74HC393" => {
            (3..7).zip(0..4).map(|(leg, at)| (leg, Some(held.is_some_and(|held| held[at])))).collect()
        }
        _ => panic!("no second description of {chip}"),
    }
}

/// What a register or the first half of a counter holds after a change; none for a chip that holds nothing.
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
    if chip == "74HC393" {
        let mut count = held.cloned().unwrap_or_else(|| vec![false; 4]);
        if at(was, 1) && !at(is, 1) {
            // A stage turns over where all before it fall.
            let turned = count.iter().take_while(|stage| **stage).count() + 1;
            count.iter_mut().take(turned).for_each(|stage| *stage = !*stage);
        }
        return Some(if at(is, 2) { vec![false; 4] } else { count });
    }
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

pub fn told(proof: &Proof) -> String {
    let line = |finding: &Finding| format!("{} {}", finding.code, finding.text);
    proof.findings.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Holds each row of a proof's table against the picture; returns how many there are.
pub fn compare(name: &str, assembly: &Assembly, proof: &Proof) -> usize {
    let picture = Picture::of(assembly);
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
    compared
}
