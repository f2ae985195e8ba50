//! Finds the word that was probably meant.

/// Returns the nearest of the known words, if one is near enough to be a slip of the pen.
///
/// ```
/// # use solderside_profile::nearest;
/// assert_eq!(nearest("conector", ["connector", "control"]), Some("connector"));
/// assert_eq!(nearest("colour", ["connector", "control"]), None);
/// ```
pub fn nearest<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let limit = limit(word);
    let near = known.into_iter().map(|known| (distance(word, known, limit), known));
    near.filter(|(distance, _)| *distance <= limit).min().map(|(_, known)| known)
}

/// Returns up to three known words that may be meant: slips of the pen, then those that hold the
/// word as a part.
pub(crate) fn nearest_few<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Vec<&'w str> {
    let limit = limit(word);
    let near = known.into_iter().filter_map(|known| {
        let distance = distance(word, known, limit);
        (distance <= limit || (word.len() >= 3 && known.contains(word))).then_some((distance, known))
    });
    let mut near: Vec<(usize, &str)> = near.collect();
    near.sort_unstable();
    near.into_iter().map(|(_, known)| known).take(3).collect()
}

/// A third of the letters, and always one: more is another word, not a slip.
fn limit(word: &str) -> usize {
    (word.chars().count() / 3).max(1)
}

/// Counts the letters to insert, drop, change or swap with their neighbour (optimal string
/// alignment); case counts for nothing. Words longer than any of ours count as far apart.
fn distance(left: &str, right: &str, limit: usize) -> usize {
    const LONGEST: usize = 64;
    let letters = |word: &str| word.to_lowercase().chars().take(LONGEST + 1).collect::<Vec<_>>();
    let [left, right] = [letters(left), letters(right)];
    if left.len().max(right.len()) > LONGEST {
        return limit + 1;
    }
    let [mut before, mut above]: [Vec<usize>; 2] = [Vec::new(), (0..=right.len()).collect()];
    for (i, a) in left.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in right.iter().enumerate() {
            let mut best = (above[j] + usize::from(a != b)).min(above[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *a == right[j - 1] && left[i - 1] == *b {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut above, row);
    }
    above[right.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_pen_find_their_word() {
        let known = ["connector", "contact", "control", "evidence"];
        assert_eq!(nearest("evidnece", known), Some("evidence"));
        assert_eq!(nearest("Connector", known), Some("connector"));
        assert_eq!(nearest("contcat", known), Some("contact"));
        assert_eq!(nearest("", known), None);
        assert_eq!(nearest("zzzz", known), None);
    }

    #[test]
    fn a_very_long_word_is_near_nothing() {
        assert_eq!(nearest(&"x".repeat(100_000), ["x"]), None);
    }
}
