//! Connectors as SVG: their bodies below the conductors, their cups above.

use maud::{Markup, html};
use solderside_lead::{EndId, Leg};
use solderside_trade::{Body, ContactId, Family};

use super::geometry::{Break, Cup, Placed, Point};
use super::layout::Layout;
use super::paint::{EDGE, INK};
use super::path::{Path, number as n, pair};

const METAL: &str = "#dfe3e6";
const SHELL: &str = "#c5cbd0";
const INSULATOR: &str = "#f7f5ee";
const TINNED: &str = "#ecdcae";
const CUP_WALL: &str = "#4f4119";
const SPARE: &str = "#fbfaf6";
const SPARE_WALL: &str = "#bdb8aa";
const SPARE_INK: &str = "#6b6b66";

/// What holds the contacts.
pub(super) fn body(end: &Placed) -> Markup {
    match end.connector.family.body() {
        Body::DShell { .. } => flange(end),
        Body::Skirt { .. } => skirt(end),
        Body::Slot { .. } => slot(end),
        Body::Strip => strip(end),
    }
}

/// Flange, screw holes, shell and insulator.
fn flange(end: &Placed) -> Markup {
    html! {
        g stroke=(EDGE) {
            (block(end, 0.0, METAL))
            (holes(end))
            path class="shell" d=(end.shell().as_str()) fill=(SHELL) stroke-width="1.5" {}
            path d=(end.insulator().as_str()) fill=(INSULATOR) {}
        }
    }
}

/// A round skirt, the insulator in it, and the keyway, which tells the way up.
fn skirt(end: &Placed) -> Markup {
    let Some([outer, inner]) = end.skirt() else { return html! {} };
    let Point { x, y } = end.middle;
    let up = if end.turned { -1.0 } else { 1.0 };
    let corner = |aside: f64, down: f64| Point { x: x + aside * inner, y: y - up * (1.0 - down) * inner };
    let mut keyway = Path::through([corner(-0.13, 0.0), corner(-0.13, 0.12)]);
    keyway.corner(corner(-0.13, 0.2), corner(0.0, 0.2)).corner(corner(0.13, 0.2), corner(0.13, 0.12));
    keyway.line(corner(0.13, 0.0));
    html! {
        g stroke=(EDGE) {
            circle class="shell" cx=(n(x)) cy=(n(y)) r=(n(outer)) fill=(SHELL) stroke-width="1.5" {}
            circle cx=(n(x)) cy=(n(y)) r=(n(inner)) fill=(INSULATOR) {}
            path class="keyway" d=(keyway.as_str()) fill=(SHELL) stroke-width="1.5" {}
        }
    }
}

/// The body of an edge socket between its ears, and the key between its rows.
fn slot(end: &Placed) -> Markup {
    const SIZE: f64 = 8.0;
    let half = end.half_size();
    html! {
        g stroke=(EDGE) {
            (block(end, 0.0, METAL))
            (holes(end))
            (block(end, half.x - end.half_body(), INSULATOR))
            @if let Some(Point { x, y }) = end.key() {
                rect class="key" x=(n(x - 4.0)) y=(n(y - 0.8 * half.y)) width="8" height=(n(1.6 * half.y)) rx="2" fill=(SHELL) {}
                text x=(n(x)) y=(n(y + 0.36 * SIZE)) fill=(INK) stroke="none" font-size=(n(SIZE))
                    transform=(format!("rotate(-90 {} {})", n(x), n(y))) { "key" }
            }
            @for own in end.breaks() { (left_out(end, &own)) }
        }
    }
}

