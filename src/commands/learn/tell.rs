//! Lessons, their evidence and their history as text.

use super::super::error::CliError;
use super::super::shared;
use super::Offer;
use super::store::{Did, Store};
use crate::learn::{Change, Effect, Harm, Judged, Sighting, Teaching, Verdict};
use std::fmt::Write;
use std::path::PathBuf;

/// The most occasions and changes that are listed for a lesson.
const LISTED: usize = 4;

/// Returns the numbered list of lessons with evidence and effect.
pub(super) fn list(offers: &[Offer], store: &Store) -> String {
    let mut out = String::new();
    for (at, offer) in offers.iter().enumerate() {
        let _ = writeln!(out, "{:>3}  {}", at + 1, offer.in_words());
        let _ = writeln!(out, "     {}", of(offer));
        let effect = match offer {
            Offer::Lesson(one) => {
                for s in one.lesson.sightings.iter().take(LISTED) {
                    let _ = writeln!(out, "       heard  {}", sighting(s));
                }
                &one.effect
            }
            Offer::Withdrawal(harm) => &harm.effect,
        };
        let Effect { mended, broken } = effect;
        for (does, changes) in [("mends ", mended), ("breaks", broken)] {
            for change in changes.iter().take(LISTED) {
                let _ = writeln!(out, "       {does} {}", told(change));
            }
        }
    }
    if offers.is_empty() {
        let known = count(store.lessons().len(), "lesson");
        let _ = writeln!(
            out,
            "nothing to learn from these jobs; {known} known already"
        );
    }
    out
}

fn sighting(s: &Sighting) -> String {
    let at = s.at.map(|at| format!(", {at}")).unwrap_or_default();
    format!("{} item {}{at}: \"{}\"", s.job, s.item, s.quote)
}

fn told(change: &Change) -> String {
    let item = change
        .item
        .map(|n| format!(" item {n}"))
        .unwrap_or_default();
    format!(
        "{}{item}: {} -> {}",
        change.job, change.before, change.after
    )
}

/// Returns what speaks for or against what is offered, in words.
pub(super) fn of(offer: &Offer) -> String {
    match offer {
        Offer::Lesson(judged) => verdict(judged),
        Offer::Withdrawal(harm) => today(harm),
    }
}

/// Returns what an active lesson does today, in words.
pub(super) fn today(harm: &Harm) -> String {
    let Effect { mended, broken } = &harm.effect;
    let elsewhere = match harm.elsewhere {
        0 => String::new(),
        n => format!(", and may mend {} in other jobs", count(n, "item")),
    };
    format!(
        "learnt {}; today it breaks {} and mends {}{elsewhere}",
        harm.learnt,
        count(broken.len(), "item"),
        mended.len()
    )
}

/// Returns what the guard says of a lesson, in words.
pub(super) fn verdict(one: &Judged) -> String {
    let lesson = &one.lesson;
    let asked = if lesson.asked { "asked for, " } else { "" };
    let seen = match (lesson.sightings.len(), lesson.against) {
        (0, _) => "from an overlay".to_owned(),
        (n, 0) => format!("{asked}heard {}", times(n)),
        (n, against) => format!("{asked}heard {}, otherwise {}", times(n), times(against)),
    };
    let mends = count(one.effect.mended.len(), "item");
    let effect = match one.verdict {
        Verdict::Passes if matches!(lesson.teaching, Teaching::Sureness { .. }) => {
            "nearer to what was right, in jobs that they were not fitted to".to_owned()
        }
        Verdict::Passes => format!("mends {mends}, breaks none"),
        Verdict::NotNeeded => format!("mends {mends}, which another lesson mends as well"),
        Verdict::SeenOnce => "too little for such a lesson, so it was not tried".to_owned(),
        // Old words cannot tell whether the recogniser will write a name once it leans towards it.
        Verdict::MendsNothing if matches!(lesson.teaching, Teaching::Term { .. }) => {
            "mends nothing in what was heard before; with --insist new recordings are listened to for it"
                .to_owned()
        }
        Verdict::MendsNothing => "mends nothing in these jobs".to_owned(),
        Verdict::Breaks if one.effect.broken.is_empty() => {
            "breaks something beside the other lessons".to_owned()
        }
        Verdict::Breaks => format!("breaks {}", count(one.effect.broken.len(), "item")),
    };
    format!("{seen}; {effect}")
}

/// Says what the user does next.
pub(super) fn next(offers: &[Offer], jobs: &[PathBuf]) {
    let passing = offers.iter().filter(|offer| offer.passes()).count();
    if passing > 0 {
        shared::say(format_args!(
            "{} may be accepted: callover learn {} --all, or --accept with numbers",
            count(passing, "lesson"),
            given(jobs)
        ));
    }
}

/// Says how the voice itself can be learnt.
pub(super) fn next_voice(jobs: &[PathBuf]) {
    shared::say(format_args!(
        "the recogniser itself can be fitted to your voice, in some minutes: callover learn {} --voice",
        given(jobs)
    ));
}

/// Returns the jobs as they are given on the command line.
fn given(jobs: &[PathBuf]) -> String {
    let jobs: Vec<String> = jobs.iter().map(|job| shared::quoted(job)).collect();
    jobs.join(" ")
}

/// Returns the story of the lessons that have `text` in them, or of all.
///
/// # Errors
/// As reading the history has it.
pub(in crate::commands) fn history(text: &str) -> Result<String, CliError> {
    let mut out = String::new();
    for act in Store::open()?.acts()? {
        if !act.lesson.contains(text) {
            continue;
        }
        let did = match act.did {
            Did::Accepted => "accepted",
            Did::Refused => "refused",
            Did::Undone => "undone",
            Did::Withdrawn => "withdrawn",
            Did::Restored => "restored",
        };
        let why = act.why.map(|why| format!(" ({why})")).unwrap_or_default();
        let _ = writeln!(out, "{}  {did:<9}  {}{why}", act.date, act.lesson);
    }
    Ok(out)
}

pub(super) fn count(n: usize, what: &str) -> String {
    match n {
        1 => format!("1 {what}"),
        n => format!("{n} {what}s"),
    }
}

fn times(n: usize) -> String {
    match n {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}
