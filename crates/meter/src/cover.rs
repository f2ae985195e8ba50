//! The fewest columns that cover all rows: exact where that is proved within a budget, else with what is left open.
//!
//! Rows that are covered whenever another is, and columns that cover no more than another, are taken out until nothing
//! changes; a row with one column forces it. What is left is searched, the row with the fewest columns first, cut off
//! by a set of rows no two of which share a column: each needs a column of its own. (All of it is common practice of
//! covering problems; no source.) The budget counts branches and no seconds, so the answer never depends on the machine.

/// A set of small numbers.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Set(Vec<u64>);

impl Set {
    /// An empty set for numbers below a bound.
    pub(crate) fn below(bound: usize) -> Self {
        Self(vec![0; bound.div_ceil(64)])
    }

    pub(crate) fn insert(&mut self, at: usize) {
        self.0[at / 64] |= 1 << (at % 64);
    }

    pub(crate) fn remove(&mut self, at: usize) {
        self.0[at / 64] &= !(1 << (at % 64));
    }

    pub(crate) fn contains(&self, at: usize) -> bool {
        self.0.get(at / 64).is_some_and(|word| word >> (at % 64) & 1 == 1)
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    pub(crate) fn len(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    pub(crate) fn is_within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(own, other)| own & !other == 0)
    }

    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(own, other)| own & other != 0)
    }

    pub(crate) fn add(&mut self, other: &Self) {
        for (own, other) in self.0.iter_mut().zip(&other.0) {
            *own |= other;
        }
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = usize> {
        self.0.iter().enumerate().flat_map(|(word, bits)| {
            (0..64).filter(move |at| bits >> at & 1 == 1).map(move |at| word * 64 + at)
        })
    }
}

/// Columns that cover every row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cover {
    /// The chosen columns, in rising order.
    pub(crate) columns: Vec<usize>,
    /// No cover has fewer.
    pub(crate) at_least: usize,
}

/// How many branches are looked at.
pub(crate) const BRANCHES: usize = 20_000;

/// Covers all rows, each given by the columns that cover it, none of them empty; the columns of `taken` are in any case.
pub(crate) fn cover(rows: &[Set], columns: usize, taken: &[usize], branches: usize) -> Cover {
    let is_covered = |row: &&Set| !taken.iter().any(|column| row.contains(*column));
    let mut chosen = taken.to_vec();
    let problem = Problem { rows: rows.iter().filter(is_covered).cloned().collect(), columns };
    let (forced, kernel) = problem.reduced();
    chosen.extend(&forced);
    let mut at_least = chosen.len();
    for part in kernel.parts() {
        let mut search = Search { best: part.greedy(), branches };
        let least = part.apart();
        let is_proved = search.look(&part, &mut Vec::new());
        at_least += if is_proved { search.best.len() } else { least };
        chosen.extend(search.best);
    }
    chosen.sort_unstable();
    chosen.dedup();
    Cover { columns: chosen, at_least }
}

#[derive(Debug, Clone)]
struct Problem {
    rows: Vec<Set>,
    columns: usize,
}

impl Problem {
    /// The columns that every fewest cover may have, and what is left once they are taken.
    fn reduced(mut self) -> (Vec<usize>, Self) {
        let mut forced = Vec::new();
        loop {
            let before = (self.rows.len(), forced.len(), self.entries());
            self.drop_easy_rows();
            self.drop_weak_columns();
            while let Some(only) =
                self.rows.iter().find(|row| row.len() == 1).and_then(|row| row.iter().next())
            {
                forced.push(only);
                self.rows.retain(|row| !row.contains(only));
            }
            if before == (self.rows.len(), forced.len(), self.entries()) {
                return (forced, self);
            }
        }
    }

    fn entries(&self) -> usize {
        self.rows.iter().map(Set::len).sum()
    }

    /// A row is covered whenever one is whose columns are among its own.
    fn drop_easy_rows(&mut self) {
        self.rows.sort_by_key(Set::len);
        let mut kept: Vec<Set> = Vec::new();
        for row in self.rows.drain(..) {
            if !kept.iter().any(|other| other.is_within(&row)) {
                kept.push(row);
            }
        }
        self.rows = kept;
    }

    /// A column is not needed beside one that covers all that it covers.
    fn drop_weak_columns(&mut self) {
        let mut covered = vec![Set::below(self.rows.len()); self.columns];
        for (at, row) in self.rows.iter().enumerate() {
            for column in row.iter() {
                covered[column].insert(at);
            }
        }
        let mut order: Vec<usize> = (0..self.columns).filter(|at| !covered[*at].is_empty()).collect();
        // Of equals the first stays.
        order.sort_by_key(|at| (std::cmp::Reverse(covered[*at].len()), *at));
        let mut kept: Vec<usize> = Vec::new();
        for column in order {
            let is_weak = kept.iter().any(|other| covered[column].is_within(&covered[*other]));
            if is_weak {
                for row in covered[column].iter() {
                    self.rows[row].remove(column);
                }
            } else {
                kept.push(column);
            }
        }
    }

    /// The rows by what hangs together: a fewest cover is one of each part.
    fn parts(self) -> Vec<Self> {
        let mut parts: Vec<(Set, Vec<Set>)> = Vec::new();
        for row in self.rows {
            let (own, others): (Vec<_>, Vec<_>) =
                parts.into_iter().partition(|(columns, _)| columns.meets(&row));
            let mut columns = row.clone();
            let mut rows = vec![row];
            for (more, of) in own {
                columns.add(&more);
                rows.extend(of);
            }
            parts = others;
            parts.push((columns, rows));
        }
        let columns = self.columns;
        parts.into_iter().map(|(_, rows)| Self { rows, columns }).collect()
    }

