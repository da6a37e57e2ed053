//! What the speaker corrects, in the same sentence or the next.

use super::places::is_side;
use super::{REACH, TAKEN_BACK, Walk, stops_short};
use crate::items::draft::Named;
use crate::items::position;
use crate::items::scene::Scene;
use crate::lexicon::PlaceKind;
use crate::statements::grammar::{Class, class};
use crate::statements::number_at;
use crate::statements::piece::PieceKind;
use crate::statements::sentence::{Join, Sentence};
use std::ops::Range;

impl Walk<'_> {
    /// A sentence that corrects the last item: *Sorry, I mean the right hand one.* True if it was one.
    pub(super) fn correct_last(
        &mut self,
        index: usize,
        range: &Range<usize>,
        announced: bool,
    ) -> bool {
        let said_so = self.phrase_opens("correction", range);
        let opens = said_so
            || (range.len() > 1
                && self.word(range.start) == "no"
                && self.reading.sentences[index].clauses.len() > 1
                && self.kinds_in(range, PieceKind::Defect).is_empty()
                && range.len() <= 8);
        let wrong = self.kinds_in(range, PieceKind::Defect);
        let recent = self
            .drafts
            .last()
            .is_some_and(|d| index - d.sentence <= REACH && d.withdrawn.is_none());
        // "No, it's the board, the window board's squint": another thing has the fault.
        let word = |back: usize| {
            let at = range.start + back;
            (at < range.end).then(|| self.word(at))
        };
        let other_thing = word(0) == Some("no")
            && matches!(word(1), Some("it" | "that"))
            && word(2) == Some("'s")
            && word(3) == Some("the");
        let same_fault = wrong.iter().any(|&i| {
            let last = self.drafts.last().and_then(|d| d.defects[0].term);
            last.is_some() && self.reading.pieces[i].term == last
        });
        if let Some(draft) = self
            .drafts
            .last_mut()
            .filter(|_| recent && other_thing && same_fault)
        {
            draft.withdrawn = Some(TAKEN_BACK.into());
            return false;
        }
        let takes_back = self.phrase(range, "withdrawal").is_some();
        if takes_back || !(opens || announced) || !wrong.is_empty() || !recent {
            return false;
        }
        let reading = self.reading;
        // What counts is what follows the last correction: "I say left. It's the right hand one".
        let positions = position::of_words(&reading.tokens, range.clone());
        let measures = self.kinds_in(range, PieceKind::Measure);
        let counts = self.kinds_in(range, PieceKind::Count);
        let element = self.kinds_in(range, PieceKind::Element);
        let mut place = self.kinds_in(range, PieceKind::Place);
        // "Angle bead showing, left side. Sorry, **right side**": of the thing, where one is in a room.
        let inside = self.places.inside(self.place);
        place.retain(|&i| {
            let piece = &self.reading.pieces[i];
            let side = self.word(piece.tokens.end - 1) == "side";
            let elevation = piece.term.map(|term| self.lexicon.place(term).kind);
            let corner = range.clone().all(|at| is_side(self.word(at)));
            !(inside
                && (side || corner)
                && elevation == Some(PlaceKind::Elevation)
                && positions.is_some())
        });
        // "Correction, three": a bare number puts a count right.
        let recount = self.bare_number(range).filter(|_| {
            let said = [&counts, &measures, &place, &element];
            positions.is_none() && said.iter().all(|pieces| pieces.is_empty())
        });
        if let Some(count) = recount
            && opens
            && let Some(draft) = self.drafts.last_mut()
        {
            draft.count = Some(count);
            draft.cover(range);
            return true;
        }
        // "No, I tell a lie, that's got all its screws."
        let figures = !measures.is_empty() || !counts.is_empty() || !place.is_empty();
        let praised = self.phrase(range, "positive").is_some();
        // "Light's out. No, it's on a sensor, works."
        let bare = self.reading.sentences[index].clauses[0].tokens.len() == 1;
        let answers = range.len() > 1
            && matches!(self.word(range.start + 1), "it" | "that" | "they" | "those");
        let no = self.word(range.start) == "no" && wrong.is_empty() && (bare || answers);
        let fine = (said_so || no) && positions.is_none() && !figures && praised;
        if let Some(draft) = self.drafts.last_mut().filter(|_| fine) {
            draft.withdrawn = Some(TAKEN_BACK.into());
            return true;
        }
        if positions.is_none()
            && measures.is_empty()
            && counts.is_empty()
            && place.is_empty()
            && element.is_empty()
        {
            self.correcting = !announced && range.len() <= 4;
            return self.correcting;
        }
        let moved = (!place.is_empty())
            .then(|| self.moved_to(index, range))
            .flatten();
        let at = moved.map_or(self.drafts.len() - 1, |(at, _)| at);
        let draft = &mut self.drafts[at];
        // "Sorry, I mean the radiator."
        if let [thing] = element[..]
            && said_so
            && positions.is_none()
            && !figures
            && reading.pieces[thing].term != draft.element.term
        {
            let piece = &reading.pieces[thing];
            draft.element = Named::of(piece);
        }
        if let Some(position) = positions {
            draft.positions.retain(|p| !position::opposes(p, &position));
            draft.positions.push(position);
        }
        if let Some(&m) = measures.first() {
            draft.measures = vec![reading.pieces[m].value as usize];
        }
        if let Some(&c) = counts.first() {
            draft.count = Some(reading.pieces[c].value);
        }
        if let Some((_, place)) = moved {
            draft.place = place;
        }
        draft.cover(range);
        draft.clauses.push(range.clone());
        draft
            .reasons
            .push("corrected by the sentence after it".into());
        true
    }

    /// *Gap of fifteen, no, cancel that, I can't read my tape. Five mil.*: what was taken back stands
    /// again with the new figure.
    pub(super) fn measured_again(&mut self, index: usize, range: &Range<usize>) -> bool {
        let measures = self.kinds_in(range, PieceKind::Measure);
        let only = !measures.is_empty()
            && [PieceKind::Element, PieceKind::Defect]
                .iter()
                .all(|&k| self.kinds_in(range, k).is_empty());
        let Some(draft) = self
            .drafts
            .last_mut()
            .filter(|d| only && d.withdrawn.is_some() && index - d.sentence <= REACH + 1)
        else {
            return false;
        };
        draft.withdrawn = None;
        draft.measures = vec![self.reading.pieces[measures[0]].value as usize];
        draft.cover(range);
        draft.reasons.push("measured again".into());
        true
    }

    /// Returns the whole number that ends a range and stands for itself.
    fn bare_number(&self, range: &Range<usize>) -> Option<u32> {
        let number = range.clone().find_map(|at| {
            number_at(&self.reading.tokens, at).filter(|n| n.tokens.end == range.end)
        })?;
        let whole = number.value >= 1.0 && number.value.fract() == 0.0;
        whole.then_some(number.value as u32)
    }

    /// ***Not the wall, the ceiling***: the last item's element was another. True if the sentence says so.
    pub(super) fn other_element(&mut self, index: usize, scene: &Scene<'_>) -> bool {
        let start = scene.from;
        let opens = start + 1 < scene.sentence.tokens.end
            && self.word(start) == "not"
            && self.word(start + 1) == "the";
        let named = scene.pieces(PieceKind::Element);
        let ([wrong, right], true) = (&named[..], opens) else {
            return false;
        };
        let pieces = &self.reading.pieces;
        let (wrong, noun) = (pieces[*wrong].term, scene.noun(*right));
        let how = pieces[*right].how;
        let rest = start..scene.sentence.tokens.end;
        let said = self.kinds_in(&rest, PieceKind::Defect);
        let Some(draft) = self
            .drafts
            .last_mut()
            .filter(|d| said.is_empty() && index - d.sentence <= REACH && d.element.term == wrong)
        else {
            return false;
        };
        draft.element = Named::with_noun(noun, how);
        draft.cover(&rest);
        draft
            .reasons
            .push("corrected by the sentence after it".into());
        true
    }

    /// Tokens that the rest of the same sentence replaces: *right hand, no, left hand corner*.
    pub(super) fn replaced(&self, sentence: &Sentence, from: usize) -> Vec<Range<usize>> {
        let mut struck = Vec::new();
        for (at, clause) in sentence.clauses.iter().enumerate() {
            let start = clause.tokens.start.max(from);
            let bare_no = at > 0
                && self.word(clause.tokens.start) == "no"
                && clause.tokens.clone().skip(1).all(|t| {
                    matches!(
                        self.word(t),
                        "no" | "wait" | "sorry" | "hang" | "hold" | "on" | "actually"
                    )
                });
            let cue = self
                .phrase(&clause.tokens, "correction")
                .map(|i| self.reading.pieces[i].tokens.clone());
            let Some(cue) = cue
                .or(bare_no.then(|| clause.tokens.clone()))
                .filter(|c| c.start >= start && c.start > from)
            else {
                continue;
            };
            let before = from..cue.start;
            // The corrected words follow in the same clause, or in the next one or two.
            let until = sentence
                .clauses
                .get(at + 2)
                .or(sentence.clauses.last())
                .map_or(cue.end, |c| c.tokens.end);
            let after = cue.end..until;
            for kind in [
                PieceKind::Measure,
                PieceKind::Count,
                PieceKind::Defect,
                PieceKind::Place,
            ] {
                let next = self.kinds_in(&after, kind);
                let previous = self.kinds_in(&before, kind);
                if let (Some(_), Some(&old)) = (next.first(), previous.last()) {
                    let old = self.reading.pieces[old].tokens.clone();
                    // "The board's cracked, and the gully by the door, sorry, by the wall, is full": of the gully.
                    let since = old.end..cue.start;
                    let goes_on = kind == PieceKind::Defect
                        && !self.kinds_in(&since, PieceKind::Element).is_empty()
                        && sentence
                            .clauses
                            .iter()
                            .any(|c| c.join == Join::And && since.contains(&c.tokens.start));
                    // "A scratch in the pane, and no, **it doesn't** polish out".
                    let denies = kind == PieceKind::Defect
                        && matches!(self.word(after.start), "it" | "they" | "that")
                        && class(self.word(after.start + 2)) == Class::Negation;
                    struck.extend((!goes_on && !denies).then_some(old));
                }
            }
            struck.extend(self.other_thing(sentence, &before, &after));
            if position::of_words(&self.reading.tokens, after.clone()).is_some()
                && let Some(old) = position::last_words(&self.reading.tokens, before)
            {
                struck.push(old);
            }
        }
        struck
    }

    /// *A scratch on **the hob**, no, sorry, **the oven door***: returns the thing for which another one is named alone.
    fn other_thing(
        &self,
        sentence: &Sentence,
        before: &Range<usize>,
        after: &Range<usize>,
    ) -> Option<Range<usize>> {
        let light =
            |at: usize| stops_short(self.word(at)) || class(self.word(at)) == Class::Determiner;
        let thing = |range: &Range<usize>, last: bool| {
            let things = self.kinds_in(range, PieceKind::Element);
            let one = if last { things.last() } else { things.first() };
            one.map(|&at| self.reading.pieces[at].tokens.clone())
        };
        let (old, new) = (thing(before, true)?, thing(after, false)?);
        let alone = (old.end..before.end).all(light) && (after.start..new.start).all(light);
        let clause = sentence
            .clauses
            .iter()
            .find(|c| c.tokens.contains(&new.start))?;
        (alone && clause.tokens.end == new.end).then_some(old)
    }
}
