//! What holds for any figure against any row.

use super::yardstick;
use crate::items::{Measurement, Over};
use crate::limits::compare::{Outcome, compare};
use crate::limits::{Limit, Limits, Role, Sense};
use proptest::prelude::*;
use std::sync::LazyLock;

/// Every row that figures in millimetres can be compared with, beside its sense.
static ROWS: LazyLock<Vec<(Limit, Sense)>> = LazyLock::new(rows);

fn rows() -> Vec<(Limit, Sense)> {
    let limits = Limits::builtin();
    let in_lengths = limits
        .rows
        .iter()
        .filter(|r| r.role == Role::Limit && ["mm", "in"].contains(&r.unit.as_str()));
    in_lengths
        .map(|row| {
            let sense = limits
                .senses
                .iter()
                .find(|s| row.sense.contains(&s.name))
                .unwrap();
            (row.clone(), sense.clone())
        })
        .collect()
}

fn millimetres(value: f64, over: Option<f64>, approximate: bool) -> Measurement {
    Measurement {
        value,
        max: None,
        unit: "mm".into(),
        over: over.map(|value| Over {
            value,
            unit: "mm".into(),
        }),
        spoken: String::new(),
        approximate,
    }
}

proptest! {
    #[test]
    fn never_outside_on_the_allowed_side(
        value in 0.0f64..3000.0,
        over in prop::option::of(10.0f64..20_000.0),
        approximate: bool,
    ) {
        for (row, sense) in ROWS.iter() {
            let one = if row.unit == "in" { 25.4 } else { 1.0 };
            let allowed = row.max.is_none_or(|max| value < max * one) && row.min.is_none_or(|min| value > min * one);
            let outcome = compare(row, sense, &millimetres(value, over, approximate));
            // A limit that may be scaled down is stricter over less length.
            let scaled = row.pro_rata != crate::limits::ProRata::No;
            if allowed && !scaled {
                prop_assert!(!matches!(outcome, Some(Outcome::Outside(_))), "{}: {outcome:?}", row.id);
            }
        }
    }

    #[test]
    fn approximate_at_the_limit_is_never_outside(over in prop::option::of(10.0f64..20_000.0)) {
        for (row, sense) in ROWS.iter() {
            for bound in [row.min, row.max].into_iter().flatten() {
                let mut figure = millimetres(bound, over, true);
                figure.unit = row.unit.clone();
                let outcome = compare(row, sense, &figure);
                if row.pro_rata == crate::limits::ProRata::No {
                    prop_assert!(!matches!(outcome, Some(Outcome::Outside(_))), "{}: {outcome:?}", row.id);
                }
            }
        }
    }

    #[test]
    fn a_length_left_unsaid_proves_nothing_where_the_limit_is_for_a_length(value in 0.0f64..3000.0) {
        for (row, sense) in ROWS.iter().filter(|(r, _)| r.gauge_mm.is_some() && r.whole.is_none()) {
            let outcome = compare(row, sense, &millimetres(value, None, false));
            prop_assert!(matches!(outcome, Some(Outcome::CannotTell(_))), "{}: {outcome:?}", row.id);
        }
    }

    #[test]
    fn any_words_are_compared_without_panic(
        element in "[a-z ]{0,20}", defect in "[a-z ]{0,20}", words in "\\PC{0,40}", value in 0.0f64..1e9,
    ) {
        let item = super::said("hall", &element, &defect, &words, millimetres(value, None, false));
        for check in crate::limits::check(&item, &yardstick("england,us,all")) {
            prop_assert!(["outside", "within", "cannot tell"].contains(&check.verdict.as_str()));
        }
    }
}
