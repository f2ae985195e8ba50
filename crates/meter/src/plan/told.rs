//! A plan in the words of the bench: what to do first, what wrong readings point to, what no meter finds.

use std::fmt;

use solderside_lead::{Assembly, Body, EndId, Leg, PartId};
use solderside_trade::{Body as Shape, Gender};

use crate::bench::Bench;
use crate::fault::{Fault, FaultKind};
use crate::reading::{Range, Span};
use crate::weights::Weights;

use super::{Danger, Found, Plan, PlanStep, Pointer};

/// What a wrong reading points to, the likeliest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Hint<'p> {
    /// What the meter shows then.
    pub shows: Span,
    /// All faults that show it.
    pub faults: Vec<&'p Fault>,
    /// The likeliest of them in words, both joints of a conductor together.
    pub told: Vec<String>,
    /// How many more would show it.
    pub more: usize,
}

impl fmt::Display for Hint<'_> {
    /// The faults without what shows: "a bridge between port.5 and port.9; or one of 3 more".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told.join("; "))?;
        match self.more {
            0 => Ok(()),
            1 => f.write_str("; or one more"),
            more => write!(f, "; or one of {more} more"),
        }
    }
}

impl PlanStep {
    /// What each wrong reading points to, in at most so many words each.
    pub fn hints(&self, bench: &Bench<'_>, most: usize) -> Vec<Hint<'_>> {
        let probed = [self.measurement.red, self.measurement.black];
        let weights = Weights::shipped();
        self.wrong.iter().map(|pointer| hint(bench, pointer, probed, &weights, most)).collect()
    }
}

fn hint<'p>(
    bench: &Bench<'_>,
    pointer: &'p Pointer,
    probed: [Leg; 2],
    weights: &Weights,
    most: usize,
) -> Hint<'p> {
    let mut faults: Vec<(usize, f64, &Fault)> = pointer
        .faults
        .iter()
        .map(|fault| (remoteness(fault, probed), weights.of(fault.kind()), fault))
        .collect();
    // What is at both probes first, and among equals the commoner.
    faults.sort_by(|(away, weight, _), (further, other, _)| away.cmp(further).then(other.total_cmp(weight)));
    let faults: Vec<&Fault> = faults.into_iter().map(|(.., fault)| fault).collect();
    let (mut told, mut named) = (Vec::new(), Vec::new());
    for fault in &faults {
        if told.len() == most {
            break;
        }
        if named.contains(fault) {
            continue;
        }
        let twin = faults.iter().find(|other| is_other_joint(fault, other));
        told.push(match (fault, twin) {
            (Fault::OpenJoint(tip), Some(_)) => {
                format!("a joint of {} is open, at either end", tip.join)
            }
            (Fault::WeakJoint(tip), Some(_)) => {
                format!("a joint of {} is weak, at either end", tip.join)
            }
            (fault, _) => fault.told(bench),
        });
        named.push(*fault);
        named.extend(twin.copied());
    }
    let more = faults.len() - named.len();
    Hint { shows: pointer.shows, faults, told, more }
}

/// Whether two faults are the same of both joints of one conductor.
fn is_other_joint(one: &Fault, other: &Fault) -> bool {
    let (Fault::OpenJoint(a) | Fault::WeakJoint(a), Fault::OpenJoint(b) | Fault::WeakJoint(b)) = (one, other)
    else {
        return false;
    };
    one.kind() == other.kind() && a.join == b.join && a.at != b.at
}

/// How many of two probed places a fault is not about.
fn remoteness(fault: &Fault, probed: [Leg; 2]) -> usize {
    let places = fault.places();
    probed.iter().filter(|leg| !places.contains(leg)).count()
}

impl Plan {
    /// The faults that no meter tells from a good lead, those of one kind and one part together, each group in a
    /// sentence without its full stop.
    pub fn unseen_told(&self, bench: &Bench<'_>) -> Vec<String> {
        let mut groups: Vec<(FaultKind, Option<PartId>, Vec<&Fault>)> = Vec::new();
        for fault in &self.unseen {
            let (kind, part) = (fault.kind(), part_of(fault));
            match groups.iter_mut().find(|(own, at, _)| (*own, *at) == (kind, part)) {
                Some((_, _, faults)) => faults.push(fault),
                None => groups.push((kind, part, vec![fault])),
            }
        }
        groups.into_iter().map(|(kind, part, faults)| group(bench, kind, part, &faults)).collect()
    }
}

/// The part that a fault is about, if it is about one.
fn part_of(fault: &Fault) -> Option<PartId> {
    match fault {
        Fault::PartMissing(id) | Fault::PartReversed(id) | Fault::DecadeUp(id) | Fault::DecadeDown(id) => {
            Some(*id)
        }
        Fault::LegOpen(_) => fault.places().first().and_then(|leg| leg.part_id()),
        Fault::OpenJoint(_)
        | Fault::ThrowOpen(_)
        | Fault::WeakJoint(_)
        | Fault::Bridge(_)
        | Fault::CableShort(_)
        | Fault::Swapped(..)
        | Fault::Mirrored(_)
        | Fault::RowsExchanged(_)
        | Fault::OneCupOff(..)
        | Fault::DirtyContact(..)
        | Fault::StuckContact(..)
        | Fault::DeadInput(_) => None,
    }
}

