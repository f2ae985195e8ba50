//! Crossings: how many an order costs, and in which layers neighbouring lanes change places.

/// How many pairs of an order stand the wrong way round: no drawing has fewer crossings.
pub(crate) fn inversions(ranks: &[usize]) -> usize {
    let behind = |at: usize| ranks.iter().skip(at + 1);
    ranks.iter().enumerate().map(|(at, rank)| behind(at).filter(|other| *other < rank).count()).sum()
}

/// Sorts ranks by swapping neighbours, as many at a time as stand free: the order before the first
/// layer, and after each. Each pair is swapped once at most, so the swaps are the inversions.
pub(crate) fn layers(ranks: &[usize]) -> Vec<Vec<usize>> {
    let mut order = ranks.to_vec();
    let mut found = vec![order.clone()];
    while !order.is_sorted() {
        let mut at = 0;
        while at + 1 < order.len() {
            if order[at] > order[at + 1] {
                order.swap(at, at + 1);
                at += 1;
            }
            at += 1;
        }
        found.push(order.clone());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn permutations(length: usize) -> Vec<Vec<usize>> {
        let mut found = vec![Vec::new()];
        for next in 0..length {
            let insert = |order: Vec<usize>| {
                (0..=order.len()).map(move |at| {
                    let mut longer = order.clone();
                    longer.insert(at, next);
                    longer
                })
            };
            found = found.into_iter().flat_map(insert).collect();
        }
        found
    }

    #[test]
    fn layers_swap_neighbours_only_and_as_often_as_there_are_inversions() {
        for ranks in permutations(6) {
            let layers = layers(&ranks);
            let mut swaps = 0;
            for pair in layers.windows(2) {
                let moved: Vec<usize> = (0..6).filter(|at| pair[0][*at] != pair[1][*at]).collect();
                assert!(moved.chunks(2).all(|two| two[1] == two[0] + 1), "{ranks:?}");
                swaps += moved.len() / 2;
            }
            assert_eq!(swaps, inversions(&ranks), "{ranks:?}");
        }
    }

    #[test]
    fn an_order_that_stands_needs_no_layer() {
        assert_eq!(layers(&[0, 1, 2]).len(), 1);
        assert_eq!(layers(&[]).len(), 1);
    }
}
