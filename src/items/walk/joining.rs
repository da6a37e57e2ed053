//! Whether a fault says more of an item that its sentence has made: *the door won't shut, **the hinge is bent***,
//! but *the door won't shut, **and the skirting's scratched***. No rule holds for all of that, so signs are
//! weighed (`models/joining.toml`).

mod signs;

use super::Walk;
use super::belongs::Belongs;
use crate::items::draft::{Draft, Named};
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::score::sigmoid;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::Piece;
use crate::statements::reading::Reading;
use crate::statements::signs::{OF_JOINING, Signs};
use signs::{ANOTHER, LIKE};
pub(super) use signs::{SMALL_PARTS, last_word};
use std::ops::Range;

/// A fault as it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Spoken {
    /// What it is of.
    pub element: String,
    /// What is wrong.
    pub defect: String,
    /// Index of the first word of what is wrong in the transcript.
    pub word: usize,
}

impl Spoken {
    fn of(reading: &Reading, element: &Named, text: &str, tokens: &Range<usize>) -> Spoken {
        Spoken {
            element: element.text.clone(),
            defect: text.to_owned(),
            word: reading.tokens[tokens.start].word,
        }
    }
}

/// A fault that may say more of an item, for whoever fits the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// The fault, as an item of its own would show it.
    pub fault: Spoken,
    /// The first fault of the item that is there.
    pub earlier: Spoken,
    /// It was taken to say more of that.
    pub joined: bool,
    /// What speaks for that, with values.
    pub signs: Vec<(String, f32)>,
}

/// A fault beside an item that its sentence has made.
#[derive(Clone, Copy)]
pub(super) struct Further<'a> {
    pub(super) scene: &'a Scene<'a>,
    pub(super) defect: &'a Piece,
    pub(super) choice: &'a Choice,
    pub(super) clause: &'a Range<usize>,
}

