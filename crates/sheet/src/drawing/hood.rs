//! The hood of an end: the parts that sit in it, each in line with its conductor, and the ways from the cups past
//! them to the cable.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use solderside_lead::{EndId, Join, Lead, Leg, PartId};
use solderside_trade::ContactId;

use super::board::{Board, Wire};
use super::component::{Component, wording};
use super::geometry::{Placed, Point, Way};
use super::label::Wording;
use super::lanes::{CLEARANCE, spread};
use super::route::Route;

/// What lies between the edge of a connector and the cable, from the middle of the connector.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Hood {
    /// The parts, those nearest the connector first, from left to right.
    pub(crate) components: Vec<Component>,
    /// The bare legs that parts hang by: from a cup or another part to the part.
    pub(crate) legs: Vec<Tip>,
    /// What goes on from here, from left to right.
    pub(crate) tips: Vec<Tip>,
    /// The board that parts sit on, if they sit on one.
    pub(crate) board: Option<Board>,
    /// The wires to and on the board that do not leave the hood.
    pub(crate) wires: Vec<Wire>,
    /// From the edge of the connector to where it ends.
    pub(crate) depth: f64,
}

/// A join on its way from one of its legs, which comes first among its points.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tip {
    pub(crate) leg: Leg,
    pub(crate) join: Join,
    pub(crate) points: Vec<Point>,
    /// The way over a board from the leg to the first of the points; else none.
    pub(crate) lead: Option<Route>,
}

/// How the parts of an end hang together: each by one join from a cup, or from a part that does.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Hanging(BTreeMap<PartId, Hung>);

#[derive(Debug, Clone, Copy, PartialEq)]
struct Hung {
    /// None where no way leads to a cup of this end.
    by: Option<Join>,
    /// The leg on the connector's side.
    near: Leg,
    /// How many parts lie between it and the connector.
    level: usize,
    /// The cup that it hangs from at last.
    root: Option<ContactId>,
}

/// One of several places side by side.
enum Column {
    /// A join that passes by.
    Past(Tip),
    /// A part, and the join that it hangs by.
    Part(PartId, Option<Tip>),
    /// A join that leaves the near leg of the part before it, and goes up beside its body.
    Beside(Leg, Join),
}

/// From a conductor's middle to whatever is beside it.
const HALF_LANE: f64 = 5.5;
/// From a part's middle to what is beside the word at its band.
const HALF_BODY: f64 = 27.0;
/// The least height in which legs fan out to their parts.
const FAN: f64 = 20.0;
/// So much more for each unit that one of them goes aside.
const STEEPER: f64 = 0.35;
/// Several conductors on one leg run so far apart.
const APART: f64 = 6.0;

impl Hanging {
    /// How the parts of an end hang.
    pub(crate) fn new(lead: &Lead, end: EndId) -> Self {
        let mut hanging = Self::default();
        let is_here = |leg: Leg| lead.hood(leg) == end;
        let cups: BTreeSet<Leg> =
            lead.joins.iter().flat_map(|join| [join.from, join.to]).filter(|leg| leg.end == end).collect();
        hanging.grow(lead, end, cups.into_iter().collect());
        for part in lead.parts.iter().filter(|part| part.sits == end) {
            let near = Leg::part(part.id(), PartId::ANODE);
            if is_here(near) && !hanging.0.contains_key(&part.id()) {
                hanging.0.insert(part.id(), Hung { by: None, near, level: 0, root: None });
                hanging.grow(lead, end, [Some(near), lead.across(near)].into_iter().flatten().collect());
            }
        }
        hanging
    }