/// A break in a long row, from above to below, and what is left out there.
fn left_out(end: &Placed, own: &Break) -> Markup {
    const SIZE: f64 = 9.0;
    const LINE: f64 = 12.0;
    let half = end.half_size().y + 2.0;
    let x = f64::midpoint(own.left, own.right);
    let torn = |x: f64, down: f64| {
        let at = |share: f64, aside: f64| Point { x: x + aside, y: end.middle.y + down * half * share };
        [at(-1.0, 0.0), at(-0.5, 3.5), at(0.0, -3.5), at(0.5, 3.5), at(1.0, 0.0)]
    };
    let [left, right] = [own.left + 5.0, own.right - 5.0];
    let gap = Path::through(torn(left, 1.0).into_iter().chain(torn(right, -1.0)));
    let key = own.key.map(|place| format!("key at {place}"));
    let lines: Vec<String> =
        ["not drawn:".to_owned()].into_iter().chain(own.rows.iter().cloned()).chain(key).collect();
    let first =
        end.middle.y - LINE * f64::from(u8::try_from(lines.len()).unwrap_or(u8::MAX).saturating_sub(1)) / 2.0;
    html! {
        g class="break" {
            path d=(gap.as_str()) fill="#fff" stroke="none" {}
            @for side in [torn(left, 1.0), torn(right, 1.0)] {
                path d=(Path::through(side).as_str()) fill="none" stroke-width="1.5" {}
            }
            @for (at, text) in lines.iter().enumerate() {
                @let y = first + LINE * f64::from(u8::try_from(at).unwrap_or(u8::MAX)) + 0.36 * SIZE;
                text x=(n(x)) y=(n(y)) fill=(INK) stroke="none" font-size=(n(SIZE)) { (text) }
            }
        }
    }
}

/// A strip of terminals with the walls between them.
fn strip(end: &Placed) -> Markup {
    let half = end.half_size();
    html! {
        g stroke=(EDGE) {
            (block(end, 0.0, METAL))
            @for x in end.walls() {
                line x1=(n(x)) x2=(n(x)) y1=(n(end.middle.y - half.y)) y2=(n(end.middle.y + half.y)) {}
            }
        }
    }
}

/// A rounded block over a connector's size, but for so much on the left and on the right.
fn block(end: &Placed, less: f64, fill: &str) -> Markup {
    let half = end.half_size();
    html! {
        rect x=(n(end.middle.x - half.x + less)) y=(n(end.middle.y - half.y)) width=(n(2.0 * (half.x - less)))
            height=(n(2.0 * half.y)) rx="6" fill=(fill) {}
    }
}

fn holes(end: &Placed) -> Markup {
    html! {
        @for hole in end.screw_holes().into_iter().flatten() {
            circle cx=(n(hole.x)) cy=(n(hole.y)) r=(n(end.screw_hole_radius())) fill="#fff" {}
        }
    }
}

/// The contacts with their names, the shell's lug where it is used, and the mark at contact 1.
pub(super) fn cups(end: &Placed, layout: &Layout) -> Markup {
    html! {
        @for cup in end.cups() {
            @let is_used = layout.used.contains(&Leg { end: end.id, contact: cup.contact });
            @if cup.contact != ContactId::Shell {
                (contact(end, cup, is_used))
            } @else if is_used {
                (lug(end, cup))
            }
        }
        @if let Some(one) = end.cup(ContactId::Number(1)) { (mark(end, one)) }
    }
}

