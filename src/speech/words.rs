//! Joins the recogniser's pieces into words.
//!
//! Whisper writes in pieces of words ("arch", "it", "rave", ","); a piece that starts a word starts
//! with a space. A character outside ASCII may be cut across pieces, so bytes are joined first.

use super::recogniser::HeardWord;
use crate::time::{Millis, Span};

/// A word is not taken to be longer than this many times the window's median word: a pause before
/// or after it would otherwise count as part of it. The factor is that of OpenAI's `timing.py`.
const LONGEST_IN_MEDIANS: u64 = 2;

/// Shortest useful limit for a word's length in milliseconds, for windows of very short words.
const SHORTEST_LIMIT_MS: u64 = 400;

/// Time per character that a long word may take however short its neighbours, in milliseconds:
/// slow dictation runs at about eleven characters per second.
const PER_CHARACTER_MS: u64 = 90;

/// One token of recognised text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    /// Its bytes, with the leading space if it has one.
    pub(super) bytes: Vec<u8>,
    /// Probability 0 to 1.
    pub(super) probability: f32,
    /// When it ended, in window time, as far as the alignment knows.
    pub(super) end: Option<Millis>,
}

impl Piece {
    fn starts_word(&self) -> bool {
        self.bytes.first() == Some(&b' ')
    }

    /// True for a piece that carries sound: anything but punctuation and space.
    fn is_spoken(&self) -> bool {
        self.bytes.iter().any(|&byte| {
            !byte.is_ascii() || byte.is_ascii_alphanumeric() || b"%&$+=@#/".contains(&byte)
        })
    }
}

/// Returns the words of a window that is `length` long.
///
/// Punctuation stays on its word; a lone mark goes to the word before it. Spans never overlap, never
/// go back and lie within the window. Without an alignment the words share the window evenly.
pub(super) fn join(pieces: &[Piece], length: Millis) -> Vec<HeardWord> {
    let mut groups: Vec<&[Piece]> = Vec::new();
    let mut start = 0;
    for index in 1..=pieces.len() {
        if index == pieces.len() || pieces[index].starts_word() {
            groups.push(&pieces[start..index]);
            start = index;
        }
    }

    let aligned = pieces.iter().any(|piece| piece.end.is_some());
    let unknown = |before| if aligned { before } else { length };
    let mut words: Vec<HeardWord> = Vec::new();
    let mut before = Millis(0);
    for group in groups.into_iter().filter(|group| !group.is_empty()) {
        let bytes: Vec<u8> = group
            .iter()
            .flat_map(|piece| piece.bytes.iter().copied())
            .collect();
        let text = String::from_utf8_lossy(&bytes)
            .split_whitespace()
            .collect::<String>();
        let spoken = || group.iter().filter(|piece| piece.is_spoken());
        if spoken().next().is_none() {
            if let Some(last) = words.last_mut() {
                last.text.push_str(&text);
            }
            continue;
        }
        let probability = spoken().map(|piece| piece.probability).fold(1.0, f32::min);
        let end = spoken()
            .filter_map(|piece| piece.end)
            .max()
            .unwrap_or(unknown(before));
        let end = end.min(length).max(before);
        words.push(HeardWord {
            text,
            span: Span::new(before, end),
            probability,
        });
        before = end;
    }
    if aligned {
        leave_pauses_out(&mut words);
    }
    share_out(&mut words);
    words
}

/// Moves the starts of words that follow a pause: so far each starts where the one before ends.
fn leave_pauses_out(words: &mut [HeardWord]) {
    let mut lengths: Vec<u64> = words.iter().map(|word| word.span.length()).collect();
    lengths.sort_unstable();
    let median = lengths
        .get(lengths.len().saturating_sub(1) / 2)
        .copied()
        .unwrap_or(0);
    for word in words {
        let limit = (LONGEST_IN_MEDIANS * median)
            .max(SHORTEST_LIMIT_MS)
            .max(PER_CHARACTER_MS * word.text.chars().count() as u64);
        let start = word.span.start.max(word.span.end.earlier(limit));
        word.span = Span::new(start, word.span.end);
    }
}

