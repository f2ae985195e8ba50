//! A layout as SVG.

use maud::{Markup, html};
use solderside_lead::{EndId, Join, Leg};
use solderside_trade::{ContactId, CoreColour};

use super::geometry::{Cup, Placed, Point};
use super::label::{Line, Plate};
use super::layout::{Key, Layout, Link};
use super::path::{Path, number as n, pair};
use crate::colouring::Colouring;

/// What a picture is called and what it shows, for those who hear it.
pub(crate) struct Alternative {
    /// Unique on a page.
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) description: String,
}

const FONT: &str = "system-ui, sans-serif";
const INK: &str = "#1b1f23";
const METAL: &str = "#dfe3e6";
const SHELL: &str = "#c5cbd0";
const EDGE: &str = "#59636b";
const INSULATOR: &str = "#f7f5ee";
const TINNED: &str = "#ecdcae";
const CUP_WALL: &str = "#4f4119";
const SPARE: &str = "#fbfaf6";
const SPARE_WALL: &str = "#bdb8aa";
const SPARE_INK: &str = "#6b6b66";

/// A conductor's width with its outline, and without: the outline keeps white visible on white.
const OUTLINE: f64 = 4.6;
const INSULATION: f64 = 3.0;

/// Writes a layout as one SVG document on white.
pub(crate) fn svg(layout: &Layout, colouring: &Colouring, words: &Alternative) -> Markup {
    let title = format!("{}-title", words.id);
    let description = format!("{}-description", words.id);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", n(layout.width), n(layout.height)))
            width=(n(layout.width)) height=(n(layout.height)) role="img"
            aria-labelledby=(format!("{title} {description}")) font-family=(FONT) text-anchor="middle" {
            title id=(title) { (words.title) }
            desc id=(description) { (words.description) }
            rect width="100%" height="100%" fill="#fff" {}
            @for end in &layout.ends { (body(end)) }
            g fill="none" stroke-linejoin="round" {
                @for strand in &layout.strands { (conductor(colouring, strand.join, &strand.path())) }
                @for Link { join, path } in &layout.links { (conductor(colouring, *join, path)) }
            }
            @for end in &layout.ends { (cups(end, layout)) }
            @for plate in &layout.plates { (label(plate)) }
            @for caption in &layout.captions { (line(caption)) }
            (key(layout.key))
        }
    }
}

/// Flange, screw holes, shell and insulator.
fn body(end: &Placed) -> Markup {
    let half = end.half_size();
    html! {
        g stroke=(EDGE) {
            rect x=(n(end.middle.x - half.x)) y=(n(end.middle.y - half.y)) width=(n(2.0 * half.x))
                height=(n(2.0 * half.y)) rx="6" fill=(METAL) {}
            @for hole in end.screw_holes() {
                circle cx=(n(hole.x)) cy=(n(hole.y)) r=(n(end.screw_hole_radius())) fill="#fff" {}
            }
            path class="shell" d=(end.shell().as_str()) fill=(SHELL) stroke-width="1.5" {}
            path d=(end.insulator().as_str()) fill=(INSULATOR) {}
        }
    }
}

/// A conductor with the outline that shows it on any paper; a ring of a second colour as dashes.
fn conductor(colouring: &Colouring, join: Join, path: &Path) -> Markup {
    let core = colouring.core(join);
    let bare = [0xd0, 0xd0, 0xd0];
    html! {
        g data-join=(join) {
            path d=(path.as_str()) stroke=(INK) stroke-width=(n(OUTLINE)) {}
            path d=(path.as_str()) stroke=(hex(core.map_or(bare, |core| core.base().rgb()))) stroke-width=(n(INSULATION)) {}
            @if let Some(ring) = core.and_then(CoreColour::ring) {
                path d=(path.as_str()) stroke=(hex(ring.rgb())) stroke-width=(n(INSULATION)) stroke-dasharray="3 6" {}
            }
        }
    }
}

/// The solder cups with their numbers, the shell's lug where it is used, and the mark at contact 1.
fn cups(end: &Placed, layout: &Layout) -> Markup {
    html! {
        @for cup in end.cups() {
            @let is_used = layout.used.contains(&Leg { end: end.id, contact: cup.contact });
            @if cup.contact != ContactId::Shell {
                (solder_cup(end, cup, is_used))
            } @else if is_used {
                (lug(end, cup))
            }
        }
        @if let Some(one) = end.cup(ContactId::Number(1)) { (mark(end, one)) }
    }
}