    /// Hangs up what is joined to these legs, and what is joined to that.
    fn grow(&mut self, lead: &Lead, end: EndId, mut open: VecDeque<Leg>) {
        while let Some(leg) = open.pop_front() {
            for join in lead.joins.iter().filter(|join| join.other(leg).is_some()) {
                let Some(near) = join.other(leg).filter(|near| lead.hood(*near) == end) else { continue };
                let Some(id) = near.part_id().filter(|id| !self.0.contains_key(id)) else { continue };
                let parent = leg.part_id().and_then(|id| self.0.get(&id));
                let level = parent.map_or(0, |parent| parent.level + 1);
                let root = parent.map_or((leg.end == end).then_some(leg.contact), |parent| parent.root);
                self.0.insert(id, Hung { by: Some(*join), near, level, root });
                open.extend(lead.across(near));
                open.push_back(near);
            }
        }
    }

    /// The cup that a part hangs from at last.
    pub(crate) fn root(&self, id: PartId) -> Option<ContactId> {
        self.0.get(&id)?.root
    }

    /// The part that hangs by a join from a leg.
    fn part_by(&self, join: Join, from: Leg) -> Option<PartId> {
        let near = join.other(from)?;
        let id = near.part_id()?;
        self.0.get(&id).filter(|hung| hung.by == Some(join) && hung.near == near).map(|_| id)
    }
}

/// Draws up the hood of one end.
pub(crate) struct Drafter<'a> {
    pub(crate) lead: &'a Lead,
    /// The end, its middle at nought.
    pub(crate) end: &'a Placed,
    pub(crate) way: Way,
    pub(crate) hanging: &'a Hanging,
    /// Where a join wants to go: joins of one leg stand in this order.
    pub(crate) key: &'a dyn Fn(Leg, Join) -> f64,
}

