//! An item, or a figure said without any fault, against all rows about it.

use super::compare::{self, Doubt, Outcome};
use super::matching::{self, About, Holds};
use super::row::{Condition, Limit, Role, Sense};
use super::{Chosen, Limits, say};
use crate::items::{Item, LimitCheck, Measurement};

/// The limits to compare with, and which of them count.
#[derive(Debug, Clone)]
pub struct Yardstick {
    /// The rows.
    pub limits: Limits,
    /// The choice among them.
    pub chosen: Chosen,
}

impl Default for Yardstick {
    /// The built-in limits for the usual region.
    fn default() -> Self {
        Yardstick {
            limits: Limits::builtin().clone(),
            chosen: Chosen::default(),
        }
    }
}

/// One row's outcome.
struct Judged<'a> {
    row: &'a Limit,
    sense: &'a Sense,
    measurement: &'a Measurement,
    outcome: Outcome,
    /// Conditions that were not said.
    ask: Vec<&'a Condition>,
}

/// Returns how the item's measurements stand to the published limits about them: what is outside
/// first, then what cannot be told, then what is within, bands of severity and triggers. Empty where
/// no chosen limit is about them.
pub fn check(item: &Item, yardstick: &Yardstick) -> Vec<LimitCheck> {
    let mut said = item.description.clone();
    let mut add = |text: &str| {
        // A full stop, so that no wording is found across two texts.
        said += " . ";
        said += text;
    };
    item.position.as_deref().into_iter().for_each(&mut add);
    add(&item.evidence.quote);
    item.remarks.iter().map(String::as_str).for_each(&mut add);
    let about = About {
        element: &item.element,
        defect: &item.defect,
        place: &item.place,
        said: &said,
    };
    let mut checks: Vec<LimitCheck> = Vec::new();
    for measurement in &item.measurements {
        for new in all(&about, measurement, yardstick) {
            if !checks
                .iter()
                .any(|old| old.id == new.id && old.verdict == new.verdict)
            {
                checks.push(new);
            }
        }
    }
    let rank = |check: &LimitCheck| match check.verdict.as_str() {
        say::OUTSIDE => 0,
        say::CANNOT_TELL => 1,
        _ => 2,
    };
    checks.sort_by_key(rank);
    checks
}

/// Fills [`Item::limits`] where an edit left it empty; items that have it are left as they are.
pub fn refresh(items: &mut [Item], yardstick: &Yardstick) {
    for item in items.iter_mut().filter(|i| i.limits.is_empty()) {
        item.limits = check(item, yardstick);
    }
}

fn all(about: &About<'_>, measurement: &Measurement, yardstick: &Yardstick) -> Vec<LimitCheck> {
    let limits = &yardstick.limits;
    let rows = matching::rows(limits, about, measurement);
    let taken = |row: &&(&Limit, &Sense)| yardstick.chosen.takes(row.0);
    let mut checks = Vec::new();
    for (row, _) in rows.iter().filter(taken) {
        if matching::holds(limits, row, about) == Holds::No {
            continue;
        }
        let why = match row.role {
            Role::Class if compare::in_band(row, measurement) => say::why_class(row, measurement),
            Role::Trigger => match compare::settled(row, measurement) {
                Some(Outcome::Outside(_)) => say::why_trigger(row, measurement),
                _ => continue,
            },
            _ => continue,
        };
        let verdict = match row.role {
            Role::Class => say::WITHIN,
            _ => say::CANNOT_TELL,
        };
        checks.push(LimitCheck {
            id: row.id.clone(),
            verdict: verdict.into(),
            why,
        });
    }
    let judged = judge(about, measurement, yardstick);
    for one in &judged {
        let shared = shared_by_all(one, &judged, limits);
        let (verdict, why) = if one.ask.is_empty() || shared {
            let instrument =
                one.sense.deviation && compare::near_for_instrument(one.row, measurement);
            let why = say::why(one.row, measurement, one.outcome, instrument);
            let open: String = one
                .ask
                .iter()
                .filter_map(|c| c.ask.as_deref())
                .map(|ask| format!("; not said {ask}, but it is the same either way"))
                .collect();
            (say::verdict(one.outcome), why + &open)
        } else if matches!(one.outcome, Outcome::CannotTell(doubt) if doubt != Doubt::LengthUnsaid)
        {
            // Even with the answer nobody could tell.
            continue;
        } else {
            let ask: Vec<&str> = one.ask.iter().filter_map(|c| c.ask.as_deref()).collect();
            let given: Vec<&str> = one.ask.iter().map(|c| c.name.as_str()).collect();
            let why = say::why_asked(one.row, measurement, one.outcome, &ask, &given);
            (say::CANNOT_TELL, why)
        };
        checks.push(LimitCheck {
            id: one.row.id.clone(),
            verdict: verdict.into(),
            why,
        });
    }
    checks
}

