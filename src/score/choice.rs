//! Conditional logit: which of several things is meant, by signs that each of them has.

use super::sparse::descend;

/// Length of the slope, for each choice, below which no step matters any more.
const SETTLED: f64 = 1e-6;

/// A choice that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// The signs of each thing that could be chosen, by number, with their values.
    pub things: Vec<Vec<(usize, f64)>>,
    /// Which of them are right, one at least.
    pub right: Vec<bool>,
}

/// Returns the weights of `width` signs under which the right things are likeliest, with half of `ridge` times
/// the sum of their squares taken off. The likelihood of a thing is its share in the sum of the
/// exponentials (McFadden, *Conditional logit analysis of qualitative choice behavior*, in Zarembka
/// (ed.), Frontiers in Econometrics, 1974).
///
/// # Panics
/// Panics on a sign of `width` or more.
pub fn fit_choice(choices: &[Chosen], width: usize, ridge: f64) -> Vec<f64> {
    let bend = |choice: &Chosen| {
        let squares = choice
            .things
            .iter()
            .map(|signs| signs.iter().map(|(_, v)| v.abs()).sum::<f64>().powi(2));
        squares.fold(0.0, f64::max)
    };
    let step = 1.0 / (choices.iter().map(bend).sum::<f64>() / 20.0 + ridge).max(f64::MIN_POSITIVE);
    descend(
        width,
        step,
        SETTLED * choices.len() as f64,
        |weights| {
            let mut slope: Vec<f64> = weights.iter().map(|weight| ridge * weight).collect();
            for choice in choices {
                let shares = shares(weights, choice);
                let right = of_the_right(choice, &shares);
                for ((signs, share), is_right) in
                    choice.things.iter().zip(&shares).zip(&choice.right)
                {
                    let wanted = if *is_right { share / right } else { 0.0 };
                    for (sign, value) in signs {
                        slope[*sign] += (share - wanted) * value;
                    }
                }
            }
            slope
        },
        |weights| {
            let held = weights.iter().map(|w| ridge * w * w / 2.0).sum::<f64>();
            held + choices
                .iter()
                .map(|choice| -of_the_right(choice, &shares(weights, choice)).ln())
                .sum::<f64>()
        },
    )
}

/// Returns how likely each thing of a choice is.
pub fn shares(weights: &[f64], choice: &Chosen) -> Vec<f64> {
    let sum = |signs: &Vec<(usize, f64)>| signs.iter().map(|(s, v)| weights[*s] * v).sum::<f64>();
    let sums: Vec<f64> = choice.things.iter().map(sum).collect();
    let most = sums.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let exponentials: Vec<f64> = sums.iter().map(|sum| (sum - most).exp()).collect();
    let all: f64 = exponentials.iter().sum();
    exponentials.iter().map(|e| e / all).collect()
}

fn of_the_right(choice: &Chosen, shares: &[f64]) -> f64 {
    let right = shares
        .iter()
        .zip(&choice.right)
        .filter(|(_, right)| **right);
    right
        .map(|(share, _)| share)
        .sum::<f64>()
        .max(f64::MIN_POSITIVE)
}

#[cfg(test)]
mod tests {
    use super::super::logistic::fit_towards;
    use super::*;

    /// Of two things the one with the signs is chosen as often as a logistic regression without a constant
    /// says, which is held against scikit-learn.
    #[test]
    fn of_two_things_it_is_a_logistic_regression() {
        let signs: [[f64; 2]; 6] = [
            [1.0, 0.0],
            [0.5, 1.0],
            [-1.0, 2.0],
            [0.0, 1.0],
            [2.0, -1.0],
            [1.0, 1.0],
        ];
        let chosen = [true, false, true, false, true, true];
        let choices: Vec<Chosen> = signs
            .iter()
            .zip(chosen)
            .map(|(signs, chosen)| Chosen {
                things: vec![
                    signs
                        .iter()
                        .copied()
                        .zip(0..)
                        .map(|(v, s)| (s, v))
                        .collect(),
                    vec![],
                ],
                right: vec![chosen, !chosen],
            })
            .collect();
        for ridge in [0.5, 2.0] {
            let fitted = fit_choice(&choices, 2, ridge);
            let rows: Vec<Vec<f64>> = signs.iter().map(|signs| signs.to_vec()).collect();
            let logistic = fit_towards(&rows, &chosen, &[ridge; 2], &[0.0; 2]);
            for (a, b) in fitted.iter().zip(&logistic) {
                assert!((a - b).abs() < 1e-4, "{fitted:?} for {logistic:?}");
            }
        }
    }

    #[test]
    fn several_right_things_share_what_is_likely() {
        let choice = Chosen {
            things: vec![vec![(0, 1.0)], vec![(1, 1.0)], vec![(2, 1.0)]],
            right: vec![true, true, false],
        };
        let weights = fit_choice(std::slice::from_ref(&choice), 3, 0.1);
        assert!(weights[2] < weights[0] && weights[2] < weights[1]);
        let shares = shares(&weights, &choice);
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