/// Gives words that end at the same moment equal shares of the first one's time.
fn share_out(words: &mut [HeardWord]) {
    let mut start = 0;
    while start < words.len() {
        let Span { start: from, end } = words[start].span;
        let together = words[start..]
            .iter()
            .take_while(|word| word.span.end == end)
            .count();
        let shares = together as u64;
        for (share, word) in (0..).zip(&mut words[start..start + together]) {
            let moment = |share: u64| from.later((end.0 - from.0) * share / shares);
            word.span = Span::new(moment(share), moment(share + 1));
        }
        start += together;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pieces from text, end in milliseconds and probability.
    fn pieces(spec: &[(&str, u64, f32)]) -> Vec<Piece> {
        spec.iter()
            .map(|&(text, end, probability)| Piece {
                bytes: text.as_bytes().to_vec(),
                probability,
                end: Some(Millis(end)),
            })
            .collect()
    }

    fn shown(words: &[HeardWord]) -> String {
        words
            .iter()
            .map(|word| {
                let Span { start, end } = word.span;
                format!(
                    "{} {}-{} {:.2}",
                    word.text, start.0, end.0, word.probability
                )
            })
            .collect::<Vec<_>>()
            .join("\n")
    }

    #[test]
    fn joins_pieces_and_keeps_punctuation() {
        let heard = pieces(&[
            (" Arch", 1000, 0.9),
            ("it", 1200, 0.4),
            ("rave", 1300, 0.8),
            (",", 1500, 0.1),
            (" to", 1700, 0.99),
            (" the", 1800, 0.95),
            (" left", 2000, 0.9),
            (".", 2300, 0.3),
        ]);
        insta::assert_snapshot!(shown(&join(&heard, Millis(9000))), @r"
        Architrave, 310-1300 0.40
        to 1300-1700 0.99
        the 1700-1800 0.95
        left. 1800-2000 0.90
        ");
    }

    #[test]
    fn lone_marks_join_the_word_before() {
        let heard = pieces(&[
            (" -", 0, 0.2),
            (" Skirting", 100, 0.9),
            (" -", 300, 0.2),
            (" \"", 600, 0.5),
            ("loose", 700, 0.9),
            ("\"", 800, 0.9),
        ]);
        let texts: Vec<String> = join(&heard, Millis(2000))
            .into_iter()
            .map(|word| word.text)
            .collect();
        assert_eq!(texts, ["Skirting-", "\"loose\""]);
    }

    #[test]
    fn a_character_cut_across_pieces_is_whole_again() {
        let euro = "€".as_bytes();
        let heard = vec![
            Piece {
                bytes: [b" ", &euro[..1]].concat(),
                probability: 0.9,
                end: Some(Millis(100)),
            },
            Piece {
                bytes: euro[1..].to_vec(),
                probability: 0.8,
                end: Some(Millis(200)),
            },
            Piece {
                bytes: b"40".to_vec(),
                probability: 0.7,
                end: Some(Millis(300)),
            },
        ];
        assert_eq!(join(&heard, Millis(2000))[0].text, "€40");
    }

    #[test]
    fn times_never_go_back_or_leave_the_window() {
        let heard = pieces(&[
            (" one", 2000, 0.9),
            (" two", 1500, 0.9),
            (" three", 9000, 0.9),
        ]);
        insta::assert_snapshot!(shown(&join(&heard, Millis(3000))), @r"
        one 0-1000 0.90
        two 1000-2000 0.90
        three 2000-3000 0.90
        ");
    }

    #[test]
    fn words_without_alignment_share_the_window() {
        let mut heard = pieces(&[(" one", 0, 0.9), (" two", 0, 0.9), (" three", 0, 0.9)]);
        heard.iter_mut().for_each(|piece| piece.end = None);
        insta::assert_snapshot!(shown(&join(&heard, Millis(3000))), @r"
        one 0-1000 0.90
        two 1000-2000 0.90
        three 2000-3000 0.90
        ");
    }

    #[test]
    fn a_word_after_a_pause_does_not_swallow_it() {
        let heard = pieces(&[
            (" newel", 1000, 0.9),
            (" post", 1300, 0.9),
            (" loose", 1600, 0.9),
            (" Next", 8000, 0.9),
        ]);
        let words = join(&heard, Millis(20_000));
        assert!(words[3].span.length() <= 600, "{:?}", words[3]);
        assert_eq!(words[3].span.end, Millis(8000));
    }
}
