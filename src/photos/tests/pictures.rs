//! What documents embed: upright, bounded, the same every time, and silent on place and device.

use super::samples::{Told, heic, jpeg, png, quarters, run, webp};
use crate::job::PhotoFormat;
use crate::photos::{LONGEST_SIDE, PictureError, shown};
use image::{ImageEncoder, ImageFormat, RgbImage};

fn decoded(jpeg: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(jpeg, ImageFormat::Jpeg)
        .unwrap()
        .into_rgb8()
}

/// Names the colour in the middle of each quarter, from the top left to the bottom right.
fn colours(image: &RgbImage) -> [&'static str; 4] {
    let (width, height) = image.dimensions();
    [(1, 1), (3, 1), (1, 3), (3, 3)].map(|(x, y)| {
        match image.get_pixel(width * x / 4, height * y / 4).0 {
            [r, g, b] if r > 200 && g > 200 && b > 200 => "white",
            [r, _, _] if r > 180 => "red",
            [_, g, _] if g > 150 => "green",
            [_, _, b] if b > 180 => "blue",
            _ => "other",
        }
    })
}

/// Returns the picture as a camera stores it that was held so that its Exif orientation is
/// `orientation`: which side of the scene the first row and the first column are, as in the table of
/// the tag in Exif 2.32 (CIPA DC-008-2019), 4.6.5.
fn stored(upright: &RgbImage, orientation: u16) -> RgbImage {
    let (width, height) = upright.dimensions();
    let (right, bottom) = (width - 1, height - 1);
    let rows_are_columns = orientation > 4;
    let (across, down) = if rows_are_columns {
        (height, width)
    } else {
        (width, height)
    };
    RgbImage::from_fn(across, down, |column, row| {
        let (x, y) = match orientation {
            1 => (column, row),                  // row 0 is the top, column 0 the left
            2 => (right - column, row),          // top, right
            3 => (right - column, bottom - row), // bottom, right
            4 => (column, bottom - row),         // bottom, left
            5 => (row, column),                  // left, top
            6 => (right - row, column),          // right, top
            7 => (right - row, bottom - column), // right, bottom
            _ => (row, bottom - column),         // left, bottom
        };
        *upright.get_pixel(x, y)
    })
}

#[test]
fn all_eight_orientations_come_out_upright_from_every_format() {
    let upright = quarters(64, 32);
    for orientation in 1..=8 {
        let told = Told {
            orientation: Some(orientation),
            ..Told::default()
        };
        let image = stored(&upright, orientation);
        for (format, bytes) in [
            (PhotoFormat::Jpeg, jpeg(&image, &told)),
            (PhotoFormat::Png, png(&image, &told)),
            (PhotoFormat::Webp, webp(&image, &told)),
        ] {
            let picture = decoded(&shown(&bytes, format).unwrap());
            assert_eq!(picture.dimensions(), (64, 32), "{orientation} {format:?}");
            assert_eq!(
                colours(&picture),
                ["red", "green", "blue", "white"],
                "{orientation} {format:?}"
            );
        }
    }
}

#[test]
fn no_place_time_or_device_is_left() {
    let home = tempfile::tempdir().unwrap();
    let told = Told {
        taken: Some("2026:03:02 10:15:03"),
        model: Some("Invented 7"),
        place: true,
        ..Told::default()
    };
    let image = quarters(64, 32);
    for (name, format, bytes) in [
        ("a.jpg", PhotoFormat::Jpeg, jpeg(&image, &told)),
        ("a.png", PhotoFormat::Png, png(&image, &told)),
        ("a.webp", PhotoFormat::Webp, webp(&image, &told)),
    ] {
        let picture = shown(&bytes, format).unwrap();
        for trace in [&b"Exif"[..], b"GPS", b"Invented", b"2026"] {
            assert!(
                !picture.windows(trace.len()).any(|part| part == trace),
                "{name}: {trace:?}"
            );
        }
        let (given, made) = (home.path().join(name), home.path().join("made.jpg"));
        std::fs::write(&given, bytes).unwrap();
        std::fs::write(&made, picture).unwrap();
        let asked = [
            "-a",
            "-s",
            "-s",
            "-GPS:all",
            "-EXIF:all",
            "-XMP:all",
            "-IPTC:all",
        ];
        let told_by = |path: &std::path::Path| {
            run(
                "exiftool",
                &[&asked[..], &[path.to_str().unwrap()]].concat(),
            )
        };
        let Some(before) = told_by(&given) else {
            return;
        };
        assert!(
            before.contains("GPSLatitude:") && before.contains("Model:"),
            "{before}"
        );
        assert_eq!(told_by(&made).unwrap(), "", "{name}");
    }
}

