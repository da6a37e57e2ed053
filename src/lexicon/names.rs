//! Names in the files and the ids they stand for.

use super::builtin;
use super::entry::GroupId;
use super::problem::Problem;
use super::read::{RawEntry, Text};
use super::schema::Table;
use super::term::{Kind, TermId};
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// The tables that hold terms, in the order of their ids.
pub(super) const TERM_TABLES: [(Table, Kind); 6] = [
    (Table::Place, Kind::Place),
    (Table::Element, Kind::Element),
    (Table::Defect, Kind::Defect),
    (Table::Remedy, Kind::Remedy),
    (Table::Trade, Kind::Trade),
    (Table::Phrase, Kind::Phrase),
];

/// Returns the entries of terms in the order of their ids: those of the embedded files table by table,
/// then what overlays add as it comes, so that one more leaves the ids of all others as they are.
pub(super) fn in_order_of_ids(entries: &[RawEntry]) -> impl Iterator<Item = (Kind, &RawEntry)> {
    let table_of = |entry: &RawEntry| TERM_TABLES.iter().position(|(t, _)| *t == entry.table);
    let mut terms = Vec::new();
    for of_file in entries.chunk_by(|a, b| Arc::ptr_eq(&a.at.file, &b.at.file)) {
        let embedded = of_file
            .first()
            .is_some_and(|entry| builtin::has(&entry.at.file));
        for entry in of_file {
            if let Some(table) = table_of(entry) {
                let rank = if embedded { table } else { TERM_TABLES.len() };
                terms.push((rank, TERM_TABLES[table].1, entry));
            }
        }
    }
    terms.sort_by_key(|(rank, ..)| *rank);
    terms.into_iter().map(|(_, kind, entry)| (kind, entry))
}

/// The ids that entries will have, by name.
pub(super) struct Names {
    pub(super) terms: HashMap<(Kind, String), TermId>,
    pub(super) groups: BTreeMap<String, GroupId>,
    /// Other wordings, with the names that they belong to, for hints.
    others: HashMap<(Kind, String), String>,
}

impl Names {
    pub(super) fn new(entries: &[RawEntry]) -> Names {
        let mut names = Names {
            terms: HashMap::new(),
            groups: BTreeMap::new(),
            others: HashMap::new(),
        };
        for (kind, entry) in in_order_of_ids(entries) {
            let id = TermId(names.terms.len() as u32);
            names.terms.insert((kind, entry.identity.clone()), id);
            for other in entry.words("also") {
                names.others.insert((kind, other), entry.identity.clone());
            }
        }
        for entry in entries.iter().filter(|entry| entry.table == Table::Group) {
            let id = GroupId(names.groups.len() as u32);
            names.groups.insert(entry.identity.clone(), id);
        }
        names
    }

    /// Returns the id of a term, or adds a problem where there is none.
    pub(super) fn term(
        &self,
        kind: Kind,
        name: Option<&Text>,
        problems: &mut Vec<Problem>,
    ) -> Option<TermId> {
        let name = name?;
        let found = self.terms.get(&(kind, name.text.clone())).copied();
        if found.is_none() {
            problems.push(name.at.error(self.unknown(kind, &name.text)));
        }
        found
    }

    /// Returns the message for a name that no term of a kind has.
    pub(super) fn unknown(&self, kind: Kind, name: &str) -> String {
        let kind_word = kind_word(kind);
        if let Some(owner) = self.others.get(&(kind, name.to_owned())) {
            return format!(
                "{name:?} is another wording of the {kind_word} {owner:?}: write that name"
            );
        }
        let names = self
            .terms
            .keys()
            .filter(|(k, _)| *k == kind)
            .map(|(_, name)| name.as_str());
        unknown(kind_word, name, names)
    }

    /// Returns the id of a group, or adds a problem where there is none.
    pub(super) fn group(
        &self,
        name: Option<&Text>,
        problems: &mut Vec<Problem>,
    ) -> Option<GroupId> {
        let name = name?;
        let found = self.groups.get(&name.text).copied();
        if found.is_none() {
            let names = self.groups.keys().map(String::as_str);
            problems.push(name.at.error(unknown("group", &name.text, names)));
        }
        found
    }
}

/// Returns the word for a kind in messages and files.
pub fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Place => "place",
        Kind::Element => "element",
        Kind::Defect => "defect",
        Kind::Remedy => "remedy",
        Kind::Trade => "trade",
        Kind::Phrase => "phrase",
    }
}

/// Returns a message for an unknown name, with the nearest known one where it is near.
fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> String {
    let letters: Vec<char> = name.chars().collect();
    let nearest = known
        .map(|known| {
            let other: Vec<char> = known.chars().collect();
            (super::distance::edits(&letters, &other), known)
        })
        .min();
    match nearest {
        // A third of the letters: nearer is probably a slip of the pen.
        Some((edits, known)) if edits * 3 <= letters.len() => {
            format!("unknown {what} {name:?}: did you mean {known:?}?")
        }
        _ => format!("unknown {what} {name:?}: write the name of an entry, or add one"),
    }
}
