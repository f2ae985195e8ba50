//! Where the names of the parts stand on the solder side: near their part, and where no wire, no joint and no other name
//! lies, as far as there is such a place.

use super::bodies::{MARKED, NUMBER, radius, room};
use super::{Frame, PITCH, Spot};
use crate::drawing::width;
use crate::words::part_name;

/// From one place that is tried to the next.
const STEP: f64 = PITCH / 4.0;
/// So far from its part a name may stand.
const REACH: f64 = PITCH * 0.75;
/// What a place costs for each point of a wire under the name; for each joint there or other name, which hide more.
const OVER_WIRE: f64 = 4.0;
const OVER_JOINT: f64 = 100.0;
/// For each unit that it is away from the room of its part, and for standing in the room of another one.
const AWAY: f64 = 1.5;
const ASTRAY: f64 = 12.0;
/// From one point of a wire to the next that is looked at.
const POINT: f64 = 3.0;

/// Left, top, right, bottom.
type Room = [f64; 4];

/// The place of each seat's name, in the order of the seats.
pub(super) fn places(frame: &Frame<'_>) -> Vec<Spot> {
    let wires = points(frame);
    let seats = &frame.plan.seats;
    let joints = seats.iter().flat_map(|seat| {
        seat.legs.iter().map(|(contact, hole)| (frame.spot(*hole), radius(seat, *contact) + 0.5))
    });
    let entries = frame.plan.entries.iter().map(|entry| (frame.spot(entry.hole), MARKED));
    let joints: Vec<(Spot, f64)> = joints.chain(entries).collect();
    let rooms: Vec<Room> = seats.iter().map(|seat| room(frame, seat)).collect();
    let mut taken: Vec<Room> = Vec::new();
    let mut places = Vec::new();
    for (at, seat) in seats.iter().enumerate() {
        let half = [width(&part_name(seat.part.id()), NUMBER, true) / 2.0 + 1.5, NUMBER / 2.0 + 0.5];
        let own = rooms[at];
        let cost = |spot: &Spot| {
            let plate = plate(*spot, half);
            let over_wires = wires.iter().filter(|(wire, reach)| is_within(*wire, plate, *reach)).count();
            let over_joints = joints.iter().filter(|(joint, reach)| is_within(*joint, plate, *reach)).count();
            let over_names = taken.iter().filter(|other| overlap(**other, plate)).count();
            let others = rooms.iter().enumerate().filter(|(other, _)| *other != at);
            let astray = others.filter(|(_, room)| is_within(*spot, **room, 0.0)).count();
            OVER_WIRE * super::units(over_wires)
                + OVER_JOINT * super::units(over_joints + over_names)
                + ASTRAY * super::units(astray)
                + AWAY * away(*spot, own)
        };
        let best = tried(frame, own, half).min_by(|one, other| cost(one).total_cmp(&cost(other)));
        let best = best.unwrap_or_else(|| middle(own));
        taken.push(plate(best, half));
        places.push(best);
    }
    places
}

/// The places that are tried, those in the middle of the part first.
fn tried(frame: &Frame<'_>, own: Room, half: [f64; 2]) -> impl Iterator<Item = Spot> {
    let centre = middle(own);
    let [left, top, right, bottom] = frame.edges();
    let steps = |low: f64, high: f64| {
        let steps = (0_u16..).map(|at| STEP * f64::from(at)).take_while(move |aside| *aside <= high - low);
        let both = steps.flat_map(|aside| [aside, -aside]).collect::<Vec<f64>>();
        both.into_iter().filter(move |aside| aside.abs() <= (high - low) / 2.0)
    };
    let across: Vec<f64> = steps(own[0] - REACH - half[0], own[2] + REACH + half[0]).collect();
    let down = steps(own[1] - REACH, own[3] + REACH);
    let all: Vec<Spot> = down
        .flat_map(|dy| across.iter().map(move |dx| Spot { x: centre.x + dx, y: centre.y + dy }))
        .filter(|spot| {
            spot.x - half[0] > left
                && spot.x + half[0] < right
                && spot.y - half[1] > top
                && spot.y + half[1] < bottom
        })
        .collect();
    all.into_iter()
}

/// Points along all wires, each with half the width of its wire.
fn points(frame: &Frame<'_>) -> Vec<(Spot, f64)> {
    let mut points = Vec::new();
    for wire in &frame.plan.wires {
        let reach = if wire.insulated { 4.5 } else { 2.5 };
        for pair in wire.corners.windows(2) {
            let [from, to] = [pair[0], pair[1]].map(|hole| frame.spot(hole));
            let long = (to.x - from.x).hypot(to.y - from.y);
            let on = (0_u16..).map(|at| POINT * f64::from(at)).take_while(|on| *on <= long);
            points.extend(on.map(|on| {
                let share = on / long.max(POINT);
                (Spot { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) }, reach)
            }));
        }
    }
    points
}

fn middle([left, top, right, bottom]: Room) -> Spot {
    Spot { x: f64::midpoint(left, right), y: f64::midpoint(top, bottom) }
}

fn plate(Spot { x, y }: Spot, [wide, high]: [f64; 2]) -> Room {
    [x - wide, y - high, x + wide, y + high]
}

fn is_within(Spot { x, y }: Spot, [left, top, right, bottom]: Room, reach: f64) -> bool {
    x > left - reach && x < right + reach && y > top - reach && y < bottom + reach
}

fn overlap(one: Room, other: Room) -> bool {
    one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]
}

/// How far a place is from a room; nothing within it.
fn away(Spot { x, y }: Spot, [left, top, right, bottom]: Room) -> f64 {
    let aside = (left - x).max(x - right).max(0.0);
    let above = (top - y).max(y - bottom).max(0.0);
    aside.hypot(above)
}
