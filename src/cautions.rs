//! Which warning an item carries, and in whose words.
//!
//! The rules are data (`lexicon/cautions.toml`). They are held against an item's own texts, so an
//! item that was edited or written by hand is warned of like one that was heard.
//!
//! What is stored is worded for readers anywhere; documents are worded for the job's region.

use crate::items::Item;
use crate::lexicon::{Caution, Hit, How, Kind, Lexicon, TermId, Token};

/// Whose wording a reader expects: who is licensed for what, and who enforces the code, differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Region {
    /// `en-GB`.
    Britain,
    /// `en-US`.
    America,
    /// Any other, or none given.
    #[default]
    Elsewhere,
}

impl Region {
    /// Returns the region that a job's detail names, such as `en-GB`; capitals do not matter.
    pub fn named(detail: Option<&str>) -> Region {
        match detail.map(str::to_lowercase).as_deref() {
            Some("en-gb") => Region::Britain,
            Some("en-us") => Region::America,
            _ => Region::Elsewhere,
        }
    }
}

impl Caution {
    /// Returns the warning as the region words it.
    pub fn worded(&self, region: Region) -> &str {
        let own = match region {
            Region::Britain => self.britain.as_deref(),
            Region::America => self.america.as_deref(),
            Region::Elsewhere => None,
        };
        own.unwrap_or(&self.text)
    }
}

/// An item carries at most so many cautions: of a third, nobody reads even the first.
const MOST: usize = 2;

/// Returns the caution that an item carries, as the region words it; `None` where it needs none.
pub fn caution(lexicon: &Lexicon, item: &Item, region: Region) -> Option<String> {
    let worded: Vec<&str> = applying(lexicon, item)
        .into_iter()
        .map(|caution| caution.worded(region))
        .collect();
    (!worded.is_empty()).then(|| worded.join(" "))
}

/// Returns the cautions that apply to an item, most urgent first, at most two.
pub fn applying<'a>(lexicon: &'a Lexicon, item: &Item) -> Vec<&'a Caution> {
    let facts = Facts::of(lexicon, item);
    lexicon
        .cautions()
        .iter()
        .filter(|caution| facts.call_for(lexicon, caution, item))
        .take(MOST)
        .collect()
}

/// What an item's texts name.
struct Facts {
    elements: Vec<TermId>,
    defects: Vec<TermId>,
    places: Vec<TermId>,
    texts: Vec<Vec<Token>>,
}

impl Facts {
    fn of(lexicon: &Lexicon, item: &Item) -> Facts {
        let remedy = item.remedy.as_deref().unwrap_or_default();
        let texts =
            [item.element.as_str(), &item.defect, remedy].map(|text| lexicon.tokens_of(text));
        Facts {
            elements: named(lexicon, &texts[0], Kind::Element),
            defects: named(lexicon, &texts[1], Kind::Defect),
            places: named(lexicon, &lexicon.tokens_of(&item.place), Kind::Place),
            texts: texts.into(),
        }
    }

    fn call_for(&self, lexicon: &Lexicon, caution: &Caution, item: &Item) -> bool {
        let by_word = caution
            .words
            .iter()
            .any(|words| self.texts.iter().any(|text| holds(text, words)));
        let by_defect = self.defects.iter().any(|id| caution.defects.contains(id));
        let element = |id: &TermId| {
            caution.elements.contains(id) || caution.groups.contains(&lexicon.element(*id).group)
        };
        let place = |id: &TermId| caution.places.contains(&lexicon.place(*id).kind);
        let excepted = self.elements.iter().any(|id| caution.except.contains(id));
        let by_thing = !excepted
            && caution.severities.contains(&item.severity)
            && (self.elements.iter().any(element) || self.places.iter().any(place));
        by_word || by_defect || by_thing
    }
}

/// Returns the terms of a kind that a text names, without those inside the wording of a longer
/// one: *garage door spring* is no door.
fn named(lexicon: &Lexicon, text: &[Token], kind: Kind) -> Vec<TermId> {
    let hits: Vec<Hit> = lexicon
        .spot(text)
        .into_iter()
        .filter(|hit| hit.kind == kind && hit.how == How::Exact)
        .collect();
    let inside = |hit: &Hit| {
        hits.iter().any(|other| {
            other.tokens.start <= hit.tokens.start
                && hit.tokens.end <= other.tokens.end
                && hit.tokens.len() < other.tokens.len()
        })
    };
    hits.iter()
        .filter(|hit| !inside(hit))
        .map(|hit| hit.term)
        .collect()
}

fn holds(text: &[Token], words: &[String]) -> bool {
    !words.is_empty()
        && text
            .windows(words.len())
            .any(|window| window.iter().map(|t| &t.norm).eq(words))
}

#[cfg(test)]
mod tests;
