//! Chips: their logic, and what they are to the network around them.
//!
//! For readings, each chip that has its supply stands between two rails that are known as far as bounds tell: what it
//! may take and give at most is put on its supply and its ground (an output to which only inputs lead gives what these
//! take), these are bounded, and from there on both are sources of that range. So whatever one chip does moves another only through the lines between
//! them, and what is read stays certain as long as no output is asked for more than its sheet allows,
//! which the proof holds against the sheet anyhow.
//!
//! For limits, outputs hang on the real supply and the real ground.

use std::collections::{BTreeMap, BTreeSet};

use solderside_circuit::logic::{
    Counter, Drive, Input, Logic, Output, Register, Row, Settled, Table, Thresholds,
};
use solderside_circuit::{Diode, Extreme, Node, Spread, Uncertain};
use solderside_profile::Control;
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{Block, ChipOutput, ChipPart, ChipSheet, ContactId, LegNumber, LegRole, LogicFamily};

use super::{Circuit, LEFT_OUT, NEXT_TO_NOTHING, Purpose, Unbuilt, clamp_pair};
use crate::assembly::Assembly;
use crate::lead::{EndId, Leg};
use crate::state::State;

/// What a guaranteed threshold must have to spare inside a lead, as at the machine.
const TO_SPARE: Volts = Volts::literal(0.1);

/// What an input of CMOS gives or takes is a leak, and loads no output by a thousandth of its limit.
const A_LEAK: Amps = Amps::literal(5e-6);

/// What has no more than this is a wire, with its contacts: 5 mA make 25 mV across it.
pub(super) const A_WIRE: Ohms = Ohms::literal(5.0);

/// A chip in the circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Chip {
    /// What it is.
    pub part: ChipPart,
    /// The end that its legs have.
    pub end: EndId,
    /// Whether its counters are at zero when the machine begins to read.
    pub is_at_zero: bool,
    /// Its supply against its ground, as far as bounds tell; none if it has none.
    pub supply: Option<[Volts; 2]>,
    /// The places of its inputs in the logic.
    pub inputs: BTreeMap<LegNumber, usize>,
    /// The places of its outputs in the logic; a switch inside has that of its first side.
    pub outputs: BTreeMap<LegNumber, usize>,
}

/// What lies round a node.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Surroundings {
    /// The nodes, itself among them.
    pub nodes: BTreeSet<Node>,
    /// The controls whose switches lie between them.
    pub controls: State,
    /// The outputs of chips that drive one of them, by their places.
    pub outputs: BTreeSet<usize>,
}

/// The supply and the ground of a chip, each from its lowest to its highest.
struct Rails {
    supply: [Volts; 2],
    ground: [Volts; 2],
}

/// Where these nodes, a supply and a ground, are; none where nothing holds them.
fn rails(probe: &Spread, [supply, ground]: [Node; 2]) -> Option<Rails> {
    let range = |node: Node| -> Option<[Volts; 2]> {
        let bound = |extreme| probe.bound(node, extreme).ok()?.guaranteed;
        Some([bound(Extreme::Lowest)?, bound(Extreme::Highest)?])
    };
    let rails = Rails { supply: range(supply)?, ground: range(ground)? };
    (rails.supply[0] > rails.ground[1]).then_some(rails)
}

impl Chip {
    /// A leg of it.
    pub const fn leg(&self, number: LegNumber) -> Leg {
        Leg { end: self.end, contact: ContactId::Number(number) }
    }

    /// Whether its supply is what its sheet asks for.
    pub fn is_powered(&self) -> bool {
        let asks = self.part.sheet().supply.value;
        self.supply.is_some_and(|[low, _]| low >= asks.low())
    }
}

impl Circuit {
    /// The chips, in the order in which they were taken in.
    pub fn chips(&self) -> &[Chip] {
        &self.chips
    }

    /// What the chips do.
    pub const fn logic(&self) -> &Logic {
        &self.logic
    }

