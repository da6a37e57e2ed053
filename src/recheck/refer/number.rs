//! Items named by their numbers: one, a list, or a range.

use super::*;
use crate::statements::grammar::opener;
use crate::statements::list_number_at;

/// Sureness of an item named by *item twelve*.
const BY_NUMBER: f64 = 0.97;
/// Sureness of an item named by a number alone: it might have been a count.
const BY_BARE_NUMBER: f64 = 0.93;
/// Words that announce an item's number.
const PREFIXES: &[&str] = &[
    "item", "items", "number", "numbers", "nos", "line", "lines", "point", "points", "entry",
    "snag", "snags",
];
/// Words between the ends of a range.
const TO: &[&str] = &["to", "through", "thru", "till", "until", "dash"];
/// Words that may stand before a bare number that names an item.
const BEFORE_NUMBER: &[&str] = &[
    "and", "then", "but", "so", "with", "on", "for", "not", "also", "plus", "'s", "is", "are",
    "to", "the", "number", "or", "next",
];

impl Scene<'_> {
    /// Returns the items named by number from token `at`: one, a list, or a range.
    pub(in crate::recheck) fn numbered(
        &self,
        at: usize,
        from: usize,
        said: &[Said],
    ) -> Option<Ref> {
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
}
