//! Which way up each connector lies, and in which order the conductors leave it: fewest crossings first.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, End, EndId, Join, Lead, Leg, PartId};

use super::board;
use super::braid::inversions;
use super::geometry::{Placed, Point, Way, scale};
use super::hood::{Drafter, Hanging, Hood};
use super::route::Route;
use super::shorten::Cut;
use crate::words::has_board;

/// Connectors side by side, and the order of what runs between them; nothing has a height yet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plan {
    /// The controllers' ends from left to right, then the port's.
    pub(crate) ends: Vec<Placed>,
    /// What runs from a controller's end to the port's, from left to right above, each with its rank from
    /// left to right below.
    pub(crate) runs: Vec<(Join, usize)>,
    /// What joins two cups above or two cups below, the shortest first.
    pub(crate) links: Vec<Join>,
    /// How far beside a cup's middle a conductor leaves it, where it shares the cup.
    beside: BTreeMap<(Leg, Join), f64>,
    /// The hoods that parts sit in.
    hoods: BTreeMap<EndId, Hood>,
    /// In which hood each part sits.
    sits: BTreeMap<PartId, EndId>,
    pub(crate) width: f64,
}

const NARROWEST: f64 = 360.0;
const MARGIN: f64 = 10.0;

/// Ends beyond these lie as they are: each more doubles the ways to lie.
const MOST_TURNED: usize = 8;

impl Plan {
    /// The plan with the fewest crossings; among equals the one with the fewest connectors turned, the
    /// later ends first.
    pub(crate) fn best(assembly: &Assembly) -> Self {
        let plans =
            ways_to_lie(assembly.lead.ends.len()).into_iter().map(|turns| Self::new(assembly, &turns));
        plans.min_by_key(Self::crossings).unwrap_or_else(|| Self::new(assembly, &[]))
    }

    /// The plan with these ends turned; ends without a word are not.
    pub(crate) fn new(assembly: &Assembly, turns: &[bool]) -> Self {
        let mut plan = Self {
            ends: ends(&assembly.lead, turns),
            runs: Vec::new(),
            links: Vec::new(),
            beside: BTreeMap::new(),
            hoods: BTreeMap::new(),
            sits: assembly.lead.parts.iter().map(|part| (part.id(), part.sits)).collect(),
            width: NARROWEST,
        };
        plan.set_side_by_side();
        plan.draft_hoods(&assembly.lead);
        plan.set_side_by_side();
        plan.sort_out(&assembly.lead.joins);
        plan.share_cups();
        plan
    }

    /// Sets the ends beside one another, those of each half in the middle of the sheet.
    fn set_side_by_side(&mut self) {
        let halves: Vec<f64> = self.ends.iter().map(|end| self.half_width(end)).collect();
        let mut right = 0.0;
        for (end, half) in self.ends.iter_mut().zip(&halves) {
            let left = if is_above(end.id) { right } else { 0.0 } + MARGIN;
            end.middle.x = left + half;
            self.width = self.width.max(end.middle.x + half + MARGIN);
            if is_above(end.id) {
                right = end.middle.x + half;
            }
        }
        let spare = (self.width - MARGIN - right) / 2.0;
        for end in &mut self.ends {
            end.middle.x = if is_above(end.id) { end.middle.x + spare.max(0.0) } else { self.width / 2.0 };
        }
    }

    /// Half the width of an end, with its hood where parts sit in it.
    fn half_width(&self, end: &Placed) -> f64 {
        self.hoods.get(&end.id).map_or(0.0, Hood::reach).max(end.half_size().x)
    }

