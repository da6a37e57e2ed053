//! How long a long list takes in each format: 300 items, each with a photo of its own as the program
//! puts it into documents (1,500 by 1,125 points, JPEG); and how long it takes to make one such picture
//! of a camera's photo, which is done once for all formats and kept in the job folder.
//!
//! Beside the time that passed stands the time of all processors together, which says more where other
//! programs run too (Linux only).
//!
//! ```sh
//! /usr/bin/time -v cargo run --release --example export_speed -- [ENDING...]
//! ```

#![allow(clippy::print_stdout, reason = "a measuring program prints")]

use callover::export::{BcfVersion, Document, Format, Options, Photo};
use callover::items::{Evidence, Item, Severity, Standing, Status};
use callover::speech::Recording;
use callover::time::{Millis, Span};
use image::codecs::jpeg::JpegEncoder;
use std::error::Error;
use std::time::Instant;

const ITEMS: u32 = 300;
const TRADES: [&str; 6] = [
    "joiner",
    "decorator",
    "plumber",
    "plasterer",
    "tiler",
    "electrician",
];
const PLACES: [&str; 8] = [
    "front elevation",
    "hallway",
    "kitchen",
    "lounge",
    "landing",
    "bathroom",
    "bedroom two",
    "loft",
];

fn main() -> Result<(), Box<dyn Error>> {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    let document = document()?;
    let photos: usize = document
        .photos
        .values()
        .map(|photo| photo.bytes.len())
        .sum();
    println!("{ITEMS} items, photos {:.1} MB", photos as f64 / 1e6);
    if wanted.is_empty() {
        camera()?;
    }
    let versions = |format| match format {
        Format::Bcf => vec![BcfVersion::V2_1, BcfVersion::V3_0],
        _ => vec![BcfVersion::default()],
    };
    for format in Format::ALL {
        if !wanted.is_empty() && !wanted.iter().any(|ending| ending == format.ending()) {
            continue;
        }
        for bcf in versions(format) {
            let options = Options {
                bcf,
                ..Options::default()
            };
            let (started, used) = (Instant::now(), processors());
            let bytes = format.bytes(&document, &options)?;
            let (seconds, used) = (started.elapsed().as_secs_f64(), processors() - used);
            let megabytes = bytes.len() as f64 / 1e6;
            println!(
                "{:>5} {seconds:>7.2} s {used:>7.2} s of processors {megabytes:>8.2} MB",
                format.ending()
            );
            let again = format.bytes(&document, &options)?;
            assert!(
                bytes == again,
                "{} differs the second time",
                format.ending()
            );
        }
    }
    Ok(())
}

/// Seconds that all processors have spent on this program so far, in hundredths (proc_pid_stat(5):
/// fields 14 and 15, in ticks of which Linux has 100 a second); 0 where the system does not tell.
fn processors() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields = stat.rsplit(')').next().unwrap_or_default();
    let ticks = fields.split_whitespace().skip(11).take(2);
    ticks
        .filter_map(|ticks| ticks.parse::<f64>().ok())
        .sum::<f64>()
        / 100.0
}

/// Makes the pictures of a photo as large as a phone's, 12 million points in some 4 MB.
fn camera() -> Result<(), Box<dyn Error>> {
    const TIMES: u32 = 10;
    let photo = photo(1, (4000, 3000), 88)?;
    let used = processors();
    for _ in 0..TIMES {
        callover::photos::shown(&photo, callover::job::PhotoFormat::Jpeg)?;
    }
    println!(
        "a picture of a photo of {:.1} MB: {:.3} s of one processor",
        photo.len() as f64 / 1e6,
        (processors() - used) / f64::from(TIMES)
    );
    Ok(())
}

fn document() -> Result<Document, Box<dyn Error>> {
    let mut document = Document {
        title: "Plot 14, Larch Row".to_string(),
        created: "2026-03-02T17:05:00Z".to_string(),
        recordings: vec![Recording {
            id: 1,
            file: "walk-round.m4a".to_string(),
            sha256: "0f".repeat(32),
            duration_s: 7_200.0,
            speech_s: 4_000.0,
        }],
        ..Document::default()
    };
    for number in 1..=ITEMS {
        let name = format!("IMG_{number:04}.jpg");
        document.items.push(item(number, &name));
        let bytes = photo(number, (1500, 1125), 80)?;
        document.photos.insert(name, Photo { bytes });
    }
    Ok(document)
}

fn item(number: u32, photo: &str) -> Item {
    let pick = number as usize;
    let start = u64::from(number) * 22_000;
    Item {
        number,
        id: format!("{:016x}", u64::from(number) * 7_919),
        place: PLACES[pick * PLACES.len() / (ITEMS as usize + 1)].to_string(),
        position: Some("left of the door".to_string()),
        element: "skirting board".to_string(),
        defect: "loose".to_string(),
        description: format!("The skirting board left of the door is loose over {number} mm."),
        count: 1,
        measurements: Vec::new(),
        limits: Vec::new(),
        remedy: Some("secure firmly".to_string()),
        remedy_source: None,
        trade: Some(TRADES[pick % TRADES.len()].to_string()),
        severity: Severity::Repair,
        caution: None,
        remarks: vec!["it moves when it is touched".to_string()],
        hedged: false,
        photo_wanted: false,
        evidence: Evidence {
            recording: 1,
            span: Some(Span::new(Millis(start), Millis(start + 7_000))),
            quote: "the skirting board left of the door is loose".to_string(),
            words: None,
            terms: Vec::new(),
            reasons: Vec::new(),
        },
        confidence: 0.9,
        status: Status::Confirmed,
        photos: vec![photo.to_string()],
        standing: Standing::Open,
        history: Vec::new(),
        due: Some("2026-04-01".to_string()),
    }
}

/// Returns a picture with edges, shades and grain, about as large as a photo of a wall.
fn photo(number: u32, size: (u32, u32), quality: u8) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut grain = number;
    let picture = image::RgbImage::from_fn(size.0, size.1, |x, y| {
        grain = grain.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let shade =
            x * 90 / size.0 + y * 60 / size.1 + if (x / 200 + y / 150) % 2 == 0 { 60 } else { 0 };
        let shade = u8::try_from((shade + (grain >> 28)).min(255)).unwrap_or(255);
        image::Rgb([shade, shade.saturating_sub(12), shade.saturating_sub(25)])
    });
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(&picture)?;
    Ok(bytes)
}
