//! The trade words of a list, explained to a buyer.

use super::document::Document;
use crate::items::Item;
use crate::lexicon::{How, Kind, Lexicon, TermId};
use std::collections::{BTreeMap, BTreeSet};

/// One trade word with its meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gloss {
    /// The word, as the vocabulary names it.
    pub term: String,
    /// What it means, in up to 15 words.
    pub meaning: String,
    /// Numbers of the items that use it, ascending.
    pub items: Vec<u32>,
    /// True for a trade: every item has one, so it is explained in the glossary only, not where it
    /// is first used.
    pub trade: bool,
}

/// Returns the explained words that the document's items use, in alphabetical order.
pub fn glossary(lexicon: &Lexicon, document: &Document) -> Vec<Gloss> {
    let mut all: BTreeMap<&str, Gloss> = BTreeMap::new();
    for item in document.by_number(true) {
        for (id, meaning) in explained_in(lexicon, item) {
            let term = lexicon.name(id);
            let gloss = all.entry(term).or_insert_with(|| Gloss {
                term: term.to_owned(),
                meaning: meaning.to_owned(),
                items: Vec::new(),
                trade: lexicon.kind(id) == Kind::Trade,
            });
            if gloss.items.last() != Some(&item.number) {
                gloss.items.push(item.number);
            }
        }
    }
    all.into_values().collect()
}

/// Returns the explained words that this item is the first to use, with their places in the
/// glossary; marks them as told.
pub(super) fn first_mentions<'a>(
    words: &'a [Gloss],
    item: &Item,
    told: &mut BTreeSet<usize>,
) -> Vec<(usize, &'a Gloss)> {
    let used = words
        .iter()
        .enumerate()
        .filter(|(_, word)| !word.trade && word.items.contains(&item.number));
    used.filter(|(position, _)| told.insert(*position))
        .collect()
}

/// Where the defect stands among the texts of an item.
const DEFECT: usize = 1;
/// As many letters make two forms of a word the same: *bind* of *binds* and *binding*.
const SAME: usize = 4;

/// Returns the explained words of one item's texts, with their meanings.
fn explained_in<'a>(lexicon: &'a Lexicon, item: &Item) -> Vec<(TermId, &'a str)> {
    let of = |text: &'_ Option<String>| text.clone().unwrap_or_default();
    let texts = [
        item.element.clone(),
        item.defect.clone(),
        item.description.clone(),
        of(&item.position),
        of(&item.remedy),
        of(&item.trade),
    ];
    let shown = texts.join(" ").to_lowercase();
    let mut found = Vec::new();
    for (place, text) in texts.iter().enumerate() {
        let tokens = lexicon.tokens_of(text);
        let hits: Vec<_> = lexicon
            .spot(&tokens)
            .into_iter()
            .filter(|hit| hit.how == How::Exact && hit.kind != Kind::Phrase)
            .collect();
        for hit in &hits {
            // *Door* within *door lining* is not what is spoken of.
            let inside = hits.iter().any(|other| {
                other.tokens.start <= hit.tokens.start
                    && hit.tokens.end <= other.tokens.end
                    && hit.tokens.len() < other.tokens.len()
            });
            // Of a crack that *runs over the hatch* no paint runs.
            let other_sense = hit.kind == Kind::Defect && place != DEFECT;
            let said = is_said(lexicon.name(hit.term), &shown);
            if let (false, false, true, Some(meaning)) =
                (inside, other_sense, said, gloss(lexicon, hit.term))
            {
                found.push((hit.term, meaning));
            }
        }
    }
    found
}

/// Tells whether the name's words stand in the text, in whatever form. What goes by another name there
/// is not explained: the reader would look for the word in vain.
fn is_said(name: &str, text: &str) -> bool {
    let beginning = |word: &'_ str| word.chars().take(SAME).collect::<String>();
    let mut words = name.split(' ').map(|word| beginning(&word.to_lowercase()));
    words.all(|begins| text.split(' ').any(|word| word.starts_with(&begins)))
}

fn gloss(lexicon: &Lexicon, term: TermId) -> Option<&str> {
    match lexicon.kind(term) {
        Kind::Element => lexicon.element(term).gloss.as_deref(),
        Kind::Defect => lexicon.defect(term).gloss.as_deref(),
        Kind::Remedy => lexicon.remedy(term).gloss.as_deref(),
        Kind::Trade => lexicon.trade(term).gloss.as_deref(),
        Kind::Place | Kind::Phrase => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Element, defect, remedy, description, and what is explained of them.
    #[test]
    fn only_words_that_stand_there_in_that_sense_are_explained() {
        let lexicon = Lexicon::embedded().unwrap();
        for (element, defect, remedy, description, want) in [
            (
                "ceiling",
                "hairline crack",
                "",
                "A hairline crack runs over the hatch.",
                &["hairline crack"][..],
            ),
            (
                "gutter joint",
                "leaking",
                "remake the joint",
                "The gutter joint drips.",
                &[],
            ),
            (
                "door",
                "binding",
                "ease and adjust",
                "The door binds on the frame.",
                &["binding", "ease and adjust"],
            ),
        ] {
            let mut item = crate::export::sample::plain_item(1, "hall", element, defect);
            item.remedy = Some(remedy.to_string());
            item.description = description.to_string();
            item.trade = None;
            let found = explained_in(lexicon, &item);
            let names: Vec<&str> = found.iter().map(|(id, _)| lexicon.name(*id)).collect();
            assert_eq!(
                names
                    .iter()
                    .copied()
                    .collect::<std::collections::BTreeSet<_>>(),
                want.iter().copied().collect(),
                "{description}"
            );
        }
    }

    /// What a gloss may be: up to 15 words, no full stop, nothing that alarms or blames.
    #[test]
    fn every_gloss_is_short_and_calm() {
        let lexicon = Lexicon::embedded().unwrap();
        let alarming = regex::Regex::new(
            r"(?i)\b(?:dangerous|deadly|kill|death|collapse|shoddy|cheap|botched|careless|lazy|bodge)",
        )
        .unwrap();
        let mut count = 0;
        for kind in [Kind::Element, Kind::Defect, Kind::Remedy, Kind::Trade] {
            for id in lexicon.ids(kind) {
                let Some(meaning) = gloss(lexicon, id) else {
                    continue;
                };
                let name = lexicon.name(id);
                count += 1;
                let words = meaning.split_whitespace().count();
                assert!((2..=15).contains(&words), "{name}: {words} words");
                assert!(!meaning.ends_with('.'), "{name}: {meaning}");
                assert!(!alarming.is_match(meaning), "{name}: {meaning}");
                assert!(meaning != name && !meaning.contains("  "), "{name}");
                let first = meaning.chars().next().unwrap();
                let second = meaning.chars().nth(1).unwrap();
                assert!(
                    first.is_lowercase() || second.is_uppercase(),
                    "{name}: {meaning}"
                );
            }
        }
        assert!(count >= 380, "{count} glosses");
    }
}