    /// Draws up the hoods that parts sit in; where a conductor goes to from there decides its place.
    fn draft_hoods(&mut self, lead: &Lead) {
        let hangings: BTreeMap<EndId, Hanging> = (self.sits.values().filter(|end| !has_board(lead, **end)))
            .map(|end| (*end, Hanging::new(lead, *end)))
            .collect();
        let anchor = |leg: Leg| {
            let hood = self.hood(leg);
            let end = self.end(hood)?;
            let root = leg.part_id().map_or(Some(leg.contact), |id| hangings.get(&hood)?.root(id))?;
            let way_out = end.way_out(root, towards_the_other(hood))?;
            way_out.last().map(|point| point.x)
        };
        let key = |leg: Leg, join: Join| {
            const BEYOND: f64 = 1e6;
            let other = join.other(leg).unwrap_or(leg);
            let [Some(own), Some(there)] = [leg, other].map(anchor) else { return BEYOND };
            if self.is_upper(leg) != self.is_upper(other) {
                there
            } else if there < own {
                -BEYOND
            } else {
                BEYOND
            }
        };
        let centred = |id: EndId| {
            let middle = Point { x: 0.0, y: 0.0 };
            Some(Placed { middle, ..self.end(id)?.clone() })
        };
        let beyond_board = |leg: Leg, join: Join| {
            let there = join.other(leg).filter(|other| self.is_upper(leg) != self.is_upper(*other));
            there.and_then(anchor).unwrap_or(0.0)
        };
        let boards = self.ends.iter().filter(|end| has_board(lead, end.id)).filter_map(|end| {
            Some((end.id, board::draft(lead, &centred(end.id)?, towards_the_other(end.id), &beyond_board)))
        });
        let drafted = hangings.iter().filter_map(|(id, hanging)| {
            let end = centred(*id)?;
            let drafter = Drafter { lead, end: &end, way: towards_the_other(*id), hanging, key: &key };
            Some((*id, drafter.draft(|_| true)))
        });
        self.hoods = drafted.chain(boards).collect();
    }

    /// The hood of an end that parts sit in, where it lies on the sheet.
    pub(crate) fn hood_of(&self, end: &Placed) -> Option<Hood> {
        Some(self.hoods.get(&end.id)?.around(end.middle))
    }

    /// The end in whose hood a leg is.
    fn hood(&self, leg: Leg) -> EndId {
        leg.part_id().and_then(|id| self.sits.get(&id)).copied().unwrap_or(leg.end)
    }

    /// Whether a leg lies in the upper half of the sheet.
    pub(crate) fn is_upper(&self, leg: Leg) -> bool {
        is_above(self.hood(leg))
    }

    /// The way from a leg to the other half of the sheet.
    pub(crate) fn towards_the_other(&self, leg: Leg) -> Way {
        towards_the_other(self.hood(leg))
    }

    /// How far the ends of one half of the sheet, with their hoods, reach from their middle to the other half.
    pub(crate) fn reach(&self, is_upper: bool) -> f64 {
        let ends = self.ends.iter().filter(|end| is_above(end.id) == is_upper);
        let depth = |end: &Placed| self.hoods.get(&end.id).map_or(0.0, |hood| hood.depth);
        ends.map(|end| end.half_size().y + depth(end)).fold(0.0, f64::max)
    }

    /// The y at which links may begin, beyond the ends of one half.
    pub(crate) fn edge(&self, is_upper: bool) -> f64 {
        let end = self.ends.iter().find(|end| is_above(end.id) == is_upper);
        end.map_or(0.0, |end| end.middle.y + towards_the_other(end.id).sign() * self.reach(is_upper))
    }

    /// Widens the sheet, keeping all in the middle.
    pub(crate) fn widen(&mut self, width: f64) {
        let more = (width - self.width).max(0.0);
        self.width += more;
        for end in &mut self.ends {
            end.middle.x += more / 2.0;
        }
    }

    pub(crate) fn end(&self, id: EndId) -> Option<&Placed> {
        self.ends.iter().find(|end| end.id == id)
    }

    /// The points from a leg to the edge of its end, or of its hood, that a conductor passes.
    pub(crate) fn way_out(&self, leg: Leg, join: Join) -> Option<Vec<Point>> {
        let end = self.end(self.hood(leg))?;
        if let Some(hood) = self.hoods.get(&end.id) {
            let points = hood.tip(leg, join)?.points.iter();
            return Some(points.map(|at| Point { x: at.x + end.middle.x, y: at.y + end.middle.y }).collect());
        }
        let beside = self.beside.get(&(leg, join)).copied().unwrap_or(0.0);
        end.way_out_beside(leg.contact, towards_the_other(leg.end), beside)
    }

