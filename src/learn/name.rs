//! Names of places, elements and defects, known as the same however they are worded.

use crate::items::Item;
use crate::lexicon::{How, Kind, Lexicon, TermId};

/// What a name in a list stands for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Name {
    /// A term of the lexicon, with the number of a numbered place.
    Term(TermId, Option<String>),
    /// Words that the lexicon does not know, normalised; of several things (*facings*) what one is called.
    Words(String),
}

impl Name {
    /// Returns what `text` stands for: the term that covers most of its words (of several the last,
    /// which in English is the head), or the words themselves.
    pub(super) fn of(lexicon: &Lexicon, kind: Kind, text: &str) -> Name {
        let tokens = lexicon.tokens_of(text);
        let hits = lexicon.spot(&tokens).into_iter();
        let best = hits
            .filter(|hit| hit.kind == kind && hit.how == How::Exact)
            .max_by_key(|hit| (hit.tokens.len(), hit.tokens.end, hit.number.is_some()));
        match best {
            Some(hit) => Name::Term(hit.term, hit.number),
            None => {
                let words: Vec<&str> = tokens.iter().map(|token| &*token.norm).collect();
                let words = words.join(" ");
                Name::Words(match kind {
                    Kind::Element => lexicon.singular(&words),
                    _ => words,
                })
            }
        }
    }

    /// Returns the term, where it is one.
    pub(super) fn term(&self) -> Option<TermId> {
        match self {
            Name::Term(term, _) => Some(*term),
            Name::Words(_) => None,
        }
    }
}

/// Place, element and defect of an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Facts {
    pub(super) place: Name,
    pub(super) element: Name,
    pub(super) defect: Name,
}

impl Facts {
    pub(super) fn of(lexicon: &Lexicon, item: &Item) -> Facts {
        Facts {
            place: Name::of(lexicon, Kind::Place, &item.place),
            element: Name::of(lexicon, Kind::Element, &item.element),
            defect: Name::of(lexicon, Kind::Defect, &item.defect),
        }
    }

    /// Returns how many of the three agree.
    pub(super) fn agreeing(&self, other: &Facts) -> u32 {
        u32::from(self.place == other.place)
            + u32::from(self.element == other.element)
            + u32::from(self.defect == other.defect)
    }
}
