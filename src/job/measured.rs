//! Measurements as one line of text, so that a misheard figure can be put right by typing.
//!
//! `about 6 to 8 mm over 2 m; 19 mm over 1 storey`

use super::FieldError;
use crate::items::{Measurement, Over};

/// The units that a measurement may have, as [`Measurement::unit`] lists them.
const UNITS: [&str; 22] = [
    "mm", "cm", "m", "in", "ft", "deg", "%", "°C", "Pa", "bar", "l/s", "l/min", "l", "m²", "ft²",
    "lux", "V", "W", "A", "dB", "kg", "ratio",
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
    words.push(measurement.value.to_string());
    if let Some(max) = measurement.max {
        words.extend(["to".into(), max.to_string()]);
    }
    match (&*measurement.unit, words.last_mut()) {
        ("%", Some(figure)) => figure.push('%'),
        ("deg", Some(figure)) => figure.push('°'),
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
/// heard; a changed one has its figures in their place (the item's quote is never touched).
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
            let new = one_from_text(part).ok_or_else(|| FieldError::Measurement(part.into()))?;
            let same = before
                .iter()
                .find(|old| one_to_text(old) == one_to_text(&new));
            Ok(same.cloned().unwrap_or(new))
        })
        .collect()
}

fn one_from_text(text: &str) -> Option<Measurement> {
    let mut words = text.split_whitespace().peekable();
    let approximate = words.next_if_eq(&"about").is_some();
    let (value, mut unit) = number_and_unit(words.next()?)?;
    let mut max = None;
    if unit.is_empty() && words.next_if_eq(&"to").is_some() {
        let (number, rest) = number_and_unit(words.next()?)?;
        max = Some(number);
        unit = rest;
    }
    if unit.is_empty() {
        unit = words.next()?;
    }
    let unit = if unit == "°" { "deg" } else { unit };
    let unit = *UNITS.iter().find(|known| **known == unit)?;
    let mut over = None;
    if words.next_if_eq(&"over").is_some() {
        let (value, rest) = number_and_unit(words.next()?)?;
        let unit = if rest.is_empty() { words.next()? } else { rest };
        let unit = if unit == "storeys" { "storey" } else { unit };
        let unit = UNITS_OVER.iter().find(|known| **known == unit)?;
        over = Some(Over {
            value,
            unit: unit.to_string(),
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

/// Splits `19mm` into 19 and `mm`; the unit may be missing.
fn number_and_unit(word: &str) -> Option<(f64, &str)> {
    let is_figure = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let end = word.find(|c| !is_figure(c)).unwrap_or(word.len());
    let number: f64 = word[..end].parse().ok()?;
    Some((number, &word[end..])).filter(|_| number.is_finite())
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
            ("", ""),
        ] {
            assert_eq!(to_text(&from_text(typed, &[]).unwrap()), shown, "{typed}");
        }
    }

    #[test]
    fn what_is_no_measurement_is_named() {
        for wrong in [
            "19",
            "mm",
            "19 miles",
            "8 to 6 mm",
            "19 mm over",
            "19 mm high",
            "1e400 mm",
        ] {
            let refused = from_text(&format!("5 mm; {wrong}"), &[]);
            assert_eq!(refused, Err(FieldError::Measurement(wrong.into())));
        }
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
            text in "(about )?[0-9.-]{1,5}( to [0-9]{1,3})? ?(mm|%|°C|storey|x)( over 2 ?m)?",
        ) {
            if let Ok(read) = from_text(&text, &[]) {
                let shown = to_text(&read);
                prop_assert_eq!(to_text(&from_text(&shown, &[]).unwrap()), shown);
            }
        }
    }
}
