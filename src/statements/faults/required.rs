//! *should be four fifty*: a figure found that differs from the figure asked for.

use super::super::piece::{Piece, PieceKind};
use super::super::{Number, number_at};
use super::{starts_with, word};
use crate::lexicon::Token;
use std::ops::Range;

/// Words that say that a figure is a requirement, just before it: *should be*, *needs to be*.
const REQUIREMENT_CUES: &[&[&str]] = &[
    &["should", "be"],
    &["should", "have", "been"],
    &["needs", "to", "be"],
    &["need", "to", "be"],
    &["ought", "to", "be"],
    &["wants", "to", "be"],
    &["want", "to", "be"],
    &["wants", "to", "see"],
    &["supposed", "to", "be"],
    &["meant", "to", "be"],
    &["must", "be"],
    &["has", "to", "be"],
    &["have", "to", "be"],
    &["want", "to", "see"],
    &["i", "would", "want"],
    &["minimum", "is"],
    &["maximum", "is"],
    &["limit", "is"],
    &["limit", "'s"],
    WANT,
    &["requires"],
    &["drawing", "says"],
    &["spec", "says"],
    &["regs", "say"],
];

/// The wish that is a requirement only with the figure right behind it.
const WANT: &[&str] = &["i", "want"];

/// How far from *should be*, in tokens, the figure found may stand.
const FIGURE_REACH: usize = 14;

/// A requirement with two figures is a fault whatever else its words might be.
const CUE_WORTH: f32 = 6.0;

/// *380 off the floor, should be 450*: the figure found and the figure asked for differ.
pub(super) fn required(tokens: &[Token], at: usize, sentence: Range<usize>) -> Option<Piece> {
    let cue = REQUIREMENT_CUES
        .iter()
        .copied()
        .find(|cue| starts_with(tokens, at, cue))?;
    let after = at + cue.len();
    // "I want three hundred", but not "I want it out by the fifth".
    let reach = if cue == WANT { 1 } else { 5 };
    let asked = first_number(tokens, after..(after + reach).min(sentence.end))?;
    // The figure found stands before the cue, or after the figure asked for ("supposed to be
    // sixteen inches, and I've got nine"), or in the sentence before.
    let from = at.saturating_sub(FIGURE_REACH).max(sentence.start);
    let to = (asked.tokens.end + FIGURE_REACH).min(sentence.end);
    let found = last_number(tokens, from..at)
        .or_else(|| first_number(tokens, asked.tokens.end..to))
        .or_else(|| {
            last_number(
                tokens,
                sentence.start.saturating_sub(FIGURE_REACH)..sentence.start,
            )
        })?;
    if found.value == asked.value {
        return None;
    }
    let around = found.tokens.start.min(from)..to.max(asked.tokens.end);
    let quality = quality(tokens, around, found.value < asked.value);
    Some(Piece::own_words(PieceKind::Defect, at..at + cue.len(), quality.into()).worth(CUE_WORTH))
}

fn first_number(tokens: &[Token], range: Range<usize>) -> Option<Number> {
    range.into_iter().find_map(|at| figure(tokens, at))
}

fn last_number(tokens: &[Token], range: Range<usize>) -> Option<Number> {
    let mut last = None;
    let mut at = range.start;
    while at < range.end {
        match figure(tokens, at).filter(|n| n.tokens.end <= range.end) {
            Some(number) => {
                at = number.tokens.end;
                last = Some(number);
            }
            None => at += 1,
        }
    }
    last
}

/// A number that is a size, not the pronoun *one*.
fn figure(tokens: &[Token], at: usize) -> Option<Number> {
    number_at(tokens, at).filter(|n| n.value != 1.0)
}

/// Names the difference by the words around it: *too low* off a floor, *too wide* of a gap.
fn quality(tokens: &[Token], around: Range<usize>, less: bool) -> &'static str {
    let says = |words: &[&str]| around.clone().any(|at| words.contains(&word(tokens, at)));
    match less {
        true if says(&["gap", "undercut", "clearance", "space", "spacing"]) => "gap too small",
        false if says(&["gap", "undercut", "clearance", "spacing"]) => "gap too wide",
        true if says(&[
            "high", "height", "floor", "up", "above", "ground", "over", "hob", "low", "damp",
            "sill", "rail", "guarding",
        ]) =>
        {
            "too low"
        }
        false
            if says(&[
                "high", "height", "floor", "up", "above", "ground", "step", "riser", "rise",
            ]) =>
        {
            "too high"
        }
        true if says(&["deep", "depth", "thick", "thickness", "insulation", "blown"]) => {
            "too shallow"
        }
        false if says(&["degrees", "hot", "temperature"]) => "too hot",
        true if says(&["wide", "width", "across"]) => "too narrow",
        false if says(&["wide", "width", "across"]) => "too wide",
        true => "too small",
        false => "too big",
    }
}
