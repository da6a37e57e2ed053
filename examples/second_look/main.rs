//! Fits for which words a second look at the sound takes what was heard, to walk-rounds whose text is
//! known.
//!
//! ```text
//! cargo run --release --example second_look -- ROWS RECORDING:GOLD:WORDS...
//! cargo run --release --example second_look -- ROWS [--from EARLIER] --out models/second_look.toml
//! ```
//!
//! The first asks the sound about every suspicion worth it: GOLD is a file with the text as it was
//! said, WORDS the words as they were recognised (`take --transcript-out`), and what is found goes to
//! the folder ROWS, a file each. Asked is the built-in ear that is surest of the recording, as in the
//! program. The second fits the weights to them; they stay near those of an EARLIER fit, if one is given, which
//! had other walk-rounds to learn from. Every figure is of walk-rounds left out of the fit, one at
//! a time.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program for the terminal"
)]

mod labels;
#[path = "../hearing/listen.rs"]
mod listen;

use callover::audio::{Window, WindowSettings, windows};
use callover::lexicon::Lexicon;
use callover::score::{fit, fit_towards, probability};
use callover::speech::formats::{Format, Source, read};
use callover::speech::{
    Manner, Model, Paced, Recogniser, Settings, SpeechError, Transcript, WhisperRecogniser, surest,
};
use callover::statements::doubts::{BEFORE, suspicions};
use callover::statements::second_look::{SOUND, answers, features, likeliest, might_be, questions};
use labels::Said;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::ops::ControlFlow;
use std::path::Path;

/// Suspicions of a window that are asked about here: twice as many as in earnest, so that the choice
/// among them can be fitted too.
const ASKED: usize = 24;

/// How strongly weights are held back.
const RIDGE: f64 = 1.0;

/// How strongly they are held towards those of an earlier fit. Left out one at a time, 22 walk-rounds are
/// judged about as well with 1 as with 3, and worse with 0 or 30.
const HELD: f64 = 2.0;

/// Weights by name: before the sound is asked, and after.
type Fitted = BTreeMap<String, BTreeMap<String, f64>>;

/// One suspicion.
#[derive(Serialize, Deserialize)]
struct Row {
    heard: String,
    rival: String,
    said: String,
    /// The suspicion is right, and the words as they were heard are not.
    right: bool,
    window: u32,
    features: Vec<f64>,
}

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.as_slice() {
        [rows, option, out] if option == "--out" => {
            fit_all(Path::new(rows), &Fitted::new(), Path::new(out))
        }
        [rows, from, earlier, option, out] if from == "--from" && option == "--out" => {
            let earlier = toml::from_str(&fs::read_to_string(earlier)?)?;
            fit_all(Path::new(rows), &earlier, Path::new(out))
        }
        [rows, files @ ..] => {
            fs::create_dir_all(rows)?;
            let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
            let settings = Settings {
                expected: lexicon.expected(false),
                ..Settings::default()
            };
            let of = |model: &Model| WhisperRecogniser::new(model, &settings);
            let mut ears = Model::built_in()?
                .iter()
                .map(of)
                .collect::<Result<Vec<_>, _>>()?;
            for file in files {
                let parts: Vec<&Path> = file.split(':').map(Path::new).collect();
                let [recording, gold, words] = parts[..] else {
                    return Err(format!("{file}: expected RECORDING:GOLD:WORDS").into());
                };
                let best = surest(ears.len(), 0.0, |ear, windows| {
                    listen::sureness(
                        &lexicon,
                        &mut ears[ear.model],
                        ear.manner,
                        windows,
                        recording,
                    )
                })?;
                let found = rows_of(
                    &lexicon,
                    &mut ears[best.model],
                    best.manner,
                    recording,
                    gold,
                    words,
                )?;
                let name = words.file_stem().unwrap_or_default().to_string_lossy();
                let lines: Vec<String> = found
                    .iter()
                    .map(serde_json::to_string)
                    .collect::<Result<_, _>>()?;
                eprintln!("{name}, {best:?}: {} suspicions", found.len());
                fs::write(
                    Path::new(rows).join(format!("{name}.jsonl")),
                    lines.join("\n"),
                )?;
            }
            Ok(())
        }
        [] => Err("expected a folder and files; the program's first lines tell".into()),
    }
}

