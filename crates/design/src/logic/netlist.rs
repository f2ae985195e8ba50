//! What was composed, as a lead: chips, their capacitors, pull-ups, and every join from leg to leg.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, Body, Capacitor, EndId, Join, Leg, Part, PartId, PlayMap, Resistor};
use solderside_profile::{Control, ControllerRole, Level, Step};
use solderside_quantity::{Farads, Ohms};
use solderside_trade::{Block, ChipPart, ContactId, DiodePart, LegNumber, LegRole, StageOutput};

use super::pack::Packed;
use super::register::register_of;
use super::wants::{Show, Signal, Want};
use super::ways::{Feed, Section, Way};
use crate::parts::sit_where_there_is_a_hood;
use crate::plain::{Problem, has_chips};

/// Between the outputs of a pad and chips of the lead: little beside the pull-up, and enough to limit what flows to what
/// any output stands (common practice, no source).
const APART: Ohms = Ohms::literal(1e3);

/// Beside each chip, between its supply and its ground (common practice, no source).
const DECOUPLING: Farads = Farads::literal(100e-9);

/// Holds signals apart that meet at one input.
const DIODE: DiodePart = DiodePart::SchottkyBat85;

/// All that a lead follows from.
pub(super) struct Plan<'p> {
    pub(super) problem: &'p Problem,
    pub(super) wants: &'p [Want],
    /// A way for each want.
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
    /// Between an output and its diode at a contact.
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
        let mut play = PlayMap::default();
        for part in &problem.play {
            play.set(part.action.clone(), part.controls.iter().cloned());
        }
        let mut assembly = Assembly::between(problem.controller.clone(), problem.port.clone(), play);
        let mut board = Board::default();
        let [home, supply] = self.rails;
        board.nets.insert(Net::Ground, vec![home]);
        board.nets.insert(Net::Supply, vec![supply]);
        self.place_chips(&mut board);
        self.place_chains(&mut board);
        for (want, way) in self.wants.iter().zip(self.ways) {
            let net = match way {
                Way::Nothing => continue,
                Way::Tied(high) => rail(*high),
                Way::Wire(signal) => Net::Meet(signal.clone()),
                Way::Driven(_) | Way::Pulled(_) | Way::Chain(_) => Net::Contact(want.contact),
            };
            board.add(net, Leg::port(want.contact));
        }
        self.place_controls(&mut board);
        self.hold_lines(&mut board);
        let controller = &problem.controller;
        for common in controller.commons() {
            board.add(Net::Ground, Leg::controller(common));
        }
        let fed = controller.contacts.iter().filter(|(_, contact)| contact.role == ControllerRole::Supply);
        for (id, _) in fed.filter(|_| has_chips(controller)) {
            board.add(Net::Supply, Leg::controller(*id));
        }
        assembly.lead.joins = board.joined();
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
        for (want, way) in self.wants.iter().zip(self.ways) {
            for (at, section) in way.sections().iter().enumerate() {
                let mut net = Net::Contact(want.contact);
                if matches!(way, Way::Pulled(_)) {
                    let diode = board.part(Body::Diode(DIODE));
                    board.add(net, Leg::part(diode, PartId::ANODE));
                    net = Net::Behind(want.contact, at);
                    board.add(net.clone(), Leg::part(diode, PartId::CATHODE));
                }
                sections.push((net, section));
            }
        }
        for Packed { chip, blocks } in self.packed {
            let mut feeds: BTreeMap<LegNumber, Feed> = BTreeMap::new();
            let mut outputs: Vec<(LegNumber, Net)> = Vec::new();
            for (block, own) in chip.sheet().blocks.iter().zip(blocks) {
                let own = own.and_then(|at| sections.get(at));
                let (Block::Gate(gate), Some((net, section))) = (block, own) else { continue };
                let own: Vec<Feed> = match section {
                    Section::Multiplexer { select, low, high } => {
                        vec![Feed::Ground, Feed::Line(*select), low.clone(), high.clone()]
                    }
                    Section::Buffer { enable, input } => vec![enable.clone(), input.clone()],
                    Section::Inverter { input } => vec![input.clone()],
                };
                feeds.extend(gate.inputs.iter().copied().zip(own));
                outputs.push((gate.output, net.clone()));
            }
            // A block that does nothing is switched off where it has a way to let go.
            for block in chip.sheet().blocks {
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

    /// Places the registers.
    fn place_chains(&self, board: &mut Board) {
        for (want, way) in self.wants.iter().zip(self.ways) {
            let Way::Chain(chain) = way else { continue };
            let Some(register) = register_of(chain.chip) else { continue };
            let feed = |show: &Show| match show {
                Show::Pressed(signal) => Feed::Signal(signal.clone()),
                // What nobody looks at is tied as an idle stage is.
                Show::Fixed(high) => rail_feed(*high != chain.inverted),
                Show::Any | Show::LetGo => rail_feed(want.idle() != chain.inverted),
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
                    (Some(chain.output), Net::Contact(want.contact))
                } else {
                    let last = register.parallel.len().saturating_sub(1);
                    let on = |it: &&StageOutput| usize::from(it.stage) == last && !it.inverted;
                    (register.outputs.iter().find(on).map(|it| it.leg), Net::Chain(want.contact, at))
                };
                let placed = board.place(chain.chip, &feeds, output.map(|leg| (leg, net)), self.read());
                if !is_last {
                    let serial = Leg::part(placed, ContactId::Number(register.serial));
                    board.add(Net::Chain(want.contact, at + 1), serial);
                }
            }
        }
    }

    /// Where chips read signals.
    fn read(&self) -> fn(Signal) -> Net {
        if self.keeps_apart() { Net::Read } else { Net::Meet }
    }

    /// Whether a pad's own chips drive its contacts. A resistor keeps them and the lead's chips from feeding each other
    /// while only one has its supply, and limits what they can do to each other (common practice, no source).
    fn keeps_apart(&self) -> bool {
        self.problem.controller.logic.is_some()
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
                let Some(contact) = self.problem.controller.contact_of(control) else { continue };
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

    /// Pulls up what chips read and nothing else holds: the controls' lines, and lines that the machine lets go.
    fn hold_lines(&self, board: &mut Board) {
        let port = &self.problem.port;
        let is_let_go = |line: &ContactId| {
            let lets_go = |step: &Step| step.drives.get(line).is_none_or(|level| *level == Level::Released);
            port.steps.iter().any(lets_go)
        };
        let read = board.nets.iter().filter(|(net, legs)| match net {
            Net::Meet(_) | Net::Read(_) => {
                legs.iter().any(|leg| matches!(leg.part_id(), Some(PartId::Chip(_))))
            }
            Net::Line(line) => is_let_go(line),
            Net::Ground | Net::Supply | Net::Contact(_) | Net::Behind(..) | Net::Chain(..) => false,
        });
        let read: Vec<Net> = read.map(|(net, _)| net.clone()).collect();
        for net in read {
            let resistor = board.resistor(self.problem.pull_up());
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
