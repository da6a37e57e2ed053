//! Entries of several files become one per name: later files extend or override earlier ones.

use super::problem::Problem;
use super::read::{RawEntry, Value};
use super::schema::{Form, LEARNT, Table};
use std::collections::HashMap;

/// Returns one entry per table and identity, in the order of first mention, adding what is wrong to
/// `problems`. The wordings of a later file are added, and what a caution covers;
/// pairs (`remedy_for`) are added and replaced one by one; its other keys replace.
pub(super) fn merge(entries: Vec<RawEntry>, problems: &mut Vec<Problem>) -> Vec<RawEntry> {
    let mut merged: Vec<RawEntry> = Vec::new();
    let mut index: HashMap<(Table, String), usize> = HashMap::new();
    // The last file and line that spoke of an entry, to tell a repetition from an extension.
    let mut last = Vec::new();
    for entry in entries {
        let key = (entry.table, identity(&entry));
        let Some(&at) = index.get(&key) else {
            index.insert(key, merged.len());
            last.push(entry.at.clone());
            merged.push(entry);
            continue;
        };
        // Each lesson is an entry of its own, so that it can be taken out alone.
        let lesson = entry.values.contains_key(LEARNT);
        if last[at].file == entry.at.file && entry.table != Table::Phrase && !lesson {
            problems.push(entry.at.error(format!(
                "[[{}]] {:?} stands in this file already, on line {}: make one entry of them",
                entry.table.name(),
                entry.identity,
                last[at].line
            )));
        }
        last[at] = entry.at.clone();
        extend(&mut merged[at], entry);
    }
    for entry in &merged {
        for key in entry.table.keys().iter().filter(|key| key.required) {
            // A key with a bad value was reported where it stands and is missing here.
            if !entry.values.contains_key(key.name) && !reported(entry, problems) {
                problems.push(entry.at.error(format!(
                    "[[{}]] {:?} has no {:?}, which every entry needs",
                    entry.table.name(),
                    entry.identity,
                    key.name
                )));
            }
        }
    }
    merged
}

/// Returns true where a problem was already reported between this entry's line and the ten after it,
/// the usual length of an entry.
fn reported(entry: &RawEntry, problems: &[Problem]) -> bool {
    problems.iter().any(|problem| {
        problem.file == *entry.at.file
            && (entry.at.line..entry.at.line + 10).contains(&problem.line)
    })
}

fn identity(entry: &RawEntry) -> String {
    match entry.table {
        // The recogniser may write the same words for several terms.
        Table::Heard => {
            let text = |key| entry.text(key).map_or("", |text| text.text.as_str());
            format!("{} = {} {}", entry.identity, text("kind"), text("term"))
        }
        _ => entry.identity.clone(),
    }
}

fn extend(entry: &mut RawEntry, later: RawEntry) {
    for (name, value) in later.values {
        let adds = entry.table.key(name).is_some_and(|key| {
            key.form == Form::Wordings || entry.table == Table::Caution && key.form == Form::Names
        });
        match (entry.values.get_mut(name), value) {
            (Some(Value::Texts(texts)), Value::Texts(more)) if adds => texts.extend(more),
            (Some(Value::Pairs(pairs)), Value::Pairs(more)) => {
                pairs.retain(|(name, _)| !more.iter().any(|(other, _)| other.text == name.text));
                pairs.extend(more);
            }
            (_, value) => {
                entry.values.insert(name, value);
            }
        }
    }
}