    fn with_outputs(&self, network: &Spread, drives: impl Iterator<Item = Drive>) -> Spread {
        let mut network = network.clone();
        for (output, drive) in self.outputs.iter().zip(drives) {
            for element in output.elements(drive) {
                // It was tried when it was taken in.
                let _ = network.add(*element);
            }
        }
        network
    }

    /// The network of some states with those outputs that are certain, and nothing in the place of the others.
    pub fn with_known_outputs(&self, network: &Spread, settled: &Settled) -> Spread {
        let certain = |drive: &Drive| if *drive == Drive::Unknown { Drive::Off } else { *drive };
        self.with_outputs(network, settled.drives.iter().map(certain))
    }

    /// What can move a node by more than millivolts without a chip's help: everything that it is tied to through
    /// switches, resistors and diodes, as far as the next rail, supply or ground, or what is wired to one.
    pub fn surroundings(&self, node: Node) -> Surroundings {
        let mut found = Surroundings { nodes: BTreeSet::from([node]), ..Surroundings::default() };
        let mut open = vec![node];
        while let Some(at) = open.pop() {
            if self.is_wired_to_a_rail(at) {
                continue;
            }
            let mut ends: Vec<Node> =
                self.network.elements().iter().filter_map(|element| other_end(element, at)).collect();
            for switch in &self.switches {
                if let Some(other) = other_end(&switch.element, at) {
                    found.controls.insert(switch.control.clone());
                    ends.push(other);
                }
            }
            for (place, output) in self.outputs.iter().enumerate() {
                let mut elements = output.either.iter().chain(&output.low).chain(&output.high);
                if elements.any(|element| element.touches(at)) {
                    found.outputs.insert(place);
                    ends.extend(output.either.iter().filter_map(|element| other_end(element, at)));
                }
            }
            open.extend(ends.into_iter().filter(|end| found.nodes.insert(*end)));
        }
        found
    }

    /// The controls that can move a node by more than millivolts: those [round it](Self::surroundings) first, then
    /// those round the inputs of the chips that drive one of its surroundings, and so on behind one chip more each.
    pub fn moved_by(&self, node: Node) -> Vec<State> {
        let mut layers: Vec<State> = Vec::new();
        let mut seen = BTreeSet::from([node]);
        let mut open = vec![node];
        while !open.is_empty() {
            let round: Vec<Surroundings> = open.iter().map(|node| self.surroundings(*node)).collect();
            let is_near = |control: &Control| layers.iter().any(|layer| layer.contains(control));
            let controls = round.iter().flat_map(|round| &round.controls);
            let layer: State = controls.filter(|control| !is_near(control)).cloned().collect();
            layers.push(layer);
            let outputs: BTreeSet<usize> = round.iter().flat_map(|round| &round.outputs).copied().collect();
            let ways = self.logic.ways().filter(|(_, driven)| driven.iter().any(|own| outputs.contains(own)));
            let inputs = ways.flat_map(|(inputs, _)| inputs);
            let nodes = inputs.filter_map(|input| Some(self.logic.inputs().get(*input)?.node));
            open = nodes.filter(|node| seen.insert(*node)).collect();
        }
        layers
    }

    /// The network of all states in which these controls are pressed and those released, with these outputs doing
    /// this; all other controls and outputs stand as they like.
    pub fn with_drives(&self, pressed: &State, released: &State, drives: &[(usize, Drive)]) -> Spread {
        let all = (0..self.outputs.len()).map(|place| {
            drives.iter().find(|(own, _)| *own == place).map_or(Drive::Unknown, |(_, drive)| *drive)
        });
        let is_open = |control: &&Control| !pressed.contains(control) && !released.contains(control);
        let controls = self.switches.iter().map(|switch| &switch.control);
        let either: State = controls.filter(is_open).cloned().collect();
        self.with_outputs(&self.in_states(pressed, &either), all)
    }

