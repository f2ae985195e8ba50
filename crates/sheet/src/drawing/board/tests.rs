//! What must hold of every board, asked of hand-made leads and of leads that nobody would build.

use solderside_lead::Assembly;

use super::*;
use crate::drawing::plan::{Plan, towards_the_other};
use crate::drawing::seat::PITCH;
use crate::shelf::{stick_to_select, tangled_with_chip, with_boards};

fn hoods(assembly: &Assembly) -> Vec<(Placed, Hood)> {
    let plan = Plan::best(assembly);
    let ends = plan.ends.iter().map(|end| (end.clone(), plan.hood_of(end)));
    ends.filter_map(|(end, hood)| Some((end, hood.filter(|hood| hood.board.is_some())?))).collect()
}

fn all() -> Vec<Assembly> {
    with_boards().into_iter().chain((0..40).map(tangled_with_chip)).collect()
}

/// Every line of a hood, with the join that it is.
fn routes(hood: &Hood) -> Vec<(Join, &Route)> {
    let wires = hood.wires.iter().map(|wire| (wire.join, &wire.route));
    let tips = hood.tips.iter().filter_map(|tip| Some((tip.join, tip.lead.as_ref()?)));
    wires.chain(tips).collect()
}

#[test]
fn every_join_that_touches_a_hood_with_a_board_is_drawn_in_it_once() {
    for assembly in all() {
        for (end, hood) in hoods(&assembly) {
            let lead = &assembly.lead;
            let is_here = |join: &&Join| [join.from, join.to].iter().any(|leg| lead.hood(*leg) == end.id);
            let joins: Vec<Join> = lead.joins.iter().filter(is_here).copied().collect();
            let mut drawn: Vec<Join> = routes(&hood).into_iter().map(|(join, _)| join).collect();
            drawn.sort_unstable();
            assert_eq!(drawn, joins, "{}", lead.name);
        }
    }
}

#[test]
fn every_part_of_the_hood_sits_on_the_board_with_all_of_its_legs_in_holes() {
    for assembly in all() {
        for (end, hood) in hoods(&assembly) {
            let board = hood.board.unwrap();
            let mut sits: Vec<PartId> = board.seats.iter().map(|seat| seat.part.id()).collect();
            sits.sort_unstable();
            let parts = assembly.lead.parts.iter().filter(|part| part.sits == end.id);
            assert!(sits.into_iter().eq(parts.map(solderside_lead::Part::id)));
            let first = board.seats[0].legs()[0].1;
            for (_, leg) in board.seats.iter().flat_map(Seat::legs) {
                for apart in [leg.x - first.x, leg.y - first.y] {
                    assert!((apart / PITCH - (apart / PITCH).round()).abs() < 1e-6, "{apart}");
                }
                let Bounds { left, top, right, bottom } = board.bounds;
                assert!(left < leg.x && leg.x < right && top < leg.y && leg.y < bottom);
            }
        }
    }
}

#[test]
fn no_part_of_a_board_touches_another() {
    for assembly in all() {
        for (_, hood) in hoods(&assembly) {
            let seats = hood.board.unwrap().seats;
            for (at, seat) in seats.iter().enumerate() {
                for other in &seats[at + 1..] {
                    let ids = [seat, other].map(|seat| seat.part.id());
                    assert!(!seat.bounds().overlaps(&other.bounds()), "{ids:?} of {}", assembly.lead.name);
                }
            }
        }
    }
}

#[test]
fn no_wire_runs_over_a_strange_part() {
    for assembly in all() {
        for (_, hood) in hoods(&assembly) {
            for (join, route) in routes(&hood) {
                let own = [join.from, join.to].map(Leg::part_id);
                let seats = hood.board.iter().flat_map(|board| &board.seats);
                for seat in seats.filter(|seat| !own.contains(&Some(seat.part.id()))) {
                    let Bounds { left, top, right, bottom } = seat.bounds();
                    for [a, b] in route.segments() {
                        for step in 0..=20 {
                            let share = f64::from(step) / 20.0;
                            let [x, y] = [a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)];
                            let is_over = left < x && x < right && top < y && y < bottom;
                            assert!(!is_over, "{join} over {}", seat.part.id());
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn no_two_wires_run_over_one_another_but_where_they_cross() {
    const OUTLINE: f64 = 4.6;
    for assembly in all() {
        for (end, hood) in hoods(&assembly) {
            let routes = routes(&hood);
            // Within the connector they run as without a board.
            let way = towards_the_other(end.id);
            let is_beyond =
                |[a, b]: &[Point; 2]| [a, b].iter().all(|at| (at.y - end.edge(way)) * way.sign() > 0.01);
            for (at, (join, route)) in routes.iter().enumerate() {
                for (other, beside) in &routes[at + 1..] {
                    for [a, b] in route.segments().into_iter().filter(is_beyond) {
                        for [c, d] in beside.segments().into_iter().filter(is_beyond) {
                            let over = |a: f64, b: f64, c: f64, d: f64| {
                                a.max(b).min(c.max(d)) - a.min(b).max(c.min(d))
                            };
                            let are_level = [a.y - b.y, c.y - d.y].iter().all(|high| high.abs() < 0.01);
                            let are_upright = [a.x - b.x, c.x - d.x].iter().all(|wide| wide.abs() < 0.01);
                            let [wide, high] = [over(a.x, b.x, c.x, d.x), over(a.y, b.y, c.y, d.y)];
                            // At a leg that two share they come together.
                            let shares = [join.from, join.to].iter().any(|leg| other.other(*leg).is_some());
                            let is_clear = (!are_level || wide < 0.0 || (a.y - c.y).abs() > OUTLINE)
                                && (!are_upright || high < 0.0 || (a.x - c.x).abs() > OUTLINE || shares);
                            assert!(is_clear, "{join} and {other} of {}", assembly.lead.name);
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn a_wire_that_crosses_under_another_has_a_gap_there() {
    let assembly = stick_to_select();
    let [(_, hood)] = <[_; 1]>::try_from(hoods(&assembly)).unwrap();
    let routes = routes(&hood);
    for (at, (join, route)) in routes.iter().enumerate() {
        for [a, b] in route.segments().into_iter().filter(|[a, b]| (a.x - b.x).abs() < 0.01) {
            for (other, (_, beside)) in routes.iter().enumerate().filter(|(other, _)| *other != at) {
                for [c, d] in beside.segments().into_iter().filter(|[c, d]| (c.y - d.y).abs() < 0.01) {
                    let crosses = (c.x - a.x) * (d.x - a.x) < 0.0 && (a.y - c.y) * (b.y - c.y) < 0.0;
                    assert!(!crosses, "{join} and {}", routes[other].0);
                }
            }
        }
    }
}

#[test]
fn conductors_leave_in_the_order_in_which_they_arrive() {
    let assembly = stick_to_select();
    let plan = Plan::best(&assembly);
    let ranks: Vec<usize> = plan.runs.iter().map(|(_, rank)| *rank).collect();
    assert!(ranks.is_sorted(), "{ranks:?}");
}
