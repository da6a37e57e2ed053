//! What turns out to be none: denied by the next sentence, answered with no, wiped off, or put right
//! since.

use super::withdraw::STOPS;
use super::{NO_FAULT_NAMED, REACH, TAKEN_BACK, Walk, stops_short};
use crate::items::draft::Draft;
use crate::items::position;
use crate::items::scene::Scene;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, hesitation, opener, participle};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::{Clause, Join};
use std::ops::Range;

/// How many sentences later a fault may be denied by its name: *That's not a crack*.
const DENIAL_REACH: usize = 2 * REACH;

/// What marks and shadows turn out to be on a second look. Common practice, no source.
#[rustfmt::skip]
pub(super) const HARMLESS: &[&str] = &[
    "shadow", "shadows", "reflection", "cobweb", "cobwebs", "web", "spider", "dust", "hair", "pencil",
    "chalk", "film", "dirt", "muck", "crumb", "crumbs", "fluff", "lint", "leaf", "leaves", "sticker",
    "label", "toothpaste", "me", "biscuit", "egg", "wrapper", "string", "thread", "cable", "light",
    "condensation", "water", "sun", "cup", "fly", "moth", "fingerprint", "fingerprints", "glare", "fleck",
    "clay", "mud", "bottle", "mop", "mat", "angle", "slope", "grain", "pattern", "line", "weather", "blind",
    "sweat", "tea", "coffee", "paw", "glue",
];

/// The most tokens of a question that only asks on: *where?*, *is it?*
const LONGEST_ASIDE: usize = 2;

/// Words behind *no* that make the fault no less: *no, it's worse*.
#[rustfmt::skip]
const GOES_ON: &[&str] = &[
    "worse", "both", "all", "more", "every", "same", "bad", "really", "still", "another", "again", "not",
];

