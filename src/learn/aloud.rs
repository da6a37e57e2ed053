//! The page that an inspector reads aloud once, so that his voice is known before the first job.
//!
//! What the page says is known, so every item of it is; held against what was heard, sound by sound, it
//! is a confirmed job like any other: the same lessons are drawn from it, under the same guard.

use super::lived::Lived;
use crate::items::{Item, Status, propose};
use crate::lexicon::{Beside, Lexicon, Token};
use crate::speech::formats::{Format, FormatError, Source, read};
use crate::speech::{Transcript, Word};
use std::fmt::Write;
use std::ops::Range;
use thiserror::Error;

/// The page: forty sentences, one a line, each a place and three faults there. Own words.
const PAGE: &str = include_str!("page.txt");

/// What was heard may have this many times the words of the page: beyond it is a walk-round, or the page
/// among much else.
const MOST_TIMES_THE_WORDS: usize = 2;

/// Farther from the page's sounds than this (weighted edits over its sounds) it was not read: five other
/// walk-rounds come to 0.57 and more, the page with every other sentence left out to 0.39.
const FARTHEST: f32 = 0.5;

/// Why what was heard is no reading of the page.
#[derive(Debug, Error)]
pub enum NotThePage {
    /// It is much longer, or empty.
    #[error("{heard} words were heard, and the page has {page}")]
    Length {
        /// Words heard.
        heard: usize,
        /// Words of the page.
        page: usize,
    },
    /// It sounds like something else.
    #[error(
        "what was heard does not sound like the page ({} of its sounds are others)",
        percent(*.0)
    )]
    OtherWords(f32),
    /// The page itself cannot be read, which a test rules out.
    #[error(transparent)]
    Page(#[from] FormatError),
}

fn percent(share: f32) -> String {
    format!("{:.0} %", share.min(1.0) * 100.0)
}

/// Returns the page with its sentences numbered, one a line.
pub fn page() -> String {
    let mut out = String::new();
    for (sentence, number) in PAGE.lines().zip(1..) {
        let _ = writeln!(out, "{number:>2}  {sentence}");
    }
    out
}

/// Returns the reading of the page as a confirmed job: each item that `lexicon` (as it comes) makes of
/// the known text, with the words that were heard for it.
///
/// # Errors
/// [`NotThePage`] where something else was heard.
pub fn read_aloud(lexicon: &Lexicon, name: &str, heard: Transcript) -> Result<Lived, NotThePage> {
    let Laid {
        page,
        said,
        listened,
        aligned,
    } = laid_beside(lexicon, &heard.words)?;
    let mut items = propose(lexicon, &page).items;
    items.retain_mut(|item| {
        let words = item.evidence.words.take().unwrap_or_default();
        let of_item =
            said.partition_point(|t| t.word < words.0)..said.partition_point(|t| t.word < words.1);
        let belongs = |at: &usize| aligned.tokens[*at].is_some_and(|t| of_item.contains(&t));
        let first = (0..listened.len()).find(belongs);
        let last = (0..listened.len()).rfind(belongs);
        let (Some(first), Some(last)) = (first, last) else {
            return false;
        };
        let here = lexicon.heard_for(&said[of_item.clone()], &listened[first..=last]);
        item.status = match here.distance <= FARTHEST {
            true => Status::Confirmed,
            // Something was heard there, but what it was teaches nothing.
            false => Status::Proposed,
        };
        rest_on(
            item,
            listened[first].word..listened[last].word + 1,
            &heard.words,
        );
        true
    });
    Ok(Lived::new(name, heard, &items))
}

/// What was heard, laid beside the page by sound.
struct Laid {
    page: Transcript,
    said: Vec<Token>,
    listened: Vec<Token>,
    aligned: Beside,
}

fn laid_beside(lexicon: &Lexicon, heard: &[Word]) -> Result<Laid, NotThePage> {
    let source = Source {
        file: "page.txt",
        sha256: &"0".repeat(64),
        recording: 1,
    };
    let page = read(source, Format::Text, PAGE.as_bytes())?;
    let (words, expected) = (heard.len(), page.words.len());
    if words == 0 || words > expected * MOST_TIMES_THE_WORDS {
        return Err(NotThePage::Length {
            heard: words,
            page: expected,
        });
    }
    let (said, listened) = (lexicon.tokens(&page.words), lexicon.tokens(heard));
    let aligned = lexicon.heard_for(&said, &listened);
    if aligned.distance > FARTHEST {
        return Err(NotThePage::OtherWords(aligned.distance));
    }
    Ok(Laid {
        page,
        said,
        listened,
        aligned,
    })
}

/// Returns the words of the page, and for each word that was heard the one that it stands for, by index;
/// `None` for one that stands for nothing.
///
/// # Errors
/// [`NotThePage`] where something else was heard.
pub(super) fn beside_page(
    lexicon: &Lexicon,
    heard: &[Word],
) -> Result<(Vec<Word>, Vec<Option<usize>>), NotThePage> {
    let laid = laid_beside(lexicon, heard)?;
    let mut stands_for = vec![None; heard.len()];
    for (token, of_page) in laid.listened.iter().zip(&laid.aligned.tokens) {
        let word: &mut Option<usize> = &mut stands_for[token.word];
        *word = word.or(of_page.map(|at| laid.said[at].word));
    }
    Ok((laid.page.words, stands_for))
}

