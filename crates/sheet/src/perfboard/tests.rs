//! What must hold of every board.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, PartId};

use super::*;
use crate::colouring::Colouring;
use crate::shelf::{
    demo_leads_with_chips, stick_through_buffer, tangled_with_chip, transistor_in_the_fire, two_registers,
    with_boards,
};

/// A search that is over soon: what must hold of every board holds of its too.
fn hasty(_: &Task) -> Effort {
    Effort { lines: 300, wires: 150, beginnings: 1 }
}

fn all() -> Vec<(Assembly, BoardPlan)> {
    let leads = with_boards().into_iter().chain(demo_leads_with_chips()).chain([two_registers()]);
    let leads = leads.chain((0..12).map(tangled_with_chip));
    let boards = leads.flat_map(|assembly| {
        let ends = assembly.lead.ends.iter().map(|end| end.id).filter(|end| has_board(&assembly.lead, *end));
        let plans: Vec<BoardPlan> = ends.map(|end| BoardPlan::found(&assembly.lead, end, hasty)).collect();
        plans.into_iter().map(move |plan| (assembly.clone(), plan))
    });
    boards.collect()
}

/// What stands in each hole: a leg of a part, or a conductor by the leg from which it comes and its join.
fn pins(plan: &BoardPlan) -> Vec<(Leg, Option<Join>, Hole)> {
    let legs = plan.seats.iter().flat_map(|seat| {
        seat.legs.iter().map(|(contact, hole)| (Leg::part(seat.part.id(), *contact), None, *hole))
    });
    legs.chain(plan.entries.iter().map(|entry| (entry.leg, Some(entry.join), entry.hole))).collect()
}

/// Follows bare copper from hole to hole, and each insulated wire from its first hole to its last.
fn copper(plan: &BoardPlan, from: Hole) -> BTreeSet<Hole> {
    let mut next: BTreeMap<Hole, BTreeSet<Hole>> = BTreeMap::new();
    for wire in &plan.wires {
        let pairs: Vec<[Hole; 2]> = if wire.insulated {
            vec![[wire.holes[0], *wire.holes.last().unwrap()]]
        } else {
            wire.holes.windows(2).map(|pair| [pair[0], pair[1]]).collect()
        };
        for [a, b] in pairs {
            next.entry(a).or_default().insert(b);
            next.entry(b).or_default().insert(a);
        }
    }
    let (mut seen, mut open) = (BTreeSet::from([from]), vec![from]);
    while let Some(hole) = open.pop() {
        open.extend(next.get(&hole).into_iter().flatten().filter(|hole| seen.insert(**hole)));
    }
    seen
}

/// The joins that the lead has of this board, without what is joined by way of a cup or the cable: there, each conductor
/// is a pin of its own.
fn joined(lead: &Lead, plan: &BoardPlan, of: (Leg, Option<Join>)) -> BTreeSet<(Leg, Option<Join>)> {
    let is_here = |leg: Leg| plan.seats.iter().any(|seat| Some(seat.part.id()) == leg.part_id());
    let pin = |leg: Leg, join: Join| (leg, (!is_here(leg)).then_some(join));
    let (mut seen, mut open) = (BTreeSet::from([of]), vec![of]);
    while let Some(at) = open.pop() {
        for join in lead.joins.iter().filter(|join| is_here(join.from) || is_here(join.to)) {
            let ends = [pin(join.from, *join), pin(join.to, *join)];
            if ends.contains(&at) {
                open.extend(ends.into_iter().filter(|end| seen.insert(*end)));
            }
        }
    }
    seen
}

#[test]
fn what_the_copper_joins_hole_by_hole_is_what_the_lead_joins_and_nothing_else() {
    for (assembly, plan) in all() {
        let pins = pins(&plan);
        for (leg, join, hole) in &pins {
            let reached = copper(&plan, *hole);
            let found: BTreeSet<_> = pins
                .iter()
                .filter(|pin| reached.contains(&pin.2))
                .map(|(leg, join, _)| (*leg, *join))
                .collect();
            assert_eq!(
                found,
                joined(&assembly.lead, &plan, (*leg, *join)),
                "{leg} of {}",
                assembly.lead.name
            );
        }
    }
}

#[test]
fn every_join_of_a_board_is_one_wire_between_its_own_legs_holes() {
    for (assembly, plan) in all() {
        let pins = pins(&plan);
        let is_here = |leg: Leg| plan.seats.iter().any(|seat| Some(seat.part.id()) == leg.part_id());
        let mut wired: Vec<Join> = plan.wires.iter().map(|wire| wire.join).collect();
        wired.sort_unstable();
        let own = assembly.lead.joins.iter().filter(|join| is_here(join.from) || is_here(join.to));
        assert!(own.copied().eq(wired));
        for wire in &plan.wires {
            let hole = |leg: Leg| {
                let its = pins.iter().find(|pin| pin.0 == leg && pin.1.is_none_or(|join| join == wire.join));
                its.unwrap().2
            };
            assert_eq!(wire.legs.map(hole), [wire.holes[0], *wire.holes.last().unwrap()]);
        }
    }
}

