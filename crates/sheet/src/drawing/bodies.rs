//! A board and the parts on it as SVG: bodies as a hand holds them, each leg with its number or its letter.

use maud::{Markup, html};
use solderside_lead::{Body, PartId};
use solderside_trade::{ChipPart, ContactId, resistor_bands};

use super::board::Board;
use super::component::{CERAMIC, COAT, GLASS};
use super::geometry::Point;
use super::paint::{EDGE, INK, hex};
use super::path::number as n;
use super::seat::{CASE, DISC, NAME, PITCH, SWITCH, Seat, VALUE, row};
use crate::words::{initial, part_name};

const RESIN_BOARD: &str = "#eadfc4";
const HOLE: &str = "#b9a67c";
const TINNED: &str = "#ecdcae";
const PLASTIC: &str = "#33383d";
const PRINT: &str = "#ffffff";
/// From the middle of a chip to its body's long edge.
const HALF_CHIP: f64 = 1.5 * PITCH - 7.0;
/// Half of a resistor's body, along and across.
const HALF_BODY: [f64; 2] = [14.0, 5.5];

/// The board with its holes.
pub(super) fn ground(board: &Board) -> Markup {
    let bounds = board.bounds;
    let Some(first) = board.seats.first().and_then(|seat| seat.legs().first().map(|(_, at)| *at)) else {
        return html! {};
    };
    html! {
        g class="board" {
            rect x=(n(bounds.left)) y=(n(bounds.top)) width=(n(bounds.right - bounds.left))
                height=(n(bounds.bottom - bounds.top)) rx="3" fill=(RESIN_BOARD) stroke=(EDGE) {}
            @for y in holes(first.y, bounds.top, bounds.bottom) {
                @for x in holes(first.x, bounds.left, bounds.right) {
                    circle cx=(n(x)) cy=(n(y)) r="1.5" fill=(HOLE) {}
                }
            }
        }
    }
}

/// The places of holes between two edges, one of them at a leg.
fn holes(leg: f64, from: f64, to: f64) -> Vec<f64> {
    const CLEAR: f64 = 4.0;
    let first = leg - ((leg - from - CLEAR) / PITCH).floor() * PITCH;
    (0..u16::MAX).map(|at| first + PITCH * f64::from(at)).take_while(|at| *at <= to - CLEAR).collect()
}

/// A part with its legs.
pub(super) fn seated(seat: &Seat) -> Markup {
    html! {
        g data-part=(seat.part.id()) {
            @match seat.part.body {
                Body::Chip(chip) => (package(seat, chip)),
                Body::Transistor(transistor) => {
                    (case(seat, transistor.name(), row(transistor)))
                },
                Body::Changeover(_) => (toggle(seat)),
                Body::Capacitor(_) => (disc(seat)),
                Body::Diode(_) | Body::Resistor(_) => (rod(seat)),
            }
            @for (contact, at) in seat.legs() { (pad(seat, contact, at)) }
            @let [name, value] = seat.words();
            @let x = seat.at.x + seat.words_from();
            @if !name.is_empty() {
                (text(&name, Point { x, y: seat.at.y - 2.0 }, NAME, INK, "start"))
                (text(&value, Point { x, y: seat.at.y + 8.0 }, VALUE, INK, "start"))
            }
        }
    }
}

/// Where a leg goes through the board.
fn pad(seat: &Seat, contact: ContactId, Point { x, y }: Point) -> Markup {
    html! {
        circle data-leg=(format!("{}.{}", seat.part.id(), seat.part.id().leg_name(contact))) cx=(n(x)) cy=(n(y)) r="3.6"
            fill=(TINNED) stroke=(INK) stroke-width="0.8" {}
    }
}

