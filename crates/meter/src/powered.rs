//! The third part of a meter test: the machine switched on, the controller left out, 1 kΩ across the probes.
//!
//! A meter alone takes so little that a line which is only pulled up reads as a supply, so nothing is read straight: with
//! the resistor a supply stays where it is, and such a line falls.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Body, EndId, Lead, Leg, Part};
use solderside_profile::{ActiveLevel, ControllerRole, Level, Port, PortRole};
use solderside_proof::Proof;
use solderside_quantity::{Ohms, Triple, Volts};
use solderside_trade::{ChipPart, ContactId, LegRole};

/// What lies across the probes: a supply does not notice it, a line that is only pulled up falls.
pub const ACROSS: Ohms = Ohms::literal(1000.0);

/// By how much a supply may read otherwise when the resistor is taken away: a supply of 2 Ω and the lead lose about 15 mV
/// at 5 mA, a pull-up of 1 kΩ loses half. It does not fall at all, but for what the meter is off.
pub const STEADY: Volts = Volts::literal(0.05);

/// The readings of a lead that is plugged into a powered machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Powered {
    /// The contacts through which the machine itself is powered, where the lead covers them: then it cannot be switched on
    /// with the lead alone, and nothing is read.
    pub fed: Vec<ContactId>,
    /// The chips of the lead, measured at their empty sockets.
    pub chips: Vec<PoweredChip>,
    /// Where the lead carries a supply to.
    pub supplies: Vec<PoweredSupply>,
    /// A line that tells whether the lead is plugged in at all, where no supply does.
    pub plugged_in: Option<PluggedIn>,
    /// The lines that may carry no supply; only where no supply reaches a controller.
    pub lines: Vec<PoweredLine>,
}

/// A contact of a controller's end to which the lead carries a supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoweredSupply {
    /// The contact.
    pub leg: Leg,
    /// What it is measured against; none if no return reaches that end.
    pub home: Option<Leg>,
    /// The machine's supply.
    pub volts: Triple<Volts>,
    /// Whether it comes by wire alone; else parts on the way take of it.
    pub is_wire: bool,
    /// The least that what hangs on it needs, where that is known.
    pub needs: Option<Volts>,
}

/// A chip of a lead with the legs that feed it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FedChip {
    /// The part.
    pub part: Part,
    /// Which chip it is.
    pub chip: ChipPart,
    /// Its supply leg.
    pub supply: Leg,
    /// Its ground leg.
    pub ground: Leg,
}

/// A chip of a lead, measured at its empty socket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoweredChip {
    /// The chip and its legs.
    pub legs: FedChip,
    /// The machine's supply that it hangs on, and whether by wire alone.
    pub fed: Option<(Triple<Volts>, bool)>,
}

/// A line that the machine pulls up while nothing is pressed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PluggedIn {
    /// The contact at the controller's end.
    pub leg: Leg,
    /// What it is measured against.
    pub home: Option<Leg>,
    /// What it reads at least, without the resistor.
    pub more_than: Volts,
}

/// A contact of a controller's end whose conductor may not carry a supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoweredLine {
    /// The contact.
    pub leg: Leg,
    /// What it is measured against.
    pub home: Option<Leg>,
    /// The most that a meter reads there with [`ACROSS`] beside it; none where it may be more than a line
    /// that is pulled up has.
    pub at_most: Option<Volts>,
    /// Whether a part ties it to a supply.
    pub is_pulled_up: bool,
}

