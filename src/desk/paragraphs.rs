//! The transcript in paragraphs short enough to follow with the eye.

use crate::speech::Word;
use serde::Serialize;

/// A pause from here on starts a new paragraph. Own choice: longer than a breath, shorter than a walk
/// to the next room.
const PAUSE_MS: u64 = 1_500;
/// After this many words a paragraph ends with its sentence.
const LONG: usize = 30;
/// After this many it ends in any case.
const LONGEST: usize = 80;

/// Some words, with when and how surely each was heard.
#[derive(Debug, PartialEq, Serialize)]
pub(crate) struct Paragraph {
    /// Number of the first word in the whole transcript.
    first: usize,
    words: Vec<String>,
    /// First and last millisecond of each word, one after the other; empty without times.
    times: Vec<u64>,
    /// The words, counted from the paragraph's first, that were heard with doubt.
    doubtful: Vec<usize>,
}

/// Words heard with less probability than this are shown as doubtful. Own choice: of the recogniser's
/// words about one in ten is below it.
const DOUBTFUL: f32 = 0.5;

/// Returns the words as paragraphs. `first` is the number of the first word in the whole transcript.
pub(crate) fn paragraphs(words: &[Word], first: usize) -> Vec<Paragraph> {
    let mut all = Vec::new();
    let mut start = 0;
    for at in 1..=words.len() {
        if at == words.len() || ends(&words[start..at], &words[at]) {
            all.push(paragraph(&words[start..at], first + start));
            start = at;
        }
    }
    all
}

fn ends(so_far: &[Word], next: &Word) -> bool {
    let Some(last) = so_far.last() else {
        return false;
    };
    let pause = last
        .span
        .zip(next.span)
        .map_or(0, |(a, b)| b.start.0.saturating_sub(a.end.0));
    let sentence = last.text.ends_with(['.', '?', '!', '…']);
    last.line_end
        || pause >= PAUSE_MS
        || (so_far.len() >= LONG && sentence)
        || so_far.len() >= LONGEST
}

fn paragraph(words: &[Word], first: usize) -> Paragraph {
    let timed = words.iter().all(|word| word.span.is_some());
    let spans = words.iter().filter_map(|word| word.span);
    Paragraph {
        first,
        words: words.iter().map(|word| word.text.clone()).collect(),
        times: if timed {
            spans.flat_map(|span| [span.start.0, span.end.0]).collect()
        } else {
            Vec::new()
        },
        doubtful: (0..words.len())
            .filter(|at| words[*at].probability < DOUBTFUL)
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::{Millis, Span};

    fn words(text: &str, gap_after: usize, gap_ms: u64) -> Vec<Word> {
        let mut at = 0;
        let word = |(place, text): (usize, &str)| {
            let span = Span::new(Millis(at), Millis(at + 300));
            at += if place + 1 == gap_after {
                300 + gap_ms
            } else {
                350
            };
            Word {
                text: text.into(),
                recording: 1,
                span: Some(span),
                probability: 1.0,
                line_end: false,
                meant: None,
            }
        };
        text.split(' ').enumerate().map(word).collect()
    }

    fn shown(words: &[Word]) -> Vec<String> {
        let paragraphs = paragraphs(words, 0);
        paragraphs.iter().map(|p| p.words.join(" ")).collect()
    }

    #[test]
    fn a_pause_starts_a_new_paragraph_and_a_breath_does_not() {
        let text = "Hallway. The door sticks.";
        assert_eq!(shown(&words(text, 1, 1_000)), [text]);
        assert_eq!(
            shown(&words(text, 1, 2_000)),
            ["Hallway.", "The door sticks."]
        );
    }

    #[test]
    fn long_talk_without_pause_is_broken_at_a_sentence_or_at_last_anywhere() {
        let sentence = "one two three four five six seven eight nine ten.";
        let text = [sentence; 5].join(" ");
        assert_eq!(shown(&words(&text, 0, 0)).len(), 2);
        let endless = vec!["and"; 200].join(" ");
        assert_eq!(shown(&words(&endless, 0, 0)).len(), 3);
    }

    #[test]
    fn no_word_is_lost_and_each_keeps_its_number() {
        let words = words("a b c d e f", 3, 9_000);
        let paragraphs = paragraphs(&words, 40);
        assert_eq!((paragraphs[0].first, paragraphs[1].first), (40, 43));
        assert_eq!(paragraphs.iter().map(|p| p.words.len()).sum::<usize>(), 6);
        assert_eq!(paragraphs[0].times[..4], [0, 300, 350, 650]);
        assert_eq!(super::paragraphs(&[], 0), []);
    }
}
