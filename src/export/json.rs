//! The list for other programs: `callover-list/1`, described by the JSON Schema in `schema/`.
//!
//! The wire structs here are separate from the program's own types, so that those can change
//! without changing what other programs read.

use super::document::Document;
use super::error::ExportError;
use super::wording::{remedy_source_word, severity_word, status_word};
use super::{Options, TOOL};
use crate::items::{Item, Measurement, Seen, Standing, Unplaced, VisitedPlace};
use crate::time::Span;
use serde::Serialize;

/// Name and version of the form. A change that a reader of version 1 could not take raises it.
pub const SCHEMA_NAME: &str = "callover-list/1";

#[derive(Serialize)]
struct WireList<'a> {
    schema: &'a str,
    title: &'a str,
    created: &'a str,
    tool: &'a str,
    details: Vec<WireDetail<'a>>,
    recordings: Vec<WireRecording<'a>>,
    places: Vec<WirePlace<'a>>,
    items: Vec<WireItem<'a>>,
    unplaced: Vec<WireUnplaced<'a>>,
}

#[derive(Serialize)]
struct WireDetail<'a> {
    key: &'a str,
    label: &'a str,
    value: &'a str,
}

#[derive(Serialize)]
struct WireRecording<'a> {
    id: u32,
    file: &'a str,
    sha256: &'a str,
    duration_s: f64,
    speech_s: f64,
}

#[derive(Serialize)]
struct WirePlace<'a> {
    name: &'a str,
    kind: &'a str,
    visits: Vec<WireVisit>,
}

#[derive(Serialize)]
struct WireVisit {
    recording: u32,
    start_s: Option<f64>,
    end_s: Option<f64>,
}

#[derive(Serialize)]
struct WireItem<'a> {
    number: u32,
    id: &'a str,
    place: &'a str,
    position: Option<&'a str>,
    element: &'a str,
    defect: &'a str,
    description: &'a str,
    count: u32,
    measurements: Vec<WireMeasurement<'a>>,
    limits: Vec<WireLimit<'a>>,
    remedy: Option<&'a str>,
    remedy_source: Option<&'static str>,
    trade: Option<&'a str>,
    severity: &'static str,
    caution: Option<&'a str>,
    remarks: &'a [String],
    hedged: bool,
    photo_wanted: bool,
    recording: u32,
    start_s: Option<f64>,
    end_s: Option<f64>,
    quote: &'a str,
    heard: Vec<WireHeard<'a>>,
    reasons: &'a [String],
    confidence: f64,
    status: &'static str,
    photos: &'a [String],
    standing: &'static str,
    history: Vec<WireSeen<'a>>,
    due: Option<&'a str>,
}

#[derive(Serialize)]
struct WireSeen<'a> {
    visit: u32,
    date: &'a str,
    standing: &'static str,
    note: &'a str,
    recording: Option<u32>,
    start_s: Option<f64>,
    end_s: Option<f64>,
    quote: &'a str,
}

#[derive(Serialize)]
struct WireMeasurement<'a> {
    value: f64,
    max: Option<f64>,
    unit: &'a str,
    over: Option<WireOver<'a>>,
    spoken: &'a str,
    approximate: bool,
}

#[derive(Serialize)]
struct WireOver<'a> {
    value: f64,
    unit: &'a str,
}

#[derive(Serialize)]
struct WireLimit<'a> {
    id: &'a str,
    verdict: &'a str,
    why: &'a str,
}

#[derive(Serialize)]
struct WireHeard<'a> {
    kind: &'a str,
    name: &'a str,
    heard: &'a str,
    how: &'a str,
    score: f64,
}

#[derive(Serialize)]
struct WireUnplaced<'a> {
    recording: u32,
    start_s: Option<f64>,
    end_s: Option<f64>,
    quote: &'a str,
    why: &'a str,
}

