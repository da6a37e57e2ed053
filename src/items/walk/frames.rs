//! New items: each fault of a sentence with the thing it belongs to.

use super::{REACH, Walk};
use crate::items::draft::{Draft, Named};
use crate::items::pair::{Choice, Scene, wants_object};
use crate::items::position;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
use std::ops::Range;

/// How the faults begin that are told by the shape of the words alone; with an element in the
/// speaker's own words they still make an item.
const FAULT_SHAPES: &[&str] = &[
    "not ",
    "too ",
    "gap too ",
    "will not ",
    "does not ",
    "cannot ",
    "out of ",
    "full of ",
    "left ",
    "needs ",
];

/// How well a fault must befall an element to count before any place was named.
const LEAST_FIT: f32 = 0.5;

/// Below this probability of any word of its clause a thing in the speaker's own words may as well be
/// misheard.
const HEARD_WELL: f32 = 0.6;

/// How many tokens may stand between a thing and an everyday word for its fault.
const NEAR: usize = 3;

/// From so many words on a wording says enough by itself, though its fault has everyday ones too.
const FEW_WORDS: usize = 3;

/// Verbs that say that a thing lacks some work.
const WANTS: &[&str] = &[
    "needs", "need", "wants", "want", "requires", "require", "could",
];

/// The groups of things that are not meant to move.
const STANDS_STILL: &[&str] = &[
    "stair",
    "structure",
    "fence",
    "masonry",
    "cladding",
    "roof",
    "roofline",
    "trim",
    "sanitary",
    "paving",
    "leadwork",
    "render",
    "tiling",
    "floor",
    "plaster",
];

