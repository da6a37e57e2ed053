//! Reads a window again, in parts, where a long stretch of it gave no words.
//!
//! Whisper at times leaves out most of a window and writes its last sentence only. The same sound in
//! shorter parts, cut where the speaker paused, is then heard. What gives no words even so is told.

use super::recogniser::{
    DropReason, DroppedText, Heard, HeardWord, Recogniser, SAMPLE_RATE, SpeechError,
};
use crate::time::{Millis, Span};

/// A stretch of this many milliseconds without words is read again. A window holds pauses of a
/// second at most, so some three seconds of it were taken for speech. Own choice.
const LEAST_WORDLESS_MS: u64 = 4000;
/// How often a part is parted again: four parts of a full window are about a remark each.
const MOST_CUTS: u32 = 2;
/// Mean probability that the words of the parts must have: less sure ones are as likely invented.
/// As in the filters.
const LEAST_SURE: f32 = 0.5;

/// Returns what is heard in one window of samples, in whose time `pauses` are the moments between
/// remarks. Stretches without words are among what is dropped, as [`DropReason::NoWords`].
///
/// # Errors
/// As [`Recogniser::recognise`].
pub fn recognise_all(
    recogniser: &mut dyn Recogniser,
    samples: &[f32],
    pauses: &[Millis],
) -> Result<Heard, SpeechError> {
    let mut heard = parted(recogniser, samples, pauses, MOST_CUTS)?;
    for span in wordless(&heard.words, length(samples)) {
        let within = |dropped: &DroppedText| {
            span.start <= dropped.span.end && dropped.span.start <= span.end
        };
        if !heard.dropped.iter().any(within) {
            heard.dropped.push(DroppedText {
                text: String::new(),
                span,
                reason: DropReason::NoWords,
            });
        }
    }
    Ok(heard)
}

/// Returns the fuller of two readings: the whole, and its two parts one after the other.
fn parted(
    recogniser: &mut dyn Recogniser,
    samples: &[f32],
    pauses: &[Millis],
    cuts: u32,
) -> Result<Heard, SpeechError> {
    let whole = recogniser.recognise(samples)?;
    let longest = wordless(&whole.words, length(samples)).max_by_key(|span| span.length());
    let cut = longest.and_then(|span| cut(span, pauses));
    let (Some(cut), true) = (cut, cuts > 0) else {
        return Ok(whole);
    };
    let at = sample(cut).min(samples.len());
    let (before, after): (Vec<Millis>, Vec<Millis>) = pauses.iter().partition(|&&p| p < cut);
    let after: Vec<Millis> = after.iter().map(|p| Millis(p.0 - cut.0)).collect();
    let mut parts = parted(recogniser, &samples[..at], &before, cuts - 1)?;
    let second = parted(recogniser, &samples[at..], &after, cuts - 1)?;
    let later = |span: Span| Span::new(Millis(span.start.0 + cut.0), Millis(span.end.0 + cut.0));
    parts
        .words
        .extend(second.words.into_iter().map(|word| HeardWord {
            span: later(word.span),
            ..word
        }));
    parts
        .dropped
        .extend(second.dropped.into_iter().map(|dropped| DroppedText {
            span: later(dropped.span),
            ..dropped
        }));
    let fuller = parts.words.len() > whole.words.len() && sureness(&parts.words) >= LEAST_SURE;
    Ok(if fuller { parts } else { whole })
}

fn length(samples: &[f32]) -> Millis {
    Millis::from_seconds(samples.len() as f64 / f64::from(SAMPLE_RATE))
}

fn sample(at: Millis) -> usize {
    let samples = at.0 * u64::from(SAMPLE_RATE) / 1000;
    usize::try_from(samples).unwrap_or(usize::MAX)
}

/// Returns the stretches of [`LEAST_WORDLESS_MS`] or more without words.
fn wordless(words: &[HeardWord], length: Millis) -> impl Iterator<Item = Span> {
    let starts = words.iter().map(|word| word.span.start).chain([length]);
    let ends = [Millis(0)]
        .into_iter()
        .chain(words.iter().map(|w| w.span.end));
    let spans: Vec<Span> = ends
        .zip(starts)
        .filter(|(end, start)| start.0.saturating_sub(end.0) >= LEAST_WORDLESS_MS)
        .map(|(end, start)| Span::new(end, start))
        .collect();
    spans.into_iter()
}