    /// How many rows are found no two of which share a column.
    fn apart(&self) -> usize {
        let mut rows: Vec<&Set> = self.rows.iter().collect();
        rows.sort_by_key(|row| row.len());
        let mut used = Set::below(self.columns);
        let mut count = 0;
        for row in rows {
            if !row.meets(&used) {
                used.add(row);
                count += 1;
            }
        }
        count
    }

    /// A cover by the column that covers the most, again and again.
    fn greedy(&self) -> Vec<usize> {
        let mut open: Vec<&Set> = self.rows.iter().collect();
        let mut chosen = Vec::new();
        while !open.is_empty() {
            let mut counts = vec![0_usize; self.columns];
            for column in open.iter().flat_map(|row| row.iter()) {
                counts[column] += 1;
            }
            let best = (0..self.columns).max_by_key(|at| (counts[*at], std::cmp::Reverse(*at)));
            let Some(best) = best.filter(|at| counts[*at] > 0) else { break };
            chosen.push(best);
            open.retain(|row| !row.contains(best));
        }
        chosen
    }

    /// What is left once a column is taken.
    fn without(&self, column: usize) -> Self {
        let rows = self.rows.iter().filter(|row| !row.contains(column)).cloned().collect();
        Self { rows, columns: self.columns }
    }
}

struct Search {
    best: Vec<usize>,
    branches: usize,
}

impl Search {
    /// Looks for a cover with fewer columns than the best. Returns whether everything was looked at.
    fn look(&mut self, problem: &Problem, chosen: &mut Vec<usize>) -> bool {
        let (forced, rest) = problem.clone().reduced();
        let before = chosen.len();
        chosen.extend(forced);
        let is_whole = self.branch(&rest, chosen);
        chosen.truncate(before);
        is_whole
    }

    fn branch(&mut self, rest: &Problem, chosen: &mut Vec<usize>) -> bool {
        let Some(row) = rest.rows.iter().min_by_key(|row| row.len()) else {
            if chosen.len() < self.best.len() {
                self.best.clone_from(chosen);
            }
            return true;
        };
        if chosen.len() + rest.apart() >= self.best.len() {
            return true;
        }
        let mut is_whole = true;
        for column in row.iter() {
            let Some(left) = self.branches.checked_sub(1) else { return false };
            self.branches = left;
            chosen.push(column);
            is_whole &= self.look(&rest.without(column), chosen);
            chosen.pop();
        }
        is_whole
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn rows(columns: usize, of: &[Vec<usize>]) -> Vec<Set> {
        of.iter()
            .map(|own| {
                let mut row = Set::below(columns);
                for column in own {
                    row.insert(*column);
                }
                row
            })
            .collect()
    }

    /// The size of a fewest cover, by trying every choice of columns.
    fn fewest(rows: &[Set], columns: usize) -> usize {
        let covers = |choice: u32| rows.iter().all(|row| row.iter().any(|column| choice >> column & 1 == 1));
        (0..1_u32 << columns).filter(|choice| covers(*choice)).map(u32::count_ones).min().unwrap() as usize
    }

    #[test]
    fn a_ring_of_five_needs_three() {
        // Each row is covered by two neighbours of a ring: no column is forced, none is weaker than another.
        let ring: Vec<Vec<usize>> = (0..5).map(|at| vec![at, (at + 1) % 5]).collect();
        let found = cover(&rows(5, &ring), 5, &[], BRANCHES);
        assert_eq!((found.columns.len(), found.at_least), (3, 3));
    }

    #[test]
    fn without_branches_the_gap_is_told() {
        let ring: Vec<Vec<usize>> = (0..5).map(|at| vec![at, (at + 1) % 5]).collect();
        let found = cover(&rows(5, &ring), 5, &[], 0);
        assert_eq!((found.columns.len(), found.at_least), (3, 2));
    }

    proptest! {
        #[test]
        fn no_cover_has_fewer_columns(of in prop::collection::vec(prop::collection::btree_set(0_usize..10, 1..5), 0..14)) {
            let of: Vec<Vec<usize>> = of.into_iter().map(|own| own.into_iter().collect()).collect();
            let rows = rows(10, &of);
            let found = cover(&rows, 10, &[], BRANCHES);
            prop_assert!(rows.iter().all(|row| found.columns.iter().any(|column| row.contains(*column))));
            prop_assert_eq!(found.columns.len(), fewest(&rows, 10));
            prop_assert_eq!(found.at_least, found.columns.len());
        }

        #[test]
        fn a_gap_is_never_understated(
            of in prop::collection::vec(prop::collection::btree_set(0_usize..10, 1..5), 0..14),
            branches in 0_usize..6,
        ) {
            let of: Vec<Vec<usize>> = of.into_iter().map(|own| own.into_iter().collect()).collect();
            let rows = rows(10, &of);
            let found = cover(&rows, 10, &[], branches);
            prop_assert!(rows.iter().all(|row| found.columns.iter().any(|column| row.contains(*column))));
            prop_assert!(found.at_least <= fewest(&rows, 10));
        }
    }
}