    /// Whether a node is ground, a rail or a supply, or a wire's length from one.
    fn is_wired_to_a_rail(&self, node: Node) -> bool {
        let is_rail = |node: &Node| *node == Node::GROUND || self.rails.contains(node);
        is_rail(&node)
            || self.network.elements().iter().any(|element| match element {
                Uncertain::Resistor { ohms, .. } if ohms.high() <= A_WIRE => {
                    other_end(element, node).is_some_and(|other| is_rail(&other))
                }
                Uncertain::Source { node: own, ohms, .. } => *own == node && ohms.high() <= A_WIRE,
                Uncertain::Resistor { .. }
                | Uncertain::Current { .. }
                | Uncertain::Diode { .. }
                | Uncertain::Sink { .. } => false,
            })
    }

    /// What an output can do.
    pub fn drives_of(&self, place: usize) -> Vec<Drive> {
        let Some(output) = self.outputs.get(place) else { return Vec::new() };
        let each = [(Drive::Low, &output.low), (Drive::High, &output.high)];
        let mut drives: Vec<Drive> =
            each.into_iter().filter(|(_, elements)| !elements.is_empty()).map(|(drive, _)| drive).collect();
        if !output.off.is_empty() || drives.len() < 2 {
            drives.push(Drive::Off);
        }
        drives
    }

    /// Takes the chips' standing elements, and their logic.
    pub(super) fn take_chips(&mut self, assembly: &Assembly, purpose: Purpose) -> Result<(), Unbuilt> {
        let at_zero = assembly.at_zero();
        let is_at_zero = |end| matches!(end, EndId::Inside(holder, _) if at_zero.contains(&holder));
        let mut taken: Vec<Chip> = assembly
            .chips()
            .into_iter()
            .map(|(end, part)| Chip {
                part,
                end,
                is_at_zero: is_at_zero(end),
                supply: None,
                inputs: BTreeMap::new(),
                outputs: BTreeMap::new(),
            })
            .collect();
        // Where a transistor stands is held already.
        let mut held = self.rails.clone();
        for chip in &taken {
            self.take_supply_load(chip)?;
        }
        let pads =
            if taken.is_empty() || purpose == Purpose::Limits { Vec::new() } else { self.pads(assembly) };
        let (rails, of_pads): (Vec<Option<Rails>>, Vec<Option<Rails>>) = {
            let probe = self.loaded(&taken)?;
            let own: Vec<[Node; 2]> = taken.iter().map(|chip| self.rail_nodes(chip)).collect();
            let of = |nodes: &[Node; 2]| rails(&probe, *nodes);
            (own.iter().map(of).collect(), pads.iter().map(|(_, nodes)| of(nodes)).collect())
        };
        for chip in &taken {
            let nodes = self.rail_nodes(chip);
            self.rails.extend(nodes.into_iter().filter(|node| *node != Node::GROUND));
        }
        let mut clamps = BTreeSet::new();
        for (chip, rails) in taken.iter_mut().zip(&rails) {
            chip.supply = rails
                .as_ref()
                .map(|rails| [rails.supply[0] - rails.ground[1], rails.supply[1] - rails.ground[0]]);
            match (purpose, rails) {
                (Purpose::Reading, Some(rails)) => {
                    let nodes = self.rail_nodes(chip);
                    self.hold_rails(chip.leg(1), nodes, rails, &mut held)?;
                }
                (Purpose::Limits, _) if !chip.is_powered() => self.take_clamps(chip, &mut clamps)?,
                (Purpose::Reading | Purpose::Limits, _) => {}
            }
            self.take_logic(chip, rails.as_ref(), purpose)?;
            if purpose == Purpose::Reading && rails.is_some() {
                self.take_side_leaks(chip)?;
            }
        }
        // Whatever the lines do to a pad's chips, their rails stay in this range, so no line moves another through them.
        for ((leg, nodes), rails) in pads.into_iter().zip(of_pads) {
            if let Some(rails) = rails {
                self.hold_rails(leg, nodes, &rails, &mut held)?;
            }
        }
        self.chips = taken;
        Ok(())
    }

