//! What must hold of every sheet, asked of the demo's leads and of leads that nobody would build.

use std::collections::BTreeMap;

use solderside_lead::{EndId, PartId};
use solderside_trade::{ContactId, Side};

use super::*;
use crate::drawing::alone;
use crate::drawing::geometry::{Cup, Way};
use crate::drawing::label::Bounds;
use crate::drawing::seat::Seat;
use crate::shelf::{
    diode_in_each_line, one_cup_with_two_diodes, pad_to_curlew, panel_to_edge, round_to, stick_to_curlew,
    stick_to_mini_din, stick_to_plover, straight, tangled, tangled_with_parts, with_boards,
    with_parts_of_all_kinds,
};

/// The demo's leads first, then every family at both ends, then the tangled ones.
fn all() -> Vec<(Assembly, Layout)> {
    let demo = [stick_to_plover(), stick_to_curlew(), pad_to_curlew()];
    demo.into_iter()
        .chain(of_every_family())
        .chain(with_parts_of_all_kinds())
        .chain((0..60).map(tangled))
        .chain((0..30).map(tangled_with_parts))
        .map(|assembly| (assembly.clone(), sheet(&assembly)))
        .collect()
}

fn of_every_family() -> Vec<Assembly> {
    vec![
        panel_to_edge(),
        stick_to_mini_din(),
        round_to("DIN 8/270 socket"),
        round_to("DB-25 socket"),
        straight("mini-DIN 8 plug", "ends for terminals 9"),
        straight("DIN 5/180 plug", "mini-DIN 8 socket"),
        straight("DB-25 plug", "DIN 8/270 plug"),
        straight("edge 28x2 socket", "edge 28x2 socket"),
        straight("edge 28x2 socket", "ends for terminals 40"),
        straight("ends for terminals 2", "edge 28x2 plug"),
        straight("DE-15 high density plug", "DIN 8/262 socket"),
    ]
}

fn sheet(assembly: &Assembly) -> Layout {
    lead(assembly, &Colouring::usual(assembly), Plan::best(assembly))
}

fn ends_alone(assembly: &Assembly) -> Vec<Layout> {
    let plan = Plan::best(assembly);
    plan.ends.iter().map(|placed| alone::end(assembly, &Colouring::usual(assembly), placed)).collect()
}

/// The first and the last point of a path.
fn ends_of(path: &str) -> [Point; 2] {
    let numbers: Vec<f64> = path
        .split(|c: char| c.is_ascii_alphabetic() || c == ' ')
        .filter(|number| !number.is_empty())
        .map(|number| number.parse().unwrap())
        .collect();
    let point = |at: usize| Point { x: numbers[at], y: numbers[at + 1] };
    [point(0), point(numbers.len() - 2)]
}

fn is_at(a: Point, b: Point) -> bool {
    (a.x - b.x).abs() < 0.02 && (a.y - b.y).abs() < 0.02
}

fn around(middle: Point, radius: f64) -> Bounds {
    let Point { x, y } = middle;
    Bounds { left: x - radius, top: y - radius, right: x + radius, bottom: y + radius }
}

fn labels(layout: &Layout) -> Vec<Bounds> {
    let captions = layout.captions.iter().map(Line::bounds);
    let cups = layout.ends.iter().flat_map(|end| {
        let numbered = end.cups().into_iter().filter(|cup| cup.contact != ContactId::Shell);
        numbered.map(|cup| around(cup.at, end.cup_radius() * 0.7)).collect::<Vec<_>>()
    });
    layout.plates.iter().map(|plate| plate.bounds).chain(captions).chain(cups).collect()
}

