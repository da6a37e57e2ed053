//! What is known of a suspicion before the sound is asked, as values for the weights.

use super::near::{Instead, Near};
use super::{MOST_WORDS, SCALE, Scene};
use crate::lexicon::Kind;
use crate::statements::piece::PieceKind;
use std::ops::Range;

/// Sounds of a long wording, for the scale: the more of them agree, the less likely by chance.
const LONG_WORDING: f64 = 10.0;

/// What is known of a suspicion before the sound is asked, in the order of the values.
pub const BEFORE: [&str; 24] = [
    "always",
    "distance",
    "edits",
    "sounds_that_agree",
    "nothing_to_go_with",
    "goes",
    "sentence_lacks_it",
    "no_place",
    "likely_in_place",
    "doubted",
    "doubted_on_average",
    "everyday",
    "fault",
    "place",
    "place_after_pause",
    "place_alone",
    "words",
    "vocabulary",
    "understood",
    "next_best",
    "next_best_distance",
    "next_best_likelihood",
    "next_best_sounds_so",
    "goes_and_likely_in_place",
];

impl Scene<'_> {
    /// Returns the values of [`BEFORE`] for what a stretch of so many words may have been.
    pub(super) fn before(
        &self,
        stretch: &Range<usize>,
        words: usize,
        near: &Near,
        lost: &[usize],
    ) -> [f64; BEFORE.len()] {
        let rival = &near.rival;
        let flag = |applies: bool| f64::from(u8::from(applies));
        let tokens = &self.reading.tokens[stretch.clone()];
        let kind = match rival.kind {
            Kind::Element => PieceKind::Element,
            Kind::Defect => PieceKind::Defect,
            _ => PieceKind::Place,
        };
        let goes = self.goes_with_others(kind, Some(rival.term), stretch);
        let likely = self
            .place
            .filter(|_| rival.kind == Kind::Element)
            .map(|place| self.lexicon.likely_in(rival.term, place));
        let least = tokens.iter().map(|t| t.probability).fold(1.0, f32::min);
        let mean = tokens.iter().map(|t| t.probability).sum::<f32>() / tokens.len() as f32;
        let edits = f64::from(rival.distance) * rival.sounds as f64;
        let is_place = rival.kind == Kind::Place;
        let instead = |value: fn(&Instead) -> f32| {
            let value = near.instead.as_ref().map(value);
            value.map_or(0.0, f64::from)
        };
        let lacks = !is_place && self.others(kind, stretch).next().is_none();
        [
            1.0,
            f64::from(rival.distance),
            edits,
            (rival.sounds as f64 - edits) / LONG_WORDING,
            flag(goes.is_none()),
            goes.map_or(0.0, f64::from),
            flag(lacks),
            flag(likely.is_none()),
            likely.map_or(0.0, f64::from),
            1.0 - f64::from(least),
            1.0 - f64::from(mean),
            flag(tokens.iter().all(|t| self.lexicon.everyday(&t.norm))),
            flag(rival.kind == Kind::Defect),
            flag(is_place),
            flag(is_place && self.sentence.paused()),
            flag(is_place && self.alone(stretch)),
            words as f64 / MOST_WORDS as f64,
            flag(stretch.clone().any(|t| self.understood_in_doubt(t))),
            lost.len() as f64 / MOST_WORDS as f64,
            flag(near.instead.is_some()),
            instead(|instead| instead.distance),
            instead(|instead| instead.likelihood) / SCALE,
            flag(near.instead.as_ref().is_some_and(|i| i.distance == 0.0)),
            f64::from(goes.unwrap_or_default() * likely.unwrap_or_default()),
        ]
    }
}
