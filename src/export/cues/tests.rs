//! Cues as they are written, and read back by the parser that follows the W3C's rules.

use super::super::{Format, sample};
use super::*;
use crate::items::Status;
use crate::speech::Transcript;
use crate::speech::formats::{self, Source};
use proptest::prelude::*;

fn written(document: &Document, format: Format, recording: u32) -> String {
    let options = Options {
        recording: Some(recording),
        ..Options::default()
    };
    String::from_utf8(format.bytes(document, &options).unwrap()).unwrap()
}

fn read(text: &str, format: formats::Format) -> Transcript {
    let source = Source {
        file: "cues",
        sha256: "",
        recording: 1,
    };
    formats::read(source, format, text.as_bytes()).unwrap()
}

/// Returns the texts of the cues as a player shows them.
fn shown(text: &str, format: formats::Format) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in read(text, format).words {
        let line = lines.last_mut().unwrap();
        *line += &format!("{}{}", if line.is_empty() { "" } else { " " }, word.text);
        if word.line_end {
            lines.push(String::new());
        }
    }
    lines.pop();
    lines
}

#[test]
fn shows_the_items_of_one_recording() {
    insta::assert_snapshot!(written(&sample::document(), Format::Vtt, 1), @"
    WEBVTT Plot 14, Larch Row: walk-round before handover

    NOTE walk-round 1.m4a

    1
    00:00:21.500 --> 00:00:27.750
    1. Front elevation: The gutter joint drips onto the path left of the porch.

    2
    00:00:46.000 --> 00:00:52.100
    2. Hallway: The newel post at the foot of the stairs is out of plumb by 19 mm over one storey. (not yet confirmed)

    3
    00:01:04.500 --> 00:01:10.750
    3. Kitchen: The socket beside the hob is loose on the wall.
    Caution: Do not use it. Only a licensed electrician should open it.

    4
    00:01:26.000 --> 00:01:32.250
    4. Kitchen: Two patches of plaster on the window wall may be hollow. (not yet confirmed)

    5
    00:01:47.500 --> 00:01:53.750
    5. Hallway: The door rubs on the frame at the head.
    ");
    insta::assert_snapshot!(written(&sample::document(), Format::Srt, 2), @"
    1
    00:00:08,500 --> 00:00:14,000
    8. Loft: A hairline crack runs over the loft hatch.
    ");
}

#[test]
fn both_forms_show_the_same_and_read_back() {
    let document = sample::long_document();
    let vtt = shown(&written(&document, Format::Vtt, 1), formats::Format::Vtt);
    let srt = shown(&written(&document, Format::Srt, 1), formats::Format::Srt);
    assert_eq!(vtt, srt);
    assert_eq!(vtt.len(), 300);
    assert_eq!(
        vtt[299],
        "300. Loft: The skirting is scratched. (not yet confirmed)"
    );
}

#[test]
fn asks_which_recording_where_there_are_several() {
    let document = sample::document();
    for asked in [None, Some(9)] {
        let options = Options {
            recording: asked,
            ..Options::default()
        };
        let error = Format::Vtt.bytes(&document, &options).unwrap_err();
        assert!(error.to_string().contains("2 recordings"), "{error}");
    }
}

#[test]
fn items_without_times_are_named_and_a_list_without_any_is_refused() {
    let mut document = sample::document();
    document.items[0].evidence.span = None;
    let text = written(&document, Format::Vtt, 1);
    assert!(
        text.contains("NOTE Items without a time, not shown: 1\n"),
        "{text}"
    );
    for item in &mut document.items {
        item.evidence.span = None;
    }
    let options = Options {
        recording: Some(1),
        ..Options::default()
    };
    let error = Format::Srt
        .bytes(&document, &options)
        .unwrap_err()
        .to_string();
    assert!(
        error.starts_with("walk-round 1.m4a has no times"),
        "{error}"
    );
}

#[test]
fn a_recording_without_items_has_a_file_without_cues() {
    let mut document = sample::document();
    document.items.retain(|item| item.evidence.recording != 2);
    let text = written(&document, Format::Vtt, 2);
    assert!(
        text.starts_with("WEBVTT ") && !text.contains("-->"),
        "{text}"
    );
    assert_eq!(written(&document, Format::Srt, 2), "");
}

#[test]
fn cautions_and_rejections_show() {
    let mut document = sample::document();
    let socket = document
        .items
        .iter_mut()
        .find(|item| item.number == 3)
        .unwrap();
    socket.status = Status::Rejected;
    let options = Options {
        recording: Some(1),
        include_rejected: Some(true),
        ..Options::default()
    };
    let text = String::from_utf8(Format::Vtt.bytes(&document, &options).unwrap()).unwrap();
    assert!(
        text.contains("loose on the wall. (rejected)\nCaution: Do not use it."),
        "{text}"
    );
    assert!(!written(&document, Format::Vtt, 1).contains("loose on the wall"));
}

/// A description of 1,000 characters would cover the picture and be gone before it is read.
#[test]
fn a_long_description_is_cut_short() {
    let mut document = sample::document();
    document.items[0].description = "The plaster is bellied. ".repeat(42);
    let text = written(&document, Format::Srt, 1);
    let cue = text.lines().nth(2).unwrap();
    assert!(
        cue.starts_with("1. Front elevation: The plaster is bellied."),
        "{cue}"
    );
    assert!(cue.ends_with("bellied.\u{2026}"), "{cue}");
    assert!(cue.chars().count() < 280, "{cue}");
}

proptest! {
    /// Whatever an item says, the number of cues, their times and their words stay.
    #[test]
    fn no_text_can_break_a_file(text in "(-->|<b>|</|[&;<>{}\\\\0-9\n\r\t :.,a-c\u{0}]|\\{\\\\an8\\}|WEBVTT|NOTE|&amp;|00:01.000){0,12}") {
        let mut document = sample::document();
        document.title = text.clone();
        document.recordings[0].file = text.clone();
        for item in &mut document.items {
            item.description = text.clone();
            item.place = text.clone();
        }
        let expected = one_line(&text);
        for (format, form) in [(Format::Vtt, formats::Format::Vtt), (Format::Srt, formats::Format::Srt)] {
            let cues = shown(&written(&document, format, 1), form);
            prop_assert_eq!(cues.len(), 5);
            for cue in cues.iter().filter(|_| format == Format::Vtt) {
                prop_assert!(cue.contains(&expected), "{:?} without {:?}", cue, expected);
            }
        }
    }
}