    /// The way over a board before a conductor leaves it; none from all else.
    pub(crate) fn lead_in(&self, leg: Leg, join: Join) -> Option<Route> {
        let end = self.end(self.hood(leg))?;
        let lead = self.hoods.get(&end.id)?.tip(leg, join)?.lead.as_ref()?;
        Some(lead.moved(end.middle))
    }

    /// Where a conductor leaves an end, or its hood.
    pub(crate) fn exit(&self, leg: Leg, join: Join) -> f64 {
        self.way_out(leg, join).and_then(|points| points.last().copied()).map_or(0.0, |point| point.x)
    }

    /// How often conductors pass over one another.
    pub(crate) fn crossings(&self) -> usize {
        let ranks: Vec<usize> = self.runs.iter().map(|(_, rank)| *rank).collect();
        inversions(&ranks) + self.link_crossings().len()
    }

    /// What each link passes over: the link, and the other conductor with the leg that it leaves from.
    pub(crate) fn link_crossings(&self) -> Vec<(Join, Join, Leg)> {
        let mut found = Vec::new();
        for (at, link) in self.links.iter().enumerate() {
            let [left, right] = self.span(*link);
            let deeper = self.links.iter().skip(at + 1);
            for other in self.runs.iter().map(|(join, _)| join).chain(deeper) {
                for leg in [other.from, other.to] {
                    let x = self.exit(leg, *other);
                    let is_beside = self.is_upper(leg) == self.is_upper(link.from);
                    if is_beside && left < x && x < right {
                        found.push((*link, *other, leg));
                    }
                }
            }
        }
        found
    }

    /// Where a link reaches from and to.
    pub(crate) fn span(&self, link: Join) -> [f64; 2] {
        let [a, b] = [link.from, link.to].map(|leg| self.exit(leg, link));
        [a.min(b), a.max(b)]
    }

