//! What is said without being so: supposed, asked, past, still to come, or only likely in an
//! introduction.

use super::Walk;
use super::mended::CURED;
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
use std::ops::Range;

/// How well a fault must befall an element to count before any place was named.
const LEAST_FIT: f32 = 0.5;

/// Words that alone say that what was said before them is as it should be.
#[rustfmt::skip]
const VERDICTS: &[&str] = &[
    "good", "fine", "okay", "ok", "correct", "passes", "gone", "closed", "moved", "finished", "ticked",
    "yes", "yep", "tick", "attended", "upright", "flush", "signed", "cleared",
];

fn verdict(word: &str) -> bool {
    VERDICTS.contains(&word) || CURED.contains(&word)
}

/// What things may do one day: what would come of it is no fault yet.
#[rustfmt::skip]
const GIVES_WAY: &[&str] = &[
    "lifts", "fails", "goes", "leaks", "lets", "discharges", "breaks", "blows", "bursts", "overflows", "falls", "slips", "drops",
];

/// The most tokens of what a bare *no* says.
const LONGEST_BARE: usize = 3;

impl Walk<'_> {
    /// Before any place is named, most of what is said is introduction: only a known element with a
    /// fault that befalls it counts.
    pub(super) fn certain(&self, scene: &Scene<'_>, defect: &Piece, choice: &Choice) -> bool {
        let strong = |t| !self.lexicon.element(t).weak;
        let mut named = scene.pieces(PieceKind::Element).into_iter();
        let known = named.any(|i| self.reading.pieces[i].term.is_some_and(strong))
            || choice.carried && choice.element.term.is_some_and(strong);
        let fits = match (defect.term, choice.element.term) {
            (Some(d), Some(e)) => {
                !self.lexicon.defect(d).weak && self.lexicon.befalls(d, e) >= LEAST_FIT
            }
            _ => false,
        };
        // "Retaining wall. **Crack in it.**", "the door is scratched": nothing else is said.
        let rest = scene.from..scene.sentence.tokens.end;
        let listed = |d| !self.lexicon.defect(d).weak;
        known && (fits || defect.term.is_some_and(listed) && self.says_only_that(&rest))
    }

    /// True where a stretch names a fault, a thing and where it is, and says nothing else.
    fn says_only_that(&self, rest: &Range<usize>) -> bool {
        rest.clone().all(|at| {
            let word = self.word(at);
            let named = self.reading.piece_at(at).is_some_and(|piece| {
                matches!(
                    piece.kind,
                    PieceKind::Element | PieceKind::Defect | PieceKind::Measure
                )
            });
            named
                || opener(word)
                || matches!(
                    word,
                    "is" | "are" | "'s" | "has" | "have" | "got" | "there" | "it"
                )
                || matches!(
                    class(word),
                    Class::Determiner | Class::Preposition | Class::Position | Class::Adverb
                )
        })
    }

    /// True where the clause only supposes, asks, or goes on to say that all is well.
    pub(super) fn set_aside(
        &self,
        scene: &Scene<'_>,
        clause: &Range<usize>,
        defect: &Piece,
    ) -> bool {
        // "Photo of that stopcock, wet hand in shot."
        let sentence = &scene.sentence.tokens;
        let pictured = self.phrase(sentence, "photo").is_some_and(|photo| {
            let photo = &self.reading.pieces[photo].tokens;
            let opens = (sentence.start..photo.start).all(|at| opener(self.word(at)));
            let mut said = photo.start..(photo.end + 1).min(sentence.end);
            opens && said.any(|at| self.word(at) == "of")
        });
        // "The floor's wet because I've just run the shower".
        let own_doing = (defect.tokens.end..sentence.end).any(|at| {
            self.word(at) == "because"
                && matches!(self.word(at + 1), "i" | "we")
                && (at + 2..at + 4).any(|at| matches!(self.word(at), "just" | "left"))
        });
        // "There's moss on next door's roof": but "next door's the box room".
        let word = |at: usize| self.reading.tokens.get(at).map_or("", |t| t.norm.as_str());
        let neighbours = clause.clone().any(|at| {
            [word(at), word(at + 1), word(at + 2)] == ["next", "door", "'s"]
                && clause.contains(&(at + 3))
                && class(word(at + 3)) == Class::Open
        });
        // "On a landing like this *you'd look for* loose spindles, loose handrails".
        let looked_for = self.phrase(sentence, "hypothetical").is_some_and(|phrase| {
            let words = &self.reading.pieces[phrase].tokens;
            words.end <= defect.tokens.start && self.word(words.end - 1) == "for"
        });
        // "Those windows tilt *so you can* clean the outside".
        let end = defect.tokens.end;
        let meant_to = self.word(end) == "so"
            && matches!(self.word(end + 1), "you" | "we" | "it")
            && self.word(end + 2) == "can"
            && self.word(end + 3) != "not";
        let supposed = pictured
            || meant_to
            || looked_for
            || own_doing
            || neighbours
            || self.conditional(scene, clause)
            || self.of_something_else(scene, clause, defect)
            || self
                .phrase(clause, "hypothetical")
                .is_some_and(|i| self.reading.pieces[i].tokens.start < defect.tokens.start);
        // "But the alarm, where is it?"
        let sought = self.word(defect.tokens.start) == "where";
        let asked = scene.sentence.question && !sought && self.phrase_opens("question", clause);
        let fine = self.phrase(clause, "positive").is_some() || self.approved(scene, clause);
        let fine = fine && !self.excepted(&(scene.from..defect.tokens.start));
        supposed
            || asked
            || fine
            || self.praise_goes_on(scene, clause, defect)
            || self.cured(clause, defect)
            || self.no_more(scene, defect)
            || self.since(scene, clause, defect)
            || self.to_be_done(clause, defect)
            || self.foretold(clause)
            || self.past(clause, defect)
    }

    /// ***Apart from** a scratch on the worktop, all good*, *nothing to report **bar a** scuff*: what comes before the
    /// praise, or behind the word that excepts, is left out of it.
    pub(super) fn excepted(&self, before: &Range<usize>) -> bool {
        let excepts = |at: usize| {
            matches!(
                (self.word(at), self.word(at + 1)),
                ("apart", "from")
                    | ("except", "for" | "a" | "the" | "one")
                    | ("other", "than")
                    | ("bar", "a" | "the" | "one" | "that")
            )
        };
        let opens = |at: usize| {
            let praised = self.phrase(&(before.start..at), "positive").is_some();
            praised || (before.start..at).all(|at| opener(self.word(at)))
        };
        before.clone().any(|at| {
            let rest = at..before.end;
            excepts(at) && opens(at) && self.phrase(&rest, "positive").is_none()
        })
    }

    /// *Emulsion good, **no flashing***: said right behind praise, a bare *no* praises too.
    fn praise_goes_on(&self, scene: &Scene<'_>, clause: &Range<usize>, defect: &Piece) -> bool {
        let clauses = &scene.sentence.clauses;
        let mut behind = clauses.iter().filter(|c| c.tokens.start == clause.start);
        let joined = behind.any(|c| c.join == Join::Comma);
        let mut before = clauses.iter().filter(|c| c.tokens.end == clause.start);
        let praised = before.any(|c| {
            let last = self.word(c.tokens.end - 1);
            verdict(last) || self.phrase(&c.tokens, "positive").is_some()
        });
        let bare = defect.tokens.start == clause.start
            && self.word(clause.start) == "no"
            && clause.len() <= LONGEST_BARE;
        joined && praised && bare
    }

    /// *That **has to** come off*: what is wanted, not what is wrong.
    fn to_be_done(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let before = |back: usize| self.word_before(clause, defect.tokens.start, back);
        // "You have to slam the door" is no work to come.
        !defect.text.starts_with("has to be ")
            && before(1) == "to"
            && matches!(before(2), "has" | "have" | "needs" | "need" | "wants")
    }

    /// *The gaps are three mil, **good***: the verdict stands alone behind it. Warmer words are often
    /// meant otherwise (*scratched right across, lovely*).
    fn approved(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
        let mut after = scene.sentence.clauses.iter();
        let light = |word: &str| {
            opener(word)
                || matches!(
                    word,
                    "that"
                        | "it"
                        | "'s"
                        | "is"
                        | "been"
                        | "has"
                        | "have"
                        | "they"
                        | "now"
                        | "all"
                        | "to"
                        | "off"
                )
        };
        after
            .by_ref()
            .filter(|next| next.tokens.start >= clause.end)
            .take_while(|next| next.join != Join::But)
            .any(|next| {
                let mut said = next.tokens.clone().map(|at| self.word(at));
                let mut said = said.by_ref().filter(|word| !light(word));
                let first = said.next().unwrap_or_default();
                // "One loose, and, yep, there's a second".
                let goes_on =
                    matches!(first, "yes" | "yep") && next.tokens.end < scene.sentence.tokens.end;
                // "…, basin's got a chip, done": the speaker is done.
                let done = first == "done" && next.tokens.len() == 1;
                verdict(first) && said.next().is_none() && !goes_on && !done
            })
    }

    /// *That**'s going to** run water behind the cladding*: not so yet.
    pub(super) fn foretold(&self, clause: &Range<usize>) -> bool {
        let word = |at: usize| self.reading.tokens.get(at).map_or("", |t| t.norm.as_str());
        let people = clause
            .clone()
            .find(|&at| !opener(self.word(at)))
            .filter(|&at| {
                matches!(
                    word(at),
                    "folks"
                        | "folk"
                        | "people"
                        | "somebody"
                        | "someone"
                        | "anybody"
                        | "anyone"
                        | "kids"
                        | "children"
                )
            });
        self.pronoun(clause).or(people).is_some_and(|at| {
            word(at + 1) == "will" && word(at + 2) != "not"
                || matches!(word(at + 1), "'s" | "is" | "are")
                    && (word(at + 2) == "going" && word(at + 3) == "to" || word(at + 2) == "gonna")
        })
    }

    /// ***If** the tank leaks **it'll** come through*: supposed, and what would come of it. Not *if you
    /// press it, it moves*: that was tried.
    pub(super) fn conditional(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
        let first = |range: &Range<usize>| range.clone().find(|&at| !opener(self.word(at)));
        let supposes = |range: &Range<usize>| {
            first(range).is_some_and(|at| {
                let next = self.reading.tokens.get(at + 1).map_or("", |t| &t.norm);
                self.word(at) == "if" && !matches!(next, "you" | "i" | "we" | "anything")
            })
        };
        let mut clauses = scene.sentence.clauses.iter();
        let would_be = self.consequence(clause) && clauses.any(|c| supposes(&c.tokens));
        let opens = scene.sentence.clauses.first().map(|c| &c.tokens);
        let opens = opens.filter(|opens| supposes(opens));
        // "If that valve lifts, *it's scalding water on the floor*".
        let may_go = opens.is_some_and(|opens| {
            opens != clause && opens.clone().any(|at| GIVES_WAY.contains(&self.word(at)))
        });
        // "If a door sticks *we say* which door, we don't just say the door's bad".
        let teaches = |at: usize| {
            matches!(self.word(at), "we" | "you")
                && matches!(
                    self.word(at + 1),
                    "say" | "tell" | "write" | "list" | "note" | "call"
                )
        };
        let taught = opens.is_some() && scene.sentence.tokens.clone().any(teaches);
        supposes(clause) || would_be || taught || may_go
    }

    /// *The valve that was weeping is dry*, *it used to rub*: how it was.
    pub(super) fn past(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let before = |back: usize| self.word_before(clause, defect.tokens.start, back);
        let relative = (2..=4).any(|back| {
            matches!(before(back), "that" | "which" | "what" | "who")
                && matches!(before(back - 1), "was" | "were" | "had")
        });
        // "Bedroom three had a scratched pane": so it was on the first visit.
        let had = |back: usize| {
            before(back) == "had"
                && !matches!(before(back + 1), "have" | "has" | "'s" | "'ve" | "i" | "we")
        };
        // "Siliconed while it was empty".
        let meanwhile =
            (3..=4).any(|back| before(back) == "while" && matches!(before(1), "was" | "were"));
        let once =
            meanwhile || had(2) && matches!(before(1), "a" | "an") || had(3) && before(2) == "a";
        relative || once || before(2) == "used" && before(1) == "to"
    }

    /// Returns the pronoun that opens a clause.
    pub(super) fn pronoun(&self, clause: &Range<usize>) -> Option<usize> {
        clause
            .clone()
            .find(|&at| !opener(self.word(at)))
            .filter(|&at| {
                matches!(
                    self.word(at),
                    "it" | "they" | "that" | "this" | "these" | "those"
                )
            })
    }

    /// *that'll have the carpet soaked*: what may come of it.
    pub(super) fn consequence(&self, clause: &Range<usize>) -> bool {
        self.pronoun(clause).is_some_and(|at| {
            let next = |by: usize| self.reading.tokens.get(at + by).map_or("", |t| &t.norm);
            // "It won't lock" is a fault.
            matches!(next(1), "will" | "would" | "could" | "might" | "may") && next(2) != "not"
        })
    }
}