/// What becomes of a fault.
enum Belongs {
    /// It makes an item of its own.
    Itself,
    /// It says more of this item.
    To(usize),
    /// It only says what came of this item.
    Remark(usize),
    /// It makes nothing, and why where that is worth telling.
    Nowhere(Option<&'static str>),
}

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
            let Some(choice) = scene.element_for(defect) else {
                continue;
            };
            let repeats = again.is_some_and(|a| defect.tokens.start >= a.start);
            if self.unsupported(defect, &choice, &clause, repeats) {
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
    fn hazard(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        clause: &Range<usize>,
    ) -> bool {
        if !defect.text.ends_with("hazard") && !defect.text.ends_with("risk") {
            return false;
        }
        let own_thing = scene.pieces(PieceKind::Element).into_iter().any(|i| {
            let element = &self.reading.pieces[i].tokens;
            clause.contains(&element.start)
                && element.end <= defect.tokens.start
                && !scene.in_phrase(&scene.noun(i))
        });
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

    /// An everyday word is a fault only of a thing that the sentence names; and after *same again*
    /// the fault is the earlier one, unless this one has a thing of its own.
    fn unsupported(
        &self,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        repeats: bool,
    ) -> bool {
        let own_words = choice.element.term.is_none();
        let here = choice
            .here
            .as_ref()
            .is_some_and(|h| clause.contains(&h.start));
        let weak = self.weak(defect) && (choice.carried || own_words && !here);
        let absent = own_words && wants_object(&self.reading.tokens, defect);
        // The thing is told by the words of the fault alone: *same thing, won't **lock** either*.
        let implied = choice
            .here
            .as_ref()
            .is_some_and(|here| defect.tokens.start <= here.start && here.end <= defect.tokens.end);
        // A guess counts only of a listed thing that stands in the same clause.
        let loose = defect.guessed && (choice.carried || own_words || !here);
        weak || loose
            || repeats && (choice.carried || absent || implied)
            || self.steady(defect, choice)
    }

    /// *The balustrade doesn't budge*: praise of what is meant to stand still.
    fn steady(&self, defect: &Piece, choice: &Choice) -> bool {
        let still = [
            "not budge",
            "not move",
            "not shift",
            "not give",
            "not flex",
            "not moving",
        ]
        .iter()
        .any(|end| defect.text.ends_with(end));
        still
            && choice.element.term.is_some_and(|element| {
                let group = self.lexicon.element(element).group;
                STANDS_STILL.contains(&self.lexicon.group(group).name.as_str())
            })
    }

    /// *The **boot scraper**'s loose*: in words that were heard well, a thing that opens its clause, with
    /// the fault said of it outright.
    fn subject_of(&self, here: &Range<usize>, clause: &Range<usize>, defect: &Piece) -> bool {
        let opens = (clause.start..here.start)
            .all(|at| opener(self.word(at)) || class(self.word(at)) != Class::Open);
        let between = here.end..defect.tokens.start;
        let verb = between
            .clone()
            .any(|at| matches!(self.word(at), "'s" | "is" | "are" | "has" | "have" | "was"));
        let sure = clause
            .clone()
            .all(|at| self.reading.tokens[at].probability >= HEARD_WELL);
        opens && verb && between.len() <= NEAR && sure
    }

    /// True for a fault whose wording is an everyday word.
    fn weak(&self, defect: &Piece) -> bool {
        defect.tokens.len() < FEW_WORDS && defect.term.is_some_and(|t| self.lexicon.defect(t).weak)
    }

    fn belongs(
        &self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        made_from: usize,
    ) -> Belongs {
        let same = |d: &Draft| d.element.tokens == choice.element.tokens;
        let made = &self.drafts[made_from..];
        if let Some(current) = made.len().checked_sub(1) {
            if self.consequence(clause) {
                return Belongs::Nowhere(None);
            }
            if self.refers_back(scene, clause, defect) {
                return Belongs::To(made_from + current);
            }
            if self.brought_about(&made[current], defect, choice) {
                return Belongs::Remark(made_from + current);
            }
            if self.apart(&made[current], clause, defect) {
                return Belongs::Itself;
            }
            let twin = made.iter().position(same).filter(|_| choice.here.is_some());
            return match twin {
                Some(at) => Belongs::To(made_from + at),
                None if self.aside(scene, defect, choice, clause, &made[current]) => {
                    Belongs::To(made_from + current)
                }
                None => Belongs::Itself,
            };
        }
        let before = self.drafts.len().checked_sub(1);
        if let Some(last) = before.filter(|&last| self.explains(index, last, scene, defect)) {
            return Belongs::To(last);
        }
        let own_words = choice.element.term.is_none();
        // "My knee's stiff" is no part of the house.
        let somebodys = choice
            .element
            .tokens
            .start
            .checked_sub(1)
            .is_some_and(|before| {
                matches!(self.word(before), "my" | "your" | "his" | "her" | "our")
            });
        if own_words && somebodys {
            return Belongs::Nowhere(Some("about a person"));
        }
        if choice.carried {
            let elsewhere =
                self.elsewhere(&(scene.from..defect.tokens.start)) || self.another(defect);
            let last = self.drafts.last().filter(|d| {
                !elsewhere && d.withdrawn.is_none() && index - d.sentence <= REACH && same(d)
            });
            return match last {
                Some(_) => Belongs::To(self.drafts.len() - 1),
                None if self.weak(defect) && !wants_object(&self.reading.tokens, defect) => {
                    Belongs::Nowhere(None)
                }
                None => Belongs::Itself,
            };
        }
        let shape = FAULT_SHAPES.iter().any(|s| defect.text.starts_with(s));
        let subject = choice
            .here
            .as_ref()
            .is_some_and(|here| self.place != usize::MAX && self.subject_of(here, clause, defect));
        if own_words && !shape && (defect.term.is_none() || self.weak(defect) && !subject) {
            return Belongs::Nowhere(Some("neither element nor defect known"));
        }
        Belongs::Itself
    }

    /// *valve weeping, **carpet's wet***: what the first fault did to a thing near it.
    fn brought_about(&self, current: &Draft, defect: &Piece, choice: &Choice) -> bool {
        let brings = |cause: &Named| {
            cause
                .term
                .zip(defect.term)
                .is_some_and(|(cause, effect)| self.lexicon.defect(cause).brings.contains(&effect))
        };
        current.defects.iter().any(brings) && choice.element.tokens != current.element.tokens
    }

    /// True for a fault that stands apart from the sentence's item even on the same thing: what puts
    /// the first right was said before (*door's rubbing, plane it, and the edge isn't painted*), or
    /// both are counted or placed by themselves (*a seam down the wall, and four pops over the
    /// fireplace*).
    fn apart(&self, current: &Draft, clause: &Range<usize>, defect: &Piece) -> bool {
        let fault = &current.defects[0].tokens;
        let between = fault.end..defect.tokens.start;
        let remedied = self
            .reading
            .within(&between)
            .any(|i| self.reading.pieces[i].kind == PieceKind::Remedy);
        let counted = defect
            .tokens
            .start
            .checked_sub(1)
            .filter(|at| clause.contains(at))
            .is_some_and(|at| class(self.word(at)) == Class::Number);
        let placed = |range: &Range<usize>, fault: &Range<usize>| {
            (fault.end..range.end).any(|at| class(self.word(at)) == Class::Preposition)
        };
        let first = current.clauses.iter().find(|c| c.contains(&fault.start));
        let other_clause = !clause.contains(&fault.start);
        other_clause
            && (remedied
                || counted
                    && placed(clause, &defect.tokens)
                    && first.is_some_and(|first| placed(first, fault)))
    }

    /// *… isn't moving, **so I'd say** the duct's not connected*: what the speaker takes for the cause.
    fn supposes(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let hedge = self
            .phrase(clause, "hedge")
            .is_some_and(|i| self.reading.pieces[i].tokens.start < defect.tokens.start);
        // A clause begins behind the word that joins it.
        let so = |at: usize| self.word(at) == "so";
        hedge && (so(clause.start) || clause.start.checked_sub(1).is_some_and(so))
    }

    /// True where the sentence gives the cause of the item of the sentence before.
    fn explains(&self, index: usize, last: usize, scene: &Scene<'_>, defect: &Piece) -> bool {
        let draft = &self.drafts[last];
        draft.withdrawn.is_none()
            && draft.sentence + 1 == index
            && draft.place == self.place
            && self.supposes(&(scene.from..scene.sentence.tokens.end), defect)
    }

    /// *The lead's not dressed down, **it**'s sticking up*: the clause speaks of what the sentence spoke
    /// of before.
    fn refers_back(&self, scene: &Scene<'_>, clause: &Range<usize>, defect: &Piece) -> bool {
        let own = scene.pieces(PieceKind::Element).into_iter().any(|i| {
            let element = &self.reading.pieces[i].tokens;
            clause.contains(&element.start)
                && element.end <= defect.tokens.start
                && !scene.in_phrase(&scene.noun(i))
        });
        !own && self.pronoun(clause).is_some()
    }

    /// Returns the pronoun that opens a clause.
    fn pronoun(&self, clause: &Range<usize>) -> Option<usize> {
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
    fn consequence(&self, clause: &Range<usize>) -> bool {
        self.pronoun(clause).is_some_and(|at| {
            let next = |by: usize| self.reading.tokens.get(at + by).map_or("", |t| &t.norm);
            // "It won't lock" is a fault.
            matches!(next(1), "will" | "would" | "could" | "might" | "may") && next(2) != "not"
        })
    }

    /// True where the clause only says more of the sentence's item: a reason, a figure, *no fire
    /// stopping* after *there's a hole*.
    fn aside(
        &self,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        current: &Draft,
    ) -> bool {
        let clauses = &scene.sentence.clauses;
        let join = clauses
            .iter()
            .rfind(|c| c.tokens.start <= defect.tokens.start)
            .map(|c| c.join);
        let own_element = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| clause.contains(&self.reading.pieces[i].tokens.start));
        let with_no = wants_object(&self.reading.tokens, defect)
            && current.defects[0].text != MISSING
            && (join == Some(Join::Comma)
                || matches!(self.word(defect.tokens.start), "with" | "without"));
        let figure = defect.term.is_none()
            && (defect.text.starts_with("too ") || defect.text.starts_with("gap too "));
        let reason = join == Some(Join::So) && !own_element;
        let loose_words = choice.element.term.is_none() && join != Some(Join::And);
        let cause = self.supposes(clause, defect);
        with_no || figure || cause || reason || choice.carried || loose_words
    }

    /// *on the other one*, *next one along*: another thing of the same kind.
    pub(super) fn elsewhere(&self, range: &Range<usize>) -> bool {
        range.clone().any(|t| {
            let which = class(self.word(t)) == Class::Position
                && self
                    .reading
                    .tokens
                    .get(t + 1)
                    .is_some_and(|n| matches!(n.norm.as_str(), "one" | "ones"));
            which
                || matches!(self.word(t), "other" | "next" | "second" | "third" | "last")
                    && self.reading.tokens.get(t + 1).is_some_and(|n| {
                        matches!(n.norm.as_str(), "one" | "ones" | "side" | "door" | "window")
                    })
        })
    }

    /// *And a cracked **one** by the vent*: not the thing that was spoken of, but one like it.
    fn another(&self, defect: &Piece) -> bool {
        let one = self
            .reading
            .tokens
            .get(defect.tokens.end)
            .is_some_and(|t| matches!(t.norm.as_str(), "one" | "ones"));
        let before = defect
            .tokens
            .start
            .checked_sub(1)
            .map_or("", |at| self.word(at));
        one && matches!(
            before,
            "a" | "an" | "another" | "more" | "other" | "few" | "some" | "two" | "three"
        )
    }

    /// Before any place is named, most of what is said is introduction: only a known element with a
    /// fault that befalls it counts.
    pub(super) fn certain(&self, scene: &Scene<'_>, defect: &Piece, choice: &Choice) -> bool {
        let known = scene.pieces(PieceKind::Element).into_iter().any(|i| {
            self.reading.pieces[i]
                .term
                .is_some_and(|t| !self.lexicon.element(t).weak)
        });
        let fits = match (defect.term, choice.element.term) {
            (Some(d), Some(e)) => {
                !self.lexicon.defect(d).weak && self.lexicon.befalls(d, e) >= LEAST_FIT
            }
            _ => false,
        };
        known && fits
    }

    /// True where the clause only supposes, asks, or goes on to say that all is well.
    pub(super) fn set_aside(
        &self,
        scene: &Scene<'_>,
        clause: &Range<usize>,
        defect: &Piece,
    ) -> bool {
        let supposed = self.conditional(scene, clause)
            || self
                .phrase(clause, "hypothetical")
                .is_some_and(|i| self.reading.pieces[i].tokens.start < defect.tokens.start);
        let asked = scene.sentence.question && self.phrase_opens("question", clause);
        let fine = self.phrase(clause, "positive").is_some();
        supposed || asked || fine || self.foretold(clause) || self.past(clause, defect)
    }

    /// *That**'s going to** run water behind the cladding*: not so yet.
    fn foretold(&self, clause: &Range<usize>) -> bool {
        let word = |at: usize| self.reading.tokens.get(at).map_or("", |t| t.norm.as_str());
        self.pronoun(clause).is_some_and(|at| {
            word(at + 1) == "will" && word(at + 2) != "not"
                || matches!(word(at + 1), "'s" | "is" | "are")
                    && (word(at + 2) == "going" && word(at + 3) == "to" || word(at + 2) == "gonna")
        })
    }

    /// ***If** the tank leaks **it'll** come through*: supposed, and what would come of it. Not *if you
    /// press it, it moves*: that was tried.
    fn conditional(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
        let first = |range: &Range<usize>| range.clone().find(|&at| !opener(self.word(at)));
        let supposes = |range: &Range<usize>| {
            first(range).is_some_and(|at| {
                let next = self.reading.tokens.get(at + 1).map_or("", |t| &t.norm);
                self.word(at) == "if" && !matches!(next, "you" | "i" | "we" | "anything")
            })
        };
        let would_be =
            self.consequence(clause) && scene.sentence.clauses.iter().any(|c| supposes(&c.tokens));
        supposes(clause) || would_be
    }

    /// *The skirting **needs caulking***: with no fault named, the work that a thing wants is the fault.
    pub(super) fn wanting(&mut self, index: usize, scene: &Scene<'_>) {
        let reading = self.reading;
        let rest = scene.from..scene.sentence.tokens.end;
        let idle = [
            "positive",
            "hypothetical",
            "withdrawal",
            "question",
            "chat",
            "recap",
        ]
        .iter()
        .any(|kind| self.phrase(&rest, kind).is_some());
        let elsewhere = !self.kinds_in(&rest, PieceKind::Place).is_empty();
        if self.place == usize::MAX || idle || elsewhere || scene.sentence.question {
            return;
        }
        let wanted = self
            .kinds_in(&rest, PieceKind::Remedy)
            .into_iter()
            .find_map(|remedy| {
                let work = &reading.pieces[remedy].tokens;
                let clause = scene.clause(work.start);
                let element = scene
                    .pieces(PieceKind::Element)
                    .into_iter()
                    .map(|i| (i, scene.noun(i)))
                    .find(|(_, noun)| {
                        clause.contains(&noun.tokens.start)
                            && noun.tokens.end <= work.start + 1
                            && !scene.in_phrase(noun)
                    })?;
                let verb =
                    (element.1.tokens.end..work.end).find(|&at| WANTS.contains(&self.word(at)))?;
                let denied = matches!(self.word(verb - 1), "not" | "never");
                (!denied).then_some((remedy, element, verb..work.end, clause))
            });
        let Some((remedy, (piece, noun), fault, clause)) = wanted else {
            return;
        };
        let named = Named {
            text: noun.text.clone(),
            term: noun.term,
            how: reading.pieces[piece].how,
            tokens: reading.pieces[piece].tokens.clone(),
        };
        let last = self.drafts.last();
        let spoken_of =
            last.is_some_and(|d| index - d.sentence <= REACH && d.element.term == named.term);
        if spoken_of || noun.term.is_none() {
            return;
        }
        let words: Vec<&str> = fault.clone().map(|at| self.word(at)).collect();
        let defect = Piece::own_words(PieceKind::Defect, fault, words.join(" "));
        let choice = Choice {
            element: named,
            position: noun.position,
            here: Some(noun.tokens),
            carried: false,
        };
        self.make(index, scene, &defect, choice, None, &clause);
        if let Some(draft) = self.drafts.last_mut() {
            let work = &reading.pieces[remedy];
            draft
                .remedies
                .push((work.tokens.start..clause.end, work.term));
        }
    }

    /// *The valve that was weeping is dry*, *it used to rub*: how it was.
    fn past(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let before = |back: usize| {
            defect
                .tokens
                .start
                .checked_sub(back)
                .filter(|at| clause.contains(at))
                .map_or("", |at| self.word(at))
        };
        let relative = (2..=4).any(|back| {
            matches!(before(back), "that" | "which" | "what" | "who")
                && matches!(before(back - 1), "was" | "were" | "had")
        });
        // "Bedroom three had a scratched pane": so it was on the first visit.
        let had = |back: usize| {
            before(back) == "had"
                && !matches!(before(back + 1), "have" | "has" | "'s" | "'ve" | "i" | "we")
        };
        let once = had(2) && matches!(before(1), "a" | "an") || had(3) && before(2) == "a";
        relative || once || before(2) == "used" && before(1) == "to"
    }

    pub(super) fn also(
        &mut self,
        draft: usize,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
    ) {
        let mut named = fault(defect);
        let cause = self.supposes(clause, defect);
        let draft = &mut self.drafts[draft];
        if wants_object(&self.reading.tokens, defect) {
            named.text = format!("no {}", choice.element.text);
        } else if cause && choice.element.tokens != draft.element.tokens && choice.here.is_some() {
            named.text = format!("{} {}", choice.element.text, named.text);
        }
        if !draft.defects.iter().any(|d| d.text == named.text) {
            draft.defects.push(named);
        }
        draft.cover(clause);
        if !draft.clauses.contains(clause) {
            draft.clauses.push(clause.clone());
        }
    }

    pub(super) fn make(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: Choice,
        host: Option<Named>,
        clause: &Range<usize>,
    ) {
        let mut element = choice.element;
        let mut main = fault(defect);
        let mut reasons = Vec::new();
        match host {
            // "Extract valve, there's no airflow": what is missing is no part that could be fitted.
            Some(host) if element.term.is_none() && wants_object(&self.reading.tokens, defect) => {
                main.text = format!("no {}", element.text);
                element = host;
            }
            Some(host) => element.text = format!("{} {}", host.text, element.text),
            None => {}
        }
        if choice.carried {
            reasons.push("element from the sentence before".into());
        }
        if main.term.is_none() {
            reasons.push("new term: no lexicon entry for the fault".into());
        }
        if element.term.is_none() {
            reasons.push("new term: no lexicon entry for the element".into());
        }
        let mut clauses = vec![clause.clone()];
        if let Some(here) = &choice.here {
            let own = scene.clause(here.start);
            if own != *clause {
                clauses.insert(usize::from(own.start > clause.start), own);
            }
        }
        let mut positions: Vec<String> = choice.position.into_iter().collect();
        for range in &clauses {
            for phrase in position::phrases(self.reading, range, &element.tokens) {
                if !positions.contains(&phrase) {
                    positions.push(phrase);
                }
            }
        }
        // "The right one is cracked."
        let which = choice.carried
            && clause
                .clone()
                .any(|at| matches!(self.word(at), "one" | "ones"));
        positions.extend(
            which
                .then(|| position::of_words(&self.reading.tokens, clause.clone()))
                .flatten(),
        );
        let mut tokens = clause.clone();
        for c in &clauses {
            tokens = tokens.start.min(c.start)..tokens.end.max(c.end);
        }
        let place = self.here_for(scene, &mut reasons);
        self.drafts.push(Draft {
            place,
            element,
            element_carried: choice.carried,
            defects: vec![main],
            defect_carried: false,
            positions,
            count: None,
            measures: Vec::new(),
            remedies: Vec::new(),
            trade: None,
            hedged: false,
            watch: false,
            photo: false,
            safety: false,
            cosmetic: false,
            remarks: Vec::new(),
            tokens,
            clauses,
            sentence: index,
            withdrawn: None,
            reasons,
        });
    }

    /// The larger thing that a part belongs to, where the sentence or the one before names it:
    /// *Meter box door, **hinge** snapped*; *it's got no **closer***.
    pub(super) fn host(&self, scene: &Scene<'_>, defect: &Piece, choice: &Choice) -> Option<Named> {
        let here = choice.here.as_ref()?;
        let clause = scene.clause(defect.tokens.start);
        // "it's got no closer": what has it is the host; "there's no restrictor on the window" names it after.
        let topic = |host: &Named| {
            let own = scene.clause(host.tokens.start);
            own.start == scene.from
                && own.end <= clause.start
                && own.clone().all(|at| {
                    host.tokens.contains(&at) || class(self.word(at)) == Class::Determiner
                })
        };
        let has_got = wants_object(&self.reading.tokens, defect)
            && clause.clone().take_while(|&t| t < here.start).any(|t| {
                matches!(
                    self.word(t),
                    "got" | "has" | "have" | "lost" | "missing" | "without" | "it"
                )
            });
        let part_of = choice
            .element
            .term
            .map_or(&[][..], |t| &self.lexicon.element(t).part_of);
        let belongs = |host: &Named| {
            let fits = match (choice.element.term, host.term) {
                (None, _) => true,
                (Some(_), Some(h)) => part_of.contains(&h) || has_got || topic(host),
                _ => has_got || topic(host),
            };
            fits && !choice.element.text.contains(host.text.as_str())
                && !host.text.contains(choice.element.text.as_str())
        };
        let earlier = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .rev()
            .map(|i| (i, scene.noun(i)))
            .find(|(_, noun)| noun.tokens.end <= here.start && !scene.in_phrase(noun));
        if let Some((piece, noun)) = earlier {
            let how = self.reading.pieces[piece].how;
            let host = Named {
                text: noun.text,
                term: noun.term,
                how,
                tokens: noun.tokens,
            };
            return belongs(&host).then_some(host);
        }
        let pronoun = scene
            .clause(defect.tokens.start)
            .any(|t| matches!(self.word(t), "it" | "they" | "them"));
        scene
            .last
            .filter(|host| {
                (pronoun || comes_through(&choice.element.text))
                    && (choice.element.term.is_some() || wants_object(&self.reading.tokens, defect))
                    && belongs(host)
            })
            .cloned()
    }
}

/// What comes through or out of a thing: that there is none of it is a fault of the thing.
const COMES_THROUGH: &[&str] = &[
    "air", "airflow", "water", "power", "signal", "heat", "pressure", "flow", "gas", "light",
    "current", "suction", "draw", "reading", "sound",
];

fn comes_through(element: &str) -> bool {
    COMES_THROUGH
        .iter()
        .any(|what| element.split(' ').next_back() == Some(what))
}

fn fault(defect: &Piece) -> Named {
    Named {
        text: defect.text.clone(),
        term: defect.term,
        how: defect.how,
        tokens: defect.tokens.clone(),
    }
}
