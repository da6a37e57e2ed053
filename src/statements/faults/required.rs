//! *should be four fifty*: a figure found that differs from the figure asked for.

use super::super::asked::{BEFORE_IT, BEHIND_IT, Bound, RIGHT_BEHIND, SAYS};
use super::super::grammar::{Class, class};
use super::super::piece::{Piece, PieceKind};
use super::super::{Number, number_at};
use super::{starts_with, word};
use crate::lexicon::Token;
use rustc_hash::FxHashSet;
use std::ops::Range;
use std::sync::LazyLock;

/// What says a figure that was found, not one that is asked for.
const SHOWS: &[&str] = &[
    "it",
    "plate",
    "label",
    "meter",
    "gauge",
    "display",
    "screen",
    "clock",
    "thermometer",
    "box",
    "tape",
    "edge",
    "straightedge",
    "rule",
    "ruler",
    "feeler",
    "pins",
    "probe",
    "stat",
    "laser",
    "that",
    "he",
    "she",
    "dial",
    "tester",
    "level",
    "controller",
    "thermostat",
    "sticker",
];

/// How far from *should be*, in tokens, the figure found may stand.
const FIGURE_REACH: usize = 14;

/// How many words may stand before *should be* where the figure found is in the sentence before.
const LONGEST_LEAD: usize = 3;

/// A requirement with two figures is a fault whatever else its words might be.
const CUE_WORTH: f32 = 6.0;

/// The first words of all that says what is asked for: few words are one, and each word is asked.
static LEADS: LazyLock<FxHashSet<&str>> = LazyLock::new(|| {
    let cues = BEHIND_IT.iter().chain(BEFORE_IT);
    cues.filter_map(|(_, cue)| cue.first().copied()).collect()
});

/// *380 off the floor, should be 450*: the figure found and the figure asked for differ.
pub(super) fn required(tokens: &[Token], at: usize, sentence: Range<usize>) -> Option<Piece> {
    if !LEADS.contains(word(tokens, at)) {
        return None;
    }
    let starts = |(_, cue): &&(Bound, &[&str])| starts_with(tokens, at, cue);
    let behind = BEHIND_IT.iter().find(starts).and_then(|(bound, cue)| {
        let asked = last_number(tokens, sentence.start..at).filter(|n| n.tokens.end == at)?;
        Some((*bound, *cue, asked))
    });
    let before = || {
        // Of *should be* and *should be having* the longer one.
        let cues = BEFORE_IT.iter().filter(starts);
        let (bound, cue) = cues.max_by_key(|(_, cue)| cue.len())?;
        let after = at + cue.len();
        // "I want three hundred", but not "I want it out by the fifth".
        let right_behind = RIGHT_BEHIND.contains(cue);
        let shows = at
            .checked_sub(1)
            .map_or("it", |before| word(tokens, before));
        if *cue == SAYS && SHOWS.contains(&shows) {
            return None;
        }
        let reach = if right_behind { 1 } else { 5 };
        let article = usize::from(right_behind && matches!(word(tokens, after), "a" | "an"));
        let asked = first_number(
            tokens,
            after + article..(after + article + reach).min(sentence.end),
        )
        .or_else(|| first_number(tokens, after..(after + reach).min(sentence.end)))?;
        Some((*bound, *cue, asked))
    };
    let (bound, cue, asked) = behind.or_else(before)?;
    let around_cue = at.min(asked.tokens.start)..asked.tokens.end.max(at + cue.len());
    // The figure found stands before the cue, or after the figure asked for ("supposed to be
    // sixteen inches, and I've got nine"), or in the sentence before.
    let from = around_cue
        .start
        .saturating_sub(FIGURE_REACH)
        .max(sentence.start);
    let to = (around_cue.end + FIGURE_REACH).min(sentence.end);
    // "Two to four": both ends are asked for.
    let upper = range_end(tokens, &asked).filter(|upper| *upper > asked.value);
    let behind_it = around_cue.end + upper.map_or(0, |_| 2);
    let found = last_number(tokens, from..around_cue.start)
        .or_else(|| first_number(tokens, behind_it.min(to)..to))
        .or_else(|| {
            // "It should be": of what the sentence before measured.
            let before = sentence.start.saturating_sub(FIGURE_REACH)..sentence.start;
            let short = around_cue.start - sentence.start <= LONGEST_LEAD;
            last_number(tokens, before).filter(|_| short)
        })?;
    let (less, more) = (
        found.value < asked.value,
        found.value > upper.unwrap_or(asked.value),
    );
    let wrong = match bound {
        Bound::Exactly => less || more,
        Bound::AtLeast => less,
        Bound::AtMost => more,
    };
    if !wrong {
        return None;
    }
    // "Restrictor opens a hundred and sixty": the word before the figure found tells what it is of.
    let around = found.tokens.start.saturating_sub(1).min(from)..to.max(around_cue.end);
    let at_height = found.tokens.start.checked_sub(1);
    let at_height = at_height.is_some_and(|before| word(tokens, before) == "at");
    let quality = quality(tokens, around, less, at_height);
    // "A hundred and fifty off the wall" is no coming away.
    let off = off_a_thing(tokens, &found).filter(|_| less);
    let (quality, of) = match off {
        Some(off) => (TOO_CLOSE, off),
        None if asked.tokens.end == at => (quality, around_cue),
        None => (quality, at..at + cue.len()),
    };
    Some(Piece::own_words(PieceKind::Defect, of, quality.into()).worth(CUE_WORTH))
}

