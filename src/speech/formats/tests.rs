use super::*;
use crate::speech::Word;
use crate::time::{Millis, Span};
use proptest::prelude::*;

fn source(file: &str) -> Source<'_> {
    Source {
        file,
        sha256: "00",
        recording: 1,
    }
}

fn parsed(file: &str, text: &str) -> Result<Transcript, FormatError> {
    read(source(file), Format::from_file_name(file)?, text.as_bytes())
}

/// Shows each line or cue as `start-end text`, in milliseconds, or the error.
fn shown(file: &str, text: &str) -> String {
    match parsed(file, text) {
        Ok(transcript) => lines(&transcript),
        Err(error) => error.to_string(),
    }
}

fn lines(transcript: &Transcript) -> String {
    let mut out = String::new();
    for line in transcript.words.split_inclusive(|w| w.line_end) {
        let span = line
            .iter()
            .map(|w| w.span)
            .reduce(|a, b| Some(a?.cover(b?)))
            .flatten();
        if let Some(span) = span {
            out += &format!("{}-{} ", span.start.0, span.end.0);
        }
        out += &line
            .iter()
            .map(|w| w.text.as_str())
            .collect::<Vec<_>>()
            .join(" ");
        out += "\n";
    }
    out
}

// The examples of "WebVTT: The Web Video Text Tracks Format" (W3C, sections 1.1 to 1.6 of
// https://www.w3.org/TR/webvtt1/), shortened.

