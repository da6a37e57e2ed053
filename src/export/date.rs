//! The document's date: RFC 3339 in, words out.

use super::error::ExportError;
use jiff::fmt::temporal::Pieces;

/// Returns the date and time in words, as in `2 March 2026, 17:05 UTC`.
///
/// # Errors
/// [`ExportError::Created`] where it is no date.
pub(super) fn in_words(text: &str) -> Result<String, ExportError> {
    let Created { date, time, offset } = parse(text)?;
    let zone = match offset.seconds() {
        0 => " UTC".to_string(),
        seconds => {
            let (sign, minutes) = (
                if seconds < 0 { '\u{2212}' } else { '+' },
                seconds.abs() / 60,
            );
            format!(" UTC{sign}{}:{:02}", minutes / 60, minutes % 60)
        }
    };
    Ok(format!(
        "{}, {:02}:{:02}{zone}",
        day(date),
        time.hour(),
        time.minute()
    ))
}

fn day(date: jiff::civil::Date) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let month = MONTHS[usize::from(date.month().unsigned_abs()) - 1];
    format!("{} {month} {}", date.day(), date.year())
}

/// Returns the parts of a date and time as in RFC 3339 (section 5.6), which asks for a date, a
/// time and an offset.
pub(super) fn parse(text: &str) -> Result<Created, ExportError> {
    let wrong = || ExportError::Created {
        text: text.to_string(),
    };
    let pieces = Pieces::parse(text).map_err(|_| wrong())?;
    let (Some(time), Some(offset)) = (pieces.time(), pieces.to_numeric_offset()) else {
        return Err(wrong());
    };
    // RFC 3339 knows no zone names in brackets (RFC 9557 does), which the parser would take.
    if pieces.time_zone_annotation().is_some() || !is_rfc_3339_shape(text) {
        return Err(wrong());
    }
    Ok(Created {
        date: pieces.date(),
        time,
        offset,
    })
}

/// A date and time with its offset.
pub(super) struct Created {
    pub(super) date: jiff::civil::Date,
    pub(super) time: jiff::civil::Time,
    pub(super) offset: jiff::tz::Offset,
}

/// Tells whether the text has the punctuation of RFC 3339's `date-time`, which is narrower than
/// the ISO 8601 forms that the date parser takes.
fn is_rfc_3339_shape(text: &str) -> bool {
    let shape: String = text
        .chars()
        .map(|c| if c.is_ascii_digit() { '0' } else { c })
        .collect();
    let Some(rest) = shape
        .to_ascii_uppercase()
        .strip_prefix("0000-00-00T00:00:00")
        .map(String::from)
    else {
        return false;
    };
    let offset = match rest.strip_prefix('.') {
        Some(fraction) if fraction.starts_with('0') => fraction.trim_start_matches('0'),
        Some(_) => return false,
        None => &rest,
    };
    // A fraction that runs into its offset ends at the sign or the Z.
    matches!(offset, "Z" | "+00:00" | "-00:00")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples of RFC 3339, section 5.8 (the leap second aside: see below), and forms that
    /// its grammar (section 5.6) does not have.
    #[test]
    fn takes_the_dates_of_rfc_3339_only() {
        for text in [
            "1985-04-12T23:20:50.52Z",
            "1996-12-19T16:39:57-08:00",
            "1937-01-01T12:00:27.87+00:20",
            "2026-03-02t17:05:00z",
        ] {
            assert!(parse(text).is_ok(), "{text}");
        }
        for text in [
            "",
            "2026-03-02",
            "2026-03-02T17:05:00",
            "2026-03-02T17:05Z",
            "20260302T170500Z",
            "2026-02-30T17:05:00Z",
            "2026-03-02T17:05:00Z[Europe/London]",
            "2026-03-02T17:05:00.Z",
            "2026-03-02 17:05:00Z",
            "yesterday",
        ] {
            let error = parse(text).err().map(|e| e.to_string());
            assert!(
                error.is_some_and(|e| e.contains(&format!("{text:?}"))),
                "{text}"
            );
        }
    }

    #[test]
    fn shows_dates_in_words() {
        for (created_at, shown) in [
            ("2026-03-02T17:05:00Z", "2 March 2026, 17:05 UTC"),
            (
                "2026-12-31T09:00:59.5+05:30",
                "31 December 2026, 09:00 UTC+5:30",
            ),
            (
                "1996-12-19T16:39:57-08:00",
                "19 December 1996, 16:39 UTC\u{2212}8:00",
            ),
        ] {
            assert_eq!(in_words(created_at).unwrap(), shown);
        }
    }
}
