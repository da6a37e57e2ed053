//! Which element a defect belongs to: every element of the sentence, the words before the defect,
//! and what was spoken of last are candidates; the best score wins.

mod signs;

use super::draft::Named;
use super::scene::Scene;
use crate::lexicon::{How, Token};
use crate::statements::grammar::{Class, class, participle};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
use std::ops::Range;

/// Worth of an element for a defect, all features being neutral.
const BASE: f32 = 1.0;
/// Lost for each token between the two.
const PER_TOKEN: f32 = 0.03;
/// Lost for each clause boundary between the two.
const PER_CLAUSE: f32 = 0.45;
/// Lost for each further clause boundary: asides are common.
const FURTHER: f32 = 0.05;
/// Tokens beyond which distance no longer counts.
const FAR: usize = 5;
/// Lost by an element that follows its defect without a preposition that ties them.
const AFTER: f32 = 0.5;
/// Lost besides by a thing that the fault is only beside: *a chip, there, by the **plug***.
const BESIDE: f32 = 0.3;
/// Gained by an element right behind its defect.
const ATTRIBUTIVE: f32 = 0.1;
/// Lost by an element inside a prepositional phrase before the defect (*handle on the **door***).
const IN_PHRASE: f32 = 0.55;
/// Gained in full by an element that the lexicon names for this defect.
const COMPATIBLE: f32 = 0.8;
/// Worth of words that no lexicon lists, next to the defect.
const OWN_WORDS: f32 = 0.75;
/// Worth of an element named by the very words of the defect: ***toilet** rocks*.
const INSIDE: f32 = 0.5;
/// Worth of the element that the defect's own word implies.
const IMPLIED: f32 = 0.3;
/// Worth of what was spoken of in the sentence before.
const CARRIED: f32 = 0.35;
/// Gained by it where the sentence says *it*, *they* or *that* before the defect.
const PRONOUN: f32 = 0.6;
/// Lost by an element that follows its defect where the clause has a subject before it: *the leaf
/// drags on the **threshold***.
const NOT_SUBJECT: f32 = 0.7;

/// Lost by a thing that the speaker handles to see what another does.
const HANDLED: f32 = 0.6;

/// Lost by a thing of which another clause says that it is in order.
const PRAISED: f32 = 0.6;

/// Gained by a thing that is all that the first clause says, where a pronoun takes it up.
const IN_FRONT: f32 = 0.25;

/// Lost by what was spoken of last where the sentence brings in something new: *there's a crack over the
/// door*.
const BROUGHT_IN: f32 = 0.4;

/// An element chosen for a defect.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Choice {
    pub(crate) element: Named,
    pub(crate) position: Option<String>,
    /// Its tokens with modifiers, where it stands in this sentence.
    pub(crate) here: Option<Range<usize>>,
    pub(crate) carried: bool,
}

impl Choice {
    /// Returns what a piece of the sentence names, with its noun phrase.
    pub(crate) fn named(piece: &Piece, noun: Noun) -> Choice {
        Choice {
            element: Named {
                text: noun.text,
                term: noun.term,
                how: piece.how,
                tokens: noun.tokens.clone(),
            },
            position: noun.position,
            here: Some(noun.tokens),
            carried: false,
        }
    }

    /// Returns what was spoken of in an earlier sentence.
    pub(crate) fn carried(element: Named) -> Choice {
        Choice {
            element,
            position: None,
            here: None,
            carried: true,
        }
    }
}

