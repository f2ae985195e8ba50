//! The circuit that a lead makes with what it is plugged into.

mod chips;
mod donor;
mod inside;
mod transistors;

use std::collections::{BTreeMap, BTreeSet};

use solderside_circuit::logic::{Instead, Logic, Output};
use solderside_circuit::{Diode, Element, ElementId, Network, Node, Refused, Spread, Uncertain};
use solderside_profile::{
    AxisInput, Body, Charge, Control, Controller, ControllerRole, InputCircuit, Level, OutputKind, PadLogic,
    PartId, PortRole, Pot, Ramp, Step,
};
use solderside_quantity::{Amps, Farads, NotFinite, Ohms, Seconds, Triple, Volts};
use solderside_trade::{ContactId, DiodeModel, LogicFamily, ROOM, SILICON_1N4148, connector_contact_ohms};

use self::donor::{beside_own, lies_across_by_wire};

pub use self::chips::{Chip, Surroundings};
pub use self::transistors::{Position, Transistor};

use crate::assembly::Assembly;
use crate::lead::{EndId, Holder, Join, Leg};

use crate::state::State;

/// What a discharged input leaks (assumed, no source): next to what charges it, nothing.
const CHARGED_LEAK: Ohms = Ohms::literal(100e6);

/// What stands for a current too small to count: a chip that takes nothing is 1 GΩ.
const NEXT_TO_NOTHING: Ohms = Ohms::literal(1e9);

/// The low level at which an input's current is stated: 0.4 V (DM74LS157 / DM74LS158 data sheet, page 3).
const STATED_AT: Volts = Volts::literal(0.4);

/// What stands for a contact that is left out where a circuit covers its being open as well as closed.
///
/// A hundred of them with 100 V across carry 10 fA between them, which moves a line that is no further than 1 GΩ
/// from a known voltage by 10 µV, and one of 100 kΩ by 1 nV.
const LEFT_OUT: Ohms = Ohms::literal(1e18);

/// A pot at its stop, where it is next to a wire: the least that anybody need allow for (assumed, no source).
pub const AT_THE_STOP: Ohms = Ohms::literal(0.01);

/// What the circuit is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// What inputs read. A bipolar input then feeds its line with up to its guaranteed low-level current.
    Reading,
    /// What contacts are exposed to. The currents of inputs and of outputs that are off are resistances then, as
    /// they end where nothing drives them: what an input gives at a low level lifts no line above its rail, and
    /// what is taken at a high level pulls none below ground.
    Limits,
}

/// When a switch is closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// While its control is pressed.
    Pressed,
    /// While its control is not pressed: the upper half of a push-pull output.
    Released,
}

/// What an element of the circuit is, in the words of the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where it sits.
    pub leg: Leg,
    /// What it is: `pull-up`, `supply`, `conductor`.
    pub what: String,
}

/// Why no circuit could be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unbuilt {
    /// A profile's value cannot be an element's.
    #[error("`{leg}`: {refused}; the profile has to be mended")]
    Refused {
        /// The contact that it belongs to.
        leg: Leg,
        /// What is wrong with it.
        refused: Refused,
    },
    /// A profile's values give a number outside the range of numbers.
    #[error("the profile's values lie too far apart: {0}")]
    Range(#[from] NotFinite),
}

struct Switch {
    control: Control,
    when: When,
    element: Uncertain,
    label: Label,
}

impl Switch {
    /// A contact that may be closed or open, or an output that sinks or lets go: at every voltage it carries between
    /// next to nothing and what it carries while it is closed. None for what drives both ways.
    fn perhaps_closed(&self) -> Option<Uncertain> {
        let left_out = |ohms: Triple<Ohms>| Triple::new(ohms.low(), ohms.typical(), LEFT_OUT).ok();
        match (self.when, self.element) {
            (When::Pressed, Uncertain::Resistor { a, b, ohms }) => {
                Some(Uncertain::Resistor { a, b, ohms: left_out(ohms)? })
            }
            (When::Pressed, Uncertain::Sink { node, to, offset, ohms, off }) => {
                Some(Uncertain::Sink { node, to, offset, ohms: left_out(ohms)?, off: left_out(off)? })
            }
            (
                When::Pressed,
                Uncertain::Source { .. } | Uncertain::Current { .. } | Uncertain::Diode { .. },
            )
            | (When::Released, _) => None,
        }
    }
}

