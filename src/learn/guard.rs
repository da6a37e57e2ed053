//! The guard: no lesson becomes active that breaks what was confirmed, or that mends nothing.
//!
//! Each lesson is tried alone on the jobs that it may touch, then all that pass are tried together on
//! all jobs. Lessons that answer the same correction are rivals, of which the best stays.

use super::lesson::{Lesson, Teaching};
use super::overlay;
use super::study::{Change, Effect, Study};
use super::sureness;
use crate::lexicon::{Kind, Lexicon, Mishearing, Problem, Sureness};
use crate::workers::each;
use std::collections::BTreeSet;
use std::path::PathBuf;

/// A lesson without any sound to bear it out (*ingo*, window reveal), or about everyday words, needs as
/// many occasions: one may be a slip of the person who corrected.
const FEWEST_WITHOUT_SOUND: usize = 2;

/// What the guard says of a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Mends something and breaks nothing, also together with the others that pass.
    Passes,
    /// What it mends, a better lesson mends as well.
    NotNeeded,
    /// Nothing but one occasion speaks for it, which is too little for its kind; it was not tried.
    SeenOnce,
    /// Changes no past job for the better.
    MendsNothing,
    /// Breaks something that was confirmed, alone or beside the others.
    Breaks,
}

/// A lesson with its effect and what the guard says of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    /// The lesson.
    pub lesson: Lesson,
    /// What it does to the past jobs, alone.
    pub effect: Effect,
    /// Whether it may become active.
    pub verdict: Verdict,
}

/// A lexicon's overlays as path and text.
pub(super) type Overlays = [(PathBuf, String)];

/// Returns the lessons in their order with what each does to the jobs of the study, and which of them
/// pass. `overlays` are what the study's lexicon was loaded from beside the built-in files.
///
/// # Errors
/// Every problem of the overlays; lessons that make no valid entry do not pass.
pub fn judge(
    study: &Study<'_>,
    overlays: &Overlays,
    lessons: Vec<Lesson>,
) -> Result<Vec<Judged>, Vec<Problem>> {
    let guard = Guard { study, overlays };
    let mut judged: Vec<Judged> = each(&lessons, |lesson| guard.alone(lesson.clone()));
    guard.pairs(&mut judged);
    let mut order: Vec<usize> = (0..judged.len()).collect();
    order.sort_by(|&a, &b| rank(&judged[a]).cmp(&rank(&judged[b])));
    let mut chosen: Vec<usize> = Vec::new();
    let mut mended: BTreeSet<Change> = BTreeSet::new();
    for at in order {
        if judged[at].verdict != Verdict::Passes {
            continue;
        }
        let key = |change: &Change| Change {
            before: String::new(),
            after: String::new(),
            ..change.clone()
        };
        let new: Vec<Change> = judged[at].effect.mended.iter().map(key).collect();
        if new.iter().all(|change| mended.contains(change))
            && !judged[at].lesson.teaching.is_habit()
        {
            judged[at].verdict = Verdict::NotNeeded;
            continue;
        }
        mended.extend(new);
        chosen.push(at);
    }
    guard.join(&mut judged, &mut Vec::new(), &chosen)?;
    Ok(judged)
}

/// Sort key of lessons, best first: most mended, most occasions, nearest in sound. What holds for every
/// word of a voice comes after what is known of single ones.
fn rank(judged: &Judged) -> (bool, isize, isize, u32, &Teaching) {
    let lesson = &judged.lesson;
    (
        matches!(lesson.teaching, Teaching::Voice(_)),
        -(judged.effect.mended.len() as isize),
        -(lesson.sightings.len() as isize),
        lesson.distance,
        &lesson.teaching,
    )
}

/// Returns a lesson about certain words tried alone; `None` for lessons that cannot be tried at once.
pub(super) fn quick(study: &Study<'_>, lesson: Lesson) -> Option<Judged> {
    overlay::as_mishearing(&study.lexicon, &lesson.teaching)?;
    let overlays = &[];
    Some(Guard { study, overlays }.alone(lesson))
}

struct Guard<'a> {
    study: &'a Study<'a>,
    overlays: &'a Overlays,
}

