//! What is asked of a fault once, whatever thing it may be of.

use super::wants_object;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::Piece;
use std::ops::Range;

/// A fault as pairing looks at it.
pub(super) struct Fault<'a> {
    pub(super) defect: &'a Piece,
    /// Its first token.
    pub(super) at: usize,
    /// The number of its clause.
    pub(super) here: usize,
    pub(super) clause: Range<usize>,
    /// Own words before it that it may be said of.
    pub(super) subject: Option<Noun>,
    /// The thing is named behind it: *no **stop***.
    pub(super) wants_object: bool,
    /// The clause begins with *which*.
    pub(super) relative: bool,
    /// A word before it in its clause stands for a thing.
    pub(super) stands_for: bool,
    /// Either.
    pub(super) pronoun: bool,
    /// *Somebody … squashed **it***.
    pub(super) takes_up: bool,
    /// *The handle's put a dent in the wall*: the wall has it.
    pub(super) done_to: bool,
    pub(super) has_subject: bool,
    /// *There's paint dripped down the glass*: the glass has it.
    pub(super) soiled: bool,
    /// A thing is named before it that stands in no phrase.
    pub(super) own_topic: bool,
    /// The listed things of the sentence: the index of each piece, with its noun phrase.
    pub(super) things: Vec<(usize, Noun)>,
    /// How it is told.
    pub(super) form: &'static str,
}

impl<'a> Fault<'a> {
    pub(super) fn of(scene: &Scene<'_>, defect: &'a Piece) -> Fault<'a> {
        let at = defect.tokens.start;
        let clause = scene.clause(at);
        let word = |at: usize| scene.word(at);
        // "The grab rail, *which* isn't fixed at the wall end".
        let relative = clause
            .start
            .checked_sub(1)
            .is_some_and(|t| word(t) == "which");
        let stands_for = (clause.start..at).any(|t| scene.stands_for(t));
        let pronoun = relative || stands_for;
        let somebody = matches!(
            word(clause.start),
            "somebody" | "someone" | "they" | "he" | "whoever"
        );
        let takes_up = somebody
            && clause.contains(&defect.tokens.end)
            && matches!(word(defect.tokens.end), "it" | "them");
        let pieces = &scene.reading.pieces;
        let subject = noun::subject_before(scene.tokens(), pieces, clause.start, at);
        let done_to = scene.brought_into(&clause, defect);
        let has_subject =
            !done_to && (subject.is_some() || pronoun || scene.has_subject(&clause, defect));
        let things: Vec<(usize, Noun)> = scene.things().collect();
        let own_topic = things
            .iter()
            .any(|(i, noun)| pieces[*i].tokens.end <= at && !scene.in_phrase(noun));
        Fault {
            defect,
            at,
            here: scene.clause_of(at),
            subject,
            wants_object: wants_object(scene.tokens(), defect),
            relative,
            stands_for,
            pronoun,
            takes_up,
            done_to,
            has_subject,
            soiled: defect.tokens.len() > 1 && lies_on_it(&defect.text),
            own_topic,
            things,
            form: form(scene, &clause, defect),
            clause,
        }
    }
}

/// *paint on it*, but not *moves when you lean on it*.
fn lies_on_it(fault: &str) -> bool {
    fault.ends_with(" on it") && !fault.split(' ').any(|word| matches!(word, "when" | "if"))
}

/// Returns how a fault is told: as something new (*there's a crack*), by a verb before it (*is loose*), by a noun
/// with an article, as the first words of its clause with where it is behind them (*haze over the tiles*)
/// or without, or right behind other words.
pub(crate) fn form(scene: &Scene<'_>, clause: &Range<usize>, defect: &Piece) -> &'static str {
    let at = defect.tokens.start;
    let mut words = (clause.start..at)
        .rev()
        .map(|at| scene.word(at))
        .filter(|word| class(word) != Class::Adverb && !opener(word));
    let next = defect.tokens.end;
    let leads_on = next < clause.end && class(scene.word(next)) == Class::Preposition;
    if (clause.start..at).any(|at| scene.word(at) == "there") {
        return "brought in";
    }
    match words.next().map(class) {
        None if leads_on => "leading on",
        None => "opening",
        Some(Class::Verb | Class::Negation) => "said",
        Some(Class::Determiner | Class::Number) => "named",
        Some(Class::Pronoun) => "done",
        Some(Class::Preposition | Class::Conjunction) => "led to",
        Some(_) => "beside",
    }
}
