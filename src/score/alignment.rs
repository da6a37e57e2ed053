//! The cheapest way to turn one sequence into another (the Wagner and Fischer method, *The
//! String-to-String Correction Problem*, 1974).

/// What each step costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Costs {
    /// Replacing an element by another.
    pub substitution: u64,
    /// Leaving out an element of the reference.
    pub deletion: u64,
    /// Putting in an element that the reference lacks.
    pub insertion: u64,
}

impl Costs {
    /// Every step costs one.
    pub const UNIT: Costs = Costs {
        substitution: 1,
        deletion: 1,
        insertion: 1,
    };
}

/// One step from the reference to what was heard, with indices into the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Both have the same element.
    Hit(usize, usize),
    /// The reference's element was heard as another.
    Substitution(usize, usize),
    /// The reference's element was not heard.
    Deletion(usize),
    /// An element was heard that the reference lacks.
    Insertion(usize),
}

/// Returns the least total cost of turning `reference` into `heard`; memory grows with the length
/// of `heard` only.
pub fn distance<T: PartialEq>(reference: &[T], heard: &[T], costs: Costs) -> u64 {
    let mut row = first_row(heard.len(), costs);
    for a in reference {
        row = next_row(&row, a, heard, costs);
    }
    row.last().copied().unwrap_or(0)
}

/// Returns the steps of a cheapest way from `reference` to `heard`, from first to last; memory grows
/// with the product of their lengths. Of equally
/// cheap ways it takes the one that, read from the end, prefers a hit, then a substitution, then a
/// deletion, then an insertion.
pub fn align<T: PartialEq>(reference: &[T], heard: &[T], costs: Costs) -> Vec<Step> {
    let table = table(reference, heard, costs);
    let cost = |i: usize, j: usize| table.get(i).and_then(|row| row.get(j)).copied();
    let (mut i, mut j) = (reference.len(), heard.len());
    let mut steps = Vec::with_capacity(i.max(j));
    while i > 0 || j > 0 {
        let here = cost(i, j);
        let before = (i.checked_sub(1), j.checked_sub(1));
        let step = match before {
            (Some(a), Some(b)) if reference[a] == heard[b] && cost(a, b) == here => Step::Hit(a, b),
            (Some(a), Some(b)) if plus(cost(a, b), costs.substitution) == here => {
                Step::Substitution(a, b)
            }
            (Some(a), _) if plus(cost(a, j), costs.deletion) == here => Step::Deletion(a),
            (_, Some(b)) => Step::Insertion(b),
            (Some(a), None) => Step::Deletion(a),
            (None, None) => break,
        };
        match step {
            Step::Hit(a, b) | Step::Substitution(a, b) => (i, j) = (a, b),
            Step::Deletion(a) => i = a,
            Step::Insertion(b) => j = b,
        }
        steps.push(step);
    }
    steps.reverse();
    steps
}

fn plus(cost: Option<u64>, step: u64) -> Option<u64> {
    cost?.checked_add(step)
}

/// Returns the costs of all beginnings: row `i`, column `j` for the first `i` elements of the
/// reference and the first `j` of what was heard.
fn table<T: PartialEq>(reference: &[T], heard: &[T], costs: Costs) -> Vec<Vec<u64>> {
    let mut table = vec![first_row(heard.len(), costs)];
    for a in reference {
        let row = next_row(&table[table.len() - 1], a, heard, costs);
        table.push(row);
    }
    table
}

/// Returns the costs of putting in the first 0, 1, 2, ... elements of what was heard.
fn first_row(heard: usize, costs: Costs) -> Vec<u64> {
    (0..=heard as u64)
        .map(|j| j.saturating_mul(costs.insertion))
        .collect()
}

/// Returns the row below `above`, for one more element of the reference.
fn next_row<T: PartialEq>(above: &[u64], a: &T, heard: &[T], costs: Costs) -> Vec<u64> {
    let mut row = Vec::with_capacity(above.len());
    row.push(above[0].saturating_add(costs.deletion));
    for (j, b) in heard.iter().enumerate() {
        let replaced = above[j].saturating_add(if a == b { 0 } else { costs.substitution });
        let left_out = above[j + 1].saturating_add(costs.deletion);
        let put_in = row[j].saturating_add(costs.insertion);
        row.push(replaced.min(left_out).min(put_in));
    }
    row
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_letters(a: &str, b: &str, costs: Costs) -> u64 {
        let letters = |s: &str| s.chars().collect::<Vec<char>>();
        distance(&letters(a), &letters(b), costs)
    }

    /// Jurafsky and Martin, *Speech and Language Processing* (3rd edition draft), "Minimum Edit
    /// Distance": intention to execution is 5, or 8 where a substitution costs 2 (Levenshtein's
    /// second form). Kitten to sitting is the usual textbook case (3: k to s, e to i, g added), as is
    /// Saturday to Sunday (3); both as in the Wikipedia article "Levenshtein distance" and "Wagner–
    /// Fischer algorithm" (from memory).
    #[test]
    fn agrees_with_published_worked_examples() {
        let dear = Costs {
            substitution: 2,
            ..Costs::UNIT
        };
        for (a, b, costs, expected) in [
            ("intention", "execution", Costs::UNIT, 5),
            ("intention", "execution", dear, 8),
            ("kitten", "sitting", Costs::UNIT, 3),
            ("Saturday", "Sunday", Costs::UNIT, 3),
            ("", "", Costs::UNIT, 0),
            ("abc", "", Costs::UNIT, 3),
            ("", "abc", dear, 3),
        ] {
            assert_eq!(of_letters(a, b, costs), expected, "{a} to {b}");
        }
    }

    #[test]
    fn names_the_steps() {
        use Step::{Deletion, Hit, Insertion, Substitution};
        let steps = align(&["a", "b", "c"], &["a", "x", "c", "d"], Costs::UNIT);
        assert_eq!(
            steps,
            [Hit(0, 0), Substitution(1, 1), Hit(2, 2), Insertion(3)]
        );
        assert_eq!(
            align(&["a", "b"], &["b"], Costs::UNIT),
            [Deletion(0), Hit(1, 0)]
        );
    }
}
