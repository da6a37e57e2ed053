//! Several things that one fault is said of: *the skirting, the architrave and the door are scratched*.
//!
//! Things joined by commas and *and* before *are*, *have*, *all* or *both* each make an item of their own, since
//! each is put right by itself; several faults of one thing (*a dent and a chip in the worktop*) are
//! one item that names them all, unless each is counted or placed apart.

use super::pair::Choice;
use super::scene::Scene;
use crate::statements::noun::Noun;
use crate::statements::piece::Piece;

impl Scene<'_> {
    /// *The skirting, the architrave and the door **are** scratched*, *scratches on the hob, the sink and the
    /// worktop*: returns a choice for each of the things that a fault is said of together; mostly the one alone.
    pub(crate) fn listed(&self, defect: &Piece, choice: Choice) -> Vec<Choice> {
        let chosen = |nouns: &[(usize, Noun)]| {
            choice.here.as_ref().is_some_and(|here| {
                nouns
                    .iter()
                    .any(|(_, n)| n.tokens.start <= here.start && here.start < n.tokens.end)
            })
        };
        let before = self.linked_before(defect.tokens.start);
        let of_many = before.last().is_some_and(|(_, last)| {
            // "All *need* painting": the words of the fault begin with the verb.
            (last.tokens.end..defect.tokens.start + 1).any(|at| of_several(self.word(at)))
        });
        let together = if of_many && before.len() > 1 && chosen(&before) {
            before
        } else {
            self.linked_behind(defect)
        };
        match together.len() > 1 && chosen(&together) {
            true => self.each(together),
            false => vec![choice],
        }
    }

    fn each(&self, nouns: Vec<(usize, Noun)>) -> Vec<Choice> {
        let choice = |(piece, noun)| Choice::at(&self.reading.pieces[piece], noun);
        nouns.into_iter().map(choice).collect()
    }

    /// Returns the listed things that are named one after the other, the last of them as the last before `end`.
    fn linked_before(&self, end: usize) -> Vec<(usize, Noun)> {
        let mut nouns: Vec<(usize, Noun)> = self
            .things()
            .filter(|(_, noun)| noun.tokens.end <= end && noun.term.is_some())
            .collect();
        let linked_up = nouns
            .windows(2)
            .rev()
            // "Through the slab and the collars are empty": the first is only where.
            .take_while(|pair| !self.in_phrase(&pair[0].1) || self.in_phrase(&pair[1].1))
            .take_while(|pair| self.linked(&pair[0].1, &pair[1].1));
        let first = nouns.len() - nouns.len().min(linked_up.count() + 1);
        let listed = nouns.split_off(first);
        // "Airing cupboard, the hot pipes aren't lagged": where they are.
        match &listed[..] {
            [(_, one), (_, other)] if self.parted_by_a_comma(one, other) => listed[1..].to_vec(),
            _ => listed,
        }
    }

    /// True where no *and* joins two things.
    fn parted_by_a_comma(&self, one: &Noun, other: &Noun) -> bool {
        one.tokens.end == self.phrase_start(other)
    }

    /// Returns the things that a fault is on, which end the sentence: *film left on **the hob and the oven door***.
    /// Two that share an article (*paint on the walls and ceiling*) are one surface for whoever says so.
    fn linked_behind(&self, defect: &Piece) -> Vec<(usize, Noun)> {
        let mut nouns: Vec<(usize, Noun)> = self
            .things()
            .filter(|(_, noun)| noun.tokens.start >= defect.tokens.end && noun.term.is_some())
            .collect();
        let Some((_, first)) = nouns.first() else {
            return Vec::new();
        };
        let lead = defect.tokens.end..self.phrase_start(first);
        let on = |at: usize| matches!(self.word(at), "on" | "in");
        let led = lead.len() <= 1 && lead.clone().all(on) && on(self.phrase_start(first) - 1);
        let linked = nouns
            .windows(2)
            .take_while(|pair| self.linked(&pair[0].1, &pair[1].1));
        let count = linked.count() + 1;
        let ends = nouns[count - 1].1.tokens.end == self.sentence.tokens.end;
        let article = |noun: &Noun| self.phrase_start(noun) < noun.tokens.start;
        let apart = count > 2 || nouns[..count].iter().all(|(_, noun)| article(noun));
        if !led || !ends || !apart {
            return Vec::new();
        }
        nouns.truncate(count);
        nouns
    }

    /// True where only *and*, articles and words of position stand between two things.
    fn linked(&self, first: &Noun, next: &Noun) -> bool {
        let between = first.tokens.end..self.phrase_start(next);
        let and = between.clone().all(|at| self.word(at) == "and");
        let comma = self.clause_of(first.tokens.start) != self.clause_of(next.tokens.start);
        and && (comma || !between.is_empty())
    }
}

/// Words behind things that say a fault of all of them.
fn of_several(word: &str) -> bool {
    matches!(
        word,
        "are" | "have" | "were" | "all" | "both" | "need" | "want"
    )
}
