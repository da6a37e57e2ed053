//! Items like earlier ones: *same again on the other window*, *ditto the bead*.

mod which;

use super::Walk;
use crate::items::draft::{Draft, Named};
use crate::items::position;
use crate::items::scene::Scene;
use crate::score::{Costs, distance};
use crate::statements::grammar::{Class, class};
use crate::statements::noun::{self, Noun};
use crate::statements::number_at;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place;
use std::ops::Range;

/// More than so many are not counted in passing.
const MOST_COUNTED: u32 = 100;

/// Letters that may differ between a misheard word and the name it repeats.
const LETTERS_APART: u64 = 1;

impl Walk<'_> {
    /// *…, so **three***, *…, **make that three***: how many it is in all.
    fn recounted(&self, clause: &Range<usize>) -> Option<u32> {
        let leads = |word: &str| {
            matches!(
                word,
                "so" | "make" | "that" | "it" | "'s" | "is" | "call" | "makes"
            )
        };
        let at = clause.clone().find(|&at| !leads(self.word(at)))?;
        let number = number_at(&self.reading.tokens, at)?;
        let whole = number.value.fract() == 0.0 && number.tokens.end == clause.end;
        (whole && number.value < f64::from(MOST_COUNTED)).then_some(number.value as u32)
    }

    /// *Same again on the other window*: a new item like an earlier one.
    pub(super) fn repeat(&mut self, index: usize, scene: &Scene<'_>, again: &Range<usize>) {
        let rest = again.end.min(scene.sentence.tokens.end)..scene.sentence.tokens.end;
        if self.is_retracted(&rest) {
            return;
        }
        let goes_on = self.drafts.last().is_some_and(|d| d.sentence == index);
        // "There's two gone, hold on, another one behind the tree, so three."
        let recount = scene
            .sentence
            .clauses
            .iter()
            .filter(|c| c.tokens.start >= again.end);
        let recount = recount.filter_map(|c| self.recounted(&c.tokens)).next();
        let another = again.clone().any(|at| self.word(at) == "another");
        if let Some(draft) = self.drafts.last_mut()
            && let Some(count) = recount.filter(|_| goes_on && another)
        {
            draft.count = Some(count);
            draft.cover(&rest);
            return;
        }
        let found = self.repeated_thing(scene, again, &rest, !goes_on);
        if found.is_none() && self.like_the_praised(index) {
            return;
        }
        let going = self.places_gone_to(&rest);
        let thing = found.as_ref().map(|(_, noun)| noun);
        let Some(at) = self.like_which(scene, again, &rest, thing) else {
            return;
        };
        let earlier = self.drafts[at].clone();
        let clause = scene.clause(again.start);
        // "… in the handrail **and another in the bath**".
        let behind = thing.is_some_and(|noun| noun.tokens.start >= again.end);
        let from = match goes_on {
            true if behind => again.start,
            true => clause.start,
            false => scene.from.min(clause.start),
        };
        let tokens = from..scene.sentence.tokens.end;
        let carried = found.is_none();
        let named = found.map(|(i, noun)| Named::with_noun(noun, self.reading.pieces[i].how));
        let mut element = named.unwrap_or(earlier.element);
        let which = self.which_one(scene, again, &tokens);
        // "Kitchen extract grille … same on the utility one": the same thing of another room.
        let of_room = which
            .as_deref()
            .filter(|_| carried)
            .and_then(|which| self.of_room(&element.text, which));
        let mut positions = match of_room {
            Some(_) => Vec::new(),
            None => self.positions(which, &tokens, &element.tokens),
        };
        if positions.is_empty() && carried {
            let before = scene.from..again.start;
            positions.extend(self.further_along([again, &before, &rest]));
        }
        let renamed = of_room.is_some();
        element.text = of_room.unwrap_or(element.text);
        let mut places: Vec<usize> = Vec::new();
        for there in &going {
            self.go_there(there);
            places.push(self.here());
        }
        if places.is_empty() {
            places.push(self.here());
            if carried && !renamed && positions.is_empty() && places[0] == earlier.place {
                return;
            }
        }
        // Where it is has become the place.
        positions.retain(|position| going.is_empty() || !position.starts_with("in "));
        let draft = Draft {
            narrowly: earlier.narrowly,
            place: places[0],
            element,
            element_carried: carried,
            defects: earlier.defects[..1].to_vec(),
            defect_carried: true,
            positions,
            count: None,
            measures: Vec::new(),
            remedies: earlier.remedies,
            trade: earlier.trade,
            hedged: false,
            watch: false,
            photo: false,
            safety: earlier.safety,
            cosmetic: earlier.cosmetic,
            remarks: Vec::new(),
            clauses: vec![tokens.clone()],
            tokens,
            sentence: index,
            withdrawn: None,
            reasons: vec!["said to be the same as an earlier item".into()],
        };
        // What comes next is not where the first one is.
        for other in self.drafts.iter_mut().filter(|d| d.sentence == index) {
            let next = |position: &String| !carried && position.ends_with(&draft.element.text);
            other.positions.retain(|position| !next(position));
        }
        let of = |place| Draft {
            place,
            ..draft.clone()
        };
        self.drafts.extend(places.into_iter().map(of));
    }

    /// *Tile trim's loose. Back bedroom's fine. Box room, **same***: as fine as what was said right before.
    fn like_the_praised(&self, index: usize) -> bool {
        let Some(before) = index.checked_sub(1) else {
            return false;
        };
        let said = &self.reading.sentences[before].tokens;
        self.phrase(said, "positive").is_some() && self.drafts.iter().all(|d| d.sentence < before)
    }

    /// *And the last one, ditto, no, I tell a lie, that's got all its screws.*
    fn is_retracted(&self, rest: &Range<usize>) -> bool {
        self.phrase(rest, "correction").is_some_and(|i| {
            let after = self.reading.pieces[i].tokens.end..rest.end;
            self.phrase(&after, "positive").is_some()
        })
    }

    /// Returns the thing that has it as well, with its piece: named behind the words that say so, or, where the
    /// sentence said nothing else yet, before them.
    fn repeated_thing(
        &self,
        scene: &Scene<'_>,
        again: &Range<usize>,
        rest: &Range<usize>,
        or_before: bool,
    ) -> Option<(usize, Noun)> {
        let acceptable = |noun: &Noun| {
            let at = scene.phrase_start(noun);
            // "On the left hand corner, same again": a part of a thing only says where.
            let part = position::A_PART.contains(&noun.text.as_str()) && scene.in_phrase(noun);
            // "Another to the left of the door".
            let side = at > scene.from + 1
                && self.word(at - 1) == "of"
                && class(self.word(at - 2)) == Class::Position;
            !part
                && !side
                && (at == scene.from
                    || class(self.word(at - 1)) != Class::Preposition
                    || matches!(
                        self.word(at - 1),
                        "with" | "on" | "to" | "for" | "of" | "round" | "around" | "in"
                    )
                    || at <= again.end)
        };
        let find = |range: &Range<usize>| {
            scene
                .pieces(PieceKind::Element)
                .into_iter()
                .filter(|&i| range.contains(&self.reading.pieces[i].tokens.start))
                .map(|i| (i, scene.noun(i)))
                .find(|(_, noun)| acceptable(noun))
        };
        let before = scene.from..again.start;
        find(rest).or_else(|| find(&before).filter(|_| or_before))
    }

    /// *Same again in the lounge*, *in bedroom two and bedroom three*: where nothing is listed yet, that is where
    /// it is.
    fn places_gone_to(&self, rest: &Range<usize>) -> Vec<Piece> {
        let mut going: Vec<Piece> = Vec::new();
        for place in self.reading.places_within(rest) {
            let at = place.tokens.start;
            let word = |back: usize| at.checked_sub(back).map_or("", |at| self.word(at));
            let inside =
                word(1) == "the" && word(2) == "in" || word(1) == "in" && place.number.is_some();
            let joined = word(1) == "and" && going.last().is_some_and(|p| p.tokens.end + 1 == at);
            if inside || joined {
                going.push(place.clone());
            }
        }
        going.retain(|place| {
            let identity = place::identity(self.lexicon, place);
            let mut listed = self.drafts.iter();
            !listed.any(|d| self.places.identities[d.place] == identity)
        });
        going
    }

    /// Returns the draft that it is like: the latest of those that most of what is said now fits.
    fn like_which(
        &self,
        scene: &Scene<'_>,
        again: &Range<usize>,
        rest: &Range<usize>,
        thing: Option<&Noun>,
    ) -> Option<usize> {
        let place = self
            .reading
            .within(rest)
            .find(|&i| self.reading.pieces[i].kind == PieceKind::Place)
            .map(|i| place::identity(self.lexicon, &self.reading.pieces[i]));
        let faults = self.kinds_in(&scene.sentence.tokens, PieceKind::Defect);
        let (tokens, pieces) = (&self.reading.tokens, &self.reading.pieces);
        // "Ditto the beard": an unknown word may be the misheard name of an earlier item's element.
        let unknown = match thing {
            None if place.is_none() => {
                noun::object_after(tokens, pieces, again.end.min(rest.end), rest.end)
            }
            _ => None,
        };
        let likeness = |draft: &Draft| -> f32 {
            let near = |noun: &Noun| sounds_near(&noun.text, &draft.element.text);
            let there = |place: &String| self.places.identities[draft.place] == *place;
            let has = |&fault: &usize| {
                let term = pieces[fault].term;
                draft
                    .defects
                    .iter()
                    .any(|n| n.term.is_some() && n.term == term)
            };
            let same = thing.map_or(0.0, |noun| {
                let same_term = noun.term.is_some() && noun.term == draft.element.term;
                match same_term {
                    true => 2.0,
                    false if shares_a_word(&noun.text, &draft.element.text) => 1.5,
                    false => 0.0,
                }
            });
            let worth = |applies: bool, worth: f32| if applies { worth } else { 0.0 };
            worth(unknown.as_ref().is_some_and(near), 1.0)
                + worth(place.as_ref().is_some_and(there), 2.0)
                + same
                + worth(faults.iter().any(has), 2.0)
        };
        let listed = self.drafts.iter().enumerate().rev();
        let listed = listed.filter(|(_, draft)| draft.withdrawn.is_none());
        let likest = listed
            .map(|(at, draft)| (likeness(draft), at))
            .reduce(|best, next| if next.0 > best.0 { next } else { best });
        likest.map(|(_, at)| at)
    }
}

/// True where two names have a word in common, in the singular or the plural.
fn shares_a_word(one: &str, other: &str) -> bool {
    let singular = |word: &str| word.trim_end_matches('s').to_owned();
    let mut long = one.split(' ').filter(|word| word.len() > 2);
    long.any(|word| other.split(' ').any(|w| singular(w) == singular(word)))
}

/// True where the last words of both differ by a letter or none.
fn sounds_near(heard: &str, name: &str) -> bool {
    let last = |text: &str| {
        text.rsplit(' ')
            .next()
            .unwrap_or_default()
            .chars()
            .collect::<Vec<_>>()
    };
    let (a, b) = (last(heard), last(name));
    a.len().min(b.len()) > 3 && distance(&a, &b, Costs::UNIT) <= LETTERS_APART
}
