//! When a listed item agrees with an expected one, and which belongs to which.

use callover::items::Item;
use callover::time::Span;
use serde_json::Value;
use std::collections::BTreeSet;

/// Spans further apart than this, in seconds, belong to different items.
const SLACK_S: f64 = 4.0;

/// An item that ought to be on the list.
#[derive(Debug, Clone)]
pub(crate) struct Gold {
    /// Accepted wordings, the usual one first.
    pub(crate) place: Vec<String>,
    pub(crate) element: Vec<String>,
    pub(crate) defect: Vec<String>,
    pub(crate) trade: Vec<String>,
    pub(crate) measure: Option<String>,
    pub(crate) count: u32,
    span: Option<(f64, f64)>,
}

/// Which facts of an item agree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Grade {
    pub(crate) place: bool,
    pub(crate) element: bool,
    pub(crate) defect: bool,
}

impl Grade {
    pub(crate) fn right(self) -> bool {
        self.place && self.element && self.defect
    }
}

impl Gold {
    pub(crate) fn read(value: &Value) -> Gold {
        let texts = |key: &str| -> Vec<String> {
            let list = value[key].as_array().into_iter().flatten();
            list.filter_map(|text| text.as_str().map(str::to_string))
                .collect()
        };
        Gold {
            place: texts("loc"),
            element: texts("el"),
            defect: texts("de"),
            trade: texts("trade"),
            measure: value["measure"].as_str().map(str::to_string),
            count: value["count"].as_u64().map_or(1, |count| count as u32),
            span: value["start_s"].as_f64().zip(value["end_s"].as_f64()),
        }
    }

    /// Returns how well an item agrees, whenever it was said.
    pub(crate) fn grade(&self, item: &Item) -> Grade {
        let mut context = BTreeSet::new();
        let position = item.position.as_deref().unwrap_or_default();
        for text in [&item.description, &item.element, &item.defect, position] {
            context.extend(words(text));
        }
        Grade {
            place: located(&self.place, &item.place),
            element: agrees(&self.element, &item.element, &context),
            defect: agrees(&self.defect, &item.defect, &context),
        }
    }

    pub(crate) fn trade_agrees(&self, trade: Option<&str>) -> bool {
        let accepted: BTreeSet<String> = self.trade.iter().flat_map(|t| words(t)).collect();
        self.trade.is_empty()
            || words(trade.unwrap_or_default())
                .iter()
                .any(|w| accepted.contains(w))
    }

    pub(crate) fn measure_agrees(&self, item: &Item) -> bool {
        let Some(measure) = &self.measure else {
            return true;
        };
        if item.remarks.contains(measure) {
            return true;
        }
        let wanted: Vec<f64> = figures(measure);
        let values = item.measurements.iter();
        let have: Vec<f64> = values
            .flat_map(|m| [Some(m.value), m.max])
            .flatten()
            .collect();
        wanted.iter().any(|x| {
            let close =
                |y: &f64| (x - y).abs() <= 0.051 * x.abs().max(1.0) || (x * 25.4 - y).abs() < 0.6;
            have.iter().any(close)
        })
    }

    pub(crate) fn has_times(&self) -> bool {
        self.span.is_some()
    }

    /// Returns true where most of a stretch belongs to the time in which the item was said.
    pub(crate) fn said_in(&self, span: Span) -> bool {
        let (start, end) = (span.start.seconds(), span.end.seconds());
        let within = |(from, to): (f64, f64)| end.min(to) - start.max(from);
        self.span
            .is_some_and(|gold| within(gold) * 2.0 > (end - start).min(gold.1 - gold.0))
    }

    /// The weight of pairing with an item; 0 where the two cannot belong together.
    fn weight(&self, item: &Item) -> f64 {
        let said = item
            .evidence
            .span
            .map(|s| (s.start.seconds(), s.end.seconds()));
        let both = self.span.zip(said);
        let apart = both.is_some_and(|(g, p)| p.0 > g.1 + SLACK_S || g.0 > p.1 + SLACK_S);
        let grade = self.grade(item);
        if apart || !(grade.element || grade.defect) {
            return 0.0;
        }
        let near = both.map_or(0.0, |(g, p)| {
            0.4 / (1.0 + ((g.0 + g.1) / 2.0 - (p.0 + p.1) / 2.0).abs())
        });
        let share = |agrees: bool, worth: f64| if agrees { worth } else { 0.0 };
        share(grade.right(), 4.0)
            + share(grade.place, 1.0)
            + share(grade.element, 1.5)
            + share(grade.defect, 1.5)
            + near
    }
}

