//! The lesson that a few corrections plainly teach, found while the inspector waits.

use super::draw::lessons;
use super::guard::{Verdict, quick};
use super::lesson::{Lesson, Teaching};
use super::lived::Lived;
use super::name::Name;
use super::study::Study;
use crate::lexicon::Lexicon;
use std::cmp::Reverse;

/// Returns the lesson about certain words that answers these corrections and breaks nothing of what was
/// heard around them: the one with most occasions, of several the nearest in sound. It takes milliseconds
/// where the job is a few statements. Other jobs may still speak against it.
pub fn evident(lexicon: &Lexicon, job: Lived) -> Option<Lesson> {
    let jobs = [job];
    let study = Study::new(lexicon, &jobs);
    let mut found = lessons(&study);
    found.retain(|lesson| means_nothing_yet(lexicon, &lesson.teaching));
    found.sort_by_key(|lesson| (Reverse(lesson.sightings.len()), lesson.distance));
    let mut tried = found.into_iter().filter_map(|mut lesson| {
        // Everyday words that do not sound like it are not plain.
        lesson.asked =
            lesson.distance < 1000 || matches!(lesson.teaching, Teaching::Wording { .. });
        quick(&study, lesson)
    });
    let passing = tried.find(|judged| judged.verdict == Verdict::Passes);
    passing.map(|judged| judged.lesson)
}

/// Returns true for words that are no name of the kind that they are to stand for. One occasion is enough
/// to ask about such words; *door* is not asked about because one was a door handle.
fn means_nothing_yet(lexicon: &Lexicon, teaching: &Teaching) -> bool {
    match teaching {
        Teaching::Wording {
            wording: words,
            term,
        }
        | Teaching::HeardAs {
            heard: words, term, ..
        } => Name::of(lexicon, term.kind, words).term().is_none(),
        _ => false,
    }
}
