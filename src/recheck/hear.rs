//! A later walk, sentence after sentence: which items each is about, and what it says of them.

mod amend;
mod join;

use super::known::Known;
use super::refer::{How, Ref, Scene, UNSURE, push_once};
use crate::lexicon::Lexicon;
use crate::speech::Word;
use crate::statements::grammar::opener;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place;
use crate::statements::reading::Reading;
use crate::statements::sentence::{Join, Sentence};
use crate::statements::standing::{Said, Says, Sign, Signal, Vocabulary, signals};
use std::ops::Range;

/// Sureness that what is left out of *all done bar the worktop* is the contrary.
const BY_EXCEPTION: f64 = 0.7;
/// Sureness of an item meant by *that* or *it*.
const BY_PRONOUN: f64 = 0.85;
/// Sureness of an item that nothing but its place points to.
const BY_PLACE_ALONE: f64 = 0.6;
/// What a number is worth whose words fit another item.
const CONTRADICTED: f64 = 0.4;

/// What was said of some items together.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// Indexes among the known items.
    pub(super) items: Vec<usize>,
    /// The tokens that say it.
    pub(super) tokens: Range<usize>,
    /// Where the naming of the items ends and what is said of them begins.
    pub(super) told_from: usize,
    pub(super) signals: Vec<Signal>,
    pub(super) sure: f64,
    pub(super) reasons: Vec<String>,
    /// Index of the sentence that said it last.
    pub(super) sentence: usize,
    /// The items were named by description alone.
    pub(super) described: bool,
    /// Words of work done were denied: *none of them are done*.
    pub(super) denied: bool,
    /// Taken back by the speaker.
    pub(super) withdrawn: bool,
}

/// What a later walk leaves behind.
#[derive(Debug, Default)]
pub(super) struct Walked {
    pub(super) groups: Vec<Group>,
    /// What made no finding although it might have, and why.
    pub(super) notes: Vec<(Range<usize>, String)>,
}

/// Walks through all sentences.
pub(super) fn hear(
    lexicon: &Lexicon,
    reading: &Reading,
    words: &[Word],
    known: &[Known],
) -> Walked {
    let mut walk = Walk {
        lexicon,
        reading,
        words,
        known,
        vocabulary: Vocabulary::new(lexicon),
        place: None,
        place_new: false,
        pending: None,
        spoken: Vec::new(),
        said: Vec::new(),
        out: Walked::default(),
    };
    for (index, sentence) in reading.sentences.iter().enumerate() {
        walk.sentence(index, sentence);
    }
    walk.part_what_is_new();
    walk.out
}

struct Walk<'a> {
    lexicon: &'a Lexicon,
    reading: &'a Reading,
    words: &'a [Word],
    known: &'a [Known<'a>],
    vocabulary: Vocabulary,
    /// Identity of the place where the walk is.
    place: Option<String>,
    /// True while nothing was said of an item there.
    place_new: bool,
    /// Items named without a word about them yet.
    pending: Option<Ref>,
    /// Items spoken of so far.
    spoken: Vec<usize>,
    /// The wordings of the sentence in hand.
    said: Vec<Said>,
    out: Walked,
}

/// What a sentence is made of, in order.
#[derive(Debug, Clone)]
enum Mark {
    Refer(Ref),
    Sign(Signal),
    Except(usize),
    Correct(usize),
}

impl Mark {
    fn start(&self) -> usize {
        match self {
            Mark::Refer(refer) => refer.tokens.start,
            Mark::Sign(signal) => signal.tokens.start,
            Mark::Except(at) | Mark::Correct(at) => *at,
        }
    }
}

/// The sentence in hand while its marks are put together.
#[derive(Default)]
struct Hand {
    /// Items named and waiting for a word about them.
    run: Vec<Ref>,
    /// Signs said before any item.
    leading: Vec<Signal>,
    /// The group that takes further signs.
    open: Option<usize>,
    /// The open group has only leading signs, which its own ones replace.
    borrowed: bool,
    /// A group that is being corrected.
    fix: Option<usize>,
    /// The group or run that items are left out of, and the items.
    excepting: bool,
    excepted: Vec<Ref>,
    /// First token that belongs to no group: the rest is new.
    cut: Option<usize>,
}