/// Returns for each expected item the place of the listed one that it is, such that the total
/// agreement is greatest.
pub(crate) fn pair(gold: &[Gold], items: &[Item]) -> Vec<Option<usize>> {
    let size = gold.len().max(items.len());
    let weight = |i: usize, j: usize| match (gold.get(i), items.get(j)) {
        (Some(gold), Some(item)) => gold.weight(item),
        _ => 0.0,
    };
    let matched = assignment(size, |i, j| -weight(i, j));
    (0..gold.len())
        .map(|i| Some(matched[i]).filter(|j| weight(i, *j) > 0.0))
        .collect()
}

/// The assignment of rows to columns with the least total cost (the Hungarian method with
/// potentials, O(n³)).
fn assignment(size: usize, cost: impl Fn(usize, usize) -> f64) -> Vec<usize> {
    let (mut u, mut v) = (vec![0.0; size + 1], vec![0.0; size + 1]);
    let (mut row_of, mut way) = (vec![0; size + 1], vec![0; size + 1]);
    for row in 1..=size {
        row_of[0] = row;
        let mut column = 0;
        let mut least = vec![f64::INFINITY; size + 1];
        let mut used = vec![false; size + 1];
        loop {
            used[column] = true;
            let (i, mut delta, mut next) = (row_of[column], f64::INFINITY, 0);
            for j in 1..=size {
                if used[j] {
                    continue;
                }
                let reduced = cost(i - 1, j - 1) - u[i] - v[j];
                if reduced < least[j] {
                    (least[j], way[j]) = (reduced, column);
                }
                if least[j] < delta {
                    (delta, next) = (least[j], j);
                }
            }
            for j in 0..=size {
                if used[j] {
                    u[row_of[j]] += delta;
                    v[j] -= delta;
                } else {
                    least[j] -= delta;
                }
            }
            column = next;
            if row_of[column] == 0 {
                break;
            }
        }
        while column != 0 {
            row_of[column] = row_of[way[column]];
            column = way[column];
        }
    }
    let mut column_of = vec![0; size];
    for j in 1..=size {
        column_of[row_of[j] - 1] = j - 1;
    }
    column_of
}

/// The words of a text that matter, plurals folded.
pub(crate) fn words(text: &str) -> BTreeSet<String> {
    const STOP: &[&str] = &["the", "a", "an", "of", "to", "in", "on", "and", "is", "at"];
    let text = text.to_lowercase().replace("'s", "");
    text.split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty() && !STOP.contains(word))
        .map(|word| {
            let plural = word.len() > 3 && word.ends_with('s') && !word.ends_with("ss");
            word[..word.len() - usize::from(plural)].to_string()
        })
        .collect()
}

/// True where all words of one accepted wording occur in the item, and one in the field itself.
pub(crate) fn agrees(accepted: &[String], field: &str, context: &BTreeSet<String>) -> bool {
    let field = words(field);
    accepted.iter().map(|text| words(text)).any(|wanted| {
        !wanted.is_empty()
            && wanted
                .iter()
                .all(|w| field.contains(w) || context.contains(w))
            && !wanted.is_disjoint(&field)
    })
}

/// True where one name is part of the other.
pub(crate) fn located(accepted: &[String], place: &str) -> bool {
    let place = words(place);
    accepted.iter().map(|text| words(text)).any(|wanted| {
        !wanted.is_empty()
            && !place.is_empty()
            && (wanted.is_subset(&place) || place.is_subset(&wanted))
    })
}

/// The figures of a text; *4 5/8* is one.
fn figures(text: &str) -> Vec<f64> {
    let parts = text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '/'));
    let mut figures: Vec<f64> = Vec::new();
    for part in parts.filter(|part| !part.is_empty()) {
        match part.split_once('/') {
            Some((above, below)) => {
                let part = above.parse::<f64>().ok().zip(below.parse::<f64>().ok());
                let part = part.map_or(0.0, |(above, below)| above / below);
                let whole = figures.pop_if(|whole| whole.fract() == 0.0 && part < 1.0);
                figures.push(whole.unwrap_or(0.0) + part);
            }
            None => figures.extend(part.parse::<f64>()),
        }
    }
    figures
}
