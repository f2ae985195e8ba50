//! Round connectors: contacts on a circle, and the three rows of the small ones.

use solderside_quantity::Metres;

use super::Place;
use crate::contact::ContactId;
use crate::source::{Source, Sourced};

const DIN: Source = Source::published(
    "DIN: IEC/DIN EN 60130-9 connector, cryptomuseum.com/ref/conn/din/index.htm (13.2 mm skirt; pins on a \
     circle of 7 mm, 45 degrees apart)",
);
const MINI: Source = Source::published(
    "Mini-DIN connectors, cryptomuseum.com/ref/conn/mini_din/index.htm (9.5 mm; numbered from right to left \
     and from bottom to top on the face of a socket)",
);
const MINI_PLACES: Source = Source::assumed(
    "from memory: rows of two, three and three; their millimetres shape the picture and nothing else",
);

pub(super) const SKIRT: Sourced<Metres> = Sourced::new(Metres::literal(13.2e-3), DIN);
pub(super) const MINI_SKIRT: Sourced<Metres> = Sourced::new(Metres::literal(9.5e-3), MINI);

const SLEEVES: Source = Source::assumed(
    "from memory: the bore of a plug's sleeve, and 20 mm from the cups to the clamp; sleeves differ",
);

pub(super) const SLEEVE: Sourced<[Metres; 2]> = sleeve(12e-3);
pub(super) const MINI_SLEEVE: Sourced<[Metres; 2]> = sleeve(8e-3);

const fn sleeve(bore: f64) -> Sourced<[Metres; 2]> {
    Sourced::new([Metres::literal(bore), Metres::literal(20e-3)], SLEEVES)
}

const RADIUS: Metres = Metres::literal(3.5e-3);
/// The chord of 45 degrees.
pub(super) const PITCH: Sourced<Metres> = Sourced::new(Metres::literal(2.68e-3), DIN);
/// From the middle to the circle, and a little more.
pub(super) const REACH: Metres = Metres::literal(3.6e-3);

pub(super) const MINI_PITCH: Sourced<Metres> = Sourced::new(Metres::literal(2.6e-3), MINI_PLACES);
/// A row and the nearest ones of the next.
pub(super) const MINI_REACH: Metres = Metres::literal(3.2e-3);
pub(super) const MINI_MIDDLE: ContactId = ContactId::Number(4);

pub(super) const MIDDLE: Place = Place { x: Metres::ZERO, y: Metres::ZERO };

/// Degrees from the right, against the clock, on the face of a plug with the keyway on top.
///
/// *DIN Connectors*, `github.com/0cjs/sedoc/blob/master/8bit/Conn/din.md`, drawn for sockets after a maker's
/// catalogue: the same five on every pattern, 1-4-2-5-3 along the arc.
fn on_the_lower_half(number: u8) -> Option<f64> {
    match number {
        1 => Some(180.0),
        4 => Some(225.0),
        2 => Some(270.0),
        5 => Some(315.0),
        3 => Some(0.0),
        _ => None,
    }
}

pub(super) fn half_circle(number: u8) -> Option<Place> {
    on_the_lower_half(number).map(on_the_circle)
}

/// The two outer ones are 262 degrees apart. Its numbering is not the standard's: 6 stands in the middle.
/// Source as for the lower half; the arc from the page cited for the circle.
pub(super) fn arc_262(number: u8) -> Option<Place> {
    match number {
        6 => Some(MIDDLE),
        7 => Some(on_the_circle(139.0)),
        8 => Some(on_the_circle(41.0)),
        _ => half_circle(number),
    }
}

/// The two outer ones are 270 degrees apart, and 8 stands in the middle. Source as for the lower half.
pub(super) fn arc_270(number: u8) -> Option<Place> {
    match number {
        6 => Some(on_the_circle(135.0)),
        7 => Some(on_the_circle(45.0)),
        8 => Some(MIDDLE),
        _ => half_circle(number),
    }
}

/// Left to right and from bottom to top on the face of a plug, as the page cited for the skirt has it; the
/// keyway opposite 1 and 2, and the millimetres, from memory.
pub(super) fn mini(number: u8) -> Option<Place> {
    let [x, y] = match number {
        1 => [-1.3e-3, -2.6e-3],
        2 => [1.3e-3, -2.6e-3],
        3 => [-3.1e-3, 0.0],
        4 => [0.0, 0.0],
        5 => [3.1e-3, 0.0],
        6 => [-2.1e-3, 2.3e-3],
        7 => [0.0, 2.3e-3],
        8 => [2.1e-3, 2.3e-3],
        _ => return None,
    };
    Some(Place { x: Metres::literal(x), y: Metres::literal(y) })
}

fn on_the_circle(degrees: f64) -> Place {
    let angle = degrees.to_radians();
    Place { x: RADIUS * libm::cos(angle), y: RADIUS * libm::sin(angle) }
}