impl Powered {
    /// Finds the readings of a lead.
    pub fn of(assembly: &Assembly, proof: &Proof) -> Self {
        let port = &assembly.port;
        let fed = port.contacts.iter().filter(|(_, contact)| matches!(contact.role, PortRole::Fed(_)));
        let fed: Vec<ContactId> = fed.map(|(id, _)| *id).collect();
        let mut powered =
            Self { chips: Vec::new(), supplies: Vec::new(), plugged_in: None, lines: Vec::new(), fed };
        if !powered.fed.is_empty() {
            return powered;
        }
        let chip = |legs: FedChip| PoweredChip { fed: feeds(assembly, legs.supply), legs };
        powered.chips = fed_chips(&assembly.lead).into_iter().map(chip).collect();
        powered.supplies = supplies(assembly);
        if powered.supplies.is_empty() {
            powered.plugged_in = plugged_in(assembly, proof);
        }
        let is_supplied = |end: EndId| powered.supplies.iter().any(|supply| supply.leg.end == end);
        powered.lines = lines(assembly).into_iter().filter(|line| !is_supplied(line.leg.end)).collect();
        powered
    }

    /// The most that anything in it can read: more is no voltage of this machine's port.
    pub fn most_volts(assembly: &Assembly) -> Volts {
        let port = &assembly.port;
        let supplies = port.supplies().into_iter().map(|(_, supply)| supply.volts.high());
        supplies.fold(port.rail.high(), Volts::max)
    }
}

/// The legs that a current reaches from one: along joins, through resistors, and through diodes from anode to cathode.
pub fn reached(lead: &Lead, from: Leg) -> BTreeSet<Leg> {
    let mut reached = lead.net(from);
    let mut open: Vec<Leg> = reached.iter().copied().collect();
    while let Some(leg) = open.pop() {
        for next in lead
            .across(leg)
            .filter(|_| leg.leads_on(ActiveLevel::Low))
            .into_iter()
            .flat_map(|far| lead.net(far))
        {
            if reached.insert(next) {
                open.push(next);
            }
        }
    }
    reached
}

/// The contact of an end that leads to a return, by wire if any does: all else is measured against it there.
pub fn home(assembly: &Assembly, end: EndId) -> Option<Leg> {
    let returns = assembly.port.returns();
    let ways = [beyond, beyond_parts].into_iter();
    let mut legs = ways.flat_map(|way| returns.iter().flat_map(move |contact| way(assembly, *contact)));
    legs.find(|leg| leg.end == end)
}

/// The chips of a lead, with the legs that feed them.
pub fn fed_chips(lead: &Lead) -> Vec<FedChip> {
    let fed = |part: &Part| {
        let Body::Chip(chip) = part.body else { return None };
        let leg = |role| {
            let number = chip.sheet().legs_for(role).next()?;
            Some(Leg::part(part.id(), ContactId::Number(number)))
        };
        Some(FedChip { part: *part, chip, supply: leg(LegRole::Supply)?, ground: leg(LegRole::Ground)? })
    };
    lead.parts.iter().filter_map(fed).collect()
}

/// The supply of the port that a leg hangs on, and whether by wire alone.
pub fn feeds(assembly: &Assembly, leg: Leg) -> Option<(Triple<Volts>, bool)> {
    let lead = &assembly.lead;
    let net = lead.net(leg);
    let supplies = assembly.port.supplies();
    let by_wire = supplies.iter().find(|(contact, _)| net.contains(&Leg::port(*contact)));
    let through_parts =
        || supplies.iter().find(|(contact, _)| reached(lead, Leg::port(*contact)).contains(&leg));
    by_wire
        .map(|(_, supply)| (supply.volts, true))
        .or_else(|| through_parts().map(|(_, supply)| (supply.volts, false)))
}

/// What is at the controllers' ends of the conductors that begin at these contacts of the port.
fn beyond(assembly: &Assembly, contact: ContactId) -> Vec<Leg> {
    let net = assembly.lead.net(Leg::port(contact));
    net.into_iter().filter(|leg| is_controllers(*leg)).collect()
}