/// Several faults of one kind in one sentence.
fn group(bench: &Bench<'_>, kind: FaultKind, part: Option<PartId>, faults: &[&Fault]) -> String {
    let told = || faults.iter().map(|fault| fault.told(bench)).collect::<Vec<_>>().join("; ");
    if faults.len() < 2 {
        return told();
    }
    let places = || {
        let legs = faults.iter().flat_map(|fault| fault.places()).map(|leg| leg.to_string());
        legs.collect::<Vec<_>>().join(", ")
    };
    match (kind, part) {
        (FaultKind::LegOpen, Some(id)) => {
            format!("a leg of {} does not touch its socket: {}", bench.part_told(id), places())
        }
        (FaultKind::OpenJoint, _) => format!("a joint is open: {}", joints(faults)),
        (FaultKind::WeakJoint, _) => format!("a joint is weak: {}", joints(faults)),
        (FaultKind::Swapped, _) => swaps(bench, faults),
        (
            FaultKind::LegOpen
            | FaultKind::ThrowOpen
            | FaultKind::Bridge
            | FaultKind::CableShort
            | FaultKind::Mirrored
            | FaultKind::RowsExchanged
            | FaultKind::OneCupOff
            | FaultKind::PartMissing
            | FaultKind::PartReversed
            | FaultKind::DecadeOff
            | FaultKind::DirtyContact
            | FaultKind::StuckContact
            | FaultKind::DeadInput,
            _,
        ) => told(),
    }
}

/// Swaps in one sentence: any two of so many conductors, where it is any two.
fn swaps(bench: &Bench<'_>, faults: &[&Fault]) -> String {
    let mut ends: Vec<EndId> = Vec::new();
    let mut texts: Vec<String> = Vec::new();
    let pairs = || faults.iter().map(|fault| fault.places());
    for end in pairs().flatten().map(|leg| bench.assembly().lead.hood(leg)) {
        if ends.contains(&end) {
            continue;
        }
        ends.push(end);
        let own: Vec<Vec<Leg>> =
            pairs().filter(|pair| pair.iter().any(|leg| bench.assembly().lead.hood(*leg) == end)).collect();
        let mut legs: Vec<Leg> = own.iter().flatten().copied().collect();
        legs.sort_unstable();
        legs.dedup();
        let named: Vec<String> = legs.iter().map(ToString::to_string).collect();
        if legs.len() > 2 && own.len() == legs.len() * (legs.len() - 1) / 2 {
            texts.push(format!(
                "two conductors are swapped at the {end} end: any two of {}",
                named.join(", ")
            ));
        } else {
            let pair =
                |pair: &Vec<Leg>| pair.iter().map(ToString::to_string).collect::<Vec<_>>().join(" with ");
            let pairs: Vec<String> = own.iter().map(pair).collect();
            texts.push(format!("two conductors are swapped at the {end} end: {}", pairs.join(", ")));
        }
    }
    texts.join("; ")
}

/// The joints of several conductors: "either of r1.1 - u1.3, that of c1.1 - u1.16 at c1.1".
fn joints(faults: &[&Fault]) -> String {
    let mut told: Vec<String> = Vec::new();
    for fault in faults {
        let (Fault::OpenJoint(tip) | Fault::WeakJoint(tip)) = fault else { continue };
        let join = tip.join;
        let text = if faults.iter().any(|other| is_other_joint(fault, other)) {
            format!("either of {join}")
        } else {
            format!("that of {join} at {}", tip.at)
        };
        if !told.contains(&text) {
            told.push(text);
        }
    }
    told.join(", ")
}

