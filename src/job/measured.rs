//! Measurements as one line of text, so that a misheard figure can be put right by typing.
//!
//! `about 6 to 8 mm over 2 m; 19 mm over 1 storey`

use super::FieldError;
use crate::items::{Measurement, Over};
use std::iter::Peekable;
use std::str::SplitWhitespace;

/// The units that a measurement may have, as [`Measurement::unit`] lists them.
const UNITS: [&str; 24] = [
    "mm", "cm", "m", "in", "ft", "deg", "%", "°C", "Pa", "bar", "l/s", "l/min", "l", "m²", "ft²",
    "lux", "V", "W", "A", "dB", "kg", "ratio", "min", "s",
];

/// The units that a measurement may be tied to.
const UNITS_OVER: [&str; 9] = [
    "mm", "cm", "m", "in", "ft", "storey", "width", "height", "length",
];

/// Returns the measurements in figures, separated by `; `.
pub(super) fn to_text(measurements: &[Measurement]) -> String {
    measurements
        .iter()
        .map(one_to_text)
        .collect::<Vec<_>>()
        .join("; ")
}

/// Returns one measurement in figures.
pub(crate) fn one_to_text(measurement: &Measurement) -> String {
    let mut words: Vec<String> = Vec::new();
    if measurement.approximate {
        words.push("about".into());
    }
    if measurement.unit == "ratio" {
        words.extend(["1".into(), "in".into()]);
    }
    words.push(measurement.value.to_string());
    if let Some(max) = measurement.max {
        words.extend(["to".into(), max.to_string()]);
    }
    match (&*measurement.unit, words.last_mut()) {
        ("%", Some(figure)) => figure.push('%'),
        ("deg", Some(figure)) => figure.push('°'),
        ("ratio", _) => {}
        (unit, _) => words.push(unit.into()),
    }
    if let Some(over) = &measurement.over {
        let plural = over.unit == "storey" && over.value != 1.0;
        let unit = if plural { "storeys" } else { &over.unit };
        words.extend(["over".into(), over.value.to_string(), unit.into()]);
    }
    words.join(" ")
}

/// Returns the measurements that `text` gives. One that is the same as before keeps the words as
/// heard; a changed one has its figures in their place (the item's quote is never touched). A figure
/// without a unit has that of the first before, or else is in millimetres.
///
/// # Errors
/// [`FieldError::Measurement`] naming the part that is not understood.
pub(super) fn from_text(
    text: &str,
    before: &[Measurement],
) -> Result<Vec<Measurement>, FieldError> {
    let parts = text
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    parts
        .map(|part| {
            let usual = before.first().map_or("mm", |old| &*old.unit);
            let new =
                one_from_text(part, usual).ok_or_else(|| FieldError::Measurement(part.into()))?;
            let same = before
                .iter()
                .find(|old| one_to_text(old) == one_to_text(&new));
            Ok(same.cloned().unwrap_or(new))
        })
        .collect()
}

fn one_from_text(text: &str, usual: &str) -> Option<Measurement> {
    let mut words = text.split_whitespace().peekable();
    let approximate = words.next_if_eq(&"about").is_some();
    let (value, mut unit) = match one_in(&words) {
        Some(value) => {
            words.by_ref().take(3).for_each(drop);
            (value, "ratio")
        }
        None => quantity(&mut words)?,
    };
    let mut max = None;
    if matches!(unit, "" | "ratio") && words.next_if_eq(&"to").is_some() {
        let (number, rest) = quantity(&mut words)?;
        max = Some(number);
        unit = match (unit, rest) {
            ("", rest) => rest,
            (unit, "") => unit,
            _ => return None,
        };
    }
    if unit.is_empty() {
        // Nobody says the unit every time.
        unit = match tied(&words) {
            true => usual,
            false => words.next().unwrap_or(usual),
        };
    }
    let unit = unit_from(unit)?;
    let mut over = None;
    if let Some(joining) = tied(&words).then(|| words.next()).flatten() {
        // A length tied to by *per* is one of it where no figure follows: *2 mm per m*.
        let each = (joining == "per").then(|| words.next_if(|word| over_from(word).is_some()));
        let (value, rest) = match each.flatten() {
            Some(unit) => (1.0, unit),
            None => quantity(&mut words)?,
        };
        let unit = if rest.is_empty() { words.next()? } else { rest };
        over = Some(Over {
            value,
            unit: over_from(unit)?.to_string(),
        });
    }
    if words.next().is_some() || max.is_some_and(|max| max <= value) {
        return None;
    }
    let (unit, spoken) = (unit.to_string(), text.to_string());
    Some(Measurement {
        value,
        max,
        unit,
        over,
        spoken,
        approximate,
    })
}

/// Returns the 60 of `1 in 60`, a fall, where no unit follows that would make it a length.
fn one_in(words: &Peekable<SplitWhitespace<'_>>) -> Option<f64> {
    let mut ahead = words.clone();
    let ["1", "in"] = [ahead.next()?, ahead.next()?] else {
        return None;
    };
    let value: f64 = ahead.next()?.parse().ok()?;
    let alone = ahead.next().is_none_or(|word| word == "to");
    (alone && value.is_finite()).then_some(value)
}

/// Returns true where the next word ties the measurement to a length: *in* does before a figure only,
/// and is inches otherwise.
fn tied(words: &Peekable<SplitWhitespace<'_>>) -> bool {
    let mut ahead = words.clone();
    match ahead.next() {
        Some("over" | "per") => true,
        Some("in") => ahead
            .next()
            .is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit())),
        _ => false,
    }
}

