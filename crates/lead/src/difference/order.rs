//! An order of the moves in which no cup is crowded and nothing is made one on the way that is not one before
//! or after.
//!
//! What is only taken out goes first. A conductor is soldered when nothing that has yet to leave is fastened to
//! its new net. Where each waits for another, one of them is taken off and left free: then it is in nobody's way.

use std::collections::BTreeSet;

use super::nets::Nets;
use super::rewire::{Moved, Rewiring};
use crate::lead::{EndId, Join, Leg};

/// One thing to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Take a conductor out.
    Remove(Join),
    /// Take the connector of an end off, or fit one, or both.
    Refit(EndId),
    /// Take a conductor off where it will move, and leave it free.
    Free(Conductor),
    /// Solder a conductor to where it belongs, taking it off first where it is still fastened.
    Move(Conductor),
    /// Put a conductor in.
    Add(Join),
}

/// A conductor that moves: its two ends.
pub type Conductor = [ConductorEnd; 2];

/// What becomes of one end of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ConductorEnd {
    /// Where it is before all moves.
    pub from: Leg,
    /// Where it is after them.
    pub to: Leg,
    /// What is done with it in this step.
    pub touch: Touch,
}

/// What a step does with one end of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touch {
    /// Nothing.
    Stays,
    /// It is fastened and is taken off; in a move it is then soldered elsewhere.
    Taken,
    /// It is free already and is soldered.
    Soldered,
}

/// A move that waits for its turn.
#[derive(Debug, Clone, Copy)]
struct Waiting {
    /// A new conductor is fastened nowhere before.
    moved: Moved,
    is_new: bool,
    /// Whether each end will move.
    anew: [bool; 2],
    /// Whether each end is still where it was.
    fastened: [bool; 2],
}

impl Waiting {
    /// The legs where it stands in the way: while it is whole it makes both of them one.
    fn in_the_way(&self) -> impl Iterator<Item = Leg> {
        let whole = self.fastened == [true; 2];
        let ends = (0..2).filter(move |end| self.fastened[*end] && (whole || self.anew[*end]));
        ends.map(|end| self.moved.from[end])
    }

    fn free(&mut self) {
        for (fastened, anew) in self.fastened.iter_mut().zip(self.anew) {
            *fastened &= !anew;
        }
    }

    fn act(&self) -> Act {
        if self.is_new { Act::Add(self.moved.join()) } else { Act::Move(self.conductor(Touch::Soldered)) }
    }

    fn conductor(&self, free: Touch) -> Conductor {
        [0, 1].map(|end: usize| {
            let touch = match (self.anew[end], self.fastened[end]) {
                (false, _) => Touch::Stays,
                (true, true) => Touch::Taken,
                (true, false) => free,
            };
            ConductorEnd { from: self.moved.from[end], to: self.moved.to[end], touch }
        })
    }
}

/// Orders what a rewiring does.
pub(super) fn acts(rewiring: &Rewiring, nets: &Nets, refitted: &BTreeSet<EndId>) -> Vec<Act> {
    let mut acts: Vec<Act> = rewiring.removed.iter().copied().map(Act::Remove).collect();
    acts.extend(refitted.iter().copied().map(Act::Refit));
    let fastened = |leg: Leg| !refitted.contains(&leg.end);
    let moved = rewiring.moved.iter().map(|moved| Waiting {
        moved: *moved,
        is_new: false,
        anew: moved.anew(refitted),
        fastened: moved.from.map(fastened),
    });
    let added = rewiring.added.iter().map(|join| {
        let legs = [join.from, join.to];
        let moved = Moved { from: legs, to: legs };
        Waiting { moved, is_new: true, anew: [true; 2], fastened: [false; 2] }
    });
    let mut waiting: Vec<Waiting> = moved.chain(added).collect();
    waiting.sort_by_key(|waiting| waiting.moved.join());
    let mut done = Nets::of(&rewiring.stays);
    let mut last: Option<Leg> = None;
    while !waiting.is_empty() {
        // Net by net, as far as the order allows.
        let elsewhere = |at: &usize| !last.is_some_and(|last| nets.are_one(last, waiting[*at].moved.to[0]));
        let ready = (0..waiting.len()).filter(|at| is_ready(&waiting, *at, &done));
        if let Some(at) = ready.min_by_key(elsewhere) {
            let next = waiting.remove(at);
            done.join(next.moved.join());
            last = Some(next.moved.to[0]);
            acts.push(next.act());
        } else if let Some(at) = blocker(&waiting, &done) {
            acts.push(Act::Free(waiting[at].conductor(Touch::Stays)));
            waiting[at].free();
        }
    }
    acts
}

/// Whether nothing stands in the way of a move.
fn is_ready(waiting: &[Waiting], at: usize, done: &Nets) -> bool {
    let others = waiting.iter().enumerate().filter(|(other, _)| *other != at);
    let mut in_the_way = others.flat_map(|(_, other)| other.in_the_way());
    !in_the_way.any(|leg| waiting[at].moved.to.iter().any(|to| done.are_one(leg, *to)))
}

/// The first conductor to free so that another can move; where none alone will do, the first in the way.
fn blocker(waiting: &[Waiting], done: &Nets) -> Option<usize> {
    let in_the_way = |at: &usize| waiting[*at].in_the_way().next().is_some();
    let makes_way = |at: &usize| {
        let mut then = waiting.to_vec();
        then[*at].free();
        (0..then.len()).any(|other| is_ready(&then, other, done))
    };
    let blockers = || (0..waiting.len()).filter(in_the_way);
    blockers().find(makes_way).or_else(|| blockers().next())
}
