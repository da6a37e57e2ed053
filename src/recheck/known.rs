//! The items of the list as a later visit speaks of them: by number, place, element and defect.

use crate::items::Item;
use crate::lexicon::{Hit, Kind, Lexicon, TermId, Token};
use crate::statements::grammar::{Class, class};
use crate::statements::piece::Piece;
use crate::statements::place;
use crate::statements::standing::words;
use std::collections::BTreeSet;

/// What a term of the lexicon named in both adds: the same thing, whatever its wording.
const SAME_TERM: f64 = 1.0;
/// All words of the one are in the other: *worktop* and *worktop joint*.
const ALL_WORDS: f64 = 0.8;
/// Some words are in both, the last one among them: *kitchen tap* and *outside tap*.
const SAME_NOUN: f64 = 0.5;
/// What the same defect adds: less than the element, because elements have one defect mostly.
const SAME_DEFECT: f64 = 0.5;
/// What each word of the position or description adds that was said too, up to three.
const SAME_WORD: f64 = 0.1;

/// What is said of a thing: its names, what is wrong with it, and all words.
#[derive(Debug, Clone, Default)]
pub(super) struct Described {
    pub(super) elements: Vec<Named>,
    /// True where one of the elements is what is spoken of, not where it is (*by the window*).
    pub(super) has_subject: bool,
    pub(super) defects: Vec<Named>,
    pub(super) words: BTreeSet<String>,
}

/// A name with its lexicon terms and the stems of its words.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Named {
    pub(super) terms: Vec<TermId>,
    pub(super) stems: Vec<String>,
}

/// An item ready to be compared with what is said.
#[derive(Debug, Clone)]
pub(super) struct Known<'a> {
    pub(super) item: &'a Item,
    /// [`place::identity`] of its place.
    pub(super) place: String,
    /// The lexicon's entry for it, if it knows one.
    pub(super) place_term: Option<TermId>,
    element: Named,
    defect: Named,
    around: BTreeSet<String>,
}

impl<'a> Known<'a> {
    pub(super) fn new(lexicon: &Lexicon, item: &'a Item) -> Self {
        let around = format!(
            "{} {}",
            item.position.as_deref().unwrap_or_default(),
            item.description
        );
        Known {
            item,
            place: place_identity(lexicon, &item.place),
            place_term: place_hit(lexicon, &item.place).map(|hit| hit.term),
            element: named(lexicon, &item.element, Kind::Element),
            defect: named(lexicon, &item.defect, Kind::Defect),
            around: open_stems(&lexicon.tokens(&words(&around))).collect(),
        }
    }

    /// Returns the item as if it had been said.
    pub(super) fn as_described(&self) -> Described {
        Described {
            elements: vec![self.element.clone()],
            has_subject: true,
            defects: vec![self.defect.clone()],
            words: self.around.clone(),
        }
    }

    /// Returns how well the item's element fits the best of those said, 0 to [`SAME_TERM`].
    pub(super) fn element_fit(&self, said: &Described) -> f64 {
        best(&self.element, &said.elements)
    }

    /// True where the item's element is one of those said or a kind of it: *windows* for *window*, not
    /// for *window sealant*.
    pub(super) fn is_kind_of(&self, said: &Described) -> bool {
        let last = |named: &Named| named.stems.last().cloned();
        said.elements.iter().any(|other| {
            fit(&self.element, other) >= SAME_TERM
                || last(other).is_some() && last(other) == last(&self.element)
        })
    }

    /// Returns how well the item's defect fits the best of those said, 0 to [`SAME_TERM`].
    pub(super) fn defect_fit(&self, said: &Described) -> f64 {
        best(&self.defect, &said.defects)
    }

    /// Returns the score of the item for what is said; 0 where neither element nor defect fits.
    pub(super) fn score(&self, said: &Described) -> f64 {
        let (element, defect) = (self.element_fit(said), self.defect_fit(said));
        if element == 0.0 && (defect < SAME_TERM || said.has_subject) {
            return 0.0;
        }
        let shared = self.around.intersection(&said.words).take(3).count();
        element + SAME_DEFECT * defect + SAME_WORD * shared as f64
    }
}

