//! Faults that are told by what is asked for: *Parapet's a metre and thirty, wants eleven hundred,
//! **high***; *Security light's pointing at the sky. **Tip it down.*** The thing and what is said of it
//! are kept in the speaker's own words.

use super::{NO_FAULT_NAMED, Walk};
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::{How, Kind};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// The most tokens kept of what is said of a thing.
const LONGEST_SAID: usize = 8;

/// How far in sound a listed fault may be from what was said, and the least sounds that it needs.
const NEAR_IN_SOUND: f32 = 0.2;
const ENOUGH_SOUNDS: usize = 5;

/// The most tokens of a clause that only says how urgent something is.
const LONGEST_URGENCY: usize = 5;

/// Work that is ordered: *raise it*, *cut it out*. Common practice, no source.
#[rustfmt::skip]
pub(super) const ORDERS: &[&str] = &[
    "top", "fix", "refix", "raise", "lower", "move", "cut", "trim", "tip", "turn", "put", "strap", "pack", "plane", "ease",
    "adjust", "replace", "swap", "change", "fill", "seal", "reseal", "paint", "repaint", "clean", "sweep", "clear",
    "dig", "prop", "cap", "cover", "fit", "refit", "lift", "relay", "rehang", "rebalance", "balance", "bleed", "lag",
    "insulate", "sand", "polish", "snug", "tighten", "loosen", "level", "straighten", "redo", "mend", "repair",
    "renew", "reset", "reconnect", "connect", "rewire", "wire", "unblock", "rod", "jet", "caulk", "grout", "regrout",
    "screw", "nail", "glue", "bolt", "anchor", "secure", "shim", "bury", "trench", "extend", "shorten", "drop", "pull",
    "push", "get", "rip", "strip", "scrape", "scrub", "wash", "wipe", "rake", "point", "repoint", "pin", "clip",
    "label", "test", "pour", "flip", "reverse", "reposition", "take", "bring", "sort", "drain", "dry", "vent",
];

/// What is ordered to be worked on.
const IT: &[&str] = &["it", "them", "that", "those", "this", "these", "one"];

/// Words of urgency.
const URGENT: &[&str] = &[
    "high",
    "urgent",
    "safety",
    "priority",
    "dangerous",
    "low",
    "medium",
    "major",
    "serious",
];

