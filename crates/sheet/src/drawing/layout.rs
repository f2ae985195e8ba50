//! A whole lead's sheet: heights, labels, and the course of every conductor.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, EndId, Join, Lead, Leg, Part};

use super::board::Board;
use super::braid;
use super::component::Component;
use super::geometry::{Placed, Point};
use super::hood::Hood;
use super::key::Key;
use super::label::{CAPTION, HEADING, Line, Plate, Wording, width, wrap};
use super::lanes::{CLEARANCE, Lanes};
use super::path::Path;
use super::plan::{Plan, is_above};
use super::strand::{Strand, meeting};
use crate::colouring::Colouring;
use crate::words::{clean, contact, end_name, goes, is_bare, purpose, seen_from, theirs, way_up};

/// Everything on a sheet, in its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Layout {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) ends: Vec<Placed>,
    /// The cups that something is soldered to.
    pub(crate) used: BTreeSet<Leg>,
    pub(crate) strands: Vec<Strand>,
    pub(crate) links: Vec<Link>,
    /// The bare legs that parts hang by.
    pub(crate) legs: Vec<Link>,
    pub(crate) components: Vec<(Component, Part)>,
    /// The boards that parts sit on.
    pub(crate) boards: Vec<Board>,
    /// The letters of wires that lead from cups to boards, each where it stands on its wire.
    pub(crate) tags: Vec<(Join, Point)>,
    pub(crate) plates: Vec<Plate>,
    pub(crate) captions: Vec<Line>,
    pub(crate) key: Key,
    /// How often one conductor passes over another.
    pub(crate) crossings: usize,
}

/// A conductor between two cups of one side, as path data.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Link {
    pub(crate) join: Join,
    pub(crate) path: Path,
}

/// A line of text and its size.
type Caption = (String, f64);

pub(super) const MARGIN: f64 = 10.0;
pub(super) const CAPTION_HEIGHT: f64 = 15.0;
/// Between two links that run side by side, and between the first and the flange.
const LINK_STEP: f64 = 10.0;
/// From the flanges to the lanes.
const FAN: f64 = 52.0;
/// Conductors that go farther aside in it would lie flat upon one another.
const FARTHEST_ASIDE: f64 = 150.0;
/// So much more height for each unit farther aside.
const STEEPER: f64 = 0.7;
/// Before a fan of more height all conductors run straight so far: what comes aslant from the last layer
/// would meet its neighbours.
const STRAIGHT: f64 = 16.0;
const LAYER: f64 = 33.0;

/// Lays out a whole lead: the controllers' ends above, the port's below, the conductors between.
pub(crate) fn lead(assembly: &Assembly, colouring: &Colouring, mut plan: Plan) -> Layout {
    let words: Vec<Wording> = plan
        .runs
        .iter()
        .map(|(join, _)| Wording::new(colouring.letters(*join), &purpose(assembly, *join)))
        .collect();
    let lanes = Lanes::new(&words, plan.width);
    plan.widen(lanes.width());
    let captions: Vec<_> = plan.ends.iter().map(|end| captions(assembly, colouring, &plan, end)).collect();
    let key = Key::new(&plan.ends, &assembly.lead.parts);
    let heights = Heights::new(&plan, &lanes, &words, &captions, key.height());
    for end in &mut plan.ends {
        end.middle.y = heights.middle(end);
    }
    let mut strands = strands(&plan, &lanes, &heights);
    let crossings = cross(&plan, &heights, &mut strands) + pass_under_links(&plan, &mut strands);
    let (bare, links): (Vec<Link>, Vec<Link>) =
        plan.links.iter().map(|link| draw_link(&plan, *link)).partition(|link| is_bare(assembly, link.join));
    let captions = captions.into_iter().zip(&plan.ends).flat_map(|(lines, end)| {
        let below = heights.lower_middle + end.half_size().y + 4.0;
        set(lines, end.middle.x, if is_above(end.id) { MARGIN } else { below })
    });
    let plates = words.iter().enumerate().map(|(at, own)| {
        own.below(Point { x: lanes.x(at, plan.width), y: heights.plates + lanes.tier_of(at, &words) })
    });
    let hoods: Vec<Hood> = plan.ends.iter().filter_map(|end| plan.hood_of(end)).collect();
    Layout {
        width: plan.width,
        height: heights.sheet,
        legs: legs(&hoods).into_iter().chain(bare).chain(board_wires(assembly, &hoods, true)).collect(),
        components: components(&assembly.lead, &hoods),
        tags: tags(assembly, &hoods),
        used: used(assembly),
        plates: plates.collect(),
        strands,
        links: links.into_iter().chain(board_wires(assembly, &hoods, false)).collect(),
        boards: hoods.into_iter().filter_map(|hood| hood.board).collect(),
        captions: captions.collect(),
        key: key.at(plan.width / 2.0, heights.sheet),
        ends: plan.ends,
        crossings,
    }
}

