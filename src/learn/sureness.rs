//! How sure this inspector's items are: the claims of the program held against what was confirmed.
//!
//! Two numbers only, held near the program's own, and judged on jobs that they were not fitted to: an
//! inspector confirms some hundreds of items a year, which say nothing of each weight behind a claim.

use super::draw::sighting;
use super::lesson::{Lesson, Teaching};
use super::marks::ALL_FACTS;
use super::study::{Change, Effect, Study};
use crate::lexicon::{Sureness, log_odds};
use crate::score::{brier, calibration_error, fit_towards};
use std::collections::BTreeSet;

/// Fewer jobs than this do not tell an inspector from a bad day.
const FEWEST_JOBS: usize = 3;

/// Fewer items than this, and fewer right or wrong ones, tell too little. Common practice for two
/// numbers (at least ten of the rarer kind for each), no source of our own.
const FEWEST_ITEMS: usize = 60;
const FEWEST_OF_A_KIND: usize = 20;

/// How strongly both numbers are held near those of the program, as so many items of doubt.
const HELD: f64 = 8.0;

/// The mean squared error of claims must become smaller by as much on jobs left out: less is no matter
/// to whoever accepts items above a confidence.
const LEAST_GAIN: f64 = 0.002;

/// What was claimed of a proposed item, and whether it was right.
type Claim = (f64, bool);

/// Returns the claims of each job, without those of undecided items.
fn claims(study: &Study<'_>) -> Vec<Vec<Claim>> {
    let of = |j: usize| -> Vec<Claim> {
        let (marks, proposed) = (&study.marks[j], &study.proposed[j]);
        let found = marks.found.iter().flatten();
        let decided = found.map(|&(p, facts)| (p, facts == ALL_FACTS));
        let surplus = marks.surplus.iter().map(|&p| (p, false));
        let all = decided.chain(surplus);
        all.map(|(p, right)| (proposed[p].confidence, right))
            .collect()
    };
    (0..study.jobs.len()).map(of).collect()
}

fn fit(claims: &[Claim]) -> Sureness {
    let rows: Vec<Vec<f64>> = (claims.iter())
        .map(|(claimed, _)| vec![1.0, log_odds(*claimed)])
        .collect();
    let outcomes: Vec<bool> = claims.iter().map(|(_, right)| *right).collect();
    let fitted = fit_towards(&rows, &outcomes, &[HELD; 2], &[0.0, 1.0]);
    Sureness {
        shift: fitted[0],
        slope: fitted[1],
    }
}

fn put_right(claims: &[Claim], sureness: Sureness) -> Vec<Claim> {
    let of = |&(claimed, right): &Claim| (sureness.of(claimed), right);
    claims.iter().map(of).collect()
}

/// Returns the lesson about confidences, where the jobs tell enough.
pub(super) fn sureness(study: &Study<'_>) -> Option<Lesson> {
    let mut claims = claims(study);
    // The same sums whatever the order of the jobs.
    claims.sort_by(|a, b| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
    let claims = claims.concat();
    let right = claims.iter().filter(|(_, right)| *right).count();
    let jobs = study.jobs.iter().filter(|job| !job.confirmed.is_empty());
    let too_few = jobs.count() < FEWEST_JOBS
        || claims.len() < FEWEST_ITEMS
        || right.min(claims.len() - right) < FEWEST_OF_A_KIND;
    if too_few {
        return None;
    }
    let claims = fit(&claims).claims();
    // Not to be told from what the program claims anyway, or not rising.
    if claims == Sureness::default().claims() || Sureness::read(&claims).is_err() {
        return None;
    }
    let mut sightings = BTreeSet::new();
    for job in study.jobs {
        sightings.extend(job.confirmed.iter().map(|item| sighting(&job.name, item)));
    }
    Some(Lesson {
        teaching: Teaching::Sureness { claims },
        sightings,
        against: 0,
        distance: 1000,
        asked: false,
    })
}

/// Returns what these claims do, and a fit like theirs for each job from the others: the smaller gain of
/// the two counts. It is one thing mended, or broken.
pub(super) fn effect(study: &Study<'_>, given: Sureness) -> Effect {
    let claims = claims(study);
    let mut after = Vec::new();
    for (j, own) in claims.iter().enumerate() {
        let mut others: Vec<&Vec<Claim>> = claims[..j].iter().chain(&claims[j + 1..]).collect();
        others.sort_by(|a, b| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
        let others: Vec<Claim> = others.into_iter().flatten().copied().collect();
        after.extend(put_right(own, fit(&others)));
    }
    let before = claims.concat();
    let gain = |after: &[Claim]| brier(&before) - brier(after);
    let gain = gain(&after).min(gain(&put_right(&before, given)));
    let told = |claims: &[Claim]| {
        format!(
            "confidences off by {:.2} ({:.3} squared)",
            calibration_error(claims),
            brier(claims)
        )
    };
    let change = Change {
        job: "jobs left out".to_owned(),
        item: None,
        before: told(&before),
        after: told(&after),
    };
    let mut effect = Effect::default();
    match gain {
        gain if gain >= LEAST_GAIN => effect.mended.push(change),
        gain if gain < 0.0 => effect.broken.push(change),
        _ => {}
    }
    effect
}
