//! Which of several models hears a recording best, and how it is played to it: so that it is surest of its words.
//!
//! A model whose ear was fitted to hard voices hears those with less than half the errors, and easy ones
//! with half as many errors again (`models/README.md`). Nobody should have to say which he is: what a model
//! mishears it is unsure of, so the beginning of a recording is heard with each.

use super::pace::Pace;
use crate::audio::WindowSettings;

/// How sound is played to a model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Manner {
    /// How fast.
    pub pace: Pace,
    /// Whether the echo of the room is taken out first.
    pub without_echo: bool,
}

impl Manner {
    /// As it was recorded.
    pub const AS_RECORDED: Manner = Manner {
        pace: Pace::OWN,
        without_echo: false,
    };

    /// Returns how sound is to be cut into windows to be played so.
    pub fn windows(self, usual: WindowSettings) -> WindowSettings {
        WindowSettings {
            without_echo: self.without_echo,
            ..self.pace.windows(usual)
        }
    }
}

/// How a recording is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ear {
    /// The place of the model that hears it, among those there are.
    pub model: usize,
    /// How it is played to it.
    pub manner: Manner,
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

/// A mean below this is of a recording not heard well.
const WELL: f32 = -0.12;

/// By how much a model must be surer of a recording without its echo. Two with little echo were surer by 0.004 and 0.005
/// without it, and 0.4 words in a hundred more were wrong; two with much by 0.018 and 0.038, and 1.3 fewer were.
const CLEARLY: f32 = 0.006;

/// By how much another model must be surer than the one that is fitted to the user's voice: mostly it is he who speaks.
/// Of two recordings of its voice that one was less sure by 0.004 and 0.019 than a built-in one, and heard them better (3.7
/// and 7.5 words in a hundred wrong, not 8.3 and 8.6); of another's voice by 0.029.
pub const OWN_VOICE: f32 = 0.02;

/// No word's probability counts as less than this: one must not outweigh all others.
const LEAST: f32 = 1e-4;

/// Returns how a recording is heard with the highest mean logarithm of the probabilities of the words heard, by
/// one of so many models, of which the others must be surer than the first by more than `favour`. `hear` returns these
/// for an ear and so many windows of the recording's beginning, or `None` where there is nothing to hear: then nothing
/// more is asked.
///
/// Each model is asked for two windows, and those nearly as sure as the surest for six.
/// Where the surest hardly hears its words, it is tried at [`Pace::SLOWER`]; where it does not hear them well, at that
/// pace without the room's echo, which also takes six windows where two leave it open. Of equals it is the first; one
/// that heard no words only where none heard any.
///
/// # Errors
/// As `hear` has it.
pub fn surest<E>(
    models: usize,
    favour: f32,
    mut hear: impl FnMut(Ear, usize) -> Result<Option<Vec<f32>>, E>,
) -> Result<Ear, E> {
    let as_recorded = |model| Ear {
        model,
        manner: Manner::AS_RECORDED,
    };
    let mut means = Vec::new();
    for ear in (0..models).map(as_recorded) {
        match hear(ear, TRIED_WINDOWS)? {
            Some(words) => means.push((ear, mean_logarithm(&words))),
            None => return Ok(as_recorded(0)),
        }
    }
    let favoured = |one: &(Ear, f32)| match one.0.model {
        0 => one.1 + favour,
        _ => one.1,
    };
    let Some(mut best) = first_highest(&means, &favoured) else {
        return Ok(as_recorded(0));
    };
    let mut tried: Vec<(Ear, usize, f32)> = means
        .iter()
        .map(|&(ear, sure)| (ear, TRIED_WINDOWS, sure))
        .collect();
    // What was heard once is not asked for again.
    let mut sure = |ear: Ear, windows: usize| -> Result<f32, E> {
        if let Some(known) = tried.iter().find(|one| (one.0, one.1) == (ear, windows)) {
            return Ok(known.2);
        }
        let sure = mean_logarithm(&hear(ear, windows)?.unwrap_or_default());
        tried.push((ear, windows, sure));
        Ok(sure)
    };
    let near = means.iter();
    let near = near.filter(|one| favoured(&best) - favoured(one) < NEARLY);
    let near: Vec<Ear> = near.map(|one| one.0).collect();
    if near.len() > 1 {
        means.clear();
        for ear in near {
            means.push((ear, sure(ear, MOST_TRIED_WINDOWS)?));
        }
        best.0 = first_highest(&means, &favoured).map_or(best.0, |one| one.0);
    }
    if best.1 == mean_logarithm(&[]) {
        return Ok(best.0);
    }
    if best.1 < HARDLY {
        for pace in Pace::SLOWER {
            let manner = Manner {
                pace,
                ..Manner::AS_RECORDED
            };
            let ear = Ear { manner, ..best.0 };
            let slower = sure(ear, TRIED_WINDOWS)?;
            if slower > best.1 {
                best = (ear, slower);
            }
        }
    }
    if best.1 < WELL {
        let manner = Manner {
            without_echo: true,
            ..best.0.manner
        };
        let dry = Ear { manner, ..best.0 };
        let mut surer = |windows| Ok(sure(dry, windows)? - sure(best.0, windows)?);
        let mut by = surer(TRIED_WINDOWS)?;
        if by.abs() < NEARLY {
            by = surer(MOST_TRIED_WINDOWS)?;
        }
        if by > CLEARLY {
            best.0 = dry;
        }
    }
    Ok(best.0)
}

