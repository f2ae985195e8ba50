//! The parts of a board: their bodies from the component side, their outlines and joints from the solder side.

use maud::{Markup, html};
use solderside_lead::{Body, PartId};
use solderside_trade::{ChipPart, ContactId};

use super::{EDGE, Frame, INK, PITCH, Spot, n, names, text, text_upwards};
use crate::drawing::{CERAMIC, COAT, GLASS, width};
use crate::perfboard::BoardSeat;
use crate::words::{self, part_name};

const PLASTIC: &str = "#33383d";
const PRINT: &str = "#ffffff";
const METAL: &str = "#cfd4d8";
const TINNED: &str = "#ecdcae";
/// Half of a lying body, along and across: 6.3 mm by 2.3 mm.
const HALF_ROD: [f64; 2] = [30.0, 10.4];
/// Half of a glass diode.
const HALF_GLASS: [f64; 2] = [25.0, 8.0];
pub(super) const NUMBER: f64 = 10.0;

/// All parts from the component side.
pub(super) fn parts(frame: &Frame<'_>) -> Markup {
    html! {
        @for seat in &frame.plan.seats {
            g data-part=(seat.part.id()) {
                @match seat.part.body {
                    Body::Chip(chip) => (package(frame, seat, chip)),
                    Body::Transistor(transistor) => (case(frame, seat, transistor.name())),
                    Body::Changeover(switch) => (slide(frame, seat, switch.name())),
                    Body::Capacitor(_) => (disc(frame, seat)),
                    Body::Diode(_) | Body::Resistor(_) => (rod(frame, seat)),
                }
            }
        }
    }
}

/// The edges of the rectangle that a part takes, half a pitch around its outer holes.
pub(super) fn room(frame: &Frame<'_>, seat: &BoardSeat) -> [f64; 4] {
    let [a, b] = seat.room.map(|hole| frame.spot(hole));
    let half = PITCH / 2.0;
    [a.x.min(b.x) - half, a.y.min(b.y) - half, a.x.max(b.x) + half, a.y.max(b.y) + half]
}

fn leg(frame: &Frame<'_>, seat: &BoardSeat, at: usize) -> Spot {
    seat.legs.get(at).map_or(frame.first, |(_, hole)| frame.spot(*hole))
}

/// Whether a chip's notch is on the left of the picture: leg 1 stands beside it.
fn notch_is_left(frame: &Frame<'_>, seat: &BoardSeat) -> bool {
    leg(frame, seat, 0).x <= leg(frame, seat, seat.legs.len() / 2).x
}

/// A package: its legs, its body with the notch, each leg's number, and a dot at leg 1.
fn package(frame: &Frame<'_>, seat: &BoardSeat, chip: ChipPart) -> Markup {
    let [left, top, right, bottom] = room(frame, seat);
    let [middle_x, middle_y] = [f64::midpoint(left, right), f64::midpoint(top, bottom)];
    let [body_top, body_bottom] = [top + PITCH * 0.5 + 8.0, bottom - PITCH * 0.5 - 8.0];
    let (notch, bulge) = if notch_is_left(frame, seat) { (left + 2.0, 1) } else { (right - 2.0, 0) };
    html! {
        @for (_, hole) in &seat.legs {
            @let Spot { x, y } = frame.spot(*hole);
            rect x=(n(x - 4.0)) y=(n(if y > middle_y { y - 10.0 } else { y - 4.0 })) width="8" height="14" rx="1.5" fill=(METAL)
                stroke=(INK) stroke-width="0.8" {}
        }
        rect class="body" x=(n(left + 2.0)) y=(n(body_top)) width=(n(right - left - 4.0)) height=(n(body_bottom - body_top))
            rx="2" fill=(PLASTIC) stroke=(INK) {}
        path class="notch" d=(format!("M{x} {}A8 8 0 0 {bulge} {x} {}Z", n(middle_y - 8.0), n(middle_y + 8.0), x = n(notch)))
            fill="#fff" stroke=(INK) {}
        @for (contact, hole) in &seat.legs {
            @let Spot { x, y } = frame.spot(*hole);
            @let inwards = if y > middle_y { -1.0 } else { 1.0 };
            (text(&contact.to_string(), Spot { x, y: y + inwards * 16.0 }, NUMBER, PRINT))
            @if *contact == ContactId::Number(1) {
                circle class="first" cx=(n(x)) cy=(n(y + inwards * 26.0)) r="2.6" fill=(PRINT) {}
            }
        }
        (text(&format!("{} {chip}", part_name(seat.part.id())), Spot { x: middle_x, y: middle_y }, 13.0, PRINT))
    }
}

