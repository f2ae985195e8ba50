//! The shortest list of two-probe measurements that finds every single fault, in an order for a careful hand.

mod controls;
mod doubles;
mod order;
mod told;

pub use self::controls::{Behind, ControlStep, Controls, Hidden};
pub use self::doubles::Found;
pub use self::told::{Hint, UNSEEN, before_controls, before_measuring, before_power};

use solderside_lead::{Assembly, EndId, Leg};
use solderside_profile::PortRole;
use solderside_trade::ContactId;

use crate::bench::{Bench, Spot};
use crate::cover::{BRANCHES, Set, cover};
use crate::fault::Fault;
use crate::nets::Nets;
use crate::reading::{Buzz, Measurement, Range, Span};
use crate::universe::universe;

/// The meter test of a finished lead, unplugged at both ends, chips out of their sockets.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What is measured, in this order.
    pub steps: Vec<PlanStep>,
    /// No plan that begins with the same safety readings and finds as much has fewer steps. It is the number of steps
    /// where the shortest plan is proved.
    pub at_least: usize,
    /// The single faults of the lead that it finds: every one that a meter can tell from a good lead.
    pub found: Vec<Fault>,
    /// The faults of the lead that no meter can tell from a good one, with chips out of their sockets.
    pub unseen: Vec<Fault>,
}

/// One measurement of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanStep {
    /// What is measured.
    pub measurement: Measurement,
    /// What the meter shows of a good lead.
    pub good: Span,
    /// Why it stands where it does.
    pub danger: Danger,
    /// Whether the buzzer tells as much here as the ohms range: never through anything but wire, and never where a weak
    /// joint must be told from a sound one.
    pub buzzer_will_do: bool,
    /// What each wrong reading points to.
    pub wrong: Vec<Pointer>,
}

/// What a wrong reading points to.
#[derive(Debug, Clone, PartialEq)]
pub struct Pointer {
    /// What the meter shows then.
    pub shows: Span,
    /// The single faults that would show it, of which one is there, or several faults that look the same together.
    pub faults: Vec<Fault>,
}

/// What a wrong reading could do to the machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Danger {
    /// A short of the supply: read first, always.
    SupplyShort,
    /// The supply on a line.
    SupplyAstray,
    /// A lead that does not work.
    Dead,
}

/// A measurement by the numbers of its places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Probing {
    pub(crate) range: Range,
    pub(crate) red: Spot,
    pub(crate) black: Spot,
}

impl Plan {
    /// Finds the plan of a lead.
    pub fn of(bench: &Bench<'_>) -> Self {
        let faults: Vec<Fault> =
            universe(bench).into_iter().filter(|fault| fault.kind().is_of_the_lead()).collect();
        let good = Nets::of(bench, &bench.good(), None);
        let probings = probings(bench, &good);
        let shown: Vec<Span> = probings.iter().map(|probing| probing.shown(&good)).collect();
        let mut rows = Vec::new();
        let mut found = Vec::new();
        let mut unseen = Vec::new();
        for fault in faults {
            let nets = nets_with(bench, &fault);
            let mut row = Set::below(probings.len());
            for (at, (probing, shown)) in probings.iter().zip(&shown).enumerate() {
                if !probing.shown(&nets).meets(*shown) {
                    row.insert(at);
                }
            }
            if row.is_empty() {
                unseen.push(fault);
            } else {
                rows.push(row);
                found.push(fault);
            }
        }
        let first = supply_shorts(bench, &good);
        let taken: Vec<usize> =
            first.iter().filter_map(|pair| probings.iter().position(|own| own == pair)).collect();
        let covered = cover(&rows, probings.len(), &taken, BRANCHES);
        let choices = order::choices(&rows, probings.len(), &covered.columns, &taken);
        let danger = |probing: &Probing| danger(bench, &good, &first, probing);
        let ordered = order::ordered(bench, &probings, choices, danger);
        let steps = ordered.into_iter().map(|probing| step(bench, &good, probing, danger(&probing), &found));
        let steps: Vec<PlanStep> = steps.collect();
        Self { at_least: covered.at_least, steps, found, unseen }
    }

    /// Whether no plan that finds as much has fewer steps.
    pub fn is_shortest(&self) -> bool {
        self.at_least == self.steps.len()
    }
}

impl Probing {
    /// What the meter shows.
    pub(crate) fn shown(&self, nets: &Nets) -> Span {
        nets.read(self.range, self.red, self.black).shown(self.range)
    }

    /// The measurement in words.
    pub(crate) fn measurement(&self, bench: &Bench<'_>) -> Measurement {
        let [red, black] = [self.red, self.black].map(|spot| bench.spots()[spot]);
        Measurement { range: self.range, red, black, held: None }
    }
}

/// The lead with one fault.
pub(crate) fn nets_with(bench: &Bench<'_>, fault: &Fault) -> Nets {
    let mut build = bench.good();
    fault.make(bench, &mut build);
    Nets::of(bench, &build, None)
}

/// Every measurement that a plan may have: resistance between any two places that a probe reaches, and the diode range
/// both ways where a junction may lie between.
pub(crate) fn probings(bench: &Bench<'_>, good: &Nets) -> Vec<Probing> {
    let reachable: Vec<Spot> = (0..bench.spots().len()).filter(|spot| bench.is_reached(*spot)).collect();
    let pairs = || {
        let pairs = reachable.iter().enumerate();
        pairs.flat_map(|(at, one)| reachable.iter().skip(at + 1).map(move |other| [*one, *other]))
    };
    let ohms = pairs().map(|[red, black]| Probing { range: Range::Ohms, red, black });
    let tied = pairs().filter(|[one, other]| good.is_junction_between(*one, *other));
    let diode = tied.flat_map(|[one, other]| {
        [[one, other], [other, one]].map(|[red, black]| Probing { range: Range::Diode, red, black })
    });
    ohms.chain(diode).collect()
}