/// The heights of a whole lead's sheet, from above.
struct Heights {
    upper_middle: f64,
    /// Where conductors are free of links and begin to fan out.
    upper_fan: f64,
    plates: f64,
    /// Where lanes change places, layer by layer.
    layers: Vec<f64>,
    /// To where the lanes run straight below the last layer.
    straight_to: Option<f64>,
    lower_fan: f64,
    lower_middle: f64,
    sheet: f64,
}

impl Heights {
    #[expect(clippy::cast_precision_loss, reason = "a sheet has few lines, links and layers")]
    fn new(plan: &Plan, lanes: &Lanes, words: &[Wording], captions: &[Vec<Caption>], key: f64) -> Self {
        let half = |above: bool| {
            let ends = plan.ends.iter().filter(|end| is_above(end.id) == above);
            ends.map(|end| end.half_size().y).fold(0.0, f64::max)
        };
        let lines = |above: bool| {
            let ends = plan.ends.iter().zip(captions).filter(|(end, _)| is_above(end.id) == above);
            ends.map(|(_, lines)| lines.len()).max().unwrap_or(0) as f64
        };
        let links = |above: bool| {
            let links = plan.links.iter().filter(|link| plan.is_upper(link.from) == above).count();
            LINK_STEP * (links as f64 + 0.5)
        };
        let upper_middle = MARGIN + lines(true) * CAPTION_HEIGHT + half(true);
        let upper_fan = upper_middle + plan.reach(true) + links(true);
        let lane = |place: usize| lanes.x(place, plan.width);
        let aside = |join: &Join, above: bool, place: usize| {
            let leg = [join.from, join.to].into_iter().find(|leg| plan.is_upper(*leg) == above);
            leg.map_or(0.0, |leg| plan.exit(leg, *join) - lane(place))
        };
        let upper = fan(plan.runs.iter().enumerate().map(|(at, (join, _))| aside(join, true, at)));
        let lower = fan(plan.runs.iter().map(|(join, rank)| aside(join, false, *rank)));
        let plates = upper_fan + upper;
        let first_layer = plates + lanes.height(words) + CLEARANCE;
        let ranks: Vec<usize> = plan.runs.iter().map(|(_, rank)| *rank).collect();
        let layers: Vec<f64> =
            (0..braid::layers(&ranks).len()).map(|layer| first_layer + LAYER * layer as f64).collect();
        let last_layer = layers.last().copied().unwrap_or(first_layer);
        let straight_to = (lower > FAN).then_some(last_layer + STRAIGHT);
        let lower_fan = straight_to.unwrap_or(last_layer) + lower;
        let lower_middle = lower_fan + links(false) + plan.reach(false);
        let sheet = lower_middle + half(false) + lines(false) * CAPTION_HEIGHT + key + MARGIN;
        Self { upper_middle, upper_fan, plates, layers, straight_to, lower_fan, lower_middle, sheet }
    }

    fn middle(&self, end: &Placed) -> f64 {
        if is_above(end.id) { self.upper_middle } else { self.lower_middle }
    }
}

/// The height in which conductors can go so far aside: high enough that the outermost do not lie flat.
pub(super) fn fan(aside: impl Iterator<Item = f64>) -> f64 {
    FAN + STEEPER * (aside.map(f64::abs).fold(FARTHEST_ASIDE, f64::max) - FARTHEST_ASIDE)
}

