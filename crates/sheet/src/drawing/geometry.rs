//! Connectors on the sheet: millimetres become units, y counts downwards, and a turn is half a turn in
//! the plane. Nothing here can mirror.

use solderside_lead::EndId;
use solderside_quantity::Metres;
use solderside_trade::{Body, Connector, ContactId, Family, Place, Side, Sourced};

use super::path::Path;
use super::round::ways_out;
use super::shorten::{BREAK, Cut};

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
    /// What of a long row is left out.
    pub(crate) cuts: Vec<Cut>,
}

/// A break in a long row, on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Break {
    pub(crate) left: f64,
    pub(crate) right: f64,
    /// What is left out there, row by row.
    pub(crate) rows: Vec<String>,
    /// The place of the key, if that is left out too.
    pub(crate) key: Option<u8>,
}

/// A solder cup on the sheet; the shell's is the lug at its screw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cup {
    pub(crate) contact: ContactId,
    pub(crate) at: Point,
}

// Millimetres, from memory; they shape the picture and nothing else. The D-subs' after DIN 41652.
const FLANGE_HEIGHT: f64 = 12.55;
const FLANGE_BEYOND_SCREW: f64 = 2.91;
const SCREW_HOLE_RADIUS: f64 = 1.55;
const CORNER_RADIUS: f64 = 2.6;
const SLOT_HEIGHT: f64 = 13.0;
const EAR: f64 = 6.5;
const STRIP_HEIGHT: f64 = 10.0;
const STRIP_BEYOND_CELL: f64 = 0.8;
const SKIRT_WALL: f64 = 0.75;

/// The lug of a skirt stands so far to its right, in radii.
const LUG_BESIDE_SKIRT: f64 = 0.2;

/// The insulator stands so far inside the shell's outline.
const INSULATOR_INSET: f64 = 0.95;

/// How a family is drawn, so that its contacts can be read and conductors find their way between them.
struct Look {
    /// Units for a millimetre.
    scale: f64,
    /// A cup's radius, in pitches.
    cup: f64,
    /// Two conductors that leave one gap, or one cup, run so far left and right of its middle, in
    /// millimetres.
    half_a_pair: f64,
}

impl Way {
    pub(crate) const fn sign(self) -> f64 {
        match self {
            Self::Up => -1.0,
            Self::Down => 1.0,
        }
    }
}

/// Units for a millimetre where a family is drawn in a whole lead: the flange of a fifteen-way D-sub fills a
/// phone 360 pixels wide, and the small round ones are drawn larger than that.
pub(crate) fn scale(family: Family) -> f64 {
    look(family).scale
}

fn look(family: Family) -> Look {
    match family {
        // The gaps between cups let one conductor pass, or two where there are three rows.
        Family::De9 | Family::Da15 | Family::Db25 => Look { scale: 8.6, cup: 0.31, half_a_pair: 0.27 },
        Family::De15Hd => Look { scale: 8.6, cup: 0.26, half_a_pair: 0.27 },
        Family::MiniDin8 => Look { scale: 19.0, cup: 0.155, half_a_pair: 0.12 },
        Family::Din5Arc180 | Family::Din8Arc262 | Family::Din8Arc270 => {
            Look { scale: 13.0, cup: 0.23, half_a_pair: 0.18 }
        }
        Family::Edge28x2 => Look { scale: 7.6, cup: 0.29, half_a_pair: 0.3 },
        Family::Terminals(_) => Look { scale: 6.4, cup: 0.34, half_a_pair: 0.4 },
    }
}

impl Placed {
    /// Half its width and height with all that belongs to it, in units.
    pub(crate) fn half_size(&self) -> Point {
        let family = self.connector.family;
        let [x, y] = match family.body() {
            Body::DShell { screw_spacing, .. } => {
                [millimetres(screw_spacing) / 2.0 + FLANGE_BEYOND_SCREW, FLANGE_HEIGHT / 2.0]
            }
            Body::Skirt { diameter } => {
                let radius = millimetres(diameter) / 2.0;
                [radius * (1.0 + 2.0 * LUG_BESIDE_SKIRT), radius]
            }
            Body::Slot { .. } => [self.half_a_row() + EAR, SLOT_HEIGHT / 2.0],
            Body::Strip => [self.half_a_row() + STRIP_BEYOND_CELL, STRIP_HEIGHT / 2.0],
        };
        Point { x: x * self.scale, y: y * self.scale }
    }

