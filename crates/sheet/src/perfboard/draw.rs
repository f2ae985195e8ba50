//! A board as SVG, to scale: from the component side its parts, from the solder side its wires.

mod bodies;
mod ground;
mod names;
mod wires;

use maud::{Markup, html};
use solderside_lead::Assembly;

use super::hole::{Hole, PITCH_MM};
use super::{BoardPlan, Edge};
use crate::colouring::Colouring;
use crate::words::{clean, count, end_name};

pub(super) const INK: &str = "#1b1f23";
pub(super) const EDGE: &str = "#59636b";
pub(super) const FONT: &str = "system-ui, sans-serif";
/// From hole to hole, in units of the picture.
pub(super) const PITCH: f64 = 24.0;
/// From the board to the edge of the picture, beside labels.
const MARGIN: f64 = 10.0;
/// The room of the names of rows and columns.
const NAMES: f64 = 20.0;
/// A line of the title.
const LINE: f64 = 18.0;
/// A letter of the labels, at its widest.
const LETTER: f64 = 6.6;
/// How much wider the letters of the title are: larger, and bold.
const TITLE_LETTERS: f64 = 1.35;
/// From the board's edge to a conductor's label.
const STUB: f64 = 30.0;
/// A picture that is wider than this shows too little when it is shrunk to a phone.
const WIDE: f64 = 480.0;

/// The side that one looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Where the parts are.
    Component,
    /// Where they are soldered: left and right are changed over.
    Solder,
}

impl Side {
    const BOTH: [Self; 2] = [Self::Component, Self::Solder];

    pub(super) const fn as_str(self) -> &'static str {
        match self {
            Self::Component => "component",
            Self::Solder => "solder",
        }
    }
}

/// A point of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) x: f64,
    pub(super) y: f64,
}

/// Where the holes of a board are in a picture of one of its sides.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame<'p> {
    pub(super) plan: &'p BoardPlan,
    pub(super) side: Side,
    /// The hole in the upper left corner.
    pub(super) first: Spot,
}

impl Frame<'_> {
    pub(super) fn spot(&self, hole: Hole) -> Spot {
        let column = match self.side {
            Side::Component => hole.column,
            Side::Solder => self.plan.columns.saturating_sub(1 + hole.column),
        };
        Spot { x: self.first.x + PITCH * f64::from(column), y: self.first.y + PITCH * f64::from(hole.row) }
    }

    /// The board's edges: left, top, right, bottom.
    pub(super) fn edges(&self) -> [f64; 4] {
        let half = PITCH / 2.0;
        let [left, top] = [self.first.x - half, self.first.y - half];
        [left, top, left + PITCH * f64::from(self.plan.columns), top + PITCH * f64::from(self.plan.rows)]
    }
}

/// A picture of one side, and its size.
struct Picture {
    body: Markup,
    width: f64,
    height: f64,
}

/// Draws one side of a board as an SVG document, larger than it is.
pub(crate) fn side_drawing(
    assembly: &Assembly,
    colouring: &Colouring,
    plan: &BoardPlan,
    side: Side,
) -> String {
    let picture = picture(assembly, colouring, plan, side);
    let id = format!("board-{}-{}", plan.end, side.as_str());
    let size = [picture.width, picture.height].map(n);
    document(&id, &title(assembly, plan, side), &told(assembly, plan, side), &[picture], &size).into_string()
}

/// Draws both sides of every board of a lead as one SVG document that prints at its true size.
pub fn board_drawing(assembly: &Assembly, colouring: &Colouring, plans: &[BoardPlan]) -> String {
    let pictures: Vec<Picture> = plans
        .iter()
        .flat_map(|plan| Side::BOTH.map(|side| picture(assembly, colouring, plan, side)))
        .collect();
    let told: Vec<String> =
        plans.iter().flat_map(|plan| Side::BOTH.map(|side| told(assembly, plan, side))).collect();
    let wide = pictures.iter().map(|picture| picture.width).fold(0.0, f64::max);
    let high: f64 = pictures.iter().map(|picture| picture.height).sum();
    let millimetres = |units: f64| format!("{}mm", n(units / PITCH * PITCH_MM));
    let title = format!("{}: board at its true size", clean(&assembly.lead.title));
    document("boards", &title, &told.join(" "), &pictures, &[millimetres(wide), millimetres(high)])
        .into_string()
}

fn document(id: &str, title: &str, told: &str, pictures: &[Picture], size: &[String; 2]) -> Markup {
    let wide = pictures.iter().map(|picture| picture.width).fold(0.0, f64::max);
    let high: f64 = pictures.iter().map(|picture| picture.height).sum();
    let tops = pictures.iter().scan(0.0, |top, picture| {
        let own = *top;
        *top += picture.height;
        Some(own)
    });
    html! {
        svg xmlns="http://www.w3.org/2000/svg" class=[(wide > WIDE).then_some("wide")]
            viewBox=(format!("0 0 {} {}", n(wide), n(high))) width=(size[0]) height=(size[1]) role="img"
            aria-labelledby=(format!("{id}-title {id}-told")) font-family=(FONT) text-anchor="middle" {
            title id=(format!("{id}-title")) { (title) }
            desc id=(format!("{id}-told")) { (told) }
            rect width="100%" height="100%" fill="#fff" {}
            @for (picture, top) in pictures.iter().zip(tops) {
                g transform=(format!("translate({} {})", n((wide - picture.width) / 2.0), n(top))) { (picture.body) }
            }
        }
    }
}