/// What is at the controllers' ends and is reached from a contact of the port through parts alone.
fn beyond_parts(assembly: &Assembly, contact: ContactId) -> Vec<Leg> {
    let lead = &assembly.lead;
    let port = Leg::port(contact);
    let direct = lead.net(port);
    let either_way = |leg: &Leg| reached(lead, port).contains(leg) || reached(lead, *leg).contains(&port);
    let reach = lead.reach(port).into_iter().filter(|leg| is_controllers(*leg) && !direct.contains(leg));
    reach.filter(either_way).collect()
}

const fn is_controllers(leg: Leg) -> bool {
    match leg.end {
        EndId::Controller(_) => true,
        EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Donor | EndId::Port => false,
    }
}

/// The controllers' contacts that a line of the port feeds through parts.
fn fed_through_parts(assembly: &Assembly, line: Leg) -> impl Iterator<Item = Leg> {
    reached(&assembly.lead, line).into_iter().filter(|leg| is_controllers(*leg))
}

/// Each contact of a controller's end to which the lead carries a supply: by wire, or through parts where the controller
/// takes a supply. What parts merely pull up is no supply.
fn supplies(assembly: &Assembly) -> Vec<PoweredSupply> {
    let takes_it = |leg: &Leg| {
        let known = assembly.controller_contact(*leg);
        known.is_some_and(|contact| contact.role == ControllerRole::Supply)
    };
    let mut supplies = Vec::new();
    for (contact, supply) in assembly.port.supplies() {
        let direct = beyond(assembly, contact);
        let through = fed_through_parts(assembly, Leg::port(contact));
        let through = through.filter(|leg| takes_it(leg) && !direct.contains(leg));
        for leg in direct.iter().copied().chain(through) {
            let logic = assembly.controller(leg.end).and_then(|controller| controller.logic.as_ref());
            let is_wire =
                assembly.port.supplies().iter().any(|(own, _)| beyond(assembly, *own).contains(&leg));
            supplies.push(PoweredSupply {
                leg,
                home: home(assembly, leg.end),
                volts: supply.volts,
                is_wire,
                needs: logic.filter(|_| takes_it(&leg)).map(|logic| logic.supply_volts.low()),
            });
        }
    }
    supplies
}

/// Without this a lead that hangs loose, or whose return is none, would pass: it reads nothing at all.
fn plugged_in(assembly: &Assembly, proof: &Proof) -> Option<PluggedIn> {
    proof.actions.iter().find_map(|action| {
        assembly.port.input_of(action.leg.contact)?.pull_up?;
        let idle = action.idle.as_ref()?;
        let legs = beyond(assembly, action.leg.contact).into_iter();
        let leg = legs.chain(fed_through_parts(assembly, action.leg)).next()?;
        Some(PluggedIn { leg, home: home(assembly, leg.end), more_than: idle.typical })
    })
}

/// The used contacts of the controllers' ends, those on the return left out.
fn lines(assembly: &Assembly) -> Vec<PoweredLine> {
    let lead = &assembly.lead;
    let mut legs: Vec<Leg> = lead.joins.iter().flat_map(|join| [join.from, join.to]).collect();
    legs.sort_unstable();
    legs.dedup();
    let returns = assembly.port.returns();
    let homes: Vec<Leg> = assembly.controllers().filter_map(|(end, _)| home(assembly, end)).collect();
    let lines = legs.into_iter().filter(|leg| is_controllers(*leg)).filter_map(|leg| {
        let net = lead.net(leg);
        let is_home =
            returns.iter().any(|contact| net.contains(&Leg::port(*contact))) || homes.contains(&leg);
        // Whatever feeds the line through parts lifts it no higher than if they were wire.
        let port = assembly.port.contacts.keys().map(|contact| Leg::port(*contact));
        let port: Vec<Leg> = port.filter(|port| reached(lead, *port).contains(&leg)).collect();
        (!is_home).then(|| PoweredLine {
            leg,
            home: home(assembly, leg.end),
            at_most: {
                let (pull, port) = tied_up(assembly, leg).unwrap_or((Pull::NONE, port));
                most_with_resistor(&assembly.port, &port, pull)
            },
            is_pulled_up: is_pulled_up(assembly, leg),
        })
    });
    lines.collect()
}

