//! Where the contacts sit, seen from either side, and which of them a drop of solder can bridge.
//!
//! The numbering is tabled once, for the mating face of a plug; the other three views are its mirror
//! images or itself. A second table would be a second chance to mirror a connector.

mod edge;
mod round;
mod rows;

use solderside_quantity::Metres;

use crate::connector::{Connector, Gender};
use crate::contact::ContactId;
use crate::family::Family;
use crate::source::Sourced;

/// A contact's place: `x` to the right and `y` up from the middle of the contact field. Of rows, that of
/// contact 1 is on top (the wide one, where rows differ); of a round connector, the keyway is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// To the right of the middle.
    pub x: Metres,
    /// Above the middle.
    pub y: Metres,
}

/// The side that one looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The face that goes into the other connector; of terminals, the ends of the wires or the screws.
    Mating,
    /// The back, where the cups are; of wire ends, what one sees who looks past them at the screws.
    Solder,
}

/// What holds the contacts, with the lengths that a picture of it needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Body {
    /// A D-shaped shell between two screws.
    DShell {
        /// The distance between rows.
        row_pitch: Sourced<Metres>,
        /// The width of the D at its wide side, on the mating face.
        width: Sourced<Metres>,
        /// The width of the D at its narrow side: the ends slope by 10 degrees.
        narrow_width: Sourced<Metres>,
        /// The height of the D, on the mating face.
        height: Sourced<Metres>,
        /// The distance between the two screws.
        screw_spacing: Sourced<Metres>,
    },
    /// A round skirt with a keyway on top.
    Skirt {
        /// The outside of the skirt.
        diameter: Sourced<Metres>,
    },
    /// A long body over a board's edge, a row of tags for each side of the board.
    Slot {
        /// The distance between rows.
        row_pitch: Sourced<Metres>,
    },
    /// A strip of screws.
    Strip,
}

impl Connector {
    /// Where a contact is seen from a side; `None` where the connector has no such contact, and for the
    /// shell, which is all around.
    ///
    /// Published for D-subs: *Control Ports*, `ist.uwaterloo.ca/~schepers/MJK/control_ports.html` (plug) and
    /// *Joystick Port*, pe2bz.philpem.me.uk (socket). For the others the sources stand beside their tables.
    #[must_use]
    pub fn place(&self, contact: ContactId, side: Side) -> Option<Place> {
        Some(self.seen(self.family.plug_face(contact)?, side))
    }

    /// Where something on the mating face of a plug is seen on this connector from a side.
    fn seen(self, on_plug_face: Place, side: Side) -> Place {
        // A socket faces its plug, and a back faces the other way than its face: each turn mirrors
        // once, so the back of a socket reads like the face of a plug.
        let mirrored = (self.gender == Gender::Socket) != (side == Side::Solder);
        if mirrored { Place { x: -on_plug_face.x, ..on_plug_face } } else { on_plug_face }
    }

    /// Where the key of an edge is seen from a side; `None` for all other families.
    #[must_use]
    pub fn key(&self, side: Side) -> Option<Place> {
        (self.family == Family::Edge28x2).then(|| self.seen(edge::key(), side))
    }
}

impl Family {
    /// What holds its contacts.
    #[must_use]
    pub const fn body(self) -> Body {
        match self {
            Self::De9 => rows::SHELL_E,
            Self::De15Hd => rows::SHELL_E_HIGH_DENSITY,
            Self::Da15 => rows::SHELL_A,
            Self::Db25 => rows::SHELL_B,
            Self::MiniDin8 => Body::Skirt { diameter: round::MINI_SKIRT },
            Self::Din5Arc180 | Self::Din8Arc262 | Self::Din8Arc270 => Body::Skirt { diameter: round::SKIRT },
            Self::Edge28x2 => Body::Slot { row_pitch: edge::ROW_PITCH },
            Self::Terminals(_) => Body::Strip,
        }
    }

