//! Takes out text that the recogniser wrote but nobody said, and keeps it as evidence.
//!
//! Whisper has three known ways of inventing text: it runs in circles, it writes stock phrases over
//! silence and noise, and it gives its prompt back. Each filter is narrow on purpose: a real remark
//! lost is worse than an invented one shown.

use super::recogniser::{DropReason, DroppedText, Heard, HeardWord};

/// Consecutive identical rounds that make a loop, by the number of words in a round. People say
/// "no, no, no, no" or read a label twice; nobody says the same five words three times running.
/// (Five words, three rounds: speech recognisers' common practice, no source.)
const LOOPS: [(std::ops::RangeInclusive<usize>, usize); 3] = [(1..=1, 6), (2..=4, 4), (5..=40, 3)];

/// Words in a row that must agree with the prompt to count as its echo: fewer could be said.
const ECHO_WORDS: usize = 6;

/// Above this probability of "no speech", or below [`WEAK_WORDS`], a window counts as weak.
const WEAK_NO_SPEECH: f32 = 0.5;

/// Mean word probability below which a window counts as weak.
const WEAK_WORDS: f32 = 0.5;

/// What Whisper writes when it hears no words. The kind of phrase is described in arXiv 2501.11378
/// ("bag of hallucinations"); this selection is from memory, without greetings and words an
/// inspector may well say alone, such as "okay" and "right".
const NOISE_PHRASES: [&str; 16] = [
    "thank you",
    "thank you very much",
    "thank you for watching",
    "thank you so much for watching",
    "thanks for watching",
    "thanks for listening",
    "please subscribe",
    "like and subscribe",
    "see you next time",
    "see you in the next video",
    "ill see you next time",
    "you",
    "bye",
    "bye bye",
    "the end",
    "so",
];

/// Returns what remains of `words` and what was taken out. `no_speech` is the recogniser's
/// probability that the window holds no speech; `prompt` the prompt it was given, or nothing.
pub(super) fn sift(words: Vec<HeardWord>, no_speech: f32, prompt: &str) -> Heard {
    let mut heard = Heard {
        words,
        dropped: Vec::new(),
    };
    drop_echo(&mut heard, prompt);
    drop_loops(&mut heard);
    drop_noise_phrase(&mut heard, no_speech);
    heard
}

/// Returns a word's letters and digits in lower case.
fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

fn bare_words(words: &[HeardWord]) -> Vec<String> {
    words.iter().map(|word| bare(&word.text)).collect()
}

/// Moves the words in `range` to the dropped text.
fn take_out(heard: &mut Heard, range: std::ops::Range<usize>, reason: DropReason) {
    let taken: Vec<HeardWord> = heard.words.drain(range).collect();
    let (Some(first), Some(last)) = (taken.first(), taken.last()) else {
        return;
    };
    let span = first.span.cover(last.span);
    let text = taken
        .iter()
        .map(|word| word.text.as_str())
        .collect::<Vec<_>>()
        .join(" ");
    heard.dropped.push(DroppedText { text, span, reason });
}

fn drop_echo(heard: &mut Heard, prompt: &str) {
    let prompt: Vec<String> = prompt
        .split_whitespace()
        .map(bare)
        .filter(|w| !w.is_empty())
        .collect();
    if prompt.len() < ECHO_WORDS {
        return;
    }
    let mut start = 0;
    while start < heard.words.len() {
        let said = bare_words(&heard.words[start..]);
        let agreeing = (0..prompt.len())
            .map(|from| {
                said.iter()
                    .zip(&prompt[from..])
                    .take_while(|(a, b)| a == b)
                    .count()
            })
            .max()
            .unwrap_or(0);
        if agreeing >= ECHO_WORDS {
            take_out(heard, start..start + agreeing, DropReason::PromptEcho);
        } else {
            start += 1;
        }
    }
}

