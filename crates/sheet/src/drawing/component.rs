//! Parts as a hand holds them: a glass diode with its band, a resistor with its colours.

use maud::{Markup, html};
use solderside_lead::{Body, Leg, Part, PartId};
use solderside_trade::{Colour, ContactId, resistor_bands};

use super::geometry::{Point, Way};
use super::label::{Line, Plate, Wording};
use super::paint::{INK, hex, line};
use super::path::number as n;
use super::seat::DISC;
use crate::words::part_name;

/// A part that stands in line with its conductor, one leg towards the connector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Component {
    pub(crate) id: PartId,
    /// Which of its legs is the one towards the connector.
    pub(crate) near: ContactId,
    /// The middle of its body.
    pub(crate) at: Point,
    /// The way from the connector.
    pub(crate) way: Way,
}

const BODY: f64 = 28.0;
const HALF_WIDTH: f64 = 5.5;
const WIRE: f64 = 8.0;
pub(crate) const GLASS: &str = "#f6e3cf";
pub(crate) const COAT: &str = "#efe3c6";
/// A ceramic capacitor's lacquer.
pub(crate) const CERAMIC: &str = "#d9a066";
const BAND: f64 = 5.0;

/// The word beside a diode's band.
const WORD: f64 = 7.2;

impl Component {
    /// From the end of one leg to that of the other.
    pub(crate) const HEIGHT: f64 = BODY + 2.0 * WIRE;
    /// From the far leg to the plate with its name.
    pub(crate) const TO_PLATE: f64 = 9.0;

    /// A part that hangs by its near leg from a point.
    pub(crate) fn hung(id: PartId, near: Leg, pin: Point, way: Way) -> Self {
        let at = Point { x: pin.x, y: pin.y + way.sign() * Self::HEIGHT / 2.0 };
        Self { id, near: near.contact, at, way }
    }

    /// Where its leg towards the connector ends.
    #[cfg(test)]
    pub(crate) fn near_pin(&self) -> Point {
        Point { x: self.at.x, y: self.at.y - self.way.sign() * Self::HEIGHT / 2.0 }
    }

    /// Where its leg towards the cable ends.
    pub(crate) fn far_pin(&self) -> Point {
        Point { x: self.at.x, y: self.at.y + self.way.sign() * Self::HEIGHT / 2.0 }
    }

    /// Whether its second leg, a diode's cathode, points towards the connector.
    pub(crate) fn band_is_near(&self) -> bool {
        self.near == PartId::CATHODE
    }

    /// The plate with its name, between its far leg and the cable.
    pub(crate) fn plate(&self, part: &Part) -> Plate {
        let words = wording(part);
        let pin = self.far_pin();
        let top = match self.way {
            Way::Down => pin.y + Self::TO_PLATE,
            Way::Up => pin.y - Self::TO_PLATE - words.height(),
        };
        words.below(Point { x: pin.x, y: top })
    }

    /// The middle of a diode's band.
    pub(crate) fn band(&self) -> Point {
        let towards = if self.band_is_near() { -1.0 } else { 1.0 };
        Point { x: self.at.x, y: self.at.y + self.way.sign() * towards * (BODY / 2.0 - BAND - 1.5) }
    }

    /// The word beside a diode's band.
    fn word(&self) -> Line {
        let Point { x, y } = self.band();
        Line::new("band", Point { x: x + HALF_WIDTH + 12.0, y: y + 0.3 * WORD }, WORD).bold()
    }

    /// The room that its body and the word beside it take.
    #[cfg(test)]
    pub(crate) fn bounds(&self) -> super::label::Bounds {
        let Point { x, y } = self.at;
        let right = match self.id {
            PartId::Diode(_) => self.word().bounds().right,
            PartId::Resistor(_)
            | PartId::Capacitor(_)
            | PartId::Bipolar(_)
            | PartId::Mosfet(_)
            | PartId::Chip(_)
            | PartId::Changeover(_) => x + HALF_WIDTH,
        };
        let half = BODY / 2.0;
        super::label::Bounds { left: x - HALF_WIDTH, top: y - half, right, bottom: y + half }
    }
}

/// What stands on a part's plate: `D1` and `1N4148`, `R1` and `470 Ω`.
pub(crate) fn wording(part: &Part) -> Wording {
    Wording::new(part_name(part.id()), &part.body.to_string())
}

/// A part with its legs, and the joint where the conductor is soldered to it.
pub(super) fn component(own: &Component, part: &Part) -> Markup {
    let Point { x, y } = own.at;
    let half = Component::HEIGHT / 2.0;
    let far = own.far_pin();
    html! {
        g data-part=(own.id) {
            line x1=(n(x)) x2=(n(x)) y1=(n(y - half)) y2=(n(y + half)) stroke=(INK) stroke-width="3" {}
            line x1=(n(x)) x2=(n(x)) y1=(n(y - half)) y2=(n(y + half)) stroke="#d0d0d0" stroke-width="1.6" {}
            circle cx=(n(far.x)) cy=(n(far.y)) r="3.2" fill="#ecdcae" stroke=(INK) stroke-width="0.8" {}
            @match part.body {
                Body::Diode(_) => {
                    (block(own, GLASS, "5"))
                    @let band = own.band();
                    rect class="band" x=(n(x - HALF_WIDTH)) y=(n(band.y - BAND / 2.0)) width=(n(2.0 * HALF_WIDTH))
                        height=(n(BAND)) fill="#000" {}
                    (line(&own.word()))
                },
                Body::Resistor(resistor) => {
                    (block(own, COAT, "3"))
                    @let bands = resistor_bands(resistor.ohms, resistor.tolerance);
                    @for (at, colour) in bands.iter().flat_map(|bands| &bands.value).enumerate() {
                        (ring(own, *colour, at, bands.as_ref().map_or(0, |bands| bands.value.len())))
                    }
                },
                // Chips, transistors and switches sit on boards.
                Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => {
                    circle class="body" cx=(n(x)) cy=(n(y)) r=(n(DISC)) fill=(CERAMIC) stroke=(INK) stroke-width="1.1" {}
                },
            }
        }
    }
}

fn block(own: &Component, fill: &str, radius: &str) -> Markup {
    html! {
        rect class="body" x=(n(own.at.x - HALF_WIDTH)) y=(n(own.at.y - BODY / 2.0)) width=(n(2.0 * HALF_WIDTH))
            height=(n(BODY)) rx=(radius) fill=(fill) stroke=(INK) stroke-width="1.1" {}
    }
}

/// One of a resistor's colours, the first towards its first leg; the last, the tolerance, stands apart.
#[expect(clippy::cast_precision_loss, reason = "a resistor has few bands")]
fn ring(own: &Component, colour: Colour, at: usize, of: usize) -> Markup {
    const HEIGHT: f64 = 2.6;
    let apart = if at + 1 == of { 2.4 } else { 0.0 };
    let from_first = 4.4 + 4.1 * at as f64 + apart - BODY / 2.0;
    let outwards = if own.band_is_near() { -own.way.sign() } else { own.way.sign() };
    let y = own.at.y + outwards * from_first;
    html! {
        rect class="ring" x=(n(own.at.x - HALF_WIDTH)) y=(n(y - HEIGHT / 2.0)) width=(n(2.0 * HALF_WIDTH)) height=(n(HEIGHT))
            fill=(hex(colour.rgb())) stroke=(INK) stroke-width="0.4" {}
    }
}