#[test]
fn large_pictures_are_made_smaller_and_small_ones_are_not_made_larger() {
    for (size, want) in [
        ((4000, 3000), (LONGEST_SIDE, 1125)),
        ((1000, 4000), (375, LONGEST_SIDE)),
        ((5000, 2), (LONGEST_SIDE, 1)),
        ((LONGEST_SIDE, 10), (LONGEST_SIDE, 10)),
        ((3, 2), (3, 2)),
    ] {
        let bytes = jpeg(&quarters(size.0, size.1), &Told::default());
        let picture = decoded(&shown(&bytes, PhotoFormat::Jpeg).unwrap());
        assert_eq!(picture.dimensions(), want, "{size:?}");
    }
}

#[test]
fn the_same_photo_gives_the_same_bytes() {
    let bytes = jpeg(&quarters(2000, 1500), &Told::default());
    let first = shown(&bytes, PhotoFormat::Jpeg).unwrap();
    assert_eq!(first, shown(&bytes, PhotoFormat::Jpeg).unwrap());
}

#[test]
fn transparent_parts_become_white_and_grey_pictures_stay_grey() {
    let mut bytes = Vec::new();
    image::codecs::png::PngEncoder::new(&mut bytes)
        .write_image(
            &[10, 20, 30, 0].repeat(64),
            8,
            8,
            image::ExtendedColorType::Rgba8,
        )
        .unwrap();
    let picture = decoded(&shown(&bytes, PhotoFormat::Png).unwrap());
    assert!(
        picture
            .pixels()
            .all(|pixel| pixel.0.iter().all(|&c| c > 250))
    );
    bytes.clear();
    image::codecs::png::PngEncoder::new(&mut bytes)
        .write_image(&[90; 64], 8, 8, image::ExtendedColorType::L8)
        .unwrap();
    let picture = decoded(&shown(&bytes, PhotoFormat::Png).unwrap());
    assert!(
        picture
            .pixels()
            .all(|pixel| pixel.0.iter().all(|&c| c.abs_diff(90) < 4))
    );
}

#[test]
fn a_colour_profile_is_carried_over_so_that_colours_stay() {
    // The least of a profile: its 128 bytes of head, for red, green and blue.
    let mut profile = vec![0; 128];
    profile[16..20].copy_from_slice(b"RGB ");
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut bytes);
    encoder.set_icc_profile(profile.clone()).unwrap();
    encoder
        .write_image(&quarters(16, 16), 16, 16, image::ExtendedColorType::Rgb8)
        .unwrap();
    let picture = shown(&bytes, PhotoFormat::Jpeg).unwrap();
    assert!(picture.windows(128).any(|part| part == profile));
}

#[test]
fn what_cannot_be_shown_is_an_error_and_never_a_panic() {
    let bytes = heic(&Told {
        taken: Some("2026:03:02 10:15:03"),
        ..Told::default()
    });
    assert!(matches!(
        shown(&bytes, PhotoFormat::Heic),
        Err(PictureError::Heic)
    ));
    let image = quarters(48, 32);
    let told = Told {
        orientation: Some(6),
        ..Told::default()
    };
    let mut refused = 0;
    for (format, bytes) in [
        (PhotoFormat::Jpeg, jpeg(&image, &told)),
        (PhotoFormat::Png, png(&image, &told)),
        (PhotoFormat::Webp, webp(&image, &told)),
    ] {
        for length in (0..bytes.len()).step_by(7) {
            refused += usize::from(shown(&bytes[..length], format).is_err());
        }
        for place in 0..bytes.len() {
            let mut flipped = bytes.clone();
            flipped[place] ^= 0x41;
            refused += usize::from(shown(&flipped, format).is_err());
        }
    }
    assert!(refused > 100, "only {refused} were refused");
}

#[test]
fn a_picture_that_claims_to_be_huge_is_refused_before_it_takes_memory() {
    // A PNG head of 60,000 by 60,000 points (RFC 2083, 4.1.1), which would take 10.8 GB.
    let mut bytes = png(&quarters(4, 4), &Told::default());
    bytes[16..20].copy_from_slice(&60_000u32.to_be_bytes());
    bytes[20..24].copy_from_slice(&60_000u32.to_be_bytes());
    let checksum = crc(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&checksum.to_be_bytes());
    let error = shown(&bytes, PhotoFormat::Png).unwrap_err();
    assert!(
        error.to_string().to_lowercase().contains("limit"),
        "{error}"
    );
}

/// The checksum of a PNG chunk, as in the sample code of RFC 2083, section 15.
fn crc(bytes: &[u8]) -> u32 {
    let mut crc = u32::MAX;
    for byte in bytes {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 {
                0xedb8_8320 ^ (crc >> 1)
            } else {
                crc >> 1
            };
        }
    }
    !crc
}