fn best(own: &Named, said: &[Named]) -> f64 {
    said.iter().map(|other| fit(own, other)).fold(0.0, f64::max)
}

fn fit(own: &Named, said: &Named) -> f64 {
    if own.terms.iter().any(|term| said.terms.contains(term)) {
        return SAME_TERM;
    }
    if own.stems.is_empty() || said.stems.is_empty() {
        return 0.0;
    }
    let within = |a: &Named, b: &Named| a.stems.iter().all(|stem| b.stems.contains(stem));
    if within(own, said) || within(said, own) {
        return ALL_WORDS;
    }
    let last = |a: &Named, b: &Named| a.stems.last().is_some_and(|stem| b.stems.contains(stem));
    if last(own, said) || last(said, own) {
        SAME_NOUN
    } else {
        0.0
    }
}

/// Returns a name with the longest terms of its kind that its words hold.
fn named(lexicon: &Lexicon, text: &str, kind: Kind) -> Named {
    let tokens = lexicon.tokens(&words(text));
    let hits = lexicon.spot(&tokens).into_iter();
    let hits: Vec<_> = hits.filter(|hit| hit.kind == kind).collect();
    let longest = hits.iter().map(|hit| hit.tokens.len()).max();
    Named {
        terms: hits
            .iter()
            .filter(|hit| Some(hit.tokens.len()) == longest)
            .map(|hit| hit.term)
            .collect(),
        stems: open_stems(&tokens).collect(),
    }
}

/// Returns what a piece of speech names.
pub(super) fn named_piece(tokens: &[Token], piece: &Piece) -> Named {
    Named {
        terms: piece.term.into_iter().collect(),
        stems: open_stems(&tokens[piece.tokens.clone()]).collect(),
    }
}

/// Returns the stems of the words that carry meaning.
pub(super) fn open_stems(tokens: &[Token]) -> impl Iterator<Item = String> + '_ {
    let open = |token: &&Token| matches!(class(&token.norm), Class::Open | Class::Position);
    tokens.iter().filter(open).map(|token| stem(&token.norm))
}

/// Returns a word without the commonest endings: enough to know *cracks*, *cracked* and *crack* as
/// one, where the lexicon does not.
fn stem(word: &str) -> String {
    let endings = ["ing", "ies", "ed", "es", "s"];
    let cut = endings.iter().find_map(|ending| word.strip_suffix(ending));
    match cut {
        Some(short) if short.len() >= 3 && !word.ends_with("ss") => short.to_owned(),
        _ => word.to_owned(),
    }
}

/// Returns what makes a place's name the same place as another name: the lexicon's name with its
/// number, or the name itself where the lexicon does not know it.
pub(super) fn place_identity(lexicon: &Lexicon, name: &str) -> String {
    match place_hit(lexicon, name) {
        Some(hit) => place::identity(lexicon, &Piece::from_hit(hit, false)),
        None => name.to_lowercase(),
    }
}

fn place_hit(lexicon: &Lexicon, name: &str) -> Option<Hit> {
    let hits = lexicon.spot(&lexicon.tokens(&words(name))).into_iter();
    hits.filter(|hit| hit.kind == Kind::Place)
        .max_by_key(|hit| (hit.tokens.len(), hit.number.is_some()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_known_by_any_of_its_names() {
        let lexicon = Lexicon::builtin().unwrap();
        for (one, other) in [
            ("bedroom two", "bedroom 2"),
            ("hall", "hallway"),
            ("the snug of mystery", "the snug of mystery"),
        ] {
            let [one, other] = [one, other].map(|name| place_identity(&lexicon, name));
            assert_eq!(one, other);
        }
        assert_ne!(
            place_identity(&lexicon, "bedroom one"),
            place_identity(&lexicon, "bedroom two")
        );
    }

    #[test]
    fn stems_join_the_forms_of_a_word() {
        for (word, short) in [
            ("cracks", "crack"),
            ("cracked", "crack"),
            ("leaking", "leak"),
            ("glass", "glass"),
            ("gap", "gap"),
            ("used", "used"),
        ] {
            assert_eq!(stem(word), short, "{word}");
        }
    }
}
