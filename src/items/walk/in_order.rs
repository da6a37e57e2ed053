//! What a sentence finds in order after all: *…, that's within what I'd allow, so pass*, *it looked high to me, **but it's
//! ninety***.

use super::Walk;
use super::denial::HARMLESS;
use super::second_thoughts::SOUND;
use super::withdraw::STOPS;
use crate::items::draft::Draft;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::{Clause, Join};
use std::ops::Range;

impl Walk<'_> {
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
            // "One's loose, the other one's fine", "…, the rest are good", "it leans, pack it plumb".
            // "…, nothing's going through it".
            let none_comes = self.word(range.start) == "nothing" && range.len() > 1;
            if none_comes
                || self.elsewhere(&range)
                || self.of_the_rest(&range)
                || self.orders(&range)
            {
                continue;
            }
            // "The split's just the timber drying, that's natural, not a defect".
            let none = [
                "not a defect",
                "not a problem",
                "not an issue",
                "not a snag",
            ];
            let verdict = verdict || none.contains(&self.text(&range).as_str());
            // "And it was fine in March": it is not now.
            let was = range
                .clone()
                .any(|t| matches!(self.word(t), "was" | "were"));
            let praised = self.phrase(&range, "positive").is_some();
            let faults = self.kinds_in(&range, PieceKind::Defect);
            let fine = praised && names.is_empty() && verdict && !was;
            let fine = fine && !self.excepted(&(scene.from..range.start));
            // "The basin's rocking, no, **the basin's solid**, it's the pan".
            let sound = praised || range.clone().any(|at| SOUND.contains(&self.word(at)));
            let of_it = |draft: &Draft| {
                let same = |&i: &usize| self.reading.pieces[i].term == draft.element.term;
                draft.element.term.is_some()
                    && names.first().is_some_and(same)
                    && draft.tokens.end < range.start
                    && (draft.tokens.end..range.start).any(|at| self.word(at) == "no")
            };
            let after_all = self.drafts[made_from..].iter().position(of_it);
            if let Some(at) = after_all.filter(|_| sound && faults.is_empty()) {
                self.drafts[made_from + at].withdrawn = Some("found to be in order".into());
                continue;
            }
            // "Blocked up fireplace, as drawn."
            let meant = range.len() <= 3 && self.word(range.start) == "as";
            let fine = fine || meant && praised;
            let last = clause.tokens.end == scene.sentence.tokens.end;
            let no = last
                && range.len() == 1
                && matches!(
                    self.word(range.start),
                    "no" | "pass" | "passes" | "fine" | "okay" | "nothing"
                )
                && clause.join != Join::Start
                && !(self.word(range.start) == "nothing" && self.bare_before(scene, range.start));
            // "Tape residue on the sill, wipes off".
            let off = last
                && clause.join != Join::Start
                && matches!(
                    self.text(&range).trim_start_matches("it "),
                    "wipes off" | "brushes off" | "rubs off" | "washes off" | "polishes off"
                );
            let no = no || off;
            if !(fine || no) || !faults.is_empty() {
                continue;
            }
            for draft in &mut self.drafts[made_from..] {
                // "Doorbell, nothing": that is its fault.
                let its_own = range.contains(&draft.defects[0].tokens.start);
                if draft.tokens.end <= range.start + 1 && !its_own {
                    draft.withdrawn = Some("found to be in order".into());
                }
            }
        }
    }

    /// *…, **the others** are fine*, *…, **everything else** works*.
    fn of_the_rest(&self, range: &Range<usize>) -> bool {
        let said = range.clone().map(|at| self.word(at));
        let said: Vec<&str> = said.skip_while(|word| opener(word)).take(3).collect();
        matches!(
            said[..],
            ["the", "others" | "rest", ..]
                | ["the", "other", "two" | "three" | "four", ..]
                | ["all", "the", "others" | "rest"]
                | ["everything", "else", ..]
                | ["others" | "rest", ..]
        )
    }

    /// ***Pack it** plumb*, ***get them** level*: what is to be done.
    fn orders(&self, range: &Range<usize>) -> bool {
        let first = range.clone().find(|&at| !opener(self.word(at)));
        first.is_some_and(|at| {
            let verb = class(self.word(at)) == Class::Open || self.word(at) == "get";
            at + 2 < range.end
                && verb
                && matches!(self.word(at + 1), "it" | "them" | "that" | "those")
        })
    }

    /// *Threshold **looked** high to me, **but** it's ninety*, *not flushing, **oh, it is***: how it seemed.
    pub(super) fn only_looked(&self, scene: &Scene<'_>) -> bool {
        let clauses = &scene.sentence.clauses;
        let fault = |range: &Range<usize>| !self.kinds_in(range, PieceKind::Defect).is_empty();
        let shows = |c: &Clause, verbs: &[&str]| {
            let mut said = c.tokens.clone();
            said.any(|at| verbs.contains(&self.word(at))) && fault(&c.tokens)
        };
        let harmless = |c: &Clause| {
            let start = c.tokens.clone().find(|&at| !opener(self.word(at)));
            let it = start.is_some_and(|at| matches!(self.word(at), "it" | "that"));
            it && c.tokens.clone().any(|at| HARMLESS.contains(&self.word(at)))
        };
        let but = clauses.windows(2).any(|two| {
            let (one, next) = (&two[0], &two[1]);
            next.join == Join::But
                && shows(one, &["looked", "seemed", "felt"])
                && !fault(&next.tokens)
        });
        // "Looks patchy, but it's the light coming through the blind", "the mitre looks open, I thought so too, but it's a pencil line".
        let shown = clauses.iter().position(|c| shows(c, &["looks", "look"]));
        // "The drip beneath it, I wondered about that, but it's off my own coat".
        let wondered = clauses.iter().any(|c| {
            let said = c.tokens.clone().map(|at| self.word(at));
            let said: Vec<&str> = said.skip_while(|word| opener(word)).take(3).collect();
            matches!(
                said[..],
                ["i", "wondered", ..] | ["i", "did", "wonder"] | ["i", "thought", "so"]
            )
        });
        let my_own = |c: &Clause| {
            let its = self.word(c.tokens.start) == "it" || self.word(c.tokens.start) == "that";
            its && c.tokens.clone().any(|at| self.word(at) == "my")
        };
        let shown = shown.or(wondered.then_some(0));
        let but = but
            || shown.is_some_and(|shown| {
                let mut later = clauses[shown + 1..].iter();
                later.any(|c| c.join == Join::But && (harmless(c) || wondered && my_own(c)))
            });
        // "Toilet's not flushing, oh, it is", "handle's floppy, no, it isn't".
        let denies = |at: usize| class(self.word(at)) == Class::Negation;
        let not = |at: usize| denies(at) && self.word(at) != "no";
        let mut stops = (scene.from + 1..scene.sentence.tokens.end)
            .filter(|&at| STOPS.contains(&self.word(at)));
        let after_all = stops.any(|stop| {
            let clause = clauses.iter().find(|c| c.tokens.end > stop + 1);
            let said = clause.map(|c| stop.max(c.tokens.start)..c.tokens.end);
            match said.and_then(|said| self.says_it_is(&said)) {
                Some(true) => (scene.from..stop).any(denies),
                Some(false) => !(scene.from..stop).any(not),
                None => false,
            }
        });
        but || after_all || self.meant_so(scene)
    }

    /// *The cap lifts off, **it's meant to***: but not *it doesn't shut, and it's meant to*.
    fn meant_so(&self, scene: &Scene<'_>) -> bool {
        scene.sentence.clauses.iter().skip(1).any(|c| {
            let said = c.tokens.clone().map(|at| self.word(at));
            let said: Vec<&str> = said.skip_while(|word| opener(word)).collect();
            let meant = match said[..] {
                [
                    "it" | "they" | "that" | "you",
                    "'s" | "is" | "are" | "'re",
                    "meant" | "supposed",
                    "to",
                    ref behind @ ..,
                ] => matches!(behind, [] | ["do" | "be" | "until" | "till", ..]),
                _ => false,
            };
            let mut before = scene.from..c.tokens.start;
            meant && !before.any(|at| class(self.word(at)) == Class::Negation)
        })
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
}
