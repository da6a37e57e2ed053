//! What the page is shown, as JSON: the list, an item, and what changed between two states.

use super::pace::seconds_per_item;
use crate::confirm::{Offer, Session, confidence_words, field_key, ids_changed, last_field_key};
use crate::items::{Item, LimitCheck, RemedySource, Seen, Standing, Status, standing_words};
use crate::job::{DecidedList, Decision, Event, Field};
use crate::recheck::{Finding, SURE};
use serde::Serialize;
use std::collections::BTreeMap;

/// One item.
#[derive(Debug, Serialize)]
pub(crate) struct ItemView {
    id: String,
    number: u32,
    status: Status,
    /// Why it was rejected.
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
    /// Text by field name; empty ones are left out.
    fields: BTreeMap<&'static str, String>,
    /// Fields that were changed along with the same correction of another item, with its number.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    likewise: BTreeMap<&'static str, u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    remedy_source: Option<RemedySource>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    limits: Vec<LimitCheck>,
    #[serde(skip_serializing_if = "is_false")]
    hedged: bool,
    #[serde(skip_serializing_if = "is_false")]
    photo_wanted: bool,
    confidence: f64,
    sureness: &'static str,
    recording: u32,
    /// First and last millisecond in the recording.
    #[serde(skip_serializing_if = "Option::is_none")]
    span: Option<[u64; 2]>,
    #[serde(skip_serializing_if = "String::is_empty")]
    quote: String,
    /// First word, and first word after the last, in the whole transcript.
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<(usize, usize)>,
    /// Kind, name, heard words and how, of the terms behind it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    terms: Vec<[String; 4]>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    reasons: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    photos: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    standing: Option<Standing>,
    /// What a later visit found, and waits to be decided on.
    #[serde(skip_serializing_if = "Option::is_none")]
    finding: Option<FindingView>,
    /// What was decided about it after later visits, the latest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    seen: Vec<SeenView>,
    #[serde(skip_serializing_if = "Option::is_none")]
    due: Option<String>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_false(value: &bool) -> bool {
    !value
}

impl ItemView {
    fn of(item: &Item, list: &DecidedList) -> ItemView {
        let fields = Field::ALL
            .into_iter()
            .map(|field| (field.name(), field.read(item)))
            .filter(|(_, text)| !text.is_empty())
            .collect();
        let likewise = Field::ALL.into_iter().filter_map(|field| {
            let number = list.corrected_like(item, field)?;
            Some((field.name(), number))
        });
        let evidence = &item.evidence;
        let terms = evidence.terms.iter();
        ItemView {
            id: item.id.clone(),
            number: item.number,
            status: item.status,
            reason: list.reasons.get(&item.id).cloned(),
            fields,
            likewise: likewise.collect(),
            remedy_source: item.remedy_source,
            caution: item.caution.clone(),
            limits: item.limits.clone(),
            hedged: item.hedged,
            photo_wanted: item.photo_wanted,
            confidence: item.confidence,
            sureness: confidence_words(item.confidence),
            recording: evidence.recording,
            span: evidence.span.map(|span| [span.start.0, span.end.0]),
            quote: evidence.quote.clone(),
            words: evidence.words,
            terms: terms
                .map(|t| {
                    [
                        t.kind.clone(),
                        t.name.clone(),
                        t.heard.clone(),
                        t.how.clone(),
                    ]
                })
                .collect(),
            reasons: evidence.reasons.clone(),
            photos: item.photos.clone(),
            finding: list.visits.pending(item).map(FindingView::of),
            seen: item.history.iter().rev().map(SeenView::of).collect(),
            standing: (item.standing != Standing::Open).then_some(item.standing),
            due: item.due.clone(),
        }
    }
}

/// How an item stood on a later visit.
#[derive(Debug, Serialize)]
struct SeenView {
    visit: u32,
    date: String,
    standing: Standing,
    note: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    recording: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    span: Option<[u64; 2]>,
    quote: String,
}

impl SeenView {
    fn of(seen: &Seen) -> SeenView {
        SeenView {
            visit: seen.visit,
            date: seen.date.clone(),
            standing: seen.standing,
            note: seen.note.clone(),
            recording: seen.recording,
            span: seen.span.map(|span| [span.start.0, span.end.0]),
            quote: seen.quote.clone(),
        }
    }
}

/// The same as a proposal.
#[derive(Debug, Serialize)]
struct FindingView {
    seen: SeenView,
    unsure: bool,
    reasons: Vec<String>,
}

impl FindingView {
    fn of(finding: &Finding) -> FindingView {
        FindingView {
            seen: SeenView::of(&finding.seen),
            unsure: finding.confidence < SURE,
            reasons: finding.reasons.clone(),
        }
    }
}

/// A standing as the page shows it.
#[derive(Debug, Serialize)]
pub(crate) struct StandingView {
    name: Standing,
    words: &'static str,
}

/// Returns the standings in the order in which work goes on.
pub(crate) fn standings() -> Vec<StandingView> {
    let view = |name| StandingView {
        name,
        words: standing_words(name),
    };
    Standing::ALL.map(view).into()
}

/// How far the pass is.
#[derive(Debug, Serialize)]
pub(crate) struct ProgressView {
    total: usize,
    confirmed: usize,
    rejected: usize,
    /// Seconds that a decision takes, as of late; `None` after too few.
    #[serde(skip_serializing_if = "Option::is_none")]
    pace_s: Option<f64>,
    /// Findings of later visits that are undecided.
    findings: usize,
    /// The last later visit, where there is one: how an item stands can be said then.
    #[serde(skip_serializing_if = "Option::is_none")]
    visit: Option<u32>,
    undoable: bool,
    redoable: bool,
}

impl ProgressView {
    fn of(session: &Session) -> ProgressView {
        let progress = session.progress();
        ProgressView {
            total: progress.total,
            confirmed: progress.confirmed,
            rejected: progress.rejected,
            pace_s: seconds_per_item(session.events()),
            findings: progress.findings,
            visit: session.list().visits.last().map(|visit| visit.number),
            undoable: !session.list().undoable.is_empty(),
            redoable: !session.list().redoable.is_empty(),
        }
    }
}

/// A field as the page shows it.
#[derive(Debug, Serialize)]
pub(crate) struct FieldView {
    name: &'static str,
    key: char,
    /// The key that accepts the item with the change.
    #[serde(skip_serializing_if = "Option::is_none")]
    last: Option<char>,
}

/// Returns the fields in the order of a card, with the keys that edit them.
pub(crate) fn fields() -> Vec<FieldView> {
    let view = |field: Field| FieldView {
        name: field.name(),
        key: field_key(field),
        last: last_field_key(field),
    };
    Field::ALL.map(view).into()
}

/// A statement that made no item.
#[derive(Debug, Serialize)]
struct Unlisted {
    /// What it is asked for by.
    statement: usize,
    recording: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    span: Option<[u64; 2]>,
    quote: String,
    why: String,
}

/// What changed between two states of the list, or all of it.
#[derive(Debug, Serialize)]
pub(crate) struct Update {
    /// The id of the last event it includes.
    pub(crate) event: i64,
    /// What was done, in words.
    pub(crate) told: String,
    /// The lesson that it suggests.
    #[serde(skip_serializing_if = "Option::is_none")]
    offer: Option<Offer>,
    items: Vec<ItemView>,
    /// All ids in order, where items came, went or moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<Vec<String>>,
    /// What was said and is in no item, where that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    unlisted: Option<Vec<Unlisted>>,
    progress: ProgressView,
    /// Decisions that could not be applied.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    problems: Vec<String>,
}

impl Update {
    /// Returns what the events, the latest of the session's, changed.
    pub(crate) fn by(events: &[Event], session: &Session) -> Update {
        let told = session.told(events);
        let Some(changed) = ids_changed(events) else {
            let known = events.first().map_or(0, |event| event.id - 1);
            return Update::between(session.list_at(known), session, told);
        };
        let parts = || events.iter().flat_map(|event| event.decision.parts());
        let new = events
            .iter()
            .any(|event| event.decision.new_items().next().is_some());
        let promoted = parts().any(|part| matches!(part, Decision::Promote { .. }));
        Update::of(
            session,
            told,
            |item| changed.contains(&item.id),
            new,
            promoted,
        )
    }