/// A transistor's case: flat where its legs are, round on the other side.
fn case(frame: &Frame<'_>, seat: &BoardSeat, name: &str) -> Markup {
    let legs = [0, 1, 2].map(|at| leg(frame, seat, at));
    let middle = Spot {
        x: legs.iter().map(|leg| leg.x).sum::<f64>() / 3.0,
        y: legs.iter().map(|leg| leg.y).sum::<f64>() / 3.0,
    };
    let [left, top, right, bottom] = room(frame, seat);
    let whole = Spot { x: f64::midpoint(left, right), y: f64::midpoint(top, bottom) };
    // From the legs to the round side.
    let [dx, dy] = [whole.x - middle.x, whole.y - middle.y].map(|aside| aside / (PITCH / 2.0));
    let turn = if dx > 0.5 {
        90.0
    } else if dx < -0.5 {
        270.0
    } else if dy > 0.5 {
        180.0
    } else {
        0.0
    };
    html! {
        g transform=(format!("translate({} {}) rotate({})", n(middle.x), n(middle.y), n(turn))) {
            path class="body" d="M-24 10H24V-4A24 24 0 0 0 -24 -4Z" fill=(PLASTIC) stroke=(INK) {}
        }
        @for (contact, hole) in &seat.legs {
            @let at = frame.spot(*hole);
            circle cx=(n(at.x)) cy=(n(at.y)) r="7" fill=(METAL) stroke=(INK) stroke-width="1" {}
            (text(&initial(seat, *contact), at, 9.5, INK))
        }
        @let at = Spot { x: middle.x + dx * 17.0, y: middle.y + dy * 17.0 };
        @let words = part_name(seat.part.id());
        title { (words) " " (name) }
        @if dx.abs() > 0.5 { (text_upwards(&words, Spot { x: at.x + dx, y: at.y }, 9.5, PRINT, "middle")) }
        @else { (text(&words, at, 9.5, PRINT)) }
    }
}

/// The first letter of a leg's name: "G" for a gate.
fn initial(seat: &BoardSeat, contact: ContactId) -> String {
    words::initial(seat.part.id(), contact)
}

/// A switch over its lugs, each with what it is.
fn slide(frame: &Frame<'_>, seat: &BoardSeat, name: &str) -> Markup {
    let [left, top, right, bottom] = room(frame, seat);
    let words = part_name(seat.part.id());
    html! {
        rect class="body" x=(n(left + 2.0)) y=(n(top + 2.0)) width=(n(right - left - 4.0)) height=(n(bottom - top - 4.0)) rx="3"
            fill=(PLASTIC) stroke=(INK) {}
        @for (contact, hole) in &seat.legs {
            @let at = frame.spot(*hole);
            circle cx=(n(at.x)) cy=(n(at.y)) r="7" fill=(METAL) stroke=(INK) stroke-width="1" {}
            (text(&initial(seat, *contact), at, 9.5, INK))
        }
        title { (words) " " (name) }
        (text(&words, Spot { x: f64::midpoint(left, right), y: f64::midpoint(top, bottom) }, 9.5, PRINT))
    }
}

/// A ceramic capacitor on its two legs.
fn disc(frame: &Frame<'_>, seat: &BoardSeat) -> Markup {
    let [one, other] = [0, 1].map(|at| leg(frame, seat, at));
    let middle = Spot { x: f64::midpoint(one.x, other.x), y: f64::midpoint(one.y, other.y) };
    let is_level = (one.y - other.y).abs() < 1.0;
    let [along, across] = [(one.x - other.x).abs().max((one.y - other.y).abs()) / 2.0 + 4.0, 9.0];
    let [wide, high] = if is_level { [along, across] } else { [across, along] };
    let words = part_name(seat.part.id());
    html! {
        (pad(one)) (pad(other))
        ellipse class="body" cx=(n(middle.x)) cy=(n(middle.y)) rx=(n(wide)) ry=(n(high)) fill=(CERAMIC) fill-opacity="0.94" stroke=(INK)
            stroke-width="1.1" {}
        @if is_level { (text(&words, middle, 10.0, INK)) } @else { (text_upwards(&words, middle, 10.0, INK, "middle")) }
    }
}

