//! The list's plain data: items, places visited, and what made no item.
//!
//! These are the types that flow from understanding to the job file, the confirm pass and the
//! exports. They are stored in the job file as JSON; what other programs read is the separate,
//! versioned form in `export/json`.

use crate::time::Span;
use serde::{Deserialize, Serialize};

/// How much an item matters, most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Someone could be hurt.
    Safety,
    /// Does not work, leaks, is missing, or will get worse.
    Repair,
    /// Looks wrong only.
    Finish,
    /// Needs cleaning only.
    Clean,
    /// To be monitored.
    Watch,
}

/// Where an item stands in the confirm pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Made by the tool, not yet seen by the inspector.
    Proposed,
    /// Accepted, with or without edits, by the inspector.
    Confirmed,
    /// Struck out by the inspector; kept, and can be restored.
    Rejected,
}

/// Where the work on an item stands, as of the last visit. Apart from [`Status`], which is about the
/// line in the list, not about the work.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Nobody has said that anything was done.
    #[default]
    Open,
    /// The builder says that it is done; the inspector has not looked.
    Offered,
    /// Looked at and found in order.
    PutRight,
    /// Looked at and found as before.
    NotPutRight,
    /// Something was done, and it is not in order yet, or differs from what it was.
    Changed,
    /// Left as it is by agreement.
    Closed,
}

impl Standing {
    /// All, in the order in which work goes on.
    pub const ALL: [Standing; 6] = [
        Standing::Open,
        Standing::Offered,
        Standing::PutRight,
        Standing::NotPutRight,
        Standing::Changed,
        Standing::Closed,
    ];

    /// Returns true while the item is still to be dealt with.
    pub fn is_outstanding(self) -> bool {
        !matches!(self, Standing::PutRight | Standing::Closed)
    }
}

/// Returns the standing in the words of lists and faces.
pub fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::Open => "open",
        Standing::Offered => "offered as done",
        Standing::PutRight => "put right",
        Standing::NotPutRight => "not put right",
        Standing::Changed => "changed",
        Standing::Closed => "closed by agreement",
    }
}

/// What was found about an item on a later visit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Seen {
    /// Number of the visit: 2 for the second.
    pub visit: u32,
    /// The visit's date, `YYYY-MM-DD`.
    pub date: String,
    /// How the work stood.
    pub standing: Standing,
    /// What was said beyond that; may be empty.
    pub note: String,
    /// Number of the recording; `None` where it was entered by hand.
    pub recording: Option<u32>,
    /// When it was said.
    pub span: Option<Span>,
    /// The words as heard; empty where it was entered by hand.
    pub quote: String,
}

/// Where the remedy's words come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RemedySource {
    /// The inspector said it.
    Spoken,
    /// The lexicon's usual remedy for the defect.
    Suggested,
}

/// A spoken measurement.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Measurement {
    /// The value, in `unit`; the lower one of a range.
    pub value: f64,
    /// The upper value of a range ("six to eight mil").
    pub max: Option<f64>,
    /// `mm`, `cm`, `m`, `in`, `ft`, `deg`, `%`, `°C`, `Pa`, `bar`, `l/s`, `l/min`, `l`,
    /// `m²`, `ft²`, `lux`, `V`, `W`, `A`, `dB`, `kg`, `ratio`.
    pub unit: String,
    /// The length it is tied to ("over two metres", "over the storey").
    pub over: Option<Over>,
    /// The words as heard.
    pub spoken: String,
    /// True after "about", "roughly", "or so".
    pub approximate: bool,
}

/// The length or extent that a measurement is tied to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Over {
    /// The value, in `unit`.
    pub value: f64,
    /// A unit of length, or `storey`, `width`, `height`, `length` (with value 1).
    pub unit: String,
}

/// A measurement held against one published limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LimitCheck {
    /// The limit's stable name.
    pub id: String,
    /// `outside`, `within` or `cannot tell`.
    pub verdict: String,
    /// The reason in words, with source and edition.
    pub why: String,
}