    /// The supplies of controllers whose chips are known from outside only, each with its node and that of their ground.
    fn pads(&mut self, assembly: &Assembly) -> Vec<(Leg, [Node; 2])> {
        let mut pads = Vec::new();
        for (end, controller) in assembly.controllers().filter(|(end, _)| assembly.uses_chips(*end)) {
            let at = |contact: ContactId| Leg { end, contact };
            if let (Some(supply), Some(ground)) = (controller.supply(), controller.chip_commons().first()) {
                pads.push((at(supply), [supply, *ground].map(|contact| self.node_of(at(contact)))));
            }
        }
        pads
    }

    /// What the chip takes from its supply, as a resistor.
    fn take_supply_load(&mut self, chip: &Chip) -> Result<(), Unbuilt> {
        let sheet = chip.part.sheet();
        let volts = sheet.supply.value.typical();
        let ohms = |amps: Amps| {
            if amps.get() * NEXT_TO_NOTHING.get() <= volts.get() {
                Ok(NEXT_TO_NOTHING)
            } else {
                volts.at(amps)
            }
        };
        let amps = sheet.supply_amps.value;
        let triple = Triple::new(ohms(amps.high())?, ohms(amps.typical())?, ohms(amps.low())?);
        let ohms = triple.unwrap_or(Triple::exactly(NEXT_TO_NOTHING));
        let grounds: Vec<LegNumber> = sheet.legs_for(LegRole::Ground).collect();
        for supply in sheet.legs_for(LegRole::Supply) {
            for ground in &grounds {
                let [a, b] = [supply, *ground].map(|leg| self.node_of(chip.leg(leg)));
                self.put(chip.leg(supply), "supply current", Uncertain::Resistor { a, b, ohms })?;
            }
        }
        Ok(())
    }

    /// The network with every contact and every transistor as anything, and each chip's outputs taking and giving what
    /// they may.
    fn loaded(&mut self, chips: &[Chip]) -> Result<Spread, Unbuilt> {
        let every: State = self.switches.iter().map(|switch| switch.control.clone()).collect();
        let anything = self.outputs.iter().map(|_| Drive::Unknown);
        let mut network = self.with_outputs(&self.in_states(&State::new(), &every), anything);
        for chip in chips {
            let sheet = chip.part.sheet();
            let [supply, ground] = self.rail_nodes(chip);
            let Some(output) = sheet.output else { continue };
            let legs: Vec<LegNumber> = sheet.legs_for(LegRole::Output).collect();
            let [mut taken, mut given] = [Amps::ZERO; 2];
            for leg in legs {
                let only = self.asked_by_inputs(chips, chip.leg(leg), [supply, ground]);
                taken = taken + only.unwrap_or(output.sink_limit.value);
                given = given + output.high.map_or(Amps::ZERO, |_| only.unwrap_or(output.source_limit.value));
            }
            let flow = |a: Node, b: Node, amps: Amps| {
                Triple::new(Amps::ZERO, Amps::ZERO, amps).ok().map(|amps| Uncertain::Current { a, b, amps })
            };
            let elements = [flow(Node::GROUND, ground, taken), flow(supply, Node::GROUND, given)];
            for element in elements.into_iter().flatten() {
                network.add(element).map_err(|refused| Unbuilt::Refused { leg: chip.leg(1), refused })?;
            }
        }
        Ok(network)
    }

