//! Which way a measurement goes: *400 **off the floor***, *4 mm **wide***, *19 mm **leaning in***.

use crate::statements::reader::{Pause, Reader};

/// Returns where the words of direction after `end` end; `end` where there are none.
pub(super) fn end(r: Reader<'_>, end: usize) -> usize {
    if end == 0 || r.pause_after(end - 1) != Pause::None {
        return end;
    }
    let going = usize::from(GOING.contains(&r.norm(end)));
    let at = end + going;
    if going == 0 && DIMENSIONS.contains(&r.norm(end)) || WAYS.contains(&r.norm(at)) && going > 0 {
        return at + 1;
    }
    reference(r, at).unwrap_or(end)
}

/// Returns where *off the floor*, *above the finished paving*, *to the wall* at `at` ends.
fn reference(r: Reader<'_>, at: usize) -> Option<usize> {
    if !FROM.contains(&r.norm(at)) {
        return None;
    }
    let mut noun = at + 1;
    while matches!(r.norm(noun), "the" | "a" | "finished" | "top" | "of") {
        noun += 1;
    }
    (SURFACES.contains(&r.norm(noun)) && r.pause_after(noun - 1) == Pause::None).then_some(noun + 1)
}

/// True where the words at `at` say that a bare number before them is a size: *long*, *up*, *off the
/// floor*.
pub(super) fn is_size(r: Reader<'_>, at: usize) -> bool {
    let alone_up = r.norm(at) == "up" && (at + 1 >= r.len() || r.stands_alone(at + 1));
    DIMENSIONS.contains(&r.norm(at)) || alone_up || reference(r, at).is_some()
}

const DIMENSIONS: &[&str] = &["long", "wide", "high", "deep", "tall", "thick", "clear"];

const GOING: &[&str] = &[
    "leaning", "leans", "falling", "falls", "running", "runs", "sloping", "slopes", "dropping",
    "drops", "bowing", "bowed",
];

const WAYS: &[&str] = &[
    "in",
    "out",
    "inwards",
    "outwards",
    "inward",
    "outward",
    "back",
    "backwards",
    "forward",
    "forwards",
    "left",
    "right",
    "away",
    "down",
    "up",
];

const FROM: &[&str] = &[
    "off", "above", "below", "from", "over", "to", "towards", "toward", "into",
];

/// What heights are measured from, and what falls run to (common practice, no source).
const SURFACES: &[&str] = &[
    "floor",
    "floors",
    "ground",
    "worktop",
    "hob",
    "cooker",
    "paving",
    "path",
    "patio",
    "deck",
    "decking",
    "landing",
    "nosing",
    "nosings",
    "pitch",
    "tread",
    "step",
    "drive",
    "driveway",
    "slab",
    "screed",
    "tiles",
    "carpet",
    "threshold",
    "wall",
    "house",
    "door",
    "road",
    "drain",
    "gully",
    "corner",
    "ceiling",
    "garden",
    "lawn",
];