/// The height of a link's run beside an end; the shortest runs nearest.
#[expect(clippy::cast_precision_loss, reason = "an end has few links")]
fn link_height(plan: &Plan, link: Join) -> f64 {
    let is_upper = plan.is_upper(link.from);
    let same_side = plan.links.iter().filter(|other| plan.is_upper(other.from) == is_upper);
    let turn = same_side.take_while(|other| **other != link).count() as f64;
    plan.edge(is_upper) + plan.towards_the_other(link.from).sign() * LINK_STEP * (turn + 1.0)
}

fn strands(plan: &Plan, lanes: &Lanes, heights: &Heights) -> Vec<Strand> {
    let ranks: Vec<usize> = plan.runs.iter().map(|(_, rank)| *rank).collect();
    let layers = braid::layers(&ranks);
    let mut strands = Vec::new();
    for (at, (join, rank)) in plan.runs.iter().enumerate() {
        let [upper, lower] =
            if plan.is_upper(join.from) { [join.from, join.to] } else { [join.to, join.from] };
        let [Some(from), Some(mut to)] = [upper, lower].map(|leg| plan.way_out(leg, *join)) else { continue };
        to.reverse();
        let lane = lanes.x(at, plan.width);
        let mut knots = from;
        knots.push(Point { x: plan.exit(upper, *join), y: heights.upper_fan });
        knots.push(Point { x: lane, y: heights.plates });
        for (order, y) in layers.iter().zip(&heights.layers) {
            let place = order.iter().position(|other| other == rank).unwrap_or(at);
            knots.push(Point { x: lanes.x(place, plan.width), y: *y });
        }
        knots.extend(heights.straight_to.map(|y| Point { x: lanes.x(*rank, plan.width), y }));
        knots.push(Point { x: plan.exit(lower, *join), y: heights.lower_fan });
        knots.extend(to);
        let leads = [upper, lower].map(|leg| plan.lead_in(leg, *join));
        strands.push(Strand::new(*join, knots).between(leads));
    }
    strands
}

/// Lets the conductor that goes to the right pass over the one that goes to the left.
fn cross(plan: &Plan, heights: &Heights, strands: &mut [Strand]) -> usize {
    let ranks: Vec<usize> = plan.runs.iter().map(|(_, rank)| *rank).collect();
    let of_rank = |rank: usize| ranks.iter().position(|other| *other == rank).unwrap_or(0);
    let mut crossings = 0;
    for (orders, ys) in braid::layers(&ranks).windows(2).zip(heights.layers.windows(2)) {
        let moved = (0..ranks.len()).filter(|at| orders[0][*at] > orders[1][*at]);
        for at in moved.collect::<Vec<_>>() {
            let [over, under] = [orders[0][at], orders[1][at]].map(of_rank);
            let y = meeting(&strands[over], &strands[under], [ys[0], ys[1]]);
            let over = strands[over].clone();
            strands[under].pass_under(&over, y);
            crossings += 1;
        }
    }
    crossings
}

fn pass_under_links(plan: &Plan, strands: &mut [Strand]) -> usize {
    let crossings = plan.link_crossings();
    for (link, other, _) in &crossings {
        if let Some(strand) = strands.iter_mut().find(|strand| strand.join == *other) {
            strand.gap(link_height(plan, *link), Strand::half_gap());
        }
    }
    crossings.len()
}

/// A link as a path: out of one cup, across beside the flange, into the other.
fn draw_link(plan: &Plan, link: Join) -> Link {
    const BEND: f64 = 5.0;
    let across = link_height(plan, link);
    let bent = |leg: Leg| {
        let towards = if plan.exit(leg, link) > plan.span(link)[0] { -BEND } else { BEND };
        let back = plan.towards_the_other(leg).sign() * BEND;
        let x = plan.exit(leg, link);
        [Point { x, y: across - back }, Point { x, y: across }, Point { x: x + towards, y: across }]
    };
    let [out, corner, along] = bent(link.from);
    let mut path = Path::through(plan.way_out(link.from, link).into_iter().flatten().chain([out]));
    path.corner(corner, along);
    let [out, corner, along] = bent(link.to);
    path.line(along).corner(corner, out);
    for point in plan.way_out(link.to, link).into_iter().flatten().rev() {
        path.line(point);
    }
    Link { join: link, path }
}

