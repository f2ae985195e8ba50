//! Which core of the cable each join takes.
//!
//! First as many joins as can be get a core: a core that ends in a moulded contact serves joins to that
//! contact only, so this is a matching between joins and cores, found by augmenting paths (H. W. Kuhn, "The
//! Hungarian Method for the Assignment Problem", 1955, from memory). Where there are too few, returns are
//! served first, then supplies, then outputs, then the others. Then come wishes, in this order, each
//! granted unless a join would lose its core over it:
//!
//! 1. A supply is twisted with a return, further returns with outputs, then with other lines: the current
//!    that goes out in one core of a pair comes home in the other, so the pair is a small loop that neither
//!    picks up nor gives off much. Two switch lines in one pair do each other no harm: they change at the
//!    speed of a thumb, and the machine reads settled levels. (Common practice, no source.)
//! 2. Red for a supply, black for a return, and neither for anything else. (Common practice, no source.)
//! 3. The cores in the order of the cable. Green-and-yellow comes last: it marks the protective conductor
//!    and nothing else (IEC 60757:2021).
//!
//! The drain is bare, so only a join to a shell may take it, and takes it first.

use std::collections::BTreeMap;

use solderside_profile::{Cable, CoreId, MouldedEnd};
use solderside_trade::{Colour, Connector, ContactId};

use crate::assembly::{Assembly, Job};
use crate::lead::{EndId, Join, Lead, Leg};

/// The cores of a cable, given out to the joins of a lead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Allocation {
    /// The core of each join; never two joins to one core.
    pub cores: BTreeMap<Join, CoreId>,
    /// The joins that run through the cable and get no core, in their order.
    pub without: Vec<Join>,
    /// The conductors that nothing runs through, in the order of the cable.
    pub spares: Vec<CoreId>,
    /// What is moulded on at ends of the lead.
    pub moulded: BTreeMap<EndId, MouldedEnd>,
    /// The moulded connectors that are at no end of the lead.
    pub strays: Vec<Connector>,
}

/// Which end of the lead each moulded end is, in the order of the cable's; none if it is at no end.
type Placement = Vec<Option<EndId>>;

impl Allocation {
    /// Gives the cores of the lead's cable out; none if no cable is chosen.
    pub fn of(assembly: &Assembly) -> Option<Self> {
        let cable = assembly.lead.cable.as_ref()?;
        let allocations = placements(&assembly.lead, cable).into_iter().map(|placement| {
            let moulded = cable.moulded.iter().zip(&placement);
            let at_ends = moulded.clone().filter_map(|(end, id)| Some(((*id)?, end.clone())));
            let strays = moulded.filter(|(_, id)| id.is_none()).map(|(end, _)| end.connector);
            allocate(assembly, cable, at_ends.collect(), strays.collect())
        });
        // Among equals the first: the ends of the lead in their order.
        allocations.min_by_key(|allocation| allocation.without.len())
    }

    /// The joins that a conductor makes because it is moulded in at several ends.
    pub fn moulded_through(&self, core: CoreId) -> Vec<Join> {
        let ends = self.moulded.iter();
        let legs: Vec<_> = ends
            .filter_map(|(end, moulded)| Some(Leg { end: *end, contact: moulded.contact_of(core)? }))
            .collect();
        legs.windows(2)
            .filter_map(|legs| legs.first().zip(legs.last()))
            .map(|(a, b)| Join::new(*a, *b))
            .collect()
    }
}

/// All ways in which the moulded ends of a cable can be ends of a lead; as many of them as can be, are.
fn placements(lead: &Lead, cable: &Cable) -> Vec<Placement> {
    let mut placements = vec![Placement::new()];
    for moulded in &cable.moulded {
        placements = (placements.into_iter())
            .flat_map(|placed| {
                let fits = |id: &EndId| {
                    // A donor's plug is on its own cable.
                    *id != EndId::Donor
                        && lead.end(*id).is_some_and(|end| end.connector == moulded.connector)
                        && !placed.contains(&Some(*id))
                };
                let free: Vec<_> = lead.ends.iter().map(|end| end.id).filter(fits).map(Some).collect();
                let options = if free.is_empty() { vec![None] } else { free };
                options.into_iter().map(|id| [placed.as_slice(), &[id]].concat()).collect::<Vec<_>>()
            })
            .collect();
    }
    placements
}

