//! A layout as SVG.

use maud::{Markup, html};
use solderside_lead::Join;
use solderside_trade::CoreColour;

use super::bodies::{ground, seated};
use super::component::component;
use super::ends::{body, cups, pointer};
use super::geometry::Point;
use super::key::{Key, LINE, STEP};
use super::label::{Line, Plate, width};
use super::layout::{Layout, Link};
use super::path::{Path, number as n};
use crate::colouring::Colouring;

/// What a picture is called and what it shows, for those who hear it.
pub(crate) struct Alternative {
    /// Unique on a page.
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) description: String,
}

const FONT: &str = "system-ui, sans-serif";
pub(super) const INK: &str = "#1b1f23";
pub(super) const EDGE: &str = "#59636b";

/// A sheet that is wider than this shows too little when it is shrunk to a phone.
const WIDE: f64 = 480.0;

/// A conductor's width with its outline, and without: the outline keeps white visible on white.
const OUTLINE: f64 = 4.6;
const INSULATION: f64 = 3.0;

/// Writes a layout as one SVG document on white.
pub(crate) fn svg(layout: &Layout, colouring: &Colouring, words: &Alternative) -> Markup {
    let title = format!("{}-title", words.id);
    let description = format!("{}-description", words.id);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" class=[(layout.width > WIDE).then_some("wide")] viewBox=(format!("0 0 {} {}", n(layout.width), n(layout.height)))
            width=(n(layout.width)) height=(n(layout.height)) role="img"
            aria-labelledby=(format!("{title} {description}")) font-family=(FONT) text-anchor="middle" {
            title id=(title) { (words.title) }
            desc id=(description) { (words.description) }
            rect width="100%" height="100%" fill="#fff" {}
            @for end in &layout.ends { (body(end)) }
            @for board in &layout.boards { (ground(board)) }
            g fill="none" stroke-linejoin="round" {
                @for strand in &layout.strands { (conductor(colouring, strand.join, &strand.path())) }
                @for Link { join, path } in &layout.links { (conductor(colouring, *join, path)) }
                @for Link { join, path } in &layout.legs { (leg(*join, path)) }
            }
            @for end in &layout.ends { (cups(end, layout)) }
            @for board in &layout.boards { @for seat in &board.seats { (seated(seat)) } }
            @for (join, at) in &layout.tags { (tag(&colouring.letters(*join), *at)) }
            @for (own, part) in &layout.components { (component(own, part)) (label(&own.plate(part))) }
            @for plate in &layout.plates { (label(plate)) }
            @for caption in &layout.captions { (line(caption)) }
            (key(&layout.key))
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

/// A wire's letters along it, where many stand side by side.
fn tag(letters: &str, Point { x, y }: Point) -> Markup {
    const SIZE: f64 = 9.0;
    const HEIGHT: f64 = 10.5;
    let long = width(letters, SIZE, true) + 3.0;
    html! {
        g class="tag" {
            rect x=(n(x - HEIGHT / 2.0)) y=(n(y - long / 2.0)) width=(n(HEIGHT)) height=(n(long)) rx="2" fill="#fff"
                stroke=(EDGE) stroke-width="0.6" {}
            text x=(n(x)) y=(n(y + 0.36 * SIZE)) font-size=(n(SIZE)) font-weight="700" fill=(INK)
                transform=(format!("rotate(-90 {} {})", n(x), n(y))) { (letters) }
        }
    }
}

/// The bare leg of a part.
fn leg(join: Join, path: &Path) -> Markup {
    html! {
        g data-join=(join) {
            path d=(path.as_str()) stroke=(INK) stroke-width="3" {}
            path d=(path.as_str()) stroke="#d0d0d0" stroke-width="1.6" {}
        }
    }
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

pub(super) fn line(line: &Line) -> Markup {
    html! {
        text x=(n(line.at.x)) y=(n(line.at.y)) font-size=(n(line.size)) fill=(INK)
            font-weight=[line.bold.then_some("700")] { (line.text) }
    }
}

/// What the pointer means, and how long a few millimetres are.
fn key(key: &Key) -> Markup {
    const SIZE: f64 = 10.0;
    let Point { x, y } = key.at;
    let several = key.bars.len() > 1;
    let first = key.first_line();
    html! {
        @for (at, text) in (0_u8..).zip(&key.lines) {
            (line(&Line::new(*text, Point { x, y: first + LINE * f64::from(at) }, SIZE)))
        }
        (pointer(Point { x: x - 100.0, y }, -1.0))
        (line(&Line::new("contact 1", Point { x: x - 70.0, y: y + 4.0 }, SIZE)))
        @for (at, bar) in (1_u8..).zip(&key.bars) {
            @let from = if several { x - 105.0 } else { x - 10.0 };
            @let y = if several { y + STEP * f64::from(at) } else { y };
            @let to = from + bar.length;
            path d=(ruler(from, to, y).as_str()) stroke=(INK) fill="none" {}
            (line(&Line::new(bar.text.as_str(), Point { x: to + 3.7 + width(&bar.text, SIZE, false) / 2.0, y: y + 4.0 }, SIZE)))
        }
    }
}

/// A line with a stroke at either end.
fn ruler(from: f64, to: f64, y: f64) -> Path {
    let corner = |x: f64, up: f64| Point { x, y: y - up };
    let mut bar = Path::through([corner(from, 3.0), corner(from, -3.0)]);
    bar.start(corner(from, 0.0)).line(corner(to, 0.0)).start(corner(to, 3.0)).line(corner(to, -3.0));
    bar
}

pub(crate) fn hex([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}