/// A resistor or a diode, lying or on end.
fn rod(frame: &Frame<'_>, seat: &BoardSeat) -> Markup {
    let [one, other] = [0, 1].map(|at| leg(frame, seat, at));
    let middle = Spot { x: f64::midpoint(one.x, other.x), y: f64::midpoint(one.y, other.y) };
    let is_level = (one.y - other.y).abs() < 1.0;
    let name = part_name(seat.part.id());
    let is_diode = matches!(seat.part.body, Body::Diode(_));
    let fill = if is_diode { GLASS } else { COAT };
    let wire = format!("M{} {}L{} {}", n(one.x), n(one.y), n(other.x), n(other.y));
    let [along, across] = if is_diode { HALF_GLASS } else { HALF_ROD };
    let [wide, high] = if is_level { [along, across] } else { [across, along] };
    // Towards its second leg, which is a diode's cathode.
    let (dx, dy) = (
        (other.x - one.x).signum() * f64::from(u8::from(is_level)),
        (other.y - one.y).signum() * f64::from(u8::from(!is_level)),
    );
    let words = if is_diode { name.clone() } else { format!("{name} {}", seat.part.body) };
    let size = 10.5 * ((2.0 * along - 6.0) / width(&words, 10.5, true)).min(1.0);
    html! {
        path d=(wire) stroke=(INK) stroke-width="4.4" {}
        path d=(wire) stroke=(METAL) stroke-width="2.6" {}
        (pad(one)) (pad(other))
        @if seat.upright {
            circle class="body" cx=(n(one.x)) cy=(n(one.y)) r=(n(HALF_ROD[1])) fill=(fill) stroke=(INK) stroke-width="1.1" {}
            (text(&name, one, if name.len() > 2 { 8.5 } else { 10.0 }, INK))
        } @else {
            rect class="body" x=(n(middle.x - wide)) y=(n(middle.y - high)) width=(n(2.0 * wide)) height=(n(2.0 * high)) rx="4"
                fill=(fill) stroke=(INK) stroke-width="1.1" {}
            @if is_diode {
                @let band = Spot { x: middle.x + dx * (along - 7.0), y: middle.y + dy * (along - 7.0) };
                @let [half_wide, half_high] = if is_level { [3.0, across] } else { [across, 3.0] };
                rect class="band" x=(n(band.x - half_wide)) y=(n(band.y - half_high)) width=(n(2.0 * half_wide))
                    height=(n(2.0 * half_high)) fill="#000" {}
            }
            @let at = if is_diode { Spot { x: middle.x - dx * 4.0, y: middle.y - dy * 4.0 } } else { middle };
            @if is_level { (text(&words, at, size, INK)) } @else { (text_upwards(&words, at, size, INK, "middle")) }
        }
    }
}

/// A leg in its hole, seen from above.
fn pad(Spot { x, y }: Spot) -> Markup {
    html! { circle cx=(n(x)) cy=(n(y)) r="5" fill=(METAL) stroke=(INK) stroke-width="1" {} }
}

/// The outlines of the parts, seen through the board.
pub(super) fn shadows(frame: &Frame<'_>) -> Markup {
    html! {
        @for seat in &frame.plan.seats {
            @let [left, top, right, bottom] = room(frame, seat);
            @let is_chip = matches!(seat.part.body, Body::Chip(_));
            g data-part=(seat.part.id()) {
                rect class="shadow" x=(n(left + 2.0)) y=(n(top + 2.0)) width=(n(right - left - 4.0)) height=(n(bottom - top - 4.0))
                    rx="3" fill="#dfe3e6" fill-opacity="0.55" stroke=(EDGE) stroke-dasharray="3 3" {}
                @if is_chip {
                    @let middle = f64::midpoint(top, bottom);
                    @let (notch, bulge) = if notch_is_left(frame, seat) { (left + 2.0, 1) } else { (right - 2.0, 0) };
                    path class="notch" d=(format!("M{x} {}A8 8 0 0 {bulge} {x} {}Z", n(middle - 8.0), n(middle + 8.0), x = n(notch)))
                        fill="#fff" stroke=(EDGE) {}
                }
            }
        }
    }
}

/// The joints of all legs, each with its number or its letter; and over all of them the names of the parts.
pub(super) fn joints(frame: &Frame<'_>) -> Markup {
    html! {
        @for seat in &frame.plan.seats {
            @for (contact, hole) in &seat.legs {
                @let at = frame.spot(*hole);
                @let mark = mark(seat, *contact);
                circle data-leg=(format!("{}.{}", seat.part.id(), seat.part.id().leg_name(*contact))) cx=(n(at.x)) cy=(n(at.y))
                    r=(n(radius(seat, *contact))) fill=(TINNED) stroke=(INK) stroke-width="1.4" {}
                @if !mark.is_empty() { (text(&mark, at, NUMBER - 1.0, INK)) }
            }
        }
        @for (seat, at) in frame.plan.seats.iter().zip(names::places(frame)) { (halo(&part_name(seat.part.id()), at, NUMBER)) }
    }
}

/// Of a joint that has a mark in it.
pub(super) const MARKED: f64 = 8.4;

/// The radius of a joint.
pub(super) fn radius(seat: &BoardSeat, contact: ContactId) -> f64 {
    if mark(seat, contact).is_empty() { 5.8 } else { MARKED }
}

/// What stands in a joint; a resistor and a ceramic capacitor may lie either way round.
fn mark(seat: &BoardSeat, contact: ContactId) -> String {
    match seat.part.id() {
        PartId::Chip(_) => contact.to_string(),
        PartId::Bipolar(_) | PartId::Mosfet(_) | PartId::Changeover(_) => initial(seat, contact),
        PartId::Diode(_) => if contact == PartId::CATHODE { "K" } else { "A" }.to_owned(),
        PartId::Resistor(_) | PartId::Capacitor(_) => String::new(),
    }
}

/// A text that is read over a wire too.
fn halo(words: &str, Spot { x, y }: Spot, size: f64) -> Markup {
    html! {
        text x=(n(x)) y=(n(y + 0.36 * size)) font-size=(n(size)) font-weight="700" fill=(INK) stroke="#fff" stroke-width="3"
            paint-order="stroke" { (words) }
    }
}
