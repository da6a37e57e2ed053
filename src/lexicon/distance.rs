//! Edit distance.

/// Returns the least number of insertions, deletions and substitutions that turn one sequence into
/// the other (Levenshtein 1966), by the two-row dynamic programme of Wagner and Fischer (1974).
pub(super) fn edits<T: PartialEq>(a: &[T], b: &[T]) -> usize {
    edits_within(a, b, a.len().max(b.len())).unwrap_or(usize::MAX)
}

/// Returns the same where it is at most `most`, else `None`, looking only at the band of the table
/// that such a distance can pass through (Ukkonen 1985).
pub(super) fn edits_within<T: PartialEq>(a: &[T], b: &[T], most: usize) -> Option<usize> {
    if a.len().abs_diff(b.len()) > most {
        return None;
    }
    // Anything beyond `most` is as good as this; it cannot overflow when added to.
    let far = most + 1;
    let mut row: Vec<usize> = (0..=b.len()).map(|cost| cost.min(far)).collect();
    for (i, left) in a.iter().enumerate() {
        let first = (i + 1).saturating_sub(most);
        let last = (i + 1 + most).min(b.len());
        let mut diagonal = row[first.saturating_sub(1)];
        row[first.saturating_sub(1)] = if first <= 1 { (i + 1).min(far) } else { far };
        let mut least = row[first.saturating_sub(1)];
        for j in first.max(1)..=last {
            let above = if j == i + 1 + most { far } else { row[j] };
            let substituted = diagonal + usize::from(*left != b[j - 1]);
            diagonal = row[j];
            row[j] = substituted.min(row[j - 1] + 1).min(above + 1).min(far);
            least = least.min(row[j]);
        }
        if least >= far {
            return None;
        }
    }
    (row[b.len()] <= most).then(|| row[b.len()])
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

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

    /// The definition, straight: the full table.
    fn by_definition(a: &[u8], b: &[u8]) -> usize {
        let mut table = vec![vec![0; b.len() + 1]; a.len() + 1];
        for i in 0..=a.len() {
            for j in 0..=b.len() {
                table[i][j] = if i == 0 || j == 0 {
                    i + j
                } else {
                    let substituted = table[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
                    substituted.min(table[i - 1][j] + 1).min(table[i][j - 1] + 1)
                };
            }
        }
        table[a.len()][b.len()]
    }

    proptest! {
        #[test]
        fn the_band_changes_nothing(a in "[abc]{0,9}", b in "[abc]{0,9}", most in 0usize..10) {
            let (a, b) = (a.as_bytes(), b.as_bytes());
            let expected = by_definition(a, b);
            prop_assert_eq!(edits(a, b), expected);
            prop_assert_eq!(edits_within(a, b, most), (expected <= most).then_some(expected));
        }
    }
}