/// A lead with both its ends as one network; switches are put in state by state.
pub struct Circuit {
    network: Spread,
    nodes: BTreeMap<Leg, Node>,
    switches: Vec<Switch>,
    labels: Vec<Label>,
    sources: BTreeMap<Leg, Vec<ElementId>>,
    /// What a limit of its own is on: the clamps of a pad's output, a part.
    rated: BTreeMap<Leg, Vec<ElementId>>,
    chips: Vec<Chip>,
    transistors: Vec<Transistor>,
    logic: Logic,
    /// The outputs of the logic, in its order.
    outputs: Vec<Output>,
    /// The supply and the ground of each chip, and where transistors stand.
    rails: BTreeSet<Node>,
    /// How transistors are read that stand there.
    standing: BTreeMap<Node, Vec<Instead>>,
    /// The pot at a controller's contact.
    pots: BTreeMap<Leg, ElementId>,
}

impl Circuit {
    /// Lowers an assembly in one step of the machine's reading.
    ///
    /// An open switch is left out: from 10 kΩ upwards a contact counts as open, and a sound one has
    /// over 1 GΩ. So is a control whose contact is joined to nothing.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element's.
    pub fn of(assembly: &Assembly, step: &Step, purpose: Purpose) -> Result<Self, Unbuilt> {
        Self::while_moving(assembly, step, &BTreeSet::new(), purpose)
    }

    /// Lowers an assembly in the moment in which the machine moves these of its lines: each may be at any level.
    ///
    /// # Errors
    /// As [`Circuit::of`].
    pub fn while_moving(
        assembly: &Assembly,
        step: &Step,
        moving: &BTreeSet<ContactId>,
        purpose: Purpose,
    ) -> Result<Self, Unbuilt> {
        let mut circuit = Self {
            network: Spread::new(),
            nodes: BTreeMap::new(),
            switches: Vec::new(),
            labels: Vec::new(),
            sources: BTreeMap::new(),
            rated: BTreeMap::new(),
            chips: Vec::new(),
            transistors: Vec::new(),
            logic: Logic::new(),
            outputs: Vec::new(),
            rails: BTreeSet::new(),
            standing: BTreeMap::new(),
            pots: BTreeMap::new(),
        };
        circuit.take_nets(
            assembly
                .lead
                .joins
                .iter()
                .filter(|join| is_short(assembly, join))
                .map(|join| [join.from, join.to]),
        );
        circuit.take_port(assembly, step, moving, purpose)?;
        for ((end, controller), at) in assembly.controllers().zip(0..) {
            circuit.take_controller(assembly, end, controller, purpose)?;
            if let Some(inside) = &controller.inside {
                circuit.take_inside(Holder::Controller(at), controller, inside)?;
            }
        }
        if let Some(donor) = &assembly.donor {
            circuit.take_donor(assembly, donor)?;
        }
        for part in &assembly.lead.parts {
            circuit.take_part(EndId::Part(part.id()), part.body)?;
        }
        circuit.take_joins(assembly)?;
        circuit.take_transistors(assembly, step, moving, purpose)?;
        circuit.take_chips(assembly, purpose)?;
        Ok(circuit)
    }

    /// The network with the switches of a state closed.
    pub fn in_state(&self, state: &State) -> Spread {
        // Each was tried when it was taken in.
        self.network.with_more(self.closed(state).map(|switch| &switch.element))
    }

    /// The network at its typical values with every switch in it, open at 1 GΩ, and when each is
    /// closed: what a sweep over all states takes.
    pub fn with_switches(&self) -> (Network, Vec<(Control, When, ElementId)>) {
        let mut network = self.network.typical();
        let mut switches = Vec::new();
        for Switch { control, when, element, .. } in &self.switches {
            let element = match *element {
                Uncertain::Resistor { a, b, ohms } => {
                    Element::Switch { a, b, closed: false, on: ohms.typical(), off: NEXT_TO_NOTHING }
                }
                Uncertain::Sink { node, to, offset, ohms, off } => Element::OpenCollector {
                    node,
                    to,
                    on: false,
                    offset: offset.typical(),
                    ohms: ohms.typical(),
                    off: off.typical(),
                },
                // Nothing else is ever put in as a switch.
                Uncertain::Source { .. } | Uncertain::Current { .. } | Uncertain::Diode { .. } => continue,
            };
            // It was tried when it was taken in.
            if let Ok(id) = network.add(element) {
                switches.push((control.clone(), *when, id));
            }
        }
        (network, switches)
    }

