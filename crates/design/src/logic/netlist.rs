//! What was composed, as a lead: chips, their capacitors, pull-ups, and every join from leg to leg.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, Body, Capacitor, EndId, Join, Leg, Part, PartId, Resistor};
use solderside_profile::{Control, ControllerRole, Level, Step};
use solderside_quantity::{Farads, Ohms};
use solderside_trade::{
    Block, ChipPart, ContactId, DiodePart, LegNumber, LegRole, StageOutput, TransistorPart,
};

use super::pack::Packed;
use super::register::register_of;
use super::steps::Steps;
use super::wants::{Show, Signal};
use super::ways::{Feed, Section, Way};
use crate::parts::sit_where_there_is_a_hood;
use crate::plain::{Problem, has_chips};

/// Between the outputs of a pad and chips of the lead: little beside the pull-up, and enough to limit what flows to what
/// any output stands (common practice, no source).
const APART: Ohms = Ohms::literal(1e3);

/// To what the pad itself holds while it is plugged in: beside its outputs next to nothing, and enough for the chips'
/// inputs while it is not (common practice, no source).
const UNPLUGGED: Ohms = Ohms::literal(100e3);

/// Beside each chip, between its supply and its ground (common practice, no source).
const DECOUPLING: Farads = Farads::literal(100e-9);

/// Shows a chip the opposite of a signal: its gate takes nothing from a switch's pull-up.
const INVERTER: TransistorPart = TransistorPart::N2n7000;

/// Holds signals apart that meet at one input.
const DIODE: DiodePart = DiodePart::SchottkyBat85;

/// All that a lead follows from.
pub(super) struct Plan<'p> {
    pub(super) problem: &'p Problem,
    /// The contacts of the machine that are served.
    pub(super) served: &'p [ContactId],
    /// A way for each of them.
    pub(super) ways: &'p [Way],
    /// The sections of all ways, in their order, in chips.
    pub(super) packed: &'p [Packed],
    /// The machine's return and its supply.
    pub(super) rails: [Leg; 2],
}

/// What is electrically one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Net {
    Ground,
    Supply,
    Line(ContactId),
    /// Where a signal's controls meet.
    Meet(Signal),
    /// Where chips read a signal, if that is kept from the controls by a resistor.
    Read(Signal),
    /// A contact that the machine reads, where it is no signal.
    Contact(ContactId),
    /// Where a transistor shows the opposite of a signal.
    Inverted(Signal),
    /// Where chips read that.
    Opposite(Signal),
    /// Between an output and its diode at a contact, or a resistor and its switch.
    Behind(ContactId, usize),
    /// From one register to the next of the chain of a contact.
    Chain(ContactId, usize),
}

/// A lead as it grows.
#[derive(Default)]
struct Board {
    parts: Vec<Part>,
    nets: BTreeMap<Net, Vec<Leg>>,
    joins: Vec<Join>,
}

