//! Hears recordings with parts of the recognition left out or changed, for measuring what each is
//! worth.
//!
//! ```text
//! cargo run --release --example hearing -- OUT [OPTION]... RECORDING...
//!
//!   --no-prompt      nothing is said to have come before
//!   --place-prompt   things of the place where the speaker is are said to have come before
//!   --no-words       no leaning towards the vocabulary
//!   --heard FOLDER   take the words from FOLDER/NAME.json, and only look at them a second time
//! ```
//!
//! What is heard goes to OUT/NAME.json, as `callover take --transcript-out` writes it; from there
//! `understanding --heard OUT GOLD...` tells what is made of it. Times are of one recording after the
//! other, everything included.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

mod place_prompt;

use callover::audio::{Window, WindowSettings, windows};
use callover::lexicon::Lexicon;
use callover::speech::formats::{Format, Source, read, write_json};
use callover::speech::{
    Expected, Model, Prompt, Recording, Settings, Transcript, WhisperRecogniser, Word, place,
    recognise_all,
};
use callover::statements::second_look::look_again;
use callover::time::Millis;
use place_prompt::prompt;
use std::error::Error;
use std::fs;
use std::ops::ControlFlow;
use std::path::Path;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let lexicon = Lexicon::embedded().ok_or("the built-in lexicon has errors")?;
    let mut settings = Settings {
        expected: lexicon.expected(false),
        ..Settings::default()
    };
    let (mut by_place, mut known, mut out, mut files) = (false, None, None, Vec::new());
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--heard" => known = arguments.next(),
            "--no-prompt" => settings.prompt = Prompt::None,
            "--place-prompt" => by_place = true,
            "--no-words" => settings.expected = Expected::default(),
            _ if out.is_none() => out = Some(argument),
            _ => files.push(argument),
        }
    }
    let out = out.ok_or("expected a folder and recordings; the program's first lines tell")?;
    fs::create_dir_all(&out)?;
    let mut recogniser = WhisperRecogniser::new(&Model::embedded()?, &settings)?;
    for file in files {
        let file = Path::new(&file);
        let started = Instant::now();
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        let words = match &known {
            Some(folder) => Some(words(&Path::new(folder).join(format!("{name}.json")))?),
            None => None,
        };
        let how = How {
            expected: &settings.expected,
            by_place,
            words,
        };
        let heard = hear(lexicon, &mut recogniser, &how, file)?;
        let took = started.elapsed().as_secs_f64();
        let seconds = heard.recordings.first().map_or(0.0, |r| r.duration_s);
        println!("{name}: {:.3} of real time", took / seconds.max(0.001));
        fs::write(
            Path::new(&out).join(format!("{name}.json")),
            write_json(&heard)?,
        )?;
    }
    Ok(())
}

/// How a recording is heard.
struct How<'a> {
    expected: &'a Expected,
    /// Whether the prompt is made for the place.
    by_place: bool,
    /// The words, where they are known.
    words: Option<Vec<Word>>,
}

/// Returns the words of a transcript as they were heard at first.
fn words(file: &Path) -> Result<Vec<Word>, Box<dyn Error>> {
    let source = Source {
        file: "words.json",
        sha256: "",
        recording: 1,
    };
    let mut words = read(source, Format::Json, &fs::read(file)?)?.words;
    words.iter_mut().for_each(|word| word.meant = None);
    Ok(words)
}

/// Returns what is heard in a recording, looked at a second time as in the program.
fn hear(
    lexicon: &Lexicon,
    recogniser: &mut WhisperRecogniser,
    how: &How<'_>,
    file: &Path,
) -> Result<Transcript, Box<dyn Error>> {
    let mut heard = Transcript::default();
    let mut step = |window: &Window| -> Result<(), Box<dyn Error>> {
        if how.by_place {
            recogniser.tell(&prompt(lexicon, how.expected, &heard.words))?;
        }
        let span = window.map.span();
        let inside = |word: &&Word| {
            word.span.is_some_and(|s| {
                let middle = Millis((s.start.0 + s.end.0) / 2);
                span.start <= middle && middle < span.end
            })
        };
        let mut words: Vec<Word> = match &how.words {
            Some(words) => words.iter().filter(inside).cloned().collect(),
            None => {
                let found = recognise_all(recogniser, &window.samples, &window.pauses())?;
                place(&found.words, 1, &window.map)
            }
        };
        let before = heard.words.clone();
        look_again(lexicon, recogniser, &window.samples, before, &mut words)?;
        heard.words.extend(words);
        Ok(())
    };
    let mut failed = None;
    let on_window = |window: Window| match step(&window) {
        Ok(()) => ControlFlow::Continue(()),
        Err(error) => {
            failed = Some(error);
            ControlFlow::Break(())
        }
    };
    let summary = windows(file, WindowSettings::default(), on_window, |_| {})?;
    if let Some(error) = failed {
        return Err(error);
    }
    heard.recordings = vec![Recording {
        id: 1,
        file: file
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into(),
        sha256: "0".repeat(64),
        duration_s: summary.duration.seconds(),
        speech_s: summary.speech_seconds(),
    }];
    Ok(heard)
}
