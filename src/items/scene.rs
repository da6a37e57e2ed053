//! A sentence as pairing looks at it: what stands where, and how it is tied to what stands beside it.

use super::draft::Named;
use super::position::A_PART;
use crate::lexicon::{Lexicon, Token};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::reading::Reading;
use crate::statements::sentence::{Join, Sentence};
use std::ops::Range;

/// Verbs behind *I*, *you* or *we* with which something is found, not handled.
const SEES: &[&str] = &[
    "have", "'ve", "got", "has", "had", "see", "saw", "find", "found", "notice", "noticed", "spot",
    "spotted", "want", "need", "note", "list", "mean", "say", "call", "'d", "'m", "'re", "'ll",
    "would", "can", "could", "think", "like", "get", "noted", "counted", "count", "and",
];

/// Nouns that only say how much of the next one: *a length of **grating***.
const QUANTITIES: &[&str] = &[
    "none", "neither", "length", "bit", "piece", "pieces", "section", "run", "row", "lot", "lots",
    "couple", "pair", "patch", "strip", "one", "some", "two", "three", "four", "both", "most",
    "part", "parts", "bits", "rest", "number", "inside", "outside", "half", "kind", "sort",
    "majority", "load", "loads", "tons", "bunch",
];

/// How many tokens before it may stand that something runs to a thing.
const RUNS: usize = 8;

/// How many tokens *between* and the first of its two things take at most.
const LONGEST_BETWEEN: usize = 5;

/// The parts of a sentence that pairing looks at.
pub(crate) struct Scene<'a> {
    pub(crate) lexicon: &'a Lexicon,
    pub(crate) reading: &'a Reading,
    pub(crate) sentence: &'a Sentence,
    /// Where the sentence begins to be about elements: after a change of place.
    pub(crate) from: usize,
    /// Tokens taken back within the sentence.
    pub(crate) struck: &'a [Range<usize>],
    /// What was spoken of last.
    pub(crate) last: Option<&'a Named>,
}

