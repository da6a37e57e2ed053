//! Which items a stretch of speech is about: by number, by range, all of a place, the rest, or by
//! description.

use super::known::{Described, Known, named_piece, open_stems, place_identity};
use super::words::{Said, Says};
use crate::items::Item;
use crate::lexicon::{Lexicon, PlaceKind};
use crate::speech::Word;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::list_number_at;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place;
use crate::statements::reading::Reading;
use std::ops::Range;

/// Sureness of an item named by *item twelve*.
const BY_NUMBER: f64 = 0.97;
/// Sureness of an item named by a number alone: it might have been a count.
const BY_BARE_NUMBER: f64 = 0.93;
/// Sureness of each item of a place or of the rest: the speaker had them in mind, not in view.
const BY_SCOPE: f64 = 0.85;
/// Sureness of an item that is the only one to fit a description well.
const BY_DESCRIPTION: f64 = 0.9;
/// Sureness where another item fits about as well, or where only a part fits.
pub(super) const UNSURE: f64 = 0.5;
/// The least score at which a description stands for an item: its noun, or its very defect.
const LEAST_SCORE: f64 = 0.5;
/// How far the next best item must stay behind to be out of the question.
const MARGIN: f64 = 0.2;
/// Words that announce an item's number.
const PREFIXES: &[&str] = &[
    "item", "items", "number", "numbers", "nos", "line", "lines", "point", "points", "entry",
    "snag", "snags",
];
/// Words between the ends of a range.
const TO: &[&str] = &["to", "through", "thru", "till", "until", "dash"];
/// Words after a place or trade that stand for its items.
const ONES: &[&str] = &[
    "ones", "items", "lot", "stuff", "points", "list", "bits", "jobs", "work", "works", "snags",
    "things",
];
/// Words that may stand before a bare number that names an item.
const BEFORE_NUMBER: &[&str] = &[
    "and", "then", "but", "so", "with", "on", "for", "not", "also", "plus", "'s", "is", "are",
    "to", "the", "number", "or", "next",
];

/// How items were referred to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum How {
    /// By number.
    Number,
    /// By place, or as the rest.
    Scope,
    /// By element and defect.
    Described,
    /// By *that*, *it*, *they*.
    Pronoun,
}

/// A reference to items.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ref {
    pub(super) tokens: Range<usize>,
    /// Indexes among the known items, each once.
    pub(super) items: Vec<usize>,
    pub(super) how: How,
    pub(super) sure: f64,
    pub(super) reasons: Vec<String>,
    /// Numbers that no confirmed item has.
    pub(super) unknown: Vec<u32>,
    /// *none of the kitchen ones*: what is said of them is denied.
    pub(super) denied: bool,
}

/// What references are looked for in.
pub(super) struct Scene<'a> {
    pub(super) lexicon: &'a Lexicon,
    pub(super) reading: &'a Reading,
    pub(super) words: &'a [Word],
    pub(super) known: &'a [Known<'a>],
    /// The identity of the place where the walk is.
    pub(super) place: Option<&'a str>,
    /// Indexes of the items spoken of so far.
    pub(super) spoken: &'a [usize],
    /// The wordings of the sentence in hand.
    pub(super) said: &'a [Said],
}