/// Returns the first of those that are worth most.
fn first_highest(means: &[(Ear, f32)], worth: &dyn Fn(&(Ear, f32)) -> f32) -> Option<(Ear, f32)> {
    let higher = |best: (Ear, f32), one: &(Ear, f32)| match worth(one) > worth(&best) {
        true => *one,
        false => best,
    };
    let first = *means.first()?;
    Some(means.iter().fold(first, higher))
}

/// Returns the mean logarithm of probabilities, by which ears are chosen; of none the least there is.
pub fn mean_logarithm(probabilities: &[f32]) -> f32 {
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
            manner: Manner::AS_RECORDED,
        }
    }

    fn at(model: usize, pace: Pace, without_echo: bool) -> Ear {
        let manner = Manner { pace, without_echo };
        Ear { model, manner }
    }

    fn of(heard: &[&[f32]]) -> Ear {
        let hear = |ear: Ear, _| Ok::<_, ()>(Some(heard[ear.model].to_vec()));
        surest(heard.len(), 0.0, hear).unwrap()
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

    /// As mean logarithms.
    #[test]
    fn one_must_be_clearly_surer_than_the_users_own_voice() {
        for (own, other, best) in [(-0.12, -0.105, 0), (-0.12, -0.09, 1), (-0.12, -0.13, 0)] {
            let means: [f32; 2] = [own, other];
            let hear = |ear: Ear, _| Ok::<_, ()>(Some(vec![means[ear.model].exp()]));
            let heard = surest(2, OWN_VOICE, hear).unwrap();
            assert_eq!(heard.model, best, "{own} {other}");
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
        assert_eq!(surest(3, 0.0, hear), Ok(ear(0)));
        assert_eq!(asked, [(0, 2), (1, 2), (2, 2), (0, 6), (2, 6)]);
    }

    /// Models with their probabilities as it was recorded, those of the surest at each slower pace, and how much
    /// surer it is without the echo.
    #[test]
    fn what_is_hardly_heard_is_tried_slower_and_what_is_not_heard_well_without_echo() {
        let [little, much] = Pace::SLOWER;
        for (own, slower, dry, best) in [
            ([0.5, 0.7], [0.75, 0.8], -0.1, at(1, much, false)),
            ([0.5, 0.7], [0.8, 0.75], -0.1, at(1, little, false)),
            ([0.5, 0.7], [0.8, 0.75], 0.1, at(1, little, true)),
            ([0.5, 0.7], [0.6, 0.65], -0.1, ear(1)),
            ([0.5, 0.7], [0.6, 0.65], 0.1, at(1, Pace::OWN, true)),
            ([0.7, 0.5], [0.6, 0.71], -0.1, at(0, much, false)),
            // Not hardly heard, but not well either.
            ([0.5, 0.85], [0.9, 0.9], 0.1, at(1, Pace::OWN, true)),
            ([0.5, 0.85], [0.9, 0.9], 0.0, ear(1)),
            // Heard well enough.
            ([0.5, 0.95], [0.99, 0.99], 0.04, ear(1)),
        ] {
            let hear = |ear: Ear, _| {
                let at = Pace::SLOWER
                    .iter()
                    .position(|&pace| pace == ear.manner.pace);
                let sure = at.map_or(own[ear.model], |at| slower[at]);
                let more = if ear.manner.without_echo { dry } else { 0.0 };
                Ok::<_, ()>(Some(vec![sure + more]))
            };
            assert_eq!(surest(2, 0.0, hear), Ok(best), "{own:?} {slower:?} {dry}");
        }
    }

    #[test]
    fn no_more_are_asked_than_must_be() {
        let mut asked = Vec::new();
        let mut nothing = |ear: Ear, windows: usize| {
            asked.push((ear.model, windows));
            Ok::<_, ()>(None)
        };
        assert_eq!(surest(3, 0.0, &mut nothing), Ok(ear(0)));
        assert_eq!(asked, [(0, 2)]);
        assert_eq!(
            surest(2, 0.0, |ear, _| Err::<Option<Vec<f32>>, _>(ear.model)),
            Err(0)
        );
        let well = |_, _| Ok::<_, ()>(Some(vec![0.9]));
        assert_eq!(surest(1, 0.0, well), Ok(ear(0)));
    }
}
