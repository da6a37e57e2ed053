//! All items of a place, of a trade or of a kind of thing, and the rest of them.

use super::*;
use crate::lexicon::PlaceKind;
use crate::statements::place;

/// Sureness of each item of a place or of the rest: the speaker had them in mind, not in view.
const BY_SCOPE: f64 = 0.85;
/// Words after a place or trade that stand for its items.
const ONES: &[&str] = &[
    "ones", "items", "lot", "stuff", "points", "list", "bits", "jobs", "work", "works", "snags",
    "things",
];
/// How many tokens after *all* the place or thing may be named.
const SCOPE_REACH: usize = 8;

impl Scene<'_> {
    /// Returns the items of *all the kitchen ones*, *everything in the hall*, *the rest*.
    pub(in crate::recheck) fn scope(
        &self,
        at: usize,
        sentence: &Range<usize>,
        said: &[Said],
    ) -> Option<Ref> {
        if let Some(rest) = said
            .iter()
            .find(|one| one.says == Says::Rest && one.tokens.start == at)
        {
            return Some(self.rest(rest.tokens.clone(), sentence));
        }
        let word = self.word(at);
        let free = !said
            .iter()
            .any(|one| one.says != Says::Reply && one.tokens.contains(&at));
        let all = free
            && matches!(
                word,
                "all" | "everything" | "every" | "none" | "nothing" | "neither" | "nowt"
            );
        let window = at..sentence.end.min(at + SCOPE_REACH);
        let until = window
            .clone()
            .skip(1)
            .find(|&at| {
                said.iter().any(|one| one.tokens.start == at) || class(self.word(at)) == Class::Verb
            })
            .unwrap_or(window.end);
        let inner = at..until;
        let denied = matches!(word, "none" | "nothing" | "neither" | "nowt");
        let make = |items: Vec<usize>, end: usize| {
            (!items.is_empty()).then(|| Ref {
                denied,
                ..self.reference(at..end, items, How::Scope, BY_SCOPE)
            })
        };
        if let Some(place) = self.place_piece(&inner) {
            let end = place.tokens.end;
            let ones = ONES.contains(&self.word(end));
            let starts =
                place.tokens.start == at || self.word(at) == "the" && place.tokens.start == at + 1;
            if all || ones && starts {
                return make(
                    self.at_place(place),
                    (end + usize::from(ones)).min(sentence.end),
                );
            }
        }
        if let Some(trade) = self.trade(&inner).filter(|_| all || word == "the") {
            let (items, end) = trade;
            let after = end + usize::from(self.word(end) == "'s");
            if all || ONES.contains(&self.word(after)) {
                return make(items, after + usize::from(ONES.contains(&self.word(after))));
            }
        }
        if !all {
            return None;
        }
        let described = self.described(&inner);
        if !described.elements.is_empty() {
            let here = |known: &&Known| self.place.is_some_and(|place| known.place == place);
            let fits = |known: &&Known| known.is_kind_of(&described);
            let indexes = |test: &dyn Fn(&Known) -> bool| -> Vec<usize> {
                (0..self.known.len())
                    .filter(|&i| test(&self.known[i]))
                    .collect()
            };
            let near = indexes(&|known| here(&known) && fits(&known));
            let items = if near.is_empty() {
                indexes(&|known| fits(&known))
            } else {
                near
            };
            return make(items, until);
        }
        let place = self.place_piece(sentence);
        let items = match place {
            Some(place) => self.at_place(place),
            None => self.here()?,
        };
        make(items, at + 1)
    }

    /// The items of the trade named in `range`, and the end of its name.
    fn trade(&self, range: &Range<usize>) -> Option<(Vec<usize>, usize)> {
        let piece = self.reading.within(range).map(|i| &self.reading.pieces[i]);
        let piece = piece
            .into_iter()
            .find(|piece| piece.kind == PieceKind::Trade)?;
        let name = piece.term.map(|term| self.lexicon.name(term))?;
        let items = (0..self.known.len())
            .filter(|&i| self.known[i].item.trade.as_deref() == Some(name))
            .collect();
        Some((items, piece.tokens.end))
    }

    /// The items that were not spoken of yet: of the place named, of the place where the walk is and
    /// where others were spoken of, or of the whole list.
    fn rest(&self, tokens: Range<usize>, sentence: &Range<usize>) -> Ref {
        let unspoken = |items: Vec<usize>| -> Vec<usize> {
            items
                .into_iter()
                .filter(|index| !self.spoken.contains(index))
                .collect()
        };
        let everywhere = (0..tokens.len()).any(|i| self.word(tokens.start + i) == "list");
        let named = self
            .place_piece(&(tokens.end..sentence.end))
            .or(self.place_piece(sentence));
        let here = || {
            let items = self.here()?;
            items
                .iter()
                .any(|index| self.spoken.contains(index))
                .then_some(items)
        };
        let scope = match named {
            Some(place) => self.at_place(place),
            None if everywhere => (0..self.known.len()).collect(),
            None => here().unwrap_or_else(|| (0..self.known.len()).collect()),
        };
        // "The rest of the bathroom": the place is part of the naming.
        let near = named.map(|place| place.tokens.end);
        let end = near.filter(|end| (tokens.end..tokens.end + SCOPE_REACH).contains(end));
        let tokens = tokens.start..end.unwrap_or(tokens.end);
        self.reference(tokens, unspoken(scope), How::Scope, BY_SCOPE)
    }

    /// Returns the items of the place where the walk is; `None` where there is none.
    pub(in crate::recheck) fn here(&self) -> Option<Vec<usize>> {
        let place = self.place?;
        let items: Vec<usize> = (0..self.known.len())
            .filter(|&i| self.known[i].place == place)
            .collect();
        (!items.is_empty()).then_some(items)
    }

    /// Returns the first place named in `range` that is not a part of a thing's name.
    pub(in crate::recheck) fn place_piece(&self, range: &Range<usize>) -> Option<&Piece> {
        let within =
            |place: &&Piece| place.tokens.start >= range.start && place.tokens.end <= range.end;
        let places = self.reading.places.iter().filter(within);
        let mut places = places.filter(|place| {
            let longer = |piece: &&Piece| {
                piece.kind == PieceKind::Element
                    && piece.tokens.len() > place.tokens.len()
                    && piece.tokens.contains(&place.tokens.start)
            };
            !self.reading.pieces.iter().any(|piece| longer(&piece))
        });
        places.find(|place| !self.at_place(place).is_empty())
    }

    /// Returns the items of a place, or of the storey or side that it stands for.
    pub(in crate::recheck) fn at_place(&self, piece: &Piece) -> Vec<usize> {
        let identity = place::identity(self.lexicon, piece);
        let indexes = |test: &dyn Fn(&Known) -> bool| -> Vec<usize> {
            (0..self.known.len())
                .filter(|&i| test(&self.known[i]))
                .collect()
        };
        let there = indexes(&|known| known.place == identity);
        let Some(term) = piece.term.filter(|_| there.is_empty()) else {
            return there;
        };
        let whole = self.lexicon.place(term);
        let kind_of = |known: &Known| known.place_term.map(|term| self.lexicon.place(term));
        match (whole.kind, whole.storey) {
            (PlaceKind::Whole, Some(storey)) => {
                indexes(&|known| kind_of(known).is_some_and(|place| place.storey == Some(storey)))
            }
            (PlaceKind::Outside | PlaceKind::Elevation, _) if whole.name.contains("outside") => {
                indexes(&|known| {
                    kind_of(known).is_some_and(|place| {
                        matches!(
                            place.kind,
                            PlaceKind::Outside | PlaceKind::Elevation | PlaceKind::Roof
                        )
                    })
                })
            }
            _ => there,
        }
    }
}