    /// What a board may take of an ordinary hood's inside: its width, and its length from the connector to the cable's
    /// clamp. `None` where the body has no hood.
    #[must_use]
    pub const fn hood_room(self) -> Option<Sourced<[Metres; 2]>> {
        match self {
            Self::De9 | Self::De15Hd => Some(rows::HOOD_E),
            Self::Da15 => Some(rows::HOOD_A),
            Self::Db25 => Some(rows::HOOD_B),
            Self::MiniDin8 => Some(round::MINI_SLEEVE),
            Self::Din5Arc180 | Self::Din8Arc262 | Self::Din8Arc270 => Some(round::SLEEVE),
            Self::Edge28x2 | Self::Terminals(_) => None,
        }
    }

    /// The distance between neighbours in a row, or along a circle in a straight line.
    #[must_use]
    pub const fn pitch(self) -> Sourced<Metres> {
        match self {
            Self::De9 | Self::Da15 | Self::Db25 => rows::PITCH,
            Self::De15Hd => rows::HIGH_DENSITY_PITCH,
            Self::MiniDin8 => round::MINI_PITCH,
            Self::Din5Arc180 | Self::Din8Arc262 | Self::Din8Arc270 => round::PITCH,
            Self::Edge28x2 => edge::PITCH,
            Self::Terminals(_) => edge::SCREW_PITCH,
        }
    }

    /// What a drop of solder or a stray strand can bridge a contact to, in rising order.
    ///
    /// Two contacts are neighbours when nothing stands between them: the next ones in the row or along the
    /// circle, the nearest ones in the rows beside it, the one in the middle of a circle. The shell is the
    /// neighbour of every contact with no other contact between it and the shell. A contact that the family
    /// lacks has none.
    #[must_use]
    pub fn neighbours(self, contact: ContactId) -> Vec<ContactId> {
        self.contact_ids().filter(|other| self.are_neighbours(contact, *other)).collect()
    }

    fn are_neighbours(self, one: ContactId, other: ContactId) -> bool {
        if one == other {
            return false;
        }
        match [self.plug_face(one), self.plug_face(other)] {
            [Some(a), Some(b)] => a.distance(b) <= self.reach(),
            [Some(_), None] => other == ContactId::Shell && self.is_at_the_shell(one),
            [None, Some(_)] => one == ContactId::Shell && self.is_at_the_shell(other),
            [None, None] => false,
        }
    }

    /// How far apart the middles of neighbours are at most.
    fn reach(self) -> Metres {
        match self {
            Self::De9 | Self::Da15 | Self::De15Hd | Self::Db25 | Self::Edge28x2 | Self::Terminals(_) => {
                self.pitch().value * 1.3
            }
            Self::MiniDin8 => round::MINI_REACH,
            Self::Din5Arc180 | Self::Din8Arc262 | Self::Din8Arc270 => round::REACH,
        }
    }

    fn is_at_the_shell(self, contact: ContactId) -> bool {
        match self {
            Self::De9 | Self::Da15 | Self::De15Hd | Self::Db25 => rows::is_at_the_shell(self, contact),
            Self::MiniDin8 => contact != round::MINI_MIDDLE,
            Self::Din5Arc180 | Self::Din8Arc262 | Self::Din8Arc270 => {
                self.plug_face(contact).is_some_and(|place| place.distance(round::MIDDLE) > Metres::ZERO)
            }
            Self::Edge28x2 | Self::Terminals(_) => false,
        }
    }

    /// The one table: where a contact is seen on the mating face of a plug.
    fn plug_face(self, contact: ContactId) -> Option<Place> {
        let number = match contact {
            ContactId::Number(number) => number,
            ContactId::Letter(_) if self == Self::Edge28x2 => return edge::board(contact),
            ContactId::Letter(_) | ContactId::Shell => return None,
        };
        match self {
            Self::De9 | Self::Da15 | Self::De15Hd | Self::Db25 => rows::plug_face(self, number),
            Self::MiniDin8 => round::mini(number),
            Self::Din5Arc180 => round::half_circle(number),
            Self::Din8Arc262 => round::arc_262(number),
            Self::Din8Arc270 => round::arc_270(number),
            Self::Edge28x2 => edge::board(contact),
            Self::Terminals(count) => edge::wire_end(count, number),
        }
    }
}

impl Place {
    fn distance(self, other: Self) -> Metres {
        let distance = libm::hypot((self.x - other.x).get(), (self.y - other.y).get());
        Metres::literal(distance)
    }
}

#[cfg(test)]
mod tests;