fn drop_loops(heard: &mut Heard) {
    for (lengths, least_rounds) in LOOPS {
        for length in lengths {
            let mut start = 0;
            while start + length * least_rounds <= heard.words.len() {
                let said = bare_words(&heard.words[start..]);
                let rounds = said
                    .chunks(length)
                    .take_while(|chunk| *chunk == &said[..length])
                    .count();
                if rounds >= least_rounds {
                    take_out(
                        heard,
                        start + length..start + length * rounds,
                        DropReason::Repetition,
                    );
                }
                start += 1;
            }
        }
    }
}

fn drop_noise_phrase(heard: &mut Heard, no_speech: f32) {
    if heard.words.is_empty() {
        return;
    }
    let text = bare_words(&heard.words).join(" ");
    let mean =
        heard.words.iter().map(|word| word.probability).sum::<f32>() / heard.words.len() as f32;
    let weak = no_speech > WEAK_NO_SPEECH || mean < WEAK_WORDS;
    if weak && NOISE_PHRASES.contains(&text.as_str()) {
        take_out(heard, 0..heard.words.len(), DropReason::HeardInNoise);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::{Millis, Span};

    fn said(text: &str, probability: f32) -> Vec<HeardWord> {
        text.split_whitespace()
            .zip(0..)
            .map(|(word, index)| HeardWord {
                text: word.to_owned(),
                span: Span::new(Millis(index * 300), Millis(index * 300 + 300)),
                probability,
            })
            .collect()
    }

    /// Returns the text kept, then what was dropped with its reason.
    fn sifted(text: &str, probability: f32, no_speech: f32, prompt: &str) -> String {
        let heard = sift(said(text, probability), no_speech, prompt);
        let kept: Vec<&str> = heard.words.iter().map(|word| word.text.as_str()).collect();
        let dropped: String = heard
            .dropped
            .iter()
            .map(|d| format!(" | {:?}: {}", d.reason, d.text))
            .collect();
        kept.join(" ") + &dropped
    }

    #[test]
    fn loops_are_collapsed_to_one_round() {
        for (text, expected) in [
            ("no, no, no, not that one", "no, no, no, not that one"),
            (
                "la la la la la la la end",
                "la end | Repetition: la la la la la la",
            ),
            (
                "Hall. Paint run on it. Paint run on it. Paint run on it. Paint run on it. Next",
                "Hall. Paint run on it. Next | Repetition: Paint run on it. Paint run on it. Paint run on it.",
            ),
            (
                "a gap at the top a gap at the top a gap at the top",
                "a gap at the top | Repetition: a gap at the top a gap at the top",
            ),
            (
                "a gap at the top a gap at the top",
                "a gap at the top a gap at the top",
            ),
        ] {
            assert_eq!(sifted(text, 0.9, 0.0, ""), expected);
        }
    }

    #[test]
    fn stock_phrases_go_only_when_they_are_all_and_the_window_is_weak() {
        for (text, probability, no_speech, kept) in [
            ("Thank you.", 0.9, 0.8, false),
            ("Thanks for watching!", 0.3, 0.1, false),
            ("Thank you.", 0.9, 0.1, true),
            ("Thank you, now the loft.", 0.3, 0.9, true),
            ("Okay.", 0.3, 0.9, true),
        ] {
            let heard = sift(said(text, probability), no_speech, "");
            assert_eq!(!heard.words.is_empty(), kept, "{text}");
            assert_eq!(heard.dropped.is_empty(), kept, "{text}");
        }
    }

    #[test]
    fn the_prompt_given_back_is_taken_out() {
        let prompt = "Right, the newel post wants refixing, and the architrave has a paint run.";
        assert_eq!(
            sifted(
                "the newel post wants refixing, and the loft",
                0.9,
                0.0,
                prompt
            ),
            "loft | PromptEcho: the newel post wants refixing, and the",
        );
        let real = "the architrave has a gap";
        assert_eq!(sifted(real, 0.9, 0.0, prompt), real);
    }
}