/// What an item rests on. Never dropped, whatever the inspector changes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Evidence {
    /// Number of the recording.
    pub recording: u32,
    /// When it was said; `None` for transcripts without times and for items added by hand.
    pub span: Option<Span>,
    /// The words as heard; empty for items added by hand.
    pub quote: String,
    /// Index of the first word of the quote in the transcript, and of the first word after it.
    pub words: Option<(usize, usize)>,
    /// The lexicon terms that were used, with how each was heard.
    pub terms: Vec<TermEvidence>,
    /// Why the item was made as it is, one short sentence each.
    pub reasons: Vec<String>,
}

/// One lexicon term behind an item.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TermEvidence {
    /// `place`, `element`, `defect`, `remedy` or `trade`.
    pub kind: String,
    /// The term's name in the lexicon.
    pub name: String,
    /// The words as heard.
    pub heard: String,
    /// `exact`, `sounds like`, `carried` (from an earlier statement) or `own words`.
    pub how: String,
    /// Agreement of the heard words with the term, 0 to 1.
    pub score: f32,
}

/// One defect at one place: a line of the list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Item {
    /// Running number, from 1, unique within the job.
    pub number: u32,
    /// Stable identity: 16 hexadecimal digits, the same for the same words of the same recording.
    pub id: String,
    /// Place name, such as `bedroom two`; `unplaced` if none was said.
    pub place: String,
    /// Where within the place, such as `left of the door`.
    pub position: Option<String>,
    /// What is defective.
    pub element: String,
    /// What is wrong with it.
    pub defect: String,
    /// One plain sentence.
    pub description: String,
    /// How many (at least 1).
    pub count: u32,
    /// The spoken measurements.
    pub measurements: Vec<Measurement>,
    /// Measurements held against published limits.
    pub limits: Vec<LimitCheck>,
    /// What would put it right.
    pub remedy: Option<String>,
    /// Where `remedy` comes from; `None` where there is no remedy.
    pub remedy_source: Option<RemedySource>,
    /// Who puts it right.
    pub trade: Option<String>,
    /// How much it matters.
    pub severity: Severity,
    /// A caution in plain words, where the work can hurt someone.
    pub caution: Option<String>,
    /// Asides kept with the item: causes, consequences, hedges.
    pub remarks: Vec<String>,
    /// True where the inspector was not sure ("might be", "I think").
    pub hedged: bool,
    /// True where the inspector asked for a photo here.
    pub photo_wanted: bool,
    /// What it rests on.
    pub evidence: Evidence,
    /// Probability, 0 to 1, that place, element and defect are all right.
    pub confidence: f64,
    /// Where it stands in the confirm pass.
    pub status: Status,
    /// File names within the job's `photos/` folder.
    pub photos: Vec<String>,
    /// Where the work stands, as of the last visit.
    #[serde(default)]
    pub standing: Standing,
    /// What later visits found, oldest first.
    #[serde(default)]
    pub history: Vec<Seen>,
    /// The date by which it is to be put right, `YYYY-MM-DD`; `None` where no period was set.
    #[serde(default)]
    pub due: Option<String>,
}

/// One stay at a place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Visit {
    /// Number of the recording.
    pub recording: u32,
    /// From the first to the last word said there; `None` without times.
    pub span: Option<Span>,
}

/// A place that was visited, in walking order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct VisitedPlace {
    /// Place name as in [`Item::place`].
    pub name: String,
    /// `room`, `elevation`, `outside`, `roof`, `loft`, `garage`, `common` or `whole`.
    pub kind: String,
    /// The stays, in order.
    pub visits: Vec<Visit>,
}

/// Words that made no item although they might have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Unplaced {
    /// Number of the recording.
    pub recording: u32,
    /// When it was said.
    pub span: Option<Span>,
    /// The words as heard.
    pub quote: String,
    /// Why no item was made: `no defect named`, `withdrawn`, `said to be in order`, ...
    pub why: String,
}

/// What understanding proposes for a walk-round.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Proposal {
    /// Places in walking order.
    pub places: Vec<VisitedPlace>,
    /// Items in spoken order, all [`Status::Proposed`].
    pub items: Vec<Item>,
    /// What made no item.
    pub unplaced: Vec<Unplaced>,
}