impl Walk<'_> {
    /// *No, that's **not a crack**, that's a hair*; *…, no, cobweb. **Nothing.***: the sentence before found
    /// a fault that is none. True if this one says so.
    pub(super) fn denies_last(&mut self, index: usize, range: &Range<usize>) -> bool {
        let reading = self.reading;
        let own = !self.kinds_in(range, PieceKind::Defect).is_empty();
        let words = |at: usize| reading.tokens[at].norm.as_str();
        // "Filter cover's missing. No, it's there."
        let found = [
            "it's there",
            "they're there",
            "there it is",
            "there they are",
            "found it",
        ];
        let said = self.text(range).replace(" are there", "'re there");
        let there = said.starts_with("no ") && found.iter().any(|f| said[3..].starts_with(f));
        let no_more = matches!(said.as_str(), "not any more" | "not anymore" | "not now");
        let last = self.drafts.last_mut();
        if let Some(draft) = last.filter(|d| (there || no_more) && index - d.sentence <= REACH)
            && (no_more || draft.defects[0].text == MISSING)
        {
            draft.withdrawn = Some(TAKEN_BACK.into());
            return true;
        }
        // "Toilet's not flushing. Oh, it is, I hadn't pressed it."
        let clause = &reading.sentences[index].clauses[0].tokens;
        let stops = STOPS.contains(&self.word(range.start));
        let is = self
            .says_it_is(clause)
            .filter(|_| stops && clause.start == range.start);
        let last = self.drafts.last_mut();
        let denies = |d: &Draft| {
            let mut said = reading.sentences[d.sentence].tokens.clone();
            said.any(|at| class(words(at)) == Class::Negation)
        };
        if let Some(draft) = last.filter(|d| d.sentence + 1 == index && is == Some(denies(d))) {
            draft.withdrawn = Some(TAKEN_BACK.into());
            return true;
        }
        // "Blob of grout. Picked off.", "Handrail, eleven hundred and five. Pass.", "Gap of three. Passes."
        let said: Vec<&str> = range.clone().map(words).filter(|w| !opener(w)).collect();
        let wiped = matches!(
            said[..],
            [
                "picked" | "wiped" | "rubbed" | "rubs" | "brushed" | "brushes" | "wipes",
                "off" | "it" | "away"
            ] | ["gone"]
        );
        let passes = matches!(
            said[..],
            ["pass" | "passes" | "passed" | "enough" | "acceptable" | "fine" | "good" | "okay"]
        );
        let figure = |d: &Draft| {
            !d.measures.is_empty() && d.defects.iter().all(|f| f.text.starts_with("gap"))
                || d.reasons.iter().any(|r| r.starts_with(NO_FAULT_NAMED))
        };
        let last = self.drafts.last_mut();
        if let Some(draft) = last.filter(|d| d.sentence + 1 == index)
            && (wiped || passes && figure(draft))
        {
            draft.withdrawn = Some("found to be in order".into());
            return true;
        }
        let Some(draft) = self
            .drafts
            .last_mut()
            .filter(|d| !own && index - d.sentence <= DENIAL_REACH)
        else {
            return false;
        };
        let last_word = |text: &str| text.rsplit(' ').next().unwrap_or_default().to_owned();
        let fault = last_word(&draft.defects[0].text);
        let denied = range.clone().skip(1).any(|at| {
            let not_a = matches!(words(at), "a" | "an") && words(at - 1) == "not";
            let same = |t: usize| reading.tokens.get(t).is_some_and(|t| t.norm == fault);
            not_a && (same(at + 1) || same(at + 2))
        });
        let nothing = range
            .clone()
            .all(|at| opener(words(at)) || matches!(words(at), "nothing" | "it" | "'s" | "is"))
            && range.clone().any(|at| words(at) == "nothing")
            && draft.sentence + 1 == index
            && (reading.sentences[draft.sentence].tokens.start..range.start)
                .any(|at| words(at) == "no");
        if denied || nothing {
            draft.withdrawn = Some(TAKEN_BACK.into());
        }
        denied || nothing
    }

    /// *Boiler condensate was just dangling. **They've clipped it.***: what was wrong was put right.
    pub(super) fn put_right(&mut self, index: usize, range: &Range<usize>) {
        let first = range.clone().find(|&at| !opener(self.word(at)));
        let word = |at: usize| self.reading.tokens.get(at).map_or("", |t| t.norm.as_str());
        let done = first.is_some_and(|at| {
            matches!(word(at), "they" | "somebody" | "someone" | "he")
                && matches!(word(at + 1), "have" | "has" | "'s")
                && participle(word(at + 2))
                && matches!(word(at + 3), "it" | "them" | "that" | "those" | "this")
        });
        let reading = self.reading;
        let was = |d: &Draft| {
            let mut said = d.tokens.clone();
            said.any(|at| matches!(reading.tokens[at].norm.as_str(), "was" | "were"))
        };
        let last = self.drafts.last_mut();
        if let Some(draft) = last.filter(|d| done && d.sentence + 1 == index && was(d)) {
            draft.withdrawn = Some("put right since".into());
        }
    }

    /// *Chipped tile by the window? **No.***, *no plug chain? **It doesn't need one***: what was asked is
    /// answered.
    pub(super) fn answers_no(&mut self, index: usize, range: &Range<usize>) {
        let question = |before: &usize| self.reading.sentences[*before].question;
        let before = index.checked_sub(1).filter(question);
        // "Is it scratched? Where? No, that's the film."
        let asked = before.map(|before| {
            let short = self.reading.sentences[before].tokens.len() <= LONGEST_ASIDE;
            before
                .checked_sub(1)
                .filter(|first| short && question(first))
                .unwrap_or(before)
        });
        let first = range
            .clone()
            .find(|&at| self.word(at) == "no" || !opener(self.word(at)));
        let words: Vec<&str> = range.clone().map(|at| self.word(at)).collect();
        let clauses = &self.reading.sentences[index].clauses;
        // "Is the door catching? It isn't, that's my boot."
        let at = range.clone().find(|&at| !opener(self.word(at)));
        let it_is_not = at.is_some_and(|at| {
            let said = &words[at - range.start..];
            let denies = matches!(
                said,
                [
                    "it" | "that" | "they",
                    "is" | "are" | "does" | "do" | "has" | "'s" | "'re",
                    "not",
                    ..
                ]
            );
            denies && clauses.iter().any(|clause| clause.tokens.end == at + 3)
        });
        // "No, that's the protective film, peel it."
        let first = first.filter(|&at| self.word(at) == "no");
        let explains = first.is_some_and(|at| {
            matches!(self.word(at + 1), "that" | "it" | "they")
                && matches!(self.word(at + 2), "'s" | "is" | "'re" | "are")
        });
        let no = explains
            || (it_is_not || first.is_some()) && self.kinds_in(range, PieceKind::Defect).is_empty();
        let unneeded = words.windows(3).any(|three| {
            matches!(
                three,
                ["not", "need" | "want", "one" | "it" | "them" | "any"]
            )
        });
        if let Some(asked) = asked.filter(|_| no || unneeded) {
            for draft in self.drafts.iter_mut().filter(|d| d.sentence == asked) {
                draft.withdrawn = Some(TAKEN_BACK.into());
            }
        }
    }

    /// *Shower head limescaled already, **no, sorry, that's the protective film***: what looked like a fault
    /// is none.
    pub(super) fn turns_out_harmless(&self, scene: &Scene<'_>) -> bool {
        let end = scene.sentence.tokens.end;
        // "…, no, that's …", and where no comma is heard before it: "wet, hmm, no, that's …".
        let bare = |c: &Clause| {
            let first = c.tokens.clone().find(|&at| !hesitation(self.word(at)));
            let opens = first.filter(|&at| c.join != Join::Start && self.word(at) == "no");
            let last = c.tokens.end - 1;
            opens.or((c.tokens.len() > 1 && self.word(last) == "no").then_some(last))
        };
        let denied = || {
            let clauses = scene.sentence.clauses.iter();
            clauses.filter_map(|c| Some((bare(c)?, c)))
        };
        // "No chirp, no light", "no light on the landing": what is missing.
        let lists = denied().filter(|(no, c)| c.tokens.end > no + 1).count() > 1;
        denied().any(|(no, clause)| {
            let only = |word: &str| matches!(word, "just" | "only" | "the" | "a" | "my");
            let said = (no..end).find(|&at| !stops_short(self.word(at)));
            // "No, **just the** light".
            let said = said.map(|at| match (at..end).find(|&at| !only(self.word(at))) {
                Some(bare) if HARMLESS.contains(&self.word(bare)) => bare,
                _ => at,
            });
            said.is_some_and(|at| {
                let piece = self.reading.piece_at(at).map(|piece| piece.kind);
                let thing = matches!(piece, Some(PieceKind::Element | PieceKind::Defect));
                let lacks = at == no + 1 && clause.tokens.contains(&at);
                !(lacks && (thing || lists)) && self.is_harmless(scene, at)
            })
        })
    }

    /// True where what is said from `at` on, behind a bare *no*, tells what it is instead: ***it's the
    /// wedge***, *missing, no, **in the oven***.
    fn is_harmless(&self, scene: &Scene<'_>, at: usize) -> bool {
        let rest = at..scene.sentence.tokens.end;
        let clause = at..scene.clause(at).end;
        let word = |by: usize| {
            if at + by < rest.end {
                self.word(at + by)
            } else {
                ""
            }
        };
        // "No, I had the level upside down", "no, the straight edge was on a lump".
        let nothing_wrong = self.kinds_in(&rest, PieceKind::Defect).is_empty();
        let own_slip = word(0) == "i"
            && matches!(word(1), "'d" | "had" | "was")
            && !matches!(word(2), "not" | "right");
        let tool = self.phrase(&clause, "instrument").is_some()
            && clause
                .clone()
                .any(|at| matches!(self.word(at), "was" | "'s" | "is"));
        if own_slip || tool {
            return true;
        }
        let is = matches!(word(0), "it" | "that" | "they" | "those")
            && clause.len() > 2
            && matches!(word(1), "'s" | "is" | "are" | "was" | "'re");
        let says = |words: &[&str]| rest.clone().any(|at| words.contains(&self.word(at)));
        let named = clause.clone().any(|at| HARMLESS.contains(&self.word(at)));
        // "Looks short, no, shadow off the blind", "stuck, no, freed itself".
        let bare = HARMLESS.contains(&word(0)) || matches!((word(0), word(1)), ("freed", "itself"));
        if bare && nothing_wrong {
            return true;
        }
        let corrects = [
            PieceKind::Defect,
            PieceKind::Measure,
            PieceKind::Count,
            PieceKind::Place,
            PieceKind::Element,
        ];
        let nothing_else = corrects
            .iter()
            .all(|&kind| self.kinds_in(&rest, kind).is_empty())
            && position::of_words(&self.reading.tokens, rest.clone()).is_none()
            && !says(GOES_ON);
        let missing = self
            .kinds_in(&(scene.from..at), PieceKind::Defect)
            .last()
            .is_some_and(|&i| self.reading.pieces[i].text == MISSING);
        let found = matches!(
            word(0),
            "in" | "on" | "under" | "behind" | "there" | "here" | "found"
        );
        let not = clause.clone().any(|at| self.word(at) == "not");
        is && !not && (named || nothing_else) || missing && found
    }
}