    /// One network for many states: the switches of `pressed` closed, and those of `either` as resistors that may
    /// have any value from a closed contact's least to an open one's, outputs that only sink likewise. Controls of
    /// `either` must be such that they [only conduct](Circuit::only_conducts); others count as released.
    ///
    /// What is never passed in this network is passed in none of the states by more than 10 µV: a bound asks of an
    /// element only that it conducts between its least and its most, and both an open switch and a closed one do.
    pub fn in_states(&self, pressed: &State, either: &State) -> Spread {
        // Each closed contact was tried when it was taken in.
        let perhaps: Vec<Uncertain> = self.perhaps_closed(either).map(|(_, element)| element).collect();
        self.network.with_more(self.closed(pressed).map(|switch| &switch.element).chain(&perhaps))
    }

    /// Whether a control is nothing but contacts that close while it is pressed, if it is in the circuit at all.
    /// What a chip drives is more than that.
    pub fn is_contact(&self, control: &Control) -> bool {
        let is_resistor = |switch: &Switch| matches!(switch.element, Uncertain::Resistor { .. });
        self.only_conducts(control)
            && self.switches.iter().filter(|switch| switch.control == *control).all(is_resistor)
    }

    /// Whether a control does nothing but let something conduct while it is pressed: its contacts, or outputs of chips
    /// that only sink. An output that drives both ways does more than that.
    pub fn only_conducts(&self, control: &Control) -> bool {
        let mut of_control = self.switches.iter().filter(|switch| switch.control == *control);
        of_control.all(|switch| switch.perhaps_closed().is_some())
    }