/// A contact as its family has it, with its name on it.
fn contact(end: &Placed, cup: Cup, is_used: bool) -> Markup {
    let [fill, wall, ink] = if is_used { [TINNED, CUP_WALL, INK] } else { [SPARE, SPARE_WALL, SPARE_INK] };
    let radius = end.cup_radius();
    let is_tag = matches!(end.connector.family.body(), Body::Slot { .. });
    let size = if is_tag { 1.15 } else { 1.28 } * radius;
    let Point { x, y } = cup.at;
    html! {
        g data-cup=(cup_name(end.id, cup.contact)) {
            @match end.connector.family.body() {
                Body::DShell { .. } | Body::Skirt { .. } => {
                    circle cx=(n(x)) cy=(n(y)) r=(n(radius)) fill=(fill) stroke=(wall) stroke-width="1.2" {}
                    path d=(high_half(end, cup.at, radius)) fill="none" stroke=(wall) {}
                },
                Body::Slot { .. } => {
                    rect x=(n(x - 0.92 * radius)) y=(n(y - radius)) width=(n(1.84 * radius)) height=(n(2.0 * radius))
                        rx="2.5" fill=(fill) stroke=(wall) stroke-width="1.2" {}
                },
                Body::Strip => {
                    circle cx=(n(x)) cy=(n(y)) r=(n(radius)) fill=(fill) stroke=(wall) stroke-width="1.2" {}
                    path d=(screw_slot(cup.at, radius)) fill="none" stroke=(wall) stroke-width="2" {}
                },
            }
            text x=(n(x)) y=(n(y + 0.36 * size)) fill=(ink) font-size=(n(size)) font-weight="700" {
                (cup.contact)
            }
        }
    }
}

/// The round wall of a cup seen from behind; its high half faces the middle of the connector.
fn high_half(end: &Placed, at: Point, radius: f64) -> String {
    let sweep = if at.y < end.middle.y { "0" } else { "1" };
    let inner = radius - 1.0;
    let [left, right] = [-inner, inner].map(|beside| pair(Point { x: at.x + beside, y: at.y }));
    format!("M{left}A{r} {r} 0 0 {sweep} {right}", r = n(inner))
}

/// The two ends of a screw's slot, above and below its number.
fn screw_slot(at: Point, radius: f64) -> String {
    let end = |from: f64, to: f64| {
        Path::through([from, to].map(|down| Point { x: at.x, y: at.y + down * radius })).as_str().to_owned()
    };
    format!("{}{}", end(-0.95, -0.6), end(0.6, 0.95))
}

/// A solder lug under the screw or beside the skirt, where the shell is joined.
fn lug(end: &Placed, cup: Cup) -> Markup {
    const SIZE: f64 = 8.0;
    let Point { x, y } = cup.at;
    let skirt = end.skirt().map(|[outer, _]| end.middle.x + outer);
    let hole = if skirt.is_some() { 12.0 } else { end.screw_hole_radius() };
    html! {
        g data-cup=(cup_name(end.id, cup.contact)) {
            @if let Some(from) = skirt {
                rect x=(n(from - 3.0)) y=(n(y - 5.0)) width=(n(x - from)) height="10" fill=(TINNED) stroke=(CUP_WALL)
                    stroke-width="1.2" {}
            }
            circle cx=(n(x)) cy=(n(y)) r=(n(hole + 3.5)) fill=(TINNED) stroke=(CUP_WALL) stroke-width="1.2" {}
            circle cx=(n(x)) cy=(n(y)) r=(n(hole)) fill="#fff" stroke=(CUP_WALL) {}
            text x=(n(x)) y=(n(y + 0.36 * SIZE)) fill=(INK) font-size=(n(SIZE)) font-weight="700" { "shell" }
        }
    }
}

/// A small pointer at contact 1, beside it on the insulator: on the outer side, unless a conductor passes
/// there.
fn mark(end: &Placed, one: Point) -> Markup {
    let outwards = if one.x < end.middle.x { -1.0 } else { 1.0 };
    let side = if end.connector.family == Family::MiniDin8 { -outwards } else { outwards };
    let x = one.x + side * (end.cup_radius() + 2.0);
    html! { (pointer(Point { x, y: one.y }, side)) }
}

/// A triangle whose tip is at a point and whose base lies to one side.
pub(super) fn pointer(tip: Point, side: f64) -> Markup {
    let back = |y: f64| Point { x: tip.x + side * 5.0, y: tip.y + y };
    html! { path class="first" d=(Path::through([tip, back(-3.5), back(3.5)]).close().as_str()) fill=(INK) {} }
}

fn cup_name(end: EndId, contact: ContactId) -> String {
    Leg { end, contact }.to_string()
}
