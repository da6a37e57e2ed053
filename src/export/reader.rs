//! What a document says beside the list, in its reader's words: cautions, explained words, and the
//! names and spellings of the reader's region.
//!
//! The vocabulary is needed for this, so it happens before a document reaches an exporter, and to
//! the document only: what the job keeps stays as it was said.

use super::american;
use super::document::Document;
use super::glossary::{Gloss, glossary};
use crate::cautions::{self, Region};
use crate::items::{Item, Severity};
use crate::lexicon::Lexicon;
use crate::plain;
use std::collections::BTreeMap;

/// What a document's reader is told beside the list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reader {
    /// Whose wording the reader expects.
    pub region: Region,
    /// The cautions that items of the list carry, most urgent first.
    pub cautions: Vec<Warning>,
    /// The trade words of the list, explained, in alphabetical order.
    pub glossary: Vec<Gloss>,
    /// The usual remedies that nobody said, as sentences without their stop, by the items' numbers.
    pub works: BTreeMap<u32, String>,
}

/// One caution, with the items that carry it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// What it is about.
    pub heading: String,
    /// The warning.
    pub text: String,
    /// Numbers of the items, ascending.
    pub items: Vec<u32>,
    /// True where one of them is a matter of safety.
    pub safety: bool,
}

impl Document {
    /// Puts the document into the words of the region's readers: each item's caution is found anew
    /// (fields may have been edited since) and worded for the region, trade words are explained,
    /// and in America things go by their American names.
    pub fn word_for(&mut self, lexicon: &Lexicon, region: Region) {
        for item in &mut self.items {
            item.caution = cautions::caution(lexicon, item, region);
        }
        self.reader = Reader {
            region,
            cautions: warnings(self, lexicon, region),
            glossary: glossary(lexicon, self),
            works: BTreeMap::new(),
        };
        if region == Region::America {
            american::rename(lexicon, self);
        }
        self.reader.works = works(self, lexicon);
    }

    /// Returns the cautions of the items shown, those of safety items first.
    pub fn warnings(&self, include_rejected: bool) -> Vec<Warning> {
        let shown = self.by_number(include_rejected);
        let mut all: Vec<Warning> = self
            .reader
            .cautions
            .iter()
            .filter_map(|warning| {
                let carriers = shown.iter().filter(|i| warning.items.contains(&i.number));
                let carriers: Vec<_> = carriers.collect();
                (!carriers.is_empty()).then(|| Warning {
                    items: carriers.iter().map(|item| item.number).collect(),
                    safety: carriers.iter().any(|i| i.severity == Severity::Safety),
                    ..warning.clone()
                })
            })
            .collect();
        all.sort_by_key(|warning| !warning.safety);
        all
    }

    /// Returns the explained words that the items shown use, with those items only.
    pub fn explained(&self, include_rejected: bool) -> Vec<Gloss> {
        let shown = self.by_number(include_rejected);
        self.reader
            .glossary
            .iter()
            .filter_map(|gloss| {
                let items: Vec<u32> = shown
                    .iter()
                    .map(|item| item.number)
                    .filter(|number| gloss.items.contains(number))
                    .collect();
                (!items.is_empty()).then(|| Gloss {
                    items,
                    ..gloss.clone()
                })
            })
            .collect()
    }
}

fn works(document: &Document, lexicon: &Lexicon) -> BTreeMap<u32, String> {
    let plural = |name: &str| lexicon.plural(name);
    let work = |item: &Item| {
        let remedy = item.remedy.as_deref()?;
        let work = plain::work(remedy, &item.element, item.count, &plural);
        Some((item.number, work))
    };
    document.items.iter().filter_map(work).collect()
}

fn warnings(document: &Document, lexicon: &Lexicon, region: Region) -> Vec<Warning> {
    let carried: Vec<_> = document
        .by_number(true)
        .into_iter()
        .map(|item| (item, cautions::applying(lexicon, item)))
        .collect();
    lexicon
        .cautions()
        .iter()
        .filter_map(|caution| {
            let items: Vec<_> = carried
                .iter()
                .filter(|(_, all)| all.iter().any(|other| other.name == caution.name))
                .map(|(item, _)| *item)
                .collect();
            (!items.is_empty()).then(|| Warning {
                heading: caution.heading.clone(),
                text: caution.worded(region).to_owned(),
                items: items.iter().map(|item| item.number).collect(),
                safety: items.iter().any(|i| i.severity == Severity::Safety),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::sample;

    fn worded(region: Region) -> Document {
        let mut document = sample::document();
        document.word_for(Lexicon::embedded().unwrap(), region);
        document
    }

    #[test]
    fn cautions_are_found_anew_and_worded_for_the_region() {
        let of = |document: &Document, number| {
            let item = document.items.iter().find(|item| item.number == number);
            item.unwrap().caution.clone().unwrap_or_default()
        };
        for (region, words) in [
            (Region::Britain, "to the wiring regulations"),
            (Region::America, "to the local electrical code"),
            (Region::Elsewhere, "to the local wiring rules"),
        ] {
            assert!(of(&worded(region), 3).contains(words), "{region:?}");
        }
        assert_eq!(of(&worded(Region::Britain), 5), "", "a binding door");
    }

    #[test]
    fn each_caution_stands_once_with_the_items_shown() {
        let mut document = worded(Region::Britain);
        let told = |document: &Document| -> Vec<(String, Vec<u32>, bool)> {
            let all = document.warnings(false).into_iter();
            all.map(|w| (w.heading, w.items, w.safety)).collect()
        };
        let all = told(&document);
        assert!(
            all.contains(&("Electricity".into(), vec![3], true)),
            "{all:?}"
        );
        assert!(all[0].2, "safety first: {all:?}");
        for item in &mut document.items {
            item.status = crate::items::Status::Rejected;
        }
        assert_eq!(told(&document), []);
    }

    #[test]
    fn trade_words_are_explained_once_with_their_items() {
        let document = worded(Region::Britain);
        let all = document.explained(false);
        let newel = all.iter().find(|gloss| gloss.term == "newel post").unwrap();
        assert_eq!(newel.items, [2]);
        assert!(all.windows(2).all(|pair| pair[0].term < pair[1].term));
    }
}