/// Returns every chosen limit about the measurement with its outcome, unknown conditions taken to
/// hold.
fn judge<'a>(
    about: &About<'_>,
    measurement: &'a Measurement,
    yardstick: &'a Yardstick,
) -> Vec<Judged<'a>> {
    let limits = &yardstick.limits;
    let mut judged = Vec::new();
    for (row, sense) in matching::rows(limits, about, measurement) {
        if row.role != Role::Limit || !yardstick.chosen.takes(row) {
            continue;
        }
        let ask = match matching::holds(limits, row, about) {
            Holds::No => continue,
            Holds::Yes => Vec::new(),
            Holds::Ask(ask) => ask,
        };
        if let Some(outcome) = compare::compare(row, sense, measurement) {
            judged.push(Judged {
                row,
                sense,
                measurement,
                outcome,
                ask,
            });
        }
    }
    judged
}

/// True where only one choice was not said, and every case of it comes out the same.
fn shared_by_all(one: &Judged<'_>, judged: &[Judged<'_>], limits: &Limits) -> bool {
    let [asked] = one.ask.as_slice() else {
        return false;
    };
    let Some(choice) = &asked.choice else {
        return false;
    };
    let mut cases = limits
        .conditions
        .iter()
        .filter(|c| c.choice.as_ref() == Some(choice));
    cases.all(|case| {
        judged.iter().any(|other| {
            other.ask.as_slice() == [case]
                && other.row.source == one.row.source
                && say::verdict(other.outcome) == say::verdict(one.outcome)
        })
    })
}

/// What a figure means that was said without any fault.
#[derive(Debug, Clone, PartialEq)]
pub enum Beyond {
    /// It is a fault: its name, and why.
    Outside {
        /// Such as `too high`.
        defect: String,
        /// The limit, with source and edition.
        why: String,
    },
    /// It is in order, and by what limit.
    Within(String),
    /// No chosen limit is about it, or none can tell.
    Unknown,
}

/// Returns what the measurements of an element mean where the speaker named no fault. Only limits
/// whose conditions hold count; one of them that is exceeded makes a fault.
pub fn beyond(
    element: &str,
    place: &str,
    said: &str,
    measurements: &[Measurement],
    yardstick: &Yardstick,
) -> Beyond {
    let about = About {
        element,
        defect: "",
        place,
        said,
    };
    let mut within = None;
    for measurement in measurements {
        let judged = judge(&about, measurement, yardstick);
        for one in &judged {
            if !one.ask.is_empty() && !shared_by_all(one, &judged, &yardstick.limits) {
                continue;
            }
            let fault = if compare::above(one.row, one.measurement) {
                &one.sense.above
            } else {
                &one.sense.below
            };
            match (one.outcome, fault) {
                (Outcome::Outside(_), Some(defect)) => {
                    return Beyond::Outside {
                        defect: defect.clone(),
                        why: say::short(one.row, say::OUTSIDE),
                    };
                }
                (Outcome::Within(_), _) => {
                    within.get_or_insert_with(|| say::short(one.row, say::WITHIN));
                }
                _ => {}
            }
        }
    }
    within.map_or(Beyond::Unknown, Beyond::Within)
}