fn title(assembly: &Assembly, plan: &BoardPlan, side: Side) -> String {
    format!("Board at the {}, {} side", end_name(assembly, plan.end).to_lowercase(), side.as_str())
}

/// "12 × 14 holes, 30.5 × 35.6 mm".
pub(crate) fn size(plan: &BoardPlan) -> String {
    let [high, wide] = plan.millimetres();
    format!("{} × {} holes, {wide:.1} × {high:.1} mm", plan.columns, plan.rows)
}

/// What is in the picture, for those who hear it.
fn told(assembly: &Assembly, plan: &BoardPlan, side: Side) -> String {
    let contact = |leg| crate::words::contact(assembly, leg);
    match side {
        Side::Component => {
            let seats = plan.seats.iter().map(|seat| {
                let legs = seat.legs.iter().map(|(leg, hole)| format!("{leg} in {hole}"));
                let name = crate::words::part_name(seat.part.id());
                format!("{name} {}: {}.", seat.part.body, legs.collect::<Vec<_>>().join(", "))
            });
            format!("{}. {}", size(plan), seats.collect::<Vec<_>>().join(" "))
        }
        Side::Solder => {
            let wires = plan.wires.iter().map(|wire| {
                let corners: Vec<String> = wire.corners.iter().map(ToString::to_string).collect();
                let kind = if wire.insulated { "insulated" } else { "bare" };
                format!(
                    "{} to {}: {kind}, {}.",
                    contact(wire.legs[0]),
                    contact(wire.legs[1]),
                    corners.join(" ")
                )
            });
            let wires: Vec<String> = wires.collect();
            format!(
                "Left and right changed over. {}. {}",
                count(plan.crossings.try_into().unwrap_or(0), "crossing"),
                wires.join(" ")
            )
        }
    }
}

fn picture(assembly: &Assembly, colouring: &Colouring, plan: &BoardPlan, side: Side) -> Picture {
    let labels = |edge: Edge| {
        let own = plan.entries.iter().filter(|entry| entry.edge == edge);
        let letters = own.map(|entry| ground::label(assembly, colouring, entry).chars().count()).max();
        letters.map_or(0.0, |letters| STUB + LETTER * units(letters))
    };
    let [above, below] = [Edge::Connector, Edge::Cable].map(labels);
    let lines = [title(assembly, plan, side), size(plan), said(side).to_owned()];
    let letters = |line: &String| LETTER * units(line.chars().count());
    let needed = lines.iter().map(letters).fold(letters(&lines[0]) * TITLE_LETTERS, f64::max);
    let own = PITCH * f64::from(plan.columns) + 2.0 * NAMES;
    let width = own.max(needed) + 2.0 * MARGIN;
    let top = MARGIN + LINE * units(lines.len()) + 8.0 + above + NAMES;
    let first =
        Spot { x: (width - PITCH * f64::from(plan.columns)) / 2.0 + PITCH / 2.0, y: top + PITCH / 2.0 };
    let height = top + PITCH * f64::from(plan.rows) + NAMES + below + MARGIN;
    let frame = Frame { plan, side, first };
    let body = html! {
        @for (at, line) in (1..).zip(&lines) {
            text x=(n(width / 2.0)) y=(n(MARGIN + LINE * units(at) - 4.0)) font-size=[Some(if at == 1 { "14" } else { "11" })]
                font-weight=[(at == 1).then_some("700")] fill=(INK) { (line) }
        }
        (ground::ground(&frame))
        (ground::entries(assembly, colouring, &frame))
        @match side {
            Side::Component => { (ground::rings(&frame)) (bodies::parts(&frame)) },
            Side::Solder => { (bodies::shadows(&frame)) (wires::wires(&frame)) (ground::rings(&frame)) (bodies::joints(&frame)) },
        }
    };
    Picture { body, width, height }
}

const fn said(side: Side) -> &'static str {
    match side {
        Side::Component => "Seen from above, the parts towards you",
        Side::Solder => "Turned over: left and right are changed",
    }
}

/// A count as units of the picture.
pub(super) fn units(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::from(u32::MAX), f64::from)
}

/// A number with two decimals at most.
pub(super) fn n(value: f64) -> String {
    crate::drawing::number(value)
}

pub(super) fn text(words: &str, Spot { x, y }: Spot, size: f64, fill: &str) -> Markup {
    html! {
        text x=(n(x)) y=(n(y + 0.36 * size)) font-size=(n(size)) font-weight="700" fill=(fill) { (words) }
    }
}

/// The same upwards.
pub(super) fn text_upwards(words: &str, Spot { x, y }: Spot, size: f64, fill: &str, anchor: &str) -> Markup {
    html! {
        text x=(n(x)) y=(n(y + 0.36 * size)) font-size=(n(size)) font-weight="700" fill=(fill) text-anchor=(anchor)
            transform=(format!("rotate(-90 {} {})", n(x), n(y))) { (words) }
    }
}
