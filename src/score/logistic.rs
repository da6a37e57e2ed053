//! Logistic regression by Newton's method, for fitting how sure an item is.

use crate::linear::solve;

/// Newton steps at most; the loss is convex and settles in fewer than ten.
const MOST_STEPS: usize = 50;

/// Steps smaller than this no longer matter.
const SETTLED: f64 = 1e-10;

/// Returns the weights that make the outcomes of `rows` likeliest, with half of `ridge` times the sum
/// of their squares taken off. The first value of each row is meant to be 1: its weight, the
/// intercept, is not held back. All rows have the length of the first; no rows give no weights.
pub fn fit(rows: &[Vec<f64>], outcomes: &[bool], ridge: f64) -> Vec<f64> {
    let width = rows.first().map_or(0, Vec::len);
    let mut ridges = vec![ridge; width];
    if let Some(intercept) = ridges.first_mut() {
        *intercept = 0.0;
    }
    fit_towards(rows, outcomes, &ridges, &vec![0.0; width])
}

/// Returns the weights that make the outcomes likeliest, with half of the `ridge` of each weight times the
/// square of its distance from `towards` taken off.
pub fn fit_towards(
    rows: &[Vec<f64>],
    outcomes: &[bool],
    ridge: &[f64],
    towards: &[f64],
) -> Vec<f64> {
    let width = towards.len();
    let mut weights = towards.to_vec();
    for _ in 0..MOST_STEPS {
        let mut slope = vec![0.0; width];
        let mut curve = vec![vec![0.0; width]; width];
        for (at, weight) in weights.iter().enumerate() {
            slope[at] = -ridge[at] * (weight - towards[at]);
            curve[at][at] = ridge[at];
        }
        for (row, outcome) in rows.iter().zip(outcomes) {
            let p = probability(&weights, row);
            let left = f64::from(u8::from(*outcome)) - p;
            for i in 0..width {
                slope[i] += left * row[i];
                for j in 0..width {
                    curve[i][j] += p * (1.0 - p) * row[i] * row[j];
                }
            }
        }
        let mut step = solve(curve, slope);
        let moved = |step: &[f64]| -> Vec<f64> {
            let moved = weights.iter().zip(step);
            moved.map(|(weight, step)| weight + step).collect()
        };
        let loss = |weights: &[f64]| loss(weights, rows, outcomes, ridge, towards);
        // Far from the end a whole step may go beyond it.
        while loss(&moved(&step)) > loss(&weights) && step.iter().any(|step| step.abs() > SETTLED) {
            step.iter_mut().for_each(|step| *step /= 2.0);
        }
        weights = moved(&step);
        if step.iter().all(|step| step.abs() < SETTLED) {
            break;
        }
    }
    weights
}

/// Returns what is made smallest: how unlikely the outcomes are, and how far the weights from `towards`.
fn loss(
    weights: &[f64],
    rows: &[Vec<f64>],
    outcomes: &[bool],
    ridge: &[f64],
    towards: &[f64],
) -> f64 {
    let unlikely = rows.iter().zip(outcomes).map(|(row, outcome)| {
        let sum: f64 = weights.iter().zip(row).map(|(w, x)| w * x).sum();
        let against = if *outcome { -sum } else { sum };
        // ln(1 + e^x) without overflow.
        against.max(0.0) + (-against.abs()).exp().ln_1p()
    });
    let held = (ridge.iter().zip(weights).zip(towards))
        .map(|((ridge, weight), towards)| ridge * (weight - towards).powi(2) / 2.0);
    unlikely.sum::<f64>() + held.sum::<f64>()
}

/// Returns how likely the outcome of a row is.
pub fn probability(weights: &[f64], row: &[f64]) -> f64 {
    sigmoid(weights.iter().zip(row).map(|(w, x)| w * x).sum())
}

/// Returns the probability whose odds have this natural logarithm.
pub fn sigmoid(odds: f64) -> f64 {
    1.0 / (1.0 + (-odds).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scikit-learn 1.9.1, `LogisticRegression(C=1/ridge, solver="newton-cholesky", tol=1e-12)` on the
    /// same rows: intercept and two coefficients for three strengths of holding back.
    #[test]
    fn weights_are_those_of_scikit_learn() {
        let rows = [
            ([0.5, 1.0], false),
            ([1.5, 0.2], false),
            ([2.0, 1.1], false),
            ([2.5, 0.4], true),
            ([3.0, 1.9], false),
            ([3.5, 0.7], true),
            ([4.0, 1.3], true),
            ([1.0, 1.8], false),
            ([4.5, 0.1], true),
            ([5.0, 1.6], true),
        ];
        let outcomes = rows.map(|(_, outcome)| outcome);
        let rows: Vec<Vec<f64>> = rows.iter().map(|(x, _)| vec![1.0, x[0], x[1]]).collect();
        for (ridge, expected) in [
            (10.0, [-0.97201111, 0.38479781, -0.08576281]),
            (1.0, [-2.84839788, 1.24875317, -0.59340861]),
            (0.1, [-5.35684024, 2.81640465, -2.38922735]),
        ] {
            let weights = fit(&rows, &outcomes, ridge);
            for (weight, expected) in weights.iter().zip(expected) {
                assert!((weight - expected).abs() < 1e-6, "{ridge}: {weights:?}");
            }
        }
    }

    /// SciPy 1.17.1, `optimize.minimize(method="BFGS", gtol=1e-12)` of the same loss: both weights held
    /// near (0, 1).
    #[test]
    fn weights_held_towards_known_ones_are_those_of_scipy() {
        let x = [0.5, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 1.0, 4.5, 5.0];
        let outcomes = [
            false, false, false, true, false, true, true, false, true, true,
        ];
        let rows: Vec<Vec<f64>> = x.iter().map(|x| vec![1.0, *x]).collect();
        for (ridge, expected) in [
            (5.0, [-0.43379867, 0.54181337]),
            (0.5, [-1.76603371, 0.8131353]),
        ] {
            let weights = fit_towards(&rows, &outcomes, &[ridge; 2], &[0.0, 1.0]);
            for (weight, expected) in weights.iter().zip(expected) {
                assert!((weight - expected).abs() < 1e-5, "{ridge}: {weights:?}");
            }
        }
        assert_eq!(fit_towards(&[], &[], &[1.0; 2], &[0.0, 1.0]), [0.0, 1.0]);
    }

    #[test]
    fn no_rows_give_no_weights() {
        assert!(fit(&[], &[], 1.0).is_empty());
    }
}
