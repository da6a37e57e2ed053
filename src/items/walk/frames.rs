//! New items: each fault of a sentence with the thing it belongs to.

use super::belongs::Belongs;
use super::{REACH, Walk};
use crate::items::pair::{Pairing, likeliest};
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
            let Some(choice) = likeliest(things) else {
                continue;
            };
            let repeats = again.is_some_and(|a| defect.tokens.start >= a.start);
            // "The grille's lost a flap, same on the next one, too long": of the earlier thing nothing more
            // is said, but "same, no, that one's painted over".
            let earlier = again.is_some_and(|a| {
                let here = choice.here.as_ref();
                here.is_some_and(|here| here.end <= a.start) && self.pronoun(&clause).is_none()
            });
            if self.unsupported(defect, &choice, &clause, repeats) || repeats && earlier {
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
                Belongs::Itself => {
                    if self.place != usize::MAX || self.certain(scene, defect, &choice) {
                        let things = scene.listed(defect, choice);
                        let alone = things.len() == 1;
                        for thing in things {
                            let host = self.host(scene, defect, &thing).filter(|_| alone);
                            self.make(index, scene, defect, thing, host, &clause);
                        }
                    }
                }
            }
        }
        added
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
