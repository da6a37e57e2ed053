//! Lessons from decisions: what was heard where a person chose otherwise than was proposed.
//!
//! For each confirmed item that today's lexicon does not propose as it was confirmed, the words that it
//! rests on are searched for what may stand for the chosen term: the stretch that sounds most like it
//! (*artitrot*, architrave), or words that nothing else explains (*ingo*, window reveal). Whether a
//! lesson helps is not decided here but by the guard.

use super::corner::Corner;
use super::habits::habits;
use super::lesson::{Called, Lesson, Sighting, Teaching};
use super::stretch::{in_tokens, words_of};
use super::study::Study;
use super::sureness::sureness;
use super::voice::voice;
use crate::items::Item;
use crate::lexicon::{Kind, Lexicon, kind_word};
use std::collections::{BTreeMap, BTreeSet};

/// Chat is a habit only where it was mistaken for a defect more than once.
const FEWEST_CHATS: usize = 2;

/// A name that was understood without being known is worth knowing where it was used more than once.
const FEWEST_USES: usize = 2;

/// Returns every lesson that the jobs of a study suggest, ordered by what they teach. The order of the
/// jobs plays no part.
pub fn lessons(study: &Study<'_>) -> Vec<Lesson> {
    let mut drawn = Drawn::default();
    for j in 0..study.jobs.len() {
        for i in 0..study.jobs[j].confirmed.len() {
            Corner::of(study, j, i).draw(&mut drawn);
        }
        chat(study, j, &mut drawn);
        asked(study, j, &mut drawn);
    }
    let mut lessons = drawn.finish();
    lessons.extend(habits(study));
    lessons.extend(voice(study));
    lessons.extend(sureness(study));
    for lesson in &mut lessons {
        lesson.against = against(study, lesson);
    }
    lessons.sort_by(|a, b| a.teaching.cmp(&b.teaching));
    lessons
}

/// Lessons while they are collected, by what they teach without what stands near.
#[derive(Debug, Default)]
pub(super) struct Drawn {
    all: BTreeMap<Teaching, Lesson>,
    /// Names that were understood without being known, and where.
    used: BTreeMap<Called, BTreeMap<Sighting, Option<String>>>,
}

impl Drawn {
    pub(super) fn add(&mut self, teaching: Teaching, distance: f32, sighting: Sighting) {
        let (near, written) = match &teaching {
            Teaching::HeardAs { near, .. } => (near.clone(), BTreeSet::new()),
            Teaching::Term { heard, .. } => (BTreeSet::new(), heard.clone()),
            _ => Default::default(),
        };
        let lesson = self.all.entry(teaching.bare()).or_insert(Lesson {
            teaching,
            sightings: BTreeSet::new(),
            against: 0,
            distance: 1000,
            asked: false,
        });
        match &mut lesson.teaching {
            // One occasion without need of context is no reason to drop the others' context.
            Teaching::HeardAs { near: known, .. } => known.extend(near),
            Teaching::Term { heard: known, .. } => known.extend(written),
            _ => {}
        }
        lesson.distance = lesson.distance.min((distance * 1000.0) as u32);
        lesson.sightings.insert(sighting);
    }

    /// Notes that an item was confirmed under a name of one's own, as it was proposed, and the group that it
    /// speaks for, if it does for one.
    pub(super) fn used(&mut self, name: Called, of: Option<String>, sighting: Sighting) {
        self.used.entry(name).or_default().insert(sighting, of);
    }

    fn finish(mut self) -> Vec<Lesson> {
        for (name, uses) in std::mem::take(&mut self.used) {
            let of_name = |teaching: &Teaching| match teaching {
                Teaching::Term { term, .. } => *term == name,
                _ => false,
            };
            let mut all = self.all.values_mut();
            if let Some(corrected) = all.find(|lesson| of_name(&lesson.teaching)) {
                corrected.sightings.extend(uses.into_keys());
            } else if uses.len() >= FEWEST_USES
                && let Some(lesson) = used_as(name, uses)
            {
                self.all.insert(lesson.teaching.clone(), lesson);
            }
        }
        let lessons = self.all.into_values();
        lessons
            .filter(|lesson| {
                !matches!(lesson.teaching, Teaching::NoDefect { .. })
                    || lesson.sightings.len() >= FEWEST_CHATS
            })
            .collect()
    }
}

