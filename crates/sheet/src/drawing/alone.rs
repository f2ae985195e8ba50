//! One end alone, large: what is looked at while soldering it.

use solderside_lead::{Assembly, Join, Leg};
use solderside_trade::ContactId;

use super::geometry::{Placed, Point, Way};
use super::label::Wording;
use super::lanes::Lanes;
use super::layout::{CAPTION_HEIGHT, FAN, KEY_HEIGHT, Key, Layout, MARGIN, end_captions, set, used};
use super::strand::Strand;
use crate::colouring::Colouring;

/// Lays out one end alone, large: conductors leave the upper row upwards and the others downwards.
pub(crate) fn end(assembly: &Assembly, colouring: &Colouring, placed: &Placed) -> Layout {
    const WIDTH: f64 = 360.0;
    let mut placed = placed.clone();
    placed.scale *= (WIDTH / 2.0 - MARGIN) / placed.half_size().x;
    let stubs = |way: Way| stubs(assembly, &placed, way);
    let [above, below] = [stubs(Way::Up), stubs(Way::Down)];
    let wording = |(leg, join): &(Leg, Join)| {
        Wording::new(colouring.letters(*join), &stub_purpose(assembly, *leg, *join))
    };
    let words = [&above, &below].map(|stubs| stubs.iter().map(wording).collect::<Vec<_>>());
    let lanes = [&words[0], &words[1]].map(|words| Lanes::new(words, WIDTH));
    let width = lanes.iter().map(Lanes::width).fold(WIDTH, f64::max);
    let heights = [0, 1].map(|at| lanes[at].height(&words[at]));
    let fans = [&above, &below].map(|stubs| if stubs.is_empty() { 0.0 } else { FAN });
    let lines = end_captions(assembly, &placed, width);
    #[expect(clippy::cast_precision_loss, reason = "captions have few lines")]
    let header = MARGIN + CAPTION_HEIGHT * lines.len() as f64 + 4.0;
    let top = header + heights[0] + fans[0];
    placed.middle = Point { x: width / 2.0, y: top + placed.half_size().y };
    let bottom = placed.edge(Way::Down) + fans[1];
    let mut strands = Vec::new();
    let mut plates = Vec::new();
    for (way, stubs, lanes, words) in
        [(Way::Up, &above, &lanes[0], &words[0]), (Way::Down, &below, &lanes[1], &words[1])]
    {
        let exits: Vec<f64> = stubs.iter().map(|(leg, _)| exit(&placed, *leg, way)).collect();
        for (at, ((leg, join), x)) in stubs.iter().zip(lanes.near(&exits, width)).enumerate() {
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
    let height = bottom + heights[1] + KEY_HEIGHT + MARGIN;
    Layout {
        width,
        height,
        used: used(assembly),
        strands,
        links: Vec::new(),
        plates,
        captions: set(lines, width / 2.0, MARGIN),
        key: Key {
            at: Point { x: width / 2.0, y: height - KEY_HEIGHT / 2.0 },
            ten_millimetres: 10.0 * placed.scale,
        },
        ends: vec![placed],
        crossings: 0,
    }
}

/// The conductors that leave an end's picture one way, from left to right.
fn stubs(assembly: &Assembly, end: &Placed, way: Way) -> Vec<(Leg, Join)> {
    let cups = end.cups();
    let numbered = cups.iter().filter(|cup| cup.contact != ContactId::Shell);
    let upper_row = numbered.map(|cup| cup.at.y).fold(f64::INFINITY, f64::min);
    let leaves = |leg: Leg| {
        let is_up = end.cup(leg.contact).is_some_and(|cup| cup.y < upper_row + 0.1);
        (way == Way::Up) == is_up
    };
    let mut stubs: Vec<(Leg, Join)> = assembly
        .lead
        .joins
        .iter()
        .flat_map(|join| [join.from, join.to].map(|leg| (leg, *join)))
        .filter(|(leg, _)| leg.end == end.id && end.cup(leg.contact).is_some() && leaves(*leg))
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
