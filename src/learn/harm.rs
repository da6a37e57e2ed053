//! Active lessons that newer jobs speak against.
//!
//! A lesson passed the guard on the jobs of its time. Tried again on those confirmed since, it may do more
//! harm than good: then it is offered for taking out, with what it breaks and mends today.

use super::entries::{Entry, entries};
use super::guard::Overlays;
use super::lesson::Teaching;
use super::lived::Lived;
use super::study::{Effect, Study};
use std::path::Path;

/// How the reason of a lesson begins that was accepted against the guard: what it breaks was known.
pub const INSISTED: &str = "insisted on";

/// An active lesson with what it does to the jobs today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Harm {
    /// What it teaches.
    pub teaching: Teaching,
    /// The date on which it was accepted.
    pub learnt: String,
    /// What the jobs gain and lose by it.
    pub effect: Effect,
    /// How many of the occasions that its entry names are in other jobs: it may mend those.
    pub elsewhere: usize,
}

/// Returns the lessons of the overlay of this path that break more in the jobs of the study than they
/// mend, there or in other jobs that their entries name, in the order of the entries. `overlays` are what
/// the study's lexicon was loaded from beside the built-in files. Lessons that the user insisted on stay,
/// and so does how far confidences hold, which is reckoned anew from all jobs.
pub fn harmful(study: &Study<'_>, overlays: &Overlays, learnt: &Path) -> Vec<Harm> {
    let Some(at) = overlays.iter().position(|(path, _)| path == learnt) else {
        return Vec::new();
    };
    let (head, all) = entries(&overlays[at].1);
    let found = (0..all.len()).filter_map(|place| {
        let entry = &all[place];
        let teaching = to_be_tried(entry)?;
        let rest = all.iter().enumerate().filter(|(other, _)| *other != place);
        let rest: String = rest.map(|(_, entry)| entry.lines.as_str()).collect();
        let mut files = overlays.to_vec();
        files[at].1 = format!("{head}{rest}");
        // Where other entries need it, it stays.
        let without = study.lexicon.reloaded(&files).ok()?;
        let jobs = study.jobs.iter().zip(&study.tokens);
        let jobs = jobs.filter(|(_, tokens)| teaching.may_touch(tokens));
        let jobs: Vec<Lived> = jobs.map(|(job, _)| job.clone()).collect();
        let before = Study::new(&without, &jobs);
        let harm = Harm {
            teaching: teaching.clone(),
            learnt: entry.learnt.clone(),
            effect: before.effect(&study.lexicon, teaching.is_habit(), |_| true),
            elsewhere: elsewhere(study, entry),
        };
        let worth = harm.effect.mended.len() + harm.elsewhere;
        (harm.effect.broken.len() > worth).then_some(harm)
    });
    found.collect()
}

fn to_be_tried(entry: &Entry) -> Option<&Teaching> {
    let teaching = entry.teaching.as_ref()?;
    let stays = entry.reason.starts_with(INSISTED)
        || entry.learnt.is_empty()
        || matches!(teaching, Teaching::Sureness { .. });
    (!stays).then_some(teaching)
}

/// Returns how many of the occasions that an entry names are in none of the jobs.
fn elsewhere(study: &Study<'_>, entry: &Entry) -> usize {
    let here = |occasion: &&String| {
        let mut jobs = study.jobs.iter();
        jobs.any(|job| occasion.starts_with(&format!("{}, item ", job.name)))
    };
    entry.evidence.len() - entry.evidence.iter().filter(here).count()
}
