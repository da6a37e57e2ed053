//! Which of several things has it as well, and where: *same again on the **left hand one***.

use crate::items::position;
use crate::items::scene::Scene;
use crate::items::walk::Walk;
use crate::lexicon::Kind;
use crate::statements::grammar::{Class, class, opener};
use std::ops::Range;

impl Walk<'_> {
    /// Returns which of several it is: *the **left hand one***, *the **one below it***.
    pub(super) fn which_one(
        &self,
        scene: &Scene<'_>,
        again: &Range<usize>,
        tokens: &Range<usize>,
    ) -> Option<String> {
        let joined = |range: Range<usize>| -> String {
            let words: Vec<&str> = range.map(|at| self.word(at)).collect();
            words.join(" ")
        };
        let light = |at: usize| {
            matches!(
                class(self.word(at)),
                Class::Determiner | Class::Preposition | Class::Verb | Class::Pronoun
            )
        };
        let which = tokens.clone().find(|&t| {
            let before = || class(self.word(t - 1));
            t > again.end
                && matches!(self.word(t), "one" | "ones")
                && !matches!(before(), Class::Determiner | Class::Preposition)
        });
        let which = which.map(|t| {
            let described = (again.start..t).rev().take_while(|&at| !light(at));
            joined(described.last().unwrap_or(t)..t + 1)
        });
        // "As does the one below it".
        let beside = tokens.clone().find(|&t| {
            let after = class(self.word(t + 1));
            t >= again.end
                && self.word(t) == "one"
                && matches!(after, Class::Preposition | Class::Position)
        });
        let beside = beside.map(|t| {
            let words = (t..scene.clause(t).end).map(|at| self.word(at));
            let words: Vec<&str> = words
                .filter(|w| !matches!(*w, "as" | "well" | "too"))
                .collect();
            format!("the {}", words.join(" "))
        });
        which.filter(|which| which.contains(' ')).or(beside)
    }

    /// Returns where it is, each way of saying so once.
    pub(super) fn positions(
        &self,
        which: Option<String>,
        tokens: &Range<usize>,
        element: &Range<usize>,
    ) -> Vec<String> {
        let mut positions: Vec<String> = Vec::new();
        let said = which
            .into_iter()
            .chain(position::phrases(self.reading, tokens, element))
            .chain(position::of_words(&self.reading.tokens, tokens.clone()));
        for position in said {
            if !positions
                .iter()
                .any(|other| names_the_same(other, &position))
            {
                positions.push(position);
            }
        }
        positions
    }

    /// ***Next one along**, ditto*; *same on the **next one***.
    pub(super) fn further_along(&self, ranges: [&Range<usize>; 3]) -> Option<String> {
        let range = ranges.into_iter().find(|range| self.elsewhere(range))?;
        let says = |&at: &usize| {
            let word = self.word(at);
            let light = opener(word) || class(word) == Class::Verb;
            matches!(word, "next" | "one")
                || !light && !matches!(word, "the" | "same" | "ditto" | "on" | "again")
        };
        let words: Vec<&str> = range.clone().filter(says).map(|at| self.word(at)).collect();
        Some(words.join(" "))
    }

    /// Returns the name of an element of one room for another: *kitchen extract grille* and *utility
    /// one* give *utility extract grille*; `None` where either names no room.
    pub(super) fn of_room(&self, element: &str, which: &str) -> Option<String> {
        let room = |word: &str| self.lexicon.find(Kind::Place, word).is_some();
        let (own, rest) = element.split_once(' ')?;
        let other = which
            .strip_suffix(" one")
            .or_else(|| which.strip_suffix(" ones"))?;
        (room(own) && room(other)).then(|| format!("{other} {rest}"))
    }
}

/// True where two positions have a word in common that tells where: *on the left hand side*, *left hand*.
fn names_the_same(one: &str, other: &str) -> bool {
    let tells = |word: &&str| matches!(class(word), Class::Open | Class::Position);
    one.split(' ')
        .filter(tells)
        .any(|word| other.split(' ').any(|w| w == word))
}