    /// The most that an output is asked for to which nothing leads but inputs of chips between the same rails: an input
    /// is no way from anywhere to anywhere, and never lies beyond its rails there.
    fn asked_by_inputs(&mut self, chips: &[Chip], leg: Leg, rails: [Node; 2]) -> Option<Amps> {
        let node = self.node_of(leg);
        let mut elements = self.network.elements().iter().chain(self.switches.iter().map(|own| &own.element));
        let mut others =
            self.outputs.iter().flat_map(|own| own.either.iter().chain(&own.low).chain(&own.high));
        if elements.any(|element| element.touches(node)) || others.any(|element| element.touches(node)) {
            return None;
        }
        let mut asked = Amps::ZERO;
        for chip in chips {
            let own = self.rail_nodes(chip);
            for (number, sheet) in (1..).zip(chip.part.sheet().legs) {
                let other = chip.leg(number);
                if other == leg || self.node_of(other) != node {
                    continue;
                }
                if sheet.role != LegRole::Input || own != rails {
                    return None;
                }
                let family = chip.part.sheet().family;
                let most = family.input_high_amps().value.high().max(family.input_low_amps().value.high());
                asked = asked + most * f64::from(sheet.loads);
            }
        }
        Some(asked)
    }

    fn rail_nodes(&mut self, chip: &Chip) -> [Node; 2] {
        [LegRole::Supply, LegRole::Ground].map(|role| {
            let leg = chip.part.sheet().legs_for(role).next();
            leg.map_or(Node::GROUND, |leg| self.node_of(chip.leg(leg)))
        })
    }

    /// Makes the rails sources of their range.
    fn hold_rails(
        &mut self,
        leg: Leg,
        nodes: [Node; 2],
        rails: &Rails,
        held: &mut BTreeSet<Node>,
    ) -> Result<(), Unbuilt> {
        for (node, [low, high]) in nodes.into_iter().zip([rails.supply, rails.ground]) {
            if node == Node::GROUND || !held.insert(node) {
                continue;
            }
            let middle = Volts::new(f64::midpoint(low.get(), high.get()))?;
            if let Ok(volts) = Triple::new(low, middle, high) {
                let ohms = Triple::exactly(Ohms::ZERO);
                self.put(leg, "rail of the chip", Uncertain::Source { node, volts, ohms })?;
            }
        }
        Ok(())
    }

    /// What keeps a chip's legs between its rails also feeds it when it has no supply.
    ///
    /// A leg that leads nowhere but to the chips' own rails lies between them whatever happens; all that its clamps
    /// can carry flows from ground to supply, where one diode stands for all of them.
    fn take_clamps(&mut self, chip: &Chip, taken: &mut BTreeSet<[Node; 2]>) -> Result<(), Unbuilt> {
        let sheet = chip.part.sheet();
        let [supply, ground] = self.rail_nodes(chip);
        let [least, most] = clamp_pair();
        let mut clamp = |circuit: &mut Self, leg: Leg, [anode, cathode]: [Node; 2], most: Diode| {
            if anode != cathode && taken.insert([anode, cathode]) {
                circuit.put(leg, "clamp", Uncertain::Diode { anode, cathode, least, most })?;
            }
            Ok::<(), Unbuilt>(())
        };
        #[expect(clippy::cast_precision_loss, reason = "a chip has fewer than 256 legs")]
        let all = Diode { is: most.is * (2 * sheet.legs.len()) as f64, ..most };
        clamp(self, chip.leg(1), [ground, supply], all)?;
        for role in [LegRole::Input, LegRole::Output] {
            for number in sheet.legs_for(role) {
                let leg = chip.leg(number);
                let node = self.node_of(leg);
                if !self.leads_outside(node) {
                    continue;
                }
                if sheet.family.clamps_to_supply() {
                    clamp(self, leg, [node, supply], most)?;
                }
                clamp(self, leg, [ground, node], most)?;
            }
        }
        Ok(())
    }

