//! How far a list agrees with the one a careful person would write (`examples/expected.json`).

use serde_json::Value;
use std::collections::BTreeSet;

/// Spans further apart than this, in seconds, are about different things.
const SLACK_S: f64 = 4.0;

/// Words that tell nothing about what is meant.
const EMPTY_WORDS: [&str; 10] = ["the", "a", "an", "of", "to", "in", "on", "and", "is", "at"];

/// How many items of a list agree with the expected ones.
#[derive(Debug)]
pub(crate) struct Score {
    pub(crate) expected: usize,
    pub(crate) listed: usize,
    /// Pairs that agree on the element or on the defect.
    pub(crate) found: usize,
    /// Pairs that agree on place, element and defect.
    pub(crate) right: usize,
}

impl Score {
    /// Returns the harmonic mean of precision and recall for `hits`.
    pub(crate) fn f1(&self, hits: usize) -> f64 {
        2.0 * hits as f64 / (self.expected + self.listed) as f64
    }
}

/// Returns how far the list agrees. Each expected item is paired with at most one listed item, the
/// best agreements first.
pub(crate) fn score(expected: &Value, list: &Value) -> Score {
    let (expected, listed) = (items(expected), items(list));
    let mut grades = Vec::new();
    for (row, gold) in expected.iter().enumerate() {
        for (column, item) in listed.iter().enumerate() {
            if let Some((agreements, distance)) = grade(gold, item) {
                grades.push((agreements, distance, row, column));
            }
        }
    }
    grades.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.total_cmp(&b.1)));
    let (mut rows, mut columns) = (BTreeSet::new(), BTreeSet::new());
    let mut score = Score {
        expected: expected.len(),
        listed: listed.len(),
        found: 0,
        right: 0,
    };
    for (agreements, _, row, column) in grades {
        if rows.contains(&row) || columns.contains(&column) {
            continue;
        }
        rows.insert(row);
        columns.insert(column);
        score.found += 1;
        score.right += usize::from(agreements == 3);
    }
    score
}

fn items(list: &Value) -> &Vec<Value> {
    list["items"].as_array().unwrap()
}

/// Returns on how many of place, element and defect the two agree, and how many seconds lie between
/// their middles; `None` where they are about different things.
fn grade(gold: &Value, item: &Value) -> Option<(usize, f64)> {
    let seconds = |value: &Value, key: &str| value[key].as_f64().unwrap();
    let (gold_start, gold_end) = (seconds(gold, "start_s"), seconds(gold, "end_s"));
    let (start, end) = (seconds(item, "start_s"), seconds(item, "end_s"));
    if start > gold_end + SLACK_S || gold_start > end + SLACK_S {
        return None;
    }
    let whole: BTreeSet<String> = ["description", "element", "defect", "position"]
        .into_iter()
        .flat_map(|key| words(&item[key]))
        .collect();
    let names = |key: &str, field: &str| {
        let own = words(&item[field]);
        wordings(&gold[key]).any(|said| said.is_subset(&whole) && !said.is_disjoint(&own))
    };
    let place = words(&item["place"]);
    let located = wordings(&gold["loc"])
        .any(|said| !place.is_empty() && (said.is_subset(&place) || place.is_subset(&said)));
    let (element, defect) = (names("el", "element"), names("de", "defect"));
    let agreements = [located, element, defect]
        .into_iter()
        .filter(|&b| b)
        .count();
    let distance = ((gold_start + gold_end) - (start + end)).abs() / 2.0;
    (element || defect).then_some((agreements, distance))
}

fn wordings(accepted: &Value) -> impl Iterator<Item = BTreeSet<String>> {
    accepted.as_array().unwrap().iter().map(words)
}

/// Returns the words of a text in lower case, without empty words and without the `s` of plurals.
fn words(text: &Value) -> BTreeSet<String> {
    text.as_str()
        .unwrap_or_default()
        .to_lowercase()
        .replace("'s", "")
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty() && !EMPTY_WORDS.contains(word))
        .map(|word| match word.strip_suffix('s') {
            Some(stem) if word.len() > 3 && !stem.ends_with('s') => stem.to_owned(),
            _ => word.to_owned(),
        })
        .collect()
}

#[test]
fn agreement_is_counted_by_place_element_and_defect() {
    let gold = serde_json::json!({"items": [
        {"loc": ["hallway", "hall"], "el": ["skirting"], "de": ["loose"], "start_s": 1.0, "end_s": 3.0},
        {"loc": ["kitchen"], "el": ["tap"], "de": ["dripping"], "start_s": 9.0, "end_s": 11.0},
    ]});
    let item = |place: &str, element: &str, defect: &str, start: f64| {
        serde_json::json!({"place": place, "element": element, "defect": defect,
            "description": "", "position": null, "start_s": start, "end_s": start + 2.0})
    };
    let list = serde_json::json!({"items": [
        item("hallway", "skirtings", "loose", 1.5),
        item("bathroom", "tap", "dripping", 9.0),
        item("hallway", "skirting", "loose", 60.0),
    ]});
    let score = score(&gold, &list);
    assert_eq!((score.found, score.right), (2, 1), "{score:?}");
    assert!((score.f1(score.found) - 0.8).abs() < 1e-9);
}
