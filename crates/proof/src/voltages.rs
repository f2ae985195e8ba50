//! Voltages at contacts and across parts, against what they stand.

use solderside_circuit::{Argument, Bound, Extreme, Node, Spread, Uncertain};
use solderside_lead::{Assembly, Body, EndId, Leg, PartId};
use solderside_profile::{AxisInput, Controller, PortRole};
use solderside_quantity::{Ohms, Triple, Volts};
use solderside_trade::{ClosedBy, ContactId, LegRole, TransistorKind};

use crate::cases::Case;
use crate::code::Code;
use crate::conditions::Condition;
use crate::finding::{Figure, Finding, Severity};
use crate::limit::{Limit, Look};
use crate::line::LEFT_OUT_MOVES;
use crate::networks::Moment;
use crate::search::Kept;
use crate::words::{place, while_pressed};

/// A contact with the voltages that it stands.
pub(crate) struct Range {
    pub(crate) leg: Leg,
    /// From where its voltages count; the return if none.
    pub(crate) from: Option<Leg>,
    pub(crate) lowest: Volts,
    pub(crate) highest: Volts,
    /// The lowest and the highest voltage of any source: no node of a lead without sources of its own lies beyond.
    pub(crate) sources: [Volts; 2],
    pub(crate) about: About,
}