/// A cup seen from behind: its round wall, higher on the side of the other row, and its mouth.
fn solder_cup(end: &Placed, cup: Cup, is_used: bool) -> Markup {
    let [fill, wall, ink] = if is_used { [TINNED, CUP_WALL, INK] } else { [SPARE, SPARE_WALL, SPARE_INK] };
    let radius = end.cup_radius();
    let size = 1.28 * radius;
    let Point { x, y } = cup.at;
    // The high half of the wall faces the middle of the connector.
    let sweep = if y < end.middle.y { "0" } else { "1" };
    let inner = radius - 1.0;
    let [left, right] = [-inner, inner].map(|beside| pair(Point { x: x + beside, y }));
    html! {
        g data-cup=(cup_name(end.id, cup.contact)) {
            circle cx=(n(x)) cy=(n(y)) r=(n(radius)) fill=(fill) stroke=(wall) stroke-width="1.2" {}
            path d=(format!("M{left}A{r} {r} 0 0 {sweep} {right}", r = n(inner))) fill="none" stroke=(wall) {}
            text x=(n(x)) y=(n(y + 0.36 * size)) fill=(ink) font-size=(n(size)) font-weight="700" {
                (cup.contact)
            }
        }
    }
}

/// A solder lug under the screw, where the shell is joined.
fn lug(end: &Placed, cup: Cup) -> Markup {
    const SIZE: f64 = 8.0;
    let Point { x, y } = cup.at;
    let hole = end.screw_hole_radius();
    html! {
        g data-cup=(cup_name(end.id, cup.contact)) {
            circle cx=(n(x)) cy=(n(y)) r=(n(hole + 3.5)) fill=(TINNED) stroke=(CUP_WALL) stroke-width="1.2" {}
            circle cx=(n(x)) cy=(n(y)) r=(n(hole)) fill="#fff" stroke=(CUP_WALL) {}
            text x=(n(x)) y=(n(y + 0.36 * SIZE)) fill=(INK) font-size=(n(SIZE)) font-weight="700" { "shell" }
        }
    }
}

/// A small pointer at contact 1, beside it on the insulator.
fn mark(end: &Placed, one: Point) -> Markup {
    let outwards = if one.x < end.middle.x { -1.0 } else { 1.0 };
    let x = one.x + outwards * (end.cup_radius() + 2.0);
    html! { (pointer(Point { x, y: one.y }, outwards)) }
}

/// A triangle whose tip is at a point and whose base lies to one side.
fn pointer(tip: Point, side: f64) -> Markup {
    let back = |y: f64| Point { x: tip.x + side * 5.0, y: tip.y + y };
    html! { path class="first" d=(Path::through([tip, back(-3.5), back(3.5)]).close().as_str()) fill=(INK) {} }
}

fn label(plate: &Plate) -> Markup {
    let bounds = plate.bounds;
    html! {
        g class="plate" {
            rect x=(n(bounds.left)) y=(n(bounds.top)) width=(n(bounds.right - bounds.left))
                height=(n(bounds.bottom - bounds.top)) rx="3" fill="#fff" stroke=(EDGE) stroke-width="0.8" {}
            @for text in &plate.lines { (line(text)) }
        }
    }
}

fn line(line: &Line) -> Markup {
    html! {
        text x=(n(line.at.x)) y=(n(line.at.y)) font-size=(n(line.size)) fill=(INK)
            font-weight=[line.bold.then_some("700")] { (line.text) }
    }
}

/// What the pointer means, and how long 10 mm are.
fn key(key: Key) -> Markup {
    let Point { x, y } = key.at;
    let from = x - 10.0;
    let to = from + key.ten_millimetres;
    let corner = |x: f64, up: f64| Point { x, y: y - up };
    let mut bar = Path::through([corner(from, 3.0), corner(from, -3.0)]);
    bar.start(corner(from, 0.0)).line(corner(to, 0.0)).start(corner(to, 3.0)).line(corner(to, -3.0));
    html! {
        (pointer(Point { x: x - 100.0, y }, -1.0))
        (line(&Line::new("contact 1", Point { x: x - 70.0, y: y + 4.0 }, 10.0)))
        path d=(bar.as_str()) stroke=(INK) fill="none" {}
        (line(&Line::new("10 mm", Point { x: to + 22.0, y: y + 4.0 }, 10.0)))
    }
}

fn cup_name(end: EndId, contact: ContactId) -> String {
    Leg { end, contact }.to_string()
}

fn hex([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}