    /// The control of `either` to which an element of [`Circuit::in_states`] belongs.
    pub fn control_of<'s>(&self, id: ElementId, pressed: &State, either: &'s State) -> Option<&'s Control> {
        let before = self.labels.len() + self.closed(pressed).count();
        let (switch, _) = self.perhaps_closed(either).nth(id.index().checked_sub(before)?)?;
        either.get(&switch.control)
    }

    /// What each element of [`Circuit::in_state`] is.
    pub fn label(&self, id: ElementId, state: &State) -> Option<&Label> {
        let at = id.index();
        self.labels
            .get(at)
            .or_else(|| self.closed(state).nth(at - self.labels.len()).map(|switch| &switch.label))
    }

    /// The node of a contact; none if it has no part in the circuit.
    pub fn node(&self, leg: Leg) -> Option<Node> {
        self.nodes.get(&leg).copied()
    }

    /// The pot at a controller's contact; none if there is none, or it is joined to nothing.
    pub fn pot(&self, leg: Leg) -> Option<ElementId> {
        self.pots.get(&leg).copied()
    }

    /// The sources behind a contact: a supply, a driven line, a pull-up.
    pub fn sources(&self, leg: Leg) -> &[ElementId] {
        self.sources.get(&leg).map_or(&[], Vec::as_slice)
    }

    /// What is rated by itself behind a leg, in a network in which these controls are pressed and those may be: the
    /// halves and the clamps of a pad's output, or the part whose first leg it is.
    pub fn rated(&self, leg: Leg, pressed: &State, either: &State) -> Vec<ElementId> {
        let closed = self.closed(pressed);
        let switches = closed.chain(self.perhaps_closed(either).map(|(switch, _)| switch)).enumerate();
        let of_leg = switches.filter(|(_, switch)| switch.label.leg == leg);
        let standing = self.rated.get(&leg).into_iter().flatten().copied();
        standing.chain(of_leg.map(|(at, _)| ElementId::at(self.labels.len() + at))).collect()
    }

    fn closed(&self, state: &State) -> impl Iterator<Item = &Switch> + Clone {
        self.switches
            .iter()
            .filter(|switch| state.contains(&switch.control) == (switch.when == When::Pressed))
    }

    fn perhaps_closed(&self, either: &State) -> impl Iterator<Item = (&Switch, Uncertain)> {
        let switches = self.switches.iter().filter(|switch| either.contains(&switch.control));
        switches.filter_map(|switch| Some((switch, switch.perhaps_closed()?)))
    }

    fn take_port(
        &mut self,
        assembly: &Assembly,
        step: &Step,
        moving: &BTreeSet<ContactId>,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let port = &assembly.port;
        // A shell of which nothing is known is the machine's ground as soon as something must not touch that; whether it
        // carries anything home is not known.
        if purpose == Purpose::Limits && !port.contacts.contains_key(&ContactId::Shell) {
            self.nodes.insert(Leg::port(ContactId::Shell), Node::GROUND);
        }
        for (id, contact) in &port.contacts {
            let leg = Leg::port(*id);
            // What is neither read nor joined is the machine's own affair.
            let is_read = matches!(contact.role, PortRole::Action { .. } | PortRole::Data { .. });
            if !is_read && assembly.lead.joined(leg).next().is_none() {
                continue;
            }
            match &contact.role {
                PortRole::Return => {
                    self.nodes.insert(leg, Node::GROUND);
                }
                PortRole::Action { input, .. } | PortRole::Data { input } | PortRole::Sense { input } => {
                    let node = self.node_of(leg);
                    if let Some(input) = port.inputs.get(input) {
                        self.take_input(leg, node, input, port.rail, purpose)?;
                        if moving.contains(id) {
                            self.take_moving(leg, input.family, port.rail)?;
                        }
                        let action = contact.action();
                        if action.is_some_and(|action| step.held.contains(action)) {
                            let row = port.drive_family().unwrap_or(input.family);
                            self.take_output(leg, row, Level::Low, port.rail, purpose)?;
                        }
                        // A line that the machine can also drive, in a step that does.
                        if let Some(level @ (Level::Low | Level::High)) = step.drives.get(id) {
                            self.take_output(leg, input.family, *level, port.rail, purpose)?;
                        }
                    }
                }
                PortRole::Supply(supply) | PortRole::Fed(supply) | PortRole::Signal(supply) => {
                    let node = self.node_of(leg);
                    self.source_at(leg, &assembly.function(leg), node, supply.volts, supply.ohms)?;
                }
                PortRole::Drive(family) if moving.contains(id) => {
                    self.take_moving(leg, *family, port.rail)?;
                }
                PortRole::Drive(family) => {
                    let level = step.drives.get(id).copied().unwrap_or(Level::Released);
                    self.take_output(leg, *family, level, port.rail, purpose)?;
                }
                // The machine discharges it through a transistor, taken as the output of a port of the same age
                // (assumed, no source).
                PortRole::Pot => {
                    if step.drives.get(id) == Some(&Level::Low) {
                        self.take_output(leg, LogicFamily::NmosPort, Level::Low, port.rail, purpose)?;
                    }
                }
                PortRole::Axis(AxisInput { input, .. }) => {
                    if let Some(ramp) = port.inputs.get(input).and_then(|input| input.ramp) {
                        self.take_ramp(leg, ramp, port.rail)?;
                    }
                }
                PortRole::Unused => {}
            }
        }
        Ok(())
    }

    fn take_input(
        &mut self,
        leg: Leg,
        node: Node,
        input: &InputCircuit,
        rail: Triple<Volts>,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        if let Some(pull_up) = input.pull_up {
            self.source_at(leg, "pull-up", node, rail, pull_up)?;
        }
        if let Some(ohms) = input.pull_down {
            match purpose {
                // A source of nothing is the same resistance, and is told with what flows at the contact.
                Purpose::Limits => {
                    self.source_at(leg, "pull-down", node, Triple::exactly(Volts::ZERO), ohms)?;
                }
                Purpose::Reading => {
                    self.put(leg, "pull-down", Uncertain::Resistor { a: node, b: Node::GROUND, ohms })?;
                }
            }
        }
        let taken = input.family.input_high_amps().value.high();
        let given = input.family.input_low_amps().value.high();
        match purpose {
            Purpose::Limits => {
                let levels = input.family.levels_at(rail);
                self.take_leak(leg, "what the input takes", node, levels.high_guaranteed.value, taken)?;
                self.take_given(leg, node, rail, given)
            }
            Purpose::Reading => {
                if let Some(charge) = input.charge {
                    self.take_charge(leg, node, input, charge, rail)?;
                }
                self.take_amps(leg, "input current", [Node::GROUND, node], [taken, given])
            }
        }
    }

    /// A current that may flow from `a` to `b` up to the second of two sizes, or back up to the first.
    fn take_amps(
        &mut self,
        leg: Leg,
        what: &str,
        [a, b]: [Node; 2],
        [back, forth]: [Amps; 2],
    ) -> Result<(), Unbuilt> {
        if back == Amps::ZERO && forth == Amps::ZERO {
            return Ok(());
        }
        let amps = Triple::new(-back, Amps::ZERO, forth).unwrap_or(Triple::exactly(forth));
        self.put(leg, what, Uncertain::Current { a, b, amps })?;
        Ok(())
    }

    /// What a contact takes to the ground, at most so much at a voltage, as a resistance.
    fn take_leak(&mut self, leg: Leg, what: &str, node: Node, at: Volts, amps: Amps) -> Result<(), Unbuilt> {
        let least = resistance(at, amps)?;
        if least < NEXT_TO_NOTHING {
            let ohms = Triple::new(least, NEXT_TO_NOTHING, NEXT_TO_NOTHING).unwrap_or(Triple::exactly(least));
            self.source_at(leg, what, node, Triple::exactly(Volts::ZERO), ohms)?;
        }
        Ok(())
    }

    /// What an input gives while it is held low, as a resistance to its rail: the strongest gives the stated current at
    /// the low level and on the high rail for which that is stated. Its typical share is left out here as for readings.
    fn take_given(&mut self, leg: Leg, node: Node, rail: Triple<Volts>, amps: Amps) -> Result<(), Unbuilt> {
        let least = resistance((rail.high() - STATED_AT).max(Volts::ZERO), amps)?;
        if Ohms::ZERO < least && least < NEXT_TO_NOTHING {
            let ohms = Triple::new(least, NEXT_TO_NOTHING, NEXT_TO_NOTHING).unwrap_or(Triple::exactly(least));
            self.source_at(leg, "what the input gives", node, rail, ohms)?;
        }
        Ok(())
    }

    /// An input that must charge in time, as a steady current.
    ///
    /// What feeds it gives less the higher it is charged. If it still gives C·V/t at the threshold V, then it
    /// gave at least that all the way, and the charge was complete within t. If nothing feeds it, it stays low.
    fn take_charge(
        &mut self,
        leg: Leg,
        node: Node,
        input: &InputCircuit,
        charge: Charge,
        rail: Triple<Volts>,
    ) -> Result<(), Unbuilt> {
        let threshold = input.family.levels_at(rail).high_guaranteed.value;
        let mean = |farads: Farads, seconds: Seconds| {
            Amps::new(farads.get() * threshold.get() / seconds.get()).map_err(Unbuilt::Range)
        };
        let most = mean(charge.farads.high(), charge.seconds.low())?;
        let typical = mean(charge.farads.typical(), charge.seconds.typical())?;
        let amps = Triple::new(Amps::ZERO, typical.min(most), most).unwrap_or(Triple::exactly(most));
        self.put(leg, "charging current", Uncertain::Current { a: node, b: Node::GROUND, amps })?;
        let ohms = Triple::exactly(CHARGED_LEAK);
        self.put(leg, "leak", Uncertain::Resistor { a: node, b: Node::GROUND, ohms })?;
        Ok(())
    }

    /// What an axis charges, as a source: it stands anywhere between nothing, while it is discharged, and the rail.
    fn take_ramp(&mut self, leg: Leg, ramp: Ramp, rail: Triple<Volts>) -> Result<(), Unbuilt> {
        let node = self.node_of(leg);
        let volts = Triple::new(Volts::ZERO, Volts::ZERO, rail.high()).unwrap_or(rail);
        let least = ramp.series.low().max(AT_THE_STOP);
        let middle = ramp.series.typical().max(least);
        let ohms = Triple::new(least, middle, ramp.series.high().max(middle)).unwrap_or(ramp.series);
        self.source_at(leg, "what the axis charges", node, volts, ohms)
    }

    fn take_output(
        &mut self,
        leg: Leg,
        family: LogicFamily,
        level: Level,
        rail: Triple<Volts>,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let node = self.node_of(leg);
        match level {
            Level::Low => {
                // A low output takes current and gives none, wherever its offset leaves it.
                let low = family.output_low().value;
                let off = Triple::exactly(NEXT_TO_NOTHING);
                let sink =
                    Uncertain::Sink { node, to: Node::GROUND, offset: low.offset, ohms: low.ohms, off };
                let id = self.put(leg, "output held low", sink)?;
                self.sources.entry(leg).or_default().push(id);
                Ok(())
            }
            Level::High => {
                let high = family.output_high().value;
                let from = |rail: Volts, offset: Volts| (rail - offset).max(Volts::ZERO);
                // Rising, as the offset's own order is turned round by the subtraction.
                let [low, middle, top] = [
                    from(rail.low(), high.offset.high()),
                    from(rail.typical(), high.offset.typical()),
                    from(rail.high(), high.offset.low()),
                ];
                let volts = Triple::new(low, middle, top).unwrap_or(Triple::exactly(top));
                self.source_at(leg, "output held high", node, volts, high.ohms)
            }
            Level::Released => {
                let leak = family.off_amps().value;
                match purpose {
                    Purpose::Limits => self.take_leak(leg, "output that is off", node, rail.high(), leak)?,
                    Purpose::Reading => {
                        let out = [node, Node::GROUND];
                        self.take_amps(leg, "output that is off", out, [Amps::ZERO, leak])?;
                    }
                }
                match family.pull_up() {
                    Some(pull_up) => self.source_at(leg, "pull-up", node, rail, pull_up.value),
                    None => Ok(()),
                }
            }
        }
    }

    /// An output that may be at any level.
    fn take_moving(&mut self, leg: Leg, family: LogicFamily, rail: Triple<Volts>) -> Result<(), Unbuilt> {
        let node = self.node_of(leg);
        let strongest = family.output_low().value.ohms.low().min(family.output_high().value.ohms.low());
        let volts = Triple::new(Volts::ZERO, rail.typical(), rail.high());
        let ohms = Triple::new(strongest, strongest, LEFT_OUT);
        if let (Ok(volts), Ok(ohms)) = (volts, ohms) {
            self.source_at(leg, "moving output", node, volts, ohms)?;
        }
        Ok(())
    }

    fn take_controller(
        &mut self,
        assembly: &Assembly,
        end: EndId,
        controller: &Controller,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let at = |contact: ContactId| Leg { end, contact };
        self.take_commons(end, controller);
        let supply = controller.supply().map(at);
        let ground = controller.chip_commons().first().copied().map(at);
        if let (Some(logic), Some(leg), Some(ground)) = (&controller.logic, supply, ground) {
            let [node, common] = [leg, ground].map(|leg| self.node_of(leg));
            self.take_load(leg, node, common, logic)?;
        }
        for (id, contact) in &controller.contacts {
            let leg = at(*id);
            if assembly.lead.joined(leg).next().is_none() {
                continue;
            }
            match &contact.role {
                ControllerRole::Control(control) => {
                    let Some(common) = controller.commons_of(control).first().copied() else { continue };
                    let [node, common] = [leg, at(common)].map(|leg| self.node_of(leg));
                    if let (Some(logic), Some(supply)) = (controller.driver_of(control), supply) {
                        let supply = self.node_of(supply);
                        self.take_pad_output(leg, control, [node, common, supply], logic, purpose)?;
                    } else {
                        let what = match controller.series_of(control) {
                            Some(_) => "switch with its series resistor",
                            None => "switch",
                        };
                        let closed = controller.closed_ohms(control);
                        let has_own = lies_across_by_wire(assembly, end, control, |_| true);
                        let ohms = if has_own { beside_own(closed) } else { closed };
                        let element = Uncertain::Resistor { a: node, b: common, ohms };
                        self.switch(leg, what, control, When::Pressed, element)?;
                    }
                }
                ControllerRole::Pot(pot) => self.take_pot(leg, at(pot.other_end), pot)?,
                ControllerRole::Wired { .. }
                | ControllerRole::Common
                | ControllerRole::Supply
                | ControllerRole::DoNotConnect
                | ControllerRole::Unused => {}
            }
        }
        Ok(())
    }

    /// A node for each net of commons.
    fn take_commons(&mut self, end: EndId, controller: &Controller) {
        for net in controller.common_nets() {
            let common = self.network.node();
            self.nodes.extend(net.into_iter().map(|contact| (Leg { end, contact }, common)));
        }
    }

    /// A pot as a resistor that may have any value of its travel.
    fn take_pot(&mut self, leg: Leg, other_end: Leg, pot: &Pot) -> Result<(), Unbuilt> {
        let [a, b] = [leg, other_end].map(|leg| self.node_of(leg));
        let middle = Ohms::new(pot.ohms.typical().get() / 2.0)?.max(AT_THE_STOP);
        let ohms = Triple::new(AT_THE_STOP, middle, pot.ohms.high().max(middle));
        let ohms = ohms.unwrap_or(pot.ohms);
        let id = self.put(leg, "pot", Uncertain::Resistor { a, b, ohms })?;
        self.pots.insert(leg, id);
        Ok(())
    }

    /// The chips of a pad as a resistor: what takes 5 mA at 5 V is 1 kΩ, and takes less when it sags.
    fn take_load(&mut self, leg: Leg, node: Node, common: Node, logic: &PadLogic) -> Result<(), Unbuilt> {
        let volts = logic.supply_volts.typical();
        let ohms = |amps: Amps| resistance(volts, amps);
        let amps = logic.supply_amps;
        let triple = Triple::new(ohms(amps.high())?, ohms(amps.typical())?, ohms(amps.low())?);
        let ohms = triple.unwrap_or(Triple::exactly(NEXT_TO_NOTHING));
        self.put(leg, "load of the pad's chips", Uncertain::Resistor { a: node, b: common, ohms })?;
        Ok(())
    }

    fn take_pad_output(
        &mut self,
        leg: Leg,
        control: &Control,
        [node, common, supply]: [Node; 3],
        logic: &PadLogic,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let low = logic.family.output_low().value;
        let off = Triple::exactly(NEXT_TO_NOTHING);
        let sink = Uncertain::Sink { node, to: common, offset: low.offset, ohms: low.ohms, off };
        self.switch(leg, "pad output held low", control, When::Pressed, sink)?;
        if logic.output == OutputKind::PushPull {
            let ohms = logic.family.output_high().value.ohms;
            let upper = Uncertain::Resistor { a: supply, b: node, ohms };
            self.switch(leg, "pad output held high", control, When::Released, upper)?;
        } else if purpose == Purpose::Reading {
            // While it is low it leaks as well, which tells in no reading.
            let leak = logic.family.off_amps().value;
            self.take_amps(leg, "pad output that is off", [node, common], [Amps::ZERO, leak])?;
        }
        // What keeps a chip's contacts between its rails also feeds it when it has no supply.
        let [least, most] = clamp_pair();
        if logic.family.clamps_to_supply() {
            let clamp = Uncertain::Diode { anode: node, cathode: supply, least, most };
            let id = self.put(leg, "clamp to the pad's supply", clamp)?;
            self.rated.entry(leg).or_default().push(id);
        }
        let clamp = Uncertain::Diode { anode: common, cathode: node, least, most };
        let id = self.put(leg, "clamp to the pad's common", clamp)?;
        self.rated.entry(leg).or_default().push(id);
        Ok(())
    }

    /// A part that is the same whatever is pressed. A capacitor carries nothing once its line is settled.
    fn take_part(&mut self, end: EndId, body: Body) -> Result<(), Unbuilt> {
        let [first, second] = [PartId::ANODE, PartId::CATHODE].map(|contact| Leg { end, contact });
        let [a, b] = [first, second].map(|leg| self.node_of(leg));
        let (what, element) = match body {
            Body::Diode(bought) => {
                let [least, most] = [bought.least(), bought.most()].map(|law| diode(&law.value));
                (bought.name().to_owned(), Uncertain::Diode { anode: a, cathode: b, least, most })
            }
            Body::Resistor(resistor) => {
                (body.to_string(), Uncertain::Resistor { a, b, ohms: resistor.triple() })
            }
            Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => return Ok(()),
        };
        // A part that is bridged by a wire carries nothing.
        if a == b {
            return Ok(());
        }
        let id = self.put(first, &what, element)?;
        self.rated.entry(first).or_default().push(id);
        Ok(())
    }

    fn take_joins(&mut self, assembly: &Assembly) -> Result<(), Unbuilt> {
        let mated = connector_contact_ohms().value;
        for join in assembly.lead.joins.iter().filter(|join| !is_short(assembly, join)) {
            // Each leg of a connector adds its mated contact; a part's is soldered, and so is a donor's.
            let contacts = [join.from, join.to].into_iter().filter(|leg| leg.is_mated());
            let ohms = contacts.fold(assembly.lead.wire_ohms(join), |ohms, _| ohms.plus(mated));
            let is_at_switch = [join.from, join.to].iter().any(|leg| leg.switch().is_some())
                && assembly.donor.as_ref().is_some_and(|donor| !donor.is_left_alone());
            let ohms = if is_at_switch { beside_own(ohms) } else { ohms };
            let [a, b] = [join.from, join.to].map(|leg| self.node_of(leg));
            if join.is_of_switch() {
                // A contact that is bridged by a wire carries nothing.
                if a == b {
                    continue;
                }
                let id = self.put(join.to, "switch contact", Uncertain::Resistor { a, b, ohms })?;
                self.rated.entry(join.to).or_default().push(id);
                continue;
            }
            self.put(join.from, "conductor", Uncertain::Resistor { a, b, ohms })?;
        }
        Ok(())
    }

    fn node_of(&mut self, leg: Leg) -> Node {
        *self.nodes.entry(leg).or_insert_with(|| self.network.node())
    }

    fn source_at(
        &mut self,
        leg: Leg,
        what: &str,
        node: Node,
        volts: Triple<Volts>,
        ohms: Triple<Ohms>,
    ) -> Result<(), Unbuilt> {
        let id = self.put(leg, what, Uncertain::Source { node, volts, ohms })?;
        self.sources.entry(leg).or_default().push(id);
        Ok(())
    }

    fn switch(
        &mut self,
        leg: Leg,
        what: &str,
        control: &Control,
        when: When,
        element: Uncertain,
    ) -> Result<(), Unbuilt> {
        // Tried here, so that closing it later cannot fail.
        self.network.clone().add(element).map_err(|refused| Unbuilt::Refused { leg, refused })?;
        self.switches.push(Switch {
            control: control.clone(),
            when,
            element,
            label: Label { leg, what: what.to_owned() },
        });
        Ok(())
    }

    fn put(&mut self, leg: Leg, what: &str, element: Uncertain) -> Result<ElementId, Unbuilt> {
        let id = self.network.add(element).map_err(|refused| Unbuilt::Refused { leg, refused })?;
        self.labels.push(Label { leg, what: what.to_owned() });
        Ok(id)
    }
}