impl Scene<'_> {
    /// Returns the element for the defect piece, or `None` where nothing fits.
    pub(crate) fn element_for(&self, defect: &Piece) -> Option<Choice> {
        let mut best: Option<(f32, Choice)> = None;
        let mut offer = |score: f32, choice: Choice| {
            if best.as_ref().is_none_or(|(b, _)| score > *b) {
                best = Some((score, choice));
            }
        };
        let at = defect.tokens.start;
        let here = self.clause_of(at);
        let clause = self.clause(at);
        // "The grab rail, *which* isn't fixed at the wall end".
        let relative = clause
            .start
            .checked_sub(1)
            .is_some_and(|t| self.tokens()[t].norm == "which");
        let pronoun = relative || (clause.start..at).any(|t| self.stands_for(t));
        let word = |at: usize| self.tokens().get(at).map_or("", |t| t.norm.as_str());
        let somebody = matches!(
            word(clause.start),
            "somebody" | "someone" | "they" | "he" | "whoever"
        );
        let takes_up = somebody
            && clause.contains(&defect.tokens.end)
            && matches!(word(defect.tokens.end), "it" | "them");
        let subject = noun::subject_before(self.tokens(), &self.reading.pieces, clause.start, at);
        // "The handle's put a dent in the wall": the wall has it.
        let done_to = self.brought_into(&clause, defect);
        let has_subject =
            !done_to && (subject.is_some() || pronoun || self.has_subject(&clause, defect));
        // "There's paint dripped down the glass": the glass has it.
        let soiled = defect.text.ends_with(" on it") && defect.tokens.len() > 1;
        let own_topic = self
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| self.reading.pieces[i].tokens.end <= at && !self.in_phrase(&self.noun(i)));
        for index in self.pieces(PieceKind::Element) {
            let piece = &self.reading.pieces[index];
            let noun = self.noun(index);
            // A modifier of a longer noun is not a thing of its own: "[door] handle".
            if self
                .pieces(PieceKind::Element)
                .into_iter()
                .any(|i| i > index && self.noun(i).tokens.start <= piece.tokens.start)
            {
                continue;
            }
            let before = piece.tokens.end <= at;
            let gap = if before {
                at - piece.tokens.end
            } else {
                piece.tokens.start.saturating_sub(defect.tokens.end)
            };
            let boundaries = here.abs_diff(self.clause_of(piece.tokens.start));
            let mut score = BASE
                - PER_TOKEN * gap.min(FAR) as f32
                - PER_CLAUSE * boundaries.min(1) as f32
                - FURTHER * boundaries.saturating_sub(1) as f32;
            // "The radiator on the back wall, well, it's on the skew".
            if before && pronoun && boundaries > 0 {
                score += 0.5 * PRONOUN;
            }
            // "It hits the switch, there's no stop": what is absent is named after *no*.
            let elsewhere = before && boundaries > 0;
            if elsewhere && wants_object(self.tokens(), defect) && self.says_no(defect) {
                continue;
            }
            let within = self.in_phrase(&noun) && !self.measured_on(&noun);
            // "Somebody walked on the insulation and squashed *it*".
            if before && within && takes_up {
                score += PRONOUN;
            }
            // "A thousand and twenty above the floor": what it is measured from is not at fault.
            let figured = before && defect.term.is_none() && defect.text.contains("too ");
            if figured && (within || self.of_the_requirement(&piece.tokens, at)) {
                continue;
            }
            if before && within {
                score -= IN_PHRASE;
            }
            // "Sound, except for the grab rail, *which* isn't fixed".
            if relative && noun.tokens.end + 1 == clause.start {
                score += IN_PHRASE + PER_CLAUSE + IN_FRONT;
            }
            if before && (self.handled(&noun) || done_to && boundaries == 0) {
                score -= HANDLED;
            }
            // "Paint overspray on the window".
            if before && soiled && gap == 0 {
                continue;
            }
            // "I thought it was the door, but it's the carpet that's catching".
            if before && self.singled_out(&noun, at) {
                score += PRONOUN + IN_PHRASE;
            }
            // "The floor's a grand job, although there's a crack": of the floor.
            let but = self.sentence.clauses[here].join == Join::But;
            if before && boundaries > 0 && !but && self.praised(piece.tokens.start) {
                score -= PRAISED;
            }
            // "Extractor, isolator's on, and it's still dead": hung out in front.
            if pronoun && boundaries > 0 && self.hangs_in_front(&noun) {
                score += IN_FRONT;
            }
            // "One *loose* **tile** by the bath".
            let attributive = !before
                && gap == 0
                && boundaries == 0
                && (self.one_of_many(at) || defect.text == "wrong" || soiled)
                && !wants_object(self.tokens(), defect);
            if attributive {
                score += ATTRIBUTIVE;
            } else if !before {
                let object = wants_object(self.tokens(), defect) && boundaries == 0;
                score -= if object && gap <= 1 {
                    -AFTER - ATTRIBUTIVE
                } else if object && gap <= 4 && !self.behind_another(&noun, defect) {
                    -AFTER
                } else if within && self.tied(&noun) && boundaries == 0 && gap <= 4 {
                    0.05
                } else if self.beside(&noun) {
                    AFTER + BESIDE
                } else {
                    AFTER
                };
                if has_subject && !wants_object(self.tokens(), defect) {
                    score -= NOT_SUBJECT;
                }
            }
            if let (Some(d), Some(e)) = (defect.term, piece.term) {
                score += COMPATIBLE * (self.lexicon.befalls(d, e) - 0.5);
            }
            if piece.term.is_some_and(|t| self.lexicon.element(t).weak) {
                score -= 0.1;
            }
            if let How::SoundsLike { distance } = piece.how {
                score -= distance;
            }
            let text = match self.head_of(&noun).filter(|_| before) {
                Some(head) => format!("{} {}", noun.text, self.tokens()[head].norm),
                None => noun.text.clone(),
            };
            let element = Named {
                text,
                term: noun.term,
                how: piece.how,
                tokens: piece.tokens.clone(),
            };
            offer(
                score,
                Choice {
                    element,
                    position: noun.position.clone(),
                    here: Some(noun.tokens),
                    carried: false,
                },
            );
        }
        let own = if wants_object(self.tokens(), defect) {
            noun::object_after(
                self.tokens(),
                &self.reading.pieces,
                defect.tokens.end,
                clause.end,
            )
        } else {
            subject.or_else(|| self.object_of(defect, clause.end))
        };
        if let Some(noun) = own.filter(|n| !n.tokens.clone().any(|t| self.struck(t))) {
            let gap = if noun.tokens.end <= at {
                at - noun.tokens.end
            } else {
                noun.tokens.start.saturating_sub(defect.tokens.end)
            };
            let element = Named {
                text: noun.text.clone(),
                term: None,
                how: How::Exact,
                tokens: noun.tokens.clone(),
            };
            offer(
                OWN_WORDS - PER_TOKEN * gap as f32
                    + if wants_object(self.tokens(), defect) {
                        AFTER
                    } else {
                        0.0
                    },
                Choice {
                    element,
                    position: noun.position,
                    here: Some(noun.tokens),
                    carried: false,
                },
            );
        }

        if let Some(noun) = self
            .topic()
            .filter(|n| here > 0 && n.tokens.end <= at && !n.tokens.clone().any(|t| self.struck(t)))
        {
            let element = Named {
                text: noun.text.clone(),
                term: None,
                how: How::Exact,
                tokens: noun.tokens.clone(),
            };
            let score = OWN_WORDS - PER_CLAUSE * 0.5 + if pronoun { PRONOUN } else { 0.0 };
            offer(
                score,
                Choice {
                    element,
                    position: noun.position,
                    here: Some(noun.tokens),
                    carried: false,
                },
            );
        }
        let implied = defect.term.and_then(|t| self.lexicon.defect(t).implies);
        for inner in self
            .reading
            .elements_within(&defect.tokens)
            .iter()
            .rev()
            .filter(|e| {
                // "Has no fall": what there is none of.
                let none = (defect.tokens.start..e.tokens.start).any(|at| word(at) == "no");
                !soiled && !none
            })
            .filter(|e| {
                // "Running to the *door*": where to, not what.
                let lead = (defect.tokens.start..e.tokens.start)
                    .rev()
                    .map(|at| self.tokens()[at].norm.as_str())
                    .find(|word| class(word) != Class::Determiner);
                let where_to = matches!(lead, Some("to" | "towards" | "toward" | "into" | "from"));
                // "*Nail* pops" are the board's, not the nail's.
                let other = implied.is_some()
                    && defect
                        .term
                        .zip(e.term)
                        .is_some_and(|(d, e)| self.lexicon.befalls(d, e) < 0.5);
                !where_to && !other
            })
        {
            let element = Named::of(inner);
            offer(
                INSIDE,
                Choice {
                    element,
                    position: None,
                    here: Some(inner.tokens.clone()),
                    carried: false,
                },
            );
        }
        if let Some(implied) = implied {
            let element = Named {
                text: self.lexicon.name(implied).to_owned(),
                term: Some(implied),
                how: How::Exact,
                tokens: defect.tokens.clone(),
            };
            offer(
                IMPLIED,
                Choice {
                    element,
                    position: None,
                    here: Some(defect.tokens.clone()),
                    carried: false,
                },
            );
        }
        if let Some(last) = self.last {
            let mut score = CARRIED;
            // "There's a crack over the door": something new.
            if self.brings_in(&clause, defect) {
                score -= BROUGHT_IN;
            }
            // The sentence has a thing of its own to speak of.
            if own_topic {
                score -= PRONOUN;
            }
            if clause
                .clone()
                .take_while(|&t| t < at)
                .any(|t| self.stands_for(t))
            {
                score += PRONOUN;
            }
            if let (Some(d), Some(e)) = (defect.term, last.term) {
                score += COMPATIBLE * (self.lexicon.befalls(d, e) - 0.5);
            }
            offer(score, Choice::carried(last.clone()));
        }
        best.map(|(_, choice)| choice)
    }
}

