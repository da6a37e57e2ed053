//! *paint on the carpet*, *mortar smeared all down the brickwork*: something is where it does not
//! belong.

use super::super::grammar::{Class, class};
use super::super::piece::{Piece, PieceKind};
use super::{Range, said, word};
use crate::lexicon::{Hit, Token};

/// What trades leave on the work of others. Common practice, no source.
const MATERIALS: &[&str] = &[
    "paint",
    "gloss",
    "emulsion",
    "plaster",
    "mortar",
    "render",
    "cement",
    "concrete",
    "grout",
    "silicone",
    "sealant",
    "adhesive",
    "glue",
    "caulk",
    "foam",
    "mastic",
    "varnish",
    "stain",
    "primer",
    "filler",
    "sawdust",
    "mud",
    "muck",
    "tar",
    "bitumen",
    "overspray",
    "muckings",
    "drywall",
    "thinset",
    "stucco",
    "oil",
    "grease",
    "dirt",
    "rust",
    "wax",
];

/// How it got there.
const LEFT: &[&str] = &[
    "smeared",
    "splashed",
    "dropped",
    "spilt",
    "spilled",
    "dried",
    "splattered",
    "spattered",
    "dripped",
    "run",
    "slopped",
    "flicked",
    "sprayed",
    "daubed",
    "left",
    "stuck",
    "all",
    "everywhere",
    "right",
];

/// How it shows on the thing that was named before it.
const SQUEEZED: &[&str] = &[
    "squeezed",
    "squeezing",
    "oozed",
    "oozing",
    "bled",
    "bleeding",
    "smeared",
    "splashed",
    "spattered",
];

/// What leads to the thing that it is on.
const ON: &[&str] = &["on", "over", "down", "across", "onto", "along", "up"];

/// The words before a thing.
const BEFORE_A_THING: &[&str] = &[
    "the", "this", "that", "these", "those", "my", "its", "one", "some", "both", "all",
];

/// Returns the fault for a material at `at` that is on something named after it.
pub(super) fn soiled(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let material = word(tokens, at);
    // "Worn through the varnish".
    let through = at > clause.start + 2
        && word(tokens, at - 2) == "through"
        && matches!(
            word(tokens, at - 3),
            "worn" | "gone" | "rubbed" | "scuffed" | "cut"
        );
    // "A paint run on the skirting": of the finish, and listed.
    let runs = material == "paint" && matches!(word(tokens, at + 1), "run" | "runs");
    let denied = at > clause.start && matches!(word(tokens, at - 1), "no" | "any" | "without");
    if !MATERIALS.contains(&material) || denied || through || runs {
        return None;
    }
    let mut next = at + 1;
    while next < clause.end && LEFT.contains(&word(tokens, next)) {
        next += 1;
    }
    // "Drip groove has mortar packed into it".
    let packed = next + usize::from(matches!(word(tokens, next), "packed" | "sitting" | "lying"));
    let has = (clause.start..at).any(|t| matches!(word(tokens, t), "has" | "got" | "'s" | "have"));
    if has
        && matches!(word(tokens, packed), "in" | "into" | "inside")
        && matches!(word(tokens, packed + 1), "it" | "them")
        && packed + 1 < clause.end
    {
        let text = format!("{material} in it");
        return Some(Piece::own_words(PieceKind::Defect, at..packed + 2, text).worth(6.0));
    }
    // "Two treads have got glue squeezed out along the front".
    let how = word(tokens, at + 1);
    if has && SQUEEZED.contains(&how) && at + 1 < clause.end {
        let end = at + 2 + usize::from(word(tokens, at + 2) == "out");
        let fault = at..end.min(clause.end);
        let text = said(tokens, fault.clone());
        return Some(Piece::own_words(PieceKind::Defect, fault, text).worth(5.0));
    }
    let on = next;
    while next < clause.end && ON.contains(&word(tokens, next)) {
        next += 1;
    }
    let thing = next + 1 < clause.end
        && BEFORE_A_THING.contains(&word(tokens, next))
        && matches!(class(word(tokens, next + 1)), Class::Open | Class::Position);
    // "Paint down the left" tells where the paint itself is poor; "on" and words of spilling do not.
    let spilt = on > at + 1 || word(tokens, on) == "on";
    (next > on && thing && spilt).then(|| {
        Piece::own_words(PieceKind::Defect, at..next + 1, format!("{material} on it")).worth(5.0)
    })
}