impl Walk<'_> {
    /// Makes an item where no fault was named, but work on a thing is ordered or its urgency is told.
    pub(super) fn implied(&mut self, index: usize, scene: &Scene<'_>) {
        let rest = scene.from..scene.sentence.tokens.end;
        if self.place == usize::MAX || rest.is_empty() || self.says_otherwise(scene, &rest) {
            return;
        }
        let clauses = || {
            let within = scene
                .sentence
                .clauses
                .iter()
                .filter(|c| c.tokens.end > scene.from);
            within.map(|c| c.tokens.start.max(scene.from)..c.tokens.end)
        };
        let Some(demand) = clauses().find(|clause| self.demands(clause)) else {
            return;
        };
        let subject = scene.things().find(|(_, noun)| {
            let start = scene.phrase_start(noun);
            let opens = (scene.clause(start).start..start).all(|at| opener(self.word(at)));
            noun.tokens.end <= demand.start && !scene.in_phrase(noun) && opens
        });
        if let Some((piece, noun)) = subject {
            let said = clauses()
                .filter(|c| c.start < demand.start)
                .collect::<Vec<_>>();
            let Some(fault) = self.said_of(noun.tokens.end, &said, &demand) else {
                return;
            };
            let choice = Choice::named(&self.reading.pieces[piece], noun);
            let clause = scene.clause(fault.tokens.start);
            self.imply(index, scene, &fault, choice, &clause);
        } else if clauses().all(|clause| self.demands(&clause)) {
            self.implied_before(index, scene, &demand);
        }
    }

    /// The demand stands in a sentence of its own, behind the one that told of the thing.
    fn implied_before(&mut self, index: usize, scene: &Scene<'_>, demand: &Range<usize>) {
        let Some((last, _)) = self.last.clone().filter(|(_, said)| said + 1 == index) else {
            return;
        };
        let before = &self.reading.sentences[index - 1];
        let listed = self.drafts.last().is_some_and(|d| d.sentence + 1 >= index);
        let within = before.tokens.contains(&last.tokens.start);
        if listed || !within || before.question || self.says_otherwise(scene, &before.tokens) {
            return;
        }
        let said: Vec<_> = before.clauses.iter().map(|c| c.tokens.clone()).collect();
        let Some(fault) = self.said_of(last.tokens.end, &said, demand) else {
            return;
        };
        let choice = Choice::carried(last);
        self.imply(index, scene, &fault, choice, demand);
        if let Some(draft) = self.drafts.last_mut() {
            draft.cover(&before.tokens);
            draft.clauses.extend(said);
        }
    }

    fn imply(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        fault: &Piece,
        choice: Choice,
        clause: &Range<usize>,
    ) {
        self.make(index, scene, fault, choice, None, clause);
        if let Some(draft) = self.drafts.last_mut() {
            draft
                .reasons
                .push(format!("{NO_FAULT_NAMED}, but work was asked for"));
        }
    }

    /// True where the words praise, suppose, ask, take back or only talk.
    pub(super) fn says_otherwise(&self, scene: &Scene<'_>, range: &Range<usize>) -> bool {
        let kinds = [
            "positive",
            "hypothetical",
            "withdrawal",
            "question",
            "recap",
            "same-again",
        ];
        let others = range.clone().any(|at| self.word(at) == "people");
        let done = others
            || range
                .clone()
                .any(|at| matches!(self.word(at), "fine" | "good" | "ok" | "okay" | "list"));
        done || scene.sentence.question
            || kinds.iter().any(|kind| self.phrase(range, kind).is_some())
    }

    /// True for a clause that orders work or says how urgent something is.
    fn demands(&self, clause: &Range<usize>) -> bool {
        let light = |word: &str| {
            opener(word) && word != "level" || matches!(word, "just" | "please" | "then")
        };
        let said: Vec<usize> = clause.clone().filter(|&at| !light(self.word(at))).collect();
        let Some(&first) = said.first() else {
            return false;
        };
        let next = said.get(1).map_or("", |&at| self.word(at));
        let ordered = ORDERS.contains(&self.word(first)) && IT.contains(&next);
        let renewed = self.word(first) == "new" && said.len() <= LONGEST_URGENCY && said.len() > 1;
        let urgent = said.len() <= LONGEST_URGENCY
            && said.iter().any(|&at| URGENT.contains(&self.word(at)))
            && said.iter().all(|&at| {
                let word = self.word(at);
                URGENT.contains(&word)
                    || matches!(class(word), Class::Pronoun | Class::Verb | Class::Adverb)
                    || matches!(
                        word,
                        "flag"
                            | "call"
                            | "mark"
                            | "fire"
                            | "a"
                            | "issue"
                            | "one"
                            | "risk"
                            | "item"
                            | "fail"
                    )
            });
        ordered || renewed || urgent
    }

    /// Returns what is said of a thing that ends at `from`, as a fault; `None` where nothing is.
    fn said_of(
        &self,
        from: usize,
        clauses: &[Range<usize>],
        demand: &Range<usize>,
    ) -> Option<Piece> {
        let leads = |word: &str| matches!(class(word), Class::Verb | Class::Adverb | Class::Filler);
        let told = |range: Range<usize>| {
            let start = range.clone().find(|&at| !leads(self.word(at)))?;
            Some(start..range.end.min(start + LONGEST_SAID))
        };
        // "Boiler's in the tall cupboard, and the pressure's nought point four of a bar, so top it up".
        let topped = self.text(demand).starts_with("top it up");
        let measures = clauses
            .iter()
            .flat_map(|c| self.kinds_in(c, PieceKind::Measure));
        let bar = measures.into_iter().find(|&i| {
            let piece = &self.reading.pieces[i];
            self.reading.measurements[piece.value as usize].unit == "bar"
        });
        if let Some(bar) = bar.filter(|_| topped) {
            let figure = self.reading.pieces[bar].tokens.clone();
            return Some(Piece::own_words(
                PieceKind::Defect,
                figure,
                "pressure too low".into(),
            ));
        }
        let own = clauses.iter().find(|c| c.contains(&(from - 1)))?;
        let said = told(from..own.end)
            .filter(|said| !said.is_empty())
            .or_else(|| {
                // "Stop tap chamber, I can't lift the lid, it's been tarmacked in."
                let later = clauses.iter().filter(|c| c.start >= own.end);
                let of_it = later
                    .rev()
                    .filter(|c| matches!(self.word(c.start), "it" | "they" | "that"));
                of_it.filter_map(|c| told(c.start + 1..c.end)).next()
            })?;
        // "This lid's your fire barrier, so it's high": what it is. "Caulk won't do, refix it": what it is not.
        let is = class(self.word(said.start)) == Class::Determiner;
        if is || self.text(&said) == "not do" {
            return None;
        }
        let figure = clauses
            .iter()
            .any(|c| !self.kinds_in(c, PieceKind::Measure).is_empty());
        let ordered = demand.clone().map(|at| self.word(at)).collect::<Vec<_>>();
        if let Some(fault) = self.nearest_fault(&said) {
            return Some(fault);
        }
        let text = match (figure, &ordered[..]) {
            (true, [.., "top", "it", "up"]) => "too shallow".to_owned(),
            (true, words) if words.contains(&"raise") || words.ends_with(&["it", "up"]) => {
                "too low".to_owned()
            }
            (true, words) if words.contains(&"lower") || words.ends_with(&["it", "down"]) => {
                "too high".to_owned()
            }
            _ => self.text(&said),
        };
        Some(Piece::own_words(PieceKind::Defect, said, text))
    }

    /// *falls **boot** to the house*: the fault that the words are near to in sound.
    fn nearest_fault(&self, said: &Range<usize>) -> Option<Piece> {
        let tokens = &self.reading.tokens;
        let ends = (said.start + 1..=said.end).rev();
        let near = ends.filter_map(|end| {
            let words = said.start..end;
            // "Nought point five" is a figure.
            let figure = words
                .clone()
                .any(|at| class(self.word(at)) == Class::Number);
            if figure {
                return None;
            }
            let rivals = self.lexicon.rivals(&tokens[words.clone()], &[Kind::Defect]);
            let rival = rivals.into_iter().next()?;
            let sure = rival.distance <= NEAR_IN_SOUND && rival.sounds >= ENOUGH_SOUNDS;
            sure.then_some((words, rival))
        });
        let (words, rival) = near.min_by(|a, b| a.1.distance.total_cmp(&b.1.distance))?;
        Some(Piece {
            term: Some(rival.term),
            how: How::SoundsLike {
                distance: rival.distance,
            },
            ..Piece::own_words(PieceKind::Defect, words, rival.text)
        })
    }
}
