//! Connectors on the sheet: millimetres become units, y counts downwards, and a turn is half a turn in
//! the plane. Nothing here can mirror.

use solderside_lead::EndId;
use solderside_quantity::Metres;
use solderside_trade::{Body, Connector, ContactId, Side, Sourced};

use super::path::Path;

/// A place on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Point {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

/// Where conductors leave a connector to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    Up,
    Down,
}

/// A connector of the lead, laid on the sheet with its solder side up.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Placed {
    pub(crate) id: EndId,
    pub(crate) connector: Connector,
    /// Whether it lies upside down: the row of contact 1 below.
    pub(crate) turned: bool,
    pub(crate) middle: Point,
    /// Units for a millimetre.
    pub(crate) scale: f64,
}

/// A solder cup on the sheet; the shell's is the lug at its screw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cup {
    pub(crate) contact: ContactId,
    pub(crate) at: Point,
}

// Millimetres, from memory of DIN 41652 drawings; they shape the picture and nothing else.
const FLANGE_HEIGHT: f64 = 12.55;
const FLANGE_BEYOND_SCREW: f64 = 2.91;
const SCREW_HOLE_RADIUS: f64 = 1.55;
const CORNER_RADIUS: f64 = 2.6;

/// The insulator stands so far inside the shell's outline.
const INSULATOR_INSET: f64 = 0.95;

/// Two conductors that leave one gap, or one cup, run so far left and right of its middle.
const HALF_A_PAIR: f64 = 0.27;

impl Way {
    pub(crate) const fn sign(self) -> f64 {
        match self {
            Self::Up => -1.0,
            Self::Down => 1.0,
        }
    }
}

impl Placed {
    /// Half its flange's width and height, in units.
    pub(crate) fn half_size(&self) -> Point {
        let width = self.half_screw_spacing() + FLANGE_BEYOND_SCREW;
        Point { x: width * self.scale, y: FLANGE_HEIGHT / 2.0 * self.scale }
    }

    /// The y of its flange's edge on one side.
    pub(crate) fn edge(&self, way: Way) -> f64 {
        self.middle.y + way.sign() * self.half_size().y
    }

    /// All its cups, the shell's lug last.
    pub(crate) fn cups(&self) -> Vec<Cup> {
        let ids = self.connector.family.contact_ids();
        ids.filter_map(|contact| Some(Cup { contact, at: self.cup(contact)? })).collect()
    }

    /// The middle of a cup; `None` where the connector has no such contact.
    pub(crate) fn cup(&self, contact: ContactId) -> Option<Point> {
        if contact == ContactId::Shell {
            let has_shell = self.connector.family.has_shell();
            return has_shell.then(|| Point { x: self.screw_holes()[1].x, y: self.middle.y });
        }
        let place = self.connector.place(contact, Side::Solder)?;
        Some(self.at(place.x.get() * 1e3, place.y.get() * 1e3))
    }

    /// The radius of a contact's cup, in units: the gaps between cups let one conductor pass, or two where
    /// there are three rows.
    pub(crate) fn cup_radius(&self) -> f64 {
        let share = if self.connector.family.rows().len() > 2 { 0.26 } else { 0.31 };
        share * self.pitch()
    }

    /// The places of the two screws, the left one first.
    pub(crate) fn screw_holes(&self) -> [Point; 2] {
        let half = self.half_screw_spacing() * self.scale;
        [-half, half].map(|x| Point { x: self.middle.x + x, y: self.middle.y })
    }

    pub(crate) fn screw_hole_radius(&self) -> f64 {
        SCREW_HOLE_RADIUS * self.scale
    }

    /// Units from one contact to the next in its row.
    pub(crate) fn pitch(&self) -> f64 {
        millimetres(self.connector.family.pitch()) * self.scale
    }

    /// Units that two conductors in one cup run left and right of its middle.
    pub(crate) fn half_a_pair(&self) -> f64 {
        HALF_A_PAIR * self.scale
    }

