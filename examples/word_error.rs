//! Measures the recogniser on recordings whose text is known: word error rate, speed, memory.
//!
//! ```text
//! cargo run --release --example word_error -- [--no-prompt] [--no-words] [--model FILE] [--threads N]
//!     [--words] LIST
//! ```
//!
//! LIST is a JSON array of objects with `file` (relative to LIST) and `text`, such as a corpus
//! manifest, or one object with `text` whose recording has the list's name with another ending
//! (`x.gold.json` beside `x.m4a`). `--words` prints every word: start and end in seconds,
//! text, probability.
//!
//! Sound goes the way it goes in the program: decoded, searched for speech, packed into windows.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

use callover::audio::{WindowSettings, windows};
use callover::lexicon::Lexicon;
use callover::score::{WordErrors, normalise, word_errors};
use callover::speech::{
    Expected, Model, Prompt, Settings, WhisperRecogniser, place, recognise_all,
};
use serde_json::{Value, json};
use std::error::Error;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

fn main() -> Result<(), Box<dyn Error>> {
    let lexicon = Lexicon::embedded().ok_or("the built-in lexicon has errors")?;
    let mut settings = Settings {
        expected: lexicon.expected(false),
        ..Settings::default()
    };
    let mut show_words = false;
    let mut own_model = None;
    let mut clips = Vec::new();
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--no-words" => settings.expected = Expected::default(),
            "--no-prompt" => settings.prompt = Prompt::None,
            "--words" => show_words = true,
            "--model" => own_model = arguments.next().map(PathBuf::from),
            "--threads" => settings.threads = Some(arguments.next().unwrap_or_default().parse()?),
            list => clips.extend(clips_of(Path::new(list))?),
        }
    }
    let model = match own_model {
        Some(file) => Model::from_file(&file)?,
        None => Model::embedded()?,
    };
    println!("{model}");
    let mut recogniser = WhisperRecogniser::new(&model, &settings)?;
    let mut all = WordErrors::default();
    let (mut sound, mut work) = (0.0, Duration::ZERO);
    for (file, text) in clips {
        let started = Instant::now();
        let heard = hear(&file, &mut recogniser, show_words)?;
        let took = started.elapsed();
        let errors = word_errors(&normalise(&text, british), &normalise(&heard.text, british));
        print_line(&file.display().to_string(), errors, took, heard.seconds);
        all = all.with(errors);
        sound += heard.seconds;
        work += took;
    }
    print_line("all", all, work, sound);
    if let Some(peak) = peak_memory() {
        println!("peak memory {peak}");
    }
    Ok(())
}

fn print_line(name: &str, errors: WordErrors, took: Duration, seconds: f64) {
    println!(
        "{:5.1} % of {:5} words wrong ({} left out, {} put in)  {:.3} of real time  {name}",
        100.0 * errors.rate().unwrap_or(0.0),
        errors.reference_words(),
        errors.deletions,
        errors.insertions,
        took.as_secs_f64() / seconds.max(0.001),
    );
}

/// Returns the recordings a list names, with what is said in them.
fn clips_of(list: &Path) -> Result<Vec<(PathBuf, String)>, Box<dyn Error>> {
    let folder = list.parent().unwrap_or(Path::new("."));
    let known: Value = serde_json::from_slice(&std::fs::read(list)?)?;
    let text = |value: &Value| value["text"].as_str().unwrap_or_default().to_owned();
    if let Some(entries) = known.as_array() {
        let file = |entry: &Value| folder.join(entry["file"].as_str().unwrap_or_default());
        return Ok(entries
            .iter()
            .map(|entry| (file(entry), text(entry)))
            .collect());
    }
    let name = list
        .file_name()
        .and_then(|name| name.to_str())
        .unwrap_or_default();
    let stem = name.split('.').next().unwrap_or_default();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let ending = path
            .extension()
            .and_then(|ending| ending.to_str())
            .unwrap_or_default();
        let same = path.file_stem().is_some_and(|other| other == stem);
        if same && !matches!(ending, "json" | "toml" | "txt") {
            return Ok(vec![(path, text(&known))]);
        }
    }
    Err(format!("no recording beside {}", list.display()).into())
}

struct HeardText {
    text: String,
    seconds: f64,
}

fn hear(
    file: &Path,
    recogniser: &mut WhisperRecogniser,
    show_words: bool,
) -> Result<HeardText, Box<dyn Error>> {
    let mut text = String::new();
    let mut failure = None;
    let summary = windows(
        file,
        WindowSettings::default(),
        |window| {
            let heard = match recognise_all(recogniser, &window.samples, &window.pauses()) {
                Ok(heard) => heard,
                Err(error) => {
                    failure = Some(error);
                    return ControlFlow::Break(());
                }
            };
            for word in place(&heard.words, 1, &window.map) {
                text.push_str(&word.text);
                text.push(' ');
                if let (true, Some(span)) = (show_words, word.span) {
                    let (start, end) = (span.start.seconds(), span.end.seconds());
                    println!("{}", json!([start, end, word.text, word.probability]));
                }
            }
            for dropped in &heard.dropped {
                println!("dropped ({:?}): {}", dropped.reason, dropped.text);
            }
            ControlFlow::Continue(())
        },
        |_| (),
    )?;
    match failure {
        Some(error) => Err(error.into()),
        None => Ok(HeardText {
            text,
            seconds: summary.duration.seconds(),
        }),
    }
}

/// Returns the British spelling of words that only differ in it.
fn british(word: &str) -> String {
    let stem = word.strip_suffix('s').unwrap_or(word);
    let other = match stem {
        "meter" => "metre",
        "millimeter" => "millimetre",
        "centimeter" => "centimetre",
        "miter" => "mitre",
        "color" => "colour",
        "gray" => "grey",
        "center" => "centre",
        "mold" => "mould",
        "neighbor" => "neighbour",
        "story" => "storey",
        "storie" => "storey",
        _ => return word.to_owned(),
    };
    if stem.len() < word.len() {
        format!("{other}s")
    } else {
        other.to_owned()
    }
}

/// Returns the most memory this program has held so far, where the system tells.
fn peak_memory() -> Option<String> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .map(|peak| peak.trim().to_owned())
}
