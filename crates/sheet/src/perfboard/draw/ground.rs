//! The bare board with the names of its holes, and the conductors that come in at its edges.

use maud::{Markup, html};
use solderside_lead::Assembly;
use solderside_trade::CoreColour;

use super::{EDGE, Frame, INK, NAMES, PITCH, STUB, Spot, n, text, text_upwards};
use crate::colouring::Colouring;
use crate::drawing::hex;
use crate::perfboard::hole::{Hole, row_name};
use crate::perfboard::{BoardEntry, Edge};

const RESIN: &str = "#f0e8d3";
const RING: &str = "#c9a86a";

/// The board, its holes, and the names of rows and columns at all four edges.
pub(super) fn ground(frame: &Frame<'_>) -> Markup {
    let [left, top, right, bottom] = frame.edges();
    let plan = frame.plan;
    html! {
        rect class="board" x=(n(left)) y=(n(top)) width=(n(right - left)) height=(n(bottom - top)) fill=(RESIN) stroke=(EDGE) {}
        @for row in 0..plan.rows {
            @for column in 0..plan.columns {
                @let Spot { x, y } = frame.spot(Hole::new(row, column));
                circle cx=(n(x)) cy=(n(y)) r="3.6" fill="#fff" stroke=(RING) stroke-width="2" {}
            }
        }
        @for row in 0..plan.rows {
            @let y = frame.spot(Hole::new(row, 0)).y;
            @for x in [left - 10.0, right + 10.0] { (text(&row_name(row), Spot { x, y }, 11.0, INK)) }
        }
    }
}

/// The names of the columns, over the conductors that pass there.
fn columns(frame: &Frame<'_>) -> Markup {
    let [_, top, _, bottom] = frame.edges();
    html! {
        @for column in 0..frame.plan.columns {
            @let x = frame.spot(Hole::new(0, column)).x;
            @for y in [top - 10.0, bottom + 10.0] {
                rect x=(n(x - 8.0)) y=(n(y - 7.0)) width="16" height="14" fill="#fff" {}
                (text(&(column + 1).to_string(), Spot { x, y }, 11.0, INK))
            }
        }
    }
}

/// The conductors, each with its leg, what that is for, and its letters.
pub(super) fn entries(assembly: &Assembly, colouring: &Colouring, frame: &Frame<'_>) -> Markup {
    let [_, top, _, bottom] = frame.edges();
    html! {
        @for entry in &frame.plan.entries {
            @let from = frame.spot(entry.hole);
            @let (out, outwards, anchor) = match entry.edge {
                Edge::Connector => (top - NAMES - STUB + 10.0, -1.0, "start"),
                Edge::Cable => (bottom + NAMES + STUB - 10.0, 1.0, "end"),
            };
            g data-entry=(entry.join) {
                (conductor(colouring.core(entry.join), from, Spot { x: from.x, y: out }))
                (text_upwards(&label(assembly, colouring, entry), Spot { x: from.x, y: out + 5.0 * outwards }, 11.0, INK, anchor))
            }
        }
        (columns(frame))
    }
}

/// "port 7 select TQ".
pub(super) fn label(assembly: &Assembly, colouring: &Colouring, entry: &BoardEntry) -> String {
    let leg = entry.leg;
    let letters = colouring.letters(entry.join);
    if leg.part_id().is_some() {
        return format!("{letters} {}", crate::words::contact(assembly, leg));
    }
    let function = crate::words::clean(&assembly.function(leg));
    format!("{letters} {} {} {function}", leg.end, leg.contact).trim_end().to_owned()
}

/// A conductor with the outline that shows it on any paper; a ring of a second colour as dashes.
fn conductor(core: Option<CoreColour>, from: Spot, to: Spot) -> Markup {
    let way = format!("M{} {}V{}", n(from.x), n(from.y), n(to.y));
    let bare = [0xd0, 0xd0, 0xd0];
    html! {
        path d=(way) stroke=(INK) stroke-width="7" stroke-linecap="round" {}
        path d=(way) stroke=(hex(core.map_or(bare, |core| core.base().rgb()))) stroke-width="4.6" stroke-linecap="round" {}
        @if let Some(ring) = core.and_then(CoreColour::ring) {
            path d=(way) stroke=(hex(ring.rgb())) stroke-width="4.6" stroke-dasharray="4 7" {}
        }
    }
}

/// The holes of the conductors: rings that stay open until the wires are in.
pub(super) fn rings(frame: &Frame<'_>) -> Markup {
    html! {
        @for entry in &frame.plan.entries {
            @let Spot { x, y } = frame.spot(entry.hole);
            circle cx=(n(x)) cy=(n(y)) r=(n(PITCH * 0.24)) fill="#fff" stroke=(INK) stroke-width="1.8" {}
        }
    }
}