    /// Half the width of an edge socket's body between its ears, in units.
    pub(crate) fn half_body(&self) -> f64 {
        self.half_a_row() * self.scale + 8.0
    }

    /// Half the width of its longest row as it is drawn, in millimetres.
    fn half_a_row(&self) -> f64 {
        let family = self.connector.family;
        let longest = family.rows().into_iter().max().unwrap_or(0);
        millimetres(family.pitch()) * f64::from(longest) / 2.0 - self.saved() / 2.0
    }

    /// How much shorter its breaks make it, in millimetres.
    fn saved(&self) -> f64 {
        let pitch = millimetres(self.connector.family.pitch());
        self.cuts.iter().map(|cut| cut.saves(pitch)).sum()
    }

    /// Where a place so far right of the middle is drawn, both in millimetres; `None` where it is left out.
    fn drawn(&self, right: f64) -> Option<f64> {
        if self.cuts.iter().any(|cut| cut.from < right && right < cut.to) {
            return None;
        }
        let pitch = millimetres(self.connector.family.pitch());
        let before = self.cuts.iter().filter(|cut| cut.to <= right).map(|cut| cut.saves(pitch));
        Some(right + self.saved() / 2.0 - before.sum::<f64>())
    }

    /// The breaks in its rows.
    pub(crate) fn breaks(&self) -> Vec<Break> {
        let pitch = millimetres(self.connector.family.pitch());
        let found = self.cuts.iter().filter_map(|cut| {
            let from = self.drawn(cut.from)?;
            let [one, other] = [from, from + BREAK * pitch].map(|right| self.at(right, 0.0).x);
            let [left, right] = [one.min(other), one.max(other)];
            Some(Break { left, right, rows: cut.rows(), key: cut.key })
        });
        found.collect()
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

    /// The middle of a cup; `None` where the connector has no such contact, or where it is left out.
    pub(crate) fn cup(&self, contact: ContactId) -> Option<Point> {
        if contact == ContactId::Shell {
            return self.lug();
        }
        let place = self.connector.place(contact, Side::Solder)?;
        self.place(place)
    }

    /// Where the shell is soldered to: under the right screw, or beside the skirt.
    fn lug(&self) -> Option<Point> {
        let x = match self.connector.family.body() {
            Body::DShell { screw_spacing, .. } => millimetres(screw_spacing) / 2.0,
            Body::Skirt { diameter } => millimetres(diameter) / 2.0 * (1.0 + LUG_BESIDE_SKIRT),
            Body::Slot { .. } | Body::Strip => return None,
        };
        Some(Point { x: self.middle.x + x * self.scale, y: self.middle.y })
    }

    /// The radius of a contact's cup, in units.
    pub(crate) fn cup_radius(&self) -> f64 {
        look(self.connector.family).cup * self.pitch()
    }

    /// The places of the two screws, the left one first, where it has any.
    pub(crate) fn screw_holes(&self) -> Option<[Point; 2]> {
        let half = match self.connector.family.body() {
            Body::DShell { screw_spacing, .. } => millimetres(screw_spacing) / 2.0,
            Body::Slot { .. } => self.half_a_row() + EAR / 2.0,
            Body::Skirt { .. } | Body::Strip => return None,
        };
        let half = half * self.scale;
        Some([-half, half].map(|x| Point { x: self.middle.x + x, y: self.middle.y }))
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
        look(self.connector.family).half_a_pair * self.scale
    }

    /// Where a conductor passes on its way from a cup to the edge of the connector, the cup first and the
    /// edge last. Every cup of an end reaches the edge at an x of its own, between the cups it passes.
    pub(crate) fn way_out(&self, contact: ContactId, way: Way) -> Option<Vec<Point>> {
        let cup = self.cup(contact)?;
        let straight = vec![cup, Point { x: cup.x, y: self.edge(way) }];
        if contact == ContactId::Shell {
            return Some(straight);
        }
        match self.connector.family.body() {
            Body::DShell { row_pitch, .. } => Some(self.between_rows(cup, way, row_pitch)),
            Body::Slot { row_pitch } => Some(self.between_tags(cup, way, row_pitch)),
            Body::Skirt { .. } => {
                let cups: Vec<Cup> =
                    self.cups().into_iter().filter(|cup| cup.contact != ContactId::Shell).collect();
                ways_out(&cups, way, self.edge(way), self.cup_radius()).remove(&contact)
            }
            Body::Strip => Some(straight),
        }
    }

    /// The same for one of several conductors in a cup, which leaves it so far beside its middle.
    pub(crate) fn way_out_beside(&self, contact: ContactId, way: Way, beside: f64) -> Option<Vec<Point>> {
        let mut points = self.way_out(contact, way)?;
        if beside != 0.0 {
            for point in points.iter_mut().skip(1) {
                point.x += beside;
            }
            let cup = points[0];
            let rim = Point { x: cup.x + beside, y: cup.y + way.sign() * self.cup_radius() };
            points.insert(1, rim);
        }
        Some(points)
    }

    /// Out of a D-sub. Two rows: the far one looks through the gaps of the near one. Three rows stand in line
    /// at every second one, so two conductors share a gap, and the far one has to get there.
    fn between_rows(&self, cup: Point, way: Way, row_pitch: Sourced<Metres>) -> Vec<Point> {
        let edge = |x: f64| Point { x, y: self.edge(way) };
        let is_three = self.connector.family.rows().len() > 2;
        let beside = |y: f64| y - way.sign() * 0.5 * (millimetres(row_pitch) * self.scale);
        match self.rows_passed(cup, way).as_slice() {
            [near] if is_three => {
                let x = cup.x + self.half_a_pair();
                vec![cup, Point { x, y: beside(*near) }, edge(x)]
            }
            [middle, near, ..] => {
                let x = cup.x + self.pitch() / 2.0 - self.half_a_pair();
                vec![cup, Point { x: cup.x, y: *middle }, Point { x, y: beside(*near) }, edge(x)]
            }
            [] | [_] => vec![cup, edge(cup.x)],
        }
    }

    /// Out of an edge socket: its rows stand in line, so the far one goes half a pitch aside.
    fn between_tags(&self, cup: Point, way: Way, row_pitch: Sourced<Metres>) -> Vec<Point> {
        let beside = |y: f64| y - way.sign() * 0.4 * (millimetres(row_pitch) * self.scale);
        let Some(near) = self.rows_passed(cup, way).first().copied() else {
            return vec![cup, Point { x: cup.x, y: self.edge(way) }];
        };
        let x = cup.x + self.pitch() / 2.0;
        vec![cup, Point { x, y: beside(near) }, Point { x, y: self.edge(way) }]
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

    /// Whether a conductor leaves a cup upwards where the connector is drawn alone, with room on both sides:
    /// from the upper row of several, or the upper half of a circle.
    pub(crate) fn leaves_upwards(&self, cup: Point) -> bool {
        match self.connector.family.body() {
            Body::DShell { .. } | Body::Slot { .. } => {
                let numbered = self.cups().into_iter().filter(|other| other.contact != ContactId::Shell);
                cup.y < numbered.map(|other| other.at.y).fold(f64::INFINITY, f64::min) + 0.1
            }
            Body::Skirt { .. } => cup.y < self.middle.y - 0.1,
            Body::Strip => false,
        }
    }

    /// A place of the connector on the sheet; `None` where it is left out.
    fn place(&self, place: Place) -> Option<Point> {
        Some(self.at(self.drawn(place.x.get() * 1e3)?, place.y.get() * 1e3))
    }

    /// The radius of a round skirt and of the insulator in it, in units.
    pub(crate) fn skirt(&self) -> Option<[f64; 2]> {
        let Body::Skirt { diameter } = self.connector.family.body() else { return None };
        let radius = millimetres(diameter) / 2.0;
        Some([radius, radius - SKIRT_WALL].map(|radius| radius * self.scale))
    }

    /// The key of an edge socket, between its rows; `None` where it is left out.
    pub(crate) fn key(&self) -> Option<Point> {
        self.place(self.connector.key(Side::Solder)?)
    }

    /// The walls between terminals, from left to right.
    pub(crate) fn walls(&self) -> Vec<f64> {
        let mut middles: Vec<f64> = self.cups().iter().map(|cup| cup.at.x).collect();
        middles.sort_by(f64::total_cmp);
        middles.windows(2).map(|two| f64::midpoint(two[0], two[1])).collect()
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
