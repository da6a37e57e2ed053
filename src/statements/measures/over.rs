//! What a measurement is tied to: *over two metres*, *per metre*, *over the storey*.

use super::quantity::Quantity;
use crate::items::Over;
use crate::statements::reader::Reader;
use crate::statements::{numbers, units};
use std::ops::Range;

/// A measurement with the length it is tied to and the tokens that name that length.
pub(super) struct Tied {
    pub(super) quantity: Quantity,
    pub(super) over: Option<(Over, Range<usize>)>,
}

/// How far from the measurement, in tokens, the length it is tied to may be said.
const REACH: usize = 10;
/// The same after *in*, which also leads to places.
const REACH_OF_IN: usize = 4;

/// A length that something may be tied to.
struct Length {
    over: Over,
    tokens: Range<usize>,
    /// Size in millimetres; `None` for a storey, width, height or length.
    size: Option<f64>,
    /// Index among the quantities, where it is one.
    quantity: Option<usize>,
    /// True where it is the size of a tool: *two metre level*.
    tool: bool,
    reach: usize,
}

/// Ties lengths to measurements and returns what remains, in order.
pub(super) fn tie(r: Reader<'_>, quantities: Vec<Quantity>) -> Vec<Tied> {
    let mut lengths = named_lengths(r);
    for (index, quantity) in quantities.iter().enumerate() {
        lengths.extend(measured_length(r, index, quantity));
    }
    lengths.sort_by_key(|l| l.tokens.start);
    let is_length: Vec<bool> = (0..quantities.len())
        .map(|i| lengths.iter().any(|l| l.quantity == Some(i)))
        .collect();
    let mut overs: Vec<Option<(Over, Range<usize>)>> = vec![None; quantities.len()];
    let mut used = vec![false; quantities.len()];
    for length in &lengths {
        let fits = |i: usize| {
            let q = &quantities[i];
            !is_length[i] && overs[i].is_none() && smaller(q, length) && within(r, q, length)
        };
        let before = (0..quantities.len())
            .rev()
            .filter(|i| quantities[*i].tokens.end <= length.tokens.start);
        let after =
            (0..quantities.len()).filter(|i| quantities[*i].tokens.start >= length.tokens.end);
        // Only the nearest on each side: a length is not tied across another measurement.
        let nearest = [before.clone().next(), after.clone().next()];
        let tied = nearest.into_iter().flatten().find(|i| fits(*i));
        if let Some(i) = tied {
            overs[i] = Some((length.over.clone(), length.tokens.clone()));
        }
        if let Some(own) = length.quantity {
            used[own] = tied.is_some() || length.tool;
        }
    }
    let kept = quantities.into_iter().zip(overs).zip(used);
    kept.filter(|(_, used)| !used)
        .map(|((mut quantity, over), _)| {
            bound(r, &mut quantity);
            Tied { quantity, over }
        })
        .collect()
}

/// Takes *over*, *under*, *above* and *below* before a measurement that they do not tie as bounds.
fn bound(r: Reader<'_>, quantity: &mut Quantity) {
    let start = quantity.tokens.start;
    let bounded = start > 0
        && matches!(r.norm(start - 1), "over" | "under" | "above" | "below")
        && !r.pause_after(start - 1).stops();
    if bounded && quantity.tokens.start == quantity.number {
        quantity.tokens.start -= 1;
        quantity.approximate = true;
    }
}

fn smaller(quantity: &Quantity, length: &Length) -> bool {
    match (units::in_millimetres(quantity.unit), length.size) {
        (Some(one), Some(size)) => quantity.max.unwrap_or(quantity.value) * one < size,
        (Some(_), None) => true,
        (None, _) => matches!(quantity.unit, "deg" | "%"),
    }
}

fn within(r: Reader<'_>, quantity: &Quantity, length: &Length) -> bool {
    let (from, to) = if quantity.tokens.end <= length.tokens.start {
        (quantity.tokens.end, length.tokens.start)
    } else {
        (length.tokens.end, quantity.tokens.start)
    };
    to - from <= length.reach && !r.sentence_ends_within(from.saturating_sub(1), to)
}

