//! Work that is ordered, with no fault told: ***joiner to ease the door***, *get the sparky to **straighten that
//! socket***, ***new shower hose**, please*.

use super::wanting::WANTS;
use super::{REACH, Walk};
use crate::items::draft::{Draft, Named};
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::Kind;
use crate::statements::grammar::{Class, class, opener, participle};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// A fault of which only the work is told: its name in the lexicon, and as lists show it.
const ATTENTION: (&str, &str) = ("wants attention", "needs attention");

/// So many sentences behind an item an order may still be about it.
pub(super) const REMEDY_REACH: usize = 3;

/// Words before an order that tell nobody's doing: ***can we get** the joiner **to** ease the door*.
#[rustfmt::skip]
const ASKS: &[&str] = &[
    "to", "please", "needs", "need", "should", "can", "could", "get", "we", "you", "they", "somebody", "someone", "have",
    "ask", "i", "would", "'d", "want", "back", "lads", "lad", "boys", "people", "fella", "guy", "guys", "man", "will",
    "'ll", "he", "just", "on",
];

/// Verbs of work that are names of things or states as well, so that the lexicon has them only with more words:
/// orders where they open one. Common practice, no source.
#[rustfmt::skip]
const WORKS: &[&str] = &[
    "sand", "paint", "seal", "skim", "plane", "caulk", "grout", "repoint", "trim", "oil", "glue", "bond", "grease",
    "varnish", "prime", "insulate", "lag", "emulsion", "gloss", "undercoat", "pack", "rub", "plaster", "render", "silicone",
    "mastic", "shim", "scribe",
];

/// What somebody of a trade does whatever it is called, but not these: ***wait for** the sparky to **come***.
#[rustfmt::skip]
const NO_WORK: &[&str] = &[
    "come", "go", "be", "follow", "start", "finish", "do", "have", "get", "ring", "call", "phone", "see", "look", "say",
    "know", "check", "arrive", "turn", "leave", "explain", "confirm", "tell", "answer", "show", "verify", "test",
    "inspect", "assess", "survey", "measure",
];

/// Work that is ordered.
struct Order {
    /// The words of it, to the end of the clause.
    work: Range<usize>,
    /// The remedy that the lexicon has for it.
    remedy: Option<usize>,
    /// A trade was told to do it.
    by_trade: bool,
}

impl Walk<'_> {
    /// ***Joiner to ease the door.*** ***Replace the cracked tile.***: with nothing told before, the work tells that
    /// something is wrong with a thing.
    pub(super) fn work_ordered(&mut self, index: usize, scene: &Scene<'_>) {
        // "Joiner to ease the door. Replace the cracked tile.": one order after the other.
        let just_told = self.drafts.last().is_some_and(|last| {
            let ordered = last.defects[0].text == ATTENTION.1;
            let near = last.sentence + REMEDY_REACH >= index && last.place == self.place;
            near && !ordered
        });
        let Some(order) = self.order(scene) else {
            return;
        };
        let Some(choice) = self.worked_on(index, &order) else {
            return;
        };
        let told = |last: &Draft| last.element.term == choice.element.term;
        // "The sockets are loose. Get the joiner to plane the **door**": another thing by another trade.
        let another = order.by_trade && !self.drafts.last().is_some_and(told);
        if just_told && !another {
            return;
        }
        // "Replace the **cracked** tile".
        let mut lead = order.work.start..choice.element.tokens.start.max(order.work.start);
        let described = lead.find_map(|at| {
            let term = self.lexicon.find(Kind::Defect, self.word(at))?;
            Some((term, at..at + 1, self.word(at)))
        });
        let attention = || {
            let term = self.lexicon.find(Kind::Defect, ATTENTION.0)?;
            Some((term, order.work.clone(), ATTENTION.1))
        };
        let Some((term, tokens, text)) = described.or_else(attention) else {
            return;
        };
        let defect = Piece {
            term: Some(term),
            ..Piece::own_words(PieceKind::Defect, tokens, text.to_owned())
        };
        let term = order.remedy.and_then(|r| self.reading.pieces[r].term);
        self.make_of_work(index, scene, (order.work, term), &defect, choice);
    }

    /// Returns the work that a sentence orders.
    fn order(&self, scene: &Scene<'_>) -> Option<Order> {
        let trade_at = |at: usize| {
            let piece = self.reading.piece_at(at);
            piece.is_some_and(|p| p.kind == PieceKind::Trade)
        };
        let asks = |at: usize| {
            let word = self.word(at);
            trade_at(at) || opener(word) || ASKS.contains(&word) || class(word) == Class::Determiner
        };
        let remedies = scene.pieces(PieceKind::Remedy).into_iter();
        let listed = remedies
            .map(|r| (self.reading.pieces[r].tokens.start, Some(r)))
            .next();
        // "Get the sparky **to** …", "**have** the plasterer …".
        let by_trade = |start: usize| {
            let lead = scene.from..start;
            lead.clone().any(trade_at)
                && lead
                    .clone()
                    .any(|at| matches!(self.word(at), "to" | "have" | "get"))
                && (self.word(start - 1) == "to" || lead.clone().all(asks))
        };
        let first = (scene.from..scene.sentence.tokens.end).find(|&at| !asks(at))?;
        let bare = || {
            let verb = self.word(first);
            let works = WORKS.contains(&verb)
                || by_trade(first) && verb_like(verb) && !NO_WORK.contains(&verb);
            let behind = class(self.word(first + 1));
            // "Plaster on the floor" is no order.
            let object = matches!(behind, Class::Determiner | Class::Pronoun);
            (works && object).then_some((first, None))
        };
        let (start, remedy) = listed
            .filter(|(at, _)| (scene.from..*at).all(asks))
            .or_else(bare)?;
        let verb = self.word(start);
        // "Replaced the tile": it is done. "Wants ducting to outside": of what was named before.
        let order = !participle(verb) && !verb.ends_with("ing") && !WANTS.contains(&verb);
        let end = scene.clause(start).end;
        let by_trade = start > scene.from && by_trade(start);
        order.then_some(Order {
            work: start..end,
            remedy,
            by_trade,
        })
    }

    /// Returns what the work is done on: what it names, or what was spoken of last (*restretch **it***).
    fn worked_on(&self, index: usize, order: &Order) -> Option<Choice> {
        let points = |at: usize| {
            let word = self.word(at);
            class(word) == Class::Determiner || matches!(word, "that" | "both")
        };
        // "Ease **the door**", "touch up the **ceiling**".
        let things = self
            .reading
            .elements_within(&(order.work.start + 1..order.work.end));
        // "Refix **at the right fall**" tells how.
        let how = |at: usize| {
            matches!(
                self.word(at),
                "at" | "to" | "by" | "for" | "with" | "as" | "in" | "into"
            )
        };
        let pointed = |thing: &&Piece| {
            let mut lead = order.work.start..thing.tokens.start;
            lead.clone().any(points) && !lead.any(how)
        };
        if let Some(thing) = things.iter().find(pointed) {
            return Some(Choice::alone(Named::of(thing), thing.tokens.clone()));
        }
        let it = (order.work.start + 1..order.work.end)
            .take(3)
            .any(|at| matches!(self.word(at), "it" | "them" | "that"));
        let (last, spoken) = self.last.clone().filter(|_| it && order.by_trade)?;
        (index - spoken <= REACH).then(|| Choice::carried(last))
    }
}

/// A word that may be a verb by its look: none of a closed class, and no plural.
fn verb_like(word: &str) -> bool {
    (class(word) == Class::Open || matches!(word, "put" | "make" | "fit")) && !word.ends_with('s')
}
