//! How an inspector sounds: what he is known to say, and which of his sounds are heard as others.

use super::draw::sighting;
use super::lesson::{Lesson, Teaching};
use super::marks::marks;
use super::name::Name;
use super::stretch::{in_tokens, words_of};
use super::study::Study;
use crate::items::{Item, TermEvidence, propose};
use crate::lexicon::{Kind, Occasion, VoiceData, kind_word};
use crate::workers::each;
use std::collections::BTreeSet;
use std::ops::Range;

/// Words for an item written by hand are looked for up to this many weighted edits over their sounds;
/// beyond it as near a stretch is found by chance.
const SOUGHT_LIMIT: f32 = 0.42;

/// Fewer items than this say too little of how someone sounds.
const FEWEST_ITEMS: usize = 5;

/// Returns the tokens that an item rests on which was written by hand: those, in no other confirmed
/// item, that sound most like its element and defect together.
pub(super) fn sought(study: &Study<'_>, job: usize, item: &Item) -> Option<Range<usize>> {
    let (lived, tokens) = (&study.jobs[job], &study.tokens[job]);
    let mut free: Vec<Range<usize>> = Vec::new();
    let mut at = 0;
    let mut taken: Vec<Range<usize>> = lived
        .confirmed
        .iter()
        .filter_map(|item| lived.words_of(item))
        .map(|words| in_tokens(tokens, &words))
        .collect();
    taken.sort_by_key(|range| (range.start, range.end));
    for range in taken
        .into_iter()
        .chain(std::iter::once(tokens.len()..tokens.len()))
    {
        if at < range.start {
            free.push(at..range.start);
        }
        at = at.max(range.end);
    }
    let meant = meant(item);
    let fit = |range: Range<usize>| {
        let (found, cost) = study.lexicon.best_fit(&tokens[range.clone()], &meant)?;
        Some((cost, found.start + range.start..found.end + range.start))
    };
    let best = free
        .into_iter()
        .filter_map(fit)
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.start.cmp(&b.1.start)));
    best.filter(|(cost, _)| *cost <= SOUGHT_LIMIT)
        .map(|(_, range)| range)
}

fn meant(item: &Item) -> String {
    format!("{} {}", item.element, item.defect)
}

/// Returns the lesson about the voice that the jobs suggest, without the words that would mislead in
/// these same jobs.
pub(super) fn voice(study: &Study<'_>) -> Option<Lesson> {
    let mut sightings = BTreeSet::new();
    let mut words: BTreeSet<(Kind, String)> = BTreeSet::new();
    let mut occasions = Vec::new();
    for (j, job) in study.jobs.iter().enumerate() {
        for item in &job.confirmed {
            for (kind, text) in [(Kind::Element, &item.element), (Kind::Defect, &item.defect)] {
                if Name::of(&study.lexicon, kind, text).term().is_some() {
                    let tokens = study.lexicon.tokens_of(text);
                    words.insert((kind, words_of(&tokens, &(0..tokens.len()))));
                }
            }
            let tokens = &study.tokens[j];
            let said = job.words_of(item).map(|words| in_tokens(tokens, &words));
            let Some(said) = said.or_else(|| sought(study, j, item)) else {
                continue;
            };
            occasions.push(Occasion {
                meant: meant(item),
                heard: tokens[said]
                    .iter()
                    .map(|token| token.norm.clone())
                    .collect(),
            });
            sightings.insert(sighting(&job.name, item));
        }
    }
    if sightings.len() < FEWEST_ITEMS {
        return None;
    }
    // The same whatever the order of the jobs.
    occasions.sort();
    let of = |kind: Kind| -> Vec<String> {
        let words = words.iter().filter(|(k, _)| *k == kind);
        words.map(|(_, text)| text.clone()).collect()
    };
    let mut data = VoiceData {
        elements: of(Kind::Element),
        defects: of(Kind::Defect),
        confusions: study.lexicon.confusions(&occasions),
    };
    // Each time others may come in the place of the words taken out; it ends, since there are ever fewer.
    while prune(study, &mut data) {}
    Some(Lesson {
        teaching: Teaching::Voice(data),
        sightings,
        against: 0,
        distance: 1000,
        asked: false,
    })
}

/// Takes out the words behind items that would be proposed wrongly; returns true where there were any.
fn prune(study: &Study<'_>, data: &mut VoiceData) -> bool {
    let lexicon = study.lexicon.with_voice(data);
    let mut misleading: BTreeSet<(String, String)> = BTreeSet::new();
    let read = each(study.jobs, |job| {
        let proposal = propose(&lexicon, &job.transcript);
        let now = marks(&study.lexicon, &lexicon, job, &proposal);
        (proposal, now)
    });
    for (j, (proposal, now)) in read.into_iter().enumerate() {
        let job = &study.jobs[j];
        let was = &study.marks[j];
        let worse = |i: &usize| now.facts(*i) < was.facts(*i);
        let fallen = (0..job.confirmed.len()).filter(worse);
        let fallen = fallen.filter_map(|i| now.found[i].map(|(p, _)| p));
        let known = |p: usize| {
            let now = &proposal.items[p];
            was.surplus
                .iter()
                .map(|&s| &study.proposed[j][s])
                .any(|was| {
                    (&was.element, &was.defect, was.evidence.words)
                        == (&now.element, &now.defect, now.evidence.words)
                })
        };
        let fresh = now.surplus.iter().copied().filter(|&p| !known(p));
        for p in fallen.chain(fresh) {
            let terms = &proposal.items[p].evidence.terms;
            let by_sound = |kind: Kind| {
                let of = |t: &&TermEvidence| t.kind == kind_word(kind) && t.how == "sounds like";
                terms.iter().find(of).map(|t| t.name.clone())
            };
            let named = (by_sound(Kind::Element), by_sound(Kind::Defect));
            misleading.insert((named.0.unwrap_or_default(), named.1.unwrap_or_default()));
        }
    }
    let name = |kind: Kind, text: &str| {
        let term = Name::of(&study.lexicon, kind, text).term();
        term.map(|term| study.lexicon.name(term).to_owned())
    };
    let before = (data.elements.len(), data.defects.len());
    for (element, defect) in misleading {
        let defects = data.defects.len();
        let is = |kind: Kind, text: &str, named: &str| name(kind, text).as_deref() == Some(named);
        data.defects.retain(|text| !is(Kind::Defect, text, &defect));
        if data.defects.len() == defects {
            data.elements
                .retain(|text| !is(Kind::Element, text, &element));
        }
    }
    (data.elements.len(), data.defects.len()) != before
}
