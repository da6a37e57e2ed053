//! When recordings began, read from files that ffmpeg wrote.

use super::samples::run;
use crate::photos::{Started, read_started};
use std::fs::{self, File};
use std::time::{Duration, UNIX_EPOCH};

/// 2 March 2026, 10:15:03 UTC, in milliseconds since 1970.
const QUARTER_PAST_TEN: i64 = 1_772_446_503_000;

#[test]
fn the_start_is_what_ffmpeg_wrote_into_the_file() {
    let home = tempfile::tempdir().unwrap();
    let sound = [
        "-v",
        "error",
        "-f",
        "lavfi",
        "-i",
        "anullsrc=r=16000:cl=mono",
        "-t",
        "0.2",
    ];
    let creation = ["-metadata", "creation_time=2026-03-02T10:15:03Z"];
    let bext = [
        "-write_bext",
        "1",
        "-metadata",
        "origination_date=2026-03-02",
        "-metadata",
        "origination_time=10:15:03",
    ];
    for (name, more, want) in [
        ("a.m4a", &creation[..], Started::Utc(QUARTER_PAST_TEN)),
        // The index before the sound, as some recorders rewrite it.
        (
            "b.m4a",
            &[
                "-movflags",
                "+faststart",
                "-metadata",
                "creation_time=2026-03-02T10:15:03Z",
            ],
            Started::Utc(QUARTER_PAST_TEN),
        ),
        ("a.wav", &bext[..], Started::Local(QUARTER_PAST_TEN)),
    ] {
        let path = home.path().join(name);
        let arguments = [&sound[..], more, &[path.to_str().unwrap()]].concat();
        if run("ffmpeg", &arguments).is_none() {
            return;
        }
        assert_eq!(read_started(&path).unwrap(), Some(want), "{name}");
    }
}

#[test]
fn a_sound_file_that_tells_nothing_has_the_time_of_its_last_change_and_a_transcript_none() {
    let home = tempfile::tempdir().unwrap();
    let changed = UNIX_EPOCH + Duration::from_millis(QUARTER_PAST_TEN.unsigned_abs());
    let hint = Some(Started::Changed(QUARTER_PAST_TEN));
    for (name, content, want) in [
        ("a.mp3", &b"\xff\xfb\x90\x64 and so on"[..], hint),
        ("b.mp3", b"ID3\x04\0\0\0\0\0\0", hint),
        ("a.flac", b"fLaC\0\0\0\x22", hint),
        ("a.wav", b"RIFF\x24\0\0\0WAVEfmt ", hint),
        ("a.m4a", b"\0\0\0\x0cftypM4A \0\0\0\x08mdat", hint),
        (
            "a.vtt",
            b"WEBVTT\n\n00:00.000 --> 00:02.000\nHallway.\n",
            None,
        ),
        ("a.txt", b"Hallway.", None),
        ("empty", b"", None),
    ] {
        let path = home.path().join(name);
        fs::write(&path, content).unwrap();
        File::options()
            .append(true)
            .open(&path)
            .unwrap()
            .set_modified(changed)
            .unwrap();
        assert_eq!(read_started(&path).unwrap(), want, "{name}");
    }
}

#[test]
fn boxes_and_chunks_that_lie_about_their_size_are_no_harm() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("a");
    let box_of = |size: u32, kind: &[u8]| [&size.to_be_bytes()[..], kind].concat();
    let start = [box_of(12, b"ftyp"), b"M4A ".to_vec()].concat();
    for rest in [
        box_of(0, b"moov"),
        box_of(1, b"moov"),
        box_of(4, b"free"),
        box_of(u32::MAX, b"moov"),
        [box_of(16, b"moov"), box_of(8, b"mvhd")].concat(),
        [box_of(1, b"free"), u64::MAX.to_be_bytes().to_vec()].concat(),
    ] {
        fs::write(&path, [start.clone(), rest].concat()).unwrap();
        assert!(matches!(
            read_started(&path).unwrap(),
            Some(Started::Changed(_))
        ));
    }
    for size in [0, 1, 600, u32::MAX] {
        let chunk = [
            b"RIFF\0\0\0\0WAVEbext".to_vec(),
            size.to_le_bytes().to_vec(),
        ]
        .concat();
        fs::write(&path, chunk).unwrap();
        assert!(matches!(
            read_started(&path).unwrap(),
            Some(Started::Changed(_))
        ));
    }
}
