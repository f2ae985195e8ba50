//! Where the contacts sit, seen from either side, and which of them a drop of solder can bridge.
//!
//! The numbering is tabled once, for the mating face of a plug; the other three views are its mirror
//! images or itself. A second table would be a second chance to mirror a connector.

use solderside_quantity::Metres;

use crate::connector::{Connector, Family, Gender};
use crate::contact::ContactId;
use crate::source::{Source, Sourced};

/// A contact's place: `x` to the right and `y` up from the middle of the contact field, with the row
/// of contact 1 (the wide row, where rows differ) on top.
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
    /// The face that goes into the other connector.
    Mating,
    /// The back, where the cups are.
    Solder,
}

/// A contact's row and its place in that row, both counted from 0, on the mating face of a plug.
#[derive(Clone, Copy)]
struct Seat {
    row: u8,
    column: u8,
    in_row: u8,
}

const PITCH: Source = Source::published(
    "D-subminiature, memim.com/d-subminiature.html (2.77 mm along a row, 2.84 mm between rows); \
     other pages round to 2.74 mm and 2.76 mm",
);
const HIGH_DENSITY_PITCH: Source = Source::published(
    "note on the D-sub series, ccsukltd.co.uk/D-Type-Connectors-Hoods \
     (0.090 inch along a row, 0.078 inch between rows)",
);
const SHELL: Source = Source::assumed("from memory: outside of a socket's shell after DIN 41652");
const SCREWS: Source = Source::assumed("from memory: 4-40 UNC screws, 0.984 inch and 1.312 inch apart");

impl Connector {
    /// Where a contact is seen from a side; `None` where the connector has no such contact.
    ///
    /// Published for the faces: *Control Ports*, `ist.uwaterloo.ca/~schepers/MJK/control_ports.html`
    /// (plug) and *Joystick Port*, pe2bz.philpem.me.uk (socket).
    #[must_use]
    pub fn place(&self, contact: u8, side: Side) -> Option<Place> {
        let place = self.family.plug_face(contact)?;
        // A socket faces its plug, and a back faces the other way than its face: each turn mirrors
        // once, so the back of a socket reads like the face of a plug.
        let mirrored = (self.gender == Gender::Socket) != (side == Side::Solder);
        Some(if mirrored { Place { x: -place.x, ..place } } else { place })
    }
}

impl Family {
    /// The distance between neighbours in a row.
    #[must_use]
    pub const fn pitch(self) -> Sourced<Metres> {
        match self {
            Self::De9 | Self::Da15 => Sourced::new(Metres::literal(2.77e-3), PITCH),
            Self::De15Hd => Sourced::new(Metres::literal(2.29e-3), HIGH_DENSITY_PITCH),
        }
    }

    /// The distance between rows.
    #[must_use]
    pub const fn row_pitch(self) -> Sourced<Metres> {
        match self {
            Self::De9 | Self::Da15 => Sourced::new(Metres::literal(2.84e-3), PITCH),
            Self::De15Hd => Sourced::new(Metres::literal(1.98e-3), HIGH_DENSITY_PITCH),
        }
    }

    /// The width of the D at its wide side, on the mating face.
    #[must_use]
    pub const fn shell_width(self) -> Sourced<Metres> {
        Sourced::new(Metres::literal(if self.is_shell_a() { 24.66e-3 } else { 16.33e-3 }), SHELL)
    }

    /// The width of the D at its narrow side: the ends slope by 10 degrees.
    #[must_use]
    pub const fn shell_narrow_width(self) -> Sourced<Metres> {
        Sourced::new(Metres::literal(if self.is_shell_a() { 21.87e-3 } else { 13.54e-3 }), SHELL)
    }

    /// The height of the D, on the mating face.
    #[must_use]
    pub const fn shell_height(self) -> Sourced<Metres> {
        Sourced::new(Metres::literal(7.9e-3), SHELL)
    }

    /// The distance between the two screws.
    #[must_use]
    pub const fn screw_spacing(self) -> Sourced<Metres> {
        Sourced::new(Metres::literal(if self.is_shell_a() { 33.32e-3 } else { 24.99e-3 }), SCREWS)
    }

    /// What a drop of solder or a stray strand can bridge a contact to, in rising order.
    ///
    /// Two contacts are neighbours when their middles are at most 1.3 pitches apart: the next ones in
    /// the row and the nearest ones in the rows beside it. The shell is the neighbour of every contact
    /// with no other contact between it and the shell: the outer rows and the ends of each row. A
    /// contact that the family lacks has none.
    #[must_use]
    pub fn neighbours(self, contact: ContactId) -> Vec<ContactId> {
        self.contact_ids().filter(|other| self.are_neighbours(contact, *other)).collect()
    }

