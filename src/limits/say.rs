//! Outcomes in words: the figure, the limit, what its source binds, and how it was found.

use super::compare::{Doubt, Outcome, Proof};
use super::row::{Kind, Limit, Role, Status};
use crate::items::Measurement;
use crate::job::measurement_text;

/// `outside`.
pub(super) const OUTSIDE: &str = "outside";
/// `within`.
pub(super) const WITHIN: &str = "within";
/// `cannot tell`.
pub(super) const CANNOT_TELL: &str = "cannot tell";

/// Returns the figure as people say it: a fall is one in so many.
fn figure(measurement: &Measurement) -> String {
    if measurement.unit != "ratio" {
        return measurement_text(measurement);
    }
    let about = if measurement.approximate {
        "about "
    } else {
        ""
    };
    format!("{about}1 in {}", measurement.value)
}

/// Returns the verdict's word.
pub(super) fn verdict(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Outside(_) => OUTSIDE,
        Outcome::Within(_) => WITHIN,
        Outcome::CannotTell(_) => CANNOT_TELL,
    }
}

/// Returns the reason in words for an outcome under conditions that hold.
pub(super) fn why(
    row: &Limit,
    measurement: &Measurement,
    outcome: Outcome,
    instrument: bool,
) -> String {
    let figure = figure(measurement);
    let (source, limit) = (source(row), limit(row));
    let mut text = match outcome {
        Outcome::Outside(proof) => {
            let (beyond, bound) = beyond(row.kind);
            format!(
                "{figure}{}: {beyond} {source}, {limit}{bound}",
                how(proof, true, row)
            )
        }
        Outcome::Within(proof) => {
            format!(
                "{figure}{}: within {limit}, {source}",
                how(proof, false, row)
            )
        }
        Outcome::CannotTell(doubt) => {
            format!("{figure}: {}; {limit}, {source}", missing(row, doubt))
        }
    };
    if instrument && !matches!(outcome, Outcome::CannotTell(_)) {
        text += "; near the limit: the instrument should be good to a third of it";
    }
    text + &trust(row)
}

/// Returns the reason for a row whose conditions were not said.
pub(super) fn why_asked(
    row: &Limit,
    measurement: &Measurement,
    outcome: Outcome,
    ask: &[&str],
    given: &[&str],
) -> String {
    let would = match outcome {
        Outcome::Outside(_) => "this would be outside".to_owned(),
        Outcome::Within(_) => "this would be within".to_owned(),
        Outcome::CannotTell(doubt) => format!("then still {}:", missing(row, doubt)),
    };
    let mut ask = ask.to_vec();
    ask.dedup();
    format!(
        "{}: not said {}; if {}, {would} {}, {}{}",
        figure(measurement),
        ask.join(", nor "),
        given.join(" and "),
        limit(row),
        source(row),
        trust(row)
    )
}

/// Returns the words for a band of severity.
pub(super) fn why_class(row: &Limit, measurement: &Measurement) -> String {
    let scope = row
        .scope
        .as_deref()
        .map_or(String::new(), |s| format!(": {s}"));
    format!(
        "{}: in the band {} ({}), {}; a band of severity, not a limit{scope}{}",
        figure(measurement),
        row.quantity,
        row.words,
        source(row),
        trust(row)
    )
}

/// Returns the words for a size beyond which another rule starts.
pub(super) fn why_trigger(row: &Limit, measurement: &Measurement) -> String {
    format!(
        "{}: another rule starts here, {}, {}; no defect by itself: look whether that rule is met{}",
        figure(measurement),
        limit(row),
        source(row),
        trust(row)
    )
}

/// Returns a short form: `within 150 to 220 mm, Document (2013)`.
pub(super) fn short(row: &Limit, verdict: &str) -> String {
    format!("{verdict} {}, {}", limit(row), source(row))
}

fn limit(row: &Limit) -> String {
    let words = row.words.as_str();
    // "at least 900 mm" says it; "220 mm" does not say which side it bounds.
    let bare = words.starts_with(|c: char| c.is_ascii_digit());
    match (row.role, row.min, row.max) {
        (Role::Limit, None, Some(_)) if bare => format!("at most {words}"),
        (Role::Limit, Some(_), None) if bare => format!("at least {words}"),
        _ => words.to_owned(),
    }
}

/// Returns the document with edition and clause.
fn source(row: &Limit) -> String {
    let edition = match row.edition.as_str() {
        UNKNOWN => "edition not stated",
        edition => edition,
    };
    let clause = row
        .clause
        .as_deref()
        .map_or(String::new(), |c| format!(", {c}"));
    let old = if row.superseded { ", superseded" } else { "" };
    format!("{} ({edition}{clause}{old})", row.source)
}

/// What a file gives as the edition that nobody knows.
const UNKNOWN: &str = "not stated";

/// What may be said of a figure beyond a limit, and what its source binds.
fn beyond(kind: Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::Code => ("does not meet", ", where that code has been adopted"),
        Kind::StatutoryGuidance => (
            "differs from the guidance in",
            "; it shows one way to comply, not the only one",
        ),
        Kind::Standard | Kind::ModelSpecification => (
            "outside",
            "; it binds only if the contract or specification calls for it",
        ),
        Kind::WarrantyTolerance => (
            "outside the tolerance of",
            "; it applies only to homes with that cover, and to the edition on the policy",
        ),
        Kind::PerformanceGuideline | Kind::GovernmentGuidance | Kind::IndustryGuide => {
            ("outside the figure in", "; a yardstick")
        }
        Kind::Contract => ("outside", ""),
    }
}

/// How far to trust the figure.
fn trust(row: &Limit) -> String {
    let found = match row.status {
        _ if row.own => return String::new(),
        Status::Read => "read in the document",
        Status::SecondHand => "read at second hand",
        Status::Memory => "from memory, not read: look it up",
    };
    let unnamed = if row.unattributed {
        ", source not named"
    } else {
        ""
    };
    format!(" [{found}{unnamed}, confidence {}]", row.confidence)
}

fn how(proof: Proof, outside: bool, row: &Limit) -> String {
    match (proof, outside) {
        (Proof::Same, _) => String::new(),
        (Proof::Shorter, true) => ", already more in a shorter length".into(),
        (Proof::Shorter, false) => ", over the length measured".into(),
        (Proof::Parts(n), _) => format!(", so at least one of {n} lengths is beyond it"),
        (Proof::Scaled(to), _) => format!(
            ", where the source's own scaling allows {} {}",
            (to * 100.0).round() / 100.0,
            row.unit
        ),
        (Proof::Average, _) => ", on the average".into(),
    }
}

fn missing(row: &Limit, doubt: Doubt) -> String {
    let gauge = row.gauge.as_deref().unwrap_or("a set length");
    match doubt {
        Doubt::LengthUnsaid => format!("not said over what length, and the limit is for {gauge}"),
        Doubt::LengthUnknown => {
            format!("the length measured over is not said in figures, and the limit is for {gauge}")
        }
        Doubt::Longer => {
            format!("measured over more than {gauge}, and the limit may not be scaled")
        }
        Doubt::Shorter => {
            format!("measured over less than {gauge}, and the limit may not be scaled")
        }
        Doubt::Near => "too near the limit for how surely it was said".into(),
    }
}