impl Scene<'_> {
    pub(super) fn word(&self, at: usize) -> &str {
        self.reading
            .tokens
            .get(at)
            .map_or("", |token| token.norm.as_str())
    }

    /// True where punctuation or the end follows token `at`.
    pub(super) fn halts(&self, at: usize) -> bool {
        let Some(token) = self.reading.tokens.get(at) else {
            return true;
        };
        let next = self.reading.tokens.get(at + 1);
        if next.is_some_and(|next| next.word == token.word) {
            return false;
        }
        let word = &self.words[token.word];
        next.is_none()
            || word.line_end
            || word
                .text
                .ends_with([',', ';', ':', '.', '!', '?', '-', '–', '—', '…'])
    }

    fn covered(&self, at: usize, kinds: &[PieceKind]) -> bool {
        let pieces = &self.reading.pieces;
        let index = pieces.partition_point(|piece| piece.tokens.end <= at);
        pieces
            .get(index)
            .is_some_and(|piece| piece.tokens.contains(&at) && kinds.contains(&piece.kind))
    }

    /// Returns the items named by number from token `at`: one, a list, or a range.
    pub(super) fn numbered(&self, at: usize, from: usize, said: &[Said]) -> Option<Ref> {
        let hash = |at: usize| {
            let token = self.reading.tokens.get(at);
            token.is_some_and(|token| self.words[token.word].text.starts_with(['#', '№']))
        };
        let written_no = self.word(at) == "no" && self.digits(at + 1) && !self.halts_hard(at);
        let announced = PREFIXES.contains(&self.word(at)) || written_no;
        let mut start = at + usize::from(announced);
        if announced && matches!(self.word(start), "number" | "numbers") {
            start += 1;
        }
        let explicit = announced || hash(at);
        if !explicit && !self.may_precede(at, from, said) {
            return None;
        }
        let (first, mut end) = self.number(start)?;
        let mut numbers = vec![first];
        loop {
            let joined = end + usize::from(TO.contains(&self.word(end)));
            let joined =
                joined + usize::from(self.word(end) == "up" && self.word(end + 1) == "to") * 2;
            let dashed = self.dashed(end);
            if joined > end || dashed {
                let Some((last, after)) = self.number(joined) else {
                    break;
                };
                let from = numbers.last().copied().unwrap_or(first);
                if last <= from {
                    break;
                }
                numbers.extend(from + 1..=last);
                end = after;
                continue;
            }
            let mut next =
                end + usize::from(matches!(self.word(end), "and" | "plus" | "also" | "or"));
            while PREFIXES.contains(&self.word(next)) {
                next += 1;
            }
            match self.number(next) {
                Some((number, after)) if !self.counts(next, after, said) => {
                    numbers.push(number);
                    end = after;
                }
                _ => break,
            }
        }
        let lone_one = numbers == [1] && self.word(start) == "one";
        if !explicit && (lone_one || self.counts(start, end, said)) {
            return None;
        }
        let (mut items, mut unknown) = (Vec::new(), Vec::new());
        for number in numbers {
            match self
                .known
                .iter()
                .position(|known| known.item.number == number)
            {
                Some(index) => push_once(&mut items, index),
                None => unknown.push(number),
            }
        }
        // A number that is no item's may be anything, unless it was announced as one.
        if items.is_empty() && !explicit {
            return None;
        }
        let sure = if explicit { BY_NUMBER } else { BY_BARE_NUMBER };
        Some(Ref {
            unknown,
            ..self.reference(at..end, items, How::Number, sure)
        })
    }

    fn digits(&self, at: usize) -> bool {
        self.word(at).starts_with(|c: char| c.is_ascii_digit())
    }

    /// True where a comma or more follows; the point of a written *No.* does not count.
    fn halts_hard(&self, at: usize) -> bool {
        let token = self.reading.tokens.get(at);
        token.is_some_and(|token| {
            self.words[token.word]
                .text
                .ends_with([',', ';', ':', '!', '?'])
        })
    }

    /// True where a dash of one written word stands before token `at`: `5-9`.
    fn dashed(&self, at: usize) -> bool {
        let tokens = &self.reading.tokens;
        let same = at > 0
            && tokens
                .get(at)
                .is_some_and(|token| token.word == tokens[at - 1].word);
        same && self.digits(at)
            && self.digits(at - 1)
            && self.words[tokens[at].word].text.contains(['-', '–', '—'])
    }

    fn number(&self, at: usize) -> Option<(u32, usize)> {
        let found = list_number_at(&self.reading.tokens, self.words, at)?;
        (!self.covered(at, &[PieceKind::Measure, PieceKind::Place])).then_some(found)
    }

    /// True where a bare number may begin here.
    fn may_precede(&self, at: usize, from: usize, said: &[Said]) -> bool {
        let Some(before) = at.checked_sub(1).filter(|before| *before >= from) else {
            return true;
        };
        let word = self.word(before);
        self.halts(before)
            || opener(word)
            || BEFORE_NUMBER.contains(&word)
            || class(word) == Class::Number
            || said.iter().any(|one| one.tokens.end == at)
    }

    /// True where the number counts what follows it: *two of the tiles*, *three screws*.
    fn counts(&self, start: usize, end: usize, said: &[Said]) -> bool {
        let next = self.word(end);
        let sign = said.iter().any(|one| one.tokens.start == end);
        let explicit = start > 0 && PREFIXES.contains(&self.word(start - 1));
        !explicit
            && !self.halts(end - 1)
            && !sign
            && (next == "of"
                || self.covered(end, &[PieceKind::Measure])
                || class(next) == Class::Open && !matches!(next, "either" | "neither"))
    }

    fn reference(&self, tokens: Range<usize>, items: Vec<usize>, how: How, sure: f64) -> Ref {
        Ref {
            tokens,
            items,
            how,
            sure,
            reasons: Vec::new(),
            unknown: Vec::new(),
            denied: false,
        }
    }

    /// Returns the items of *all the kitchen ones*, *everything in the hall*, *the rest*.
    pub(super) fn scope(&self, at: usize, sentence: &Range<usize>, said: &[Said]) -> Option<Ref> {
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
    pub(super) fn here(&self) -> Option<Vec<usize>> {
        let place = self.place?;
        let items: Vec<usize> = (0..self.known.len())
            .filter(|&i| self.known[i].place == place)
            .collect();
        (!items.is_empty()).then_some(items)
    }

    /// Returns the first place named in `range` that is not a part of a thing's name.
    pub(super) fn place_piece(&self, range: &Range<usize>) -> Option<&Piece> {
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
    pub(super) fn at_place(&self, piece: &Piece) -> Vec<usize> {
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

    /// Returns what `range` says of things.
    pub(super) fn described(&self, range: &Range<usize>) -> Described {
        let tokens = &self.reading.tokens;
        let elements = self.things(range);
        let faults = self.faults(range);
        let led = |piece: &Piece| {
            let mut before = piece.tokens.start;
            while before > range.start && class(self.word(before - 1)) == Class::Determiner {
                before -= 1;
            }
            before > range.start && class(self.word(before - 1)) == Class::Preposition
        };
        Described {
            has_subject: elements.iter().any(|piece| !led(piece)),
            elements: elements
                .iter()
                .map(|piece| named_piece(tokens, piece))
                .collect(),
            defects: faults
                .iter()
                .map(|piece| named_piece(tokens, piece))
                .collect(),
            words: open_stems(&tokens[range.clone()]).collect(),
        }
    }

    /// Returns the item that a description in `range` stands for, `among` some of them.
    pub(super) fn describe(&self, range: &Range<usize>, among: Option<&[usize]>) -> Option<Ref> {
        let said = self.described(range);
        if said.elements.is_empty() && said.defects.is_empty() {
            return None;
        }
        let named = self.place_piece(range).map(|piece| self.at_place(piece));
        let here = named.clone().or_else(|| self.here());
        let pool: Vec<usize> = match among {
            Some(among) => among.to_vec(),
            None => (0..self.known.len()).collect(),
        };
        let score = |index: usize| self.known[index].score(&said);
        let near: Vec<usize> = match &here {
            Some(here) => pool
                .iter()
                .copied()
                .filter(|index| here.contains(index))
                .collect(),
            None => pool.clone(),
        };
        let ranked = |of: &[usize]| {
            let mut ranked: Vec<(usize, f64)> =
                of.iter().map(|&index| (index, score(index))).collect();
            ranked.retain(|(_, score)| *score >= LEAST_SCORE);
            // Ties go to the item listed first.
            ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
            ranked
        };
        let mut reasons = Vec::new();
        let mut found = ranked(&near);
        let mut sure = BY_DESCRIPTION;
        if found.is_empty() {
            if named.is_some() {
                return None;
            }
            found = ranked(&pool);
            // Only the very element and defect count from elsewhere.
            found.retain(|(index, score)| {
                *score > 1.3 && self.known[*index].element_fit(&said) >= 1.0
            });
            if let Some((index, _)) = found.first() {
                reasons.push(format!(
                    "at {}, where the walk was not",
                    self.known[*index].item.place
                ));
                sure = UNSURE;
            }
        }
        let (best, top) = *found.first()?;
        let rival = found.get(1).filter(|_| among.is_none());
        if let Some((next, _)) = rival.filter(|(_, second)| top - second < MARGIN) {
            reasons.push(format!(
                "may also be item {}",
                self.known[*next].item.number
            ));
            sure = UNSURE;
        }
        if top < 0.75 {
            reasons.push("only a part of the name fits".into());
            sure = sure.min(UNSURE);
        }
        let start = self.first_named(range).unwrap_or(range.start);
        Some(Ref {
            reasons,
            ..self.reference(start..start + 1, vec![best], How::Described, sure)
        })
    }

    /// The elements named in `range` that are not names of places.
    fn things(&self, range: &Range<usize>) -> Vec<&Piece> {
        let in_place = |piece: &Piece| {
            self.reading.places.iter().any(|place| {
                place.tokens.start <= piece.tokens.start && piece.tokens.end <= place.tokens.end
            })
        };
        let elements = self.reading.elements.iter();
        elements
            .filter(|piece| is_within(piece, range) && !in_place(piece))
            .collect()
    }

    /// The faults named in `range` that are not words of standing: *no change* is none.
    fn faults(&self, range: &Range<usize>) -> Vec<&Piece> {
        let standing = |piece: &Piece| {
            self.said.iter().any(|one| {
                one.says != Says::Reply
                    && one.tokens.start < piece.tokens.end
                    && piece.tokens.start < one.tokens.end
            })
        };
        let pieces = self.reading.pieces.iter();
        pieces
            .filter(|piece| piece.kind == PieceKind::Defect && is_within(piece, range))
            .filter(|piece| !standing(piece))
            .collect()
    }

    /// Returns where the first thing or fault of the range is named.
    pub(super) fn first_named(&self, range: &Range<usize>) -> Option<usize> {
        let pieces = self.things(range).into_iter().chain(self.faults(range));
        pieces.map(|piece| piece.tokens.start).min()
    }
}

fn is_within(piece: &Piece, range: &Range<usize>) -> bool {
    piece.tokens.start >= range.start && piece.tokens.end <= range.end
}

/// How many tokens after *all* the place or thing may be named.
const SCOPE_REACH: usize = 8;

/// Adds what is not there yet.
pub(super) fn push_once(items: &mut Vec<usize>, index: usize) {
    if !items.contains(&index) {
        items.push(index);
    }
}

/// Returns whether a new item is one of the list said again: same place, element and defect.
pub(super) fn said_again(lexicon: &Lexicon, known: &[Known], fresh: &Item) -> Option<usize> {
    let place = place_identity(lexicon, &fresh.place);
    let said = Known::new(lexicon, fresh).as_described();
    let fits = |known: &Known| {
        known.place == place && known.element_fit(&said) >= 0.8 && known.defect_fit(&said) >= 0.8
    };
    known.iter().position(fits)
}