/// A dual in-line package: its legs with their numbers, the notch, and the dot at leg 1.
fn package(seat: &Seat, chip: ChipPart) -> Markup {
    const NUMBER: f64 = 8.4;
    let Point { x, y } = seat.at;
    let bounds = seat.bounds();
    let [left, right] = [bounds.left + 3.0, bounds.right - 3.0];
    html! {
        @for (_, leg) in seat.legs() {
            @let inwards = if leg.y > y { -1.0 } else { 1.0 };
            rect x=(n(leg.x - 2.5)) y=(n(leg.y.min(leg.y + 9.0 * inwards))) width="5" height="9" fill="#cfd4d8" stroke=(INK)
                stroke-width="0.6" {}
        }
        rect class="body" x=(n(left)) y=(n(y - HALF_CHIP)) width=(n(right - left)) height=(n(2.0 * HALF_CHIP)) rx="2"
            fill=(PLASTIC) stroke=(INK) {}
        path class="notch" d=(format!("M{l} {}A6 6 0 0 1 {l} {}Z", n(y - 6.0), n(y + 6.0), l = n(left))) fill=(RESIN_BOARD)
            stroke=(INK) {}
        @for (contact, leg) in seat.legs() {
            @let inwards = if leg.y > y { -1.0 } else { 1.0 };
            @let at = Point { x: leg.x, y: y - inwards * (HALF_CHIP - 5.0) + 0.36 * NUMBER };
            (text(&contact.to_string(), at, NUMBER, PRINT, "middle"))
        }
        (text(&format!("{} {chip}", part_name(seat.part.id())), Point { x, y: y + 3.6 }, 10.0, PRINT, "middle"))
    }
}

/// A transistor's case from its flat side, with what is printed on it and the first letter of each leg's name.
fn case(seat: &Seat, name: &str, legs: [(ContactId, &str); 3]) -> Markup {
    const LETTER: f64 = 8.0;
    let Point { x, y } = seat.at;
    let [wide, high] = CASE;
    let [left, top] = [x - wide / 2.0, y - 1.5 * PITCH + 2.0];
    let bottom = top + high;
    html! {
        @for ((_, at), from) in seat.legs().iter().zip([-10.0, 0.0, 10.0]) {
            path d=(format!("M{} {}L{} {}", n(x + from), n(bottom), n(at.x), n(at.y))) stroke=(INK) stroke-width="3" fill="none" {}
            path d=(format!("M{} {}L{} {}", n(x + from), n(bottom), n(at.x), n(at.y))) stroke="#d0d0d0" stroke-width="1.6"
                fill="none" {}
        }
        rect class="body" x=(n(left)) y=(n(top)) width=(n(wide)) height=(n(high)) rx="3" fill=(PLASTIC) stroke=(INK) {}
        (text(&part_name(seat.part.id()), Point { x, y: top + 10.5 }, 9.0, PRINT, "middle"))
        (text(name, Point { x, y: top + 21.0 }, 8.6, PRINT, "middle"))
        @for (contact, name) in legs {
            @if let Some(at) = seat.leg(contact) {
                (text(&name.chars().take(1).collect::<String>().to_uppercase(),
                    Point { x: at.x + 8.0, y: at.y - 2.0 }, LETTER, INK, "middle"))
            }
        }
    }
}

/// A switch from the side of its lever: the lugs with what they are, and the lever between its two positions.
fn toggle(seat: &Seat) -> Markup {
    let Point { x, y } = seat.at;
    let [wide, high] = SWITCH;
    let [left, top] = [x - wide / 2.0, y - high / 2.0];
    html! {
        @for (_, at) in seat.legs() {
            @let edge = if at.y > y { y + high / 2.0 } else { y - high / 2.0 };
            path d=(format!("M{} {}L{} {}", n(x + (at.x - x) * 0.9), n(edge), n(at.x), n(at.y))) stroke=(INK) stroke-width="3" fill="none" {}
            path d=(format!("M{} {}L{} {}", n(x + (at.x - x) * 0.9), n(edge), n(at.x), n(at.y))) stroke="#d0d0d0" stroke-width="1.6"
                fill="none" {}
        }
        rect class="body" x=(n(left)) y=(n(top)) width=(n(wide)) height=(n(high)) rx="3" fill=(PLASTIC) stroke=(INK) {}
        rect x=(n(x - 15.0)) y=(n(top + 3.0)) width="30" height="8" rx="4" fill="#8a9096" stroke=(INK) stroke-width="0.6" {}
        rect x=(n(x - 15.0)) y=(n(top + 3.0)) width="13" height="8" rx="4" fill="#f2f2f2" stroke=(INK) stroke-width="0.6" {}
        (text(&format!("{} {}", part_name(seat.part.id()), seat.part.body), Point { x, y: top + 23.0 }, 8.6, PRINT, "middle"))
        @for (contact, at) in seat.legs() {
            (text(&initial(seat.part.id(), contact), Point { x: at.x + 8.0, y: at.y - 2.0 }, 8.0, INK, "middle"))
        }
    }
}