/// The fault of what is nearer to a thing than it may be.
const TOO_CLOSE: &str = "too close";

/// The most words that name that thing: *the utility window*.
const LONGEST_THING: usize = 2;

/// Returns the words right after the figure found that tell from which thing beside it it was taken:
/// *150 mm **off the wall***. From a floor it is a height.
fn off_a_thing(tokens: &[Token], found: &Number) -> Option<Range<usize>> {
    let end = found.tokens.end;
    let unit = !matches!(word(tokens, end), "off" | "from");
    let off = end + usize::from(unit);
    let thing = matches!(word(tokens, off), "off" | "from")
        && matches!(word(tokens, off + 1), "the" | "a" | "that")
        && !matches!(
            word(tokens, off + 2),
            "floor"
                | "ground"
                | "deck"
                | "slab"
                | "paving"
                | "finished"
                | "carpet"
                | "pitch"
                | "nosing"
                | "nosings"
                | "tread"
                | "treads"
                | "landing"
                | "terrace"
                | "boards"
        );
    let behind = off + 2..tokens.len().min(off + 2 + LONGEST_THING);
    let named = behind.take_while(|&at| class(word(tokens, at)) == Class::Open);
    thing.then(|| off..named.last().unwrap_or(off + 2) + 1)
}

/// Returns the upper end of *two to four*.
fn range_end(tokens: &[Token], lower: &Number) -> Option<f64> {
    let to = lower.tokens.end;
    (word(tokens, to) == "to").then(|| figure(tokens, to + 1).map(|n| n.value))?
}

/// Returns the first size that begins in `range`.
pub(super) fn first_number(tokens: &[Token], range: Range<usize>) -> Option<Number> {
    range.into_iter().find_map(|at| figure(tokens, at))
}

/// Returns the last size that lies in `range`.
pub(super) fn last_number(tokens: &[Token], range: Range<usize>) -> Option<Number> {
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
    let number = number_at(tokens, at)?;
    // "1,940, and it needs to be two metres": lengths are told in millimetres where no unit is.
    let millimetres = match word(tokens, number.tokens.end) {
        "metre" | "metres" | "m" => 1000.0,
        "centimetre" | "centimetres" | "cm" => 10.0,
        _ => 1.0,
    };
    let value = number.value * millimetres;
    (value != 1.0).then_some(Number { value, ..number })
}

/// A figure that is less than the one asked for.
const LESS: bool = true;
/// A figure that is more than the one asked for.
const MORE: bool = false;

/// What a rate is told by: a low one is *too low*, not *too small*.
const RATES: &[&str] = &[
    "pressure",
    "flow",
    "litres",
    "litre",
    "liters",
    "second",
    "cfm",
    "lux",
    "bar",
    "ohms",
    "ohm",
    "volts",
    "impedance",
];

/// How a difference is called by a word beside it, the first that applies. Common practice, no source.
#[rustfmt::skip]
const QUALITIES: &[(bool, &[&str], &str)] = &[
    (MORE, &["gives", "deflects", "flexes", "sways"], "moves too much"),
    (MORE, &["opens"], "opens too far"),
    (LESS, &["bearing"], "bearing too small"),
    (LESS, &["overlap", "lap"], "lap too short"),
    (LESS, &["pressure", "bar"], "pressure too low"),
    (LESS, &["flow", "litres", "litre", "liters"], "flow too low"),
    (LESS, &["gap", "undercut", "clearance", "space", "spacing"], "gap too small"),
    (MORE, &["gap", "undercut", "clearance", "spacing"], "gap too wide"),
    (LESS, &["plumb"], "out of plumb"),
    (MORE, &["plumb"], "out of plumb"),
    (MORE, &["decibels", "decibel", "db"], "too loud"),
    (LESS, &["thick", "thickness"], "too thin"),
    (LESS, &["insulation", "quilt", "blown", "deep", "depth", "fall", "falls", "gradient"], "too shallow"),
    (LESS, &["front"], "too small"),
    (LESS, RATES, "too low"),
    (MORE, RATES, "too high"),
    (LESS, &["degrees", "temperature"], "too cold"),
    (MORE, &["degrees", "hot", "temperature"], "too hot"),
    (MORE, &["moisture", "damp", "percent"], "too wet"),
    (LESS, &["minutes", "seconds", "overrun", "project", "projects", "projecting", "projection", "overhang", "hearth"], "too short"),
    (LESS, &["headroom", "upstand", "parapet", "balustrade", "threshold"], "too low"),
    (LESS, &["opening", "clear", "passage", "doorway"], "too narrow"),
    (LESS, &["high", "height", "floor", "up", "above", "ground", "over", "hob", "low", "damp", "sill", "rail", "handrail", "pitch", "guarding", "paving", "slab", "slabs"], "too low"),
    (MORE, &["high", "height", "floor", "up", "above", "ground", "step", "riser", "rise", "sill", "upstand"], "too high"),
];

