//! Makes a walk-round as long as they get: 300 defects in words with their times, and 300 photos as a
//! phone takes them, 12 million points in some 4 MB each, every one different and taken right after its
//! defect was spoken of. What `callover` makes of it, and in what time, is then measured with the program
//! itself; DEVELOPERS.md has the commands.
//!
//! ```sh
//! cargo run --release --example long_job -- FOLDER
//! ```
//!
//! Writes `walk.txt` and `photos/` into the folder, 1.2 GB in all; the same bytes every time.

#![allow(clippy::print_stdout, reason = "a measuring program prints")]

use exif::experimental::Writer;
use exif::{Field, In, Tag, Value};
use image::{Rgb, RgbImage};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use std::error::Error;
use std::fmt::Write as _;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::{env, fs};

/// Seconds from one defect to the next.
const PACE: u32 = 24;
/// Seconds after the beginning of a sentence at which its photo is taken.
const SHOT: u32 = 9;
/// Quality at which the pictures below weigh some 4 MB.
const QUALITY: u8 = 95;
const SIZE: (u32, u32) = (4032, 3024);

/// In walking order.
const PLACES: [&str; 20] = [
    "front elevation",
    "side elevation",
    "rear garden",
    "garage",
    "hallway",
    "cloakroom",
    "lounge",
    "dining room",
    "kitchen",
    "utility room",
    "stairs",
    "landing",
    "main bedroom",
    "en suite",
    "bedroom two",
    "bedroom three",
    "bedroom four",
    "study",
    "bathroom",
    "loft",
];

/// What is said in each place, from the driest to the wordiest.
const SAYINGS: [&str; 15] = [
    "The skirting board is loose.",
    "The window sill is scratched, a hundred and twenty millimetres long.",
    "There's no sealant around the frame. That needs sealing.",
    "The double socket is loose and out of level by six mil.",
    "The door is catching on the carpet, so that wants easing.",
    "The paint is patchy on the wall behind the door, it could do with another coat.",
    "The wall opposite the window is bowed, eight millimetres under a two metre straight edge.",
    "Two of the tiles are cracked, the pair next to the corner.",
    "There's a hairline crack in the ceiling running from the light to the window, one point two \
     metres long.",
    "The radiator is loose, one bracket has come away from the wall.",
    "The glass in the window is scratched, you can see it from the middle of the room.",
    "The pipe behind it has no lagging.",
    "The extractor fan isn't working, I've tried the switch twice.",
    "The smoke alarm still has its dust cover on.",
    "I think there might be a damp patch low down in the corner, about half a metre across, it's hard to \
     tell in this light. Keep an eye on it.",
];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = env::args_os().nth(1).map(PathBuf::from);
    let folder = folder.ok_or("usage: long_job FOLDER")?;
    fs::create_dir_all(folder.join("photos"))?;
    fs::write(folder.join("walk.txt"), walk()?)?;
    let grain = grain();
    let mut bytes = 0;
    let count = u32::try_from(PLACES.len() * SAYINGS.len())?;
    for number in 0..count {
        bytes += shoot(&folder, number, &grain)?;
    }
    println!(
        "{count} photos, {:.2} MB each on average",
        bytes as f64 / f64::from(count) / 1e6
    );
    Ok(())
}

fn walk() -> Result<String, std::fmt::Error> {
    let mut text = String::new();
    let mut second = 2;
    for place in PLACES {
        for (index, saying) in SAYINGS.iter().enumerate() {
            write!(text, "[{}:{:02}] ", second / 60, second % 60)?;
            if index == 0 {
                let mut letters = place.chars();
                let first = letters.next().map(|letter| letter.to_ascii_uppercase());
                let place: String = first.into_iter().chain(letters).collect();
                write!(text, "{place}. ")?;
            }
            writeln!(text, "{saying}")?;
            second += PACE;
        }
    }
    Ok(text)
}

/// Writes one photo; returns its length in bytes.
fn shoot(folder: &Path, number: u32, grain: &[i16]) -> Result<usize, Box<dyn Error>> {
    let mut file = Vec::new();
    let mut encoder = Encoder::new(&mut file, QUALITY);
    // As phones write: colours at half the fineness.
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.add_app_segment(1, [b"Exif\0\0".as_slice(), &taken(number)?].concat())?;
    let picture = picture(number, grain);
    let (width, height) = (u16::try_from(SIZE.0)?, u16::try_from(SIZE.1)?);
    encoder.encode(picture.as_raw(), width, height, ColorType::Rgb)?;
    let name = format!("IMG_{:04}.jpg", number + 1);
    fs::write(folder.join("photos").join(name), &file)?;
    Ok(file.len())
}

/// Returns Exif data with the time, by a clock that the recording began with at 09:00.
fn taken(number: u32) -> Result<Vec<u8>, exif::Error> {
    let at = 9 * 3600 + 2 + number * PACE + SHOT;
    let (hour, minute, second) = (at / 3600, at / 60 % 60, at % 60);
    let time = format!("2026:03:02 {hour:02}:{minute:02}:{second:02}");
    let field = Field {
        tag: Tag::DateTimeOriginal,
        ifd_num: In::PRIMARY,
        value: Value::Ascii(vec![time.into_bytes()]),
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = Writer::new();
    writer.push_field(&field);
    writer.write(&mut bytes, true)?;
    Ok(bytes.into_inner())
}

/// How far a grain of the film reaches, in grains on a side.
const GRAIN: u32 = 1021;

/// Returns grain as of a small sensor: every point differs from its neighbours, and is like them.
fn grain() -> Vec<i16> {
    let mut state = 1_u32;
    let mut before = 0;
    let mut one = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let new = i16::try_from(state >> 27).unwrap_or(0) - 16;
        before = (before + new) / 2;
        before
    };
    (0..GRAIN * GRAIN).map(|_| one()).collect()
}

/// Draws a wall in slanting light over a skirting board and a floor of boards, with a door and a
/// crack.
fn picture(number: u32, grain: &[i16]) -> RgbImage {
    let (width, height) = SIZE;
    let mix = number.wrapping_mul(2_654_435_761) >> 8;
    let (door, floor) = (300 + mix % 2200, height - 500 - mix % 400);
    let (crack, lean) = (200 + mix % 3000, 2 + mix % 5);
    let wall = [
        150 + (mix % 70) as i16,
        150 + (mix % 61) as i16,
        140 + (mix % 53) as i16,
    ];
    RgbImage::from_fn(width, height, |x, y| {
        let here = if y > floor {
            let board = (y - floor) / 90 + x / 1400;
            let dark = (board % 3) as i16 * 12;
            [150 - dark, 118 - dark, 84 - dark]
        } else if y + 190 > floor {
            if y + 190 < floor + 8 {
                [170, 168, 160]
            } else {
                [238, 236, 230]
            }
        } else if (door..door + 900).contains(&x) && y > 300 {
            let edge = x - door < 40 || door + 900 - x < 40 || y < 340;
            if edge { [235, 233, 228] } else { [122, 96, 70] }
        } else if x.abs_diff(crack + y / lean + (y / 37 % 5) * 6) < 5 && y < 1400 {
            [70, 66, 60]
        } else {
            wall
        };
        let light = (x / 80 + y / 110) as i16;
        let at = (y + mix) % GRAIN * GRAIN + (x + mix / 7) % GRAIN;
        let grain = grain[at as usize];
        Rgb(here.map(|colour| (colour + grain - 20 + light / 2).clamp(0, 255) as u8))
    })
}
