//! An invented job to work on: words with times, items made of them by the program itself, a sound file
//! and photos.

use callover::items::{Proposal, Unplaced, Visit, propose};
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
    let (one, round_ms) = words(size.word_ms);
    let length_ms = round_ms * size.rounds as u64;
    let recording = Recording {
        id,
        file: "walk.wav".into(),
        sha256: "5".repeat(64),
        duration_s: length_ms as f64 / 1000.0,
        speech_s: 0.0,
    };
    let later = |round: usize| Later {
        words: round * one.len(),
        ms: round as u64 * round_ms,
    };
    let rounds = || (0..size.rounds).map(later);
    let words: Vec<Word> = rounds()
        .flat_map(|later| one.iter().map(move |word| later.word(word)))
        .collect();
    job.keep_words(&recording, &words).unwrap();
    job.set_detail(DETAIL_TITLE, "Plot seven").unwrap();
    let transcript = Transcript {
        recordings: vec![recording],
        words: one.clone(),
    };
    let proposal = propose(&Lexicon::builtin().unwrap(), &transcript);
    let proposal = repeated(&proposal, rounds());
    job.propose(proposal, "2026-03-02T17:05:00Z").unwrap();
    sound(&dir.join("recordings/walk.wav"), &one, round_ms, size);
    for number in 1..=size.photos {
        photo(
            &dir.join(format!("photos/photo-{number:03}.jpg")),
            number,
            size.photo_width,
        );
    }
}

/// The words of the example walk-round, and how long one round takes.
fn words(word_ms: u64) -> (Vec<Word>, u64) {
    let text = include_str!("../../examples/plot-seven.txt");
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    let mut at = 500;
    let mut words = Vec::new();
    for line in lines {
        for word in line.split_whitespace() {
            words.push(Word {
                text: word.into(),
                recording: 1,
                span: Some(Span::new(Millis(at), Millis(at + word_ms * 4 / 5))),
                probability: if words.len() % 23 == 22 { 0.3 } else { 0.95 },
                line_end: false,
                meant: None,
            });
            at += word_ms;
        }
        at += 2 * word_ms;
    }
    (words, at)
}

/// How much later a round is than the first.
#[derive(Debug, Clone, Copy)]
struct Later {
    words: usize,
    ms: u64,
}

impl Later {
    fn word(self, word: &Word) -> Word {
        Word {
            span: self.span(word.span),
            ..word.clone()
        }
    }

    fn span(self, span: Option<Span>) -> Option<Span> {
        let moved = |at: Millis| Millis(at.0 + self.ms);
        span.map(|span| Span::new(moved(span.start), moved(span.end)))
    }
}

/// The list of all rounds. What one makes is made of each, as it would be by understanding them all, which
/// takes much longer for the largest job.
fn repeated(one: &Proposal, rounds: impl Iterator<Item = Later> + Clone) -> Proposal {
    let mut all = Proposal {
        places: one.places.clone(),
        ..Proposal::default()
    };
    for (place, of_one) in all.places.iter_mut().zip(&one.places) {
        let visits = rounds.clone().flat_map(|later| {
            of_one.visits.iter().map(move |visit| Visit {
                span: later.span(visit.span),
                ..visit.clone()
            })
        });
        place.visits = visits.collect();
    }
    for later in rounds {
        for item in &one.items {
            let mut item = item.clone();
            item.number = all.items.len() as u32 + 1;
            item.id = format!("{}-{}", item.id, later.ms);
            item.evidence.span = later.span(item.evidence.span);
            let words = item.evidence.words;
            item.evidence.words = words.map(|(a, b)| (a + later.words, b + later.words));
            all.items.push(item);
        }
        all.unplaced
            .extend(one.unplaced.iter().map(|said| Unplaced {
                span: later.span(said.span),
                ..said.clone()
            }));
    }
    all
}

/// A tone for each word, so that the outline has something to show. Every round sounds alike, so one is
/// worked out.
fn sound(path: &Path, words: &[Word], round_ms: u64, size: Size) {
    let rate = u64::from(size.rate);
    let spec = WavSpec {
        channels: 1,
        sample_rate: size.rate,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut writer = WavWriter::create(path, spec).unwrap();
    let mut spans = words.iter().filter_map(|word| word.span).peekable();
    let round: Vec<i16> = (0..round_ms * rate / 1000)
        .map(|sample| {
            let ms = sample * 1000 / rate;
            while spans.next_if(|span| span.end.0 <= ms).is_some() {}
            let inside = spans.peek().filter(|span| span.start.0 <= ms);
            let loud = inside.map_or(0.0, |span| {
                let along = (ms - span.start.0) as f64 / span.length() as f64;
                (along * std::f64::consts::PI).sin()
                    * (0.2 + 0.6 * ((span.start.0 / 200 % 7) as f64 / 7.0))
            });
            let tone = (sample as f64 * 180.0 / rate as f64 * std::f64::consts::TAU).sin();
            (tone * loud * 20_000.0) as i16
        })
        .collect();
    for sample in round.iter().cycle().take(round.len() * size.rounds) {
        writer.write_sample(*sample).unwrap();
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
