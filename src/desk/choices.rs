//! Completion: names of the vocabulary, and texts used in this job, by field.

use crate::job::{DecidedList, Field};
use crate::lexicon::{Kind, Lexicon};
use std::collections::{BTreeMap, BTreeSet};

/// Fields with a vocabulary, and its kind.
const KINDS: [(Field, Kind); 5] = [
    (Field::Place, Kind::Place),
    (Field::Element, Kind::Element),
    (Field::Defect, Kind::Defect),
    (Field::Remedy, Kind::Remedy),
    (Field::Trade, Kind::Trade),
];

/// Returns the names of the vocabulary by field name, sorted.
pub(crate) fn from_vocabulary(lexicon: Option<&Lexicon>) -> BTreeMap<&'static str, Vec<String>> {
    let Some(lexicon) = lexicon else {
        return BTreeMap::new();
    };
    let names = |kind| {
        let names: BTreeSet<String> = lexicon
            .ids(kind)
            .map(|id| lexicon.name(id).to_string())
            .collect();
        names.into_iter().collect()
    };
    KINDS
        .into_iter()
        .map(|(field, kind)| (field.name(), names(kind)))
        .collect()
}

/// Returns the texts of the list by field name, most used first.
pub(crate) fn from_list(list: &DecidedList) -> BTreeMap<&'static str, Vec<String>> {
    let fields = KINDS.map(|(field, _)| field);
    let used = |field: Field| {
        let mut counts: BTreeMap<String, usize> = BTreeMap::new();
        for item in &list.items {
            *counts.entry(field.read(item)).or_default() += 1;
        }
        counts.remove("");
        let mut texts: Vec<(String, usize)> = counts.into_iter().collect();
        texts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        texts.into_iter().map(|(text, _)| text).collect()
    };
    fields
        .into_iter()
        .chain([Field::Position])
        .map(|field| (field.name(), used(field)))
        .collect()
}