impl Plan<'_> {
    /// Draws the lead.
    pub(super) fn built(&self) -> Assembly {
        let problem = self.problem;
        let mut assembly = problem.bare();
        let mut board = Board::default();
        let [home, supply] = self.rails;
        board.nets.insert(Net::Ground, vec![home]);
        board.nets.insert(Net::Supply, vec![supply]);
        self.place_chips(&mut board);
        self.place_chains(&mut board);
        for (contact, way) in self.served.iter().zip(self.ways) {
            let net = match way {
                Way::Nothing => continue,
                Way::Tied(high) => rail(*high),
                Way::Wire(signal) => Net::Meet(signal.clone()),
                Way::Driven(_) | Way::Pulled(_) | Way::Chain(_) | Way::Steps(_) => Net::Contact(*contact),
            };
            board.add(net, Leg::port(*contact));
        }
        for (contact, way) in self.served.iter().zip(self.ways) {
            if let Way::Steps(steps) = way {
                self.place_step(&mut board, steps, 0, Net::Contact(*contact));
            }
        }
        Self::place_inverters(&mut board);
        self.place_controls(&mut board);
        self.hold_lines(&mut board);
        let controller = &problem.controller;
        for common in problem.commons() {
            board.add(Net::Ground, Leg::controller(common));
        }
        let fed = controller.contacts.iter().filter(|(_, contact)| contact.role == ControllerRole::Supply);
        for (id, _) in fed.filter(|_| has_chips(controller)) {
            board.add(Net::Supply, Leg::controller(*id));
        }
        assembly.lead.joins = board.joined();
        assembly.lead.joins.extend(problem.tied.iter().flat_map(|tied| tied.joins(controller)));
        assembly.lead.parts = board.parts;
        if let Some(cable) = &problem.cable {
            assembly.lead.run_in(cable.clone());
        }
        sit_where_there_is_a_hood(&mut assembly);
        assembly.lead.settle();
        assembly
    }

    /// Places the chips that sections were put into.
    fn place_chips(&self, board: &mut Board) {
        let mut sections: Vec<(Net, &Section)> = Vec::new();
        for (contact, way) in self.served.iter().zip(self.ways) {
            for (at, section) in way.sections().iter().enumerate() {
                let mut net = Net::Contact(*contact);
                if let Way::Steps(steps) = way {
                    net = Net::Behind(*contact, at);
                    self.place_step(board, steps, at + 1, net.clone());
                }
                if matches!(way, Way::Pulled(_)) {
                    let diode = board.part(Body::Diode(DIODE));
                    board.add(net, Leg::part(diode, PartId::ANODE));
                    net = Net::Behind(*contact, at);
                    board.add(net.clone(), Leg::part(diode, PartId::CATHODE));
                }
                sections.push((net, section));
            }
        }
        for Packed { chip, blocks } in self.packed {
            let mut feeds: BTreeMap<LegNumber, Feed> = BTreeMap::new();
            let mut outputs: Vec<(LegNumber, Net)> = Vec::new();
            for (block, own) in chip.sheet().blocks.iter().zip(blocks) {
                let Some((net, section)) = own.and_then(|at| sections.get(at)) else { continue };
                let (inputs, output) = match block {
                    Block::Gate(gate) => (gate.inputs.to_vec(), gate.output),
                    Block::Switch(switch) => (vec![switch.control], switch.sides[0]),
                    Block::Register(_) | Block::Counter(_) => continue,
                };
                let own: Vec<Feed> = match section {
                    Section::Multiplexer { select, low, high } => {
                        vec![Feed::Ground, Feed::Line(*select), low.clone(), high.clone()]
                    }
                    Section::Buffer { enable, input } => vec![enable.clone(), input.clone()],
                    Section::Inverter { input } => vec![input.clone()],
                    Section::Switch { control } => vec![control.clone()],
                };
                feeds.extend(inputs.into_iter().zip(own));
                outputs.push((output, net.clone()));
                // What a switch leads to the axis stands on its other side.
                if let (Block::Switch(switch), Net::Behind(contact, _)) = (block, net) {
                    outputs.push((switch.sides[1], Net::Contact(*contact)));
                }
            }
            // A block that does nothing is switched off where it has a way to let go.
            for block in chip.sheet().blocks {
                if let Block::Switch(switch) = block {
                    feeds.entry(switch.control).or_insert(Feed::Ground);
                }
                let Block::Gate(gate) = block else { continue };
                let lets_go = gate.rows.iter().any(|row| row.ends_with('Z')) && gate.inputs.len() > 1;
                for (place, leg) in gate.inputs.iter().enumerate() {
                    let idle = if lets_go && place == 0 { Feed::Supply } else { Feed::Ground };
                    feeds.entry(*leg).or_insert(idle);
                }
            }
            board.place(*chip, &feeds, outputs, self.read());
        }
    }

    /// Places one resistor of an axis, from what feeds it.
    fn place_step(&self, board: &mut Board, steps: &Steps, at: usize, to: Net) {
        let [_, supply] = self.rails;
        let feed = Leg::port(steps.feed);
        let from = if feed == supply { Net::Supply } else { Net::Line(steps.feed) };
        let is_new = feed != supply && !board.nets.contains_key(&from);
        if is_new {
            board.add(from.clone(), feed);
        }
        let Some(ohms) = steps.ohms.get(at) else { return };
        let resistor = board.resistor(*ohms);
        board.add(from, Leg::part(resistor, PartId::ANODE));
        board.add(to, Leg::part(resistor, PartId::CATHODE));
    }

    /// Places the registers.
    fn place_chains(&self, board: &mut Board) {
        for (contact, way) in self.served.iter().zip(self.ways) {
            let Way::Chain(chain) = way else { continue };
            let Some(register) = register_of(chain.chip) else { continue };
            let feed = |show: &Show| match show {
                Show::Pressed(signal) => Feed::Signal(signal.clone()),
                // What nobody looks at is tied as an idle stage is.
                Show::Fixed(high) => rail_feed(*high != chain.inverted),
                Show::Any | Show::LetGo => rail_feed(chain.idle != chain.inverted),
            };
            for (at, stages) in chain.stages.iter().enumerate() {
                let mut feeds: BTreeMap<LegNumber, Feed> = BTreeMap::new();
                feeds.extend(stages.iter().map(|(leg, show)| (*leg, feed(show))));
                feeds.insert(register.load, Feed::Line(chain.load));
                let mut clocks = register.clocks.iter();
                feeds.extend(clocks.next().map(|leg| (*leg, Feed::Line(chain.clock))));
                feeds.extend(clocks.map(|leg| (*leg, Feed::Ground)));
                let is_last = at + 1 == chain.stages.len();
                if is_last {
                    feeds.insert(register.serial, feed(&chain.serial));
                }
                let (output, net) = if at == 0 {
                    (Some(chain.output), Net::Contact(*contact))
                } else {
                    let last = register.parallel.len().saturating_sub(1);
                    let on = |it: &&StageOutput| usize::from(it.stage) == last && !it.inverted;
                    (register.outputs.iter().find(on).map(|it| it.leg), Net::Chain(*contact, at))
                };
                let placed = board.place(chain.chip, &feeds, output.map(|leg| (leg, net)), self.read());
                if !is_last {
                    let serial = Leg::part(placed, ContactId::Number(register.serial));
                    board.add(Net::Chain(*contact, at + 1), serial);
                }
            }
        }
    }

    /// Places a transistor for each signal of which a chip reads the opposite.
    fn place_inverters(board: &mut Board) {
        let opposite = |net: &Net| if let Net::Opposite(signal) = net { Some(signal.clone()) } else { None };
        let opposites: Vec<Signal> = board.nets.keys().filter_map(opposite).collect();
        for signal in opposites {
            let transistor = board.part(Body::Transistor(INVERTER));
            // A gate has no clamps: it may hang on a pad's output itself.
            board.add(Net::Meet(signal.clone()), Leg::part(transistor, PartId::BASE));
            board.add(Net::Ground, Leg::part(transistor, PartId::EMITTER));
            let shown = Net::Inverted(signal.clone());
            board.add(shown.clone(), Leg::part(transistor, PartId::COLLECTOR));
            // A chip without its supply would feed the transistor through its clamps.
            let apart = board.resistor(APART);
            board.add(shown, Leg::part(apart, PartId::ANODE));
            board.add(Net::Opposite(signal), Leg::part(apart, PartId::CATHODE));
        }
    }

    /// Where chips read signals.
    fn read(&self) -> fn(Signal) -> Net {
        if self.keeps_apart() { Net::Read } else { Net::Meet }
    }

    /// Whether a pad's own chips drive its contacts. A resistor keeps them and the lead's chips from feeding each other
    /// while only one has its supply, and limits what they can do to each other (common practice, no source).
    fn keeps_apart(&self) -> bool {
        let is_tied = self.problem.tied.as_ref().is_some_and(|tied| tied.home.is_none());
        self.problem.controller.logic.is_some() || is_tied
    }

    /// Leads the controls to their signals: straight, or where one control is in several signals through diodes.
    fn place_controls(&self, board: &mut Board) {
        let mut signals: BTreeSet<Signal> = BTreeSet::new();
        for net in board.nets.keys() {
            if let Net::Meet(signal) | Net::Read(signal) = net {
                signals.insert(signal.clone());
            }
        }
        let mut alone: BTreeSet<&Control> = BTreeSet::new();
        for signal in &signals {
            for control in signal {
                let is_shared = signals.iter().filter(|other| other.contains(control)).count() > 1;
                let Some(contact) = self.problem.contact_of(control) else { continue };
                if !is_shared || signal.len() == 1 {
                    board.add(Net::Meet(signal.clone()), Leg::controller(contact));
                    continue;
                }
                let diode = board.part(Body::Diode(DIODE));
                board.add(Net::Meet(signal.clone()), Leg::part(diode, PartId::ANODE));
                let own = vec![control.clone()];
                if !signals.contains(&own) && alone.insert(control) {
                    board.add(Net::Meet(own.clone()), Leg::controller(contact));
                }
                board.add(Net::Meet(own), Leg::part(diode, PartId::CATHODE));
            }
        }
        for signal in signals {
            if !board.nets.contains_key(&Net::Read(signal.clone())) {
                continue;
            }
            let resistor = board.resistor(APART);
            board.add(Net::Meet(signal.clone()), Leg::part(resistor, PartId::ANODE));
            board.add(Net::Read(signal), Leg::part(resistor, PartId::CATHODE));
        }
    }

    /// Whether the pad itself holds the contacts of a signal: it has its supply whenever the lead's chips have.
    fn holds(&self, signal: &Signal) -> bool {
        let problem = self.problem;
        problem.tied.as_ref().is_some_and(|tied| {
            signal.iter().all(|it| problem.contact_of(it).is_some_and(|contact| tied.held.contains(&contact)))
        })
    }

    /// Pulls up what chips read and nothing in the lead holds: the controls' lines, and lines that the machine lets go. What a
    /// pad holds itself floats as soon as it is unplugged.
    fn hold_lines(&self, board: &mut Board) {
        let port = &self.problem.port;
        let is_let_go = |line: &ContactId| {
            let lets_go = |step: &Step| step.drives.get(line).is_none_or(|level| *level == Level::Released);
            port.steps.iter().any(lets_go)
        };
        let is_driven =
            |line: &ContactId| port.contacts.get(line).is_some_and(|contact| contact.role.family().is_some());
        let read = board.nets.iter().filter(|(net, legs)| match net {
            Net::Inverted(_) => true,
            Net::Meet(_) | Net::Read(_) => {
                let reads = |leg: &Leg| matches!(leg.part_id(), Some(PartId::Chip(_) | PartId::Mosfet(_)));
                legs.iter().any(reads)
            }
            Net::Line(line) => is_driven(line) && is_let_go(line),
            Net::Ground
            | Net::Supply
            | Net::Contact(_)
            | Net::Opposite(_)
            | Net::Behind(..)
            | Net::Chain(..) => false,
        });
        let read: Vec<Net> = read.map(|(net, _)| net.clone()).collect();
        for net in read {
            let is_held = matches!(&net, Net::Meet(signal) | Net::Read(signal) if self.holds(signal));
            let ohms = if is_held { self.problem.in_stock(UNPLUGGED) } else { self.problem.pull_up() };
            let resistor = board.resistor(ohms);
            board.add(Net::Supply, Leg::part(resistor, PartId::ANODE));
            board.add(net, Leg::part(resistor, PartId::CATHODE));
        }
    }
}

