//! Which of several models hears a recording best: the one that is surest of its words.
//!
//! A model whose ear was fitted to hard voices hears those with less than half the errors, and easy ones
//! with half as many errors again (`models/README.md`). Nobody should have to say which he is: what a model
//! mishears it is unsure of, so the beginning of a recording is heard with each.

/// Windows at the beginning of a recording that are heard with each model: some fifty seconds of speech, a
/// hundred words and more.
pub const TRIED_WINDOWS: usize = 2;

/// No word's probability counts as less than this: one must not outweigh all others.
const LEAST: f32 = 1e-4;

/// How much less sure of a word, as a mean logarithm, a model is that was fitted to voices and hears one as
/// well as before. On the four development recordings with about as many errors either way it was 0.03; on
/// clips of real people, whom the ear for hard voices hears worse, 0.06.
const FITTED_LESS_SURE: f32 = 0.02;

/// What one model heard.
#[derive(Debug, Clone)]
pub struct Tried {
    /// Whether it was fitted to voices.
    pub fitted: bool,
    /// The probabilities of the words, 0 to 1.
    pub words: Vec<f32>,
}

/// Returns the place of the surest among models: the one with the highest mean logarithm of its words'
/// probabilities. Of equals the first; one that heard nothing only where none heard anything.
pub fn surest(tried: &[Tried]) -> usize {
    let mut best = (0, f32::MIN);
    for (at, one) in tried
        .iter()
        .enumerate()
        .filter(|(_, one)| !one.words.is_empty())
    {
        let sum: f32 = one.words.iter().map(|p| p.max(LEAST).ln()).sum();
        let handicap = if one.fitted { FITTED_LESS_SURE } else { 0.0 };
        let sure = sum / one.words.len() as f32 + handicap;
        if sure > best.1 {
            best = (at, sure);
        }
    }
    best.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_surest_hears_it() {
        let cases: [(&[&[f32]], usize); 7] = [
            (&[&[0.9, 0.8], &[0.9, 0.7]], 0),
            (&[&[0.9, 0.7], &[0.9, 0.8]], 1),
            // The second is fitted, and may be a little less sure.
            (&[&[0.90], &[0.89]], 1),
            (&[&[0.90], &[0.85]], 0),
            // More words are not surer words.
            (&[&[0.9, 0.9, 0.9], &[0.95]], 1),
            (&[&[], &[0.1]], 1),
            (&[&[], &[]], 0),
        ];
        for (heard, best) in cases {
            let tried = heard.iter().enumerate().map(|(at, words)| Tried {
                fitted: at > 0,
                words: words.to_vec(),
            });
            assert_eq!(surest(&tried.collect::<Vec<_>>()), best, "{heard:?}");
        }
    }

    #[test]
    fn one_word_does_not_outweigh_all_others() {
        let tried = |words: &[f32]| Tried {
            fitted: false,
            words: words.to_vec(),
        };
        let (lost, unsure) = (tried(&[0.9, 0.9, 0.0]), tried(&[0.01, 0.01, 0.01]));
        assert_eq!(surest(&[unsure, lost]), 1);
    }
}
