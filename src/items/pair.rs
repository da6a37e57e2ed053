//! Which element a defect belongs to: every element of the sentence, the words before the defect,
//! and what was spoken of last are candidates; the likeliest wins.
//!
//! What speaks for each is told as signs: where it stands, behind which word, how well fault and
//! thing go together. A conditional logit weighs them (`models/pairing.toml`, fitted by
//! `examples/pairing` to walk-rounds and sentences of which the thing is known).

mod fault;
mod signs;
mod weights;

use super::draft::Named;
use super::scene::Scene;
use crate::lexicon::{How, Token};
use crate::statements::grammar::{Class, class, participle};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::reading::Reading;
use crate::statements::sentence::Join;
use fault::Fault;
use std::ops::Range;
pub(crate) use weights::Signs;

/// Tokens beyond which distance no longer counts.
const FAR: usize = 5;

/// How well a fault goes with the thing that its own word implies, as for one that its entry names.
const GOES_WITH_IMPLIED: f32 = 0.5;

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

    /// Returns what the speaker's own words name.
    fn own(noun: Noun) -> Choice {
        Choice {
            element: Named {
                text: noun.text,
                term: None,
                how: How::Exact,
                tokens: noun.tokens.clone(),
            },
            position: noun.position,
            here: Some(noun.tokens),
            carried: false,
        }
    }

    /// Returns a thing that stands for itself at `here`.
    fn alone(element: Named, here: Range<usize>) -> Choice {
        Choice {
            element,
            position: None,
            here: Some(here),
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

/// A fault with what it may be of, for whoever fits the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairing {
    /// The fault, as the list shows it.
    pub fault: String,
    /// Index of its first word in the transcript.
    pub word: usize,
    /// The name of each thing, and its signs with their values.
    pub things: Vec<(String, Vec<(String, f32)>)>,
}

impl Pairing {
    pub(crate) fn of(reading: &Reading, defect: &Piece, things: &[(Signs, Choice)]) -> Pairing {
        Pairing {
            fault: defect.text.clone(),
            word: reading.tokens[defect.tokens.start].word,
            things: things
                .iter()
                .map(|(signs, choice)| (choice.element.text.clone(), signs.kept().to_vec()))
                .collect(),
        }
    }
}

impl Scene<'_> {
    /// Returns what the defect piece may be of, each with what speaks for it; nothing where nothing fits.
    pub(crate) fn things_for(&self, defect: &Piece, kept: bool) -> Vec<(Signs, Choice)> {
        let fault = Fault::of(self, defect);
        let mut offers = Vec::new();
        let mut offer = |thing: Option<(Signs, Choice)>| offers.extend(thing);
        for index in self.pieces(PieceKind::Element) {
            offer(self.listed_thing(&fault, index, Signs::new(kept)));
        }
        offer(self.own_words(&fault, Signs::new(kept)));
        offer(self.spoken_of(&fault, Signs::new(kept)));
        for inner in self.reading.elements_within(&defect.tokens).iter().rev() {
            offer(self.inside(&fault, inner, Signs::new(kept)));
        }
        offer(self.implied(&fault, Signs::new(kept)));
        offer(self.carried_on(&fault, Signs::new(kept)));
        // "The door has got no **striking plate**": what is wanting is named right behind.
        let behind = |choice: &Choice| {
            let here = choice.here.as_ref();
            here.is_some_and(|here| (0..=1).contains(&(here.start as isize - defect.tokens.end as isize)))
        };
        if fault.wants_object && offers.iter().any(|(_, choice)| behind(choice)) {
            offers.retain(|(_, choice)| behind(choice));
        }
        offers
    }

    /// A thing that the lexicon lists, named in the sentence.
    fn listed_thing(
        &self,
        fault: &Fault<'_>,
        index: usize,
        mut signs: Signs,
    ) -> Option<(Signs, Choice)> {
        let Fault { defect, at, .. } = *fault;
        let piece = &self.reading.pieces[index];
        let noun = self.noun(index);
        // A modifier of a longer noun is not a thing of its own: "[door] handle".
        let modifies = |i: usize| i > index && self.noun(i).tokens.start <= piece.tokens.start;
        if self.pieces(PieceKind::Element).into_iter().any(modifies) {
            return None;
        }
        let before = piece.tokens.end <= at;
        let gap = if before {
            at - piece.tokens.end
        } else {
            piece.tokens.start.saturating_sub(defect.tokens.end)
        };
        let boundaries = fault.here.abs_diff(self.clause_of(piece.tokens.start));
        // "It hits the switch, there's no stop": what is absent is named after *no*.
        let elsewhere = before && boundaries > 0;
        if elsewhere && fault.wants_object && self.says_no(defect) {
            return None;
        }
        let within = self.in_phrase(&noun) && !self.measured_on(&noun);
        // "A thousand and twenty above the floor": what it is measured from is not at fault.
        let figured = before && defect.term.is_none() && defect.text.contains("too ");
        if figured && (within || self.of_the_requirement(&piece.tokens, at)) {
            return None;
        }
        // "Paint overspray on the window"; "the handle's put a dent in the wall": the wall has it.
        let other_has_it = fault.soiled && gap == 0 || fault.done_to && boundaries == 0;
        if before && other_has_it {
            return None;
        }
        // "It's weeping under the sink": only where.
        let where_it_is = class(self.word(piece.tokens.start)) == Class::Preposition;
        if !before && where_it_is && fault.pronoun {
            return None;
        }
        signs.has(if before { "before" } else { "after" });
        signs.has(&format!("{} {}", if before { '<' } else { '>' }, fault.form));
        signs.when(before && fault.wants_object, "before one asked for behind");
        signs.when(gap == 0 && boundaries == 0, if before { "just before" } else { "just behind" });
        if before && boundaries > 0 {
            signs.has(&format!("clauses joined by {:?}", self.sentence.clauses[fault.here].join));
        }
        let nearer = |i: usize| {
            let other = &self.reading.pieces[i].tokens;
            if before {
                piece.tokens.end <= other.start && other.end <= at
            } else {
                defect.tokens.end <= other.start && other.end <= piece.tokens.start
            }
        };
        // "First door on the left, *the hinge* is loose", "the window's *handle* is loose".
        let free = |i: usize| {
            nearer(i)
                && fault.clause.contains(&self.reading.pieces[i].tokens.start)
                && !self.in_phrase(&self.noun(i))
        };
        let passed_over = before && self.pieces(PieceKind::Element).into_iter().any(free);
        if passed_over && boundaries > 0 {
            return None;
        }
        signs.when(passed_over, "before another subject");
        let nearest = !self.pieces(PieceKind::Element).into_iter().any(nearer);
        signs.when(nearest, if before { "nearest before" } else { "nearest behind" });
        signs.of("tokens between", gap.min(FAR) as f32 / FAR as f32);
        signs.of("clause between", boundaries.min(1) as f32);
        signs.of("further clauses", boundaries.saturating_sub(1) as f32);
        // "The radiator on the back wall, well, it's on the skew".
        signs.when(before && fault.pronoun && boundaries > 0, "taken up");
        // "Somebody walked on the insulation and squashed *it*".
        signs.when(before && within && fault.takes_up, "object taken up");
        signs.when(before && within, "in phrase before");
        // "Sound, except for the grab rail, *which* isn't fixed".
        signs.when(
            fault.relative && noun.tokens.end + 1 == fault.clause.start,
            "which",
        );
        signs.when(before && self.handled(&noun), "handled");
        // "I thought it was the door, but it's the carpet that's catching".
        signs.when(before && self.singled_out(&noun, at), "singled out");
        // "The floor's a grand job, although there's a crack": of the floor.
        let but = self.sentence.clauses[fault.here].join == Join::But;
        let praised = before && boundaries > 0 && !but && self.praised(piece.tokens.start);
        signs.when(praised, "praised");
        // "Extractor, isolator's on, and it's still dead": hung out in front.
        signs.when(
            fault.pronoun && boundaries > 0 && self.hangs_in_front(&noun),
            "hangs in front",
        );
        if !before {
            self.behind(fault, &noun, gap, boundaries, &mut signs);
        }
        self.stands(fault, &noun, before, &mut signs);
        if let (Some(d), Some(e)) = (defect.term, piece.term) {
            signs.of("goes with", self.lexicon.befalls(d, e) - 0.5);
        }
        let weak = piece.term.is_some_and(|t| self.lexicon.element(t).weak);
        signs.when(weak, "everyday thing");
        if let How::SoundsLike { distance } = piece.how {
            signs.of("sounds like", distance);
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
        let choice = Choice {
            element,
            position: noun.position,
            here: Some(noun.tokens),
            carried: false,
        };
        Some((signs, choice))
    }

    /// How a thing stands that follows the words of its fault.
    fn behind(
        &self,
        fault: &Fault<'_>,
        noun: &Noun,
        gap: usize,
        boundaries: usize,
        signs: &mut Signs,
    ) {
        let object = fault.wants_object && boundaries == 0;
        // "One *loose* **tile** by the bath".
        let attributive = gap == 0
            && boundaries == 0
            && (self.one_of_many(fault.at) || fault.defect.text == "wrong" || fault.soiled)
            && !fault.wants_object;
        signs.has(if attributive {
            "attributive"
        } else if object && gap <= 1 {
            "object"
        } else if object && gap <= 4 && !self.behind_another(noun, fault.defect) {
            "object further on"
        } else if self.in_phrase(noun) && self.tied(noun) && boundaries == 0 && gap <= 4 {
            "tied"
        } else if self.beside(noun) {
            "beside"
        } else {
            "loose behind"
        });
        if !attributive && !fault.wants_object {
            signs.when(fault.has_subject, "subject before");
            signs.when(fault.subject.is_some(), "own words before");
            signs.when(fault.pronoun, "pronoun before");
        }
    }

    /// Which words a noun phrase stands between.
    fn stands(&self, fault: &Fault<'_>, noun: &Noun, before: bool, signs: &mut Signs) {
        let side = if before { '<' } else { '>' };
        let start = self.phrase_start(noun);
        let clause = self.clause(noun.tokens.start);
        let lead = start.checked_sub(1).filter(|at| *at >= clause.start);
        let lead = lead.map_or("", |at| self.word(at));
        signs.word(side, "behind", lead);
        let article = if start < noun.tokens.start { self.word(start) } else { "" };
        signs.word(side, "with", article);
        let next = match noun.tokens.end {
            end if fault.defect.tokens.contains(&end) => "fault",
            end if end >= clause.end => "",
            end => self.word(end),
        };
        signs.word(side, "followed by", next);
        signs.when(before && clause.start == start, "opens its clause");
        signs.when(clause == fault.clause, "same clause");
    }

    /// What the speaker's own words name beside the fault.
    fn own_words(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let defect = fault.defect;
        let noun = if fault.wants_object {
            noun::object_after(
                self.tokens(),
                &self.reading.pieces,
                defect.tokens.end,
                fault.clause.end,
            )
        } else {
            let subject = fault.subject.clone();
            subject.or_else(|| self.object_of(defect, fault.clause.end))
        };
        let noun = noun.filter(|n| !n.tokens.clone().any(|t| self.struck(t)))?;
        let before = noun.tokens.end <= fault.at;
        let gap = if before {
            fault.at - noun.tokens.end
        } else {
            noun.tokens.start.saturating_sub(defect.tokens.end)
        };
        signs.has("own words");
        signs.has(&format!("own words {}", fault.form));
        signs.of("own words further off", gap.min(FAR) as f32 / FAR as f32);
        signs.when(fault.wants_object, "own words as object");
        signs.when(!before && !fault.wants_object, "own words behind");
        signs.when(defect.term.is_none(), "own words for both");
        self.stands(fault, &noun, before, &mut signs);
        Some((signs, Choice::own(noun)))
    }

    /// What the sentence opens with, in the speaker's own words.
    fn spoken_of(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let noun = self.topic().filter(|n| {
            fault.here > 0
                && n.tokens.end <= fault.at
                && !n.tokens.clone().any(|t| self.struck(t))
        })?;
        signs.has("topic");
        signs.has(&format!("topic {}", fault.form));
        signs.when(fault.pronoun, "topic taken up");
        Some((signs, Choice::own(noun)))
    }

    /// A thing named by the very words of the defect: ***toilet** rocks*.
    fn inside(
        &self,
        fault: &Fault<'_>,
        inner: &Piece,
        mut signs: Signs,
    ) -> Option<(Signs, Choice)> {
        let defect = fault.defect;
        let before_it = || (defect.tokens.start..inner.tokens.start).rev();
        // "Has no fall": what there is none of.
        if fault.soiled || before_it().any(|at| self.word(at) == "no") {
            return None;
        }
        // "Running to the *door*": where to, not what.
        let lead = before_it()
            .map(|at| self.word(at))
            .find(|word| class(word) != Class::Determiner);
        if matches!(lead, Some("to" | "towards" | "toward" | "into" | "from")) {
            return None;
        }
        // "*Nail* pops" are the board's, not the nail's.
        let fits = defect
            .term
            .zip(inner.term)
            .map(|(d, e)| self.lexicon.befalls(d, e));
        if self.implied_by(defect).is_some() && fits.is_some_and(|fits| fits < 0.5) {
            return None;
        }
        signs.has("in the words of the fault");
        let (ends, opens) = (
            inner.tokens.end == defect.tokens.end,
            inner.tokens.start == defect.tokens.start,
        );
        signs.when(ends, "ends the words of the fault");
        signs.when(opens, "opens the words of the fault");
        signs.has(&format!("in the words, {}", fault.form));
        signs.of("goes with", fits.unwrap_or(0.5) - 0.5);
        Some((signs, Choice::alone(Named::of(inner), inner.tokens.clone())))
    }

    fn implied_by(&self, defect: &Piece) -> Option<crate::lexicon::TermId> {
        defect.term.and_then(|t| self.lexicon.defect(t).implies)
    }

    /// The element that the defect's own word implies.
    fn implied(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let implied = self.implied_by(fault.defect)?;
        let element = Named {
            text: self.lexicon.name(implied).to_owned(),
            term: Some(implied),
            how: How::Exact,
            tokens: fault.defect.tokens.clone(),
        };
        signs.has("implied");
        signs.of("goes with", GOES_WITH_IMPLIED);
        signs.has(&format!("implied {}", fault.form));
        signs.when(fault.has_subject, "implied behind a subject");
        Some((signs, Choice::alone(element, fault.defect.tokens.clone())))
    }

    /// What was spoken of in the sentence before.
    fn carried_on(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let last = self.last?;
        signs.has("carried");
        signs.has(&format!("carried {}", fault.form));
        // "There's a crack over the door": something new.
        signs.when(
            self.brings_in(&fault.clause, fault.defect),
            "carried over something new",
        );
        // The sentence has a thing of its own to speak of.
        signs.when(fault.own_topic, "carried over a thing");
        let stands_for = (fault.clause.start..fault.at).any(|t| self.stands_for(t));
        signs.when(stands_for, "carried and taken up");
        if let (Some(d), Some(e)) = (fault.defect.term, last.term) {
            signs.of("carried goes with", self.lexicon.befalls(d, e) - 0.5);
        }
        Some((signs, Choice::carried(last.clone())))
    }
}

/// Returns the thing that most speaks for; of equals the first.
pub(crate) fn likeliest(things: Vec<(Signs, Choice)>) -> Option<Choice> {
    let mut things = things.into_iter();
    let mut best = things.next()?;
    for thing in things {
        if thing.0.sum() > best.0.sum() {
            best = thing;
        }
    }
    Some(best.1)
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
