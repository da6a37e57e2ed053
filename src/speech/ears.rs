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

/// Returns the place of the surest among so many models: the one with the highest mean logarithm of the
/// probabilities of the words that it hears. `hear` returns these for the beginning of a recording and the
/// model of a place, or `None` where there is nothing to hear: then no other is asked. Of equals it is the
/// first; one that heard no words only where none heard any. A single model is not asked.
///
/// # Errors
/// As `hear` has it.
pub fn surest<E>(
    models: usize,
    mut hear: impl FnMut(usize) -> Result<Option<Vec<f32>>, E>,
) -> Result<usize, E> {
    let mut best = (0, f32::MIN);
    if models < 2 {
        return Ok(0);
    }
    for at in 0..models {
        let Some(words) = hear(at)? else { break };
        let sum: f32 = words.iter().map(|p| p.max(LEAST).ln()).sum();
        let sure = sum / words.len() as f32;
        // Of no words it is not a number, and not more than anything.
        if sure > best.1 {
            best = (at, sure);
        }
    }
    Ok(best.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(heard: &[&[f32]]) -> usize {
        let hear = |at: usize| Ok::<_, ()>(Some(heard[at].to_vec()));
        surest(heard.len(), hear).unwrap()
    }

    #[test]
    fn the_surest_hears_it() {
        let cases: [(&[&[f32]], usize); 6] = [
            (&[&[0.9, 0.8], &[0.9, 0.7]], 0),
            (&[&[0.9, 0.7], &[0.9, 0.8]], 1),
            (&[&[0.9], &[0.9]], 0),
            // More words are not surer words.
            (&[&[0.9, 0.9, 0.9], &[0.95]], 1),
            (&[&[], &[0.1]], 1),
            (&[&[], &[]], 0),
        ];
        for (heard, best) in cases {
            assert_eq!(of(heard), best, "{heard:?}");
        }
    }

    #[test]
    fn one_word_does_not_outweigh_all_others() {
        assert_eq!(of(&[&[0.01, 0.01, 0.01], &[0.9, 0.9, 0.0]]), 1);
    }

    #[test]
    fn no_more_are_asked_than_must_be() {
        let mut asked = Vec::new();
        let mut nothing = |at: usize| {
            asked.push(at);
            Ok::<_, ()>(None)
        };
        assert_eq!(surest(1, &mut nothing), Ok(0));
        assert_eq!(surest(3, &mut nothing), Ok(0));
        assert_eq!(asked, [0]);
        assert_eq!(surest(2, Err::<_, usize>), Err(0));
    }
}
