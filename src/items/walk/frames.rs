//! New items: each fault of a sentence with the thing it belongs to.

use super::belongs::Belongs;
use super::{REACH, Walk};
use crate::items::pair::{Choice, Pairing, likeliest};
use crate::items::scene::Scene;
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

impl Walk<'_> {
    /// Makes items from the sentence's defects; returns true where it only added to the last item.
    pub(super) fn frames(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        again: Option<&Range<usize>>,
    ) -> bool {
        let made_from = self.drafts.len();
        let mut added = false;
        for at in scene.pieces(PieceKind::Defect) {
            let defect = &self.reading.pieces[at];
            let clause = scene.clause(defect.tokens.start);
            if defect.negated || self.set_aside(scene, &clause, defect) {
                continue;
            }
            if self.hazard(index, scene, defect, &clause) {
                added = true;
                continue;
            }
            let things = scene.things_for(defect, self.weighed.is_some());
            if let Some(weighed) = &mut self.weighed {
                let pairing = Pairing::of(self.reading, defect, &things);
                weighed.pairings.push(pairing);
            }
            let there_too = self.as_in_the_last_room(defect, &clause);
            let likeliest = likeliest(things).or_else(|| Some((there_too.clone()?, 0.0)));
            let Some((choice, of_another)) = likeliest else {
                continue;
            };
            let repeats = again.is_some_and(|a| defect.tokens.start >= a.start);
            // "The grille's lost a flap, same on the next one, too long": of the earlier thing nothing more
            // is said, but "same, no, that one's painted over".
            let earlier = again.is_some_and(|a| {
                let here = choice.here.as_ref();
                here.is_some_and(|here| here.end <= a.start) && self.pronoun(&clause).is_none()
            });
            // "I've ninety up to the damp course, and it should be one fifty, **so the paving's too high**".
            let concluded = choice.carried
                && defect.term.is_none()
                && defect.text.starts_with("too ")
                && self
                    .kinds_in(&(clause.end..scene.sentence.tokens.end), PieceKind::Defect)
                    .iter()
                    .any(|&later| {
                        let later = &self.reading.pieces[later];
                        scene.has_subject(&scene.clause(later.tokens.start), later)
                    });
            if concluded {
                continue;
            }
            let supported = there_too.is_some_and(|too| too == choice)
                || !self.unsupported(defect, &choice, &clause, repeats);
            if !supported || repeats && earlier {
                continue;
            }
            match self.belongs(index, scene, defect, &choice, &clause, made_from) {
                // A fault that is listed says enough of the thing.
                Belongs::To(_) if defect.guessed => {}
                Belongs::To(draft) => {
                    added |= draft < made_from;
                    self.also(draft, defect, &choice, &clause);
                }
                Belongs::Remark(draft) => {
                    added |= draft < made_from;
                    let draft = &mut self.drafts[draft];
                    draft.cover(&clause);
                    draft.remarks.push(clause.clone());
                }
                Belongs::Nowhere(why) => {
                    self.unused.extend(why.map(|w| (clause.clone(), w.into())));
                }
                Belongs::Itself(more_of_it) => {
                    if self.place != usize::MAX || self.certain(scene, defect, &choice) {
                        let things = scene.listed(defect, choice);
                        let from = self.drafts.len();
                        self.make_each(index, scene, defect, things, &clause);
                        for draft in &mut self.drafts[from..] {
                            draft.narrowly.of_another = of_another;
                            draft.narrowly.more_of_it = more_of_it;
                        }
                    }
                }
            }
        }
        added
    }

    /// Makes an item of each of the things that a fault is said of together.
    fn make_each(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        things: Vec<Choice>,
        clause: &Range<usize>,
    ) {
        let names: Vec<String> = things.iter().map(|t| t.element.text.clone()).collect();
        for thing in things {
            let host = self.host(scene, defect, &thing);
            let host = host.filter(|_| names.len() == 1);
            let own = thing.element.text.clone();
            self.make(index, scene, defect, thing, host, clause);
            // "Scratches on the hob and the sink": one is not on the other.
            let other = |position: &String| {
                let mut others = names.iter().filter(|name| **name != own);
                others.any(|name| position.ends_with(name.as_str()))
            };
            if let Some(draft) = self.drafts.last_mut() {
                draft.positions.retain(|position| !other(position));
            }
        }
    }

    /// *The window's jammed. Middle bedroom. **That's jammed too.***: of what the last item is, in another room.
    fn as_in_the_last_room(&self, defect: &Piece, clause: &Range<usize>) -> Option<Choice> {
        let last = self.drafts.last()?;
        let elsewhere = last.place != self.place && self.just_told(defect);
        (elsewhere && self.pronoun(clause).is_some()).then(|| Choice::carried(last.element.clone()))
    }

    /// *That's a trip hazard*: says how much the last item matters. True if it did.
    pub(super) fn hazard(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        clause: &Range<usize>,
    ) -> bool {
        if !defect.text.ends_with("hazard") && !defect.text.ends_with("risk") {
            return false;
        }
        let own_thing = scene.has_subject(clause, defect);
        let last = self.drafts.last_mut();
        match last.filter(|d| !own_thing && index - d.sentence <= REACH) {
            Some(draft) => {
                draft.safety = true;
                draft.cover(clause);
                true
            }
            None => false,
        }
    }
}
