//! Edit distance.

/// Returns the least number of insertions, deletions and substitutions that turn one sequence into
/// the other (Levenshtein 1966), by the two-row dynamic programme of Wagner and Fischer (1974).
pub(super) fn edits<T: PartialEq>(a: &[T], b: &[T]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, left) in a.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, right) in b.iter().enumerate() {
            let substituted = diagonal + usize::from(left != right);
            diagonal = row[j + 1];
            row[j + 1] = substituted.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edits_agree_with_published_examples() {
        // Worked examples of the literature: kitten/sitting and sunday/saturday, both 3 (the
        // Levenshtein distance article of the English Wikipedia), intention/execution 5 (Jurafsky
        // and Martin, Speech and Language Processing, chapter 2, with unit costs).
        let table = [
            ("kitten", "sitting", 3),
            ("sunday", "saturday", 3),
            ("intention", "execution", 5),
            ("", "abc", 3),
            ("abc", "", 3),
            ("same", "same", 0),
        ];
        for (a, b, expected) in table {
            assert_eq!(edits(a.as_bytes(), b.as_bytes()), expected, "{a} {b}");
        }
    }
}