fn allocate(
    assembly: &Assembly,
    cable: &Cable,
    moulded: BTreeMap<EndId, MouldedEnd>,
    strays: Vec<Connector>,
) -> Allocation {
    let cores: Vec<CoreId> = cable.cores().collect();
    let mut joins: Vec<(Job, Join)> = (assembly.lead.joins.iter())
        .filter(|join| assembly.lead.runs_through_cable(join))
        .map(|join| (assembly.job(*join), *join))
        .collect();
    joins.sort_unstable();
    let fitting = joins.iter().map(|(job, join)| {
        let mut fitting: Vec<usize> = (0..cores.len())
            .filter(|at| cores.get(*at).is_some_and(|core| fits(&assembly.lead, *core, *join, &moulded)))
            .collect();
        fitting.sort_by_key(|at| cores.get(*at).map(|core| reluctance(cable, *core, *job)));
        fitting
    });
    let mut matching = Matching::new(fitting.collect(), cores.len());
    let at = |core: CoreId| cores.iter().position(|other| *other == core);
    for couple in couples(&joins, cable) {
        let [one, other] = couple.map(|at| joins[at].0);
        let mut ways: Vec<[CoreId; 2]> = (cable.pairs.iter().map(|pair| pair.map(CoreId::Number)))
            .flat_map(|[a, b]| [[a, b], [b, a]])
            .collect();
        ways.sort_by_key(|[a, b]| reluctance(cable, *a, one) + reluctance(cable, *b, other));
        let mut ways = ways.into_iter().filter_map(|[a, b]| Some([at(a)?, at(b)?]));
        _ = ways.find(|way| matching.pin_both(couple, *way));
    }
    matching.pin_rest();
    let core_of = |at: usize| matching.core_of.get(at).copied().flatten().and_then(|core| cores.get(core));
    let mut without: Vec<Join> = Vec::new();
    let mut given = BTreeMap::new();
    for (at, (_, join)) in joins.iter().enumerate() {
        match core_of(at) {
            Some(core) => _ = given.insert(*join, *core),
            None => without.push(*join),
        }
    }
    without.sort_unstable();
    let spares = cores.iter().filter(|core| given.values().all(|used| used != *core)).copied().collect();
    Allocation { cores: given, without, spares, moulded, strays }
}

/// Whether a join can run through a core: where its ends are moulded, the core must end there in its contact.
/// No core ends at a part inside a moulding.
fn fits(lead: &Lead, core: CoreId, join: Join, moulded: &BTreeMap<EndId, MouldedEnd>) -> bool {
    let legs = [join.from, join.to];
    (core != CoreId::Drain || ends_at_a_shell(join))
        && moulded.iter().all(|(end, moulded)| match legs.iter().find(|leg| lead.hood(**leg) == *end) {
            Some(leg) => leg.end == *end && moulded.contacts.get(&leg.contact) == Some(&core),
            // A join that passes this end by has no use for a core that ends here.
            None => moulded.contact_of(core).is_none(),
        })
}

fn ends_at_a_shell(join: Join) -> bool {
    [join.from, join.to].iter().any(|leg| leg.contact == ContactId::Shell)
}

