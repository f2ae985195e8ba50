//! One end alone, large: what is looked at while soldering it.

use solderside_lead::{Assembly, Join, Leg, Part};

use super::geometry::{Placed, Point, Way};
use super::hood::{Drafter, Hanging, Hood, Tip};
use super::key::Key;
use super::label::{Plate, Wording};
use super::lanes::Lanes;
use super::layout::{CAPTION_HEIGHT, Layout, MARGIN, components, end_captions, fan, legs, set, used};
use super::strand::Strand;
use crate::colouring::Colouring;
use crate::words::{contact, function_here, has_board, purpose};

/// What leaves the connector one way, with the plates that say what it is.
struct Side {
    way: Way,
    hood: Hood,
    words: Vec<Wording>,
    lanes: Lanes,
    /// The lanes' places, from the left of the sheet.
    xs: Vec<f64>,
    /// From the hood to the plates.
    fan: f64,
}

/// Lays out one end alone, large: conductors leave the upper row upwards and the others downwards.
pub(crate) fn end(assembly: &Assembly, colouring: &Colouring, placed: &Placed) -> Layout {
    const WIDTH: f64 = 360.0;
    let mut placed = placed.clone();
    // Nothing is drawn smaller than in the whole lead, and the short ones not absurdly large.
    placed.scale *= ((WIDTH / 2.0 - MARGIN) / placed.half_size().x).clamp(1.0, 1.6);
    placed.middle = Point { x: 0.0, y: 0.0 };
    // What sits on a board hangs from no cup: it is drawn hole by hole with its board.
    let on_board = has_board(&assembly.lead, placed.id);
    let hanging = if on_board { Hanging::default() } else { Hanging::new(&assembly.lead, placed.id) };
    let mut sides = [Way::Up, Way::Down].map(|way| side(assembly, colouring, &placed, &hanging, way));
    let reach = sides.iter().map(|side| side.hood.reach()).fold(placed.half_size().x, f64::max);
    let widest = WIDTH.max(2.0 * (reach + MARGIN));
    for side in &mut sides {
        side.lanes = Lanes::new(&side.words, widest);
    }
    let width = sides.iter().map(|side| side.lanes.width()).fold(widest, f64::max);
    placed.middle.x = width / 2.0;
    for side in &mut sides {
        side.spread(placed.middle.x, width);
    }
    let lines = end_captions(assembly, &placed, width);
    #[expect(clippy::cast_precision_loss, reason = "captions have few lines")]
    let header = MARGIN + CAPTION_HEIGHT * lines.len() as f64 + 4.0;
    placed.middle.y = header + sides[0].height() + placed.half_size().y;
    let parts: Vec<Part> =
        assembly.lead.parts.iter().filter(|part| part.sits == placed.id && !on_board).copied().collect();
    let key = Key::new(std::slice::from_ref(&placed), &parts);
    let height = placed.edge(Way::Down) + sides[1].height() + key.height() + MARGIN;
    let (strands, plates) = sides.iter().flat_map(|side| side.stubs(&placed)).unzip();
    let hoods = sides.map(|side| side.hood.around(placed.middle));
    Layout {
        width,
        height,
        used: used(assembly),
        strands,
        legs: legs(&hoods),
        links: Vec::new(),
        components: components(&assembly.lead, &hoods),
        tags: Vec::new(),
        boards: Vec::new(),
        plates,
        captions: set(lines, width / 2.0, MARGIN),
        key: key.at(width / 2.0, height),
        ends: vec![placed],
        crossings: 0,
    }
}

/// What leaves an end one way, parts that hang from no cup downwards.
fn side(assembly: &Assembly, colouring: &Colouring, end: &Placed, hanging: &Hanging, way: Way) -> Side {
    let key = |_: Leg, _: Join| 0.0;
    let drafter = Drafter { lead: &assembly.lead, end, way, hanging, key: &key };
    let hood = drafter.draft(|root| {
        let cup = root.and_then(|contact| end.cup(contact));
        cup.is_some_and(|cup| end.leaves_upwards(cup)) == (way == Way::Up)
    });
    side_of(assembly, colouring, way, hood)
}

/// What leaves a hood one way, each with its plate.
fn side_of(assembly: &Assembly, colouring: &Colouring, way: Way, hood: Hood) -> Side {
    let wording = |Tip { leg, join, .. }: &Tip| {
        Wording::new(colouring.letters(*join), &stub_purpose(assembly, *leg, *join))
    };
    let words: Vec<Wording> = hood.tips.iter().map(wording).collect();
    let lanes = Lanes::new(&words, 0.0);
    Side { way, hood, words, lanes, xs: Vec::new(), fan: 0.0 }
}

impl Side {
    /// Finds the lanes on a sheet so wide, with the connector's middle at an x.
    fn spread(&mut self, middle: f64, width: f64) {
        let exits = self.hood.tips.iter().filter_map(|tip| tip.points.last());
        let exits: Vec<f64> = exits.map(|point| point.x + middle).collect();
        self.xs = self.lanes.near(&exits, width);
        let aside = exits.iter().zip(&self.xs).map(|(exit, x)| exit - x);
        self.fan = if exits.is_empty() { 0.0 } else { fan(aside) };
    }

    /// From the connector's edge to the end of the plates.
    fn height(&self) -> f64 {
        self.hood.depth + self.fan + self.lanes.height(&self.words)
    }

    /// Each conductor from its leg to its plate.
    fn stubs(&self, end: &Placed) -> Vec<(Strand, Plate)> {
        let inner = end.edge(self.way) + self.way.sign() * (self.hood.depth + self.fan);
        let tips = self.hood.around(end.middle).tips;
        let stub = |(at, (tip, x)): (usize, (Tip, f64))| {
            let words = &self.words[at];
            let tier = self.lanes.tier_of(at, &self.words);
            let plate = match self.way {
                Way::Down => words.below(Point { x, y: inner + tier }),
                Way::Up => words.below(Point { x, y: inner - tier - words.height() }),
            };
            let end = if self.way == Way::Up { plate.bounds.bottom } else { plate.bounds.top };
            let lane = [Point { x, y: inner }, Point { x, y: end }];
            let points = tip.points.into_iter().chain(lane).collect();
            (Strand::along(tip.join, points), plate)
        };
        tips.into_iter().zip(self.xs.iter().copied()).enumerate().map(stub).collect()
    }
}

/// What a stub is for: its function at this end, or where a link goes.
fn stub_purpose(assembly: &Assembly, leg: Leg, join: Join) -> String {
    let hood = assembly.lead.hood(leg);
    let other = join.other(leg).filter(|other| assembly.lead.hood(*other) == hood);
    let to = |other: Leg| match other.part_id() {
        Some(_) => format!("to {}", contact(assembly, other)),
        None => format!("to {}", other.contact),
    };
    let here = || Some(function_here(assembly, leg)).filter(|here| !here.is_empty());
    // A chip's leg is for what its conductor is for.
    other.map_or_else(|| here().unwrap_or_else(|| purpose(assembly, join)), to)
}
