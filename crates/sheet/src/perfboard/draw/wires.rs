//! The wires of the solder side: bare ones as solid lines, insulated ones hollow and over them.

use maud::{Markup, html};

use super::{Frame, INK, Spot, n};
use crate::perfboard::BoardWire;

/// All wires, the insulated ones last.
pub(super) fn wires(frame: &Frame<'_>) -> Markup {
    let of = |insulated: bool| frame.plan.wires.iter().filter(move |wire| wire.insulated == insulated);
    html! {
        g class="wires" fill="none" stroke-linejoin="round" stroke-linecap="round" {
            @for wire in of(false) {
                path data-join=(wire.join) d=(way(frame, wire)) stroke=(INK) stroke-width="4" {}
            }
            @for wire in of(true) {
                @let way = way(frame, wire);
                g data-join=(wire.join) {
                    path d=(way) stroke="#fff" stroke-width="11" {}
                    path d=(way) stroke=(INK) stroke-width="7.6" {}
                    path d=(way) stroke="#fff" stroke-width="4.6" {}
                }
            }
        }
    }
}

fn way(frame: &Frame<'_>, wire: &BoardWire) -> String {
    let letters = std::iter::once('M').chain(std::iter::repeat('L'));
    let point = |(letter, hole): (char, &crate::perfboard::Hole)| {
        let Spot { x, y } = frame.spot(*hole);
        format!("{letter}{} {}", n(x), n(y))
    };
    letters.zip(&wire.corners).map(point).collect()
}
