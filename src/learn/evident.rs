//! The lesson that a few corrections plainly teach, found while the inspector waits.

use super::draw::lessons;
use super::guard::{Verdict, quick, rank};
use super::lesson::{Lesson, Teaching};
use super::lived::Lived;
use super::name::Name;
use super::study::Study;
use crate::lexicon::Lexicon;

/// Returns the lesson about certain words that mends most of these corrections and breaks nothing of what
/// was heard around them; of equally good ones the one nearest in sound. It takes milliseconds where
/// the job is a few statements. Other jobs may still speak against it.
pub fn evident(lexicon: &Lexicon, job: Lived) -> Option<Lesson> {
    let jobs = [job];
    let study = Study::new(lexicon, &jobs);
    let tried = lessons(&study).into_iter().filter_map(|mut lesson| {
        // Everyday words that do not sound like it are not plain.
        lesson.asked =
            lesson.distance < 1000 || matches!(lesson.teaching, Teaching::Wording { .. });
        let new = means_nothing_yet(lexicon, &lesson.teaching);
        new.then(|| quick(&study, lesson)).flatten()
    });
    let passes = tried.filter(|judged| judged.verdict == Verdict::Passes);
    let best = passes.min_by(|a, b| rank(a).cmp(&rank(b)));
    best.map(|judged| judged.lesson)
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