#[test]
fn every_hole_has_one_leg_or_one_conductor_and_lies_on_the_board() {
    for (assembly, plan) in all() {
        let mut taken = BTreeSet::new();
        for (leg, _, hole) in pins(&plan) {
            assert!(taken.insert(hole), "{leg} in {hole} of {}", assembly.lead.name);
            assert!(hole.row < plan.rows && hole.column < plan.columns);
        }
        assert!(plan.entries.iter().all(|entry| [0, plan.rows - 1].contains(&entry.hole.row)));
    }
}

#[test]
fn no_part_stands_in_the_room_of_another() {
    for (assembly, plan) in all() {
        for (at, seat) in plan.seats.iter().enumerate() {
            let [from, to] = seat.room;
            assert!(seat.legs.iter().all(|(_, hole)| {
                (from.row..=to.row).contains(&hole.row) && (from.column..=to.column).contains(&hole.column)
            }));
            for other in &plan.seats[at + 1..] {
                let [its_from, its_to] = other.room;
                let is_apart = to.row < its_from.row
                    || its_to.row < from.row
                    || to.column < its_from.column
                    || its_to.column < from.column;
                assert!(is_apart, "{} and {} of {}", seat.part.id(), other.part.id(), assembly.lead.name);
            }
        }
    }
}

#[test]
fn bare_wires_go_from_hole_to_hole_and_those_of_two_nets_share_none() {
    for (assembly, plan) in all() {
        let mut owners: BTreeMap<Hole, BTreeSet<Leg>> = BTreeMap::new();
        for wire in plan.wires.iter().filter(|wire| !wire.insulated) {
            assert!(wire.holes.windows(2).all(|pair| pair[0].steps_to(pair[1]) == 1), "{}", wire.join);
            // One leg of the part stands for its net.
            let net = joined(&assembly.lead, &plan, (wire.legs[1], None));
            let first = net.first().unwrap().0;
            for hole in &wire.holes {
                owners.entry(*hole).or_default().insert(first);
            }
        }
        assert!(owners.values().all(|nets| nets.len() == 1), "{}", assembly.lead.name);
    }
}

// 74HC157; 74HCT157 Quad 2-input multiplexer, rev. 7, figure 4: seen from above, the notch on the left, leg 1 stands
// left below, 8 right below, 9 right above and 16 left above.
#[test]
fn a_chip_seen_from_above_counts_against_the_clock_whichever_way_it_lies() {
    for (_, plan) in all() {
        for seat in plan.seats.iter().filter(|seat| matches!(seat.part.id(), PartId::Chip(_))) {
            let legs: Vec<Hole> = seat.legs.iter().map(|(_, hole)| *hole).collect();
            let side = legs.len() / 2;
            let turn: i64 = (0..legs.len())
                .map(|at| {
                    let [a, b] = [legs[at], legs[(at + 1) % legs.len()]];
                    i64::from(a.column) * i64::from(b.row) - i64::from(b.column) * i64::from(a.row)
                })
                .sum();
            // Rows are counted downwards, so against the clock is a negative turn.
            assert!(turn < 0);
            assert!(legs[..side].windows(2).all(|pair| pair[0].steps_to(pair[1]) == 1));
            assert!((0..side).all(|at| legs[at].row.abs_diff(legs[2 * side - 1 - at].row) == 3));
        }
    }
}

#[test]
fn a_decoupling_capacitor_stands_beside_its_chips_supply_leg() {
    for assembly in demo_leads_with_chips() {
        let plan = BoardPlan::of(&assembly.lead, EndId::Port).unwrap();
        let task = Task::of(&assembly.lead, EndId::Port);
        assert_eq!(task.close.len(), 2);
        let hole = |pin: usize| {
            let Pin::Leg { piece, at } = task.pins[pin] else { panic!("no leg") };
            plan.seats[piece].legs[at].1
        };
        let [leg, chip] = task.close[0].map(hole);
        assert!(leg.row.abs_diff(chip.row).max(leg.column.abs_diff(chip.column)) <= 2, "{leg} {chip}");
    }
}

#[test]
fn the_same_lead_gives_the_same_board() {
    let lead = two_registers().lead;
    assert_eq!(BoardPlan::found(&lead, EndId::Port, hasty), BoardPlan::found(&lead, EndId::Port, hasty));
}