/// Whether a supply reaches a leg.
fn is_pulled_up(assembly: &Assembly, leg: Leg) -> bool {
    let mut supplies = assembly.port.supplies().into_iter();
    supplies.any(|(contact, _)| reached(&assembly.lead, Leg::port(contact)).contains(&leg))
}

/// What parts of the lead give a line.
#[derive(Clone, Copy)]
struct Pull {
    /// The conductance of resistors to a supply.
    siemens: f64,
    /// What inputs of chips give at most.
    amps: f64,
}

impl Pull {
    const NONE: Self = Self { siemens: 0.0, amps: 0.0 };
}

/// What ties a line to a supply where that is resistors alone, beside inputs of chips and capacitors; with the port's
/// contacts on its net. None where nothing does, or something else leads there too.
fn tied_up(assembly: &Assembly, leg: Leg) -> Option<(Pull, Vec<Leg>)> {
    let lead = &assembly.lead;
    let supplies: Vec<Leg> =
        assembly.port.supplies().iter().map(|(contact, _)| Leg::port(*contact)).collect();
    let mut pull = Pull::NONE;
    let net = lead.net(leg);
    for own in &net {
        let Some(part) = own.part_id().and_then(|id| lead.part(id)) else { continue };
        match part.body {
            Body::Resistor(resistor) => {
                let far = lead.across(*own).map(|far| lead.net(far))?;
                let least = resistor.ohms.get() * (1.0 - resistor.tolerance);
                if !supplies.iter().any(|supply| far.contains(supply)) || least <= 0.0 {
                    return None;
                }
                pull.siemens += least.recip();
            }
            Body::Chip(chip) => {
                let ContactId::Number(number) = own.contact else { return None };
                let sheet = chip.sheet();
                let input = sheet.leg(number).filter(|leg| leg.role == LegRole::Input)?;
                pull.amps += sheet.family.input_low_amps().value.high().get() * f64::from(input.loads);
            }
            Body::Capacitor(_) => {}
            Body::Diode(_) | Body::Transistor(_) | Body::Changeover(_) => return None,
        }
    }
    let port = net.into_iter().filter(|own| own.end == EndId::Port).collect();
    (pull.siemens > 0.0).then_some((pull, port))
}

/// The most that a meter reads on a net of inputs with [`ACROSS`] from there to the return: the pull-ups divide
/// with it, and a bipolar input adds its low-level current.
///
/// None where the machine can drive the net high, or where a supply would read no higher.
fn most_with_resistor(port: &Port, net: &[Leg], pull: Pull) -> Option<Volts> {
    let Pull { mut siemens, mut amps } = pull;
    for leg in net {
        let input = port.input_of(leg.contact)?;
        // A line that the machine may hold high, in its script or at other times, has no such figure.
        let scripted = port.steps.iter().any(|step| step.drives.get(&leg.contact) == Some(&Level::High));
        let driven = port.contacts.get(&leg.contact).and_then(|contact| contact.driven);
        if scripted || driven.is_some_and(|driven| driven.levels().contains(&Level::High)) {
            return None;
        }
        siemens += input.pull_up.map_or(0.0, |pull_up| pull_up.low().get().recip());
        amps += input.family.input_low_amps().value.high().get();
    }
    let supplies = port.supplies().into_iter().map(|(_, supply)| supply.volts.high());
    let highest = supplies.filter(|_| pull.siemens > 0.0).fold(port.rail.high(), Volts::max);
    let volts = (highest.get() * siemens + amps) / (siemens + ACROSS.get().recip());
    // A hand-held meter on a line that hums does not show a hundredth of a volt.
    let rounded = Volts::new((volts * 10.0).ceil().max(1.0) / 10.0).ok()?;
    (rounded < port.rail.low()).then_some(rounded)
}