/// Returns the list as indented JSON with a closing line feed: items by number, rejected ones
/// included unless the options leave them out; seconds to the millisecond, probabilities to three
/// decimals.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let items = document.by_number(options.include_rejected.unwrap_or(true));
    let details = document.details.iter();
    let recordings = document.recordings.iter();
    let list = WireList {
        schema: SCHEMA_NAME,
        title: &document.title,
        created: &document.created,
        tool: TOOL,
        details: details
            .map(|d| WireDetail {
                key: &d.key,
                label: &d.label,
                value: &d.value,
            })
            .collect(),
        recordings: recordings
            .map(|r| WireRecording {
                id: r.id,
                file: &r.file,
                sha256: &r.sha256,
                duration_s: thousandths(r.duration_s),
                speech_s: thousandths(r.speech_s),
            })
            .collect(),
        places: document.places.iter().map(place).collect(),
        items: items.into_iter().map(item).collect(),
        unplaced: document.unplaced.iter().map(unplaced).collect(),
    };
    let mut bytes = serde_json::to_vec_pretty(&list)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn place(place: &VisitedPlace) -> WirePlace<'_> {
    let visit = |visit: &crate::items::Visit| {
        let (start_s, end_s) = seconds(visit.span);
        WireVisit {
            recording: visit.recording,
            start_s,
            end_s,
        }
    };
    WirePlace {
        name: &place.name,
        kind: &place.kind,
        visits: place.visits.iter().map(visit).collect(),
    }
}

fn item(item: &Item) -> WireItem<'_> {
    let (start_s, end_s) = seconds(item.evidence.span);
    let limits = item.limits.iter();
    let terms = item.evidence.terms.iter();
    WireItem {
        number: item.number,
        id: &item.id,
        place: &item.place,
        position: item.position.as_deref(),
        element: &item.element,
        defect: &item.defect,
        description: &item.description,
        count: item.count,
        measurements: item.measurements.iter().map(measurement).collect(),
        limits: limits
            .map(|l| WireLimit {
                id: &l.id,
                verdict: &l.verdict,
                why: &l.why,
            })
            .collect(),
        remedy: item.remedy.as_deref(),
        remedy_source: item.remedy_source.map(remedy_source_word),
        trade: item.trade.as_deref(),
        severity: severity_word(item.severity),
        caution: item.caution.as_deref(),
        remarks: &item.remarks,
        hedged: item.hedged,
        photo_wanted: item.photo_wanted,
        recording: item.evidence.recording,
        start_s,
        end_s,
        quote: &item.evidence.quote,
        heard: terms
            .map(|t| WireHeard {
                kind: &t.kind,
                name: &t.name,
                heard: &t.heard,
                how: &t.how,
                score: thousandths(f64::from(t.score)),
            })
            .collect(),
        reasons: &item.evidence.reasons,
        confidence: thousandths(item.confidence),
        status: status_word(item.status),
        photos: &item.photos,
        standing: standing_key(item.standing),
        history: item.history.iter().map(seen).collect(),
        due: item.due.as_deref(),
    }
}

fn seen(seen: &Seen) -> WireSeen<'_> {
    let (start_s, end_s) = seconds(seen.span);
    WireSeen {
        visit: seen.visit,
        date: &seen.date,
        standing: standing_key(seen.standing),
        note: &seen.note,
        recording: seen.recording,
        start_s,
        end_s,
        quote: &seen.quote,
    }
}

/// Returns the standing's name for programs, as in the job file.
fn standing_key(standing: Standing) -> &'static str {
    match standing {
        Standing::Open => "open",
        Standing::Offered => "offered",
        Standing::PutRight => "put-right",
        Standing::NotPutRight => "not-put-right",
        Standing::Changed => "changed",
        Standing::Closed => "closed",
    }
}

fn measurement(m: &Measurement) -> WireMeasurement<'_> {
    WireMeasurement {
        value: m.value,
        max: m.max,
        unit: &m.unit,
        over: m.over.as_ref().map(|over| WireOver {
            value: over.value,
            unit: &over.unit,
        }),
        spoken: &m.spoken,
        approximate: m.approximate,
    }
}

fn unplaced(unplaced: &Unplaced) -> WireUnplaced<'_> {
    let (start_s, end_s) = seconds(unplaced.span);
    WireUnplaced {
        recording: unplaced.recording,
        start_s,
        end_s,
        quote: &unplaced.quote,
        why: &unplaced.why,
    }
}

/// Returns the start and end in seconds, both or neither.
fn seconds(span: Option<Span>) -> (Option<f64>, Option<f64>) {
    (
        span.map(|s| s.start.seconds()),
        span.map(|s| s.end.seconds()),
    )
}

/// Returns the value rounded to three decimals.
fn thousandths(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

#[cfg(test)]
mod tests;