impl Drafter<'_> {
    /// The hood with what comes from these cups, and with the parts that hang from them or, as `None`, from no cup.
    pub(crate) fn draft(&self, is_root: impl Fn(Option<ContactId>) -> bool) -> Hood {
        let mut hood = Hood { tips: self.first_tips(&is_root), ..Hood::default() };
        let parts = self.hanging.0.values().filter(|hung| is_root(hung.root));
        let levels = parts.map(|hung| hung.level + 1).max().unwrap_or(0);
        for level in 0..levels {
            let mut columns = self.columns(std::mem::take(&mut hood.tips), level);
            if level == 0 && is_root(None) {
                let loose = self.hanging.0.iter().filter(|(_, hung)| hung.by.is_none());
                columns.extend(loose.flat_map(|(id, hung)| self.part(*id, hung.near, None)));
            }
            self.set(&mut hood, columns);
        }
        hood
    }

    /// What leaves the cups.
    fn first_tips(&self, is_root: &impl Fn(Option<ContactId>) -> bool) -> Vec<Tip> {
        let way_out = |cup: ContactId, beside: f64| self.end.way_out_beside(cup, self.way, beside);
        let roots = self.end.cups().into_iter().filter(|cup| is_root(Some(cup.contact)));
        let exit = |cup: ContactId| way_out(cup, 0.0)?.last().map(|point| point.x);
        let mut roots: Vec<(ContactId, f64)> =
            roots.filter_map(|cup| Some((cup.contact, exit(cup.contact)?))).collect();
        roots.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut tips = Vec::new();
        for (contact, _) in roots {
            let leg = Leg { end: self.end.id, contact };
            let joins = self.joins(leg, None);
            for (at, join) in joins.iter().enumerate() {
                let beside = self.end.half_a_pair() * share(at, joins.len());
                tips.extend(way_out(contact, beside).map(|points| Tip {
                    leg,
                    join: *join,
                    points,
                    lead: None,
                }));
            }
        }
        tips
    }

    /// The joins of a leg in the order in which they leave it.
    fn joins(&self, leg: Leg, but: Option<Join>) -> Vec<Join> {
        let joins = self.lead.joins.iter().filter(|join| join.other(leg).is_some() && but != Some(**join));
        let mut joins: Vec<Join> = joins.copied().collect();
        joins.sort_by(|a, b| self.weight(leg, *a).total_cmp(&self.weight(leg, *b)).then(a.cmp(b)));
        joins
    }

    /// Where a join wants to go; by one that a part hangs by, what goes on from the part.
    fn weight(&self, leg: Leg, join: Join) -> f64 {
        let part = self.hanging.part_by(join, leg);
        let far = part.and_then(|id| self.lead.across(self.hanging.0.get(&id)?.near));
        let Some(far) = far else { return (self.key)(leg, join) };
        let onwards = self.lead.joins.iter().filter(|other| **other != join && other.other(far).is_some());
        let weights: Vec<f64> = onwards.map(|other| self.weight(far, *other)).collect();
        #[expect(clippy::cast_precision_loss, reason = "a leg has few joins")]
        let number = weights.len().max(1) as f64;
        weights.iter().sum::<f64>() / number
    }

    /// What stands side by side at a level.
    fn columns(&self, tips: Vec<Tip>, level: usize) -> Vec<Column> {
        let mut columns = Vec::new();
        for tip in tips {
            let part = self.hanging.part_by(tip.join, tip.leg);
            let hung = part.and_then(|id| Some((id, self.hanging.0.get(&id)?)));
            match hung.filter(|(_, hung)| hung.level == level) {
                Some((id, hung)) => columns.extend(self.part(id, hung.near, Some(tip))),
                None => columns.push(Column::Past(tip)),
            }
        }
        columns
    }

    /// A part, with what else leaves its near leg.
    fn part(&self, id: PartId, near: Leg, tip: Option<Tip>) -> Vec<Column> {
        let others = self.joins(near, tip.as_ref().map(|tip| tip.join));
        let others = others.into_iter().map(|join| Column::Beside(near, join));
        std::iter::once(Column::Part(id, tip)).chain(others).collect()
    }

    /// Sets columns beside one another, each as near as can be to where it comes from.
    fn set(&self, hood: &mut Hood, columns: Vec<Column>) {
        let outwards = self.way.sign();
        let inner = self.end.edge(self.way) + outwards * hood.depth;
        let mut before = 0.0;
        let wanted: Vec<f64> = columns
            .iter()
            .map(|column| {
                let tip = match column {
                    Column::Past(tip) | Column::Part(_, Some(tip)) => tip.points.last(),
                    Column::Part(_, None) | Column::Beside(..) => None,
                };
                before = tip.map_or(before, |point| point.x);
                before
            })
            .collect();
        let words = |column: &Column| match column {
            Column::Part(id, _) => self.lead.part(*id).map(wording),
            Column::Past(_) | Column::Beside(..) => None,
        };
        let all: Vec<Option<Wording>> = columns.iter().map(words).collect();
        let half = |own: &Option<Wording>| own.as_ref().map(|words| words.width() / 2.0);
        let least: Vec<f64> = all
            .windows(2)
            .map(|two| match [&two[0], &two[1]].map(half) {
                [Some(left), Some(right)] => left + right + CLEARANCE,
                [Some(left), None] => HALF_BODY.max(left + CLEARANCE) + HALF_LANE,
                [None, Some(right)] => right + CLEARANCE + HALF_LANE,
                [None, None] => 2.0 * HALF_LANE,
            })
            .collect();
        let xs = spread(&wanted, &least);
        let aside = wanted.iter().zip(&xs).map(|(wanted, x)| (wanted - x).abs()).fold(0.0, f64::max);
        let fan = FAN + STEEPER * aside;
        let plate = all.iter().flatten().map(Wording::height).fold(0.0, f64::max);
        let depth = fan + Component::HEIGHT + Component::TO_PLATE + plate + CLEARANCE;
        let [near_y, outer_y] = [fan, depth].map(|so_far| inner + outwards * so_far);
        let mut near_pin = Point { x: 0.0, y: near_y };
        for (column, x) in columns.into_iter().zip(xs) {
            let [pin, outer] = [near_y, outer_y].map(|y| Point { x, y });
            match column {
                Column::Past(mut tip) => {
                    tip.points.extend([pin, outer]);
                    hood.tips.push(tip);
                }
                Column::Beside(leg, join) => {
                    let bend = Point { x, y: near_y + outwards * Component::HEIGHT / 2.0 };
                    hood.tips.push(Tip { leg, join, points: vec![near_pin, bend, outer], lead: None });
                }
                Column::Part(id, tip) => {
                    near_pin = pin;
                    let Some(hung) = self.hanging.0.get(&id) else { continue };
                    hood.legs.extend(tip.map(|mut tip| {
                        tip.points.push(pin);
                        tip
                    }));
                    let component = Component::hung(id, hung.near, pin, self.way);
                    if let Some(far) = self.lead.across(hung.near) {
                        self.go_on(hood, &component, far, hung.by, outer);
                    }
                    hood.components.push(component);
                }
            }
        }
        hood.depth += depth;
    }

    /// What leaves the far leg of a part.
    fn go_on(&self, hood: &mut Hood, component: &Component, far: Leg, but: Option<Join>, outer: Point) {
        let joins = self.joins(far, but);
        let pin = component.far_pin();
        let apart = APART / 2.0 * f64::from(u8::try_from(joins.len().saturating_sub(1)).unwrap_or(u8::MAX));
        for (at, join) in joins.iter().enumerate() {
            let x = pin.x + apart * share(at, joins.len());
            let bend = Point { x, y: pin.y + self.way.sign() * Component::TO_PLATE };
            let points = vec![pin, bend, Point { x, ..outer }];
            hood.tips.push(Tip { leg: far, join: *join, points, lead: None });
        }
    }
}