fn rail(high: bool) -> Net {
    if high { Net::Supply } else { Net::Ground }
}

fn rail_feed(high: bool) -> Feed {
    if high { Feed::Supply } else { Feed::Ground }
}

impl Board {
    fn add(&mut self, net: Net, leg: Leg) {
        self.nets.entry(net).or_default().push(leg);
    }

    /// Adds a part in the hood of the port's end, with the next number of its kind.
    fn part(&mut self, body: Body) -> PartId {
        let kind = |part: &&Part| std::mem::discriminant(&part.body) == std::mem::discriminant(&body);
        let number = u8::try_from(self.parts.iter().filter(kind).count() + 1).unwrap_or(u8::MAX);
        let part = Part { number, body, sits: EndId::Port };
        self.parts.push(part);
        part.id()
    }

    fn resistor(&mut self, ohms: Ohms) -> PartId {
        self.part(Body::Resistor(Resistor { ohms, tolerance: Resistor::COMMON_TOLERANCE }))
    }

    /// Places a chip with its capacitor. What it gets of a rail is joined at its own supply and ground.
    fn place(
        &mut self,
        chip: ChipPart,
        feeds: &BTreeMap<LegNumber, Feed>,
        outputs: impl IntoIterator<Item = (LegNumber, Net)>,
        read: fn(Signal) -> Net,
    ) -> PartId {
        let id = self.part(Body::Chip(chip));
        let capacitor = self
            .part(Body::Capacitor(Capacitor { farads: DECOUPLING, tolerance: Capacitor::COMMON_TOLERANCE }));
        let leg = |number: LegNumber| Leg::part(id, ContactId::Number(number));
        let first = |role: LegRole| chip.sheet().legs_for(role).next().map(leg);
        for (rail, role, end) in
            [(Net::Supply, LegRole::Supply, PartId::ANODE), (Net::Ground, LegRole::Ground, PartId::CATHODE)]
        {
            let Some(own) = first(role) else { continue };
            self.add(rail, own);
            self.joins.push(Join::new(own, Leg::part(capacitor, end)));
        }
        for (number, feed) in feeds {
            let tied = match feed {
                Feed::Ground => first(LegRole::Ground),
                Feed::Supply => first(LegRole::Supply),
                Feed::Line(line) => {
                    let net = Net::Line(*line);
                    self.nets.entry(net).or_insert_with(|| vec![Leg::port(*line)]).push(leg(*number));
                    None
                }
                Feed::Signal(signal) => {
                    self.add(read(signal.clone()), leg(*number));
                    None
                }
                Feed::Inverted(signal) => {
                    self.add(Net::Opposite(signal.clone()), leg(*number));
                    None
                }
            };
            self.joins.extend(tied.map(|rail| Join::new(leg(*number), rail)));
        }
        for (number, net) in outputs {
            self.add(net, leg(number));
        }
        id
    }

    /// All joins: each cup gets one conductor, and parts of one net are wired one to the next.
    fn joined(&mut self) -> Vec<Join> {
        let mut joins = std::mem::take(&mut self.joins);
        for legs in self.nets.values() {
            let (parts, cups): (Vec<Leg>, Vec<Leg>) = legs.iter().partition(|leg| leg.part_id().is_some());
            joins.extend(parts.windows(2).filter_map(|pair| Some(Join::new(*pair.first()?, *pair.last()?))));
            let Some(hub) = parts.first().or(cups.first()) else { continue };
            joins.extend(cups.iter().filter(|cup| *cup != hub).map(|cup| Join::new(*hub, *cup)));
        }
        joins
    }
}