/// The resistance that takes so much at a voltage; one that stands for nothing where that is next to none.
fn resistance(volts: Volts, amps: Amps) -> Result<Ohms, NotFinite> {
    if amps.get() * NEXT_TO_NOTHING.get() <= volts.get() { Ok(NEXT_TO_NOTHING) } else { volts.at(amps) }
}

/// A chip's clamp between its extremes: it is no diode of the shop, but five times weaker or stronger, as far as
/// anybody promises (assumed, no source).
fn clamp_pair() -> [Diode; 2] {
    let [cold, warm] = ROOM.map(|kelvin| diode(&SILICON_1N4148.value.at_temperature(kelvin)));
    [Diode { is: cold.is * 0.2, ..cold }, Diode { is: warm.is * 5.0, ..warm }]
}

/// Whether a join is a wire from part to part in one hood: a few milliohms, which move nothing by a millivolt.
fn is_short(assembly: &Assembly, join: &Join) -> bool {
    let is_part = |leg: Leg| leg.part_id().is_some();
    is_part(join.from) && is_part(join.to) && !join.is_of_switch() && !assembly.lead.runs_through_cable(join)
}

fn diode(model: &DiodeModel) -> Diode {
    Diode { is: model.is_amps, n: model.n, rs: model.rs, at: model.at }
}