impl Guard<'_> {
    /// Returns the study's lexicon with these lessons, quickly where they teach certain words only.
    fn lexicon(&self, teachings: &[&Teaching]) -> Option<Lexicon> {
        if let [Teaching::Voice(voice)] = teachings {
            return Some(self.study.lexicon.with_voice(voice));
        }
        let quick: Option<Vec<Mishearing>> = teachings
            .iter()
            .map(|teaching| overlay::as_mishearing(&self.study.lexicon, teaching))
            .collect();
        match quick {
            Some(more) => Some(self.study.lexicon.with_mishearings(&more)),
            None => self.loaded(teachings).ok(),
        }
    }

    /// Returns the lexicon as it would be loaded with these lessons in an overlay.
    fn loaded(&self, teachings: &[&Teaching]) -> Result<Lexicon, Vec<Problem>> {
        let entries: Vec<String> = teachings.iter().map(|t| overlay::on_trial(t)).collect();
        let mut files = self.overlays.to_vec();
        for teaching in teachings.iter().filter(|t| t.is_one_of_all()) {
            for (_, text) in &mut files {
                *text = overlay::without_like(text, teaching);
            }
        }
        files.push((PathBuf::from("lessons on trial"), entries.join("\n")));
        self.study.lexicon.reloaded(&files)
    }

    fn effect(&self, lexicon: &Lexicon, lessons: &[&Lesson]) -> Effect {
        let habits = lessons.iter().all(|l| l.teaching.is_habit());
        let of_words =
            |l: &&Lesson| overlay::as_mishearing(&self.study.lexicon, &l.teaching).is_some();
        let words_only = lessons.iter().all(of_words);
        self.study.effect(lexicon, habits, |job| {
            let tokens = &self.study.tokens[job];
            lessons.iter().any(|l| l.teaching.may_touch(tokens))
                && (!words_only || self.study.heard_otherwise(lexicon, job))
        })
    }

    /// Tries one lesson. What rests on one occasion only does not pass whatever it mends, and there are
    /// many such: they are not tried.
    fn alone(&self, lesson: Lesson) -> Judged {
        let mut effect = Effect::default();
        let mut verdict = Verdict::SeenOnce;
        if !self.needs_more(&lesson) {
            if let Teaching::Sureness { claims } = &lesson.teaching {
                if let Ok(given) = Sureness::read(claims) {
                    effect = sureness::effect(self.study, given);
                }
            } else if let Some(lexicon) = self.lexicon(&[&lesson.teaching]) {
                effect = self.effect(&lexicon, &[&lesson]);
            }
            verdict = match (effect.broken.is_empty(), effect.mended.is_empty()) {
                (false, _) => Verdict::Breaks,
                (true, true) => Verdict::MendsNothing,
                (true, false) => Verdict::Passes,
            };
        }
        Judged {
            lesson,
            effect,
            verdict,
        }
    }

    /// Lets lessons pass that mend an item only together: one for its element, one for its defect.
    fn pairs(&self, judged: &mut [Judged]) {
        let idle = |j: &Judged| j.verdict == Verdict::MendsNothing;
        let kind = |j: &Judged| match &j.lesson.teaching {
            Teaching::HeardAs { term, .. }
            | Teaching::Wording { term, .. }
            | Teaching::Term { term, .. } => Some(term.kind),
            _ => None,
        };
        for a in 0..judged.len() {
            for b in a + 1..judged.len() {
                let (one, other) = (&judged[a], &judged[b]);
                let same_item = !one.lesson.sightings.is_disjoint(&other.lesson.sightings);
                if !(idle(one) && idle(other) && same_item && kind(one) != kind(other)) {
                    continue;
                }
                let both = [&one.lesson.teaching, &other.lesson.teaching];
                let Some(lexicon) = self.lexicon(&both) else {
                    continue;
                };
                let effect = self.effect(&lexicon, &[&one.lesson, &other.lesson]);
                if effect.broken.is_empty() && !effect.mended.is_empty() {
                    for at in [a, b] {
                        judged[at].verdict = Verdict::Passes;
                        judged[at].effect = effect.clone();
                    }
                }
            }
        }
    }

    /// Adds lessons to those kept, as they would be loaded together: all of them where that breaks nothing,
    /// else one half after the other, so that only those are left out that break something beside the ones
    /// before them. Few do, and it takes few trials.
    fn join(
        &self,
        judged: &mut [Judged],
        kept: &mut Vec<usize>,
        more: &[usize],
    ) -> Result<(), Vec<Problem>> {
        if more.is_empty() {
            return Ok(());
        }
        let all = [kept.as_slice(), more].concat();
        let teachings: Vec<_> = all.iter().map(|&at| &judged[at].lesson.teaching).collect();
        let lexicon = self.loaded(&teachings)?;
        let effect = self.study.effect(&lexicon, false, |_| true);
        if effect.broken.is_empty() {
            *kept = all;
        } else if let [only] = *more {
            judged[only].verdict = Verdict::Breaks;
        } else {
            let (first, second) = more.split_at(more.len() / 2);
            self.join(judged, kept, first)?;
            self.join(judged, kept, second)?;
        }
        Ok(())
    }

    /// Returns true where a lesson rests on too few occasions: words that do not sound like the term, and
    /// everyday words, whose context is named or which are announced as a place. Asking for it when
    /// correcting is as good as an occasion more.
    fn needs_more(&self, lesson: &Lesson) -> bool {
        let everyday = |words: &str| {
            words
                .split(' ')
                .all(|word| self.study.lexicon.everyday(word))
        };
        let risky = match &lesson.teaching {
            Teaching::Wording { .. } => true,
            Teaching::HeardAs { heard, term, near } => {
                lesson.distance == 1000
                    || near.iter().any(|name| !name.starts_with("any "))
                    || term.kind == Kind::Place && everyday(heard)
            }
            _ => false,
        };
        risky && !lesson.asked && (1..FEWEST_WITHOUT_SOUND).contains(&lesson.sightings.len())
    }
}
