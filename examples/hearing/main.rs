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
//! Each recording is heard with the built-in ear, and played to it in the manner, that is surest of it, as in the program.
//! What is heard goes to OUT/NAME.json, as `callover take --transcript-out` writes it; from there
//! `understanding --heard OUT GOLD...` tells what is made of it. Times are of one recording after the other, everything included.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

mod listen;
mod place_prompt;

use callover::lexicon::Lexicon;
use callover::speech::formats::{Format, Source, read, write_json};
use callover::speech::{
    Expected, Model, Prompt, Settings, WhisperRecogniser, Word, mean_logarithm, surest,
};
use listen::{hear, sureness};
use place_prompt::prompt;
use std::error::Error;
use std::fs;
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
    let of = |model: &Model| WhisperRecogniser::new(model, &settings);
    let mut ears = Model::built_in()?
        .iter()
        .map(of)
        .collect::<Result<Vec<_>, _>>()?;
    for file in files {
        let file = Path::new(&file);
        let started = Instant::now();
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        let words = match &known {
            Some(folder) => Some(words(&Path::new(folder).join(format!("{name}.json")))?),
            None => None,
        };
        let of_the_place =
            |words: &[Word]| by_place.then(|| prompt(lexicon, &settings.expected, words));
        let best = surest(ears.len(), 0.0, |ear, windows| {
            let words = sureness(lexicon, &mut ears[ear.model], ear.manner, windows, file)?;
            let mean = mean_logarithm(words.as_deref().unwrap_or_default());
            println!("{name}: {mean:.3} over {windows} windows, {ear:?}");
            Ok::<_, Box<dyn Error>>(words)
        })?;
        let heard = hear(
            lexicon,
            &mut ears[best.model],
            best.manner,
            &of_the_place,
            usize::MAX,
            words,
            file,
        )?;
        let took = started.elapsed().as_secs_f64();
        let seconds = heard.recordings.first().map_or(0.0, |r| r.duration_s);
        println!(
            "{name}: {:.3} of real time, {best:?}",
            took / seconds.max(0.001)
        );
        fs::write(
            Path::new(&out).join(format!("{name}.json")),
            write_json(&heard)?,
        )?;
    }
    Ok(())
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