    /// Whether a node leads to a contact of a connector on a way that is no rail.
    fn leads_outside(&self, node: Node) -> bool {
        let round = self.surroundings(node).nodes;
        let is_contact = |leg: &Leg| match leg.end {
            EndId::Controller(_) | EndId::Switch(_) | EndId::Donor | EndId::Port => true,
            EndId::Part(_) | EndId::Inside(..) => false,
        };
        let mut contacts = self.nodes.iter().filter(|(leg, _)| is_contact(leg));
        contacts.any(|(_, own)| *own != Node::GROUND && !self.rails.contains(own) && round.contains(own))
    }

    fn take_logic(
        &mut self,
        chip: &mut Chip,
        rails: Option<&Rails>,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let sheet = chip.part.sheet();
        for number in sheet.legs_for(LegRole::Input) {
            let leg = chip.leg(number);
            let node = self.node_of(leg);
            let loads = f64::from(sheet.leg(number).map_or(1, |leg| leg.loads));
            self.take_input_current(leg, sheet.family, loads, rails, purpose)?;
            let [guaranteed, typical] = thresholds(sheet, rails);
            chip.inputs
                .insert(number, self.logic.input(Input { node, guaranteed, typical, instead: Vec::new() }));
        }
        let rail_nodes = self.rail_nodes(chip);
        for number in sheet.legs_for(LegRole::Output) {
            let node = self.node_of(chip.leg(number));
            let Some(own) = &sheet.output else { continue };
            let output = output(own, node, rail_nodes, rails, purpose);
            if purpose == Purpose::Limits {
                self.put_anything(chip.leg(number), &output)?;
            }
            self.outputs.push(output.clone());
            chip.outputs.insert(number, self.logic.output(output));
        }
        for block in sheet.blocks {
            self.take_block(chip, block);
            if let (Block::Switch(switch), Purpose::Limits) = (block, purpose)
                && let Some(output) = chip.outputs.get(&switch.sides[0]).and_then(|at| self.outputs.get(*at))
            {
                self.put_anything(chip.leg(switch.sides[0]), &output.clone())?;
            }
        }
        Ok(())
    }

    /// For limits an output is anything that it can be: what a lead carries must be borne whatever the chip does.
    fn put_anything(&mut self, leg: Leg, output: &Output) -> Result<(), Unbuilt> {
        for element in &output.either {
            let id = self.put(leg, "output", *element)?;
            if matches!(element, Uncertain::Source { .. }) {
                self.sources.entry(leg).or_default().push(id);
            }
        }
        Ok(())
    }

    /// What an input takes and gives: for limits what a bipolar one gives a line that is held low.
    fn take_input_current(
        &mut self,
        leg: Leg,
        family: LogicFamily,
        loads: f64,
        rails: Option<&Rails>,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let node = self.node_of(leg);
        let taken = family.input_high_amps().value.high() * loads;
        let given = family.input_low_amps().value.high() * loads;
        match (purpose, rails) {
            (Purpose::Reading, _) => {
                self.take_amps(leg, "input current", [Node::GROUND, node], [taken, given])
            }
            (Purpose::Limits, Some(rails)) if given > A_LEAK => {
                let [low, high] = rails.supply;
                let rail = Triple::new(low, low, high).unwrap_or(Triple::exactly(high));
                self.take_given(leg, node, rail, given)
            }
            (Purpose::Limits, _) => Ok(()),
        }
    }

