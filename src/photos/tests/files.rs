//! What is read from photos' files, held against exiftool (<https://exiftool.org>) where it is
//! installed.

use super::samples::{Told, heic, jpeg, png, quarters, run, webp};
use crate::job::PhotoFormat;
use crate::photos::{PhotoFacts, read_facts};
use std::fs;
use std::path::Path;

fn facts(path: &Path, bytes: &[u8]) -> Option<PhotoFacts> {
    fs::write(path, bytes).unwrap();
    read_facts(path).unwrap()
}

fn taken(facts: &PhotoFacts) -> String {
    facts.taken.map_or("none".into(), |taken| taken.to_string())
}

/// The same data in each of the four formats.
fn in_all_formats(told: &Told<'_>) -> [(&'static str, PhotoFormat, Vec<u8>); 4] {
    let image = quarters(32, 16);
    [
        ("a.jpg", PhotoFormat::Jpeg, jpeg(&image, told)),
        ("a.png", PhotoFormat::Png, png(&image, told)),
        ("a.webp", PhotoFormat::Webp, webp(&image, told)),
        ("a.heic", PhotoFormat::Heic, heic(told)),
    ]
}

#[test]
fn every_format_tells_its_time_with_fraction_and_zone() {
    let home = tempfile::tempdir().unwrap();
    let base = Told {
        model: Some("Invented 7"),
        place: true,
        ..Told::default()
    };
    let cases = [
        (
            Some("2026:03:02 10:15:03"),
            None,
            None,
            "2026-03-02T10:15:03",
        ),
        (
            Some("2026:03:02 10:15:03"),
            Some("25"),
            Some("+01:00"),
            "2026-03-02T10:15:03.250+01:00",
        ),
        (
            Some("2026:03:02 10:15:03"),
            Some("007"),
            Some("-03:30"),
            "2026-03-02T10:15:03.007-03:30",
        ),
        (
            Some("2026:03:02 10:15:03"),
            Some("   "),
            Some("   :  "),
            "2026-03-02T10:15:03",
        ),
        // Clocks that were never set: Exif 2.31, 4.6.5, has blanks; many write zeros.
        (Some("0000:00:00 00:00:00"), None, None, "none"),
        (Some("    :  :     :  :  "), None, None, "none"),
        (Some("2026:02:30 10:15:03"), None, None, "none"),
        (Some("yesterday"), None, None, "none"),
        (None, None, None, "none"),
    ];
    for (date, fraction, zone, want) in cases {
        let told = Told {
            taken: date,
            fraction,
            zone,
            ..base.clone()
        };
        for (name, format, bytes) in in_all_formats(&told) {
            let found = facts(&home.path().join(name), &bytes).unwrap();
            assert_eq!(
                (taken(&found).as_str(), found.format),
                (want, format),
                "{name} {date:?}"
            );
            assert_eq!(found.camera, "Invented 7", "{name}");
        }
    }
}

#[test]
fn exiftool_reads_the_same_time_from_the_same_files() {
    let home = tempfile::tempdir().unwrap();
    let told = Told {
        taken: Some("2026:03:02 10:15:03"),
        fraction: Some("25"),
        zone: Some("+01:00"),
        ..Told::default()
    };
    for (name, _, bytes) in in_all_formats(&told) {
        let path = home.path().join(name);
        let ours = taken(&facts(&path, &bytes).unwrap());
        let format = "$SubSecDateTimeOriginal";
        let Some(theirs) = run("exiftool", &["-p", format, path.to_str().unwrap()]) else {
            return;
        };
        assert_eq!(theirs.trim(), "2026:03:02 10:15:03.25+01:00", "{name}");
        assert_eq!(ours, "2026-03-02T10:15:03.250+01:00", "{name}");
    }
}

#[test]
fn what_exiftool_writes_is_read() {
    let home = tempfile::tempdir().unwrap();
    // It does not write into a HEIC file without a picture, as ours is.
    for (name, format, bytes) in in_all_formats(&Told::default()) {
        if format == PhotoFormat::Heic {
            continue;
        }
        let path = home.path().join(name);
        fs::write(&path, bytes).unwrap();
        let written = run(
            "exiftool",
            &[
                "-q",
                "-overwrite_original",
                "-DateTimeOriginal=2025:12:31 23:59:58",
                "-SubSecTimeOriginal=5",
                "-OffsetTimeOriginal=+00:00",
                "-GPSLatitude=51.5",
                "-GPSLatitudeRef=N",
                path.to_str().unwrap(),
            ],
        );
        if written.is_none() {
            return;
        }
        let found = read_facts(&path).unwrap().unwrap();
        assert_eq!(taken(&found), "2025-12-31T23:59:58.500+00:00", "{name}");
    }
}

#[test]
fn a_file_without_exif_data_or_with_garbled_data_tells_no_time_and_no_file_makes_it_panic() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("a");
    let told = Told {
        taken: Some("2026:03:02 10:15:03"),
        place: true,
        ..Told::default()
    };
    for (_, format, bytes) in in_all_formats(&told) {
        for length in 0..bytes.len() {
            let found = facts(&path, &bytes[..length]);
            assert!(found.is_none_or(|found| found.format == format));
        }
        for place in 12..bytes.len() {
            let mut flipped = bytes.clone();
            flipped[place] ^= 0xff;
            facts(&path, &flipped).unwrap();
        }
    }
    for (_, _, bytes) in in_all_formats(&Told::default()) {
        assert_eq!(taken(&facts(&path, &bytes).unwrap()), "none");
    }
    for other in [&b""[..], b"GIF89a", b"just text"] {
        assert_eq!(facts(&path, other), None);
    }
}
