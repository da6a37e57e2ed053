//! What the speaker takes back or corrects, in the same sentence or the next.

use super::second_thoughts::LOOKS_AGAIN;
use super::{REACH, TAKEN_BACK, Walk};
use crate::items::draft::{Draft, Named};
use crate::items::position;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::number_at;
use crate::statements::piece::PieceKind;
use crate::statements::place;
use crate::statements::sentence::{Clause, Join, Sentence};
use std::ops::Range;

/// Verbs that strike out an item; others (*remove*, *drop*) are work to be done.
const STRIKES_OUT: &[&str] = &["cancel", "scrap", "delete", "strike", "forget", "ignore"];

/// Words with which one stops before what was said is taken back. Everyday English, no source.
const STOPS: &[&str] = &["no", "wait", "hang", "hold", "oh", "ah"];

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
        let place = self.kinds_in(range, PieceKind::Place);
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
        let named_place = place
            .last()
            .map(|&p| place::identity(self.lexicon, &reading.pieces[p]));
        let target = named_place.and_then(|name| self.identities.iter().position(|p| *p == name));
        let Some(draft) = self.drafts.last_mut() else {
            return false;
        };
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
        if let Some(at) = target {
            draft.place = at;
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
        draft.element = Named {
            text: noun.text,
            term: noun.term,
            how,
            tokens: noun.tokens,
        };
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
                    struck.push(self.reading.pieces[old].tokens.clone());
                }
            }
            if position::of_words(&self.reading.tokens, after.clone()).is_some()
                && let Some(old) = position::last_words(&self.reading.tokens, before)
            {
                struck.push(old);
            }
        }
        struck
    }

    /// *…, call it two mil, and that's within what I'd allow, so pass*: a later clause without an
    /// element of its own that finds it in order takes back what stands before it.
    pub(super) fn dismiss(&mut self, scene: &Scene<'_>, made_from: usize) {
        for clause in &scene.sentence.clauses {
            let range = clause.tokens.start.max(scene.from)..clause.tokens.end;
            let names = self.kinds_in(&range, PieceKind::Element);
            let verdict = range.clone().any(|t| {
                matches!(
                    self.word(t),
                    "that"
                        | "it"
                        | "this"
                        | "so"
                        | "they"
                        | "pass"
                        | "passes"
                        | "within"
                        | "happy"
                        | "fine"
                        | "okay"
                        | "ok"
                        | "allowable"
                        | "acceptable"
                        | "tolerable"
                )
            });
            // "One's loose, the other one's fine".
            if self.elsewhere(&range) {
                continue;
            }
            // "And it was fine in March": it is not now.
            let was = range
                .clone()
                .any(|t| matches!(self.word(t), "was" | "were"));
            let fine =
                self.phrase(&range, "positive").is_some() && names.is_empty() && verdict && !was;
            let last = clause.tokens.end == scene.sentence.tokens.end;
            let no = last
                && range.len() == 1
                && matches!(
                    self.word(range.start),
                    "no" | "pass" | "passes" | "fine" | "okay" | "nothing"
                )
                && clause.join != Join::Start
                && !(self.word(range.start) == "nothing" && self.bare_before(scene, range.start));
            if !(fine || no) || !self.kinds_in(&range, PieceKind::Defect).is_empty() {
                continue;
            }
            for draft in &mut self.drafts[made_from..] {
                if draft.tokens.end <= range.start + 1 {
                    draft.withdrawn = Some("found to be in order".into());
                }
            }
        }
    }

    /// ***Cancel the** skirting*: returns the words of an order to strike out what is named next.
    fn takes_back_by_name(&self, rest: &Range<usize>) -> Option<Range<usize>> {
        let at = rest.clone().find(|&at| !opener(self.word(at)))?;
        let orders = STRIKES_OUT.contains(&self.word(at))
            && at + 2 < rest.end
            && matches!(self.word(at + 1), "the" | "that" | "item" | "what");
        let listed = |&i: &usize| {
            let term = self.reading.pieces[i].term;
            self.drafts
                .iter()
                .any(|d| term.is_some() && d.element.term == term)
        };
        let named = self.kinds_in(rest, PieceKind::Element).iter().any(listed);
        (orders && named).then_some(at..at + 2)
    }

    /// *Threshold **looked** high to me, **but** it's ninety*, *not flushing, **oh, it is***: how it seemed.
    fn only_looked(&self, scene: &Scene<'_>) -> bool {
        let clauses = &scene.sentence.clauses;
        let fault = |range: &Range<usize>| !self.kinds_in(range, PieceKind::Defect).is_empty();
        let seemed = |c: &Clause| {
            let looked = c.tokens.clone().any(|at| {
                matches!(self.word(at), "looked" | "seemed" | "felt") && at + 1 < c.tokens.end
            });
            looked && fault(&c.tokens)
        };
        let but = clauses
            .windows(2)
            .any(|two| seemed(&two[0]) && two[1].join == Join::But && !fault(&two[1].tokens));
        let after_all = clauses.iter().skip(1).any(|c| {
            let said = c.tokens.clone().map(|at| self.word(at));
            let said: Vec<&str> = said.skip_while(|word| opener(word)).collect();
            let is = matches!(
                said[..],
                ["it" | "that", "is" | "does" | "has" | "will"]
                    | ["they", "are" | "do" | "have" | "will"]
            );
            let denied =
                (scene.from..c.tokens.start).any(|at| class(self.word(at)) == Class::Negation);
            let oh = c
                .tokens
                .start
                .checked_sub(1)
                .is_some_and(|at| STOPS.contains(&self.word(at)))
                || c.tokens.clone().any(|at| STOPS.contains(&self.word(at)));
            is && denied && oh
        });
        but || after_all
    }

    /// *Oh, wait, there it goes. **Scrub that.***: work to be done, but for the doubt before it.
    fn takes_off_in_doubt(&self, index: usize) -> Option<Range<usize>> {
        let clauses = &self.reading.sentences[index].clauses;
        let last = clauses.last()?.tokens.clone();
        let at = last.clone().find(|&at| !opener(self.word(at)))?;
        let said: Vec<&str> = (at..last.end).map(|at| self.word(at)).collect();
        let off = matches!(
            said[..],
            ["scrub", "that" | "it" | "this"] | ["take", "that" | "it" | "this", "off"]
        );
        let since = self.reading.sentences[index.saturating_sub(1)].tokens.start;
        let doubted = (since..at).any(|t| STOPS.contains(&self.word(t)));
        (off && doubted).then_some(at..last.end)
    }

    /// *no skim, no paint, **nothing***: the word only sums up what is missing.
    fn bare_before(&self, scene: &Scene<'_>, at: usize) -> bool {
        scene
            .sentence
            .clauses
            .iter()
            .rfind(|c| c.tokens.end <= at)
            .is_some_and(|c| matches!(self.word(c.tokens.start), "no" | "not" | "without"))
    }

    /// *scratch that*, *leave it*: takes back this sentence's items, or else the last one.
    pub(super) fn withdraw(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) {
        self.dismiss(scene, made_from);
        // "Cracked in here too, but no, that's a pencil mark".
        let but_no = scene.sentence.clauses.iter().any(|c| {
            c.join == Join::But && c.tokens.len() == 1 && self.word(c.tokens.start) == "no"
        });
        if but_no || self.turns_out_harmless(scene) || self.only_looked(scene) {
            for draft in &mut self.drafts[made_from..] {
                draft.withdrawn = Some(TAKEN_BACK.into());
            }
        }
        let rest = scene.from..scene.sentence.tokens.end;
        let Some(cue) = self
            .phrase(&rest, "withdrawal")
            .map(|i| self.reading.pieces[i].tokens.clone())
            .or_else(|| self.takes_back_by_name(&rest))
            .or_else(|| self.takes_off_in_doubt(index))
        else {
            return;
        };
        // "And the floor, four mil over two metres, fine, leave it": of the floor, which makes no item.
        let told = scene.from..cue.start;
        let own = self.phrase(&told, "positive").is_some()
            && !self.kinds_in(&told, PieceKind::Measure).is_empty();
        if own && self.word(cue.start) == "leave" && self.drafts.len() == made_from {
            return;
        }
        let why = TAKEN_BACK;
        let said = scene
            .sentence
            .clauses
            .iter()
            .find(|c| c.tokens.contains(&cue.start))
            .map_or(cue.clone(), |c| c.tokens.clone());
        if self.drafts.len() > made_from {
            // Of several the last one, which stands in the nearest clause.
            let one = matches!(self.word(cue.end - 1), "it" | "that" | "one");
            let before =
                |draft: &Draft| draft.defects[0].tokens.start < cue.start || draft.defect_carried;
            let last = self.drafts[made_from..].iter().rposition(before);
            let taken = self.drafts[made_from..].iter_mut().enumerate();
            for (at, draft) in taken {
                if before(draft) && (!one || Some(at) == last) {
                    draft.withdrawn = Some(why.into());
                }
            }
            return;
        }
        let named = self
            .kinds_in(&(said.start..rest.end), PieceKind::Element)
            .first()
            .map(|&i| self.reading.pieces[i].term);
        let light = (scene.from..cue.start)
            .all(|t| class(self.word(t)) != Class::Open || opener(self.word(t)))
            && self
                .kinds_in(&(scene.from..cue.start), PieceKind::Measure)
                .is_empty();
        // What was spoken of last is still the last item's element.
        let unchanged = match (&self.last, self.drafts.last()) {
            (Some((last, _)), Some(draft)) => {
                last.tokens == draft.element.tokens
                    && !scene
                        .pieces(PieceKind::Element)
                        .into_iter()
                        .any(|i| !scene.in_phrase(&scene.noun(i)))
            }
            _ => false,
        };
        let target = match named {
            Some(term) => self
                .drafts
                .iter()
                .rposition(|d| d.element.term == term && d.withdrawn.is_none()),
            None if light || unchanged => self.drafts.len().checked_sub(1).filter(|&d| {
                let (since, about) = (self.drafts[d].sentence, self.drafts[d].element.term);
                index - since <= REACH
                    || index - since <= LOOKS_AGAIN && self.doubted_since(since, index, about)
            }),
            None => None,
        };
        if let Some(at) = target {
            self.drafts[at].withdrawn = Some(why.into());
        }
    }
}
