//! Logistic regression over very many signs of which each example has few, such as words.

use super::logistic::sigmoid;

/// Steps at most, and the length of the slope below which no step matters any more. Words are a gentle
/// problem: a few hundred steps reach it.
const MOST_STEPS: usize = 2_000;
const SETTLED: f64 = 1e-6;

/// Returns the weights of `width` signs that make the outcomes likeliest, with half of `ridge` times the
/// sum of their squares taken off. Each row lists the signs that an example has, by number, a sign
/// that it has twice two times; the weight of sign 0, which all examples are meant to have, is not
/// held back.
///
/// # Panics
/// Panics on a sign of `width` or more.
pub fn fit_sparse(rows: &[Vec<usize>], outcomes: &[bool], width: usize, ridge: f64) -> Vec<f64> {
    // No step longer than the steepest bend of the loss allows: a quarter for each pair of signs of a row.
    let bend = |row: &Vec<usize>| (row.len() * row.len()) as f64 / 4.0;
    let step = 1.0 / (rows.iter().map(bend).sum::<f64>() / 20.0 + ridge).max(f64::MIN_POSITIVE);
    descend(
        width,
        step,
        SETTLED * rows.len() as f64,
        |weights| slope(weights, rows, outcomes, ridge),
        |weights| loss(weights, rows, outcomes, ridge),
    )
}

/// Returns the `width` weights at which a loss is least, searched until its slope is no longer than `settled`:
/// accelerated gradient steps (Nesterov, *A method of solving a convex programming problem with convergence
/// rate O(1/k²)*, Soviet Mathematics Doklady 27, 1983), begun anew where one leads uphill; `step` is how
/// far the first one goes for a slope of one.
pub(super) fn descend(
    width: usize,
    mut step: f64,
    settled: f64,
    slope: impl Fn(&[f64]) -> Vec<f64>,
    loss: impl Fn(&[f64]) -> f64,
) -> Vec<f64> {
    let mut weights = vec![0.0; width];
    let mut ahead = weights.clone();
    let mut momentum = 1.0_f64;
    let mut lost = loss(&weights);
    for _ in 0..MOST_STEPS {
        let slope = slope(&ahead);
        if slope.iter().map(|s| s * s).sum::<f64>().sqrt() < settled {
            break;
        }
        let next: Vec<f64> = ahead
            .iter()
            .zip(&slope)
            .map(|(w, s)| w - step * s)
            .collect();
        let now = loss(&next);
        if now > lost {
            // Uphill: too long a step, or carried too far.
            step /= if momentum == 1.0 { 2.0 } else { 1.0 };
            momentum = 1.0;
            ahead.clone_from(&weights);
            continue;
        }
        let further = (1.0 + (1.0 + 4.0 * momentum * momentum).sqrt()) / 2.0;
        let carry = (momentum - 1.0) / further;
        ahead = next
            .iter()
            .zip(&weights)
            .map(|(n, w)| n + carry * (n - w))
            .collect();
        (weights, momentum, lost) = (next, further, now);
    }
    weights
}

fn sum(weights: &[f64], row: &[usize]) -> f64 {
    row.iter().map(|&sign| weights[sign]).sum()
}

fn slope(weights: &[f64], rows: &[Vec<usize>], outcomes: &[bool], ridge: f64) -> Vec<f64> {
    let mut slope: Vec<f64> = weights.iter().map(|weight| ridge * weight).collect();
    if let Some(always) = slope.first_mut() {
        *always = 0.0;
    }
    for (row, outcome) in rows.iter().zip(outcomes) {
        let off = sigmoid(sum(weights, row)) - f64::from(u8::from(*outcome));
        row.iter().for_each(|&sign| slope[sign] += off);
    }
    slope
}

fn loss(weights: &[f64], rows: &[Vec<usize>], outcomes: &[bool], ridge: f64) -> f64 {
    let unlikely = rows.iter().zip(outcomes).map(|(row, outcome)| {
        let sum = sum(weights, row);
        let against = if *outcome { -sum } else { sum };
        against.max(0.0) + (-against.abs()).exp().ln_1p()
    });
    let held = weights
        .iter()
        .skip(1)
        .map(|weight| ridge * weight * weight / 2.0);
    unlikely.sum::<f64>() + held.sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::super::logistic::fit;
    use super::*;

    /// The same as rows of ones and zeroes give by Newton's method, which is held against scikit-learn.
    #[test]
    fn the_weights_are_those_of_full_rows() {
        let rows: Vec<Vec<usize>> = [
            vec![0, 1],
            vec![0, 2],
            vec![0, 1, 2],
            vec![0],
            vec![0, 1, 1],
            vec![0, 2, 3],
            vec![0, 3],
        ]
        .into();
        let outcomes = [true, false, true, false, true, false, true];
        let full: Vec<Vec<f64>> = rows
            .iter()
            .map(|row| {
                (0..4)
                    .map(|sign| row.iter().filter(|s| **s == sign).count() as f64)
                    .collect()
            })
            .collect();
        for ridge in [0.3, 1.0, 10.0] {
            let sparse = fit_sparse(&rows, &outcomes, 4, ridge);
            for (a, b) in sparse.iter().zip(fit(&full, &outcomes, ridge)) {
                assert!((a - b).abs() < 1e-4, "{ridge}: {a} for {b}");
            }
        }
    }
}
