use super::*;
use crate::family::TerminalCount;
use crate::family::tests::families;

const SIDES: [Side; 2] = [Side::Mating, Side::Solder];

fn connector(name: &str) -> Connector {
    Connector::parse(name).unwrap()
}

/// The contacts of a view as it is read: top row first, left to right.
fn as_read(name: &str, side: Side) -> Vec<String> {
    let connector = connector(name);
    let place = |contact: &ContactId| connector.place(*contact, side).unwrap();
    // To a thousandth of a millimetre: the two sides of a circle differ in their last bits.
    let height = |contact: &ContactId| (place(contact).y.get() * 1e6).round();
    let mut contacts: Vec<ContactId> = connector.family.contact_ids().collect();
    contacts.retain(|contact| *contact != ContactId::Shell);
    contacts.sort_by(|a, b| place(a).x.get().total_cmp(&place(b).x.get()));
    contacts.sort_by(|a, b| height(b).total_cmp(&height(a)));
    let rows = contacts.chunk_by(|a, b| height(a).total_cmp(&height(b)).is_eq());
    rows.map(|row| row.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")).collect()
}

fn everywhere() -> impl Iterator<Item = (Connector, ContactId)> {
    let all =
        families().into_iter().flat_map(|family| Gender::ALL.map(|gender| Connector { family, gender }));
    all.flat_map(|one| {
        let placed = one.family.contact_ids().filter(|contact| *contact != ContactId::Shell);
        placed.map(move |contact| (one, contact))
    })
}

// *Control Ports*, ist.uwaterloo.ca/~schepers/MJK/control_ports.html: a nine-pin host plug.
#[test]
fn the_face_of_a_nine_way_plug_starts_with_contact_1_at_the_upper_left() {
    assert_eq!(as_read("DE-9 plug", Side::Mating), ["1 2 3 4 5", "6 7 8 9"]);
}

// *Joystick Port*, pe2bz.philpem.me.uk: host socket, `8 … 1` above `15 … 9`.
#[test]
fn the_face_of_a_fifteen_way_socket_starts_with_contact_8_at_the_upper_left() {
    assert_eq!(as_read("DA-15 socket", Side::Mating), ["8 7 6 5 4 3 2 1", "15 14 13 12 11 10 9"]);
}

// *Parallel Port Joystick Drivers*, Linux kernel documentation: nine-pin sockets, `5 … 1`.
#[test]
fn the_face_of_a_nine_way_socket_starts_with_contact_5_at_the_upper_left() {
    assert_eq!(as_read("DE-9 socket", Side::Mating), ["5 4 3 2 1", "9 8 7 6"]);
}

#[test]
fn the_back_of_a_nine_way_plug_starts_with_contact_5_at_the_upper_left() {
    assert_eq!(as_read("DE-9 plug", Side::Solder)[0], "5 4 3 2 1");
}

#[test]
fn the_face_of_a_high_density_plug_has_three_rows_of_five() {
    let face = ["1 2 3 4 5", "6 7 8 9 10", "11 12 13 14 15"];
    assert_eq!(as_read("DE-15 high density plug", Side::Mating), face);
}

#[test]
fn the_face_of_a_twenty_five_way_plug_has_thirteen_over_twelve() {
    let face = ["1 2 3 4 5 6 7 8 9 10 11 12 13", "14 15 16 17 18 19 20 21 22 23 24 25"];
    assert_eq!(as_read("DB-25 plug", Side::Mating), face);
}

// *DIN Connectors*, github.com/0cjs/sedoc/blob/master/8bit/Conn/din.md: looking into the socket, keyway up.
#[test]
fn the_faces_of_round_sockets_read_as_the_catalogue_draws_them() {
    assert_eq!(as_read("DIN 5/180 socket", Side::Mating), ["3 1", "5 4", "2"]);
    assert_eq!(as_read("DIN 8/270 socket", Side::Mating), ["7 6", "3 8 1", "5 4", "2"]);
    assert_eq!(as_read("DIN 8/262 socket", Side::Mating), ["8 7", "3 6 1", "5 4", "2"]);
}

// *Mini-DIN connectors*, cryptomuseum.com/ref/conn/mini_din/index.htm: sockets are numbered from right to
// left and from bottom to top, and a plug is the mirror image.
#[test]
fn the_face_of_a_mini_din_socket_starts_with_contact_1_at_the_lower_right() {
    assert_eq!(as_read("mini-DIN 8 socket", Side::Mating), ["8 7 6", "5 4 3", "2 1"]);
    assert_eq!(as_read("mini-DIN 8 plug", Side::Mating), ["6 7 8", "3 4 5", "1 2"]);
}

#[test]
fn the_tags_of_an_edge_socket_read_like_the_edge_from_its_front() {
    let [numbers, letters] = <[String; 2]>::try_from(as_read("edge 28x2 socket", Side::Solder)).unwrap();
    assert!(numbers.starts_with("1 2 3 4 5 6 8 9 ") && numbers.ends_with(" 27 28"));
    assert_eq!(letters, "A B C D E F J K L M N P R S T U V W X Y Z a b c d e f");
    assert_eq!(as_read("edge 28x2 plug", Side::Mating), [numbers, letters]);
}

#[test]
fn the_key_of_an_edge_stands_between_6_and_8() {
    for gender in Gender::ALL {
        let edge = Connector { family: Family::Edge28x2, gender };
        for side in SIDES {
            let [six, eight] = [6, 8].map(|way| edge.place(ContactId::Number(way), side).unwrap());
            let key = edge.key(side).unwrap();
            assert!(((six.x + eight.x) * 0.5 - key.x).abs() < Metres::literal(1e-9));
            assert_eq!(key.y, Metres::ZERO);
        }
    }
    assert_eq!(connector("DE-9 plug").key(Side::Mating), None);
}

#[test]
fn terminals_are_read_from_left_to_right_with_or_without_wires() {
    assert_eq!(as_read("terminals 4", Side::Mating), ["1 2 3 4"]);
    assert_eq!(as_read("ends for terminals 4", Side::Solder), ["1 2 3 4"]);
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
fn contacts_have_distinct_places_and_the_shell_has_none() {
    for one in
        families().into_iter().flat_map(|family| Gender::ALL.map(|gender| Connector { family, gender }))
    {
        assert_eq!(one.place(ContactId::Shell, Side::Solder), None);
        let places: Vec<Place> =
            one.family.contact_ids().filter_map(|contact| one.place(contact, Side::Solder)).collect();
        assert_eq!(places.len(), one.family.contacts());
        for (at, place) in places.iter().enumerate() {
            let nearest = places[at + 1..].iter().map(|other| place.distance(*other).get());
            assert!(nearest.fold(f64::INFINITY, f64::min) > 1.9e-3, "{one}");
        }
    }
}

#[test]
fn a_contact_that_is_not_there_has_no_place_and_no_neighbour() {
    let [seven, h, g] = ["7", "H", "G"].map(|text| ContactId::parse(text).unwrap());
    let absent = |family: Family| {
        if family == Family::Edge28x2 {
            vec![seven, h, g, ContactId::Number(29), ContactId::Shell]
        } else {
            vec![h, ContactId::Number(0), ContactId::Number(1 + u8::try_from(family.contacts()).unwrap())]
        }
    };
    for family in families() {
        for absent in absent(family).into_iter().chain([ContactId::Number(u8::MAX)]) {
            let plug = Connector { family, gender: Gender::Plug };
            assert!(!family.has(absent));
            assert_eq!(plug.place(absent, Side::Mating), None);
            assert_eq!(family.neighbours(absent), []);
        }
    }
}

// The pages cited for the pitch disagree between 2.74 mm and 2.77 mm.
#[test]
fn the_pitch_lies_within_what_the_published_pages_print() {
    for family in [Family::De9, Family::Da15, Family::Db25] {
        let pitch = family.pitch().value;
        assert!(Metres::literal(2.74e-3) <= pitch && pitch <= Metres::literal(2.77e-3));
    }
}

const D_SUBS: [Family; 4] = [Family::De9, Family::Da15, Family::De15Hd, Family::Db25];

#[test]
fn rows_are_offset_by_half_a_pitch() {
    for family in D_SUBS {
        let places: Vec<_> = family.contact_ids().filter_map(|contact| family.plug_face(contact)).collect();
        for rows in places.windows(2).filter(|pair| pair[0].y != pair[1].y) {
            let offset = (rows[0].x - rows[1].x) / family.pitch().value;
            assert!((offset.rem_euclid(1.0) - 0.5).abs() < 1e-9, "{family}: {offset}");
        }
    }
}

#[test]
fn the_field_is_centred_from_left_to_right() {
    for family in families() {
        let columns =
            family.contact_ids().filter_map(|contact| family.plug_face(contact)).map(|place| place.x.get());
        let [left, right] = columns.fold([0.0_f64; 2], |[left, right], x| [left.min(x), right.max(x)]);
        assert!((left + right).abs() < 1e-9, "{family}");
    }
}

#[test]
fn every_contact_sits_inside_the_shell_and_the_shell_between_the_screws() {
    let half = |sourced: Sourced<Metres>| sourced.value * 0.5;
    for family in families() {
        let places = family.contact_ids().filter_map(|contact| family.plug_face(contact));
        match family.body() {
            Body::DShell { width, narrow_width, height, screw_spacing, .. } => {
                for place in places {
                    assert!(place.x.abs() < half(narrow_width) && place.y.abs() < half(height), "{family}");
                }
                assert!(narrow_width.value < width.value && width.value < screw_spacing.value);
            }
            Body::Skirt { diameter } => {
                for place in places {
                    assert!(place.distance(round::MIDDLE) < half(diameter) * 0.8, "{family}");
                }
            }
            Body::Slot { row_pitch } => {
                assert!(places.into_iter().all(|place| place.y.abs() == half(row_pitch)));
            }
            Body::Strip => assert!(places.into_iter().all(|place| place.y == Metres::ZERO)),
        }
    }
}

// *DIN: IEC/DIN EN 60130-9 connector*, cryptomuseum.com/ref/conn/din/index.htm: a circle of 7 mm, 45 degrees.
#[test]
fn round_contacts_lie_on_a_circle_of_7_mm_at_45_degrees() {
    for family in [Family::Din5Arc180, Family::Din8Arc262, Family::Din8Arc270] {
        let place = |number| family.plug_face(ContactId::Number(number)).unwrap();
        for pair in [1, 4, 2, 5, 3].windows(2) {
            let chord = place(pair[0]).distance(place(pair[1]));
            assert!((chord - family.pitch().value).abs() < Metres::literal(1e-5), "{family}");
        }
        assert!((place(1).distance(place(3)) - Metres::literal(7e-3)).abs() < Metres::literal(1e-9));
    }
}

#[test]
fn neighbours_are_mutual_and_sorted_and_never_oneself() {
    for family in families() {
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
    let near = |family: Family, contact: &str| -> String {
        let ids = family.neighbours(ContactId::parse(contact).unwrap());
        ids.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(near(Family::De9, "1"), "2 6 shell");
    assert_eq!(near(Family::De9, "8"), "3 4 7 9 shell");
    assert_eq!(near(Family::Da15, "8"), "7 15 shell");
    assert_eq!(near(Family::De15Hd, "8"), "3 4 7 9 13 14");
    assert_eq!(near(Family::Db25, "14"), "1 2 15 shell");
    assert_eq!(near(Family::MiniDin8, "4"), "1 2 3 5 6 7 8");
    assert_eq!(near(Family::MiniDin8, "1"), "2 3 4 shell");
    assert_eq!(near(Family::Din5Arc180, "2"), "4 5 shell");
    assert_eq!(near(Family::Din8Arc270, "8"), "1 2 3 4 5 6 7");
    assert_eq!(near(Family::Din8Arc262, "7"), "1 6 shell");
    assert_eq!(near(Family::Edge28x2, "6"), "5 F");
    assert_eq!(near(Family::Edge28x2, "a"), "23 Z b");
    assert_eq!(near(Family::Terminals(TerminalCount::new(16).unwrap()), "16"), "15");
}

#[test]
fn a_hood_is_wider_inside_than_its_d_and_narrower_than_its_screws_and_a_sleeve_than_its_skirt() {
    for family in families() {
        let Some(room) = family.hood_room() else {
            assert!(matches!(family.body(), Body::Slot { .. } | Body::Strip), "{family}");
            continue;
        };
        let [width, length] = room.value;
        assert!(width > Metres::ZERO && length > Metres::ZERO, "{family}");
        match family.body() {
            Body::DShell { width: shell, screw_spacing, .. } => {
                assert!(shell.value < width && width < screw_spacing.value, "{family}");
            }
            Body::Skirt { diameter } => assert!(width < diameter.value, "{family}"),
            Body::Slot { .. } | Body::Strip => panic!("{family} has no hood"),
        }
    }
}
