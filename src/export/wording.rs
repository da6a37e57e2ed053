//! Words that the documents for people share: headings, measurements, moments, dates.

use super::document::{Document, GroupKey, NO_PLACE};
use crate::items::{Item, Measurement, RemedySource, Severity, Status};
use crate::plain;
use crate::time::Span;

impl GroupKey<'_> {
    /// Returns the group's heading.
    pub fn heading(&self) -> String {
        match self {
            GroupKey::Place(name) => place_heading(name),
            GroupKey::Trade(Some(trade)) => capitalised(trade),
            GroupKey::Trade(None) => "Trade not named".to_string(),
            GroupKey::Severity(severity) => capitalised(severity_word(*severity)),
        }
    }
}

/// Returns the place's name as a heading.
pub(super) fn place_heading(name: &str) -> String {
    if name == NO_PLACE || name.is_empty() {
        return "Place not named".to_string();
    }
    capitalised(name)
}

/// Returns the text with its first letter as a capital, and names such as LED as they are written.
pub(super) fn capitalised(text: &str) -> String {
    let text = plain::capitals(text);
    if text.starts_with("uPVC") {
        return text;
    }
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// Returns the text with every run of white space and control characters as one space: what is
/// said is one line.
pub(super) fn one_line(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    clean.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns at most so many characters of a text and a sign that something is left out; cut between
/// words where there are any.
pub(super) fn shortened(text: &str, most: usize) -> String {
    let Some((end, _)) = text.char_indices().nth(most) else {
        return text.to_string();
    };
    let start = &text[..end];
    let whole = start.rfind(' ').map_or(start, |space| &start[..space]);
    format!("{}\u{2026}", whole.trim_end())
}

/// Words that open a request to whoever takes notes: about the list, not about the home.
const REQUESTS: [&str; 6] = ["take", "get", "grab", "snap", "photograph", "note"];

/// True for *take a photo of that*: what is asked of whoever takes notes.
fn asks_for_photo(remark: &str) -> bool {
    let mut words = remark.split(|c: char| !c.is_alphanumeric()).filter(|word| {
        !matches!(
            *word,
            "" | "please" | "and" | "can" | "could" | "you" | "i" | "ll"
        )
    });
    words.next().is_some_and(|word| REQUESTS.contains(&word))
}

/// Returns the item's remarks as one sentence without its stop, but for those that only ask for a photo
/// or say the remedy again; `None` where none is left.
pub(super) fn remarks(item: &Item) -> Option<String> {
    let remedy = item.remedy.as_deref().map(str::to_lowercase);
    let told = |remark: &&String| {
        let remark = remark.to_lowercase();
        let photo = remark.contains("photo") || remark.contains("picture");
        let asks = photo && (item.photo_wanted || asks_for_photo(&remark));
        let again = remedy
            .as_ref()
            .is_some_and(|remedy| !remedy.is_empty() && remark.ends_with(remedy.as_str()));
        !asks && !again
    };
    let told: Vec<&str> = item
        .remarks
        .iter()
        .filter(told)
        .map(String::as_str)
        .collect();
    Some(capitalised(&one_line(&told.join("; ")))).filter(|text| !text.is_empty())
}

/// Returns the words behind the item as one line, without the comma at which they were cut.
pub(super) fn quote(item: &Item) -> String {
    let quote = one_line(&item.evidence.quote);
    quote.trim_end_matches([',', ';', ':', ' ']).to_owned()
}

/// Returns the severity's word, as in JSON.
pub(super) fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Safety => "safety",
        Severity::Repair => "repair",
        Severity::Finish => "finish",
        Severity::Clean => "clean",
        Severity::Watch => "watch",
    }
}

/// All severities, most urgent first.
pub(super) const SEVERITIES: [Severity; 5] = [
    Severity::Safety,
    Severity::Repair,
    Severity::Finish,
    Severity::Clean,
    Severity::Watch,
];

/// Returns what the severity means.
pub(super) fn severity_meaning(severity: Severity) -> &'static str {
    match severity {
        Severity::Safety => "someone could be hurt",
        Severity::Repair => "does not work, leaks, is missing, or will get worse",
        Severity::Finish => "looks wrong only",
        Severity::Clean => "needs cleaning only",
        Severity::Watch => "to be monitored",
    }
}

/// Returns the status's word, as in JSON.
pub(super) fn status_word(status: Status) -> &'static str {
    match status {
        Status::Proposed => "proposed",
        Status::Confirmed => "confirmed",
        Status::Rejected => "rejected",
    }
}

/// Returns the remedy source's word, as in JSON.
pub(super) fn remedy_source_word(source: RemedySource) -> &'static str {
    match source {
        RemedySource::Spoken => "spoken",
        RemedySource::Suggested => "suggested",
    }
}

/// Returns the number with at most four decimals (enough for a sixteenth of an inch) and no closing zeros.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_string()
    } else {
        text.to_string()
    }
}

/// Returns the measurement in short, as in `about 6 to 8 mm over 2 m`.
pub(super) fn measurement(m: &Measurement) -> String {
    let mut text = String::new();
    if m.approximate {
        text.push_str("about ");
    }
    let figure = |value| match m.unit.as_str() {
        "in" => inches(value),
        _ => number(value),
    };
    let value = match m.max {
        Some(max) if max != m.value => format!("{} to {}", figure(m.value), figure(max)),
        _ => figure(m.value),
    };
    text.push_str(&with_unit(&value, &m.unit, m.max.unwrap_or(m.value)));
    if let Some(over) = &m.over {
        text.push_str(" over ");
        text.push_str(&match over.unit.as_str() {
            whole @ ("width" | "height" | "length") => format!("its {whole}"),
            unit => with_unit(&number(over.value), unit, over.value),
        });
    }
    text
}

