//! The item that a description stands for, by its thing, its fault and where the walk is.

use super::*;

/// Sureness of an item that is the only one to fit a description well.
const BY_DESCRIPTION: f64 = 0.9;
/// The least score at which a description stands for an item: its noun, or its very defect.
const LEAST_SCORE: f64 = 0.5;
/// How far the next best item must stay behind to be out of the question.
const MARGIN: f64 = 0.2;

impl Scene<'_> {
    /// Returns what `range` says of things.
    pub(in crate::recheck) fn described(&self, range: &Range<usize>) -> Described {
        let tokens = &self.reading.tokens;
        let elements = self.things(range);
        let faults = self.faults(range);
        let led = |piece: &Piece| {
            let mut before = piece.tokens.start;
            while before > range.start && class(self.word(before - 1)) == Class::Determiner {
                before -= 1;
            }
            before > range.start && class(self.word(before - 1)) == Class::Preposition
        };
        Described {
            has_subject: elements.iter().any(|piece| !led(piece)),
            elements: elements
                .iter()
                .map(|piece| named_piece(tokens, piece))
                .collect(),
            defects: faults
                .iter()
                .map(|piece| named_piece(tokens, piece))
                .collect(),
            words: open_stems(&tokens[range.clone()]).collect(),
        }
    }

    /// Returns the item that a description in `range` stands for, `among` some of them.
    pub(in crate::recheck) fn describe(
        &self,
        range: &Range<usize>,
        among: Option<&[usize]>,
    ) -> Option<Ref> {
        let said = self.described(range);
        if said.elements.is_empty() && said.defects.is_empty() {
            return None;
        }
        let named = self.place_piece(range).map(|piece| self.at_place(piece));
        let here = named.clone().or_else(|| self.here());
        let pool: Vec<usize> = match among {
            Some(among) => among.to_vec(),
            None => (0..self.known.len()).collect(),
        };
        let score = |index: usize| self.known[index].score(&said);
        let near: Vec<usize> = match &here {
            Some(here) => pool
                .iter()
                .copied()
                .filter(|index| here.contains(index))
                .collect(),
            None => pool.clone(),
        };
        let ranked = |of: &[usize]| {
            let mut ranked: Vec<(usize, f64)> =
                of.iter().map(|&index| (index, score(index))).collect();
            ranked.retain(|(_, score)| *score >= LEAST_SCORE);
            // Ties go to the item listed first.
            ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
            ranked
        };
        let mut reasons = Vec::new();
        let mut found = ranked(&near);
        let mut sure = BY_DESCRIPTION;
        if found.is_empty() {
            if named.is_some() {
                return None;
            }
            found = ranked(&pool);
            // Only the very element and defect count from elsewhere.
            found.retain(|(index, score)| {
                *score > 1.3 && self.known[*index].element_fit(&said) >= 1.0
            });
            if let Some((index, _)) = found.first() {
                reasons.push(format!(
                    "at {}, where the walk was not",
                    self.known[*index].item.place
                ));
                sure = UNSURE;
            }
        }
        let (best, top) = *found.first()?;
        let rival = found.get(1).filter(|_| among.is_none());
        if let Some((next, _)) = rival.filter(|(_, second)| top - second < MARGIN) {
            reasons.push(format!(
                "may also be item {}",
                self.known[*next].item.number
            ));
            sure = UNSURE;
        }
        if top < 0.75 {
            reasons.push("only a part of the name fits".into());
            sure = sure.min(UNSURE);
        }
        let tokens = self
            .first_named(range)
            .unwrap_or(range.start..range.start + 1);
        Some(Ref {
            reasons,
            ..self.reference(tokens, vec![best], How::Described, sure)
        })
    }
}
