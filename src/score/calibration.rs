//! How far a claimed probability can be believed.

/// Equal steps of probability in which what was claimed is held against what came true.
const STEPS: usize = 10;

/// Returns the expected calibration error of claims: in ten equal steps of probability, the distance
/// between what was claimed and how often it came true, weighted by the number of claims (Naeini et al.
/// 2015); 0 for none.
pub fn calibration_error(claims: &[(f64, bool)]) -> f64 {
    let mut steps = [(0usize, 0.0, 0.0); STEPS];
    for (claimed, true_) in claims {
        let step = ((claimed * STEPS as f64) as usize).min(STEPS - 1);
        steps[step].0 += 1;
        steps[step].1 += claimed;
        steps[step].2 += f64::from(u8::from(*true_));
    }
    let off: f64 = steps
        .iter()
        .map(|(_, claimed, came)| (claimed - came).abs())
        .sum();
    off / claims.len().max(1) as f64
}

/// Returns the mean squared distance between claims and what came true (Brier score).
pub fn brier(claims: &[(f64, bool)]) -> f64 {
    let squares = claims
        .iter()
        .map(|(claimed, came)| (claimed - f64::from(u8::from(*came))).powi(2));
    squares.sum::<f64>() / claims.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLAIMS: [(f64, bool); 10] = [
        (0.1, false),
        (0.4, false),
        (0.35, false),
        (0.8, true),
        (0.7, false),
        (0.9, true),
        (0.65, true),
        (0.2, false),
        (0.55, true),
        (0.95, true),
    ];

    /// scikit-learn 1.9.1, `brier_score_loss`.
    #[test]
    fn the_brier_score_is_that_of_scikit_learn() {
        assert!((brier(&CLAIMS) - 0.12).abs() < 1e-12);
    }

    /// By hand: only 0.9 and 0.95 share a step (off by 0.15 together); the others are off by 0.1, 0.4,
    /// 0.35, 0.2, 0.7, 0.35, 0.2 and 0.45, in all 2.9 of ten.
    #[test]
    fn the_calibration_error_is_the_weighted_distance_by_steps() {
        assert!((calibration_error(&CLAIMS) - 0.29).abs() < 1e-12);
        assert_eq!(calibration_error(&[]), 0.0);
    }

    /// scikit-learn 1.9.1: `true, claimed = calibration_curve(came, claims, n_bins=10)`, then the mean of
    /// `abs(true - claimed)`, since each step has two claims. None is on a boundary, which the library
    /// counts to the step below.
    #[test]
    fn the_calibration_error_is_that_of_scikit_learns_calibration_curve() {
        let claims = [
            (0.03, false),
            (0.07, false),
            (0.12, false),
            (0.18, true),
            (0.26, false),
            (0.29, false),
            (0.33, true),
            (0.37, false),
            (0.44, false),
            (0.48, true),
            (0.52, true),
            (0.57, false),
            (0.61, true),
            (0.68, true),
            (0.72, false),
            (0.77, true),
            (0.83, true),
            (0.88, true),
            (0.94, true),
            (0.98, true),
        ];
        assert!((calibration_error(&claims) - 0.1695).abs() < 1e-12);
    }
}
