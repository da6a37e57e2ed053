//! Items like earlier ones: *same again on the other window*, *ditto the bead*.

use super::Walk;
use crate::items::draft::{Draft, Named};
use crate::items::position;
use crate::items::scene::Scene;
use crate::lexicon::Kind;
use crate::score::{Costs, distance};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place;
use std::ops::Range;

/// Letters that may differ between a misheard word and the name it repeats.
const LETTERS_APART: u64 = 1;

impl Walk<'_> {
    /// *Same again on the other window*: a new item like an earlier one.
    pub(super) fn repeat(&mut self, index: usize, scene: &Scene<'_>, again: &Range<usize>) {
        let rest = again.end.min(scene.sentence.tokens.end)..scene.sentence.tokens.end;
        // "And the last one, ditto, no, I tell a lie, that's got all its screws."
        let retracted = self.phrase(&rest, "correction").is_some_and(|i| {
            let after = self.reading.pieces[i].tokens.end..rest.end;
            self.phrase(&after, "positive").is_some()
        });
        if retracted {
            return;
        }
        let before = scene.from..again.start;
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
        let element = find(&rest).or_else(|| {
            if self.drafts.last().is_some_and(|d| d.sentence == index) {
                None
            } else {
                find(&before)
            }
        });
        let named_place = self
            .reading
            .within(&rest)
            .find(|&i| self.reading.pieces[i].kind == PieceKind::Place)
            .map(|i| place::identity(self.lexicon, &self.reading.pieces[i]));
        // "Same again in the lounge", "in bedroom two and bedroom three": where nothing is listed yet,
        // that is where it is.
        let mut going: Vec<Piece> = Vec::new();
        for place in self.reading.places_within(&rest) {
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
            !self
                .drafts
                .iter()
                .any(|d| self.places.identities[d.place] == identity)
        });
        let said_defects = self.kinds_in(&scene.sentence.tokens, PieceKind::Defect);
        // "Ditto the beard": an unknown word may be the misheard name of an earlier item's element.
        let unknown = element
            .is_none()
            .then(|| {
                noun::object_after(
                    &self.reading.tokens,
                    &self.reading.pieces,
                    again.end.min(rest.end),
                    rest.end,
                )
            })
            .flatten();
        let likeness = |draft: &Draft| -> f32 {
            let mut score = 0.0;
            if unknown
                .as_ref()
                .is_some_and(|n| sounds_near(&n.text, &draft.element.text))
            {
                score += 1.0;
            }
            if named_place
                .as_ref()
                .is_some_and(|p| self.places.identities[draft.place] == *p)
            {
                score += 2.0;
            }
            if let Some((_, noun)) = &element {
                let shares = |a: &str, b: &str| {
                    a.split(' ').any(|w| {
                        w.len() > 2
                            && b.split(' ')
                                .any(|v| v.trim_end_matches('s') == w.trim_end_matches('s'))
                    })
                };
                if noun.term.is_some() && noun.term == draft.element.term {
                    score += 2.0;
                } else if shares(&noun.text, &draft.element.text) {
                    score += 1.5;
                }
            }
            if said_defects.iter().any(|&d| {
                draft
                    .defects
                    .iter()
                    .any(|n| n.term.is_some() && n.term == self.reading.pieces[d].term)
            }) {
                score += 2.0;
            }
            score
        };
        let referent = self
            .drafts
            .iter()
            .enumerate()
            .rev()
            .filter(|(_, d)| d.withdrawn.is_none())
            .map(|(at, d)| (likeness(d), at))
            .fold(None, |best: Option<(f32, usize)>, next| {
                if best.is_none_or(|b| next.0 > b.0) {
                    Some(next)
                } else {
                    best
                }
            });
        let Some((_, at)) = referent else { return };
        let earlier = self.drafts[at].clone();
        let range = scene.clause(again.start);
        let whole = scene.from.min(range.start)..scene.sentence.tokens.end;
        // "… in the handrail **and another in the bath**".
        let behind = element
            .as_ref()
            .is_some_and(|(_, noun)| noun.tokens.start >= again.end);
        let tokens = if self.drafts.last().is_some_and(|d| d.sentence == index) {
            let from = if behind { again.start } else { range.start };
            from..scene.sentence.tokens.end
        } else {
            whole
        };
        let named = element.map(|(i, noun)| Named {
            text: noun.text,
            term: noun.term,
            how: self.reading.pieces[i].how,
            tokens: noun.tokens,
        });
        let carried = named.is_none();
        let element = named.unwrap_or(earlier.element);
        let which = tokens
            .clone()
            .find(|&t| {
                t > again.end
                    && matches!(self.word(t), "one" | "ones")
                    && class(self.word(t - 1)) != Class::Determiner
                    && class(self.word(t - 1)) != Class::Preposition
            })
            .map(|t| {
                let start = (again.start..t)
                    .rev()
                    .take_while(|&b| {
                        !matches!(
                            class(self.word(b)),
                            Class::Determiner | Class::Preposition | Class::Verb | Class::Pronoun
                        )
                    })
                    .last()
                    .unwrap_or(t);
                (start..=t)
                    .map(|b| self.word(b))
                    .collect::<Vec<_>>()
                    .join(" ")
            });
        let which = which.filter(|which| which.contains(' '));
        // "As does the one below it".
        let beside = tokens.clone().find(|&t| {
            t >= again.end
                && self.word(t) == "one"
                && matches!(
                    class(self.word(t + 1)),
                    Class::Preposition | Class::Position
                )
        });
        let beside = beside.map(|t| {
            let end = scene.clause(t).end;
            let words = (t..end).map(|at| self.word(at));
            let words: Vec<&str> = words
                .filter(|w| !matches!(*w, "as" | "well" | "too"))
                .collect();
            format!("the {}", words.join(" "))
        });
        let which = which.or(beside);
        // "Kitchen extract grille … same on the utility one": the same thing of another room.
        let of_room = which
            .as_deref()
            .filter(|_| carried)
            .and_then(|which| self.of_room(&element.text, which));
        let mut positions: Vec<String> = Vec::new();
        if of_room.is_none() {
            let said = which
                .into_iter()
                .chain(position::phrases(self.reading, &tokens, &element.tokens))
                .chain(position::of_words(&self.reading.tokens, tokens.clone()));
            for position in said {
                if !positions
                    .iter()
                    .any(|other| names_the_same(other, &position))
                {
                    positions.push(position);
                }
            }
        }
        // "Next one along, ditto"; "same on the next one".
        let along = [again, &before, &rest]
            .into_iter()
            .find(|range| carried && self.elsewhere(range))
            .map(|range| {
                let says = |&at: &usize| {
                    let word = self.word(at);
                    let light = opener(word) || class(word) == Class::Verb;
                    matches!(word, "next" | "one")
                        || !light && !matches!(word, "the" | "same" | "ditto" | "on" | "again")
                };
                let words: Vec<&str> = range.clone().filter(says).map(|at| self.word(at)).collect();
                words.join(" ")
            });
        let positions = match along {
            Some(along) if positions.is_empty() => vec![along],
            _ => positions,
        };
        let renamed = of_room.is_some();
        let element = match of_room {
            Some(text) => Named { text, ..element },
            None => element,
        };
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
        let mut positions = positions;
        positions.retain(|position| going.is_empty() || !position.starts_with("in "));
        let draft = Draft {
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
}

impl Walk<'_> {
    /// Returns the name of an element of one room for another: *kitchen extract grille* and *utility
    /// one* give *utility extract grille*; `None` where either names no room.
    fn of_room(&self, element: &str, which: &str) -> Option<String> {
        let room = |word: &str| self.lexicon.find(Kind::Place, word).is_some();
        let (own, rest) = element.split_once(' ')?;
        let other = which
            .strip_suffix(" one")
            .or_else(|| which.strip_suffix(" ones"))?;
        (room(own) && room(other)).then(|| format!("{other} {rest}"))
    }
}

/// True where two positions have a word in common that tells where: *on the left hand side*, *left hand*.
fn names_the_same(one: &str, other: &str) -> bool {
    let tells = |word: &&str| matches!(class(word), Class::Open | Class::Position);
    one.split(' ')
        .filter(tells)
        .any(|word| other.split(' ').any(|w| w == word))
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