    fn are_neighbours(self, one: ContactId, other: ContactId) -> bool {
        match (one, other) {
            _ if one == other => false,
            (ContactId::Number(a), ContactId::Number(b)) => self
                .plug_face(a)
                .zip(self.plug_face(b))
                .is_some_and(|(a, b)| a.distance(b) <= self.pitch().value * 1.3),
            (ContactId::Number(n), ContactId::Shell) | (ContactId::Shell, ContactId::Number(n)) => {
                self.is_at_the_edge(n)
            }
            (ContactId::Shell, ContactId::Shell) => false,
        }
    }

    fn is_at_the_edge(self, contact: u8) -> bool {
        self.seat(contact).is_some_and(|Seat { row, column, in_row }| {
            row == 0 || row == self.last_row() || column == 0 || column + 1 == in_row
        })
    }

    /// The one table: contact 1 at the upper left, left to right, then the next row.
    fn plug_face(self, contact: u8) -> Option<Place> {
        let Seat { row, column, in_row } = self.seat(contact)?;
        let columns_from_middle = f64::from(column) - f64::from(in_row - 1) / 2.0;
        let rows_from_middle = f64::from(self.last_row()) / 2.0 - f64::from(row);
        Some(Place {
            x: self.pitch().value * (columns_from_middle + self.stagger(row)),
            y: self.row_pitch().value * rows_from_middle,
        })
    }

    /// How far a row stands to the right of the middle, in pitches.
    ///
    /// Rows that differ by one contact are offset by half a pitch when both are centred. Rows of equal
    /// length are not: the middle row of three stands half a pitch to the right of its neighbours
    /// (from memory, the side too; measure before trusting a picture of it).
    const fn stagger(self, row: u8) -> f64 {
        match self {
            Self::De9 | Self::Da15 => 0.0,
            Self::De15Hd if row == 1 => 0.25,
            Self::De15Hd => -0.25,
        }
    }

    fn seat(self, contact: u8) -> Option<Seat> {
        let mut column = contact.checked_sub(1)?;
        for (row, &in_row) in (0..).zip(self.rows()) {
            if column < in_row {
                return Some(Seat { row, column, in_row });
            }
            column -= in_row;
        }
        None
    }

    const fn last_row(self) -> u8 {
        match self {
            Self::De9 | Self::Da15 => 1,
            Self::De15Hd => 2,
        }
    }

