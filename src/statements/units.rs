//! Units as spoken, written and commonly misheard.

use super::reader::Reader;

/// A unit found in the tokens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Unit {
    /// Its name as in [`crate::items::Measurement::unit`].
    pub(super) name: &'static str,
    /// First token after it.
    pub(super) end: usize,
}

/// Reads a unit in words at `at`; the bare word *in* is none (see [`after_number`]).
pub(super) fn unit_word(r: Reader<'_>, at: usize) -> Option<Unit> {
    let unit = |name, words| {
        Some(Unit {
            name,
            end: at + words,
        })
    };
    let next = r.norm(at + 1);
    let square = matches!(next, "squared" | "square");
    match r.norm(at) {
        "square" if is_metre(next) => unit("m²", 2),
        "square" if matches!(next, "foot" | "feet") => unit("ft²", 2),
        "seconds" | "secs" if near(r, at, TAKING) => unit("s", 1),
        "minutes" | "mins" if near(r, at, TAKING) => unit("min", 1),
        "mm" | "mil" | "mill" | "mils" | "mills" | "millimetre" | "millimetres" | "millimeter"
        | "millimeters" => unit("mm", 1),
        "milli" | "mili" if is_metre(next) => unit("mm", 2),
        // Recognisers write "ml" for "mil"; millilitres are not measured on a walk-round unless
        // something flows.
        "ml" | "mls" if !near(r, at, FLOWING) => unit("mm", 1),
        "cm" | "cms" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => unit("cm", 1),
        word if is_metre(word) => {
            // A "meter box" is an element.
            if METER_PARTS.contains(&next) {
                None
            } else if square {
                unit("m²", 2)
            } else {
                unit("m", 1)
            }
        }
        "inch" | "inches" => unit("in", 1),
        "foot" | "feet" | "ft" => unit("ft", 1),
        "degree" | "degrees" | "deg" | "degs" => match next {
            "celsius" | "centigrade" | "c" => unit("°C", 2),
            _ => unit("deg", 1),
        },
        "celsius" | "centigrade" | "°c" => unit("°C", 1),
        "°" => unit("deg", 1),
        "percent" | "%" => unit("%", 1),
        "per" if next == "cent" => unit("%", 2),
        "pascal" | "pascals" | "pa" => unit("Pa", 1),
        // "Bar" alone is also a thing: towel bar, bar fire.
        "bar" if near(r, at, PRESSURE) => unit("bar", 1),
        "litre" | "litres" | "liter" | "liters" => match (next, r.norm(at + 2)) {
            ("per" | "a", "second") => unit("l/s", 3),
            ("per" | "a", "minute") => unit("l/min", 3),
            _ => unit("l", 1),
        },
        "l/s" => unit("l/s", 1),
        "l/min" => unit("l/min", 1),
        "lux" => unit("lux", 1),
        "volt" | "volts" => unit("V", 1),
        "watt" | "watts" => unit("W", 1),
        "amp" | "amps" | "ampere" | "amperes" => unit("A", 1),
        "decibel" | "decibels" | "db" => unit("dB", 1),
        "kilo" | "kilos" | "kg" | "kgs" | "kilogram" | "kilograms" => unit("kg", 1),
        _ => None,
    }
}

/// Reads the unit after a number whose last token is `at - 1`: a sign on the written number (`6"`,
/// `5%`, `40°C`), a unit in words, or *in* where it can only be inches.
pub(super) fn after_number(r: Reader<'_>, at: usize) -> Option<Unit> {
    let last = at.checked_sub(1)?;
    let written = r
        .norm(last)
        .ends_with(|c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞".contains(c));
    if written {
        let own = usize::from(matches!(r.norm(at), "%" | "°"));
        let celsius = usize::from(matches!(r.norm(at + own), "c" | "°c"));
        let sign = r
            .signs_after(last)
            .chars()
            .next()
            .or(r.lone_sign_after(last).chars().next());
        let found = match sign {
            Some('%') => Some(("%", 0)),
            Some('"' | '″' | '”') => Some(("in", 0)),
            Some('\'' | '′' | '’') => Some(("ft", 0)),
            Some('°' | 'º') if celsius == 1 => Some(("°C", 1)),
            Some('°' | 'º') => Some(("deg", 0)),
            _ => None,
        };
        if let Some((name, letters)) = found {
            return Some(Unit {
                name,
                end: at + own + letters,
            });
        }
        if r.norm(at) == "in" && (r.same_word(last, at) || AFTER_INCHES.contains(&r.norm(at + 1))) {
            return Some(Unit {
                name: "in",
                end: at + 1,
            });
        }
    }
    if r.pause_after(last).stops() {
        return None;
    }
    // Single letters are units after written numbers only ("I'm" also gives an "m").
    let letter = match r.norm(at) {
        "m" => "m",
        "l" => "l",
        "v" => "V",
        "w" => "W",
        "a" if r.same_word(last, at) => "A",
        "c" if r.same_word(last, at) => "°C",
        _ => return unit_word(r, at),
    };
    written.then_some(Unit {
        name: letter,
        end: at + 1,
    })
}

/// Returns one `unit` in millimetres, for units of length.
pub fn in_millimetres(unit: &str) -> Option<f64> {
    Some(match unit {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1000.0,
        // International yard and pound agreement of 1959: one inch is 25.4 mm.
        "in" => 25.4,
        "ft" => 304.8,
        _ => return None,
    })
}

/// Returns true for a word that is a unit of length.
pub(super) fn is_length(word: &str) -> bool {
    matches!(
        word,
        "mil"
            | "mm"
            | "millimetre"
            | "millimetres"
            | "metre"
            | "metres"
            | "inch"
            | "inches"
            | "foot"
            | "feet"
            | "cm"
            | "m"
    )
}

fn is_metre(word: &str) -> bool {
    matches!(word, "metre" | "metres" | "meter" | "meters")
}

/// Words after *metre*/*meter* that make it the instrument.
const METER_PARTS: &[&str] = &[
    "box", "boxes", "cupboard", "cabinet", "reading", "readings", "door", "tails", "position",
];

/// Words after *in* that show it is inches, after a written number.
const AFTER_INCHES: &[&str] = &[
    "gap", "gaps", "wide", "long", "high", "deep", "thick", "out", "short", "proud", "lip", "step",
    "crack", "low", "below", "above", "drop", "hole",
];

/// Words of how long a thing takes: without them a few minutes are the speaker's.
const TAKING: &[&str] = &[
    "takes", "took", "taking", "take", "drains", "drain", "drained", "draining", "empty",
    "empties", "fill", "fills",
];
const FLOWING: &[&str] = &[
    "water", "flow", "flows", "flush", "litre", "litres", "paint", "bottle",
];
const PRESSURE: &[&str] = &[
    "pressure",
    "gauge",
    "reads",
    "reading",
    "boiler",
    "expansion",
    "system",
    "mains",
    "water",
    "static",
    "dynamic",
    "charged",
    "point",
];

/// How many tokens to either side still belong to what is being said.
const NEAR: usize = 6;

fn near(r: Reader<'_>, at: usize, words: &[&str]) -> bool {
    (at.saturating_sub(NEAR)..(at + NEAR).min(r.len())).any(|i| words.contains(&r.norm(i)))
}
