//! The currents of diodes and outputs in neighbouring states of a sweep.
//!
//! A *bend* is the part of an element that no straight line describes. Seen from the bends, the rest of
//! the network is their open-circuit voltages `u` and a matrix `Z` of resistances, a row and a column a bend,
//! both read off the rows that the sweep keeps anyway. What is left to solve is
//!
//! ```text
//! w = u − Z q(w),        w: the voltage across each bend, q: its current
//! ```
//!
//! by Newton's method, for a handful of unknowns however many nodes there are. The states that differ in the last
//! few switches take each step together, lane by lane, until the last of them has arrived.
//!
//! **Where they start.** A state differs in one switch from the state before it closed, and in another from one
//! that lacks an earlier switch. Each bend starts where the switch that moved it more has put it.
//!
//! **When they have arrived.** At the end of a step the linear network with the tangents in place of the
//! bends is solved exactly, and the only error is what the laws differ from their tangents there. What that leaves
//! a node's voltage wrong by is bounded bend by bend ([`Bend::error`]). The sum is brought below [`NEAR`].
//!
//! What does not arrive in [`ROUNDS`] steps is left to the slow way.

use super::balance::Balance;
use super::bend::{Bend, Point, Seen};
use super::lanes::{HELD, Lanes};
use super::ports::Ports;
use super::{Closing, Row, Unswept, across, less};
use crate::network::{ElementId, Network};

/// The largest error of a node's voltage, in volts, by the bound above.
const NEAR: f64 = 1e-7;

/// The most steps for one state.
const ROUNDS: usize = 16;

/// Solves state after state of a network with bends, and keeps the room that it takes.
pub(super) struct Bent<'n> {
    network: &'n Network,
    switches: &'n [ElementId],
    bends: Vec<Bend>,
    /// Where the bends stood in the states that later ones start from: see [`Bent::place`].
    met: Vec<Lanes>,
    at: Vec<Lanes>,
    points: Vec<Point>,
    seen: Vec<Seen>,
    amps: Vec<Lanes>,
    ports: Ports,
    balance: Balance,
}

impl<'n> Bent<'n> {
    pub(super) fn new(network: &'n Network, switches: &'n [ElementId], bends: Vec<Bend>) -> Self {
        let (size, places) = (bends.len(), switches.len() - HELD + 1);
        Self {
            network,
            switches,
            met: vec![Lanes::ZERO; places * places * size],
            at: bends.iter().map(Bend::rest).collect(),
            points: vec![Point::NONE; size],
            seen: vec![Seen::NOTHING; size],
            amps: vec![Lanes::ZERO; size],
            ports: Ports::new(size),
            balance: Balance::new(size),
            bends,
        }
    }

    /// Visits the states that close some of the last switches on top of a state of the upper ones.
    pub(super) fn settle<const N: usize>(
        &mut self,
        upper: u64,
        last: &[Closing; HELD],
        volts: &Row<N>,
        responses: &[Row<N>],
        visit: &mut impl FnMut(u64, &[f64]),
    ) -> Result<(), Unswept> {
        self.ports.look(last, &self.bends, volts, responses);
        self.start(upper);
        let error = self.arrive(upper << HELD);
        let in_contacts = self.ports.contact_amps(&self.amps);
        let (by_contact, by_bend) = responses.split_at(HELD);
        for lane in 0..1 << HELD {
            let state = upper << HELD | lane as u64;
            if error.lane(lane) <= NEAR {
                let mut settled = *volts;
                for (t, (response, amps)) in by_contact.iter().zip(&in_contacts).enumerate() {
                    if lane >> (HELD - 1 - t) & 1 == 1 {
                        settled = less(&settled, response, amps.lane(lane));
                    }
                }
                for (response, amps) in by_bend.iter().zip(&self.amps) {
                    settled = less(&settled, response, amps.lane(lane));
                }
                visit(state, &settled);
            } else {
                let settled: Row<N> = self.network.settled(self.switches, state)?;
                for (at, bend) in self.at.iter_mut().zip(&self.bends) {
                    at.set(lane, bend.stand(across(bend.a, bend.b, &settled)));
                }
                visit(state, &settled);
            }
        }
        let place = self.place(upper);
        self.met[place..place + self.at.len()].copy_from_slice(&self.at);
        Ok(())
    }

    /// Where the bends of a state are kept: by the last two switches closed. What was kept there before belongs
    /// to states that all come earlier than those that start from this one.
    fn place(&self, upper: u64) -> usize {
        let open = self.switches.len() - HELD;
        let last = |state: u64| if state == 0 { open } else { state.trailing_zeros() as usize };
        (last(before(upper)) * (open + 1) + last(upper)) * self.bends.len()
    }

    /// Puts each bend where the one of the last two switches closed that moved it more has put it. In the first
    /// states they rest.
    fn start(&mut self, upper: u64) {
        if upper == 0 {
            return;
        }
        let one = before(upper);
        let neither = before(one);
        // There is no other while but one is closed.
        let other = if one == 0 { one } else { neither | (upper ^ one) };
        let [one, neither, other] = [one, neither, other].map(|state| self.place(state));
        for (k, at) in self.at.iter_mut().enumerate() {
            let [one, neither, other] = [one, neither, other].map(|place| self.met[place + k]);
            let moved = |by: Lanes| (by - neither).abs();
            *at = moved(other).above(moved(one)).pick(other, one);
        }
    }

    /// Brings the bends to where they belong, and says how far off any node still is.
    fn arrive(&mut self, state: u64) -> Lanes {
        let mut error = Lanes::ZERO;
        for _ in 0..ROUNDS {
            for ((bend, at), point) in self.bends.iter().zip(&self.at).zip(&mut self.points) {
                bend.touch(at, state, point);
            }
            self.balance.find(&self.ports, &self.points, &mut self.amps, &mut self.seen);
            error = Lanes::ZERO;
            for (k, bend) in self.bends.iter().enumerate() {
                error = error + bend.error(&self.at[k], &self.points[k], &self.seen[k], state);
            }
            if error.within(Lanes::all(NEAR)).holds_for_all() {
                break;
            }
            for (k, bend) in self.bends.iter().enumerate() {
                bend.go_on(&mut self.at[k], &self.points[k], &self.seen[k]);
            }
        }
        error
    }
}

/// The state before its last switch was closed.
fn before(state: u64) -> u64 {
    state & state.wrapping_sub(1)
}
