//! The smallest set of moves that turns one lead's nets into another's.
//!
//! What counts is nets: any conductors that make the same legs one are as good. A move takes one end of a
//! conductor from its cup to another of the same end of the lead, or removes a conductor, or adds one. A
//! conductor does not go from one end of the lead to the other: it is a core of the cable or a jumper.
//!
//! That no set of moves is smaller: call a conductor *right* when both of its legs are in one net of the second
//! lead, and keep those. Let `r` be the joins that the nets still need when each group of legs that the right
//! conductors make one counts as one leg, and `w` the conductors that are not right. Each of the `w` costs a
//! move at least, for it cannot stay. One that moves one end can serve only a net that its other end is in. Let
//! `m` be the most of the `r` that can be served so, each by its own conductor: that is the choice of `forest`.
//! Now take any set of moves. Its new joins must make the groups one, so `r` of them do so without a ring. Of
//! these at most `m` are conductors of the `w` with one end moved. Each of the other `r - m` or more is an
//! added conductor, a second move of one of the `w`, or a move of a right one: one move more each, beyond one
//! for each of the `w`. So every set has at least `w + r - m` moves, and the one made here has that many.
//!
//! Where an end gets another connector, or a part gives way to another, all of its joints are made anew: a
//! conductor there is not right, and the end that serves it with one move is that one. The argument stays the
//! same. What was fastened to a part that goes into another hood does not reach it there: it is taken out.

use std::collections::BTreeSet;

use super::forest::{Candidate, largest};
use super::nets::Nets;
use crate::lead::{EndId, Join, Leg};

/// What becomes of the conductors.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Rewiring {
    /// Those that stay, in rising order.
    pub stays: Vec<Join>,
    /// Those that are taken out.
    pub removed: Vec<Join>,
    /// Those that are soldered elsewhere.
    pub moved: Vec<Moved>,
    /// Those that are new.
    pub added: Vec<Join>,
}

/// A conductor that is soldered elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Moved {
    /// The legs of its two ends before.
    pub from: [Leg; 2],
    /// The legs of the same ends after.
    pub to: [Leg; 2],
}

impl Moved {
    /// Which of its ends are soldered anew.
    pub fn anew(&self, refitted: &BTreeSet<EndId>) -> [bool; 2] {
        let [one, other] = [0, 1].map(|at: usize| (self.from[at], self.to[at]));
        [one, other].map(|(from, to)| from != to || refitted.contains(&from.end))
    }

    /// The join that it becomes.
    pub fn join(&self) -> Join {
        let [a, b] = self.to;
        Join::new(a, b)
    }
}

impl Rewiring {
    /// Finds a smallest set of moves from some joins to the nets of others. The ends in `refitted` get another
    /// connector, are there in one of the leads only, or are parts that give way to others; those of the parts in
    /// `rehoused` sit in another hood.
    pub fn smallest(
        before: &[Join],
        after: &[Join],
        refitted: &BTreeSet<EndId>,
        rehoused: &BTreeSet<EndId>,
    ) -> Self {
        let nets = Nets::of(after);
        let touched = |join: &Join| [join.from, join.to].map(|leg| refitted.contains(&leg.end));
        let is_out_of_reach =
            |join: &Join| [join.from, join.to].iter().any(|leg| rehoused.contains(&leg.end));
        let is_right = |join: &&Join| nets.are_one(join.from, join.to) && touched(join) == [false; 2];
        let (stays, wrong): (Vec<&Join>, Vec<&Join>) = before.iter().partition(is_right);
        let mut groups = Nets::of(stays.iter().copied());
        let legs: BTreeSet<Leg> = after.iter().flat_map(|join| [join.from, join.to]).collect();
        for leg in legs.iter().chain(wrong.iter().flat_map(|join| [&join.from, &join.to])) {
            groups.number(*leg);
        }

        let mut places = Vec::new();
        let mut candidates = Vec::new();
        for (conductor, join) in wrong.iter().enumerate() {
            if is_out_of_reach(join) {
                continue;
            }
            let from = [join.from, join.to];
            for end in 0..2 {
                let (anchor, leaving) = (from[1 - end], from[end]);
                // The end that stays must be one that may, and the one that moves one that must.
                let [anchored, loose] = [touched(join)[1 - end], touched(join)[end]];
                if anchored || (!loose && touched(join) != [false; 2]) {
                    continue;
                }
                for to in legs.iter().filter(|to| to.end == leaving.end && nets.are_one(anchor, **to)) {
                    let between = [groups.number(anchor), groups.number(*to)];
                    let preferred = after.contains(&Join::new(anchor, *to));
                    if between[0] != between[1] {
                        let mut moved = from;
                        moved[end] = *to;
                        candidates.push(Candidate { conductor, between, preferred });
                        places.push(Moved { from, to: moved });
                    }
                }
            }
        }
        let mut rewiring = Self { stays: stays.into_iter().copied().collect(), ..Self::default() };
        let mut left: Vec<Option<Join>> = wrong.into_iter().copied().map(Some).collect();
        for chosen in largest(&candidates, groups.legs()) {
            groups.join(places[chosen].join());
            rewiring.moved.push(places[chosen]);
            left[candidates[chosen].conductor] = None;
        }
        for join in after {
            if groups.join(*join) {
                // A conductor that goes anyway is moved at both ends, so that the cable's cores suffice.
                let spares = left.iter().enumerate();
                let spares = spares.filter_map(|(at, spare)| {
                    let spare = spare.filter(|spare| !is_out_of_reach(spare))?;
                    Some((at, carried(spare, *join)?))
                });
                match spares.min_by_key(|(_, moved)| moved.from != moved.to) {
                    Some((at, moved)) => {
                        rewiring.moved.push(moved);
                        left[at] = None;
                    }
                    None => rewiring.added.push(*join),
                }
            }
        }
        rewiring.removed = left.into_iter().flatten().collect();
        rewiring
    }

    /// The joins of the lead that it comes to, in rising order.
    pub fn joins(&self) -> Vec<Join> {
        let kept = self.stays.iter().chain(&self.added).copied();
        let mut joins: Vec<Join> = kept.chain(self.moved.iter().map(Moved::join)).collect();
        joins.sort_unstable();
        joins
    }

    /// How many moves it is, without those of connectors.
    pub fn moves(&self, refitted: &BTreeSet<EndId>) -> usize {
        let soldered = self.moved.iter().flat_map(|moved| moved.anew(refitted)).filter(|anew| *anew).count();
        self.removed.len() + self.added.len() + soldered
    }
}

/// A conductor with both of its ends moved, if it runs between the same ends of the lead.
fn carried(join: Join, to: Join) -> Option<Moved> {
    let from = [join.from, join.to];
    let ends = |legs: [Leg; 2]| legs.map(|leg| leg.end);
    let ways = [[to.from, to.to], [to.to, to.from]];
    ways.into_iter().find(|way| ends(*way) == ends(from)).map(|to| Moved { from, to })
}
