//! The trade words of a list, explained to a buyer.

use super::document::Document;
use crate::items::Item;
use crate::lexicon::{How, Kind, Lexicon, TermId};
use std::collections::BTreeMap;

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
    let mut found = Vec::new();
    for text in texts {
        let tokens = lexicon.tokens_of(&text);
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
            if let (false, Some(meaning)) = (inside, gloss(lexicon, hit.term)) {
                found.push((hit.term, meaning));
            }
        }
    }
    found
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