    fn sort_out(&mut self, joins: &[Join]) {
        let is_drawable =
            |join: &&Join| [join.from, join.to].iter().all(|leg| self.way_out(*leg, **join).is_some());
        let (runs, mut links): (Vec<Join>, Vec<Join>) = joins
            .iter()
            .filter(is_drawable)
            .partition(|join| self.is_upper(join.from) != self.is_upper(join.to));
        let exits = |join: &Join| {
            let [a, b] = [join.from, join.to].map(|leg| self.exit(leg, *join));
            if self.is_upper(join.from) { [a, b] } else { [b, a] }
        };
        let mut above: Vec<(Join, [f64; 2])> = runs.iter().map(|join| (*join, exits(join))).collect();
        above.sort_by(|(_, a), (_, b)| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        let mut below: Vec<usize> = (0..above.len()).collect();
        below.sort_by(|a, b| above[*a].1[1].total_cmp(&above[*b].1[1]).then(a.cmp(b)));
        let rank = |at: usize| below.iter().position(|other| *other == at).unwrap_or(at);
        let runs = above.iter().enumerate().map(|(at, (join, _))| (*join, rank(at))).collect();
        let reach = |link: &Join| {
            let [left, right] = self.span(*link);
            right - left
        };
        links.sort_by(|a, b| reach(a).total_cmp(&reach(b)));
        self.runs = runs;
        self.links = links;
    }

    /// Sets conductors of one cup side by side, in the order that costs no crossing.
    fn share_cups(&mut self) {
        let mut uses: BTreeMap<Leg, Vec<(i64, Join)>> = BTreeMap::new();
        let place = |at: usize| i64::try_from(at).unwrap_or(i64::MAX - 1);
        for (at, (join, rank)) in self.runs.iter().enumerate() {
            for leg in [join.from, join.to] {
                let order = if self.is_upper(leg) { at } else { *rank };
                uses.entry(leg).or_default().push((place(order), *join));
            }
        }
        for link in &self.links {
            for leg in [link.from, link.to] {
                let is_left = self.exit(leg, *link) > self.span(*link)[0];
                uses.entry(leg).or_default().push((if is_left { -1 } else { i64::MAX }, *link));
            }
        }
        let mut beside = BTreeMap::new();
        for (leg, mut conductors) in uses {
            let Some(half) = self.end(leg.end).map(Placed::half_a_pair) else { continue };
            conductors.sort_unstable();
            let spaces = conductors.len().saturating_sub(1);
            for (at, (_, join)) in conductors.into_iter().enumerate().filter(|_| spaces > 0) {
                #[expect(clippy::cast_precision_loss, reason = "a cup holds few conductors")]
                let share = at as f64 / spaces as f64;
                beside.insert((leg, join), half * (2.0 * share - 1.0));
            }
        }
        self.beside = beside;
    }
}

/// Whether an end lies in the upper half of the sheet.
pub(crate) const fn is_above(end: EndId) -> bool {
    match end {
        EndId::Controller(_) => true,
        EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Donor | EndId::Port => false,
    }
}

/// The way from an end to the other half of the sheet.
pub(crate) const fn towards_the_other(end: EndId) -> Way {
    if is_above(end) { Way::Down } else { Way::Up }
}

/// All ways for so many connectors to lie, the fewest turned first.
pub(crate) fn ways_to_lie(ends: usize) -> Vec<Vec<bool>> {
    let free = ends.min(MOST_TURNED);
    let turned = |way: u32, end: usize| way >> end & 1 == 1;
    let mut ways: Vec<u32> = (0..1 << free).collect();
    ways.sort_by_key(|way| (way.count_ones(), std::cmp::Reverse(*way)));
    ways.into_iter().map(|way| (0..free).map(|end| turned(way, end)).collect()).collect()
}

/// The ends, each lying one way or the other; they have no place yet.
fn ends(lead: &Lead, turns: &[bool]) -> Vec<Placed> {
    let used = |end: &End| {
        let legs = lead.joins.iter().flat_map(|join| [join.from, join.to]);
        legs.filter(|leg| leg.end == end.id).map(|leg| leg.contact).collect()
    };
    let placed = lead.ends.iter().enumerate().map(|(at, end)| Placed {
        id: end.id,
        cuts: Cut::of(end.connector, &used(end)),
        connector: end.connector,
        turned: turns.get(at).copied().unwrap_or(false),
        middle: Point { x: 0.0, y: 0.0 },
        scale: scale(end.connector.family),
    });
    placed.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::{stick_to_curlew, stick_to_plover, tangled};

    #[test]
    fn no_other_way_to_lie_has_fewer_crossings() {
        for assembly in [stick_to_plover(), stick_to_curlew()].into_iter().chain((0..40).map(tangled)) {
            let best = Plan::best(&assembly).crossings();
            for turns in ways_to_lie(assembly.lead.ends.len()) {
                assert!(best <= Plan::new(&assembly, &turns).crossings());
            }
        }
    }

    #[test]
    fn two_connectors_lie_in_four_ways_the_unturned_first() {
        let ways = ways_to_lie(2);
        assert_eq!(ways, [[false, false], [false, true], [true, false], [true, true]]);
    }

    #[test]
    fn every_conductor_leaves_at_an_x_of_its_own() {
        for assembly in [stick_to_plover(), stick_to_curlew()].into_iter().chain((0..40).map(tangled)) {
            let plan = Plan::best(&assembly);
            for is_upper in [true, false] {
                let legs =
                    assembly.lead.joins.iter().flat_map(|join| [join.from, join.to].map(|leg| (leg, *join)));
                let mut exits: Vec<f64> = legs
                    .filter(|(leg, _)| plan.is_upper(*leg) == is_upper)
                    .map(|(leg, join)| plan.exit(leg, join))
                    .collect();
                exits.sort_by(f64::total_cmp);
                assert!(exits.windows(2).all(|two| two[1] - two[0] > 1.0), "{exits:?}");
            }
        }
    }
}
