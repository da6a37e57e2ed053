//! Spoken measurements: value, range, unit, what they are tied to, and how sure they are.
//!
//! # Rules
//! - *Six foot two* and *two feet six inches* are one measurement in inches (74, 30); *two metres
//!   ten* is 2.1 m.
//! - *Ten by twenty mil* is two measurements, 10 mm and 20 mm.
//! - *Six to eight mil*, *between six and eight*, *6-8mm*, *ten fifteen mil*: value and `max`.
//! - *One in forty* is unit `ratio`, value 40.
//! - `over` is the length it is tied to: *over two metres*, *per metre*, *under a two metre
//!   straightedge*; `storey`, `width`, `height` and `length` count as 1. The length is looked for
//!   after the measurement, then before it, within the sentence. A length that names the tool
//!   (*two metre level*) and ties to nothing is not listed.
//! - A number without unit is millimetres only after words that can only lead to one: *out by six*,
//!   *gap of four*, *riser two twenty six* (from 100 on, as *riser two* is the second riser); a part
//!   of an eighth or finer (*proud by three eighths*) is inches. `approximate` is not set by this.
//! - A number from 100 on is millimetres too before words of height or extent: *four hundred off the
//!   floor*, *six hundred long*; and any before a length: *nineteen over the storey*.
//! - How far a thing is out needs no unit either (*sits twelve proud*, *nine out of level*), nor a number
//!   that is held against another (*only ninety, and it needs a hundred and fifty*), nor one with tenths;
//!   with a hot thing before it a number is degrees Celsius (*the hot tap's at thirty-eight*).
//! - *Two mil, no, three*: the second number has the unit of the first. What a size should be is left
//!   out where the sentence also tells what it is.
//! - `spoken` goes on over words of direction: *400 off the floor*, *19 mm leaning in*.
//! - `approximate` is set by *about*, *or so*, *at least*, *up to*, *just over*, *a couple of* and
//!   the like.
//!
//! The measuring words are common practice, no source.

mod approximate;
mod bare;
mod direction;
mod expected;
mod heat;
mod offset;
mod over;
mod quantity;

use super::grammar::participle;
use super::reader::Reader;
use crate::items::Measurement;
use crate::lexicon::Token;
use crate::speech::Word;
use quantity::Quantity;
use std::ops::Range;

#[cfg(test)]
mod tests;

/// Returns the measurements in the tokens, in spoken order, each with the tokens it covers: the
/// value, its unit, words of approximation, and the length it is tied to where that stands directly
/// beside it. `spoken` holds the words as heard, up to a length that is tied from further away.
pub fn measurements(tokens: &[Token], words: &[Word]) -> Vec<(Range<usize>, Measurement)> {
    let r = Reader::new(tokens, words);
    let quantities = quantity::all(r);
    over::tie(r, quantities)
        .into_iter()
        .filter(|tied| !stood_on(tokens, &tied.quantity))
        .map(|tied| {
            let Quantity {
                tokens,
                value,
                max,
                unit,
                approximate,
                ..
            } = tied.quantity;
            let (mut covered, mut spoken) = (tokens.clone(), tokens);
            let over = tied.over.map(|(over, at)| {
                spoken = spoken.start.min(at.start)..spoken.end.max(at.end);
                if at.start <= covered.end && covered.start <= at.end {
                    covered = spoken.clone();
                }
                over
            });
            let spoken = r.spoken(spoken.start, direction::end(r, spoken.end));
            (
                covered,
                Measurement {
                    value,
                    max,
                    unit: unit.to_owned(),
                    over,
                    spoken,
                    approximate,
                },
            )
        })
        .collect()
}

/// ***One foot's not** been bolted down*, ***all four feet are** bolted*: what a thing stands on.
fn stood_on(tokens: &[Token], quantity: &Quantity) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    let end = quantity.tokens.end;
    let feet = end > 0 && matches!(word(end - 1), "foot" | "feet");
    let is = matches!(word(end), "'s" | "is" | "are" | "has" | "have");
    let said = word(end + 1);
    feet && is && (matches!(said, "not" | "been" | "loose" | "missing") || participle(said))
}