/// What stands beside an end: what every picture says, and its links, which have no plate.
fn captions(assembly: &Assembly, colouring: &Colouring, plan: &Plan, end: &Placed) -> Vec<Caption> {
    let of_end = plan.links.iter().filter(|link| link.from.end == end.id && !is_bare(assembly, **link));
    let links = of_end.map(|link| {
        let [from, to] = [link.from, link.to].map(|leg| contact(assembly, leg));
        let there = match link.to.end {
            other if other == end.id => String::new(),
            other => format!(" of {}", end_name(assembly, other).to_lowercase()),
        };
        format!("{} links {from} and {to}{there}", colouring.letters(*link))
    });
    let alone = plan.ends.iter().filter(|other| is_above(other.id) == is_above(end.id)).count() < 2;
    let room = if alone { plan.width - 2.0 * MARGIN } else { 2.0 * end.half_size().x };
    let links = links.flat_map(|text| wrapped(&text, CAPTION, room));
    end_captions(assembly, end, room).into_iter().chain(links).collect()
}

/// What every picture says of an end, line by line with the size of its letters.
pub(super) fn end_captions(assembly: &Assembly, end: &Placed, room: f64) -> Vec<Caption> {
    let connector = end.connector;
    let heading = format!("{}: {connector}", end_name(assembly, end.id));
    let seen = format!("{}, {}", seen_from(connector.family), way_up(connector.family, end.turned));
    let mate = format!("{} the {}", goes(connector), theirs(assembly, end.id));
    let lines = match end.id {
        EndId::Donor => [
            (format!("{}: {}", end_name(assembly, end.id), theirs(assembly, end.id)), HEADING),
            ("its points, in a row as on no board: find each with the meter".to_owned(), CAPTION),
            (format!("its own plug goes into the {}", clean(&assembly.port.title)), CAPTION),
        ],
        EndId::Controller(_) | EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Port => {
            [(heading, HEADING), (seen, CAPTION), (mate, CAPTION)]
        }
    };
    lines.iter().flat_map(|(text, size)| wrapped(text, *size, room)).collect()
}

fn wrapped(text: &str, size: f64, room: f64) -> Vec<Caption> {
    let lines = wrap(text, |line| width(line, size, size > CAPTION) <= room);
    lines.into_iter().map(|line| (line, size)).collect()
}

pub(super) fn set(lines: Vec<Caption>, x: f64, top: f64) -> Vec<Line> {
    let mut baseline = top;
    let mut set = Vec::new();
    for (text, size) in lines {
        baseline += CAPTION_HEIGHT;
        let line = Line::new(text, Point { x, y: baseline - 4.0 }, size);
        set.push(if size > CAPTION { line.bold() } else { line });
    }
    set
}

/// The legs that parts hang by, as paths.
pub(super) fn legs(hoods: &[Hood]) -> Vec<Link> {
    let legs = hoods.iter().flat_map(|hood| &hood.legs);
    legs.map(|tip| Link { join: tip.join, path: Strand::along(tip.join, tip.points.clone()).path() })
        .collect()
}

/// The wires that lead to boards and over them without leaving the hood: the bare ones, or the others.
pub(super) fn board_wires(assembly: &Assembly, hoods: &[Hood], bare: bool) -> Vec<Link> {
    let wires = hoods.iter().flat_map(|hood| &hood.wires);
    let wires = wires.filter(|wire| is_bare(assembly, wire.join) == bare);
    wires.map(|wire| Link { join: wire.join, path: wire.route.path() }).collect()
}

/// Where the letters of the wires stand that lead from cups to boards.
pub(super) fn tags(assembly: &Assembly, hoods: &[Hood]) -> Vec<(Join, Point)> {
    let wires = hoods.iter().flat_map(|hood| &hood.wires);
    let wires = wires.filter(|wire| !is_bare(assembly, wire.join));
    wires.filter_map(|wire| Some((wire.join, wire.tag?))).collect()
}

/// The parts in hoods, each with what it is.
pub(super) fn components(lead: &Lead, hoods: &[Hood]) -> Vec<(Component, Part)> {
    let components = hoods.iter().flat_map(|hood| &hood.components);
    components.filter_map(|own| Some((*own, *lead.part(own.id)?))).collect()
}

pub(super) fn used(assembly: &Assembly) -> BTreeSet<Leg> {
    assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).collect()
}

#[cfg(test)]
mod tests;
