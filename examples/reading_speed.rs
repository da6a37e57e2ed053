//! How long it takes to make items of a transcript, and how that grows with the length of the
//! transcript and with the size of the lexicon. The texts are the walk-rounds of `examples/told`,
//! one after the other and again until there are words enough.
//!
//! What is done once, at the start (reading the lexicon, spelling its wordings out in sounds), is told
//! apart. Each row is the least of several runs, since other programs can only add to it. Memory is the
//! most that the process has had so far (Linux only).
//!
//! ```sh
//! cargo run --release --example reading_speed
//! ```

#![allow(clippy::print_stdout, reason = "a measuring program prints")]

use callover::items::propose;
use callover::lexicon::Lexicon;
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};
use std::error::Error;
use std::time::{Duration, Instant};

const TEXTS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/told");
/// Words of the longest transcript.
const LONGEST: usize = 120_000;
const RUNS: usize = 5;

fn main() -> Result<(), Box<dyn Error>> {
    let text = texts()?;
    let begun = Instant::now();
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    println!("lexicon read          {:>8.1?}", begun.elapsed());
    let begun = Instant::now();
    propose(&lexicon, &transcript(&text, 20)?);
    println!("first words           {:>8.1?}", begun.elapsed());

    println!("\n     words   items      time µs a word     memory");
    let mut words = LONGEST / 64;
    while words <= LONGEST {
        row("", &lexicon, &transcript(&text, words)?);
        words *= 2;
    }
    println!("\nof the lexicon's elements and defects, 30,000 words");
    for tenths in [2, 4, 6, 8, 10] {
        // Every name keeps its place in the order: the smaller lexicons are parts of the larger ones.
        let mut at = 0;
        let smaller = Lexicon::builtin_without(|_, _| {
            at += 1;
            at % 10 >= tenths
        });
        let smaller = smaller.ok_or("a part of the lexicon makes no lexicon")?;
        propose(&smaller, &transcript(&text, 20)?);
        let part = format!("{} % ", tenths * 10);
        row(&part, &smaller, &transcript(&text, LONGEST / 4)?);
    }
    Ok(())
}

fn row(part: &str, lexicon: &Lexicon, transcript: &Transcript) {
    let (mut least, mut items) = (Duration::MAX, 0);
    for _ in 0..RUNS {
        let begun = Instant::now();
        items = propose(lexicon, transcript).items.len();
        least = least.min(begun.elapsed());
    }
    let words = transcript.words.len();
    let each = least.as_secs_f64() * 1e6 / words as f64;
    let memory = most_memory().unwrap_or_default();
    println!("{part:>6}{words:>6} {items:>6} {least:>10.1?} {each:>8.1} {memory:>10}");
}

/// Returns the spoken texts in the order of their files' names.
fn texts() -> Result<String, Box<dyn Error>> {
    let mut files: Vec<_> = std::fs::read_dir(TEXTS)?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.to_string_lossy().ends_with(".gold.json"))
        .collect();
    files.sort();
    let mut text = String::new();
    for file in files {
        let gold: serde_json::Value = serde_json::from_slice(&std::fs::read(&file)?)?;
        text += gold["text"].as_str().ok_or("a walk-round without text")?;
        text.push('\n');
    }
    Ok(text)
}

/// Returns the text repeated up to so many words, as a transcript.
fn transcript(text: &str, words: usize) -> Result<Transcript, Box<dyn Error>> {
    let mut long = String::new();
    let mut left = words;
    while left > 0 {
        for line in text.lines() {
            let taken: Vec<&str> = line.split_whitespace().take(left).collect();
            left -= taken.len();
            long += &taken.join(" ");
            long.push('\n');
        }
    }
    let source = Source {
        file: "long.txt",
        sha256: "",
        recording: 1,
    };
    Ok(read(source, Format::Text, long.as_bytes())?)
}

fn most_memory() -> Option<String> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    Some(line.split_once(':')?.1.trim().to_owned())
}
