//! Edit distance.

use super::phonemes::Phoneme;

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

/// The longest pattern that fits the bits of one word.
const BITS: usize = 64;

/// Heard phonemes, prepared for measuring their distance to many others.
pub(super) struct Pattern<'a> {
    phonemes: &'a [Phoneme],
    /// For each phoneme, one bit for each position where it stands.
    positions: [u64; Phoneme::ALL.len()],
}

impl<'a> Pattern<'a> {
    pub(super) fn new(phonemes: &'a [Phoneme]) -> Pattern<'a> {
        let mut positions = [0; Phoneme::ALL.len()];
        for (at, &phoneme) in phonemes.iter().enumerate().take(BITS) {
            positions[phoneme as usize] |= 1 << at;
        }
        Pattern {
            phonemes,
            positions,
        }
    }

    /// Returns the same number as [`edits`], for patterns of up to 64 phonemes by the bit-parallel
    /// method of Myers (*A fast bit-vector algorithm for approximate string matching based on
    /// dynamic programming*, Journal of the ACM 46(3), 1999) as Hyyrö (2003) gives it for whole
    /// strings.
    pub(super) fn edits(&self, text: &[Phoneme]) -> usize {
        let length = self.phonemes.len();
        if length == 0 || length > BITS {
            return edits(self.phonemes, text);
        }
        let last = 1u64 << (length - 1);
        let (mut vertical_up, mut vertical_down) = (u64::MAX, 0u64);
        let mut score = length;
        for &phoneme in text {
            let equal = self.positions[phoneme as usize];
            let diagonal = ((equal & vertical_up).wrapping_add(vertical_up) ^ vertical_up)
                | equal
                | vertical_down;
            let up = vertical_down | !(diagonal | vertical_up);
            let down = diagonal & vertical_up;
            score += usize::from(up & last != 0);
            score -= usize::from(down & last != 0);
            let up = up << 1 | 1;
            vertical_up = down << 1 | !(diagonal | up);
            vertical_down = up & diagonal;
        }
        score
    }
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
                    substituted
                        .min(table[i - 1][j] + 1)
                        .min(table[i][j - 1] + 1)
                };
            }
        }
        table[a.len()][b.len()]
    }

    proptest! {
        #[test]
        fn both_methods_follow_the_definition(a in "[abc]{0,9}", b in "[abc]{0,70}") {
            let expected = by_definition(a.as_bytes(), b.as_bytes());
            prop_assert_eq!(edits(a.as_bytes(), b.as_bytes()), expected);
            let phonemes = |text: &str| -> Vec<Phoneme> {
                text.bytes().map(|byte| Phoneme::ALL[usize::from(byte - b'a')].0).collect()
            };
            let (a, b) = (phonemes(&a), phonemes(&b));
            prop_assert_eq!(Pattern::new(&a).edits(&b), expected);
            prop_assert_eq!(Pattern::new(&b).edits(&a), expected);
        }
    }
}