/// *no*, *without*, *lost its*, *the handle's dented the plasterboard*: the element stands after the
/// words of the defect.
pub(crate) fn wants_object(tokens: &[Token], defect: &Piece) -> bool {
    let word = |at: Option<usize>| at.and_then(|at| tokens.get(at)).map_or("", |t| &*t.norm);
    let (first, next) = (defect.tokens.start, defect.tokens.end);
    let has = matches!(word(first.checked_sub(1)), "'s" | "has" | "have" | "'ve");
    let definite = matches!(
        word(Some(next)),
        "the" | "my" | "this" | "that" | "all" | "both"
    );
    let done_to = has && defect.tokens.len() == 1 && participle(word(Some(first))) && definite;
    // "They've not fixed the edge roll", "they bricked over the weep holes".
    let back = |by: usize| word(first.checked_sub(by));
    let somebody = |word: &str| matches!(word, "they" | "nobody" | "somebody" | "he" | "someone");
    let definite =
        definite || matches!(word(Some(next)), "a" | "an") && defect.text.starts_with("left ");
    let left = definite
        && (somebody(back(1))
            || somebody(back(2)) && matches!(back(1), "have" | "'s" | "has" | "just"))
        && next.checked_sub(1).is_some_and(|last| {
            participle(word(Some(last)))
                || matches!(word(Some(last)), "over" | "through")
                || defect.text.ends_with("left on")
        });
    // "The handle's missing its key".
    let lacks = word(Some(next)) == "its";
    done_to
        || left
        || lacks && defect.text == crate::statements::faults::MISSING
        || defect.text == crate::statements::faults::MISSING
            && !defect.tokens.is_empty()
            && matches!(
                tokens[defect.tokens.end - 1].norm.as_str(),
                "no" | "got"
                    | "without"
                    | "lacking"
                    | "lacks"
                    | "minus"
                    | "a"
                    | "any"
                    | "its"
                    | "have"
                    | "had"
                    | "of"
                    | "the"
                    | "zero"
                    | "one"
                    | "two"
                    | "three"
                    | "four"
                    | "some"
            )
}