impl Walk<'_> {
    /// Returns what becomes of the fault beside the sentence's items, the first of which is `made_from`.
    pub(super) fn beside(&mut self, further: &Further<'_>, made_from: usize) -> Belongs {
        let Further {
            scene,
            defect,
            choice,
            clause,
        } = *further;
        let current = self.drafts.len() - 1;
        // "…, where the porch roof hits the wall": only says where.
        if self.consequence(clause) || self.word(clause.start) == "where" {
            return Belongs::Nowhere(None);
        }
        if self.shows(scene, clause)
            || self.one_or_the_other(scene, clause)
            || self.nobody_did(further, &self.drafts[current])
            || self.sums_it_up(clause)
            || self.does_not_come_off(clause, defect)
        {
            return Belongs::Remark(current);
        }
        let same = |d: &Draft| d.element.tokens == choice.element.tokens;
        let twin = self.drafts[made_from..].iter().position(same);
        let twin = twin.filter(|_| choice.here.is_some());
        let at = twin.map_or(current, |twin| made_from + twin);
        let earlier = &self.drafts[at];
        let mut signs = Signs::new(&OF_JOINING, self.weighed.is_some());
        self.joining(further, earlier, &mut signs);
        let joined = (signs.sum() > 0.0 || concluded(further, earlier))
            && !self.of_another(further, earlier);
        let effect = self.brought_about(earlier, defect, choice);
        if let Some(weighed) = &mut self.weighed {
            let first = &earlier.defects[0];
            weighed.joints.push(Joint {
                fault: Spoken::of(self.reading, &choice.element, &defect.text, &defect.tokens),
                earlier: Spoken::of(self.reading, &earlier.element, &first.text, &first.tokens),
                joined,
                signs: signs.kept().to_vec(),
            });
        }
        match joined {
            true if effect => Belongs::Remark(at),
            true => Belongs::To(at),
            false => Belongs::Itself(sigmoid(f64::from(signs.sum()))),
        }
    }

    /// True where the words say that it is another thing: *and the one above it's split*, *nor has it a lid*.
    fn of_another(&self, further: &Further<'_>, earlier: &Draft) -> bool {
        let Further {
            defect,
            choice,
            clause,
            ..
        } = *further;
        let between = earlier.defects[0].tokens.end..defect.tokens.start;
        let nor = (between.start..defect.tokens.end).any(|at| self.word(at) == "nor");
        // "Patio doors, the handle's stiff, and **they** don't seal": of the doors.
        let they = clause.clone().any(|at| self.word(at) == "they");
        let plural = |named: &Named| named.text.ends_with('s');
        let of_others = they
            && plural(&choice.element)
            && !plural(&earlier.element)
            && choice.element.tokens != earlier.element.tokens;
        // "Two out, one loose".
        let told_off = self.of_others(defect, &earlier.defects[0]);
        nor || of_others
            || told_off
            || self.told_apart(further, earlier)
            || self.elsewhere(&between)
            || self.another(defect)
    }

    /// *Cracked tile, **loose socket***, *the bulb's missing, **there's a stain on the wall***: the words of the fault
    /// name a thing of its own.
    fn told_apart(&self, further: &Further<'_>, earlier: &Draft) -> bool {
        let Further {
            scene,
            defect,
            choice,
            ..
        } = *further;
        let Some(here) = choice.here.as_ref() else {
            return false;
        };
        let object = |piece: &Piece| scene.object_behind(piece).map(|noun| noun.tokens);
        let own = object(defect).is_some_and(|own| own == *here);
        let first = self.reading.piece_at(earlier.defects[0].tokens.start);
        let first = first.and_then(object);
        let each = own && first.is_some_and(|first| first != *here);
        let of = self.of_what(further, earlier);
        let unrelated =
            matches!(of, ANOTHER | LIKE) && !self.brought_about(earlier, defect, choice);
        each && choice.element.term != earlier.element.term
            || own && unrelated
            || unrelated && self.each_in_its_clause(further, earlier)
    }

    /// *Hob's scratched, **bin's broken**, tap's loose*: each clause opens with a thing and says a fault of it. But
    /// what is spoken of as known (*the window won't stay, **the** winder slips*) belongs to what was named.
    fn each_in_its_clause(&self, further: &Further<'_>, earlier: &Draft) -> bool {
        let says = |clause: &Range<usize>, thing: &Range<usize>, fault: &Range<usize>| {
            let states = |at: usize| matches!(class(self.word(at)), Class::Verb | Class::Adverb);
            let opens = |at: usize| (clause.start..at).all(|at| opener(self.word(at)));
            let said_of = thing.end <= fault.start
                && opens(thing.start)
                && (thing.end..fault.start).all(states)
                && fault.end == clause.end;
            // "… dripping, **no loo roll holder**".
            let none_of = opens(fault.start)
                && fault.end == thing.start
                && thing.end == clause.end
                && self.word(fault.start) == "no";
            clause.contains(&thing.start) && (said_of || none_of)
        };
        let Some(here) = further.choice.here.as_ref() else {
            return false;
        };
        let first = &earlier.defects[0].tokens;
        let own = further.scene.clause(first.start);
        let small = SMALL_PARTS.contains(&last_word(&further.choice.element.text));
        own != *further.clause
            && !small
            && says(further.clause, here, &further.defect.tokens)
            && says(&own, &earlier.element.tokens, first)
    }
}

/// *The gap's six, **and I want to see three***: what is concluded from a figure, or told once more in other words,
/// says more of the thing.
fn concluded(further: &Further<'_>, earlier: &Draft) -> bool {
    let Further { defect, choice, .. } = *further;
    let figure = defect.text.starts_with("too ") || defect.text.starts_with("gap too ");
    let once_more = defect.text == earlier.defects[0].text;
    // "Only works if the other one's on, **so somebody's** got the two-way wired wrong".
    let words = &further.scene.reading.tokens;
    let word = |at: usize| words.get(at).map_or("", |t| t.norm.as_str());
    let start = further.clause.start;
    let so = word(start) == "so" || start > 0 && word(start - 1) == "so";
    let who = start + usize::from(word(start) == "so");
    let by_somebody = so && matches!(word(who), "somebody" | "someone" | "they");
    (defect.term.is_none() && figure || once_more)
        && choice.element.tokens == earlier.element.tokens
        || by_somebody
}