/// How far beside the middle one of several goes, from −1 to 1.
#[expect(clippy::cast_precision_loss, reason = "a leg has few joins")]
fn share(at: usize, of: usize) -> f64 {
    if of < 2 { 0.0 } else { 2.0 * at as f64 / (of - 1) as f64 - 1.0 }
}

impl Hood {
    /// The same around another middle.
    #[must_use]
    pub(crate) fn around(&self, middle: Point) -> Self {
        let moved = |at: Point| Point { x: at.x + middle.x, y: at.y + middle.y };
        let all = |tips: &[Tip]| {
            let tip = |tip: &Tip| Tip {
                points: tip.points.iter().copied().map(moved).collect(),
                lead: tip.lead.as_ref().map(|lead| lead.moved(middle)),
                ..*tip
            };
            tips.iter().map(tip).collect()
        };
        let components = self.components.iter().map(|own| Component { at: moved(own.at), ..*own });
        let wires = self.wires.iter().map(|wire| Wire {
            route: wire.route.moved(middle),
            tag: wire.tag.map(moved),
            join: wire.join,
        });
        Self {
            components: components.collect(),
            legs: all(&self.legs),
            tips: all(&self.tips),
            board: self.board.as_ref().map(|board| board.moved(middle)),
            wires: wires.collect(),
            depth: self.depth,
        }
    }

    /// How far it reaches to either side of the middle.
    pub(crate) fn reach(&self) -> f64 {
        let parts = self.components.iter().map(|component| component.at.x.abs() + HALF_BODY);
        let tips = self.tips.iter().flat_map(|tip| &tip.points).map(|point| point.x.abs() + HALF_LANE);
        let board = self.board.iter().flat_map(|board| [-board.bounds.left, board.bounds.right]);
        let leads = self.tips.iter().filter_map(|tip| tip.lead.as_ref());
        let routes = self.wires.iter().map(|wire| &wire.route).chain(leads);
        let routes = routes.flat_map(Route::points).map(|point| point.x.abs() + HALF_LANE);
        parts.chain(tips).chain(board).chain(routes).fold(0.0, f64::max)
    }

    /// A join on its way from one of its legs.
    pub(crate) fn tip(&self, leg: Leg, join: Join) -> Option<&Tip> {
        self.tips.iter().find(|tip| tip.leg == leg && tip.join == join)
    }
}
