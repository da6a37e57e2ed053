//! How far a thing is out, said without a unit: *sits **twelve proud***.

use crate::statements::reader::{Pause, Reader};

/// How far a thing stands proud, stops short and so on, without unit, in millimetres; fewer than the
/// smallest are things (*two short*).
const LARGEST_OFFSET_MM: f64 = 999.0;
const SMALLEST_OFFSET_MM: f64 = 8.0;

/// *Sits **twelve proud***, *stops **three hundred short** of the wall*, *is **nine out of level***:
/// the number goes with a word that says which way it is out.
pub(super) fn offset(r: Reader<'_>, start: usize, value: f64, end: usize) -> bool {
    let before = start.checked_sub(1).map_or("", |i| r.norm(i));
    if end == 0 || r.pause_after(end - 1) != Pause::None || value > LARGEST_OFFSET_MM {
        return false;
    }
    // "There's two out": things.
    let there = start.checked_sub(2).map_or("", |i| r.norm(i)) == "there";
    let begins = start > 0 && r.pause_after(start - 1) == Pause::Comma;
    let stands = begins || STANDS.contains(&before) && !there;
    let counted = value < SMALLEST_OFFSET_MM;
    let true_line = r.norm(end + 1) == "of" && OUT_OF.contains(&r.norm(end + 2));
    match r.norm(end) {
        "proud" => true,
        "short" => !counted && (r.stands_alone(end + 1) || r.norm(end + 1) == "of"),
        "deep" | "thick" | "high" | "across" | "long" | "wide" => {
            !counted && (stands || r.stands_alone(end + 1))
        }
        "low" => stands && !counted,
        "out" => true_line || stands && r.norm(end + 1) != "of",
        "at" => !counted && r.is(end + 1, &["one", "end"]),
        "above" | "below" => stands && !counted && r.norm(end + 1) == "the",
        _ => false,
    }
}

/// Words before a number that says how far a thing is out.
const STANDS: &[&str] = &[
    "is", "'s", "s", "are", "'re", "was", "sits", "sit", "sitting", "stands", "stand", "standing",
    "only", "just", "finishes", "finished", "finish", "set", "stops", "stop", "about", "hangs",
    "hanging", "projects", "runs",
];

/// What a thing is out of.
const OUT_OF: &[&str] = &[
    "level", "plumb", "square", "true", "line", "flat", "parallel", "centre", "center",
];