/// Returns the pause inside a stretch that is nearest its middle.
fn cut(span: Span, pauses: &[Millis]) -> Option<Millis> {
    let middle = (span.start.0 + span.end.0) / 2;
    let inside = pauses.iter().filter(|p| span.start < **p && **p < span.end);
    inside.min_by_key(|p| p.0.abs_diff(middle)).copied()
}

fn sureness(words: &[HeardWord]) -> f32 {
    words.iter().map(|word| word.probability).sum::<f32>() / words.len().max(1) as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::{Doubt, Likelihoods, NextBest};

    /// Hears a word a second, told by the samples themselves, but none of the first `deaf` seconds
    /// of anything longer than `from` seconds.
    struct Forgetful {
        deaf: usize,
        from: usize,
        sure: f32,
        readings: usize,
    }

    impl Recogniser for Forgetful {
        fn recognise(&mut self, samples: &[f32]) -> Result<Heard, SpeechError> {
            self.readings += 1;
            let seconds = samples.len() / SAMPLE_RATE as usize;
            let deaf = if seconds > self.from { self.deaf } else { 0 };
            let words = (deaf..seconds).map(|second| {
                let start = second as u64 * 1000;
                HeardWord {
                    text: samples[second * SAMPLE_RATE as usize].to_string(),
                    span: Span::new(Millis(start), Millis(start + 900)),
                    probability: if deaf > 0 { 0.9 } else { self.sure },
                }
            });
            Ok(Heard {
                words: words.collect(),
                dropped: Vec::new(),
            })
        }

        fn weigh(
            &mut self,
            _: &[f32],
            _: &[&str],
            _: &[Doubt],
        ) -> Result<Vec<Likelihoods>, SpeechError> {
            Ok(Vec::new())
        }

        fn next_best(
            &mut self,
            _: &[f32],
            _: &[&str],
            _: &[usize],
        ) -> Result<Vec<Vec<NextBest>>, SpeechError> {
            Ok(Vec::new())
        }
    }

    fn window(seconds: usize) -> Vec<f32> {
        let second = |n: usize| std::iter::repeat_n(n as f32, SAMPLE_RATE as usize);
        (0..seconds).flat_map(second).collect()
    }

    /// Returns the words with their start in seconds, the stretches without words, and the readings.
    fn told(mut recogniser: Forgetful, seconds: usize, pauses: &[u64]) -> (String, String, usize) {
        let pauses: Vec<Millis> = pauses.iter().map(|s| Millis(s * 1000)).collect();
        let heard = recognise_all(&mut recogniser, &window(seconds), &pauses).unwrap();
        let words = heard.words.iter().map(|word| {
            assert_eq!(word.span.start.0 / 1000, word.text.parse::<u64>().unwrap());
            word.text.clone()
        });
        let dropped = heard.dropped.iter().map(|dropped| {
            assert_eq!(dropped.reason, DropReason::NoWords);
            format!("{}-{}", dropped.span.start.0, dropped.span.end.0)
        });
        (
            words.collect::<Vec<_>>().join(" "),
            dropped.collect::<Vec<_>>().join(" "),
            recogniser.readings,
        )
    }

    #[test]
    fn what_a_long_window_leaves_out_is_heard_in_parts() {
        let all = "0 1 2 3 4 5 6 7 8 9 10 11";
        for (deaf, from, sure, pauses, words, wordless, readings) in [
            // Nothing is left out: read once.
            (0, 20, 0.9, &[3, 6][..], all, "", 1),
            // A short stretch may be noise.
            (3, 2, 0.9, &[2], "3 4 5 6 7 8 9 10 11", "", 1),
            (10, 8, 0.9, &[3, 6], all, "", 3),
            // Parted once more.
            (10, 4, 0.9, &[4, 8], all, "", 5),
            // Nowhere to cut, and words that are likely invented: told, not hidden.
            (10, 8, 0.9, &[], "10 11", "0-10000", 1),
            (10, 8, 0.2, &[3, 6], "10 11", "0-10000", 3),
        ] {
            let recogniser = Forgetful {
                deaf,
                from,
                sure,
                readings: 0,
            };
            assert_eq!(
                told(recogniser, 12, pauses),
                (words.to_owned(), wordless.to_owned(), readings),
                "{deaf} of {from}, {pauses:?}"
            );
        }
    }
}