/// What to do before the first reading, as far as it concerns this lead.
pub fn before_measuring(bench: &Bench<'_>, plan: &Plan) -> Vec<String> {
    let lead = &bench.assembly().lead;
    let has = |kind: fn(&Body) -> bool| lead.parts.iter().any(|part| kind(&part.body));
    let mut texts = vec![
        "Unplug the lead at both ends. A meter on ohms in a lead that is plugged in reads the machine or the controller, \
         and can be harmed by either."
            .to_owned(),
    ];
    if has(|body| matches!(body, Body::Chip(_))) {
        texts.push(
            "Take every chip of the lead out of its socket: with a chip in it the meter reads the chip. Where a leg of one is \
             named, touch the socket's own contact."
                .to_owned(),
        );
    }
    texts.push(
        "Hold the probes together on the lowest ohms range and note what they read; subtract it from every reading below \
         10 Ω, or let the meter do it."
            .to_owned(),
    );
    texts.push(
        "Touch the contacts on the mating face, where the numbers are moulded, and not the cups. Whoever counted the cups \
         from the wrong side when soldering would count them wrongly again when measuring, and all would seem right."
            .to_owned(),
    );
    let has_springs = |family: solderside_trade::Family, gender| match family.body() {
        Shape::DShell { .. } | Shape::Skirt { .. } => gender == Gender::Socket,
        Shape::Slot { .. } | Shape::Strip => false,
    };
    if lead.ends.iter().any(|end| has_springs(end.connector.family, end.connector.gender)) {
        texts.push(
            "Into the hole of a socket put a short piece of solid wire, no thicker than the pin that belongs there, and touch \
             that: a probe spreads the spring, and the contact stays loose."
                .to_owned(),
        );
    }
    if plan.steps.iter().any(|step| step.measurement.range == Range::Diode) {
        texts.push(
            "On the diode range red is the positive probe (on some analogue meters it is black): try it on a loose diode \
             first, whose band is its negative end."
                .to_owned(),
        );
    }
    if has(|body| matches!(body, Body::Capacitor(_))) {
        texts.push(
            "Where a capacitor lies between the probes, wait until the reading stands still.".to_owned(),
        );
    }
    texts
}

/// What to do before the controllers' switches are read.
pub fn before_controls(assembly: &Assembly) -> [&'static str; 3] {
    let [_, probe, range] = BEFORE_CONTROLS;
    match assembly.controllers.get(1) {
        Some(second) if !second.contacts.is_empty() => [
            "Only when every reading of the lead alone was right. Plug both controllers into the lead; the machine stays \
             unplugged, and chips of the lead stay out of their sockets. What is called `second-up` is `up` of the second.",
            probe,
            range,
        ],
        Some(_) | None => BEFORE_CONTROLS,
    }
}

/// What to do before the machine is switched on.
pub fn before_power(assembly: &Assembly) -> [&'static str; 4] {
    let [_, hands, straight, harm] = BEFORE_POWER;
    if assembly.controllers.iter().filter(|own| !own.contacts.is_empty()).count() < 2 {
        return BEFORE_POWER;
    }
    let out = "Only when everything before was right. Take both controllers out of the lead; they are plugged in last.";
    [out, hands, straight, harm]
}

const BEFORE_CONTROLS: [&str; 3] = [
    "Only when every reading of the lead alone was right. Plug the controller into the lead; the machine stays unplugged, and \
     chips of the lead stay out of their sockets.",
    "Probe at the port end. Hold one control and nothing else, then let go of it with the probes where they are.",
    "On the ohms range, never the buzzer: a sound carbon contact has hundreds of ohms, and no buzzer sounds through that.",
];

const BEFORE_POWER: [&str; 4] = [
    "Only when everything before was right. Take the controller out of the lead; it is plugged in last.",
    "Put probes and resistor in place with the machine off, and switch off before anything is moved. Keep your hands away while \
     it is on.",
    "Nothing is read straight: a meter alone takes a line that is only pulled up for a supply. With 1 kΩ across the probes a \
     supply stays where it is, and such a line falls. Without it a supply reads the same within 50 mV, no more and no less.",
    "If anything grows warm or smells, or the picture changes: switch off and unplug. Never work on mains or inside a powered \
     machine.",
];

/// Stands above [`Plan::unseen_told`].
pub const UNSEEN: &str =
    "No meter tells these from a good lead, wherever its probes go; look at each of them:";

impl Danger {
    /// Why readings of this class stand where they do.
    pub const fn told(self) -> &'static str {
        match self {
            Self::SupplyShort => {
                "First the supply against the return. A wrong reading here is a short: stop, mend it, read it again."
            }
            Self::SupplyAstray => {
                "Then the supply against everything else. A wrong reading here puts it on a line: stop, mend it, read it again."
            }
            Self::Dead => "Then everything else. What is wrong here makes a lead that does not work.",
        }
    }
}

impl Plan {
    /// How many readings it has: "49 readings, and no fewer find as much".
    pub fn told(&self) -> String {
        let Self { steps, at_least, .. } = self;
        let count = steps.len();
        if self.is_shortest() {
            format!("{count} readings, and no fewer find as much")
        } else {
            format!(
                "{count} readings; at least {at_least} are needed, and nobody knows whether so few would do"
            )
        }
    }

    /// How many single faults it finds, in a sentence.
    pub fn found_told(&self) -> String {
        let (found, unseen) = (self.found.len(), self.unseen.len());
        if unseen == 0 {
            return format!("Every single mistake that was thought of: all {found}.");
        }
        format!(
            "{found} of {} single mistakes that were thought of: every one that a meter can tell from a good lead.",
            found + unseen
        )
    }
}

impl fmt::Display for Found {
    /// "14007 pairs of 14028 (99.8 %)", and never a round hundred for less than all.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { found, of } = self;
        if found == of {
            return write!(f, "all {of} pairs");
        }
        let tenths = found * 1000 / of;
        write!(f, "{found} pairs of {of} ({}.{} %)", tenths / 10, tenths % 10)
    }
}
