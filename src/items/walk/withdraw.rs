//! What the speaker takes back: *scratch that*, *oh, wait, there it goes, scrub that*.

use super::second_thoughts::LOOKS_AGAIN;
use super::{REACH, TAKEN_BACK, Walk};
use crate::items::draft::Draft;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::{Clause, Join};
use std::ops::Range;

/// Verbs that strike out an item; others (*remove*, *drop*) are work to be done.
const STRIKES_OUT: &[&str] = &["cancel", "scrap", "delete", "strike", "forget", "ignore"];

/// Those that are work to be done where they name the thing itself.
const DISPOSES: &[&str] = &["scrap", "strike"];

/// What an item is called in talk of the list: *scrap the **item** about the skirting*.
const LISTED: &[&str] = &[
    "item", "one", "bit", "entry", "note", "point", "thing", "defect", "line",
];

/// Words with which one stops before what was said is taken back. Everyday English, no source.
pub(super) const STOPS: &[&str] = &["no", "wait", "hang", "hold", "oh", "ah"];

impl Walk<'_> {
    /// ***Cancel the** skirting*, ***scrap the item about the** skirting*: returns the words of an order to strike
    /// out what is named next.
    pub(super) fn takes_back_by_name(&self, rest: &Range<usize>) -> Option<Range<usize>> {
        let at = rest.clone().find(|&at| !opener(self.word(at)))?;
        let word = |back: usize| {
            if at + back < rest.end {
                self.word(at + back)
            } else {
                ""
            }
        };
        let entry = LISTED.contains(&word(2)) || matches!(word(1), "item" | "what");
        // "Scrap the worktop" is work to be done.
        let orders = STRIKES_OUT.contains(&word(0))
            && matches!(word(1), "the" | "that" | "item" | "what")
            && (entry || !DISPOSES.contains(&word(0)))
            && !word(2).is_empty();
        let listed = |&i: &usize| {
            let term = self.reading.pieces[i].term;
            self.drafts
                .iter()
                .any(|d| term.is_some() && d.element.term == term)
        };
        let named = self.kinds_in(rest, PieceKind::Element).iter().any(listed);
        (orders && named).then_some(at..at + 2)
    }

    /// ***It is**, I just hadn't pressed it*, ***it isn't***: true where a clause says that something is so, false where it
    /// says that it is not; `None` where it says anything else.
    pub(super) fn says_it_is(&self, clause: &Range<usize>) -> Option<bool> {
        let lead =
            |word: &&str| opener(word) || matches!(*word, "no" | "wait" | "hang" | "hold" | "on");
        let said = clause.clone().map(|at| self.word(at));
        let said: Vec<&str> = said.skip_while(lead).collect();
        let (is, behind) = match said[..] {
            [
                "it" | "that" | "they",
                "is" | "'s" | "are" | "does" | "do" | "has",
                "not",
                ref behind @ ..,
            ] => (false, behind),
            [
                "it" | "that" | "there",
                "is" | "does" | "has" | "will",
                ref behind @ ..,
            ]
            | ["they", "are" | "do" | "have" | "will", ref behind @ ..] => (true, behind),
            _ => return None,
        };
        let ends = match behind {
            [] => true,
            [next, ..] => matches!(
                *next,
                "i" | "it" | "you" | "just" | "look" | "now" | "after"
            ),
        };
        ends.then_some(is)
    }

    /// *Oh, wait, there it goes. **Scrub that.***: work to be done, but for the doubt before it.
    pub(super) fn takes_off_in_doubt(&self, index: usize) -> Option<Range<usize>> {
        let clauses = &self.reading.sentences[index].clauses;
        let last = clauses.last()?.tokens.clone();
        let at = last.clone().find(|&at| !opener(self.word(at)))?;
        let said: Vec<&str> = (at..last.end).map(|at| self.word(at)).collect();
        let off = matches!(
            said[..],
            ["scrub", "that" | "it" | "this"] | ["take", "that" | "it" | "this", "off"]
        );
        let fault = self
            .drafts
            .last()
            .map_or(0, |last| last.defects[0].tokens.end);
        let since = self.reading.sentences[index.saturating_sub(1)]
            .tokens
            .start
            .max(fault);
        let doubted = (since..at).any(|t| STOPS.contains(&self.word(t)));
        (off && doubted).then_some(at..last.end)
    }

    /// True where nothing of the building is named in a stretch.
    fn names_nothing(&self, range: &Range<usize>) -> bool {
        [PieceKind::Element, PieceKind::Defect, PieceKind::Measure]
            .iter()
            .all(|&kind| self.kinds_in(range, kind).is_empty())
    }

    /// *scratch that*, *leave it*: takes back this sentence's items, or else the last one.
    pub(super) fn withdraw(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) {
        self.dismiss(scene, made_from);
        // "Cracked in here too, but no, that's a pencil mark".
        let but_no = scene.sentence.clauses.iter().any(|c| {
            c.join == Join::But && c.tokens.len() == 1 && self.word(c.tokens.start) == "no"
        });
        if but_no || self.turns_out_harmless(scene) || self.only_looked(scene) {
            // "The sink's crazed, no, that's soap, **but there is** a chip in it".
            let mut clauses = scene.sentence.clauses.iter();
            let goes_on = |c: &&Clause| {
                c.join == Join::But
                    && matches!(self.word(c.tokens.start), "there" | "it" | "they")
                    && !self.kinds_in(&c.tokens, PieceKind::Defect).is_empty()
            };
            let until = clauses
                .rfind(goes_on)
                .map_or(usize::MAX, |c| c.tokens.start);
            for draft in &mut self.drafts[made_from..] {
                if draft.defects[0].tokens.start < until {
                    draft.withdrawn = Some(TAKEN_BACK.into());
                }
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
        // "Isolator's missing. Scrub that, it's over the door."
        let it_is =
            matches!(self.word(cue.end), "it" | "they" | "there" | "that") && cue.end < rest.end;
        let named = self
            .kinds_in(&(said.start..rest.end), PieceKind::Element)
            .first()
            .filter(|_| !it_is)
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
            // Of several the one with the same position, or else the last.
            Some(term) => {
                let where_said = |d: &Draft| {
                    let words = (said.start..rest.end).map(|at| self.word(at));
                    let open = words.filter(|word| class(word) == Class::Open);
                    let mut positions = d.positions.iter().flat_map(|p| p.split(' '));
                    let open: Vec<&str> = open.collect();
                    positions.any(|word| open.contains(&word))
                };
                let drafts = self.drafts.iter().enumerate();
                let of_it = drafts.filter(|(_, d)| d.element.term == term && d.withdrawn.is_none());
                of_it
                    .max_by_key(|(at, d)| (where_said(d), *at))
                    .map(|(at, _)| at)
            }
            None if light || unchanged || self.names_nothing(&(scene.from..cue.start)) => {
                self.drafts.len().checked_sub(1).filter(|&d| {
                    let (since, about) = (self.drafts[d].sentence, self.drafts[d].element.term);
                    let asked = (since..index).any(|at| self.reading.sentences[at].question);
                    index - since <= REACH && (light || unchanged)
                        || index - since <= LOOKS_AGAIN
                            && (asked || self.doubted_since(since, index, about))
                })
            }
            None => None,
        };
        if let Some(at) = target {
            self.drafts[at].withdrawn = Some(why.into());
        }
    }
}