#[test]
fn a_solder_side_is_never_mirrored() {
    for (assembly, layout) in all() {
        for end in &layout.ends {
            let connector = assembly.lead.end(end.id).unwrap().connector;
            let turn = if end.turned { -1.0 } else { 1.0 };
            let mut shifts: Vec<(f64, f64)> = Vec::new();
            for cup in end.cups() {
                let Some(place) = connector.place(cup.contact, Side::Solder) else { continue };
                let x = (cup.at.x - end.middle.x) / end.scale * turn;
                let y = (end.middle.y - cup.at.y) / end.scale * turn;
                assert!((y - place.y.get() * 1e3).abs() < 1e-9);
                shifts.push((place.x.get() * 1e3, x - place.x.get() * 1e3));
            }
            // From left to right each break moves all that follows to the left, and nothing else moves.
            shifts.sort_by(|a, b| a.0.total_cmp(&b.0));
            let moves = shifts.windows(2).filter(|two| (two[1].1 - two[0].1).abs() > 1e-9);
            assert!(moves.clone().all(|two| two[1].1 < two[0].1));
            assert_eq!(moves.count(), end.cuts.len());
            assert!(!end.cuts.is_empty() || shifts.iter().all(|(_, shift)| shift.abs() < 1e-9));
        }
    }
}

// *Joystick Port*, pe2bz.philpem.me.uk: the face of a fifteen-way socket reads `8 … 1`; its back is the
// mirror image of its face.
#[test]
fn the_sticks_socket_reads_from_1_to_8_along_its_upper_row() {
    let layout = sheet(&stick_to_plover());
    let end = &layout.ends[0];
    assert!(!end.turned);
    let mut upper: Vec<Cup> = end.cups().into_iter().filter(|cup| cup.at.y < end.middle.y - 1.0).collect();
    upper.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    let read: Vec<String> = upper.iter().map(|cup| cup.contact.to_string()).collect();
    assert_eq!(read, ["1", "2", "3", "4", "5", "6", "7", "8"]);
}

#[test]
fn every_join_is_drawn_once_from_its_cup_to_its_cup() {
    for (assembly, layout) in all() {
        let strands = layout.strands.iter().map(|strand| (strand.join, strand.path()));
        let links = layout.links.iter().chain(&layout.legs).map(|link| (link.join, link.path.clone()));
        let drawn: Vec<(Join, Path)> = strands.chain(links).collect();
        let mut joins: Vec<Join> = drawn.iter().map(|(join, _)| *join).collect();
        joins.sort_unstable();
        assert_eq!(joins, assembly.lead.joins);
        let ends: BTreeMap<EndId, &Placed> = layout.ends.iter().map(|end| (end.id, end)).collect();
        for (join, path) in drawn {
            let place = |leg: Leg| match leg.part_id() {
                Some(id) => {
                    let own = layout.components.iter().find(|(own, _)| own.id == id).unwrap().0;
                    if own.near == leg.contact { own.near_pin() } else { own.far_pin() }
                }
                None => ends[&leg.end].cup(leg.contact).unwrap(),
            };
            let [from, to] = [join.from, join.to].map(place);
            let [first, last] = ends_of(path.as_str());
            assert!(
                (is_at(first, from) && is_at(last, to)) || (is_at(first, to) && is_at(last, from)),
                "{join}"
            );
        }
    }
}

#[test]
fn no_label_touches_another_or_leaves_the_sheet() {
    for (assembly, layout) in all() {
        for layout in ends_alone(&assembly).into_iter().chain([layout]) {
            let labels = labels(&layout);
            for (at, label) in labels.iter().enumerate() {
                assert!(
                    label.left >= 0.0 && label.right <= layout.width,
                    "{}: {label:?}",
                    assembly.lead.name
                );
                assert!(label.top >= 0.0 && label.bottom <= layout.height, "{label:?}");
                for other in &labels[at + 1..] {
                    assert!(!label.overlaps(other), "{label:?} and {other:?}");
                }
            }
        }
    }
}