/// Returns the lesson about a name that was used without being known: of the group that most uses speak for.
/// `None` where none of them does for any.
fn used_as(term: Called, uses: BTreeMap<Sighting, Option<String>>) -> Option<Lesson> {
    let mut groups: BTreeMap<&String, usize> = BTreeMap::new();
    for of in uses.values().flatten() {
        *groups.entry(of).or_default() += 1;
    }
    let (of, _) = groups.iter().max_by_key(|(_, count)| **count)?;
    let (of, heard) = ((*of).clone(), BTreeSet::new());
    Some(Lesson {
        sightings: uses.into_keys().collect(),
        ..Lesson::of(Teaching::Term { term, of, heard })
    })
}

pub(super) fn sighting(job: &str, item: &Item) -> Sighting {
    Sighting {
        job: job.to_owned(),
        item: item.number,
        at: item.evidence.span.map(|span| span.start),
        quote: item.evidence.quote.clone(),
    }
}

/// What the inspector asked for when correcting an item that is confirmed now.
fn asked(study: &Study<'_>, job: usize, drawn: &mut Drawn) {
    let lived = &study.jobs[job];
    for (teaching, id) in &lived.asked {
        if let Some(item) = lived.confirmed.iter().find(|item| item.id == *id) {
            drawn.add(teaching.clone(), 1.0, sighting(&lived.name, item));
            if let Some(lesson) = drawn.all.get_mut(&teaching.bare()) {
                lesson.asked = true;
            }
        }
    }
}

/// Words that made items which nobody wanted.
fn chat(study: &Study<'_>, job: usize, drawn: &mut Drawn) {
    let (lived, tokens) = (&study.jobs[job], &study.tokens[job]);
    for &p in &study.marks[job].surplus {
        let item = &study.proposed[job][p];
        let defect = item
            .evidence
            .terms
            .iter()
            .find(|t| t.kind == kind_word(Kind::Defect));
        let (Some(defect), Some(words)) = (defect, lived.words_of(item)) else {
            continue;
        };
        let said = in_tokens(tokens, &words);
        let heard: Vec<String> = study
            .lexicon
            .tokens_of(&defect.heard)
            .into_iter()
            .map(|t| t.norm)
            .collect();
        let Some(at) = said.clone().find(|at| {
            let here = tokens[*at..].iter().map(|t| &t.norm);
            !heard.is_empty() && here.take(heard.len()).eq(heard.iter())
        }) else {
            continue;
        };
        let from = at.saturating_sub(1).max(said.start);
        let stretch = from..(at + heard.len() + 1).min(said.end);
        if stretch.len() > heard.len() {
            let words = words_of(tokens, &stretch);
            drawn.add(
                Teaching::NoDefect { words },
                1.0,
                sighting(&lived.name, item),
            );
        }
    }
}

/// Returns how many confirmed items have the lesson's words and are not among its evidence.
fn against(study: &Study<'_>, lesson: &Lesson) -> usize {
    let Some(words) = lesson.teaching.words() else {
        return 0;
    };
    let mut count = 0;
    for (lived, tokens) in study.jobs.iter().zip(&study.tokens) {
        for item in &lived.confirmed {
            let Some(range) = lived.words_of(item) else {
                continue;
            };
            let said = in_tokens(tokens, &range);
            let speaks_for = lesson.sightings.contains(&sighting(&lived.name, item));
            count += usize::from(!speaks_for && Lexicon::has_words(&tokens[said], &words));
        }
    }
    count
}
