//! When a photo was taken, by the clock of the camera that took it.

use exif::{Exif, In, Tag, Value};
use jiff::civil;
use std::fmt;

/// A date and time by a camera's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Taken {
    /// Milliseconds from the start of 1970 to the date and time shown, whatever zone that is of.
    pub local_ms: i64,
    /// The zone's minutes ahead of UTC; `None` where the file does not tell.
    pub zone_minutes: Option<i16>,
}

impl Taken {
    /// Returns the time as the file's Exif fields tell it: `DateTimeOriginal` with
    /// `SubSecTimeOriginal` and `OffsetTimeOriginal` where they are there (Exif 2.31, CIPA
    /// DC-008-2016, section 4.6.5). `None` where there is no date, or none that a calendar has;
    /// cameras whose clock was never set write zeros or blanks.
    pub(crate) fn from_exif(exif: &Exif) -> Option<Taken> {
        let ascii = |tag| match &exif.get_field(tag, In::PRIMARY)?.value {
            Value::Ascii(lines) => lines.first().map(Vec::as_slice),
            _ => None,
        };
        let mut time = exif::DateTime::from_ascii(ascii(Tag::DateTimeOriginal)?).ok()?;
        // What is garbled in these two is as good as absent.
        let _ = ascii(Tag::SubSecTimeOriginal).map(|text| time.parse_subsec(text));
        let _ = ascii(Tag::OffsetTimeOriginal).map(|text| time.parse_offset(text));
        let date = civil::DateTime::new(
            i16::try_from(time.year).ok()?,
            i8::try_from(time.month).ok()?,
            i8::try_from(time.day).ok()?,
            i8::try_from(time.hour).ok()?,
            i8::try_from(time.minute).ok()?,
            i8::try_from(time.second).ok()?,
            i32::try_from(time.nanosecond.unwrap_or(0)).ok()?,
        )
        .ok()?;
        Some(Taken {
            local_ms: local_ms(date)?,
            zone_minutes: time.offset,
        })
    }

    /// Returns the time without its fraction of a second.
    pub fn to_the_second(self) -> Taken {
        Taken {
            local_ms: self.local_ms.div_euclid(1000) * 1000,
            ..self
        }
    }

    /// Returns the time that [`fmt::Display`] wrote; `None` for any other text.
    pub fn parse(text: &str) -> Option<Taken> {
        let (date, zone) = match text.get(19..)?.find(['+', '-']) {
            Some(at) => text.split_at(19 + at),
            None => (text, ""),
        };
        let zone_minutes = match zone {
            "" => None,
            zone => {
                let (hours, minutes) = zone[1..].split_once(':')?;
                let minutes = hours.parse::<i16>().ok()? * 60 + minutes.parse::<i16>().ok()?;
                Some(if zone.starts_with('-') {
                    -minutes
                } else {
                    minutes
                })
            }
        };
        Some(Taken {
            local_ms: local_ms(date.parse().ok()?)?,
            zone_minutes,
        })
    }
}

/// Returns the milliseconds from the start of 1970 to a date and time, as if it were UTC.
pub(crate) fn local_ms(date: civil::DateTime) -> Option<i64> {
    let as_utc = jiff::tz::Offset::UTC.to_timestamp(date).ok()?;
    Some(as_utc.as_millisecond())
}

/// Shows `2026-03-02T10:15:03.250+01:00`; the fraction where it is not zero, the zone where it is
/// known. Times of one zone sort as text in the order of time.
impl fmt::Display for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Ok(moment) = jiff::Timestamp::from_millisecond(self.local_ms) else {
            return f.write_str("an unknown time");
        };
        write!(f, "{}", moment.strftime("%Y-%m-%dT%H:%M:%S"))?;
        match self.local_ms.rem_euclid(1000) {
            0 => {}
            fraction => write!(f, ".{fraction:03}")?,
        }
        match self.zone_minutes {
            None => Ok(()),
            Some(zone) => {
                let sign = if zone < 0 { '-' } else { '+' };
                write!(f, "{sign}{:02}:{:02}", zone.abs() / 60, zone.abs() % 60)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_time_is_shown_with_what_the_file_told_of_it() {
        for (local_ms, zone_minutes, shown) in [
            (1_772_446_503_000, None, "2026-03-02T10:15:03"),
            (1_772_446_503_250, Some(60), "2026-03-02T10:15:03.250+01:00"),
            (1_772_446_503_000, Some(-210), "2026-03-02T10:15:03-03:30"),
            (1_772_446_503_005, Some(0), "2026-03-02T10:15:03.005+00:00"),
        ] {
            let taken = Taken {
                local_ms,
                zone_minutes,
            };
            assert_eq!(taken.to_string(), shown);
        }
    }

    #[test]
    fn other_texts_are_no_time() {
        for text in [
            "",
            "2026-03-02",
            "2026-13-02T10:15:03",
            "2026-03-02T10:15:03+1",
            "now",
        ] {
            assert_eq!(Taken::parse(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_shown_can_be_read_again(
            local_ms in -2_000_000_000_000i64..4_000_000_000_000,
            zone_minutes in proptest::option::of(-840i16..=840),
        ) {
            let taken = Taken { local_ms, zone_minutes };
            prop_assert_eq!(Taken::parse(&taken.to_string()), Some(taken));
        }

        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,40}") {
            let _ = Taken::parse(&text);
        }
    }
}
