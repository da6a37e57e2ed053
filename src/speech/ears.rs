//! Which of several models hears a recording best, and how fast it is played to it: so that it is surest of its
//! words.
//!
//! A model whose ear was fitted to hard voices hears those with less than half the errors, and easy ones
//! with half as many errors again (`models/README.md`). Nobody should have to say which he is: what a model
//! mishears it is unsure of, so the beginning of a recording is heard with each.

use super::pace::Pace;

/// How a recording is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ear {
    /// The place of the model that hears it, among those there are.
    pub model: usize,
    /// How fast it is played to it.
    pub pace: Pace,
}

/// Windows at the beginning of a recording that are heard with each model: some fifty seconds of speech, a
/// hundred words and more.
const TRIED_WINDOWS: usize = 2;

/// Windows that are heard with each of those between which the first leave it open: two to three minutes.
const MOST_TRIED_WINDOWS: usize = 6;

/// Models whose means are nearer than this are nearly as sure. Over the first two windows of fourteen recordings
/// means differ by a hundredth or two from those over the whole.
const NEARLY: f32 = 0.02;

/// A mean below this is of a voice hardly heard: of nineteen recordings those of which one word in six or more was
/// wrong at their own pace. Those heard better have -0.17 and more.
const HARDLY: f32 = -0.2;

/// No word's probability counts as less than this: one must not outweigh all others.
const LEAST: f32 = 1e-4;

/// Returns how a recording is heard with the highest mean logarithm of the probabilities of the words heard, by
/// one of so many models. `hear` returns these for an ear and so many windows of the recording's beginning, or
/// `None` where there is nothing to hear: then nothing more is asked.
///
/// Each model is asked for two windows, and those nearly as sure as the surest for six.
/// Where the surest hardly hears its words, it is tried at [`Pace::SLOWER`]. Of equals it is the
/// first; one that heard no words only where none heard any.
///
/// # Errors
/// As `hear` has it.
pub fn surest<E>(
    models: usize,
    mut hear: impl FnMut(Ear, usize) -> Result<Option<Vec<f32>>, E>,
) -> Result<Ear, E> {
    let at = |model, pace| Ear { model, pace };
    let mut means = Vec::new();
    for model in 0..models {
        match hear(at(model, Pace::OWN), TRIED_WINDOWS)? {
            Some(words) => means.push((at(model, Pace::OWN), mean(&words))),
            None => return Ok(at(0, Pace::OWN)),
        }
    }
    let Some((mut best, mut highest)) = first_highest(&means) else {
        return Ok(at(0, Pace::OWN));
    };
    let near = means.iter().filter(|one| highest - one.1 < NEARLY);
    let near: Vec<Ear> = near.map(|one| one.0).collect();
    if near.len() > 1 {
        means.clear();
        for ear in near {
            let words = hear(ear, MOST_TRIED_WINDOWS)?;
            means.push((ear, mean(&words.unwrap_or_default())));
        }
        best = first_highest(&means).map_or(best, |one| one.0);
    }
    let hears_words = highest > mean(&[]);
    if hears_words && highest < HARDLY {
        for pace in Pace::SLOWER {
            let slower = at(best.model, pace);
            let words = hear(slower, TRIED_WINDOWS)?;
            let sure = mean(&words.unwrap_or_default());
            if sure > highest {
                (best, highest) = (slower, sure);
            }
        }
    }
    Ok(best)
}

/// Returns the first of those with the highest mean.
fn first_highest(means: &[(Ear, f32)]) -> Option<(Ear, f32)> {
    let higher = |best: (Ear, f32), one: &(Ear, f32)| if one.1 > best.1 { *one } else { best };
    let first = *means.first()?;
    Some(means.iter().fold(first, higher))
}

/// Returns the mean logarithm of probabilities; of none the least there is.
fn mean(probabilities: &[f32]) -> f32 {
    let sum: f32 = probabilities.iter().map(|p| p.max(LEAST).ln()).sum();
    match probabilities {
        [] => f32::MIN,
        _ => sum / probabilities.len() as f32,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ear(model: usize) -> Ear {
        Ear {
            model,
            pace: Pace::OWN,
        }
    }

    fn of(heard: &[&[f32]]) -> Ear {
        let hear = |ear: Ear, _| Ok::<_, ()>(Some(heard[ear.model].to_vec()));
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
            assert_eq!(of(heard), ear(best), "{heard:?}");
        }
    }

    #[test]
    fn one_word_does_not_outweigh_all_others() {
        assert_eq!(of(&[&[0.01, 0.01, 0.01], &[0.9, 0.9, 0.0]]).model, 1);
    }

    #[test]
    fn those_nearly_as_sure_are_asked_for_more() {
        let beginnings = [0.90_f32, 0.60, 0.91];
        let further = [0.90_f32, 0.99, 0.89];
        let mut asked = Vec::new();
        let hear = |ear: Ear, windows: usize| {
            asked.push((ear.model, windows));
            let heard = match windows {
                TRIED_WINDOWS => beginnings,
                _ => further,
            };
            Ok::<_, ()>(Some(vec![heard[ear.model]]))
        };
        assert_eq!(surest(3, hear), Ok(ear(0)));
        assert_eq!(asked, [(0, 2), (1, 2), (2, 2), (0, 6), (2, 6)]);
    }

    /// Models with their probabilities as it was said, and those of the surest at each slower pace.
    #[test]
    fn what_is_hardly_heard_is_tried_slower() {
        let [little, much] = Pace::SLOWER;
        for (own, slower, best) in [
            (
                [0.5, 0.7],
                [0.75, 0.8],
                Ear {
                    model: 1,
                    pace: much,
                },
            ),
            (
                [0.5, 0.7],
                [0.8, 0.75],
                Ear {
                    model: 1,
                    pace: little,
                },
            ),
            ([0.5, 0.7], [0.6, 0.65], ear(1)),
            (
                [0.7, 0.5],
                [0.6, 0.71],
                Ear {
                    model: 0,
                    pace: much,
                },
            ),
            // Heard well enough.
            ([0.5, 0.85], [0.9, 0.9], ear(1)),
        ] {
            let hear = |ear: Ear, _| {
                let at = Pace::SLOWER.iter().position(|&pace| pace == ear.pace);
                Ok::<_, ()>(Some(vec![at.map_or(own[ear.model], |at| slower[at])]))
            };
            assert_eq!(surest(2, hear), Ok(best), "{own:?} {slower:?}");
        }
    }

    #[test]
    fn no_more_are_asked_than_must_be() {
        let mut asked = Vec::new();
        let mut nothing = |ear: Ear, windows: usize| {
            asked.push((ear.model, windows));
            Ok::<_, ()>(None)
        };
        assert_eq!(surest(3, &mut nothing), Ok(ear(0)));
        assert_eq!(asked, [(0, 2)]);
        assert_eq!(
            surest(2, |ear, _| Err::<Option<Vec<f32>>, _>(ear.model)),
            Err(0)
        );
        let well = |_, _| Ok::<_, ()>(Some(vec![0.9]));
        assert_eq!(surest(1, well), Ok(ear(0)));
    }
}
