//! Joins the recogniser's pieces into words.
//!
//! Whisper writes in pieces of words ("arch", "it", "rave", ","); a piece that starts a word starts
//! with a space. A character outside ASCII may be cut across pieces, so bytes are joined first.

use super::recogniser::HeardWord;
use crate::time::{Millis, Span};

/// How late the alignment notices a word, in milliseconds. Measured on eight synthetic
/// walk-rounds with known sentence starts, and in line with the 80 ms others report.
const ALIGNMENT_DELAY_MS: u64 = 80;

/// A word is taken to end at the next word's start unless that makes it longer than this many
/// times the window's median word: the alignment gives starts only, so a word before a pause would
/// swallow the pause. The factor is that of OpenAI's `timing.py`.
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
    /// When it was said, in window time, as the alignment gives it.
    pub(super) at: Option<Millis>,
}

impl Piece {
    fn starts_word(&self) -> bool {
        self.bytes.first() == Some(&b' ')
    }

    /// True for a piece that carries sound: anything but punctuation and space.
    fn is_spoken(&self) -> bool {
        self.bytes.iter().any(|&byte| !byte.is_ascii() || byte.is_ascii_alphanumeric() || b"%&$+=@#/".contains(&byte))
    }
}

/// Returns the words of a window that is `length` long.
///
/// Punctuation stays on its word; a lone mark goes to the word before it. Spans start no earlier
/// than the word before and end within the window.
pub(super) fn join(pieces: &[Piece], length: Millis) -> Vec<HeardWord> {
    let mut groups: Vec<&[Piece]> = Vec::new();
    let mut start = 0;
    for index in 1..=pieces.len() {
        if index == pieces.len() || pieces[index].starts_word() {
            groups.push(&pieces[start..index]);
            start = index;
        }
    }

    let mut words: Vec<HeardWord> = Vec::new();
    let mut earliest = Millis(0);
    for group in groups.into_iter().filter(|group| !group.is_empty()) {
        let bytes: Vec<u8> = group.iter().flat_map(|piece| piece.bytes.iter().copied()).collect();
        let text = String::from_utf8_lossy(&bytes).split_whitespace().collect::<String>();
        let Some(first_spoken) = group.iter().find(|piece| piece.is_spoken()) else {
            if let Some(last) = words.last_mut() {
                last.text.push_str(&text);
            }
            continue;
        };
        let at = first_spoken.at.map_or(earliest, |at| at.earlier(ALIGNMENT_DELAY_MS));
        let at = at.clamp(earliest, length.max(earliest));
        earliest = at;
        let probability = group
            .iter()
            .filter(|piece| piece.is_spoken())
            .map(|piece| piece.probability)
            .fold(1.0, f32::min);
        words.push(HeardWord { text, span: Span::new(at, at), probability });
    }
    set_ends(&mut words, length);
    words
}

/// Ends each word at the start of the next, or earlier where a pause follows.
fn set_ends(words: &mut [HeardWord], length: Millis) {
    let starts: Vec<Millis> = words.iter().map(|word| word.span.start).collect();
    let mut gaps: Vec<u64> = starts.windows(2).map(|pair| pair[1].0 - pair[0].0).collect();
    gaps.sort_unstable();
    let median = gaps.get(gaps.len() / 2).copied().unwrap_or(0);
    for (index, word) in words.iter_mut().enumerate() {
        let limit = (LONGEST_IN_MEDIANS * median)
            .max(SHORTEST_LIMIT_MS)
            .max(PER_CHARACTER_MS * word.text.chars().count() as u64);
        let next = starts.get(index + 1).copied().unwrap_or(length);
        word.span = Span::new(word.span.start, next.min(word.span.start.later(limit)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pieces from `text@centiseconds:probability` entries separated by `|`.
    fn pieces(spec: &[(&str, u64, f32)]) -> Vec<Piece> {
        spec.iter()
            .map(|&(text, at, probability)| Piece {
                bytes: text.as_bytes().to_vec(),
                probability,
                at: Some(Millis(at)),
            })
            .collect()
    }

    fn shown(words: &[HeardWord]) -> String {
        words
            .iter()
            .map(|word| {
                let Span { start, end } = word.span;
                format!("{} {}-{} {:.2}", word.text, start.0, end.0, word.probability)
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
        Architrave, 920-1620 0.40
        to 1620-1720 0.99
        the 1720-1920 0.95
        left. 1920-2370 0.90
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
        let texts: Vec<String> = join(&heard, Millis(2000)).into_iter().map(|word| word.text).collect();
        assert_eq!(texts, ["Skirting-", "\"loose\""]);
    }

    #[test]
    fn a_character_cut_across_pieces_is_whole_again() {
        let euro = "€".as_bytes();
        let heard = vec![
            Piece { bytes: [b" ", &euro[..1]].concat(), probability: 0.9, at: Some(Millis(100)) },
            Piece { bytes: euro[1..].to_vec(), probability: 0.8, at: Some(Millis(200)) },
            Piece { bytes: b"40".to_vec(), probability: 0.7, at: Some(Millis(300)) },
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
        one 1920-1920 0.90
        two 1920-3000 0.90
        three 3000-3000 0.90
        ");
    }

    #[test]
    fn a_word_before_a_pause_does_not_swallow_it() {
        let heard = pieces(&[
            (" newel", 1000, 0.9),
            (" post", 1300, 0.9),
            (" loose", 1600, 0.9),
            (" Next", 8000, 0.9),
        ]);
        let words = join(&heard, Millis(20_000));
        assert!(words[2].span.length() <= 600, "{:?}", words[2]);
    }
}