    /// Where a conductor passes on its way from a cup to the flange's edge, the cup first and the edge
    /// last. Every cup of an end reaches the edge at an x of its own, between the cups it passes.
    pub(crate) fn way_out(&self, contact: ContactId, way: Way) -> Option<Vec<Point>> {
        let cup = self.cup(contact)?;
        let edge = |x: f64| Point { x, y: self.edge(way) };
        let passed = if contact == ContactId::Shell { Vec::new() } else { self.rows_passed(cup, way) };
        // Two rows: the far one looks through the gaps of the near one. Three rows stand in line at
        // every second one, so two conductors share a gap, and the far one has to get there.
        let is_three = self.connector.family.rows().len() > 2;
        let beside = |y: f64| y - way.sign() * 0.5 * self.row_pitch();
        Some(match passed.as_slice() {
            [near] if is_three => {
                let x = cup.x + self.half_a_pair();
                vec![cup, Point { x, y: beside(*near) }, edge(x)]
            }
            [middle, near, ..] => {
                let x = cup.x + self.pitch() / 2.0 - self.half_a_pair();
                vec![cup, Point { x: cup.x, y: *middle }, Point { x, y: beside(*near) }, edge(x)]
            }
            [] | [_] => vec![cup, edge(cup.x)],
        })
    }

    /// The y of each row between a cup and the edge, in the order that a conductor passes them.
    fn rows_passed(&self, cup: Point, way: Way) -> Vec<f64> {
        let ahead = |y: &f64| (y - cup.y) * way.sign() > 0.1;
        let numbered = self.cups().into_iter().filter(|other| other.contact != ContactId::Shell);
        let mut rows: Vec<f64> = numbered.map(|other| other.at.y).filter(ahead).collect();
        rows.sort_by(|a, b| (a * way.sign()).total_cmp(&(b * way.sign())));
        rows.dedup_by(|a, b| (*a - *b).abs() < 0.1);
        rows
    }

    fn row_pitch(&self) -> f64 {
        let pitch = match self.connector.family.body() {
            Body::DShell { row_pitch, .. } | Body::Slot { row_pitch } => row_pitch,
            Body::Skirt { .. } | Body::Strip => self.connector.family.pitch(),
        };
        millimetres(pitch) * self.scale
    }

    fn half_screw_spacing(&self) -> f64 {
        let family = self.connector.family;
        match family.body() {
            Body::DShell { screw_spacing, .. } => millimetres(screw_spacing) / 2.0,
            Body::Skirt { diameter } => millimetres(diameter) / 2.0,
            Body::Slot { .. } | Body::Strip => {
                let widest = family.rows().into_iter().max().unwrap_or(1);
                millimetres(family.pitch()) * f64::from(widest) / 2.0
            }
        }
    }

    /// A place on the connector, from millimetres right of and above its middle.
    fn at(&self, right: f64, up: f64) -> Point {
        let turn = if self.turned { -self.scale } else { self.scale };
        Point { x: self.middle.x + right * turn, y: self.middle.y - up * turn }
    }

    /// The outline of the D-shaped shell.
    pub(crate) fn shell(&self) -> Path {
        self.outline(0.0)
    }

    /// The outline of the insulator in it.
    pub(crate) fn insulator(&self) -> Path {
        self.outline(INSULATOR_INSET)
    }

    fn outline(&self, inset: f64) -> Path {
        let Body::DShell { width, narrow_width, height, .. } = self.connector.family.body() else {
            return Path::default();
        };
        let wide = millimetres(width) / 2.0 - inset;
        let narrow = millimetres(narrow_width) / 2.0 - inset;
        let high = millimetres(height) / 2.0 - inset;
        let corners = [(-wide, high), (wide, high), (narrow, -high), (-narrow, -high)];
        rounded(corners.map(|(right, up)| self.at(right, up)), (CORNER_RADIUS - inset) * self.scale)
    }
}

/// A four-cornered outline whose corners are rounded.
fn rounded(corners: [Point; 4], radius: f64) -> Path {
    let mut path = Path::default();
    for at in 0..4 {
        let [before, corner, after] = [(at + 3) % 4, at, (at + 1) % 4].map(|index| corners[index]);
        path.line(towards(corner, before, radius)).corner(corner, towards(corner, after, radius));
    }
    path.close()
}

/// The point so far from one towards another.
fn towards(from: Point, to: Point, distance: f64) -> Point {
    let [across, down] = [to.x - from.x, to.y - from.y];
    let share = distance / (across * across + down * down).sqrt();
    Point { x: from.x + across * share, y: from.y + down * share }
}

fn millimetres(length: Sourced<Metres>) -> f64 {
    length.value.get() * 1e3
}