/// The pairs whose bridge would short a supply, as far as they are apart in a good lead: each supply of either side with each
/// return beside it, the shell too.
pub(crate) fn supply_shorts(bench: &Bench<'_>, good: &Nets) -> Vec<Probing> {
    let assembly = bench.assembly();
    let mut pairs: Vec<[Leg; 2]> = Vec::new();
    for (supply, _) in assembly.port.supplies() {
        let shell = assembly.port.connector.family.has_shell().then_some(ContactId::Shell);
        let homes = assembly.port.returns().into_iter().chain(shell);
        pairs.extend(homes.map(|home| [Leg::port(supply), Leg::port(home)]));
    }
    for (end, controller) in assembly.controllers() {
        let Some(supply) = controller.supply() else { continue };
        let commons = controller.commons().into_iter();
        pairs.extend(commons.map(|common| [supply, common].map(|contact| Leg { end, contact })));
    }
    let spots = pairs.into_iter().filter_map(|[one, other]| Some([bench.spot(one)?, bench.spot(other)?]));
    let apart = spots.filter(|[one, other]| !good.are_one(*one, *other));
    let probing =
        apart.map(|[one, other]| Probing { range: Range::Ohms, red: one.min(other), black: one.max(other) });
    let mut probings: Vec<Probing> = probing.collect();
    probings.dedup();
    probings
}

/// What a wrong reading could do.
fn danger(bench: &Bench<'_>, good: &Nets, first: &[Probing], probing: &Probing) -> Danger {
    let turned = Probing { red: probing.black, black: probing.red, ..*probing };
    if first.contains(probing) || first.contains(&turned) {
        return Danger::SupplyShort;
    }
    let is_fed = |spot: Spot| {
        supplies(bench.assembly()).any(|leg| bench.spot(leg).is_some_and(|own| good.are_one(own, spot)))
    };
    if is_fed(probing.red) == is_fed(probing.black) { Danger::Dead } else { Danger::SupplyAstray }
}

/// Every contact of the port from which current may come.
fn supplies(assembly: &Assembly) -> impl Iterator<Item = Leg> {
    let contacts = assembly.port.contacts.iter();
    let sources = contacts.filter(|(_, contact)| match contact.role {
        PortRole::Supply(_) | PortRole::Fed(_) | PortRole::Signal(_) => true,
        PortRole::Action { .. }
        | PortRole::Data { .. }
        | PortRole::Axis(_)
        | PortRole::Sense { .. }
        | PortRole::Return
        | PortRole::Drive(_)
        | PortRole::Pot
        | PortRole::Unused => false,
    });
    sources.map(|(contact, _)| Leg::port(*contact))
}

/// A measurement with what a good lead shows, and what each wrong reading points to.
fn step(bench: &Bench<'_>, good: &Nets, probing: Probing, danger: Danger, faults: &[Fault]) -> PlanStep {
    let shown = probing.shown(good);
    let mut wrong: Vec<Pointer> = Vec::new();
    let mut buzzer_will_do = probing.range == Range::Ohms && good.is_only_wire(probing.red, probing.black);
    let buzzes = good.read(Range::Ohms, probing.red, probing.black).buzz();
    for fault in faults {
        let nets = nets_with(bench, fault);
        let shows = probing.shown(&nets);
        if shows.meets(shown) {
            continue;
        }
        let buzz = nets.read(Range::Ohms, probing.red, probing.black).buzz();
        buzzer_will_do &= buzz != buzzes && buzz != Buzz::Either;
        // Readings that meet are one.
        let (alike, others): (Vec<_>, Vec<_>) =
            wrong.into_iter().partition(|pointer| pointer.shows.meets(shows));
        let mut pointer = Pointer { shows, faults: Vec::new() };
        for other in alike {
            pointer.shows = pointer.shows.with(other.shows);
            pointer.faults.extend(other.faults);
        }
        pointer.faults.push(fault.clone());
        wrong = others;
        wrong.push(pointer);
    }
    wrong.sort_by(|one, other| one.shows.low().total_cmp(&other.shows.low()));
    let good = bench.told(&probing, good);
    PlanStep { measurement: probing.measurement(bench), good, danger, buzzer_will_do, wrong }
}

impl Bench<'_> {
    /// Whether a probe reaches a place: every cup and shell, and the legs of a chip's socket.
    pub(crate) fn is_reached(&self, spot: Spot) -> bool {
        match self.spots()[spot].end {
            EndId::Controller(_) | EndId::Port => true,
            EndId::Part(id) => matches!(id, solderside_lead::PartId::Chip(_)),
            EndId::Inside(..) | EndId::Switch(_) | EndId::Donor => false,
        }
    }

    /// What a meter shows of a good lead, as narrow as its wires allow.
    fn told(&self, probing: &Probing, good: &Nets) -> Span {
        let span = if probing.range == Range::Ohms && good.are_one(probing.red, probing.black) {
            self.wire_span(probing.red, probing.black)
        } else {
            None
        };
        span.unwrap_or_else(|| good.read(probing.range, probing.red, probing.black)).shown(probing.range)
    }
}
