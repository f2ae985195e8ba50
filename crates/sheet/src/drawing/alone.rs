//! One end alone, large: what is looked at while soldering it.

use solderside_lead::{Assembly, Join, Leg};

use super::geometry::{Placed, Point, Way};
use super::key::Key;
use super::label::Wording;
use super::lanes::Lanes;
use super::layout::{CAPTION_HEIGHT, Layout, MARGIN, end_captions, fan, set, used};
use super::strand::Strand;
use crate::colouring::Colouring;

/// Lays out one end alone, large: conductors leave the upper row upwards and the others downwards.
pub(crate) fn end(assembly: &Assembly, colouring: &Colouring, placed: &Placed) -> Layout {
    const WIDTH: f64 = 360.0;
    let mut placed = placed.clone();
    // Nothing is drawn smaller than in the whole lead, and the short ones not absurdly large.
    placed.scale *= ((WIDTH / 2.0 - MARGIN) / placed.half_size().x).clamp(1.0, 1.6);
    let widest = WIDTH.max(2.0 * (placed.half_size().x + MARGIN));
    let stubs = |way: Way| stubs(assembly, &placed, way);
    let [above, below] = [stubs(Way::Up), stubs(Way::Down)];
    let wording = |(leg, join): &(Leg, Join)| {
        Wording::new(colouring.letters(*join), &stub_purpose(assembly, *leg, *join))
    };
    let words = [&above, &below].map(|stubs| stubs.iter().map(wording).collect::<Vec<_>>());
    let lanes = [&words[0], &words[1]].map(|words| Lanes::new(words, widest));
    let width = lanes.iter().map(Lanes::width).fold(widest, f64::max);
    let heights = [0, 1].map(|at| lanes[at].height(&words[at]));
    placed.middle.x = width / 2.0;
    let exits = [(Way::Up, &above), (Way::Down, &below)]
        .map(|(way, stubs)| stubs.iter().map(|(leg, _)| exit(&placed, *leg, way)).collect::<Vec<_>>());
    let xs = [0, 1].map(|at| lanes[at].near(&exits[at], width));
    let fans = [0, 1].map(|at| {
        let aside = exits[at].iter().zip(&xs[at]).map(|(exit, x)| exit - x);
        if exits[at].is_empty() { 0.0 } else { fan(aside) }
    });
    let lines = end_captions(assembly, &placed, width);
    #[expect(clippy::cast_precision_loss, reason = "captions have few lines")]
    let header = MARGIN + CAPTION_HEIGHT * lines.len() as f64 + 4.0;
    let top = header + heights[0] + fans[0];
    placed.middle.y = top + placed.half_size().y;
    let bottom = placed.edge(Way::Down) + fans[1];
    let mut strands = Vec::new();
    let mut plates = Vec::new();
    for (way, stubs, lanes, words, xs) in
        [(Way::Up, &above, &lanes[0], &words[0], &xs[0]), (Way::Down, &below, &lanes[1], &words[1], &xs[1])]
    {
        for (at, ((leg, join), x)) in stubs.iter().zip(xs.iter().copied()).enumerate() {
            let inner = if way == Way::Up { top - fans[0] } else { bottom };
            let tier = lanes.tier_of(at, words);
            let plate = match way {
                Way::Down => words[at].below(Point { x, y: inner + tier }),
                Way::Up => words[at].below(Point { x, y: inner - tier - words[at].height() }),
            };
            let share = shared(stubs, *leg, at) * placed.half_a_pair();
            let end = if way == Way::Up { plate.bounds.bottom } else { plate.bounds.top };
            strands.extend(stub(
                &placed,
                *leg,
                *join,
                way,
                share,
                [Point { x, y: inner }, Point { x, y: end }],
            ));
            plates.push(plate);
        }
    }
    let key = Key::new(std::slice::from_ref(&placed));
    let height = bottom + heights[1] + key.height() + MARGIN;
    Layout {
        width,
        height,
        used: used(assembly),
        strands,
        links: Vec::new(),
        plates,
        captions: set(lines, width / 2.0, MARGIN),
        key: key.at(width / 2.0, height),
        ends: vec![placed],
        crossings: 0,
    }
}

/// The conductors that leave an end's picture one way, from left to right.
fn stubs(assembly: &Assembly, end: &Placed, way: Way) -> Vec<(Leg, Join)> {
    let leaves = |leg: Leg| end.cup(leg.contact).map(|cup| end.leaves_upwards(cup)) == Some(way == Way::Up);
    let mut stubs: Vec<(Leg, Join)> = assembly
        .lead
        .joins
        .iter()
        .flat_map(|join| [join.from, join.to].map(|leg| (leg, *join)))
        .filter(|(leg, _)| leg.end == end.id && leaves(*leg))
        .collect();
    stubs.sort_by(|(a, _), (b, _)| exit(end, *a, way).total_cmp(&exit(end, *b, way)));
    stubs
}

/// Where a conductor leaves the flange.
fn exit(end: &Placed, leg: Leg, way: Way) -> f64 {
    end.way_out(leg.contact, way).and_then(|points| points.last().copied()).map_or(0.0, |point| point.x)
}

/// How far beside the cup's middle a stub leaves, from −1 to 1: 0 where it has the cup for itself.
#[expect(clippy::cast_precision_loss, reason = "a cup holds few conductors")]
fn shared(stubs: &[(Leg, Join)], leg: Leg, at: usize) -> f64 {
    let sharers: Vec<usize> = (0..stubs.len()).filter(|other| stubs[*other].0 == leg).collect();
    let place = sharers.iter().position(|other| *other == at).unwrap_or(0);
    match sharers.len() {
        0 | 1 => 0.0,
        several => 2.0 * place as f64 / (several - 1) as f64 - 1.0,
    }
}

/// A conductor from its cup to its plate.
fn stub(end: &Placed, leg: Leg, join: Join, way: Way, share: f64, lane: [Point; 2]) -> Option<Strand> {
    let mut knots = end.way_out(leg.contact, way)?;
    for point in knots.iter_mut().skip(1) {
        point.x += share;
    }
    knots.extend(lane);
    knots.dedup_by(|a, b| (a.y - b.y).abs() < 0.01);
    if way == Way::Up {
        knots.reverse();
    }
    Some(Strand::new(join, knots))
}

/// What a stub is for: its function at this end, or where a link goes.
fn stub_purpose(assembly: &Assembly, leg: Leg, join: Join) -> String {
    let other = join.other(leg).filter(|other| other.end == leg.end);
    other.map_or_else(|| assembly.function(leg), |other| format!("to {}", other.contact))
}
