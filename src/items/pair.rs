//! Which element a defect belongs to: every element of the sentence, the words before the defect,
//! and what was spoken of last are candidates; the likeliest wins.
//!
//! What speaks for each is told as signs: where it stands, behind which word, how well fault and
//! thing go together. A conditional logit weighs them (`models/pairing.toml`, fitted by
//! `examples/pairing` to walk-rounds and sentences of which the thing is known).

mod fault;
mod listed;
mod object;
mod others;
mod signs;

use super::draft::Named;
use super::scene::Scene;
use crate::lexicon::{How, Token};
use crate::statements::grammar::{Class, class, participle};
use crate::statements::noun::Noun;
use crate::statements::piece::Piece;
use crate::statements::reading::Reading;
use crate::statements::signs::{OF_PAIRING, Signs};
use fault::Fault;
pub(crate) use fault::form;
use std::ops::Range;

/// Tokens beyond which distance no longer counts.
const FAR: usize = 5;

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
            position: noun.position.clone(),
            here: Some(noun.tokens.clone()),
            element: Named::with_noun(noun, piece.how),
            carried: false,
        }
    }

    /// The same, whose item counts as said where the piece itself stands.
    pub(crate) fn at(piece: &Piece, noun: Noun) -> Choice {
        let mut choice = Choice::named(piece, noun);
        choice.element.tokens = piece.tokens.clone();
        choice
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
    pub(crate) fn alone(element: Named, here: Range<usize>) -> Choice {
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
        for thing in &fault.things {
            offer(self.listed_thing(&fault, thing, Signs::new(&OF_PAIRING, kept)));
        }
        offer(self.own_words(&fault, Signs::new(&OF_PAIRING, kept)));
        offer(self.spoken_of(&fault, Signs::new(&OF_PAIRING, kept)));
        for inner in self.reading.elements_within(&defect.tokens).iter().rev() {
            offer(self.inside(&fault, inner, Signs::new(&OF_PAIRING, kept)));
        }
        offer(self.implied(&fault, Signs::new(&OF_PAIRING, kept)));
        offer(self.carried_on(&fault, Signs::new(&OF_PAIRING, kept)));
        self.leave_to_others(&fault, &mut offers);
        // "The door has got no **striking plate**": what is wanting is named right behind.
        let behind = |choice: &Choice| {
            let here = choice.here.as_ref();
            here.is_some_and(|here| {
                (0..=1).contains(&(here.start as isize - defect.tokens.end as isize))
            })
        };
        if fault.wants_object && offers.iter().any(|(_, choice)| behind(choice)) {
            offers.retain(|(_, choice)| behind(choice));
        }
        // "***Toilet** rocks*": its own words say of what, and it is no part of what was spoken of before.
        let whole = |choice: &Choice| {
            let here = choice.here.as_ref();
            let opens = here.is_some_and(|here| {
                here.start == defect.tokens.start && here.end < defect.tokens.end
            });
            opens
                && choice.element.term.is_some_and(|term| {
                    let element = self.lexicon.element(term);
                    !element.weak && !element.by_whole && element.part_of.is_empty()
                })
        };
        if offers.iter().any(|(_, choice)| whole(choice)) {
            offers.retain(|(_, choice)| !choice.carried);
        }
        // "The ladder's cut short, **doesn't reach the floor**": what it does not reach is not at fault.
        if self.falls_short_of(defect) {
            offers.retain(|(_, choice)| !behind(choice));
        }
        offers
    }
}

/// Verbs of which a thing falls short: *doesn't **reach** the floor*. Common practice, no source.
#[rustfmt::skip]
const REACHES: &[&str] = &[
    "reach", "meet", "touch", "clear", "match", "cover", "hit", "meets", "reaches", "reaching", "meeting", "touching",
    "covering", "matching",
];

impl Scene<'_> {
    /// *doesn't reach **the** floor*: a denied verb with its object behind it.
    fn falls_short_of(&self, defect: &Piece) -> bool {
        let verb = self.word(defect.tokens.end - 1);
        let denied = [
            "does not ",
            "doesn't ",
            "will not ",
            "won't ",
            "not ",
            "do not ",
            "don't ",
        ];
        let denied = denied.iter().any(|not| defect.text.starts_with(not));
        denied
            && REACHES.contains(&verb)
            && class(self.word(defect.tokens.end)) == Class::Determiner
    }
}

/// Returns the thing that most speaks for, of equals the first, and how likely it is another one.
pub(crate) fn likeliest(things: Vec<(Signs, Choice)>) -> Option<(Choice, f64)> {
    let weighed: Vec<(f64, Choice)> = things
        .into_iter()
        .map(|(signs, choice)| (f64::from(signs.sum()), choice))
        .collect();
    let mut best = weighed.first()?;
    for thing in &weighed {
        if thing.0 > best.0 {
            best = thing;
        }
    }
    let share = |(sum, _): &&(f64, Choice)| (sum - best.0).exp();
    let another = |(_, choice): &&(f64, Choice)| choice.element.text != best.1.element.text;
    let all: f64 = weighed.iter().map(|thing| share(&thing)).sum();
    let others: f64 = weighed
        .iter()
        .filter(another)
        .map(|thing| share(&thing))
        .sum();
    Some((best.1.clone(), others / all))
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
    // "They haven't painted behind the radiator".
    let definite = definite
        || matches!(
            word(Some(next)),
            "behind" | "under" | "above" | "round" | "around"
        ) && matches!(word(Some(next + 1)), "the" | "this" | "that");
    let left = definite
        && (somebody(back(1))
            || somebody(back(2)) && matches!(back(1), "have" | "'s" | "has" | "just"))
        && next.checked_sub(1).is_some_and(|last| {
            participle(word(Some(last)))
                || matches!(word(Some(last)), "over" | "through")
                || defect.text.ends_with("left on")
        });
    // "You have to slam the door".
    let left = left || definite && defect.text.starts_with("has to be ");
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