    const fn is_shell_a(self) -> bool {
        match self {
            Self::Da15 => true,
            Self::De9 | Self::De15Hd => false,
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
mod tests {
    use super::*;

    const SIDES: [Side; 2] = [Side::Mating, Side::Solder];

    fn connector(name: &str) -> Connector {
        Connector::parse(name).unwrap()
    }

    /// The contacts of a view as it is read: top row first, left to right.
    fn as_read(name: &str, side: Side) -> Vec<Vec<u8>> {
        let connector = connector(name);
        let place = |contact: &u8| connector.place(*contact, side).unwrap();
        let mut contacts: Vec<u8> = (1..=connector.family.contacts()).collect();
        contacts.sort_by(|a, b| place(a).x.get().total_cmp(&place(b).x.get()));
        contacts.sort_by(|a, b| place(b).y.get().total_cmp(&place(a).y.get()));
        contacts.chunk_by(|a, b| place(a).y == place(b).y).map(<[u8]>::to_vec).collect()
    }

    fn everywhere() -> impl Iterator<Item = (Connector, u8)> {
        let all =
            Family::ALL.into_iter().flat_map(|family| Gender::ALL.map(|gender| Connector { family, gender }));
        all.flat_map(|one| (1..=one.family.contacts()).map(move |contact| (one, contact)))
    }

    // *Control Ports*, ist.uwaterloo.ca/~schepers/MJK/control_ports.html: a nine-pin host plug.
    #[test]
    fn the_face_of_a_nine_way_plug_starts_with_contact_1_at_the_upper_left() {
        let face = [vec![1, 2, 3, 4, 5], vec![6, 7, 8, 9]];
        assert_eq!(as_read("DE-9 plug", Side::Mating), face);
    }

    // *Joystick Port*, pe2bz.philpem.me.uk: host socket, `8 … 1` above `15 … 9`.
    #[test]
    fn the_face_of_a_fifteen_way_socket_starts_with_contact_8_at_the_upper_left() {
        let face = [vec![8, 7, 6, 5, 4, 3, 2, 1], vec![15, 14, 13, 12, 11, 10, 9]];
        assert_eq!(as_read("DA-15 socket", Side::Mating), face);
    }

    // *Parallel Port Joystick Drivers*, Linux kernel documentation: nine-pin sockets, `5 … 1`.
    #[test]
    fn the_face_of_a_nine_way_socket_starts_with_contact_5_at_the_upper_left() {
        let face = [vec![5, 4, 3, 2, 1], vec![9, 8, 7, 6]];
        assert_eq!(as_read("DE-9 socket", Side::Mating), face);
    }

    #[test]
    fn the_back_of_a_nine_way_plug_starts_with_contact_5_at_the_upper_left() {
        assert_eq!(as_read("DE-9 plug", Side::Solder)[0], [5, 4, 3, 2, 1]);
    }

    #[test]
    fn the_face_of_a_high_density_plug_has_three_rows_of_five() {
        let face = [vec![1, 2, 3, 4, 5], vec![6, 7, 8, 9, 10], vec![11, 12, 13, 14, 15]];
        assert_eq!(as_read("DE-15 high density plug", Side::Mating), face);
    }

    #[test]
    fn the_back_of_one_half_reads_like_the_face_of_the_other() {
        for (one, contact) in everywhere() {
            let back = one.place(contact, Side::Solder);
            assert_eq!(back, one.mate().place(contact, Side::Mating));
        }
    }

    #[test]
    fn mirroring_twice_changes_nothing() {
        let mirrored = |place: Place| Place { x: -place.x, ..place };
        for (one, contact) in everywhere() {
            for [side, other] in [SIDES, [Side::Solder, Side::Mating]] {
                let place = one.place(contact, side).unwrap();
                assert_eq!(mirrored(place), one.place(contact, other).unwrap());
                assert_eq!(mirrored(mirrored(place)), place);
            }
        }
    }

    #[test]
    fn equal_numbers_of_a_mated_pair_meet_in_space() {
        for (one, contact) in everywhere() {
            let seen = one.place(contact, Side::Mating).unwrap();
            let facing = one.mate().place(contact, Side::Mating).unwrap();
            // The two faces look at each other, so one observer sees the other face turned over.
            assert_eq!(seen, Place { x: -facing.x, ..facing });
        }
    }

    #[test]
    fn a_contact_that_is_not_there_has_no_place_and_no_neighbour() {
        for family in Family::ALL {
            for absent in [0, family.contacts() + 1, u8::MAX] {
                let plug = Connector { family, gender: Gender::Plug };
                assert_eq!(plug.place(absent, Side::Mating), None);
                assert_eq!(family.neighbours(ContactId::Number(absent)), []);
            }
        }
    }

    // The pages cited for the pitch disagree between 2.74 mm and 2.77 mm.
    #[test]
    fn the_pitch_lies_within_what_the_published_pages_print() {
        for family in [Family::De9, Family::Da15] {
            let pitch = family.pitch().value;
            assert!(Metres::literal(2.74e-3) <= pitch && pitch <= Metres::literal(2.77e-3));
        }
    }

    #[test]
    fn rows_are_offset_by_half_a_pitch_and_the_field_is_centred() {
        for family in Family::ALL {
            let places: Vec<_> =
                (1..=family.contacts()).filter_map(|contact| family.plug_face(contact)).collect();
            let pitches: Vec<_> = places.iter().map(|p| p.x / family.pitch().value).collect();
            let rightmost = pitches.iter().copied().fold(0.0, f64::max);
            let leftmost = pitches.iter().copied().fold(0.0, f64::min);
            assert!((rightmost + leftmost).abs() < 1e-9, "{family}");
            for rows in places.windows(2).filter(|pair| pair[0].y != pair[1].y) {
                let offset = (rows[0].x - rows[1].x) / family.pitch().value;
                assert!((offset.rem_euclid(1.0) - 0.5).abs() < 1e-9, "{family}: {offset}");
            }
        }
    }

    #[test]
    fn every_contact_sits_inside_the_shell_and_the_shell_between_the_screws() {
        for family in Family::ALL {
            let half = |sourced: Sourced<Metres>| sourced.value * 0.5;
            for contact in 1..=family.contacts() {
                let place = family.plug_face(contact).unwrap();
                assert!(place.x.abs() < half(family.shell_narrow_width()), "{family} {contact}");
                assert!(place.y.abs() < half(family.shell_height()), "{family} {contact}");
            }
            assert!(family.shell_narrow_width().value < family.shell_width().value);
            assert!(family.shell_width().value < family.screw_spacing().value);
        }
    }

    #[test]
    fn neighbours_are_mutual_and_sorted_and_never_oneself() {
        for family in Family::ALL {
            for contact in family.contact_ids() {
                let neighbours = family.neighbours(contact);
                assert!(neighbours.is_sorted());
                assert!(!neighbours.contains(&contact));
                for other in neighbours {
                    assert!(family.neighbours(other).contains(&contact), "{contact} and {other}");
                }
            }
        }
    }

    #[test]
    fn a_contact_neighbours_the_next_in_its_row_and_the_nearest_in_the_next_row() {
        let numbers = |family: Family, contact| -> Vec<String> {
            let ids = family.neighbours(ContactId::Number(contact));
            ids.iter().map(ToString::to_string).collect()
        };
        assert_eq!(numbers(Family::De9, 1), ["2", "6", "shell"]);
        assert_eq!(numbers(Family::De9, 8), ["3", "4", "7", "9", "shell"]);
        assert_eq!(numbers(Family::Da15, 8), ["7", "15", "shell"]);
        assert_eq!(numbers(Family::De15Hd, 8), ["3", "4", "7", "9", "13", "14"]);
    }
}
