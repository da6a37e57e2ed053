//! Word error rate: how much of what was said was recognised wrongly.

use super::alignment::{Costs, distance};

/// The counts behind a word error rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WordErrors {
    /// Words recognised rightly.
    pub hits: usize,
    /// Words recognised as others.
    pub substitutions: usize,
    /// Words left out.
    pub deletions: usize,
    /// Words put in.
    pub insertions: usize,
}

impl WordErrors {
    /// Returns the number of words that were said.
    pub fn reference_words(&self) -> usize {
        self.hits + self.substitutions + self.deletions
    }

    /// Returns the number of wrong words.
    pub fn errors(&self) -> usize {
        self.substitutions + self.deletions + self.insertions
    }

    /// Returns wrong words per word said: 0 is perfect, and above 1 is possible. `None` where nothing
    /// was said, as there is nothing to divide by.
    pub fn rate(&self) -> Option<f64> {
        let said = self.reference_words();
        (said > 0).then(|| self.errors() as f64 / said as f64)
    }

    /// Returns the counts of both together, for the rate over several recordings.
    #[must_use]
    pub fn with(self, other: WordErrors) -> WordErrors {
        WordErrors {
            hits: self.hits + other.hits,
            substitutions: self.substitutions + other.substitutions,
            deletions: self.deletions + other.deletions,
            insertions: self.insertions + other.insertions,
        }
    }
}

/// The cost of one error, so large that no number of substitutions reaches it.
const ERROR: u64 = 1 << 32;
/// Fewest errors first; of equally few, the fewest substitutions, which are the most hits.
const FEWEST_ERRORS_MOST_HITS: Costs = Costs {
    substitution: ERROR + 1,
    deletion: ERROR,
    insertion: ERROR,
};

/// Returns how the words heard differ from the words said, along an alignment with the fewest
/// errors and, of those, the most hits. Words are compared as they are: see [`super::normalise`].
pub fn word_errors<T: PartialEq>(reference: &[T], heard: &[T]) -> WordErrors {
    let cost = distance(reference, heard, FEWEST_ERRORS_MOST_HITS);
    let (errors, substitutions) = ((cost / ERROR) as usize, (cost % ERROR) as usize);
    // What is neither hit nor substituted was left out of one side or put into the other; the
    // difference of the two numbers is the difference in length.
    let uneven = errors - substitutions;
    let deletions = (uneven + reference.len()).saturating_sub(heard.len()) / 2;
    let insertions = uneven - deletions;
    let hits = reference.len() - substitutions - deletions;
    WordErrors {
        hits,
        substitutions,
        deletions,
        insertions,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::{Step, align, normalise};
    use proptest::prelude::*;
    use serde::Deserialize;

    #[derive(Deserialize)]
    struct Table {
        made_with: String,
        cases: Vec<Case>,
    }

    #[derive(Deserialize)]
    struct Case {
        reference: String,
        heard: String,
        hits: usize,
        substitutions: usize,
        deletions: usize,
        insertions: usize,
        rate: f64,
    }

    /// The Python package jiwer 4.0.0; `tests/data/word_error_cases.py` makes the table. Of equally
    /// short alignments jiwer takes now one, now another; where there are such, only the number of
    /// errors and the rate must agree.
    #[test]
    fn agrees_with_jiwer() {
        let table: Table =
            serde_json::from_str(include_str!("../../tests/data/word_error_cases.json")).unwrap();
        assert_eq!(table.made_with, "jiwer 4.0.0");
        let mut same_counts = 0;
        for case in table.cases {
            let reference: Vec<&str> = case.reference.split_whitespace().collect();
            let heard: Vec<&str> = case.heard.split_whitespace().collect();
            let errors = word_errors(&reference, &heard);
            let expected = WordErrors {
                hits: case.hits,
                substitutions: case.substitutions,
                deletions: case.deletions,
                insertions: case.insertions,
            };
            assert_eq!(
                errors.errors(),
                expected.errors(),
                "{} / {}",
                case.reference,
                case.heard
            );
            assert!((errors.rate().unwrap() - case.rate).abs() < 1e-12);
            if one_way_only(&reference, &heard) {
                assert_eq!(errors, expected, "{} / {}", case.reference, case.heard);
                same_counts += 1;
            }
        }
        assert!(
            same_counts >= 20,
            "only {same_counts} cases compare all counts"
        );
    }

    /// True where every shortest alignment has the same counts: the one with the most hits and the
    /// one with the fewest do.
    fn one_way_only(reference: &[&str], heard: &[&str]) -> bool {
        let fewest = Costs {
            substitution: 9_999,
            ..FEWEST_ERRORS_MOST_HITS
        };
        let hits = |costs| {
            let steps = align(reference, heard, costs);
            steps.iter().filter(|s| matches!(s, Step::Hit(..))).count()
        };
        hits(FEWEST_ERRORS_MOST_HITS) == hits(fewest)
    }

    #[test]
    fn forgives_what_is_only_written_differently() {
        let british = |word: &str| match word {
            "millimeters" => "millimetres".to_owned(),
            "mold" => "mould".to_owned(),
            other => other.to_owned(),
        };
        for (said, heard, wrong) in [
            (
                "Nineteen millimetres, um, out of plumb.",
                "19 millimeters out of plumb",
                0,
            ),
            (
                "There's mould on the, er, ceiling",
                "there's mold on the ceiling.",
                0,
            ),
            ("Two twenty six", "226", 0),
            ("the third tile", "the 3rd tile", 0),
            ("fifty percent", "50%", 0),
            ("six mm", "6mm", 0),
            ("re-fix the door", "refix the door", 2),
            ("nineteen millimetres", "ninety millimetres", 1),
        ] {
            let errors = word_errors(&normalise(said, british), &normalise(heard, british));
            assert_eq!(errors.errors(), wrong, "{said} / {heard}");
        }
    }

    #[test]
    fn has_no_rate_where_nothing_was_said() {
        let errors = word_errors(&[], &["noise"]);
        assert_eq!((errors.rate(), errors.insertions), (None, 1));
    }

    proptest! {
        #[test]
        fn counts_add_up(a in prop::collection::vec(0u8..4, 0..30), b in prop::collection::vec(0u8..4, 0..30)) {
            let errors = word_errors(&a, &b);
            prop_assert_eq!(errors.reference_words(), a.len());
            prop_assert_eq!(errors.hits + errors.substitutions + errors.insertions, b.len());
            prop_assert_eq!(errors.errors(), word_errors(&b, &a).errors());
            prop_assert_eq!(word_errors(&a, &a).errors(), 0);
        }
    }
}