/// Returns the length that a quantity is, where the words around it say that others are tied to it.
fn measured_length(r: Reader<'_>, index: usize, quantity: &Quantity) -> Option<Length> {
    let size = units::in_millimetres(quantity.unit)? * quantity.value;
    if quantity.max.is_some() {
        return None;
    }
    let tool = TOOLS.iter().any(|words| r.is(quantity.tokens.end, words));
    let lead = lead_before(r, quantity.tokens.start);
    let (start, reach) = match lead {
        Some((start, "in")) => (start, REACH_OF_IN),
        Some((start, word)) if tool || !TOOL_LEADS.contains(&word) => (start, REACH),
        _ if tool => (quantity.tokens.start, REACH),
        _ => return None,
    };
    let tool_end = TOOLS.iter().find(|words| r.is(quantity.tokens.end, words));
    let end = quantity.tokens.end + tool_end.map_or(0, |words| words.len());
    Some(Length {
        over: Over {
            value: quantity.value,
            unit: quantity.unit.to_owned(),
        },
        tokens: start..end,
        size: Some(size),
        quantity: Some(index),
        tool,
        reach,
    })
}

/// Returns where the words that lead to a length start, and the leading word.
fn lead_before(r: Reader<'_>, at: usize) -> Option<(usize, &'static str)> {
    let article = at > 0 && matches!(r.norm(at - 1), "a" | "the" | "any" | "each" | "my" | "its");
    let at = at - usize::from(article);
    LEADS
        .iter()
        .find(|words| r.ends_with(at, words))
        .map(|words| (at - words.len(), words[words.len() - 1]))
}

const LEADS: &[&[&str]] = &[
    &["measured", "over"],
    &["over"],
    &["across"],
    &["along"],
    &["per"],
    &["within"],
    &["for", "every"],
    &["in", "every"],
    &["every"],
    &["in"],
    &["under"],
    &["beneath"],
    &["below"],
    &["on"],
    &["with"],
    &["against"],
    &["using"],
    &["off"],
];

/// Leads that make a length of a tool's size only.
const TOOL_LEADS: &[&str] = &[
    "under", "beneath", "below", "on", "with", "against", "using", "off",
];

const TOOLS: &[&[&str]] = &[
    &["straightedge"],
    &["straight", "edge"],
    &["level"],
    &["spirit", "level"],
    &["staff"],
    &["rule"],
    &["ruler"],
    &["batten"],
    &["edge"],
];

/// Returns the lengths that are named, not measured: *over the storey*, *per metre*, *to the metre*.
fn named_lengths(r: Reader<'_>) -> Vec<Length> {
    (0..r.len()).filter_map(|at| named_length(r, at)).collect()
}

fn named_length(r: Reader<'_>, at: usize) -> Option<Length> {
    let lead = [
        &["to", "the"][..],
        &["in", "every"],
        &["for", "every"],
        &["in", "the"],
    ]
    .into_iter()
    .find(|words| r.is(at, words))
    .or_else(|| {
        matches!(
            r.norm(at),
            "over" | "across" | "along" | "per" | "every" | "in" | "up" | "down"
        )
        .then_some(&["over"][..])
    })?;
    let led_by = r.norm(at);
    let mut noun = at + lead.len();
    let count = numbers::read(r, noun).filter(|n| matches!(r.norm(n.end), "storey" | "storeys"));
    if let Some(count) = count {
        noun = count.end;
    }
    while matches!(
        r.norm(noun),
        "the" | "a" | "one" | "its" | "each" | "full" | "whole" | "this"
    ) {
        noun += 1;
    }
    let metre = || units::unit_word(r, noun).filter(|u| matches!(u.name, "m" | "ft"));
    let (unit, end) = match r.norm(noun) {
        "storey" | "storeys" | "story" | "floor" if led_by != "in" && r.norm(noun) != "floor" => {
            ("storey", noun + 1)
        }
        "width" if led_by != "in" => ("width", noun + 1),
        "height" if led_by != "in" => ("height", noun + 1),
        "length" if led_by != "in" => ("length", noun + 1),
        // With an article it is a quantity, found by its own rule.
        _ if !matches!(r.norm(noun - 1), "a" | "one") => (metre()?.name, metre()?.end),
        _ => return None,
    };
    let value = count.map_or(1.0, |n| n.value);
    let size = units::in_millimetres(unit).map(|one| one * value);
    let over = Over {
        value,
        unit: unit.to_owned(),
    };
    Some(Length {
        over,
        tokens: at..end,
        size,
        quantity: None,
        tool: false,
        reach: REACH,
    })
}