impl Scene<'_> {
    pub(super) fn tokens(&self) -> &[Token] {
        &self.reading.tokens
    }

    /// Returns the word at a token; none behind the last.
    pub(super) fn word(&self, at: usize) -> &str {
        self.tokens()
            .get(at)
            .map_or("", |token| token.norm.as_str())
    }

    pub(super) fn struck(&self, at: usize) -> bool {
        self.struck.iter().any(|r| r.contains(&at))
    }

    /// Returns the indexes of the sentence's pieces of a kind, in order, without struck ones.
    pub(crate) fn pieces(&self, kind: PieceKind) -> Vec<usize> {
        let range = self.from..self.sentence.tokens.end;
        self.reading
            .within(&range)
            .filter(|&i| {
                self.reading.pieces[i].kind == kind
                    && !self.struck(self.reading.pieces[i].tokens.start)
            })
            .collect()
    }

    pub(super) fn clause_of(&self, at: usize) -> usize {
        self.sentence
            .clauses
            .iter()
            .rposition(|c| c.tokens.start <= at)
            .unwrap_or(0)
    }

    /// Returns how the clause that holds token `at` is joined to what is before it.
    pub(super) fn join(&self, at: usize) -> Option<Join> {
        let clause = self.sentence.clauses.get(self.clause_of(at));
        clause.map(|clause| clause.join)
    }

    /// Returns the range of the clause that holds token `at`, from where the sentence begins.
    pub(crate) fn clause(&self, at: usize) -> Range<usize> {
        let clause = &self.sentence.clauses[self.clause_of(at)].tokens;
        clause.start.max(self.from)..clause.end
    }

    /// Returns the noun phrase of the element piece `index`.
    pub(crate) fn noun(&self, index: usize) -> Noun {
        let piece = &self.reading.pieces[index];
        noun::around(
            self.tokens(),
            &self.reading.pieces,
            index,
            self.clause(piece.tokens.start).start,
        )
    }

    /// Returns the elements of the sentence as [`Self::pieces`] does, each with its noun phrase.
    pub(crate) fn things(&self) -> impl DoubleEndedIterator<Item = (usize, Noun)> {
        let named = self.pieces(PieceKind::Element).into_iter();
        named.map(|index| (index, self.noun(index)))
    }

    /// Returns where the noun phrase starts with its determiners, numbers, words of position, and an
    /// adjective between them: *on **the long** wall*.
    pub(crate) fn phrase_start(&self, noun: &Noun) -> usize {
        let class_before = |at: usize| {
            let before = at.checked_sub(1).filter(|before| *before >= self.from);
            before.map(|before| class(&self.tokens()[before].norm))
        };
        let mut at = noun.tokens.start;
        let adjective = class_before(at) == Some(Class::Open)
            && self.reading.piece_at(at - 1).is_none()
            && class_before(at - 1) == Some(Class::Determiner);
        at -= usize::from(adjective);
        while matches!(
            class_before(at),
            Some(Class::Determiner | Class::Number | Class::Position)
        ) {
            at -= 1;
        }
        at
    }

    /// True where the noun phrase stands behind a preposition.
    pub(crate) fn in_phrase(&self, noun: &Noun) -> bool {
        let at = self.phrase_start(noun);
        let quantity = at > self.from + 1
            && self.tokens()[at - 1].norm == "of"
            && (QUANTITIES.contains(&self.tokens()[at - 2].norm.as_str())
                // "Top of the handrail, …": the whole is spoken of.
                || A_PART.contains(&self.tokens()[at - 2].norm.as_str())
                    && (self.clause(at - 2).start..at - 2).all(|at| {
                        let word = self.tokens()[at].norm.as_str();
                        opener(word)
                            || matches!(class(word), Class::Determiner | Class::Position)
                            || word == "hand"
                    }))
            || self.head_of(noun).is_some()
            // "As for the bath, it wants cleaning".
            || at > self.from + 1
                && self.tokens()[at - 1].norm == "for"
                && self.tokens()[at - 2].norm == "as";
        at > self.from
            && (class(&self.tokens()[at - 1].norm) == Class::Preposition || self.other_end(at))
            && !quantity
            && self.clause_of(at - 1) == self.clause_of(noun.tokens.start)
    }

    /// ***the lid** of the toilet tank*, ***sill** of the shower niche*: the noun that opens the clause, of a
    /// thing that says more than it does. Returns its token.
    pub(super) fn head_of(&self, noun: &Noun) -> Option<usize> {
        let of = self.phrase_start(noun).checked_sub(1)?;
        let head = of.checked_sub(1).filter(|head| *head >= self.from)?;
        let word = self.tokens()[head].norm.as_str();
        let says_little = match self.reading.piece_at(head) {
            None => class(word) == Class::Open && word.len() > 2,
            Some(piece) => {
                let weak = |t| self.lexicon.element(t).weak;
                piece.kind == PieceKind::Element
                    && piece.tokens.len() == 1
                    && piece.term.is_some_and(weak)
            }
        };
        let opens = (self.clause(head).start..head).all(|at| {
            opener(&self.tokens()[at].norm) || class(&self.tokens()[at].norm) == Class::Determiner
        });
        (self.tokens()[of].norm == "of"
            && says_little
            && opens
            && !QUANTITIES.contains(&word)
            && !A_PART.contains(&word))
        .then_some(head)
    }

    /// *The treads are 230 deep and an **outside flight** should be 280*: a thing between the figure found and
    /// the one asked for, at `cue`, says for what it is asked.
    pub(super) fn of_the_requirement(&self, thing: &Range<usize>, cue: usize) -> bool {
        let pieces = &self.reading.pieces;
        let found = self
            .pieces(PieceKind::Measure)
            .into_iter()
            .map(|i| pieces[i].tokens.clone())
            .find(|figure| figure.end <= thing.start && figure.start < cue);
        found.is_some_and(|figure| {
            self.pieces(PieceKind::Element)
                .into_iter()
                .any(|i| pieces[i].tokens.end <= figure.start && !self.in_phrase(&self.noun(i)))
        })
    }

    /// *the joint between us and **next door***: the second of two things that something is between.
    fn other_end(&self, at: usize) -> bool {
        let word = |at: usize| self.tokens()[at].norm.as_str();
        let first = at.saturating_sub(LONGEST_BETWEEN).max(self.from);
        word(at - 1) == "and" && (first..at - 1).any(|t| word(t) == "between")
    }

    /// True where the clause opens with *there's a* and the fault, and goes on to say at what.
    pub(super) fn brings_in(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        self.tells_anew(clause, defect, |noun| !self.to_the_side_of(noun))
    }

    /// The same, also where it only says beside what: *there's a crack **to the left of the doors***.
    pub(super) fn there_is(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        self.tells_anew(clause, defect, |_| true)
    }

    fn tells_anew(
        &self,
        clause: &Range<usize>,
        defect: &Piece,
        counts: impl Fn(&Noun) -> bool,
    ) -> bool {
        let word = |at: usize| self.word(at);
        let there = clause
            .clone()
            .find(|&at| !opener(word(at)))
            .is_some_and(|at| word(at) == "there" && matches!(word(at + 1), "'s" | "is" | "are"));
        // "Gap at the wall string".
        let there = there
            || (clause.start..defect.tokens.start).all(|at| opener(word(at)))
                && clause.start == self.from
                && class(word(defect.tokens.end)) == Class::Preposition;
        let at_what = self.pieces(PieceKind::Element).into_iter().any(|i| {
            let noun = self.noun(i);
            clause.contains(&noun.tokens.start)
                && defect.tokens.end < noun.tokens.start
                && self.in_phrase(&noun)
                && counts(&noun)
        });
        there && at_what
    }

    /// ***damp meter on** the wall*: what an instrument is held to is no mere place.
    pub(crate) fn measured_on(&self, noun: &Noun) -> bool {
        let preposition = self.phrase_start(noun).saturating_sub(1);
        let before = preposition.checked_sub(1);
        before
            .and_then(|last| self.reading.piece_at(last))
            .is_some_and(|p| p.text == "instrument" && p.tokens.end == preposition)
    }

    /// *you pull the **plug** and it drains slowly*: what the speaker handles to see what happens.
    pub(super) fn handled(&self, noun: &Noun) -> bool {
        let at = self.phrase_start(noun);
        let word = |back: usize| {
            let at = at.checked_sub(back).filter(|at| *at >= self.from);
            at.map_or("", |at| self.tokens()[at].norm.as_str())
        };
        matches!(
            word(2),
            "i" | "you" | "we" | "somebody" | "someone" | "they" | "he" | "she"
        ) && class(word(1)) != Class::Preposition
            && !SEES.contains(&word(1))
            || self.put_through(noun)
    }

    /// Returns where a noun phrase begins with all its articles.
    fn before_articles(&self, noun: &Noun) -> usize {
        let mut at = self.phrase_start(noun);
        while at > self.from && class(self.word(at - 1)) == Class::Determiner {
            at -= 1;
        }
        at
    }

    /// ***Push on** the fridge housing*, *lean on that rail*: what is tried is spoken of.
    pub(crate) fn tried_on(&self, noun: &Noun) -> bool {
        let at = self.before_articles(noun);
        let word = |at: usize| self.tokens()[at].norm.as_str();
        at >= self.from + 2
            && matches!(word(at - 1), "on" | "at" | "under" | "behind")
            && matches!(
                word(at - 2),
                "push"
                    | "lean"
                    | "knock"
                    | "pull"
                    | "tap"
                    | "press"
                    | "tug"
                    | "look"
                    | "looking"
                    | "pushing"
                    | "leaning"
                    | "stand"
            )
    }

    /// *You've walked **past** the radiator*, *you've **missed** the radiator*: what is looked at then.
    pub(crate) fn passed(&self, noun: &Noun) -> bool {
        let at = self.before_articles(noun);
        let back = |count: usize| match at.checked_sub(count) {
            Some(before) if before >= self.from => self.word(before),
            _ => "",
        };
        back(1) == "past"
            && matches!(
                back(2),
                "walked" | "gone" | "went" | "walk" | "right" | "straight"
            )
            || back(1) == "by" && matches!(back(2), "walked" | "right" | "straight")
    }

    /// *somebody's put a **ladder** through the ceiling*: what it was done with.
    fn put_through(&self, noun: &Noun) -> bool {
        let at = self.phrase_start(noun);
        let word = |at: usize| self.word(at);
        at > self.from
            && matches!(word(at - 1), "put" | "stuck" | "shoved")
            && matches!(word(noun.tokens.end), "through" | "into")
    }

    /// True where the clause names an element before the fault that stands behind no preposition.
    pub(super) fn has_subject(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        self.pieces(PieceKind::Element).into_iter().any(|i| {
            let element = &self.reading.pieces[i].tokens;
            clause.contains(&element.start)
                && element.end <= defect.tokens.start
                && !self.in_phrase(&self.noun(i))
        })
    }

    /// True where the preposition before the noun ties it to what stands before: *crack **in** the
    /// wall*, not *crack **by** the door*.
    pub(super) fn tied(&self, noun: &Noun) -> bool {
        let at = self.phrase_start(noun);
        // "Running from the doorway in to the drain": only whence and where to.
        let runs = |t: usize| matches!(self.tokens()[t].norm.as_str(), "from" | "running" | "runs");
        let far = matches!(self.tokens()[at.max(1) - 1].norm.as_str(), "to" | "from")
            && (at.saturating_sub(RUNS).max(self.from)..at).any(runs);
        !far && at > self.from
            && matches!(
                self.tokens()[at - 1].norm.as_str(),
                "in" | "on"
                    | "to"
                    | "of"
                    | "round"
                    | "around"
                    | "along"
                    | "across"
                    | "from"
                    | "through"
                    | "between"
                    | "off"
                    | "all"
            )
    }

    /// ***by** the plug*, ***next to** the door*, ***to the left of** the window*.
    pub(super) fn beside(&self, noun: &Noun) -> bool {
        self.to_the_side_of(noun)
            || matches!(
                self.before_phrase(noun, 1),
                "by" | "beside" | "near" | "opposite" | "past" | "below" | "above"
            )
    }

    /// ***to the left of** the window*.
    fn to_the_side_of(&self, noun: &Noun) -> bool {
        self.before_phrase(noun, 1) == "of"
            && matches!(self.before_phrase(noun, 2), "left" | "right")
    }

    /// Returns the word that stands so many before a noun phrase.
    fn before_phrase(&self, noun: &Noun, back: usize) -> &str {
        let at = self.phrase_start(noun).checked_sub(back);
        let at = at.filter(|at| *at >= self.from);
        at.map_or("", |at| self.tokens()[at].norm.as_str())
    }

    /// True where the words before `at` bring in something new: *one*, *a*, *several*.
    pub(super) fn one_of_many(&self, at: usize) -> bool {
        at == self.from
            || at > self.from && {
                let before = self.tokens()[at - 1].norm.as_str();
                class(before) == Class::Number
                    || matches!(
                        before,
                        "a" | "an"
                            | "one"
                            | "another"
                            | "some"
                            | "several"
                            | "few"
                            | "couple"
                            | "of"
                    )
            }
    }

    /// Returns the tokens of the first clause behind the words that only open it.
    pub(super) fn opening(&self) -> Option<Range<usize>> {
        let mut clauses = self.sentence.clauses.iter().map(|c| &c.tokens);
        let first = clauses.find(|c| c.end > self.from)?;
        let start = first.start.max(self.from);
        let start = (start..first.end).find(|&t| !opener(&self.tokens()[t].norm))?;
        Some(start..first.end)
    }

    /// The thing that the sentence opens with, in the speaker's own words: *Weep pipes in the wall, …*.
    pub(super) fn topic(&self) -> Option<Noun> {
        let opening = self.opening()?;
        let start = opening.start;
        if self.reading.piece_at(start).is_some_and(|p| {
            p.tokens.start == start && matches!(p.kind, PieceKind::Element | PieceKind::Defect)
        }) {
            return None;
        }
        noun::object_after(self.tokens(), &self.reading.pieces, start, opening.end)
            .filter(|n| n.tokens.start <= start + 2)
    }
}