#[test]
fn a_board_that_is_too_large_for_an_ordinary_hood_says_both_sizes_and_a_small_one_says_nothing() {
    for (assembly, plan) in all() {
        let family = assembly.lead.end(plan.end).unwrap().connector.family;
        let Some(room) = family.hood_room() else {
            assert_eq!(
                plan.too_large(&assembly.lead),
                None,
                "an end without a hood has none that is too small"
            );
            continue;
        };
        let [room_wide, room_long] = room.value.map(|length| length.get() * 1000.0);
        let [columns, rows] = [plan.columns, plan.rows].map(|holes| f64::from(holes) * 2.54);
        let told = plan.too_large(&assembly.lead);
        assert_eq!(told.is_some(), columns > room_wide || rows > room_long, "{family}: {columns} by {rows}");
        if let Some(told) = told {
            assert!(told.contains(&format!("{columns:.1} mm wide and {rows:.1} mm long")), "{told}");
            assert!(told.contains(&format!("{room_wide:.0} mm by {room_long:.0} mm")), "{told}");
        }
    }
}

/// The value of an attribute of an element's text, as a number.
fn number(element: &str, name: &str) -> f64 {
    let start = format!(" {name}=\"");
    let value = element.split(start.as_str()).nth(1).and_then(|rest| rest.split('"').next());
    value.and_then(|value| value.parse().ok()).expect("the element has it")
}

/// The names of the parts on the solder side: their words, and where they stand.
fn names(picture: &str) -> Vec<(&str, [f64; 2])> {
    let texts = picture.split("<text ").skip(1).filter(|text| text.contains("paint-order=\"stroke\""));
    let words = |text: &'_ str| text.split_once('>').map_or(0, |(tag, _)| tag.len() + 1);
    texts
        .map(|text| {
            let own = text[words(text)..].split('<').next().unwrap_or_default();
            let element = format!(" {text}");
            (own, [number(&element, "x"), number(&element, "y") - 0.36 * number(&element, "font-size")])
        })
        .collect()
}

#[test]
fn the_name_of_a_part_is_covered_by_no_joint_and_by_no_other_name() {
    for (assembly, plan) in all() {
        let picture = side_drawing(&assembly, &Colouring::of(&assembly), &plan, Side::Solder);
        let names = names(&picture);
        assert_eq!(names.len(), plan.seats.len());
        let joints = picture
            .split("<circle data-leg")
            .skip(1)
            .map(|joint| [number(joint, "cx"), number(joint, "cy"), number(joint, "r")]);
        let joints: Vec<[f64; 3]> = joints.collect();
        assert_eq!(joints.len(), plan.seats.iter().map(|seat| seat.legs.len()).sum::<usize>());
        let half = |words: &str| crate::drawing::width(words, 10.0, true) / 2.0;
        for (at, (words, [x, y])) in names.iter().enumerate() {
            for [cx, cy, r] in &joints {
                let is_apart = (x - cx).abs() >= half(words) + r || (y - cy).abs() >= 5.0 + r;
                assert!(is_apart, "{}: {words}", assembly.lead.name);
            }
            for (other, [ox, oy]) in &names[..at] {
                let is_apart = (x - ox).abs() >= half(words) + half(other) || (y - oy).abs() >= 10.0;
                assert!(is_apart, "{}: {words} and {other}", assembly.lead.name);
            }
        }
    }
}

#[test]
fn what_is_written_on_a_lying_part_fits_its_body() {
    let mut written = 0;
    for (assembly, plan) in all() {
        let picture = side_drawing(&assembly, &Colouring::of(&assembly), &plan, Side::Component);
        for text in picture.split("<text ").skip(1).filter(|text| text.contains("Ω<")) {
            let words =
                text.split_once('>').and_then(|(_, rest)| rest.split('<').next()).expect("it has words");
            let wide = crate::drawing::width(words, number(&format!(" {text}"), "font-size"), true);
            assert!(wide <= 60.0, "{words}: {wide}");
            written += 1;
        }
    }
    assert!(written > 0);
}

#[test]
fn the_pictures_of_small_boards_are_as_they_were_looked_at() {
    for (name, assembly) in [("buffer", stick_through_buffer()), ("transistor", transistor_in_the_fire())] {
        let plan = BoardPlan::all(&assembly.lead).pop().unwrap();
        for side in [Side::Component, Side::Solder] {
            let picture = side_drawing(&assembly, &Colouring::usual(&assembly), &plan, side);
            insta::assert_snapshot!(format!("{name}_{}_side", side.as_str()), picture.replace('>', ">\n"));
        }
    }
}