/// What a range is about.
pub(crate) enum About {
    /// What a contact survives.
    Contact,
    /// What a diode bears in reverse.
    Reverse,
    /// What a transistor bears between two legs, with the words for what bears it.
    Transistor(&'static str),
    /// More than the chips of a pad stand, or less than they need while the lead is sound.
    Supply {
        /// What they need, and stand.
        needs: [Volts; 2],
        /// The machine's contact that feeds them.
        source: Leg,
    },
}

/// The highest voltage of any source of the machine that the lead is joined to. No node of a lead without sources of its
/// own lies above it.
pub(crate) fn highest_source(assembly: &Assembly) -> Volts {
    joined_sources(assembly).map(Triple::high).fold(assembly.port.rail.high(), Volts::max)
}

/// The lowest voltage of any source of the machine that the lead is joined to, or that of the return. No node of a lead
/// without sources of its own lies below it.
pub(crate) fn lowest_source(assembly: &Assembly) -> Volts {
    joined_sources(assembly).map(Triple::low).fold(Volts::ZERO, Volts::min)
}

/// What stands at the machine's contacts that the lead is joined to, but for its rail.
fn joined_sources(assembly: &Assembly) -> impl Iterator<Item = Triple<Volts>> {
    let is_joined = |id: &ContactId| assembly.lead.joined(Leg::port(*id)).next().is_some();
    let joined = assembly.port.contacts.iter().filter(move |(id, _)| is_joined(id));
    joined.filter_map(|(_, contact)| Some(contact.voltage()?.volts))
}

/// The contacts that something in the lead could bring out of their range, and the diodes that something could break
/// down.
pub(crate) fn ranges(assembly: &Assembly) -> Vec<Range> {
    let [bottom, top] = sources(assembly);
    let mut ranges = of_contacts(assembly);
    ranges.extend(reversed(assembly));
    // What stands all sources needs no solving.
    ranges.retain(|range| range.lowest > bottom || range.highest < top);
    ranges.extend(at_transistors(assembly));
    ranges
}

fn of_contacts(assembly: &Assembly) -> Vec<Range> {
    let port = &assembly.port;
    let mut ranges = Vec::new();
    for (id, contact) in &port.contacts {
        let leg = Leg::port(*id);
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        let family = match &contact.role {
            PortRole::Action { input, .. }
            | PortRole::Data { input }
            | PortRole::Sense { input }
            | PortRole::Axis(AxisInput { input, .. }) => port.inputs.get(input).map(|input| input.family),
            PortRole::Drive(family) => Some(*family),
            PortRole::Supply(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Pot
            | PortRole::Unused => None,
        };
        // The ceiling hangs on the same rail as the contact's own pull-up: at its highest like that one.
        let of_family = family.map(|family| family.input_range(port.rail.high()).value);
        let range = contact.limits.volts.or(of_family.map(|range| (range.lowest, range.highest)));
        ranges.extend(range.map(|(lowest, highest)| Range {
            leg,
            from: None,
            lowest,
            highest,
            sources: sources(assembly),
            about: About::Contact,
        }));
    }
    ranges.extend(of_chips(assembly));
    for (end, controller) in assembly.controllers() {
        ranges.extend(pad_ranges(assembly, controller, |contact| Leg { end, contact }));
    }
    ranges
}

/// The legs of the chips that are known part by part. The ceiling hangs on the chip's supply: at its highest like
/// what stands on the same rail.
fn of_chips(assembly: &Assembly) -> Vec<Range> {
    let mut ranges = Vec::new();
    for (end, chip) in assembly.chips() {
        let sheet = chip.sheet();
        let at = |number| Leg { end, contact: ContactId::Number(number) };
        let feeds = |leg: Leg| -> Vec<Volts> {
            let supplies = assembly.lead.reach(leg).into_iter().filter_map(|leg| assembly.port_contact(leg));
            supplies.filter_map(|contact| Some(contact.supply()?.volts.high())).collect()
        };
        let own = match end {
            EndId::Inside(of, _) => {
                let end = of.end();
                let supply = assembly.controller(end).and_then(Controller::supply);
                supply.map(|contact| Leg { end, contact })
            }
            EndId::Controller(_) | EndId::Part(_) | EndId::Switch(_) | EndId::Donor | EndId::Port => {
                sheet.legs_for(LegRole::Supply).next().map(at)
            }
        };
        // A chip without a supply is fed by its clamps, which are judged by what they carry.
        let Some(supply) = own.into_iter().flat_map(feeds).reduce(Volts::min) else { continue };
        let stands = sheet.family.input_range(supply).value;
        let legs = [LegRole::Input, LegRole::Output, LegRole::Contact].map(|role| sheet.legs_for(role));
        ranges.extend(legs.into_iter().flatten().map(|number| Range {
            leg: at(number),
            from: None,
            lowest: stands.lowest,
            highest: stands.highest,
            sources: sources(assembly),
            about: About::Contact,
        }));
    }
    ranges
}

/// The contacts of a pad without clamps to its supply; the others are guarded by what their clamps carry.
fn pad_ranges(assembly: &Assembly, controller: &Controller, leg: impl Fn(ContactId) -> Leg) -> Vec<Range> {
    let Some(logic) = controller.logic.as_ref().filter(|logic| !logic.family.clamps_to_supply()) else {
        return Vec::new();
    };
    let stands = logic.family.input_range(logic.supply_volts.low()).value;
    let driven = controller.controls().into_iter().filter(|control| controller.driver_of(control).is_some());
    let contacts = driven.filter_map(|control| controller.contact_of(control));
    contacts
        .map(&leg)
        .filter(|leg| assembly.lead.joined(*leg).next().is_some())
        .map(|at| Range {
            leg: at,
            from: controller.chip_commons().first().copied().map(&leg),
            lowest: stands.lowest,
            highest: stands.highest,
            sources: sources(assembly),
            about: About::Contact,
        })
        .collect()
}

/// What the diodes of the lead bear in reverse.
fn reversed(assembly: &Assembly) -> Vec<Range> {
    let [bottom, top] = sources(assembly);
    let mut ranges = Vec::new();
    for part in &assembly.lead.parts {
        let Body::Diode(diode) = part.body else { continue };
        let highest = diode.reverse_volts_max().value;
        let [anode, cathode] = [PartId::ANODE, PartId::CATHODE].map(|leg| Leg::part(part.id(), leg));
        if top - bottom > highest {
            let lowest = bottom - top;
            let sources = [bottom, top];
            let about = About::Reverse;
            ranges.push(Range { leg: cathode, from: Some(anode), lowest, highest, sources, about });
        }
    }
    ranges
}

/// What transistors bear between their legs: between collector and emitter, and at a base or a gate.
fn at_transistors(assembly: &Assembly) -> Vec<Range> {
    let sources = sources(assembly);
    let span = sources[1] - sources[0];
    let mut ranges = Vec::new();
    for (end, part) in assembly.transistors() {
        let sheet = part.sheet();
        let leg = |contact| Leg { end, contact };
        let mut take = |contact, what, lowest, highest| {
            let from = Some(leg(PartId::EMITTER));
            ranges.push(Range {
                leg: leg(contact),
                from,
                lowest,
                highest,
                sources,
                about: About::Transistor(what),
            });
        };
        let most = sheet.volts_max.value;
        let (lowest, highest) = match part.kind() {
            // Backwards it breaks down at its base long before.
            TransistorKind::Npn | TransistorKind::NChannel => (-span, most),
            TransistorKind::Pnp => (-most, span),
        };
        take(PartId::COLLECTOR, "it", lowest, highest);
        let reverse = sheet.reverse_volts_max.value;
        match (&sheet.closed_by, part.kind()) {
            (ClosedBy::Gate(gate), _) => take(PartId::BASE, "its gate", -reverse, gate.volts_max.value),
            (ClosedBy::Base(_), TransistorKind::Pnp) => take(PartId::BASE, "its base", -span, reverse),
            (ClosedBy::Base(_), TransistorKind::Npn | TransistorKind::NChannel) => {
                take(PartId::BASE, "its base", -reverse, span);
            }
        }
    }
    // No more than all sources make stands anywhere.
    ranges.retain(|range| range.lowest > -span || range.highest < span);
    ranges
}

/// The lowest and the highest voltage of any source.
pub(crate) fn sources(assembly: &Assembly) -> [Volts; 2] {
    [lowest_source(assembly), highest_source(assembly)]
}

impl Range {
    /// Where it strays to in a case.
    fn strays(&self, moment: &Moment<'_>, case: &Case) -> Strays {
        let circuit = moment.circuit();
        let Some(node) = circuit.node(self.leg) else { return Strays::WITHIN };
        let from = match self.from {
            None => Node::GROUND,
            Some(leg) => match circuit.node(leg) {
                Some(node) => node,
                None => return Strays::WITHIN,
            },
        };
        let network = moment.network(case);
        let is_held = |node: Node| node == Node::GROUND || network.is_held(node);
        if stays_within(&network, node, from, [self.lowest, self.highest]) || !is_held(node) || !is_held(from)
        {
            return Strays::WITHIN;
        }
        let across = |extreme| across(&network, [node, from], extreme, self.sources);
        let highest = || (across(Extreme::Highest), Extreme::Highest, self.highest);
        let lowest = || (across(Extreme::Lowest), Extreme::Lowest, self.lowest);
        let [bottom, top] = self.sources;
        let span = top - bottom;
        match (self.lowest <= -span, self.highest >= span) {
            (true, _) => Strays::of(case, [highest()]),
            (_, true) => Strays::of(case, [lowest()]),
            (false, false) => Strays::of(case, [highest(), lowest()]),
        }
    }

    /// Whether it is what a pad's chips need at least.
    fn is_least(&self) -> bool {
        match self.about {
            About::Supply { needs: [low, _], .. } => self.lowest == low,
            About::Contact | About::Reverse | About::Transistor(_) => false,
        }
    }
}

impl Limit for Range {
    fn leg(&self) -> Leg {
        self.leg
    }

    fn is_asked(&self, condition: &Condition) -> bool {
        // A pad whose supply or return is open does not work, and does no harm by that.
        !self.is_least() || condition.is_sound()
    }

    fn worst(&self) -> Severity {
        if self.is_least() { Severity::Fail } else { Severity::Harm }
    }

    fn look(&self, moment: &Moment<'_>, case: &Case) -> Look {
        Look::of(self.strays(moment, case).kept)
    }

    fn finding(&self, assembly: &Assembly, moment: &Moment<'_>, state: &Case) -> Option<Finding> {
        let Strays { kept, at } = self.strays(moment, state);
        let (volts, extreme) = at?;
        let is_certain = kept == Kept::Passed;
        let limit = if extreme == Extreme::Highest { self.highest } else { self.lowest };
        let pressed = moment.moving().pressed(state);
        let when = format!("{}{}", while_pressed(&pressed), moment.condition.told());
        let (code, text, legs, figures, remedy) = match &self.about {
            About::Contact => (
                Code::DriveVolts,
                format!(
                    "{} {} at {volts} {when}; its limit is {limit}",
                    place(assembly, self.leg),
                    if is_certain { "can stand" } else { "is not certain never to stand" }
                ),
                vec![self.leg],
                [Figure::volts("stands_at_volts", volts), Figure::volts("limit_volts", limit)],
                "take out the join that lifts it, or use a machine whose lines stand lower",
            ),
            About::Reverse => (
                Code::DriveReverse,
                format!(
                    "{} {} {volts} in reverse {when}; a diode of its kind bears {limit}",
                    place(assembly, self.leg),
                    if is_certain { "can have" } else { "is not certain never to have" }
                ),
                vec![self.leg],
                [Figure::volts("stands_at_volts", volts), Figure::volts("limit_volts", limit)],
                "take a diode that bears more in reverse, or take out the join that puts so much across it",
            ),
            About::Transistor(what) => (
                Code::DriveReverse,
                format!(
                    "{} {} {volts} against `{}` {when}; {what} bears {limit}",
                    place(assembly, self.leg),
                    if is_certain { "can have" } else { "is not certain never to have" },
                    self.from.unwrap_or(self.leg)
                ),
                std::iter::once(self.leg).chain(self.from).collect(),
                [Figure::volts("stands_at_volts", volts), Figure::volts("limit_volts", limit)],
                "a transistor that bears more, or a resistor from base to emitter that keeps both together",
            ),
            About::Supply { needs, source } => {
                let from = self.from.unwrap_or(self.leg);
                crate::feed::told([self.leg, from, *source], *needs, (volts, extreme, is_certain), &when)
            }
        };
        let (code, severity) =
            if is_certain { (code, self.worst()) } else { (Code::DriveUnproved, Severity::Note) };
        Some(
            Finding::new(code, severity, text)
                .at(legs)
                .when(pressed, &moment.step.name)
                .figures(figures)
                .remedy(remedy),
        )
    }

    fn question(&self) -> String {
        match self.about {
            About::Contact | About::Reverse | About::Transistor(_) => {
                format!("`{}` stays within its limits", self.leg)
            }
            About::Supply { .. } => format!("the chips' supply on `{}` stays in range", self.leg),
        }
    }
}

/// Whether a voltage keeps its limits in a case, and where it does not.
struct Strays {
    kept: Kept,
    /// The voltage that passes its limit, or may, and on which side.
    at: Option<(Volts, Extreme)>,
}

impl Strays {
    const WITHIN: Self = Self { kept: Kept::Within, at: None };

    /// Holds each side against its limit; what occurs on one side outweighs a doubt on the other.
    fn of<const N: usize>(case: &Case, sides: [(Across, Extreme, Volts); N]) -> Self {
        let mut strays = Self::WITHIN;
        for (Across { occurs, never }, extreme, limit) in sides {
            let over = |volts: &Volts| match extreme {
                Extreme::Highest => *volts > limit,
                Extreme::Lowest => *volts < limit,
            };
            // A case's network is a bound for its states: what occurs there need not occur in any.
            let is_safe = never.is_some_and(|volts| match extreme {
                Extreme::Highest => volts + LEFT_OUT_MOVES <= limit,
                Extreme::Lowest => volts - LEFT_OUT_MOVES >= limit,
            });
            let side = match (case.is_state(), occurs.filter(over), never.filter(over)) {
                (true, Some(volts), _) => Self { kept: Kept::Passed, at: Some((volts, extreme)) },
                (true, None, Some(volts)) => Self { kept: Kept::Doubtful, at: Some((volts, extreme)) },
                (false, ..) if !is_safe => Self { kept: Kept::Doubtful, at: None },
                (true, None, None) | (false, ..) => Self::WITHIN,
            };
            if side.kept > strays.kept {
                strays = side;
            }
        }
        strays
    }
}

/// A voltage between two nodes that occurs, and one that is never passed.
struct Across {
    occurs: Option<Volts>,
    never: Option<Volts>,
}

/// Whether a rough survey already shows that the voltage between two nodes stays between two others, or what can flow
/// round them where there are so many diodes that exact bounds take long.
fn stays_within(network: &Spread, node: Node, from: Node, [low, high]: [Volts; 2]) -> bool {
    let is_within = |[own, from]: [[Volts; 2]; 2]| own[0] - from[1] >= low && own[1] - from[0] <= high;
    let near =
        |node: Node| if node == Node::GROUND { Some([Volts::ZERO; 2]) } else { network.near_a_source(node) };
    let both = |of: &dyn Fn(Node) -> Option<[Volts; 2]>| Some([of(node)?, of(from)?]);
    both(&|node| network.roughly(node)).is_some_and(is_within)
        || network.has_many_diodes() && both(&near).is_some_and(is_within)
}

/// Bounds the voltage between two nodes with the second held where it is most in the other direction. From there
/// the first follows it by no more than it moves itself.
fn held_across(network: &Spread, [node, from]: [Node; 2], extreme: Extreme, at: Volts) -> Option<Volts> {
    if from == Node::GROUND || node == Node::GROUND {
        return None;
    }
    let mut held = network.clone();
    let (volts, ohms) = (Triple::exactly(at), Triple::exactly(Ohms::ZERO));
    held.add(Uncertain::Source { node: from, volts, ohms }).ok()?;
    Some(held.bound(node, extreme).ok()?.guaranteed? - at)
}

/// Bounds the voltage between two nodes by those of each: what is reached at the one, whatever the other does. Nothing
/// lies beyond the sources.
fn across(network: &Spread, [node, from]: [Node; 2], extreme: Extreme, [bottom, top]: [Volts; 2]) -> Across {
    let none = Bound { attained: None, guaranteed: None, argument: Argument::Added(0) };
    let bound = |node, extreme| {
        let Bound { attained, guaranteed, argument } = network.bound(node, extreme).unwrap_or(none);
        let beyond = if extreme == Extreme::Highest { top } else { bottom };
        let guaranteed = guaranteed.map_or(beyond, |volts| volts.max(bottom).min(top));
        Bound { attained, guaranteed: Some(guaranteed), argument }
    };
    let opposite = if extreme == Extreme::Highest { Extreme::Lowest } else { Extreme::Highest };
    let own = bound(node, extreme);
    let other = bound(from, opposite);
    let apart = own.guaranteed.zip(other.guaranteed).map(|(a, b)| a - b);
    let together = other.guaranteed.and_then(|at| held_across(network, [node, from], extreme, at));
    let closer = |a: Volts, b: Volts| if extreme == Extreme::Highest { a.min(b) } else { a.max(b) };
    Across {
        // Where the one is at its extreme, the other is at most at its own of the same direction.
        occurs: own.attained.zip(bound(from, extreme).guaranteed).map(|(a, b)| a - b),
        never: apart.zip(together).map(|(apart, together)| closer(apart, together)).or(apart),
    }
}

#[cfg(test)]
mod tests {
    use solderside_lead::{Join, default_map};
    use solderside_profile::Library;

    use super::*;

    #[test]
    fn of_the_machines_voltages_those_count_that_the_lead_is_joined_to() {
        let library = Library::catalogue();
        let stick = library.controller("nine-pin-stick-with-one-button").expect("it ships");
        let port = library.port("arcade-edge-player-1").expect("it ships");
        let play = default_map(&stick, &port);
        let mut lead = Assembly::between(stick, port, play);
        let leg = |text: &str| text.parse::<Leg>().expect("it is a leg");
        lead.lead.joins = vec![Join::new(leg("controller.1"), leg("port.18"))];
        assert_eq!(sources(&lead), [0.0, 5.25].map(Volts::literal), "nothing but the rail of the pull-ups");
        lead.lead.joins.push(Join::new(leg("controller.8"), leg("port.6")));
        assert_eq!(
            sources(&lead),
            [0.0, 12.6].map(Volts::literal),
            "with the 12 V of the amplifier beside it"
        );
    }
}