    fn take_block(&mut self, chip: &mut Chip, block: &Block) {
        // A sheet's blocks name legs that it has: `trade`'s tests hold that.
        let inputs = |legs: &[LegNumber]| -> Vec<usize> {
            legs.iter().filter_map(|leg| chip.inputs.get(leg)).copied().collect()
        };
        let stages = |outputs: &[solderside_trade::StageOutput]| -> Vec<(usize, usize, bool)> {
            let place = |output: &solderside_trade::StageOutput| {
                Some((*chip.outputs.get(&output.leg)?, usize::from(output.stage), output.inverted))
            };
            outputs.iter().filter_map(place).collect()
        };
        match block {
            Block::Gate(gate) => {
                let rows: Vec<Row> =
                    gate.rows().map(|(asks, does)| Row { asks, does: drive(does) }).collect();
                if let (Ok(table), Some(output)) = (
                    Table::new(gate.inputs.len(), &rows, drive(gate.otherwise)),
                    chip.outputs.get(&gate.output),
                ) {
                    self.logic.gate(table, inputs(gate.inputs), *output);
                }
            }
            Block::Register(register) => {
                let legs: Vec<LegNumber> = [register.serial, register.load]
                    .into_iter()
                    .chain(register.parallel.iter().copied())
                    .chain(register.clocks.iter().copied())
                    .collect();
                let own = Register {
                    stages: register.parallel.len(),
                    load_level: register.load_level == solderside_trade::Drive::High,
                    load_at_clock: register.load_at_clock,
                };
                self.logic.register(own, inputs(&legs), stages(register.outputs));
            }
            Block::Counter(counter) => {
                let own = Counter {
                    stages: usize::from(counter.stages),
                    counts_at: !counter.falling,
                    from_zero: chip.is_at_zero,
                };
                self.logic.counter(own, inputs(&[counter.clock, counter.reset]), stages(counter.outputs));
            }
            Block::Switch(switch) => {
                let [a, b] = switch.sides.map(|side| self.node_of(chip.leg(side)));
                let on = switch.on.value;
                let either = Triple::new(on.low(), on.high(), LEFT_OUT);
                let output = Output {
                    low: Vec::new(),
                    high: vec![Uncertain::Resistor { a, b, ohms: on }],
                    off: Vec::new(),
                    either: either.map(|ohms| Uncertain::Resistor { a, b, ohms }).into_iter().collect(),
                };
                let closed = switch.closed_at == solderside_trade::Drive::High;
                let row = |level: bool, does: Drive| Row { asks: vec![Some(level)], does };
                let rows = [row(closed, Drive::High), row(!closed, Drive::Off)];
                self.outputs.push(output.clone());
                let place = self.logic.output(output);
                chip.outputs.insert(switch.sides[0], place);
                if let (Ok(table), Some(control)) =
                    (Table::new(1, &rows, Drive::Off), chip.inputs.get(&switch.control))
                {
                    self.logic.gate(table, vec![*control], place);
                }
            }
        }
    }

    /// What the sides of a chip's switches leak while these are open; closed it tells less.
    fn take_side_leaks(&mut self, chip: &Chip) -> Result<(), Unbuilt> {
        for block in chip.part.sheet().blocks {
            let Block::Switch(switch) = block else { continue };
            for side in switch.sides {
                let leg = chip.leg(side);
                let node = self.node_of(leg);
                let leak = switch.off_amps.value;
                self.take_amps(leg, "leak of an open switch", [node, Node::GROUND], [leak, leak])?;
            }
        }
        Ok(())
    }
}

const fn drive(does: solderside_trade::Drive) -> Drive {
    match does {
        solderside_trade::Drive::Low => Drive::Low,
        solderside_trade::Drive::High => Drive::High,
        solderside_trade::Drive::Off => Drive::Off,
    }
}

/// The guaranteed and the typical thresholds of an input against the network's ground, wherever the rails are.
fn thresholds(sheet: &ChipSheet, rails: Option<&Rails>) -> [Thresholds; 2] {
    let Some(rails) = rails else {
        // Without a supply nothing is read.
        let never = Thresholds { low: Volts::literal(-1e9), high: Volts::literal(1e9) };
        return [never; 2];
    };
    let [lowest, highest] = [rails.supply[0] - rails.ground[1], rails.supply[1] - rails.ground[0]];
    let middle = Volts::new(f64::midpoint(lowest.get(), highest.get())).unwrap_or(lowest);
    let supply = Triple::new(lowest, middle, highest).unwrap_or(Triple::exactly(lowest));
    let levels = sheet.levels_at(supply);
    let [ground_low, ground_high] = rails.ground;
    [
        Thresholds {
            low: levels.low_guaranteed.value + ground_low - TO_SPARE,
            high: levels.high_guaranteed.value + ground_high + TO_SPARE,
        },
        Thresholds {
            low: levels.low_typical.value + ground_low,
            high: levels.high_typical.value + ground_high,
        },
    ]
}

