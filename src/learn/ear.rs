//! What was said in which window of a recording, for fitting the recogniser to a voice.
//!
//! Of a page read aloud the words are known. Of a walk-round they are taken as they were heard: where
//! most are right, learning from them still brings the ear nearer to the voice, because what is misheard
//! is misheard in many ways and what is right always in one.

use super::aloud::beside_page;
use crate::audio::Window;
use crate::lexicon::Lexicon;
use crate::speech::{Spoken, Word};
use crate::time::Span;
use std::ops::Range;

/// A window with fewer words tells little of a voice.
const FEWEST_WORDS: usize = 8;

/// Farther from the sounds of its words than this (weighted edits over them) a window holds something else
/// than the page, or the page with much left out: every other sentence left out comes to 0.39.
const FARTHEST: f32 = 0.35;

/// More words of the page in a row for which nothing was heard were not read: as long are hardly misheard.
const MOST_UNREAD: usize = 5;

/// Returns the windows of a recording with the words that were heard in them, without those of few words.
pub fn heard_in(words: &[Word], windows: Vec<Window>) -> Vec<Spoken> {
    let spoken = windows.into_iter().filter_map(|window| {
        let words = &words[within(words, &window.speech)];
        (words.len() >= FEWEST_WORDS).then(|| Spoken {
            samples: window.samples,
            text: joined(words),
        })
    });
    spoken.collect()
}

/// Returns the windows of a recording with the words of the page that were read in them; without those in
/// which few were, or something else was said.
pub fn read_in(lexicon: &Lexicon, words: &[Word], windows: Vec<Window>) -> Vec<Spoken> {
    let Ok((page, stands_for)) = beside_page(lexicon, words) else {
        return Vec::new();
    };
    let spoken = windows.into_iter().filter_map(|window| {
        let heard = within(words, &window.speech);
        let of_page: Vec<usize> = stands_for[heard.clone()]
            .iter()
            .flatten()
            .copied()
            .collect();
        let read = page.get(*of_page.first()?..=*of_page.last()?)?;
        let unread = of_page
            .windows(2)
            .map(|two| two[1].saturating_sub(two[0] + 1));
        let (said, listened) = (lexicon.tokens(read), lexicon.tokens(&words[heard]));
        let distance = lexicon.heard_for(&said, &listened).distance;
        let whole = distance <= FARTHEST && unread.max().unwrap_or(0) <= MOST_UNREAD;
        (whole && read.len() >= FEWEST_WORDS).then(|| Spoken {
            samples: window.samples,
            text: joined(read),
        })
    });
    spoken.collect()
}

/// Returns the words that begin in these stretches.
fn within(words: &[Word], speech: &[Span]) -> Range<usize> {
    let inside = |word: &Word| {
        let begins = word.span.map(|span| span.start);
        begins.is_some_and(|at| speech.iter().any(|s| s.start <= at && at < s.end))
    };
    let first = words.iter().position(inside).unwrap_or(0);
    let last = words.iter().rposition(inside).map_or(0, |last| last + 1);
    first..last
}

/// Returns the words as one text, those that a second look took for others as what they were taken for.
fn joined(words: &[Word]) -> String {
    let texts = words.iter().map(|word| match word.meant.as_deref() {
        Some(meant) => meant,
        None => &word.text,
    });
    let texts: Vec<&str> = texts.filter(|text| !text.is_empty()).collect();
    texts.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::SourceMap;
    use crate::time::Millis;

    /// Returns words half a second each, from the beginning of a recording on.
    fn words(text: &str) -> Vec<Word> {
        let words = text.split_whitespace().zip((0..).step_by(500));
        let word = |(text, at): (&str, u64)| Word {
            span: Some(Span::new(Millis(at), Millis(at + 500))),
            recording: 1,
            ..Word::written(text)
        };
        words.map(word).collect()
    }

    /// Returns windows with the words of these numbers, from and to.
    fn windows(ranges: &[(u64, u64)]) -> Vec<Window> {
        let window = |(&(from, to), index)| Window {
            index,
            samples: vec![from as f32],
            map: SourceMap::default(),
            speech: vec![Span::new(Millis(from * 500), Millis(to * 500))],
        };
        ranges.iter().zip(0..).map(window).collect()
    }

    fn texts(spoken: Vec<Spoken>) -> Vec<String> {
        spoken.into_iter().map(|one| one.text).collect()
    }

    #[test]
    fn of_a_walk_round_it_is_what_was_heard_and_taken_for_it() {
        let mut words =
            words("Kitchen. The mason tap is loose and the bottom door catches. Right.");
        words[2].meant = Some("basin tap".to_owned());
        words[3].meant = Some(String::new());
        let spoken = heard_in(&words, windows(&[(0, 11), (11, 12)]));
        assert_eq!(
            texts(spoken),
            ["Kitchen. The basin tap is loose and the bottom door catches."]
        );
    }

    /// Made-up mishearings, a stretch of talk in the second window, and a sentence left out in the third.
    #[test]
    fn of_the_page_it_is_what_the_page_says() {
        let lexicon = Lexicon::embedded().unwrap();
        let sentences: Vec<&str> = include_str!("page.txt").lines().collect();
        let first = sentences[0].replace("architrave", "artic rave");
        let second =
            "No wait, hold on a minute, there is somebody at the door, I had better see who it is.";
        let third = [sentences[3], sentences[5]].join(" ");
        let rest = sentences[6..].join(" ");
        let count = |text: &str| text.split_whitespace().count() as u64;
        let heard = words(&[&*first, sentences[2], second, &*third, &*rest].join(" "));
        let ends = [
            count(&first),
            count(sentences[2]) + count(second),
            count(&third),
        ];
        let (a, b, c) = (ends[0], ends[0] + ends[1], ends[0] + ends[1] + ends[2]);
        let spoken = read_in(
            lexicon,
            &heard,
            windows(&[(0, a), (a, b), (b, c), (c, c + 40)]),
        );
        let rest: Vec<&str> = rest.split_whitespace().take(40).collect();
        assert_eq!(texts(spoken), [sentences[0].to_owned(), rest.join(" ")]);
    }
}