#[test]
fn reads_the_specifications_interview_with_overlapping_cues_and_voices() {
    let text = "WEBVTT\n\n00:27.000 --> 00:30.000\n<v Roger Bingham>And I want to do a follow-up\n\n\
        00:30.000 --> 00:31.500 align:right size:50%\n<v Roger Bingham>When we e-mailed—\n\n\
        00:30.500 --> 00:32.500 align:left size:50%\n<v Neil deGrasse Tyson>Didn't we talk?\n\n\
        00:32.000 --> 00:35.500 align:right size:50%\n<v Roger Bingham>No! No no no no; 'cos\n\n\
        00:32.500 --> 00:33.500 align:left size:50%\n<v Neil deGrasse Tyson><i>Laughs</i>\n";
    insta::assert_snapshot!(shown("interview.vtt", text), @r"
    27000-30000 And I want to do a follow-up
    30000-31500 When we e-mailed—
    30500-32500 Didn't we talk?
    32000-35500 No! No no no no; 'cos
    32500-33500 Laughs
    ");
}

#[test]
fn reads_the_specifications_styles_comments_and_identifiers() {
    let text = "WEBVTT\n\nSTYLE\n::cue {\n  color: papayawhip;\n}\n/* Style blocks cannot use blank \
        lines nor \"dash dash greater than\" */\n\nNOTE comment blocks can be used between style \
        blocks.\n\nSTYLE\n::cue(b) {\n  color: peachpuff;\n}\n\nhello\n00:00:00.000 --> 00:00:10.000\n\
        Hello <b>world</b>.\n\nNOTE style blocks cannot appear after the first cue.\n";
    insta::assert_snapshot!(shown("style.vtt", text), @"0-10000 Hello world.");
}

#[test]
fn reads_the_specifications_line_breaks_and_long_comments() {
    let text = "WEBVTT\n\nNOTE\nThis file was written by Jill. I hope\nyou enjoy reading it.\n\n\
        00:01.000 --> 00:04.000\nNever drink liquid nitrogen.\n\nNOTE check next cue\n\n\
        00:05.000 --> 00:09.000\n— It will perforate your stomach.\n— You could die.\n\nNOTE end of file\n";
    insta::assert_snapshot!(shown("nitrogen.vtt", text), @r"
    1000-4000 Never drink liquid nitrogen.
    5000-9000 — It will perforate your stomach. — You could die.
    ");
}

#[test]
fn reads_the_specifications_regions_classes_and_languages() {
    let text = "WEBVTT\n\nREGION\nid:fred\nwidth:40%\nscroll:up\n\n\
        00:00:00.000 --> 00:00:20.000 region:fred align:left\n<v Fred>Hi, my name is Fred\n\n\
        00:00:20.000 --> 00:00:21.000\n<v.first.loud Esme>It's a blue apple tree!\n\n\
        00:00:21.001 --> 00:00:22.000\nSur les <i.foreignphrase><lang en>playground</lang></i>, ici\n";
    insta::assert_snapshot!(shown("regions.vtt", text), @r"
    0-20000 Hi, my name is Fred
    20000-21000 It's a blue apple tree!
    21001-22000 Sur les playground, ici
    ");
}

#[test]
fn reads_two_cues_where_the_blank_line_between_them_is_skipped() {
    // As section 2.1 of the specification says a parser does.
    let text = "WEBVTT\n\n00:01.000 --> 00:02.000\nOne\n00:02.000 --> 00:03.000\nTwo\n";
    insta::assert_snapshot!(shown("skipped.vtt", text), @r"
    1000-2000 One
    2000-3000 Two
    ");
}

#[test]
fn reads_entities_and_times_within_a_cue() {
    let text = "WEBVTT a title\nKind: captions\n\n00:01.000 --> 00:03.000\n\
        Gap &lt; 5&nbsp;mm &amp; &#39;tight&#x27; <00:02.000>at the &unknown; top\n";
    let words = parsed("entities.vtt", text).unwrap().words;
    let texts: Vec<&str> = words.iter().map(|w| w.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "Gap",
            "<",
            "5",
            "mm",
            "&",
            "'tight'",
            "at",
            "the",
            "&unknown;",
            "top"
        ]
    );
    assert_eq!(words[5].span.unwrap().end, Millis(2000));
    assert_eq!(words[6].span.unwrap().start, Millis(2000));
}

#[test]
fn shares_a_cues_time_by_the_length_of_words() {
    let words = parsed("a.srt", "1\n00:00:01,000 --> 00:00:02,000\nan oak door\n")
        .unwrap()
        .words;
    let spans: Vec<(u64, u64)> = words
        .iter()
        .map(|w| w.span.unwrap())
        .map(|s| (s.start.0, s.end.0))
        .collect();
    // 3, 4 and 5 characters with their gaps: quarters and thirds of a second.
    assert_eq!(spans, [(1000, 1250), (1250, 1583), (1583, 2000)]);
}

// SubRip has no standard. The sample is the one in the VisualSubSync help's description of the
// format, with its coordinates and tags.
#[test]
fn reads_subrip_as_it_is_commonly_described() {
    let text = "1\r\n00:00:12,000 --> 00:00:15,123\r\nThis is the first subtitle\r\n\r\n\
        2\r\n00:00:16,000 --> 00:00:18,000\r\nAnother subtitle demonstrating tags:\r\n\
        <b>bold</b>, <i>italic</i>, <u>underlined</u>\r\n<font color=\"#ff0000\">red text</font>\r\n\r\n\
        3\r\n00:00:20,000 --> 00:00:22,000 X1:40 X2:600 Y1:20 Y2:50\r\n{\\an8}a < b\r\n";
    insta::assert_snapshot!(shown("sample.srt", text), @r"
    12000-15123 This is the first subtitle
    16000-18000 Another subtitle demonstrating tags: bold, italic, underlined red text
    20000-22000 a < b
    ");
}

#[test]
fn reads_subrip_with_points_missing_digits_numbers_and_blank_lines() {
    let text = "0:01.5 --> 0:02\nOne\n\n\n2\n00:00:03,5 --> 00:00:04,25\n7\n3\n00:00:05,000 --> 00:00:06,000\nThree";
    insta::assert_snapshot!(shown("loose.srt", text), @r"
    1500-2000 One
    3500-4250 7
    5000-6000 Three
    ");
}

#[test]
fn reads_plain_text_without_times() {
    let text = "# an invented plot\n\nHallway. Door binds.\n\nKitchen\n# 4 is short\n";
    insta::assert_snapshot!(shown("notes.txt", text), @r"
    Hallway. Door binds.
    Kitchen
    # 4 is short
    ");
}

#[test]
fn reads_the_example_walk_round() {
    let example = include_str!("../../../examples/plot-seven.txt");
    let words = parsed("plot-seven.txt", example).unwrap().words;
    // The two comment lines at its head are not spoken.
    assert_eq!(words[0].text, "Testing,");
    assert_eq!(words.iter().filter(|w| w.line_end).count(), 42);
}

#[test]
fn reads_stamps_at_line_starts_and_within_lines() {
    let text = "Ready now\n[0:02] Hallway. Door binds. [0:06] Kitchen,\nno defects\n[1:00:00] Loft [not a stamp]\n";
    insta::assert_snapshot!(shown("stamped.txt", text), @r"
    1200-2000 Ready now
    2000-7000 Hallway. Door binds. Kitchen,
    7000-9000 no defects
    3600000-3601600 Loft [not a stamp]
    ");
}

#[test]
fn says_what_is_wrong_and_where() {
    let table = [
        (
            "a.vtt",
            "WEBVTT\n\n00:61.000 --> 00:62.000\nx",
            "a.vtt, line 3: \"00:61.000\" is not a time; expected mm:ss.mmm or hh:mm:ss.mmm, such as 01:23.450",
        ),
        (
            "a.vtt",
            "WEBVTT\n\n00:01,000 --> 00:02.000\nx",
            "a.vtt, line 3: \"00:01,000\" is not a time; expected mm:ss.mmm or hh:mm:ss.mmm, such as 01:23.450",
        ),
        (
            "a.vtt",
            "WEBVTT\n\n\n00:01.000 -->\nx",
            "a.vtt, line 4: \"\" is not a time; expected mm:ss.mmm or hh:mm:ss.mmm, such as 01:23.450",
        ),
        (
            "a.vtt",
            "WEBVTT\n\n00:05.000 --> 00:04.000\nx",
            "a.vtt, line 3: the cue ends (00:04.000) before it starts (00:05.000); correct one of the two",
        ),
        (
            "a.vtt",
            "1\n00:01.000 --> 00:02.000\nx",
            "a.vtt, line 1: a WebVTT file begins with \"WEBVTT\", found \"1\"; add that line, or name the file .srt or .txt",
        ),
        (
            "a.vtt",
            "WEBVTT\n\nNOTE nothing\n",
            "a.vtt: there are no words in the file; check that it was written to the end",
        ),
        (
            "a.vtt",
            "",
            "a.vtt: there are no words in the file; check that it was written to the end",
        ),
        (
            "a.srt",
            "\n\n",
            "a.srt: there are no words in the file; check that it was written to the end",
        ),
        (
            "a.srt",
            "1\n00:00:01,000\nx",
            "a.srt, line 2: expected a line of times such as 00:00:01,000 --> 00:00:04,000, found \"00:00:01,000\"",
        ),
        (
            "a.srt",
            "1\n00:00:0x,000 --> 00:00:04,000\nx",
            "a.srt, line 2: \"00:00:0x,000\" is not a time; expected hh:mm:ss,mmm, such as 00:01:23,450",
        ),
        (
            "a.txt",
            "one\n[0:75] two",
            "a.txt, line 2: \"0:75\" is not a time; expected m:ss or h:mm:ss, such as 1:23",
        ),
        (
            "a.txt",
            "[0:30] one\n[0:20] two",
            "a.txt, line 2: the stamp 0:20 is earlier than 0:30 before it; give each recording its own file",
        ),
        (
            "a.json",
            "{\n\"schema\": 3}",
            "a.json, line 2: not a transcript in JSON: invalid type: integer `3`, expected a string at line 2 column 11",
        ),
        (
            "a.json",
            "",
            "a.json: there are no words in the file; check that it was written to the end",
        ),
        (
            "a.doc",
            "",
            "a.doc: no transcript format has this ending; expected .vtt, .srt, .txt or .json",
        ),
    ];
    for (file, text, expected) in table {
        assert_eq!(parsed(file, text).unwrap_err().to_string(), expected);
    }
}

#[test]
fn tells_encodings_apart() {
    let with_mark = |mark: &[u8], rest: &[u8]| [mark, rest].concat();
    let little: Vec<u8> = "Café\nok"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let big: Vec<u8> = "Café\nok"
        .encode_utf16()
        .flat_map(u16::to_be_bytes)
        .collect();
    let table: [(Vec<u8>, &str); 7] = [
        (
            with_mark(&[0xEF, 0xBB, 0xBF], "Café\nok".as_bytes()),
            "Café\nok\n",
        ),
        (with_mark(&[0xFF, 0xFE], &little), "Café\nok\n"),
        (with_mark(&[0xFE, 0xFF], &big), "Café\nok\n"),
        (
            b"ok\nCaf\xe9".to_vec(),
            "a.txt, line 2: the text is not UTF-8; save the file as UTF-8 and try again",
        ),
        (
            with_mark(&[0xFF, 0xFE], b"a\0\n\0b"),
            "a.txt, line 2: the text is not UTF-16 (little-endian); save the file as UTF-8 and try again",
        ),
        (
            b"RIFF\x24\0\0".to_vec(),
            "a.txt: this is not text (byte 5 is zero); if it is a recording, give it a name with its audio ending",
        ),
        (b"one\rtwo\r\nthree".to_vec(), "one\ntwo\nthree\n"),
    ];
    for (bytes, expected) in table {
        let found = read(source("a.txt"), Format::Text, &bytes);
        assert_eq!(
            found.map_or_else(|e| e.to_string(), |t| lines(&t)),
            expected
        );
    }
}

/// A transcript from `(word, start, end)` in milliseconds.
fn spoken(words: &[(&str, u64, u64)]) -> Transcript {
    let word = |(text, start, end): &(&str, u64, u64)| Word {
        text: (*text).to_owned(),
        recording: 1,
        span: Some(Span::new(Millis(*start), Millis(*end))),
        probability: 0.5,
        line_end: false,
        meant: None,
    };
    let recording = Recording {
        id: 1,
        file: "memo.m4a".to_owned(),
        sha256: "00".to_owned(),
        duration_s: 9.5,
        speech_s: 3.0,
    };
    Transcript {
        recordings: vec![recording],
        words: words.iter().map(word).collect(),
    }
}

#[test]
fn writes_every_format() {
    let transcript = spoken(&[
        ("Hallway.", 500, 900),
        ("Gap", 1000, 1200),
        ("<", 1200, 1300),
        ("5", 1300, 1400),
        ("&", 1400, 1500),
        ("so", 3000, 3200),
        ("on.", 3200, 3600),
    ]);
    insta::assert_snapshot!(write(&transcript, 1, Format::Vtt).unwrap(), @r"
    WEBVTT

    00:00:00.500 --> 00:00:00.900
    Hallway.

    00:00:01.000 --> 00:00:01.500
    Gap &lt; 5 &amp;

    00:00:03.000 --> 00:00:03.600
    so on.
    ");
    insta::assert_snapshot!(write(&transcript, 1, Format::Srt).unwrap(), @r"
    1
    00:00:00,500 --> 00:00:00,900
    Hallway.

    2
    00:00:01,000 --> 00:00:01,500
    Gap < 5 &

    3
    00:00:03,000 --> 00:00:03,600
    so on.
    ");
    insta::assert_snapshot!(write(&transcript, 1, Format::Text).unwrap(), @r"
    [0:00] Hallway.
    [0:01] Gap < 5 &
    [0:03] so on.
    ");
    insta::assert_snapshot!(write(&spoken(&[("Hi.", 0, 250)]), 1, Format::Json).unwrap(), @r#"
    {
      "schema": "callover-transcript/1",
      "recordings": [
        {
          "id": 1,
          "file": "memo.m4a",
          "sha256": "00",
          "duration_s": 9.5,
          "speech_s": 3.0
        }
      ],
      "words": [
        {
          "text": "Hi.",
          "recording": 1,
          "start_s": 0.0,
          "end_s": 0.25,
          "probability": 0.5
        }
      ]
    }
    "#);
    assert_eq!(write(&transcript, 2, Format::Text).unwrap(), "");
}

#[test]
fn refuses_to_invent_times() {
    let transcript = parsed("notes.txt", "Hallway. Door binds.").unwrap();
    insta::assert_snapshot!(
        write(&transcript, 1, Format::Vtt).unwrap_err(),
        @r#"word 1 ("Hallway.") has no time, which WebVTT and SubRip need; write .txt or .json instead"#
    );
}

#[test]
fn json_keeps_its_recordings_numbered_on() {
    let mut transcript = spoken(&[("a", 0, 10), ("b", 20, 30)]);
    transcript.recordings.push(Recording {
        id: 2,
        ..transcript.recordings[0].clone()
    });
    transcript.words[1].recording = 2;
    let json = write_json(&transcript).unwrap();
    let at_five = Source {
        recording: 5,
        ..source("t.json")
    };
    let back = read(at_five, Format::Json, json.as_bytes()).unwrap();
    let numbers: Vec<u32> = back.words.iter().map(|w| w.recording).collect();
    assert_eq!(numbers, [5, 6]);
    assert_eq!(
        back.recordings.iter().map(|r| r.id).collect::<Vec<_>>(),
        [5, 6]
    );
}

/// Words with pauses between, from `(text, pause before, length)`.
fn some_words() -> impl Strategy<Value = Transcript> {
    let text = prop_oneof![
        "[a-zA-Zé&'<>]{1,12}[.,?!]?",
        "[0-9]{1,4}",
        Just("-->".to_owned())
    ];
    prop::collection::vec((text, 0u64..2000, 1u64..900), 1..40).prop_map(|words| {
        let mut at = 0;
        let timed: Vec<(String, u64, u64)> = words
            .into_iter()
            .map(|(text, pause, length)| {
                let start = at + pause;
                at = start + length;
                (text, start, at)
            })
            .collect();
        spoken(
            &timed
                .iter()
                .map(|(t, s, e)| (t.as_str(), *s, *e))
                .collect::<Vec<_>>(),
        )
    })
}

proptest! {
    #[test]
    fn what_is_written_reads_back_with_its_words_and_cue_times(transcript in some_words()) {
        let as_cues = |t: &Transcript| {
            t.words
                .split_inclusive(|w| w.line_end)
                .map(|line| {
                    let span = line.iter().filter_map(|w| w.span).reduce(Span::cover).unwrap();
                    (span, line.iter().map(|w| w.text.clone()).collect::<Vec<_>>())
                })
                .collect::<Vec<_>>()
        };
        let expected: Vec<(Span, Vec<String>)> = cues(&transcript)
            .into_iter()
            .map(|c| (c.span.unwrap(), transcript.words[c.words].iter().map(|w| w.text.clone()).collect()))
            .collect();
        let vtt = write(&transcript, 1, Format::Vtt).unwrap();
        prop_assert_eq!(as_cues(&parsed("a.vtt", &vtt).unwrap()), expected.clone());
        // In SubRip the characters < and > stand for themselves, so that a word may look like a tag.
        if !transcript.words.iter().any(|w| w.text.contains(['<', '>'])) {
            let srt = write(&transcript, 1, Format::Srt).unwrap();
            prop_assert_eq!(as_cues(&parsed("a.srt", &srt).unwrap()), expected.clone());
        }
        let text = parsed("a.txt", &write(&transcript, 1, Format::Text).unwrap()).unwrap();
        let spoken_words = |t: &Transcript| t.words.iter().map(|w| w.text.clone()).collect::<Vec<_>>();
        prop_assert_eq!(spoken_words(&text), spoken_words(&transcript));
        let stamps: Vec<u64> = as_cues(&text).iter().map(|(span, _)| span.start.0 / 1000).collect();
        let starts: Vec<u64> = expected.iter().map(|(span, _)| span.start.0 / 1000).collect();
        prop_assert_eq!(stamps.len(), starts.len());
        prop_assert_eq!(stamps.first(), starts.first());
        let json = parsed("a.json", &write(&transcript, 1, Format::Json).unwrap()).unwrap();
        prop_assert_eq!(json, transcript);
    }

    #[test]
    fn cues_keep_every_word_and_their_limits(transcript in some_words()) {
        let all = cues(&transcript);
        let mut next = 0;
        for cue in all {
            prop_assert_eq!(cue.words.start, next);
            next = cue.words.end;
            let chars: usize =
                transcript.words[cue.words.clone()].iter().map(|w| w.text.chars().count() + 1).sum();
            prop_assert!(chars <= 85 || cue.words.len() == 1);
            prop_assert!(cue.span.unwrap().length() <= 7000 || cue.words.len() == 1);
        }
        prop_assert_eq!(next, transcript.words.len());
    }

    #[test]
    fn never_panics_on_anything(bytes in prop::collection::vec(any::<u8>(), 0..200), text in "(WEBVTT\n\n)?[0-9:.,<>&;\\[\\] \n-]{0,80}") {
        for file in ["a.vtt", "a.srt", "a.txt", "a.json"] {
            let format = Format::from_file_name(file).unwrap();
            let _ = read(source(file), format, &bytes);
            let _ = read(source(file), format, text.as_bytes());
        }
    }
}