impl Walk<'_> {
    fn scene(&self) -> Scene<'_> {
        Scene {
            lexicon: self.lexicon,
            reading: self.reading,
            words: self.words,
            known: self.known,
            place: self.place.as_deref(),
            spoken: &self.spoken,
            said: &self.said,
        }
    }

    fn sentence(&mut self, index: usize, sentence: &Sentence) {
        let from = self.follow_place(sentence);
        let range = from..sentence.tokens.end;
        let said = self.unmasked(&sentence.tokens);
        self.said.clone_from(&said);
        if said.iter().any(|one| one.says == Says::Withdrawal) {
            self.withdraw(index, &sentence.tokens);
            return;
        }
        let clauses: Vec<Range<usize>> = sentence
            .clauses
            .iter()
            .map(|clause| clause.tokens.start.max(from)..clause.tokens.end)
            .filter(|clause| !clause.is_empty())
            .flat_map(|clause| self.parts(clause))
            .collect();
        let inside = self.reading.within(&range);
        let pieces: Vec<Piece> = self.reading.pieces[inside].to_vec();
        let signs = signals(&self.reading.tokens, &said, &pieces, &clauses);
        let refs = self.references(&range, &said, &clauses);
        if sentence.question {
            // "Twelve?" asks for the answer that follows; "Is twelve done?" tells nothing.
            if signs.is_empty()
                && let [one] = &refs[..]
            {
                self.pending = Some(one.clone());
            }
            return;
        }
        let mut marks: Vec<Mark> = refs.into_iter().map(Mark::Refer).collect();
        marks.extend(signs.into_iter().map(Mark::Sign));
        for one in &said {
            match one.says {
                Says::Except => marks.push(Mark::Except(one.tokens.start)),
                Says::Correction => marks.push(Mark::Correct(one.tokens.start)),
                _ => {}
            }
        }
        let rank = |mark: &Mark| match mark {
            Mark::Except(_) | Mark::Correct(_) => 0,
            Mark::Refer(_) => 1,
            Mark::Sign(_) => 2,
        };
        marks.sort_by_key(|mark| (mark.start(), rank(mark)));
        self.put_together(index, sentence, &range, &marks);
    }

    /// Moves to the place that the sentence names; returns where the sentence goes on.
    fn follow_place(&mut self, sentence: &Sentence) -> usize {
        let mut from = sentence.tokens.start;
        for change in place::changes(self.lexicon, self.reading, sentence, true) {
            let ones = self.word(change.tokens.end);
            if matches!(ones, "ones" | "items" | "lot") {
                continue;
            }
            if change.outright {
                from = change.tokens.end;
            }
            if self.place.as_ref() != Some(&change.identity) {
                self.pending = None;
            }
            self.place = Some(change.identity);
            self.place_new = true;
        }
        from
    }

    /// Returns the sentence's wordings but those that are chat.
    fn unmasked(&self, sentence: &Range<usize>) -> Vec<Said> {
        let mut said = self.vocabulary.find(&self.reading.tokens, sentence.clone());
        said.retain(|one| one.says != Says::Chat);
        said
    }

    fn names_element(&self, range: &Range<usize>) -> bool {
        let elements = &self.reading.elements;
        elements
            .iter()
            .any(|piece| piece.tokens.start >= range.start && piece.tokens.end <= range.end)
    }

    /// Divides a clause at *and* where a thing is named on both sides: *the tap's fixed and the plinth
    /// is missing*, *the tread and the spindle*.
    fn parts(&self, clause: Range<usize>) -> Vec<Range<usize>> {
        let mut parts = vec![clause.clone()];
        for at in clause.clone() {
            let open = parts.last().map_or(clause.start, |part| part.start);
            let between = (open..at).any(|at| self.word(at) == "between");
            if self.word(at) == "and"
                && !between
                && self.names_element(&(open..at))
                && self.names_element(&(at + 1..clause.end))
            {
                parts.pop();
                parts.extend([open..at, at + 1..clause.end]);
            }
        }
        parts
    }

    fn word(&self, at: usize) -> &str {
        self.reading
            .tokens
            .get(at)
            .map_or("", |token| token.norm.as_str())
    }

    /// Returns the references of a sentence, in order.
    fn references(
        &self,
        range: &Range<usize>,
        said: &[Said],
        clauses: &[Range<usize>],
    ) -> Vec<Ref> {
        let scene = self.scene();
        let mut refs: Vec<Ref> = Vec::new();
        let mut at = range.start;
        while at < range.end {
            let after_ref = refs.last().is_some_and(|one| one.tokens.end == at);
            let governed = said.iter().any(|one| {
                one.says == Says::Condition
                    && one.tokens.end <= at
                    && same_clause(clauses, one.tokens.start, at)
            });
            let found = match governed {
                true => None,
                false => scene
                    .numbered(at, range.start, said)
                    .or_else(|| (!after_ref).then(|| scene.scope(at, range, said)).flatten())
                    .or_else(|| {
                        refs.is_empty()
                            .then(|| self.pronoun(at, range, clauses))
                            .flatten()
                    }),
            };
            match found {
                Some(found) => {
                    at = found.tokens.end.max(at + 1);
                    refs.push(found);
                }
                None => at += 1,
            }
        }
        for clause in clauses {
            // What stands after *all the kitchen ones*: the place is no thing of its own.
            let scopes = refs.iter().filter(|one| one.how == How::Scope);
            let after = scopes
                .map(|one| one.tokens.end)
                .filter(|end| clause.contains(end));
            let clause = &(after.max().unwrap_or(clause.start)..clause.end);
            let Some(named) = scene.first_named(clause) else {
                continue;
            };
            let described = scene.describe(clause, None);
            // A fault that is on no list is something new, or what is wrong with what was named.
            if described.is_none() && !self.names_element(clause) {
                continue;
            }
            let found = described.unwrap_or(Ref {
                tokens: named,
                items: Vec::new(),
                how: How::Described,
                sure: 0.0,
                reasons: Vec::new(),
                unknown: Vec::new(),
                denied: false,
            });
            refs.push(found);
        }
        refs.sort_by_key(|one| one.tokens.start);
        refs
    }

    /// *that*, *it*, *they* at the start of a clause: what was named last.
    fn pronoun(&self, at: usize, range: &Range<usize>, clauses: &[Range<usize>]) -> Option<Ref> {
        let clause = clauses.iter().find(|clause| clause.contains(&at))?;
        let opens = (clause.start.max(range.start)..at).all(|at| opener(self.word(at)));
        let next = self.word(at + 1);
        let verb = matches!(
            next,
            "is" | "'s" | "has" | "have" | "are" | "was" | "were" | "had" | "would" | "will"
        );
        let (plural, length) = match (self.word(at), next) {
            ("that" | "this", "one") => (false, 2),
            ("those" | "these", "ones") => (true, 2),
            ("that" | "it" | "this", _) if verb => (false, 1),
            ("those" | "these" | "they" | "both", _) if verb || self.word(at) == "both" => {
                (true, 1)
            }
            _ => return None,
        };
        // What the sentence has named itself is meant: "the skirting, they've filled it but it's patchy".
        if !opens || self.scene().first_named(&(range.start..at)).is_some() {
            return None;
        }
        let one = |items: &[usize]| match (plural, items) {
            (true, _) => items.to_vec(),
            (false, [.., last]) => vec![*last],
            _ => Vec::new(),
        };
        let items = match &self.pending {
            Some(pending) => pending.items.clone(),
            None if self.place_new && self.place.is_some() => return None,
            None => one(&self
                .out
                .groups
                .iter()
                .rfind(|group| !group.withdrawn)?
                .items),
        };
        // "They've fixed the newel post": the builders, not the items.
        let names = self.scene().first_named(clause).is_some();
        // "They've filled it" as well.
        let object =
            (at + 2..clause.end).any(|at| matches!(self.word(at), "it" | "that" | "this" | "them"));
        let builders = (names || object) && self.word(at) == "they";
        (!items.is_empty() && !builders).then(|| Ref {
            tokens: at..at + length,
            items,
            how: How::Pronoun,
            sure: BY_PRONOUN,
            reasons: Vec::new(),
            unknown: Vec::new(),
            denied: false,
        })
    }
}

fn same_clause(clauses: &[Range<usize>], a: usize, b: usize) -> bool {
    clauses
        .iter()
        .any(|clause| clause.contains(&a) && clause.contains(&b))
}