/// The same, where the figure does not stand behind *at*.
#[rustfmt::skip]
const OTHER_QUALITIES: &[(bool, &[&str], &str)] = &[
    (MORE, &["thick", "thickness"], "too thick"),
    (LESS, &["wide", "width", "across"], "too narrow"),
    (MORE, &["wide", "width", "across"], "too wide"),
];

/// Things that are fixed at a distance from one another.
const AT_CENTRES: &[&str] = &[
    "fixings", "centres", "centers", "clips", "brackets", "joists", "studs", "noggins", "ties",
    "nails", "screws", "hangers", "battens", "apart",
];

/// Names the difference by the words around it: *too low* off a floor, *too wide* of a gap, *too high*
/// of what sits at eleven inches.
fn quality(tokens: &[Token], around: Range<usize>, less: bool, at_height: bool) -> &'static str {
    let says = |words: &[&str]| around.clone().any(|at| words.contains(&word(tokens, at)));
    let called = |table: &'static [(bool, &[&str], &'static str)]| {
        let mut rows = table.iter();
        rows.find(|(of, words, _)| *of == less && says(words))
            .map(|(.., called)| *called)
    };
    let at_height = || at_height.then_some(if less { "too low" } else { "too high" });
    let apart = says(AT_CENTRES).then_some(if less { "too close" } else { "too far apart" });
    apart
        .or_else(|| called(QUALITIES))
        .or_else(at_height)
        .or_else(|| called(OTHER_QUALITIES))
        .unwrap_or(if less { "too small" } else { "too big" })
}

/// *eight sixty, so **forty below what I want***: the difference is told.
pub(super) fn below_what(tokens: &[Token], at: usize, sentence: Range<usize>) -> Option<Piece> {
    let less = matches!(word(tokens, at), "below" | "under" | "beneath");
    let short = word(tokens, at) == "short" && word(tokens, at + 1) == "of";
    let more = matches!(word(tokens, at), "above" | "over" | "past");
    let what = at + 1 + usize::from(short);
    let wanted = word(tokens, what) == "what"
        && matches!(
            word(tokens, what + 1),
            "i" | "we" | "they" | "it" | "the" | "you" | "is" | "'s"
        );
    if !(less || short || more) || !wanted {
        return None;
    }
    let found = last_number(
        tokens,
        at.saturating_sub(FIGURE_REACH).max(sentence.start)..at,
    )?;
    let quality = match off_a_thing(tokens, &found) {
        Some(_) if !more => TOO_CLOSE,
        _ => quality(tokens, sentence.start..at, !more, false),
    };
    Some(Piece::own_words(PieceKind::Defect, at..what + 1, quality.into()).worth(CUE_WORTH))
}

/// From this size on a difference between two ends is one of height.
const A_HEIGHT: f64 = 100.0;

/// *895 **one end**, 904 **the other***: a figure at each end, and they differ.
pub(super) fn both_ends(tokens: &[Token], at: usize, sentence: Range<usize>) -> Option<Piece> {
    if word(tokens, at) != "one" || !matches!(word(tokens, at + 1), "end" | "side") {
        return None;
    }
    let first = last_number(tokens, sentence.start..at)?;
    let near = at - first.tokens.end <= 3;
    let second = first_number(tokens, at + 2..sentence.end.min(at + 8))?;
    let other = (second.tokens.end..sentence.end.min(second.tokens.end + 4))
        .any(|t| word(tokens, t) == "other");
    let text = match first.value >= A_HEIGHT {
        true => "out of level",
        false => "uneven",
    };
    (near && other && first.value != second.value)
        .then(|| Piece::own_words(PieceKind::Defect, at..at + 2, text.into()).worth(CUE_WORTH))
}