/// How little a core suits what a join carries; of equals the first of the cable is taken.
fn reluctance(cable: &Cable, core: CoreId, job: Job) -> u8 {
    // Whatever may take the drain takes it first.
    let Some(colour) = cable.colour(core) else { return 0 };
    match (colour.base(), colour.ring(), job) {
        (Colour::Rd, None, Job::Supply) | (Colour::Bk, None, Job::Return) => 1,
        (Colour::Rd, None, Job::Return) | (Colour::Bk, None, Job::Supply) => 4,
        (Colour::Rd | Colour::Bk, None, Job::Output | Job::Line) => 3,
        (Colour::Gnye, ..) => 5,
        (_, _, Job::Return | Job::Supply | Job::Output | Job::Line) => 2,
    }
}

/// The joins that belong together in a pair: a return with a supply, an output or a line, as long as there
/// are returns. What the drain can carry needs no pair.
fn couples(joins: &[(Job, Join)], cable: &Cable) -> Vec<[usize; 2]> {
    let of = |wanted: Job| (0..joins.len()).filter(move |at| joins[*at].0 == wanted);
    let others = of(Job::Supply).chain(of(Job::Output)).chain(of(Job::Line));
    let homes = of(Job::Return).filter(|at| !(cable.drain && ends_at_a_shell(joins[*at].1)));
    others.zip(homes).map(|(other, home)| [other, home]).collect()
}

/// Joins and cores by their places in two lists, each join with at most one core and each core with at most
/// one join.
#[derive(Debug, Clone)]
struct Matching {
    /// The cores that fit each join, the best first.
    fitting: Vec<Vec<usize>>,
    core_of: Vec<Option<usize>>,
    join_of: Vec<Option<usize>>,
    /// Joins whose core is settled.
    pinned: Vec<bool>,
}

impl Matching {
    /// Serves as many joins as can be, the earlier ones first.
    fn new(fitting: Vec<Vec<usize>>, cores: usize) -> Self {
        let joins = fitting.len();
        let mut matching = Self {
            fitting,
            core_of: vec![None; joins],
            join_of: vec![None; cores],
            pinned: vec![false; joins],
        };
        for join in 0..joins {
            matching.serve(join, &mut vec![false; cores]);
        }
        matching
    }

    /// Finds a core for a join, by moving others that are not pinned; each core is tried once.
    fn serve(&mut self, join: usize, tried: &mut [bool]) -> bool {
        for core in self.fitting[join].clone() {
            if std::mem::replace(&mut tried[core], true) {
                continue;
            }
            let free = match self.join_of[core] {
                Some(owner) => !self.pinned[owner] && self.serve(owner, tried),
                None => true,
            };
            if free {
                self.core_of[join] = Some(core);
                self.join_of[core] = Some(join);
                return true;
            }
        }
        false
    }

    /// Settles a join that has a core on this one, unless it does not fit or another join would lose its
    /// own over it.
    fn pin(&mut self, join: usize, core: usize) -> bool {
        let Some(before) = self.core_of[join] else { return false };
        let owner = self.join_of[core];
        if owner == Some(join) {
            self.pinned[join] = true;
            return true;
        }
        if !self.fitting[join].contains(&core) || owner.is_some_and(|owner| self.pinned[owner]) {
            return false;
        }
        let mut moved = self.clone();
        moved.join_of[before] = None;
        moved.join_of[core] = Some(join);
        moved.core_of[join] = Some(core);
        moved.pinned[join] = true;
        let sound = owner.is_none_or(|owner| moved.serve(owner, &mut vec![false; moved.join_of.len()]));
        if sound {
            *self = moved;
        }
        sound
    }

    /// Settles two joins on two cores, or leaves both as they are.
    fn pin_both(&mut self, [one, other]: [usize; 2], [a, b]: [usize; 2]) -> bool {
        let before = self.clone();
        let both = self.pin(one, a) && self.pin(other, b);
        if !both {
            *self = before;
        }
        both
    }

    /// Settles the other joins one by one, each on the best core that is left for it.
    fn pin_rest(&mut self) {
        for join in 0..self.fitting.len() {
            if !self.pinned[join] {
                let fitting = self.fitting[join].clone();
                _ = fitting.into_iter().find(|core| self.pin(join, *core));
            }
        }
    }
}