fn rows_of(
    lexicon: &Lexicon,
    recogniser: &mut WhisperRecogniser,
    manner: Manner,
    recording: &Path,
    gold: &Path,
    words: &Path,
) -> Result<Vec<Row>, Box<dyn Error>> {
    let recogniser = &mut Paced::new(recogniser, manner.pace);
    let source = Source {
        file: "words.json",
        sha256: &"0".repeat(64),
        recording: 1,
    };
    let mut transcript = read(source, Format::Json, &fs::read(words)?)?;
    for word in &mut transcript.words {
        word.meant = None;
    }
    let gold: serde_json::Value = serde_json::from_slice(&fs::read(gold)?)?;
    let said = gold["text"].as_str().ok_or("the gold file has no text")?;
    let said = Said::new(said, &transcript.words);
    let mut rows = Vec::new();
    let mut failed = None;
    let on_window = |window: Window| {
        let span = window.map.span();
        let inside = |at: &usize| {
            transcript.words[*at].span.is_some_and(|s| {
                let middle = (s.start.0 + s.end.0) / 2;
                span.start.0 <= middle && middle < span.end.0
            })
        };
        let of_window: Vec<usize> = (0..transcript.words.len()).filter(inside).collect();
        let (Some(&first), Some(&last)) = (of_window.first(), of_window.last()) else {
            return ControlFlow::Continue(());
        };
        let so_far = Transcript {
            recordings: Vec::new(),
            words: transcript.words[..=last].to_vec(),
        };
        let words = so_far.words[first..].iter();
        let words: Vec<&str> = words.map(|word| word.text.as_str()).collect();
        let mut ask = || -> Result<_, SpeechError> {
            let might_be = might_be(recogniser, &window.samples, &so_far.words, first)?;
            let chosen = likeliest(suspicions(lexicon, &so_far, first, &might_be), ASKED);
            let asked = questions(&chosen, first);
            let weighed = answers(recogniser.weigh(&window.samples, &words, &asked)?);
            Ok((chosen, weighed))
        };
        let (chosen, weighed) = match ask() {
            Ok(answers) => answers,
            Err(error) => {
                failed = Some(error);
                return ControlFlow::Break(());
            }
        };
        for (suspicion, features) in chosen.iter().zip(features(&chosen, &weighed)) {
            let heard = &so_far.words[suspicion.words.clone()];
            let heard: Vec<&str> = heard.iter().map(|w| w.text.as_str()).collect();
            rows.push(Row {
                heard: heard.join(" "),
                rival: suspicion.rival.text.clone(),
                said: said.at(&suspicion.words),
                right: said.rights(&suspicion.words, &heard.join(" "), &suspicion.rival.text),
                window: window.index,
                features,
            });
        }
        ControlFlow::Continue(())
    };
    windows(
        recording,
        manner.windows(WindowSettings::default()),
        on_window,
        |_| {},
    )?;
    match failed {
        Some(error) => Err(error.into()),
        None => Ok(rows),
    }
}

fn fit_all(folder: &Path, earlier: &Fitted, out: &Path) -> Result<(), Box<dyn Error>> {
    let mut sets: BTreeMap<String, Vec<Row>> = BTreeMap::new();
    for file in fs::read_dir(folder)? {
        let file = file?.path();
        let rows = fs::read_to_string(&file)?;
        let rows = rows
            .lines()
            .map(serde_json::from_str)
            .collect::<Result<_, _>>()?;
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        sets.insert(name.into_owned(), rows);
    }
    let mut text = String::from(
        "# Which misheard words a second look takes for words of the trade: weights of two logistic\n\
         # regressions. Written by examples/second_look, which tells how; the values are told in\n\
         # src/statements. Each walk-round judged by a fit to the others:\n#\n",
    );
    let all: Vec<&Row> = sets.values().flatten().collect();
    let right = all.iter().filter(|row| row.right).count();
    writeln!(
        text,
        "# {} walk-rounds, {} suspicions, {right} right",
        sets.len(),
        all.len()
    )?;
    let names = [&BEFORE[..], &SOUND].concat();
    for (what, width) in [("before", BEFORE.len()), ("after", names.len())] {
        let towards = towards(earlier, what, &names[..width]);
        let mut claims: Vec<(f64, bool)> = Vec::new();
        for name in sets.keys() {
            let others: Vec<&Row> = sets
                .iter()
                .filter(|(n, _)| *n != name)
                .flat_map(|(_, rows)| rows)
                .collect();
            let weights = fit_to(&others, width, towards.as_deref());
            let claim = |row: &Row| (probability(&weights, &row.features[..width]), row.right);
            claims.extend(sets[name].iter().map(claim));
        }
        for limit in [0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8] {
            let taken = claims.iter().filter(|(p, _)| *p >= limit);
            let (of, right) = taken.fold((0, 0), |(n, r), (_, ok)| (n + 1, r + usize::from(*ok)));
            writeln!(text, "# {what}, from {limit:.2} on: {right} of {of} right")?;
        }
    }
    for (table, width) in [("before", BEFORE.len()), ("after", names.len())] {
        writeln!(text, "\n[{table}]")?;
        let towards = towards(earlier, table, &names[..width]);
        for (name, weight) in names.iter().zip(fit_to(&all, width, towards.as_deref())) {
            writeln!(text, "{name} = {weight:.3}")?;
        }
    }
    print!("{text}");
    fs::write(out, text)?;
    Ok(())
}

/// Returns the weights of an earlier fit, and 0 for values that it did not know; nothing where there is none.
fn towards(earlier: &Fitted, table: &str, names: &[&str]) -> Option<Vec<f64>> {
    let earlier = earlier.get(table)?;
    let weight = |name: &&str| earlier.get(*name).copied().unwrap_or_default();
    Some(names.iter().map(weight).collect())
}

fn fit_to(rows: &[&Row], width: usize, towards: Option<&[f64]>) -> Vec<f64> {
    let values: Vec<Vec<f64>> = rows
        .iter()
        .map(|row| row.features[..width].to_vec())
        .collect();
    let outcomes: Vec<bool> = rows.iter().map(|row| row.right).collect();
    match towards {
        Some(towards) => fit_towards(&values, &outcomes, &vec![HELD; width], towards),
        None => fit(&values, &outcomes, RIDGE),
    }
}
