//! Transistors: what their bases and gates take, and what they switch.
//!
//! A bipolar transistor is two branches that share its emitter: what flows into its base, and what flows into its
//! collector. Each lies between two laws of its sheet as long as the collector is never on the wrong side of the
//! emitter, where a transistor runs backwards and no sheet says how well. So for readings one is a switch only where
//! the circuit for limits shows two things, in which it is anything that it can be: its emitter is wired to a return or a
//! supply, and its collector is never beyond that. Its emitter then becomes a source of the range in which it stands, as
//! the rails of a chip do. A source of a MOSFET is an emitter here, its drain a collector, its gate a base.
//!
//! * *Off* while its base is surely no further from its emitter than keeps it off. It leaks what its sheet allows.
//! * *Closed* while its base surely takes its share of the most that its collector can ever carry, or its gate stands
//!   surely where the sheet measures it closed. Then it conducts at least as well as the sheet says, from its offset
//!   up.
//! * Whatever it does, what its collector carries is that of some resistance, no less than its least, to a voltage no
//!   further from its emitter than its offset: forwards that covers everything between off and closed, and
//!   backwards that its base leaves by its collector, as long as that stands below the offset.
//!
//! For limits its junctions are diodes, and its switch a resistance of any size.

mod stand;

use std::collections::BTreeSet;

use solderside_circuit::logic::{Drive, Input, Instead, Output, Row, Table, Thresholds};
use solderside_circuit::{ElementId, Node, Uncertain};
use solderside_profile::{PartId, Step};
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{ClosedBy, ContactId, Junction, TransistorKind, TransistorPart, TransistorSheet};

use self::stand::{ASTRAY, Stand};
use super::{Circuit, LEFT_OUT, Purpose, Unbuilt, diode};
use crate::assembly::Assembly;
use crate::lead::{EndId, Leg};

/// A transistor in the circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Transistor {
    /// What it is.
    pub part: TransistorPart,
    /// The end that its legs have.
    pub end: EndId,
    /// Where it stands.
    pub position: Position,
    /// The place of its base or gate in the logic; none unless it stands as its sheet tests it.
    pub input: Option<usize>,
    /// The place of its switch in the logic, likewise.
    pub output: Option<usize>,
}

/// Where a transistor stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Position {
    /// As its sheet tests it.
    Tested,
    /// With its collector where its emitter belongs.
    TurnedRound,
    /// Otherwise: no sheet says what it does.
    Other,
}

/// The nodes of a transistor.
#[derive(Clone, Copy)]
struct Legs {
    base: Node,
    collector: Node,
    emitter: Node,
}

impl Transistor {
    /// A leg of it.
    pub const fn leg(&self, contact: ContactId) -> Leg {
        Leg { end: self.end, contact }
    }
}

impl Circuit {
    /// The transistors, in the order in which they were taken in.
    pub fn transistors(&self) -> &[Transistor] {
        &self.transistors
    }

    /// Takes the transistors, for readings by what the circuit for limits says of their surroundings.
    pub(super) fn take_transistors(
        &mut self,
        assembly: &Assembly,
        step: &Step,
        moving: &BTreeSet<ContactId>,
        purpose: Purpose,
    ) -> Result<(), Unbuilt> {
        let transistors = assembly.transistors();
        let limits = match purpose {
            Purpose::Reading if !transistors.is_empty() => {
                Some(Self::while_moving(assembly, step, moving, Purpose::Limits)?)
            }
            Purpose::Reading | Purpose::Limits => None,
        };
        for (end, part) in transistors {
            let mut own = Transistor { part, end, position: Position::Other, input: None, output: None };
            let stand = limits.as_ref().and_then(|limits| {
                let stand = limits.stand(&own, [PartId::EMITTER, PartId::COLLECTOR]);
                let turned = || limits.stand(&own, [PartId::COLLECTOR, PartId::EMITTER]).is_some();
                own.position = match stand {
                    Some(_) => Position::Tested,
                    None if turned() => Position::TurnedRound,
                    None => Position::Other,
                };
                stand
            });
            match stand {
                Some(stand) => self.take_switching(&mut own, &stand)?,
                None => self.take_anyhow(&own)?,
            }
            self.transistors.push(own);
        }
        Ok(())
    }