/// Returns the unit that a word names, in any of its usual writings.
fn unit_from(word: &str) -> Option<&'static str> {
    let lower = word.to_lowercase();
    let name = match &*lower {
        "mil" | "mils" | "millimetre" | "millimetres" => "mm",
        "centimetre" | "centimetres" => "cm",
        "metre" | "metres" => "m",
        "\"" | "″" | "inch" | "inches" => "in",
        "'" | "′" | "foot" | "feet" => "ft",
        "m2" | "sqm" => "m²",
        "ft2" | "sqft" => "ft²",
        "°" | "degree" | "degrees" => "deg",
        "c" | "celsius" => "°C",
        "percent" => "%",
        "litre" | "litres" => "l",
        "minute" | "minutes" => "min",
        "second" | "seconds" => "s",
        _ => &lower,
    };
    let known = |unit: &&&str| **unit == word || **unit == name || unit.to_lowercase() == name;
    UNITS.iter().find(known).copied()
}

/// The same for what a measurement may be tied to.
fn over_from(word: &str) -> Option<&'static str> {
    if matches!(word, "storey" | "storeys") {
        return Some("storey");
    }
    let length = ["width", "height", "length"].into_iter();
    let mut length = length.filter(|unit| *unit == word);
    length.next().or_else(|| {
        let unit = unit_from(word)?;
        UNITS_OVER.into_iter().find(|known| *known == unit)
    })
}

/// Takes a figure with what stands directly after it, a unit or nothing: `19mm`, `19`, and with
/// fractions `5/8`, `4 5/8"`.
fn quantity<'a>(words: &mut Peekable<SplitWhitespace<'a>>) -> Option<(f64, &'a str)> {
    let (whole, rest) = number_and_unit(words.next()?)?;
    let part = match rest {
        "" => words
            .next_if(|word| word.contains('/') && word.starts_with(|c: char| c.is_ascii_digit())),
        _ => None,
    };
    match part.map(number_and_unit) {
        Some(part) => part.map(|(part, rest)| (whole + part, rest)),
        None => Some((whole, rest)),
    }
}

/// Splits `19mm` into 19 and `mm`, `5/8in` into 0.625 and `in`; the unit may be missing.
fn number_and_unit(word: &str) -> Option<(f64, &str)> {
    let is_figure = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let split = |word: &'_ str| word.find(|c| !is_figure(c)).unwrap_or(word.len());
    let (number, mut rest) = word.split_at(split(word));
    let mut number: f64 = number.parse().ok()?;
    if let Some(below) = rest
        .strip_prefix('/')
        .filter(|rest| rest.starts_with(is_figure))
    {
        let (divisor, unit) = below.split_at(split(below));
        number /= divisor.parse::<f64>().ok()?;
        rest = unit;
    }
    Some((number, rest)).filter(|_| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn figures_are_read_and_written() {
        for (typed, shown) in [
            ("19 mm", "19 mm"),
            ("19mm over 2m", "19 mm over 2 m"),
            ("about 6 to 8 mm;0.5 m", "about 6 to 8 mm; 0.5 m"),
            ("19 mm over 2 storeys", "19 mm over 2 storeys"),
            ("-3 °C ; ", "-3 °C"),
            ("18 %; 92 deg; 92°", "18%; 92°; 92°"),
            ("3 mm over 1 width", "3 mm over 1 width"),
            ("9 mm in 2 m; 2mm per m", "9 mm over 2 m; 2 mm over 1 m"),
            ("1/16 in; 4 5/8\"; 3/8in", "0.0625 in; 4.625 in; 0.375 in"),
            ("1 m2; 56 c; 4 min", "1 m²; 56 °C; 4 min"),
            (
                "about 1 in 60; 1 in 40 to 60",
                "about 1 in 60; 1 in 40 to 60",
            ),
            (
                "1 in 60 mm; 1 in; 60 ratio",
                "1 mm over 60 mm; 1 in; 1 in 60",
            ),
            ("19; 6 to 8; 9 in 2 m", "19 mm; 6 to 8 mm; 9 mm over 2 m"),
            ("19 millimetres in 3 metres", "19 mm over 3 m"),
            ("", ""),
        ] {
            assert_eq!(to_text(&from_text(typed, &[]).unwrap()), shown, "{typed}");
        }
    }

    #[test]
    fn what_is_no_measurement_is_named() {
        for wrong in [
            "mm",
            "19 miles",
            "8 to 6 mm",
            "19 mm over",
            "19 mm high",
            "1e400 mm",
            "1/0 mm",
            "9 mm in",
            "9 mm per 2",
            "2 in 60",
            "1 in 60 to 40",
            "1 in 40 to 60mm",
        ] {
            let refused = from_text(&format!("5 mm; {wrong}"), &[]);
            assert_eq!(refused, Err(FieldError::Measurement(wrong.into())));
        }
    }

    #[test]
    fn a_figure_alone_has_the_unit_of_before() {
        let before = from_text("1/4 in", &[]).unwrap();
        assert_eq!(to_text(&from_text("3/8", &before).unwrap()), "0.375 in");
    }

    #[test]
    fn an_unchanged_one_keeps_the_words_as_heard() {
        let mut before = from_text("19 mm; 5 mm", &[]).unwrap();
        before[0].spoken = "nineteen mil".into();
        let after = from_text("19 mm; 6 mm", &before).unwrap();
        assert_eq!(
            [&*after[0].spoken, &*after[1].spoken],
            ["nineteen mil", "6 mm"]
        );
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_and_what_is_read_comes_back(
            text in "(about )?[0-9.-]{1,5}( (to|in) [0-9]{1,3})? ?(mm|%|°C|storey|x)( over 2 ?m)?",
        ) {
            if let Ok(read) = from_text(&text, &[]) {
                let shown = to_text(&read);
                prop_assert_eq!(to_text(&from_text(&shown, &[]).unwrap()), shown);
            }
        }
    }
}
