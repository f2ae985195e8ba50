//! The largest choice of new places for conductors, each at most once and none for nothing.
//!
//! Two rules bind the choice: of each conductor at most one candidate, and no ring among the candidates
//! chosen. Each rule alone is a matroid, so the largest choice that keeps both is found by augmenting along
//! shortest paths in the exchange graph, and among the largest choices the dearest one when the paths are the
//! cheapest first and the fewest steps second (A. Schrijver, *Combinatorial Optimization*, 2003, sections 41.2
//! and 41.3, from memory).

/// One way to place a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Candidate {
    /// Which conductor.
    pub conductor: usize,
    /// The two groups of legs that it would make one.
    pub between: [usize; 2],
    /// Whether it is rather chosen than another.
    pub preferred: bool,
}

/// How a candidate is reached in the exchange graph.
#[derive(Debug, Clone, Copy)]
struct Reached {
    /// The preferred candidates that are lost on the way less those that are won, then the steps.
    cost: (i32, usize),
    from: Option<usize>,
}

/// Returns which candidates make a largest choice, and of those one with the most that are preferred; `groups`
/// is above every group's number.
pub(super) fn largest(candidates: &[Candidate], groups: usize) -> Vec<usize> {
    let mut chosen = vec![false; candidates.len()];
    while let Some(path) = exchange(candidates, &chosen, groups) {
        for at in path {
            chosen[at] = !chosen[at];
        }
    }
    (0..candidates.len()).filter(|at| chosen[*at]).collect()
}

/// Finds what to choose and what to give up so that one more is chosen.
fn exchange(candidates: &[Candidate], chosen: &[bool], groups: usize) -> Option<Vec<usize>> {
    let all = || (0..candidates.len()).zip(candidates);
    let used = |conductor: usize| all().any(|(at, other)| chosen[at] && other.conductor == conductor);
    let in_choice: Vec<usize> = all().map(|(at, _)| at).filter(|at| chosen[*at]).collect();
    let others: Vec<(usize, bool)> =
        all().filter(|(at, _)| !chosen[*at]).map(|(at, own)| (at, !used(own.conductor))).collect();
    let price = |at: usize| match (candidates[at].preferred, chosen[at]) {
        (false, _) => 0,
        (true, true) => 1,
        (true, false) => -1,
    };
    let mut reached: Vec<Option<Reached>> = vec![None; candidates.len()];
    for (at, _) in others.iter().filter(|(_, free)| *free) {
        reached[*at] = Some(Reached { cost: (price(*at), 0), from: None });
    }
    // The groups that are still one when one of the choice is given up.
    let without: Vec<Vec<usize>> =
        in_choice.iter().map(|out| connected(candidates, groups, |at| chosen[at] && at != *out)).collect();
    let mut changed = true;
    while changed {
        changed = false;
        let mut step = |from: usize, to: usize| {
            let Some(Reached { cost: (lost, steps), .. }) = reached[from] else { return };
            let cost = (lost + price(to), steps + 1);
            if reached[to].is_none_or(|reached| cost < reached.cost) {
                reached[to] = Some(Reached { cost, from: Some(from) });
                changed = true;
            }
        };
        for (out, groups) in in_choice.iter().zip(&without) {
            for (at, free) in &others {
                let Candidate { conductor, between: [a, b], .. } = candidates[*at];
                if groups[a] != groups[b] {
                    step(*at, *out);
                }
                if *free || conductor == candidates[*out].conductor {
                    step(*out, *at);
                }
            }
        }
    }
    let groups = connected(candidates, groups, |at| chosen[at]);
    let apart = |at: usize| {
        let [a, b] = candidates[at].between;
        groups[a] != groups[b]
    };
    let last = others.iter().map(|(at, _)| *at).filter(|at| apart(*at));
    let last = last.filter_map(|at| Some((reached[at]?.cost, at))).min()?.1;
    let mut path = vec![last];
    let mut at = last;
    while let Some(Reached { from: Some(from), .. }) = reached[at] {
        path.push(from);
        at = from;
    }
    Some(path)
}

/// For each group the least of those that some candidates make one with it.
fn connected(candidates: &[Candidate], groups: usize, among: impl Fn(usize) -> bool) -> Vec<usize> {
    let mut one: Vec<usize> = (0..groups).collect();
    for (at, candidate) in candidates.iter().enumerate() {
        if among(at) {
            let [a, b] = candidate.between.map(|group| one[group]);
            for group in one.iter_mut().filter(|group| **group == a.max(b)) {
                *group = a.min(b);
            }
        }
    }
    one
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const GROUPS: usize = 5;

    fn is_choice(candidates: &[Candidate]) -> bool {
        let mut one: Vec<usize> = (0..GROUPS).collect();
        (0..candidates.len()).all(|at| {
            let [a, b] = candidates[at].between.map(|group| one[group]);
            for group in one.iter_mut().filter(|group| **group == a) {
                *group = b;
            }
            a != b && candidates[..at].iter().all(|other| other.conductor != candidates[at].conductor)
        })
    }

    fn worth(candidates: &[Candidate]) -> (usize, usize) {
        (candidates.len(), candidates.iter().filter(|candidate| candidate.preferred).count())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        #[test]
        fn no_choice_is_larger_and_none_as_large_has_more_that_are_preferred(
            candidates in prop::collection::vec((0..4usize, 0..GROUPS, 0..GROUPS, any::<bool>()), 0..11)
        ) {
            let candidates: Vec<Candidate> = (candidates.into_iter())
                .map(|(conductor, a, b, preferred)| Candidate { conductor, between: [a, b], preferred })
                .collect();
            let found = largest(&candidates, GROUPS).into_iter().map(|at| candidates[at]).collect::<Vec<_>>();
            prop_assert!(is_choice(&found));
            let every = (0..1_u32 << candidates.len()).map(|bits| -> Vec<Candidate> {
                let own = |at: &usize| bits & (1 << at) != 0;
                (0..candidates.len()).filter(own).map(|at| candidates[at]).collect()
            });
            let best = every.filter(|some| is_choice(some)).map(|some| worth(&some)).max();
            prop_assert_eq!(Some(worth(&found)), best);
        }
    }
}