    /// Returns everything that differs in the session's list from `before`.
    fn between(mut before: DecidedList, session: &Session, told: String) -> Update {
        let list = session.list();
        let place: BTreeMap<&str, usize> =
            (list.items.iter().map(|i| i.id.as_str()).zip(0..)).collect();
        for item in &mut before.items {
            // They follow from the rest, and a list as it is replayed is without them.
            if let Some(place) = place.get(item.id.as_str()) {
                item.limits.clone_from(&list.items[*place].limits);
            }
        }
        let known: BTreeMap<&str, &Item> =
            before.items.iter().map(|i| (i.id.as_str(), i)).collect();
        let differs = |item: &Item| {
            known.get(item.id.as_str()).copied() != Some(item)
                || before.reasons.get(&item.id) != list.reasons.get(&item.id)
                || before.visits.pending(item) != list.visits.pending(item)
        };
        let ids = |list: &DecidedList| -> Vec<String> {
            list.items.iter().map(|item| item.id.clone()).collect()
        };
        let moved = ids(&before) != ids(list);
        let unlisted = before.items.is_empty() || before.promoted != list.promoted;
        Update::of(session, told, differs, moved, unlisted)
    }

    /// Returns these items, the order where they moved, and what is in no item where that changed.
    fn of(
        session: &Session,
        told: String,
        changed: impl Fn(&Item) -> bool,
        moved: bool,
        unlisted: bool,
    ) -> Update {
        let list = session.list();
        let items = || list.items.iter();
        let statements = || {
            session.unplaced().map(|(statement, said)| Unlisted {
                statement,
                recording: said.recording,
                span: said.span.map(|span| [span.start.0, span.end.0]),
                quote: said.quote.clone(),
                why: said.why.clone(),
            })
        };
        Update {
            event: session.last_event(),
            told,
            offer: session.offer(),
            items: items()
                .filter(|item| changed(item))
                .map(|item| ItemView::of(item, list))
                .collect(),
            order: moved.then(|| items().map(|item| item.id.clone()).collect()),
            unlisted: unlisted.then(|| statements().collect()),
            progress: ProgressView::of(session),
            problems: list.problems.clone(),
        }
    }

    /// Returns the whole list.
    pub(crate) fn whole(session: &Session) -> Update {
        Update::between(DecidedList::default(), session, String::new())
    }
}