    fn legs_of(&mut self, transistor: &Transistor) -> Legs {
        let [base, collector, emitter] = [PartId::BASE, PartId::COLLECTOR, PartId::EMITTER]
            .map(|contact| self.node_of(transistor.leg(contact)));
        Legs { base, collector, emitter }
    }

    /// Takes a transistor as anything that it can be.
    fn take_anyhow(&mut self, transistor: &Transistor) -> Result<(), Unbuilt> {
        let Legs { base, collector, emitter } = self.legs_of(transistor);
        let sheet = transistor.part.sheet();
        let [at_base, at_collector] = [PartId::BASE, PartId::COLLECTOR].map(|leg| transistor.leg(leg));
        if collector != emitter {
            let ohms = Triple::new(sheet.closed.value.ohms.low(), LEFT_OUT, LEFT_OUT);
            let ohms = ohms.unwrap_or(Triple::exactly(LEFT_OUT));
            let switch = Uncertain::Resistor { a: collector, b: emitter, ohms };
            let id = self.put(at_collector, "switch of the transistor", switch)?;
            self.rated.entry(at_collector).or_default().push(id);
        }
        match sheet.closed_by {
            ClosedBy::Base(own) => {
                for (other, what) in [(emitter, "base and emitter"), (collector, "base and collector")] {
                    let ends = forward(transistor.part.kind(), [base, other]);
                    let id = self.take_junction(at_base, what, ends, &own.junction)?;
                    self.rated.entry(at_base).or_default().extend(id);
                }
            }
            ClosedBy::Gate(_) => {}
        }
        self.take_body(transistor, [emitter, collector])
    }

    /// Takes a transistor that stands as its sheet tests it.
    fn take_switching(&mut self, transistor: &mut Transistor, stand: &Stand) -> Result<(), Unbuilt> {
        let legs @ Legs { base, collector, emitter } = self.legs_of(transistor);
        let kind = transistor.part.kind();
        let sheet = transistor.part.sheet();
        let at_base = transistor.leg(PartId::BASE);
        let mut instead = Vec::new();
        if emitter != Node::GROUND && self.rails.insert(emitter) {
            let supply = self.supply_of(emitter);
            let volts = range(stand.emitter);
            let source =
                |volts| Uncertain::Source { node: emitter, volts, ohms: Triple::exactly(Ohms::ZERO) };
            let id =
                self.put(transistor.leg(PartId::EMITTER), "where the transistor stands", source(volts))?;
            // Where the supply is at its highest, so is the emitter, but for what the way between takes.
            if let Some((supply, node, volts, ohms)) = supply {
                let drop = volts.low() - stand.emitter[0];
                let by = Uncertain::Source { node, volts: Triple::exactly(volts.high()), ohms };
                instead.push(Instead { element: supply, by });
                let stands = range([volts.high() - drop, stand.emitter[1]]);
                instead.push(Instead { element: id, by: source(stands) });
            }
            self.standing.insert(emitter, instead.clone());
        } else if let Some(known) = self.standing.get(&emitter) {
            instead.clone_from(known);
        }
        let input = match sheet.closed_by {
            ClosedBy::Base(own) => {
                let ends = forward(kind, [base, emitter]);
                let element = self.take_junction(at_base, "base and emitter", ends, &own.junction)?;
                let asks = stand.most.map(|most| most * own.forced_gain.value.recip());
                let drops = asks.and_then(|amps| own.junction.least().value.forward_volts(amps).ok());
                let by = asks.map(|amps| Uncertain::Current {
                    a: ends[0],
                    b: ends[1],
                    amps: Triple::new(Amps::ZERO, amps, amps).unwrap_or(Triple::exactly(amps)),
                });
                // A base on its own emitter takes nothing, and one whose share nobody knows is never said to take it.
                let asked = element.zip(by).map(|(element, by)| Instead { element, by });
                let closed = asked.and(drops).unwrap_or(NEVER);
                instead.extend(asked);
                // A little beyond its emitter the collector makes a junction with the base as well.
                input(kind, base, stand, [sheet.off.value.up_to - ASTRAY, closed], instead)
            }
            ClosedBy::Gate(own) => {
                let leak = own.leak.value;
                self.take_amps(at_base, "leak of the gate", [base, Node::GROUND], [leak, leak])?;
                input(kind, base, stand, [sheet.off.value.up_to, own.closed_from.value], instead)
            }
        };
        self.take_body(transistor, [emitter, collector])?;
        if collector == emitter {
            return Ok(());
        }
        let output = output(kind, legs, sheet, stand);
        self.outputs.push(output.clone());
        let place = self.logic.output(output);
        let on = kind != TransistorKind::Pnp;
        let does = if on { Drive::Low } else { Drive::High };
        let row = |level: bool, does: Drive| Row { asks: vec![Some(level)], does };
        if let Ok(table) = Table::new(1, &[row(on, does), row(!on, Drive::Off)], Drive::Off) {
            let input = self.logic.input(input);
            self.logic.gate(table, vec![input], place);
            (transistor.input, transistor.output) = (Some(input), Some(place));
        }
        Ok(())
    }