/// A ceramic disc on its two legs.
fn disc(seat: &Seat) -> Markup {
    let Point { x, y } = seat.at;
    html! {
        @for (_, at) in seat.legs() {
            @let from = x + (at.x - x) * 0.4;
            path d=(format!("M{} {}L{} {}", n(from), n(y + 4.0), n(at.x), n(at.y))) stroke=(INK) stroke-width="3" fill="none" {}
            path d=(format!("M{} {}L{} {}", n(from), n(y + 4.0), n(at.x), n(at.y))) stroke="#d0d0d0" stroke-width="1.6" fill="none" {}
        }
        circle class="body" cx=(n(x)) cy=(n(y - 4.0)) r=(n(DISC)) fill=(CERAMIC) stroke=(INK) stroke-width="1.1" {}
    }
}

/// A resistor or a diode that lies on the board.
fn rod(seat: &Seat) -> Markup {
    let Point { x, y } = seat.at;
    let [along, across] = HALF_BODY;
    let [first, second] = [PartId::ANODE, PartId::CATHODE].map(|leg| seat.leg(leg).unwrap_or(seat.at));
    let outwards = if second.y > first.y { 1.0 } else { -1.0 };
    let ring = |from_middle: f64, high: f64, fill: &str| {
        let middle = y + outwards * from_middle;
        html! {
            rect class="ring" x=(n(x - across)) y=(n(middle - high / 2.0)) width=(n(2.0 * across)) height=(n(high)) fill=(fill)
                stroke=(INK) stroke-width="0.4" {}
        }
    };
    let body = |fill: &str| {
        html! {
            rect class="body" x=(n(x - across)) y=(n(y - along)) width=(n(2.0 * across)) height=(n(2.0 * along)) rx="3" fill=(fill)
                stroke=(INK) stroke-width="1.1" {}
        }
    };
    html! {
        line x1=(n(x)) x2=(n(x)) y1=(n(first.y)) y2=(n(second.y)) stroke=(INK) stroke-width="3" {}
        line x1=(n(x)) x2=(n(x)) y1=(n(first.y)) y2=(n(second.y)) stroke="#d0d0d0" stroke-width="1.6" {}
        @match seat.part.body {
            Body::Resistor(resistor) => {
                (body(COAT))
                @if let Some(bands) = resistor_bands(resistor.ohms, resistor.tolerance) {
                    @let last = bands.value.len().saturating_sub(1);
                    @for (at, colour) in bands.value.iter().enumerate() {
                        @let apart = if at == last { 2.4 } else { 0.0 };
                        (ring(4.4 - along + 4.1 * f64::from(u8::try_from(at).unwrap_or(u8::MAX)) + apart, 2.6, &hex(colour.rgb())))
                    }
                }
            },
            Body::Diode(_) => { (body(GLASS)) (ring(along - 6.0, 5.0, "#000")) },
            Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => {},
        }
    }
}

fn text(text: &str, at: Point, size: f64, fill: &str, anchor: &str) -> Markup {
    html! {
        text x=(n(at.x)) y=(n(at.y)) font-size=(n(size)) font-weight="700" fill=(fill) text-anchor=(anchor) { (text) }
    }
}