/// An output as elements.
fn output(
    own: &ChipOutput,
    node: Node,
    [supply, ground]: [Node; 2],
    rails: Option<&Rails>,
    purpose: Purpose,
) -> Output {
    let Some(rails) = rails else {
        return Output { low: Vec::new(), high: Vec::new(), off: Vec::new(), either: Vec::new() };
    };
    let (low, high) = (own.low.value, own.high.map(|high| high.value));
    let off = Triple::exactly(NEXT_TO_NOTHING);
    let sink = Uncertain::Sink { node, to: ground, offset: low.offset, ohms: low.ohms, off };
    let upper = high.and_then(|high| match purpose {
        // Without its offset it gives more than it does: for limits that is the safe side.
        Purpose::Limits => Some(Uncertain::Resistor { a: supply, b: node, ohms: high.ohms }),
        Purpose::Reading => {
            let [lowest, highest] = rails.supply;
            let stands = |rail: Volts, offset: Volts| (rail - offset).max(Volts::ZERO);
            let middle = Volts::new(f64::midpoint(lowest.get(), highest.get())).unwrap_or(lowest);
            let volts = Triple::new(
                stands(lowest, high.offset.high()),
                stands(middle, high.offset.typical()),
                stands(highest, high.offset.low()),
            );
            volts.ok().map(|volts| Uncertain::Source { node, volts, ohms: high.ohms })
        }
    });
    let strongest = high.map_or(low.ohms.low(), |high| low.ohms.low().min(high.ohms.low()));
    let top = if high.is_some() { rails.supply[1] } else { rails.ground[1] };
    let bottom = rails.ground[0].min(Volts::ZERO);
    let volts = Triple::new(bottom, bottom, top.max(bottom));
    let ohms = Triple::new(strongest, strongest.max(Ohms::literal(1e6)), LEFT_OUT);
    let either = volts.as_ref().ok().zip(ohms.ok()).map(|(volts, ohms)| Uncertain::Source {
        node,
        volts: *volts,
        ohms,
    });
    let leaks = own.off_amps.and_then(|amps| match purpose {
        Purpose::Reading => {
            let amps = Triple::new(-amps.value, Amps::ZERO, amps.value).ok()?;
            Some(Uncertain::Current { a: node, b: Node::GROUND, amps })
        }
        // It leaks to one of its rails, and no more than that where the whole supply lies across it.
        Purpose::Limits => {
            let least = volts.as_ref().ok()?.high().at(amps.value).ok()?;
            let ohms = Triple::new(least, LEFT_OUT, LEFT_OUT).ok()?;
            Some(Uncertain::Source { node, volts: *volts.as_ref().ok()?, ohms })
        }
    });
    Output {
        low: vec![sink],
        high: upper.into_iter().collect(),
        off: leaks.into_iter().collect(),
        either: either.into_iter().chain(leaks).collect(),
    }
}

/// The other end of an element that ties two nodes to each other; none for what ends at a known voltage.
fn other_end(element: &Uncertain, at: Node) -> Option<Node> {
    let [a, b] = match *element {
        Uncertain::Resistor { a, b, .. } => [a, b],
        Uncertain::Diode { anode, cathode, .. } => [anode, cathode],
        Uncertain::Sink { node, to, .. } => [node, to],
        Uncertain::Source { .. } | Uncertain::Current { .. } => return None,
    };
    if a == at {
        Some(b)
    } else if b == at {
        Some(a)
    } else {
        None
    }
}