    fn take_junction(
        &mut self,
        leg: Leg,
        what: &str,
        [anode, cathode]: [Node; 2],
        junction: &Junction,
    ) -> Result<Option<ElementId>, Unbuilt> {
        if anode == cathode {
            return Ok(None);
        }
        let [least, most] = [junction.least(), junction.most()].map(|law| diode(&law.value));
        self.put(leg, what, Uncertain::Diode { anode, cathode, least, most }).map(Some)
    }

    /// The diode inside a MOSFET.
    fn take_body(&mut self, transistor: &Transistor, [source, drain]: [Node; 2]) -> Result<(), Unbuilt> {
        if let Some(body) = &transistor.part.sheet().body {
            let leg = transistor.leg(PartId::COLLECTOR);
            let id = self.take_junction(leg, "body diode", [source, drain], body)?;
            self.rated.entry(leg).or_default().extend(id);
        }
        Ok(())
    }
}

/// Beyond every voltage of a lead.
const NEVER: Volts = Volts::literal(1e9);

/// The ends of a junction in the order in which current flows, of the base and the other.
const fn forward(kind: TransistorKind, [base, other]: [Node; 2]) -> [Node; 2] {
    match kind {
        TransistorKind::Npn | TransistorKind::NChannel => [base, other],
        TransistorKind::Pnp => [other, base],
    }
}

fn range([low, high]: [Volts; 2]) -> Triple<Volts> {
    let middle = Volts::new(f64::midpoint(low.get(), high.get())).unwrap_or(low);
    Triple::new(low, middle, high).unwrap_or(Triple::exactly(low))
}

/// A base or a gate, by how far from the emitter it is off and closed. What a sheet tests lies far beyond where the part
/// begins to conduct, which is more to spare than a threshold has.
fn input(
    kind: TransistorKind,
    node: Node,
    stand: &Stand,
    [off, closed]: [Volts; 2],
    instead: Vec<Instead>,
) -> Input {
    let [low, high] = stand.emitter;
    let thresholds = match kind {
        TransistorKind::Npn | TransistorKind::NChannel => Thresholds { low: low + off, high: high + closed },
        TransistorKind::Pnp => Thresholds { low: low - closed, high: high - off },
    };
    Input { node, guaranteed: thresholds, typical: thresholds, instead }
}

/// The switch as elements.
fn output(kind: TransistorKind, legs: Legs, sheet: &TransistorSheet, stand: &Stand) -> Output {
    let Legs { collector, emitter, .. } = legs;
    let closed = sheet.closed.value;
    let [low, high] = stand.emitter;
    let (reach, [node, to]) = match kind {
        TransistorKind::Npn | TransistorKind::NChannel => {
            ([low, high + closed.offset.high()], [collector, emitter])
        }
        TransistorKind::Pnp => ([low - closed.offset.high(), high], [emitter, collector]),
    };
    let ohms = Triple::new(closed.ohms.low(), LEFT_OUT, LEFT_OUT).unwrap_or(Triple::exactly(LEFT_OUT));
    let anything = Uncertain::Source { node: collector, volts: range(reach), ohms };
    let off = Triple::exactly(LEFT_OUT);
    let switch = Uncertain::Sink { node, to, offset: closed.offset, ohms: closed.ohms, off };
    let leak = sheet.off.value.amps;
    let amps = Triple::new(-leak, Amps::ZERO, leak).unwrap_or(Triple::exactly(leak));
    let leak = Uncertain::Current { a: collector, b: emitter, amps };
    let on = vec![switch, anything];
    let (low, high) = match kind {
        TransistorKind::Npn | TransistorKind::NChannel => (on, Vec::new()),
        TransistorKind::Pnp => (Vec::new(), on),
    };
    Output { low, high, off: vec![leak], either: vec![anything] }
}
