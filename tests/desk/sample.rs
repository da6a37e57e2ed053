//! An invented job to work on: words with times, items made of them by the program itself, a sound file
//! and photos.

use callover::items::propose;
use callover::job::{DETAIL_TITLE, Job};
use callover::lexicon::Lexicon;
use callover::speech::{Recording, Transcript, Word};
use callover::time::{Millis, Span};
use hound::{SampleFormat, WavSpec, WavWriter};
use image::{Rgb, RgbImage};
use std::fs;
use std::path::Path;

/// How large the job is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Size {
    /// How often the walk-round of the example is gone through.
    pub(crate) rounds: usize,
    /// Milliseconds from word to word.
    pub(crate) word_ms: u64,
    /// Number of photos, and their width in pixels.
    pub(crate) photos: u32,
    pub(crate) photo_width: u32,
    /// Samples a second of the sound.
    pub(crate) rate: u32,
}

/// One walk-round with a few photos.
pub(crate) const SMALL: Size = Size {
    rounds: 1,
    word_ms: 200,
    photos: 5,
    photo_width: 640,
    rate: 8_000,
};

/// Text that would harm a page that took it for markup, or reorder its line (UAX #9).
pub(crate) const HOSTILE: &str = "<img src=x onerror=document.title='harmed'> \u{202e}drawkcab</script><script>alert(1)</script>";

/// Makes the job in `dir`.
pub(crate) fn make(dir: &Path, size: Size) {
    let mut job = Job::create(dir).unwrap();
    let id = job
        .add_recording("walk.wav", &"5".repeat(64), "walk.wav")
        .unwrap();
    let words = words(size);
    let length_ms = words.last().unwrap().span.unwrap().end.0 + 1_000;
    let recording = Recording {
        id,
        file: "walk.wav".into(),
        sha256: "5".repeat(64),
        duration_s: length_ms as f64 / 1000.0,
        speech_s: 0.0,
    };
    job.keep_words(&recording, &words).unwrap();
    job.set_detail(DETAIL_TITLE, "Plot seven").unwrap();
    let transcript = Transcript {
        recordings: vec![recording],
        words,
    };
    let proposal = propose(&Lexicon::builtin().unwrap(), &transcript);
    job.propose(proposal, "2026-03-02T17:05:00Z").unwrap();
    sound(
        &dir.join("recordings/walk.wav"),
        &transcript.words,
        length_ms,
        size.rate,
    );
    for number in 1..=size.photos {
        photo(
            &dir.join(format!("photos/photo-{number:03}.jpg")),
            number,
            size.photo_width,
        );
    }
}

fn words(size: Size) -> Vec<Word> {
    let text = include_str!("../../examples/plot-seven.txt");
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
    let mut at = 500;
    let mut words = Vec::new();
    for line in (0..size.rounds).flat_map(|_| &lines) {
        for word in line.split_whitespace() {
            words.push(Word {
                text: word.into(),
                recording: 1,
                span: Some(Span::new(Millis(at), Millis(at + size.word_ms * 4 / 5))),
                probability: if words.len() % 23 == 22 { 0.3 } else { 0.95 },
                line_end: false,
                meant: None,
            });
            at += size.word_ms;
        }
        at += 2 * size.word_ms;
    }
    words
}

/// A tone for each word, so that the outline has something to show.
fn sound(path: &Path, words: &[Word], length_ms: u64, rate: u32) {
    let spec = WavSpec {
        channels: 1,
        sample_rate: rate,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut writer = WavWriter::create(path, spec).unwrap();
    let mut spans = words.iter().filter_map(|word| word.span).peekable();
    for sample in 0..length_ms * u64::from(rate) / 1000 {
        let ms = sample * 1000 / u64::from(rate);
        while spans.peek().is_some_and(|span| span.end.0 <= ms) {
            spans.next();
        }
        let inside = spans.peek().filter(|span| span.start.0 <= ms);
        let loud = inside.map_or(0.0, |span| {
            let along = (ms - span.start.0) as f64 / span.length() as f64;
            (along * std::f64::consts::PI).sin()
                * (0.2 + 0.6 * ((span.start.0 / 200 % 7) as f64 / 7.0))
        });
        let tone = (sample as f64 * 180.0 / f64::from(rate) * std::f64::consts::TAU).sin();
        writer
            .write_sample((tone * loud * 20_000.0) as i16)
            .unwrap();
    }
    writer.finalize().unwrap();
}

/// A picture of no real thing: a wall, a skirting and a mark, each time in other colours.
fn photo(path: &Path, number: u32, width: u32) {
    let height = width * 3 / 4;
    let picture = RgbImage::from_fn(width, height, |x, y| {
        let (along, down) = (x * 100 / width, y * 100 / height);
        let mark = (along as i32 - (20 + number as i32 * 13 % 60)).pow(2)
            + (down as i32 - (20 + number as i32 * 7 % 40)).pow(2);
        let shade = (number * 37 % 60) as u8;
        match () {
            () if mark < 30 => Rgb([90, 60, 50]),
            () if down > 78 => Rgb([235, 232, 226]),
            () => Rgb([
                170 + shade,
                190 - shade / 2,
                180 - shade / 3 + (along / 5) as u8,
            ]),
        }
    });
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    picture.save(path).unwrap();
}