/// Returns inches as they are read off a rule: whole ones and a fraction down to sixteenths. Other
/// values stay decimal.
fn inches(value: f64) -> String {
    const FINEST: f64 = 16.0;
    let parts = value.abs() * FINEST;
    if (parts - parts.round()).abs() > 1e-6 || parts >= 1e9 {
        return number(value);
    }
    let parts = parts.round() as u64;
    let (whole, mut over, mut under) = (parts / 16, parts % 16, 16);
    while over > 0 && over % 2 == 0 {
        (over, under) = (over / 2, under / 2);
    }
    let sign = if value < 0.0 && parts > 0 { "-" } else { "" };
    match (whole, over) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole} {over}/{under}"),
    }
}

/// Returns the value with its unit, in the spacing the unit is written with.
fn with_unit(value: &str, unit: &str, amount: f64) -> String {
    match unit {
        "" => value.to_string(),
        "%" => format!("{value}%"),
        "deg" => format!("{value}°"),
        "ratio" => format!("1 in {value}"),
        "storey" if amount != 1.0 => format!("{value} storeys"),
        _ => format!("{value} {unit}"),
    }
}

/// Returns `element: defect`, the item's shortest name.
pub(super) fn short_name(item: &Item) -> String {
    capitalised(&one_line(&format!("{}: {}", item.element, item.defect)))
}

/// Returns where in which recording something was said, as in `memo.m4a at 0:46`; `None` where
/// the recording is not known.
pub(super) fn heard_at(document: &Document, recording: u32, span: Option<Span>) -> Option<String> {
    let file = document.recording_file(recording)?;
    Some(match span {
        Some(span) => format!("{file} at {}", span.start),
        None => file.to_string(),
    })
}

/// Returns `1 item`, `2 items`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Returns a length of time in words, as in `6 min 52 s`.
pub(super) fn length(seconds: f64) -> String {
    let all = seconds.round() as u64;
    let (hours, minutes, seconds) = (all / 3600, all / 60 % 60, all % 60);
    match (hours, minutes) {
        (0, 0) => format!("{seconds} s"),
        (0, _) => format!("{minutes} min {seconds} s"),
        _ => format!("{hours} h {minutes} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::items::Over;

    #[test]
    fn remarks_leave_out_what_is_told_elsewhere() {
        let mut item = crate::export::sample::plain_item(1, "hall", "skirting", "dented");
        item.remedy = Some("wants filling".into());
        item.remarks = vec![
            "That wants filling".into(),
            "take a photo of that one".into(),
            "can you get a picture of it please".into(),
        ];
        assert_eq!(remarks(&item), None);
        item.remarks.push("the photo shows it well".into());
        assert_eq!(remarks(&item).unwrap(), "The photo shows it well");
        item.photo_wanted = true;
        assert_eq!(remarks(&item), None);
        item.remarks.push("it was like this before".into());
        assert_eq!(remarks(&item).unwrap(), "It was like this before");
    }

    #[test]
    fn shows_measurements_as_they_are_written() {
        let over = |value, unit: &str| {
            Some(Over {
                value,
                unit: unit.to_string(),
            })
        };
        for (value, max, unit, over, approximate, shown) in [
            (
                19.0,
                None,
                "mm",
                over(1.0, "storey"),
                false,
                "19 mm over 1 storey",
            ),
            (
                6.0,
                Some(8.0),
                "mm",
                over(2.0, "m"),
                true,
                "about 6 to 8 mm over 2 m",
            ),
            (
                6.0,
                Some(6.0),
                "mm",
                over(2.0, "storey"),
                false,
                "6 mm over 2 storeys",
            ),
            (
                11.0,
                None,
                "mm",
                over(1.0, "length"),
                false,
                "11 mm over its length",
            ),
            (0.0625, None, "in", None, false, "1/16 in"),
            (1.5, Some(2.0), "in", None, true, "about 1 1/2 to 2 in"),
            (0.1, None, "in", None, false, "0.1 in"),
            (4.0, None, "in", None, false, "4 in"),
            (-2.5, None, "°C", None, false, "-2.5 °C"),
            (18.0, None, "%", None, true, "about 18%"),
            (92.0, None, "deg", None, false, "92°"),
            (40.0, None, "ratio", None, false, "1 in 40"),
            (-0.00001, None, "m", None, false, "0 m"),
            (100.0, None, "lux", None, false, "100 lux"),
        ] {
            let spoken = String::new();
            let m = Measurement {
                value,
                max,
                unit: unit.to_string(),
                over,
                spoken,
                approximate,
            };
            assert_eq!(measurement(&m), shown);
        }
    }

    #[test]
    fn shows_lengths_and_names() {
        assert_eq!(length(0.4), "0 s");
        assert_eq!(length(412.3), "6 min 52 s");
        assert_eq!(length(7_261.0), "2 h 1 min");
        assert_eq!(place_heading("unplaced"), "Place not named");
        assert_eq!(place_heading("éntry"), "Éntry");
        assert_eq!(one_line(" a\r\n\tb\u{0}c  "), "a b c");
        assert_eq!(counted(1, "item", "items"), "1 item");
        assert_eq!(shortened("a bé", 4), "a bé");
        assert_eq!(shortened("one two three", 9), "one two\u{2026}");
        assert_eq!(shortened("ééé", 2), "éé\u{2026}");
    }
}