#[test]
fn no_plate_hides_another_conductor() {
    for (assembly, layout) in all() {
        for layout in ends_alone(&assembly).into_iter().chain([layout]) {
            for (at, plate) in layout.plates.iter().enumerate() {
                let height = plate.bounds.bottom - plate.bounds.top;
                for strand in
                    layout.strands.iter().enumerate().filter(|(other, _)| *other != at).map(|(_, s)| s)
                {
                    for step in 0..=8 {
                        let y = plate.bounds.top + height * f64::from(step) / 8.0;
                        let x = if strand.spans(y) { strand.x(y) } else { f64::INFINITY };
                        assert!(
                            x + 2.3 <= plate.bounds.left || plate.bounds.right <= x - 2.3,
                            "{}",
                            strand.join
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn every_part_appears_once_in_the_hood_of_its_own_end() {
    for (assembly, layout) in all() {
        let parts: Vec<Part> = assembly.lead.parts.clone();
        let sorted = |layout: &Layout| {
            let mut drawn: Vec<Part> = layout.components.iter().map(|(_, part)| *part).collect();
            drawn.sort_by_key(Part::id);
            drawn
        };
        assert_eq!(sorted(&layout), parts);
        for (end, alone) in assembly.lead.ends.iter().zip(ends_alone(&assembly)) {
            let own: Vec<Part> = parts.iter().filter(|part| part.sits == end.id).copied().collect();
            assert_eq!(sorted(&alone), own);
        }
        for (own, part) in &layout.components {
            let end = layout.ends.iter().find(|end| end.id == part.sits).unwrap();
            let beyond = (own.at.y - end.middle.y).abs() - end.half_size().y;
            assert!(beyond > 0.0 && beyond < layout.height, "{}", own.id);
        }
    }
}

#[test]
fn no_part_touches_another_or_a_label_or_leaves_the_sheet() {
    for (assembly, layout) in all() {
        for layout in ends_alone(&assembly).into_iter().chain([layout]) {
            let plates = layout.components.iter().map(|(own, part)| own.plate(part).bounds);
            let bodies = layout.components.iter().map(|(own, _)| own.bounds());
            let own: Vec<Bounds> = bodies.chain(plates).collect();
            let labels = labels(&layout);
            for (at, bounds) in own.iter().enumerate() {
                assert!(bounds.left >= 0.0 && bounds.right <= layout.width, "{bounds:?}");
                for other in own[at + 1..].iter().chain(&labels) {
                    assert!(!bounds.overlaps(other), "{bounds:?} and {other:?}");
                }
            }
        }
    }
}

#[test]
fn no_conductor_runs_over_a_strange_part_or_its_plate() {
    for (assembly, layout) in all() {
        for layout in ends_alone(&assembly).into_iter().chain([layout]) {
            for (own, part) in &layout.components {
                let legs = [own.near, other_leg(own.near)].map(|contact| Leg::part(own.id, contact));
                let is_strange = |strand: &&Strand| legs.iter().all(|leg| strand.join.other(*leg).is_none());
                for bounds in [own.bounds(), own.plate(part).bounds] {
                    for strand in layout.strands.iter().filter(is_strange) {
                        for step in 0..=8 {
                            let y = bounds.top + (bounds.bottom - bounds.top) * f64::from(step) / 8.0;
                            let x = if strand.spans(y) { strand.x(y) } else { f64::INFINITY };
                            let is_clear = x + 2.0 <= bounds.left || bounds.right <= x - 2.0;
                            assert!(is_clear, "{} over {}", strand.join, own.id);
                        }
                    }
                }
            }
        }
    }
}

fn other_leg(contact: ContactId) -> ContactId {
    if contact == PartId::ANODE { PartId::CATHODE } else { PartId::ANODE }
}

#[test]
fn the_band_is_drawn_at_the_cathode() {
    let layout = sheet(&diode_in_each_line());
    for (own, part) in &layout.components {
        // The port lies below: towards it is down. Six anodes are at the port's cups, and the return's cathode.
        let cathode_is_near = part.number == 7;
        assert_eq!(own.near == PartId::CATHODE, cathode_is_near);
        assert_eq!(own.band().y > own.at.y, cathode_is_near, "{}", own.id);
        let near = if cathode_is_near { PartId::CATHODE } else { PartId::ANODE };
        let cup = assembly_cup(&diode_in_each_line(), Leg::part(own.id, near));
        assert!((layout.ends[1].cup(cup).unwrap().y - own.near_pin().y) > 0.0);
    }
}

fn assembly_cup(assembly: &Assembly, leg: Leg) -> ContactId {
    assembly.lead.joined(leg).find(|other| other.end == EndId::Port).unwrap().contact
}

#[test]
fn one_cup_with_two_diodes_has_both_beside_each_other_and_no_crossing_more() {
    let layout = sheet(&one_cup_with_two_diodes());
    let [(first, _), (second, _)] = layout.components.as_slice() else { panic!("two diodes") };
    assert!((first.at.y - second.at.y).abs() < 1e-9 && (first.at.x - second.at.x).abs() > 20.0);
    assert!(first.near == PartId::CATHODE && second.near == PartId::CATHODE);
}

#[test]
fn a_demo_lead_fits_a_phone() {
    for assembly in [stick_to_plover(), stick_to_curlew(), pad_to_curlew()] {
        assert!((sheet(&assembly).width - 360.0).abs() < 1e-9);
        for layout in ends_alone(&assembly) {
            assert!((layout.width - 360.0).abs() < 1e-9);
        }
    }
}

#[test]
fn every_contact_of_every_family_has_a_cup_of_its_own_and_a_way_out_to_both_sides() {
    for (_, layout) in all() {
        for end in &layout.ends {
            let contacts: Vec<ContactId> = end.cups().into_iter().map(|cup| cup.contact).collect();
            let is_cut = |contact: &ContactId| end.cuts.iter().any(|cut| cut.contacts.contains(contact));
            assert!(contacts.into_iter().eq(end.connector.family.contact_ids().filter(|id| !is_cut(id))));
            for way in [Way::Up, Way::Down] {
                let ways = end.cups().into_iter().map(|cup| end.way_out(cup.contact, way).unwrap());
                let mut exits: Vec<f64> = ways.map(|points| points[points.len() - 1].x).collect();
                exits.sort_by(f64::total_cmp);
                assert!(exits.windows(2).all(|two| two[1] - two[0] > 4.6), "{}: {exits:?}", end.connector);
            }
        }
    }
}

#[test]
fn a_lead_with_a_board_has_every_join_once_and_no_label_on_another() {
    for assembly in with_boards() {
        let layout = sheet(&assembly);
        let strands = layout.strands.iter().map(|strand| strand.join);
        let links = layout.links.iter().chain(&layout.legs).map(|link| link.join);
        let mut drawn: Vec<Join> = strands.chain(links).collect();
        drawn.sort_unstable();
        assert_eq!(drawn, assembly.lead.joins);
        for layout in ends_alone(&assembly).into_iter().chain([layout]) {
            let seats = layout.boards.iter().flat_map(|board| &board.seats).map(Seat::bounds);
            let all: Vec<Bounds> = labels(&layout).into_iter().chain(seats).collect();
            for (at, label) in all.iter().enumerate() {
                assert!(label.left >= 0.0 && label.right <= layout.width && label.top >= 0.0);
                assert!(label.bottom <= layout.height);
                for other in &all[at + 1..] {
                    assert!(!label.overlaps(other), "{label:?} and {other:?}");
                }
            }
        }
    }
}

#[test]
fn a_conductor_goes_on_from_its_leg_on_the_board_without_a_break() {
    for assembly in with_boards() {
        let layout = sheet(&assembly);
        let boards = || layout.boards.iter().flat_map(|board| &board.seats);
        for strand in &layout.strands {
            let place = |leg: Leg| match leg.part_id() {
                Some(id) => boards().find(|seat| seat.part.id() == id)?.leg(leg.contact),
                None => layout.ends.iter().find(|end| end.id == leg.end)?.cup(leg.contact),
            };
            let [from, to] = [strand.join.from, strand.join.to].map(|leg| place(leg).unwrap());
            let [first, last] = ends_of(strand.path().as_str());
            let is_whole = (is_at(first, from) && is_at(last, to)) || (is_at(first, to) && is_at(last, from));
            assert!(is_whole, "{}", strand.join);
        }
    }
}

#[test]
fn only_a_wide_connector_or_many_conductors_make_a_wide_sheet() {
    let width = |assembly: &Assembly| sheet(assembly).width;
    assert!(width(&stick_to_mini_din()) < 361.0);
    assert!(width(&round_to("DIN 8/270 socket")) < 361.0);
    assert!(width(&panel_to_edge()) > 800.0);
    for assembly in of_every_family() {
        for layout in ends_alone(&assembly) {
            let end = &layout.ends[0];
            assert!(end.middle.x - end.half_size().x >= MARGIN - 1e-9, "{}", end.connector);
        }
    }
}

#[test]
fn the_captions_tell_the_side_and_the_way_up() {
    let seen = |assembly: &Assembly| -> Vec<String> {
        let captions = sheet(assembly).captions;
        captions.into_iter().map(|line| line.text).filter(|text| text.contains("side")).collect()
    };
    let sides = [panel_to_edge(), stick_to_mini_din()].map(|assembly| seen(&assembly));
    assert_eq!(
        sides,
        [
            ["side of the screws, 1 on the left", "side of the tags, parts side with row 1 to 28 up"],
            ["solder side, row 1 to 5 up", "solder side, keyway down"],
        ]
    );
}

#[test]
fn lanes_stand_in_the_order_in_which_conductors_leave_the_cups() {
    for (_, layout) in all() {
        let lanes: Vec<f64> = layout.plates.iter().map(|plate| plate.lines[0].at.x).collect();
        assert!(lanes.is_sorted());
        let gaps: Vec<f64> = lanes.windows(2).map(|two| two[1] - two[0]).collect();
        assert!(gaps.windows(2).all(|two| (two[1] - two[0]).abs() < 1e-9), "evenly spaced: {gaps:?}");
    }
}

/// Counts by walking down both lines where they have changed sides.
fn crossings_of(a: &Strand, b: &Strand) -> usize {
    let mut crossings = 0;
    let mut before = None;
    for y in (0..10_000).map(|step| f64::from(step) * 0.2).filter(|y| a.spans(*y) && b.spans(*y)) {
        let apart = a.x(y) - b.x(y);
        if apart.abs() > 0.01 {
            let side = apart > 0.0;
            crossings += usize::from(before.is_some_and(|before| before != side));
            before = Some(side);
        }
    }
    crossings
}

#[test]
fn conductors_cross_as_often_as_was_counted_and_no_line_crosses_another_twice() {
    for (assembly, layout) in all().into_iter().take(41) {
        let mut crossings = Plan::best(&assembly).link_crossings().len();
        for (at, a) in layout.strands.iter().enumerate() {
            for b in &layout.strands[at + 1..] {
                let own = crossings_of(a, b);
                assert!(own <= 1, "{} and {}", a.join, b.join);
                crossings += own;
            }
        }
        assert_eq!(crossings, layout.crossings);
    }
}

#[test]
fn the_lower_of_two_crossing_conductors_has_a_gap() {
    let layout = sheet(&stick_to_plover());
    let gaps: usize =
        layout.strands.iter().map(|strand| strand.path().as_str().matches('M').count() - 1).sum();
    assert_eq!(gaps, layout.crossings);
}

#[test]
fn no_conductor_runs_over_a_strange_cup() {
    for (_, layout) in all() {
        for strand in &layout.strands {
            for end in &layout.ends {
                for cup in end.cups() {
                    let own = Leg { end: end.id, contact: cup.contact };
                    if strand.join.other(own).is_some() || cup.contact == ContactId::Shell {
                        continue;
                    }
                    let radius = end.cup_radius();
                    for step in -10..=10 {
                        let y = cup.at.y + radius * f64::from(step) / 10.0;
                        let x = if strand.spans(y) { strand.x(y) } else { f64::INFINITY };
                        let [across, down] = [x - cup.at.x, y - cup.at.y];
                        let apart = (across * across + down * down).sqrt();
                        assert!(apart >= radius, "{} over {own}: {apart} of {radius}", strand.join);
                    }
                }
            }
        }
    }
}
