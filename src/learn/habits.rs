//! What this inspector usually writes for remedy, trade and severity.

use super::draw::sighting;
use super::lesson::{Lesson, Sighting, Teaching};
use super::name::Facts;
use super::study::Study;
use crate::items::RemedySource;
use crate::lexicon::{Kind, TermId};
use std::collections::{BTreeMap, BTreeSet};

/// Once is a decision about that item, twice the same and never otherwise is a habit.
const FEWEST: usize = 2;

/// What was chosen for one question, and on which occasions.
type Choices<V> = BTreeMap<V, BTreeSet<Sighting>>;

/// Returns lessons from items that are proposed with the right facts and were confirmed with another
/// remedy, trade or severity, always the same one.
pub(super) fn habits(study: &Study<'_>) -> Vec<Lesson> {
    let lexicon = &study.lexicon;
    let mut remedies: BTreeMap<(TermId, TermId), Choices<Option<TermId>>> = BTreeMap::new();
    let mut trades: BTreeMap<TermId, Choices<Option<TermId>>> = BTreeMap::new();
    let mut severities: BTreeMap<TermId, Choices<_>> = BTreeMap::new();
    // Questions on which the inspector once left what was proposed.
    let mut changed = BTreeSet::new();
    for (j, job) in study.jobs.iter().enumerate() {
        for (i, item) in job.confirmed.iter().enumerate() {
            let Some((p, _)) = study.marks[j].found[i] else {
                continue;
            };
            let proposed = &study.proposed[j][p];
            let facts = Facts::of(lexicon, item);
            let (Some(element), Some(defect)) = (facts.element.term(), facts.defect.term()) else {
                continue;
            };
            let same = Facts::of(lexicon, proposed);
            if same.element != facts.element || same.defect != facts.defect {
                continue;
            }
            let seen = sighting(&job.name, item);
            let named = |kind, text: &Option<String>| {
                text.as_deref().and_then(|text| lexicon.find(kind, text))
            };
            let spoken = proposed.remedy_source == Some(RemedySource::Spoken);
            if !spoken {
                let remedy = named(Kind::Remedy, &item.remedy);
                let choices = remedies.entry((defect, element)).or_default();
                choices.entry(remedy).or_default().insert(seen.clone());
                if item.remedy != proposed.remedy {
                    changed.insert(("remedy", Some(defect), Some(element)));
                }
                let trade = named(Kind::Trade, &item.trade);
                let choices = trades.entry(element).or_default();
                choices.entry(trade).or_default().insert(seen.clone());
                if item.trade != proposed.trade {
                    changed.insert(("trade", None, Some(element)));
                }
            }
            let choices = severities.entry(defect).or_default();
            choices.entry(item.severity).or_default().insert(seen);
            if item.severity != proposed.severity {
                changed.insert(("severity", Some(defect), None));
            }
        }
    }
    let name = |id: TermId| lexicon.name(id).to_owned();
    let mut lessons = Vec::new();
    for ((defect, element), choices) in remedies {
        if changed.contains(&("remedy", Some(defect), Some(element)))
            && let Some((Some(remedy), sightings)) = always(choices)
        {
            let teaching = Teaching::Remedy {
                defect: name(defect),
                element: name(element),
                remedy: name(remedy),
            };
            lessons.push(lesson(teaching, sightings));
        }
    }
    for (element, choices) in trades {
        if changed.contains(&("trade", None, Some(element)))
            && let Some((Some(trade), sightings)) = always(choices)
        {
            let teaching = Teaching::Trade {
                element: name(element),
                trade: name(trade),
            };
            lessons.push(lesson(teaching, sightings));
        }
    }
    for (defect, choices) in severities {
        if changed.contains(&("severity", Some(defect), None))
            && let Some((severity, sightings)) = always(choices)
        {
            let teaching = Teaching::Severity {
                defect: name(defect),
                severity,
            };
            lessons.push(lesson(teaching, sightings));
        }
    }
    lessons
}

/// Returns what was chosen every time, where that was often enough.
fn always<V>(choices: Choices<V>) -> Option<(V, BTreeSet<Sighting>)> {
    let mut choices = choices.into_iter();
    let only = choices.next()?;
    (choices.next().is_none() && only.1.len() >= FEWEST).then_some(only)
}

fn lesson(teaching: Teaching, sightings: BTreeSet<Sighting>) -> Lesson {
    Lesson {
        teaching,
        sightings,
        against: 0,
        distance: 1000,
        asked: false,
    }
}
