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
    /// *The skirting, the architrave and the door **are** scratched*: returns a choice for each of the
    /// things that a fault is said of together; mostly the one alone.
    pub(crate) fn listed(&self, defect: &Piece, choice: Choice) -> Vec<Choice> {
        let nouns: Vec<(usize, Noun)> = self
            .things()
            .filter(|(_, noun)| noun.tokens.end <= defect.tokens.start && noun.term.is_some())
            .collect();
        let Some((_, last)) = nouns.last() else {
            return vec![choice];
        };
        let of_many = (last.tokens.end..defect.tokens.start).any(|at| {
            matches!(
                self.tokens()[at].norm.as_str(),
                "are" | "have" | "were" | "all" | "both"
            )
        });
        let chosen = choice.here.as_ref().is_some_and(|here| {
            nouns
                .iter()
                .any(|(_, n)| n.tokens.start <= here.start && here.start < n.tokens.end)
        });
        // Only *and*, articles and words of position stand between things that are listed.
        let linked = |first: &Noun, next: &Noun| {
            let between = first.tokens.end..self.phrase_start(next);
            let and = between.clone().all(|at| self.tokens()[at].norm == "and");
            let comma = self.clause_of(first.tokens.start) != self.clause_of(next.tokens.start);
            // "Through the slab and the collars are empty": the first is only where.
            let where_ = self.in_phrase(first) && !self.in_phrase(next);
            and && (comma || !between.is_empty()) && !where_
        };
        let linked_up = nouns
            .windows(2)
            .rev()
            .take_while(|pair| linked(&pair[0].1, &pair[1].1));
        let count = linked_up.count() + 1;
        if !of_many || !chosen || count < 2 {
            return vec![choice];
        }
        let (list, from) = (&nouns, nouns.len() - count);
        list[from..]
            .iter()
            .map(|(piece, noun)| Choice::at(&self.reading.pieces[*piece], noun.clone()))
            .collect()
    }
}