/// Has an item rest on these words as they were heard.
fn rest_on(item: &mut Item, words: Range<usize>, heard: &[Word]) {
    let quoted = &heard[words.clone()];
    let evidence = &mut item.evidence;
    evidence.recording = quoted[0].recording;
    evidence.words = Some((words.start, words.end));
    let spans = quoted.iter().filter_map(|word| word.span);
    evidence.span = spans.reduce(|all, one| crate::time::Span::new(all.start, one.end));
    let texts: Vec<&str> = quoted.iter().map(|word| &*word.text).collect();
    evidence.quote = texts.join(" ");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learn::{Study, Teaching, Verdict, judge, lessons};
    use std::collections::BTreeSet;

    fn lexicon() -> &'static Lexicon {
        Lexicon::embedded().expect("the embedded lexicon has no errors")
    }

    fn heard(text: &str) -> Transcript {
        let source = Source {
            file: "heard.txt",
            sha256: &"1".repeat(64),
            recording: 1,
        };
        read(source, Format::Text, text.as_bytes()).unwrap()
    }

    fn reading(text: &str) -> Result<Lived, NotThePage> {
        read_aloud(lexicon(), "reading", heard(text))
    }

    #[test]
    fn the_page_spreads_over_the_trade() {
        let lived = reading(PAGE).unwrap();
        let different = |of: fn(&Item) -> &String| -> usize {
            let all: BTreeSet<&String> = lived.confirmed.iter().map(of).collect();
            all.len()
        };
        assert_eq!(PAGE.lines().count(), 40);
        assert_eq!(lived.confirmed.len(), 3 * 40);
        assert!(different(|item| &item.place) >= 35);
        assert!(different(|item| &item.element) >= 110);
        assert!(different(|item| &item.defect) >= 55);
        // Some seven minutes: slow reading is 100 to 120 words a minute (common practice, no source).
        let words = PAGE.split_whitespace().count();
        assert!((680..=820).contains(&words), "{words}");
    }

    #[test]
    fn a_reading_heard_rightly_teaches_no_mishearing_and_breaks_nothing() {
        let jobs = [reading(PAGE).unwrap()];
        assert_eq!(Study::new(lexicon(), &jobs).right(), 1.0);
    }

    /// Made-up mishearings, some of two words for one and one for two, sentences left out and said
    /// twice, numbers read, and talk before and after.
    #[test]
    fn what_was_heard_is_laid_beside_the_page_by_sound() {
        let text = PAGE
            .replace("the architrave", "the artic rave")
            .replace("the loft hatch", "the loftage")
            .replace("the cable is exposed", "the gable is expose")
            .lines()
            .enumerate()
            .filter(|(at, _)| !(4..6).contains(at))
            .map(|(at, line)| match at {
                8 => format!("Nine. {line}\n{line}\n"),
                _ => format!("{line}\n"),
            })
            .collect::<String>();
        let lived = reading(&format!(
            "Right, is it on? Good.\n{text}That is all of it.\n"
        ))
        .unwrap();
        let quoted = |place: &str, element: &str| {
            let of = |item: &&Item| item.place == place && item.element == element;
            let item = lived.confirmed.iter().find(of);
            item.map(|item| item.evidence.quote.clone())
        };
        for (place, element, expected) in [
            ("hallway", "architrave", Some("the artic rave is split,")),
            ("landing", "loft hatch", Some("the loftage is warped,")),
            (
                "under-stairs cupboard",
                "cable",
                Some("the gable is expose,"),
            ),
            ("summer house", "door", Some("the door is swollen.")),
            ("living room", "radiator", None),
        ] {
            assert_eq!(quoted(place, element).as_deref(), expected, "{element}");
        }
    }

    /// Made-up mishearings; *sh* is heard as *s* again and again, which is a sound cost.
    #[test]
    fn mishearings_of_a_reading_become_lessons_and_sound_costs() {
        let text = PAGE
            .replace("the coving", "the koabin")
            .replace("is wobbly", "is wabblow")
            .replace("shower", "sour")
            .replace("shelf", "self")
            .replace("flashing", "flassing");
        let jobs = [reading(&text).unwrap()];
        let study = Study::new(lexicon(), &jobs);
        let judged = judge(&study, &[], lessons(&study)).unwrap();
        let passing = judged.iter().filter(|one| one.verdict == Verdict::Passes);
        let words: Vec<String> = passing.map(|one| one.lesson.teaching.in_words()).collect();
        for lesson in [
            "hear \"koabin\" as the element coving",
            "hear \"wabblow\" as the defect wobbly",
        ] {
            assert!(words.contains(&lesson.to_owned()), "{words:?}");
        }
        let costs = judged.iter().find_map(|one| match &one.lesson.teaching {
            Teaching::Voice(voice) => Some(&voice.confusions),
            _ => None,
        });
        assert!(
            costs.is_some_and(|c| c.iter().any(|c| c.starts_with("SH>S "))),
            "{costs:?}"
        );
    }

    #[test]
    fn something_else_is_no_reading() {
        let other = "Kitchen. Could you pass me that cup of coffee, it was a lovely morning. ";
        for (text, expected) in [
            (other.repeat(40), "does not sound like the page"),
            (
                PAGE.repeat(3),
                "2157 words were heard, and the page has 719",
            ),
        ] {
            let error = reading(&text).unwrap_err().to_string();
            assert!(error.contains(expected), "{error}");
        }
    }
}
