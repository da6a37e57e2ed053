//! `callover doctor`: versions, the model, the processor, and whether it all works here; or, given a
//! job, whether that is whole.

mod job;

use super::arguments::Doctor;
use super::error::{CliError, with_causes};
use super::{processor, shared};
use crate::export::TOOL;
use crate::items;
use crate::lexicon::Lexicon;
use crate::speech::formats::{self, Format, Source};
use crate::speech::{Model, Recogniser, Settings, WhisperRecogniser, system_info};
use std::time::Instant;

/// What the self-test understands: one defect in the simplest words.
const SENTENCE: &str = "Hallway. The skirting board is loose.";

/// Prints what is here and what works, or looks a job over.
///
/// # Errors
/// Where a part of the program or of the job does not work, after everything was printed.
pub(crate) fn run(arguments: &Doctor) -> Result<(), CliError> {
    if let Some(job) = &arguments.job {
        return job::run(job, arguments.repair, arguments.recordings.as_deref());
    }
    let mut broken = Vec::new();
    line("program", TOOL);
    line("tables", &format!("SQLite {}", rusqlite::version()));
    processor_lines(&mut broken);
    let models = match &arguments.model {
        Some(path) => Model::from_file(path)
            .map(|model| vec![model])
            .map_err(CliError::from),
        None => shared::models(),
    };
    match models {
        Ok(models) => {
            line("recogniser", &system_info());
            let usable = broken.is_empty();
            for model in &models {
                model_lines(model);
                match usable {
                    true => test("hearing", hearing(model), &mut broken),
                    false => line("hearing", "not tried on this processor"),
                }
            }
        }
        Err(error) => {
            line("model", &error.to_string());
            broken.push("the model");
        }
    }
    test("understanding", understanding(), &mut broken);
    if broken.is_empty() {
        line("result", "everything works");
        Ok(())
    } else {
        Err(CliError::input(format_args!(
            "something does not work here: {}",
            broken.join(", ")
        )))
    }
}

fn line(label: &str, text: &str) {
    shared::print(&format!("{label:<14} {text}\n"));
}

fn processor_lines(broken: &mut Vec<&str>) {
    let features = processor::features();
    let shown: Vec<String> = features
        .iter()
        .map(|feature| match (feature.present, feature.needed) {
            (true, _) => feature.name.to_owned(),
            (false, true) => format!("{} MISSING", feature.name),
            (false, false) => format!("{} missing, not needed", feature.name),
        })
        .collect();
    line(
        "processor",
        &match shown.is_empty() {
            true => format!("{}, nothing special needed", std::env::consts::ARCH),
            false => format!("{}: {}", std::env::consts::ARCH, shown.join(", ")),
        },
    );
    if let Err(error) = processor::check(&features) {
        shared::say(&error);
        broken.push("the processor");
    }
}

fn model_lines(model: &Model) {
    line("model", &model.to_string());
    line("model sha256", model.sha256());
}

/// Prints the result of a test: what it found, or what is broken.
fn test(name: &'static str, result: Result<String, String>, broken: &mut Vec<&str>) {
    match result {
        Ok(found) => line(name, &format!("works: {found}")),
        Err(problem) => {
            line(name, &format!("BROKEN: {problem}"));
            broken.push(name);
        }
    }
}

/// A few seconds of `examples/plot-seven.m4a`, 16 kHz, one channel.
static SPOKEN: &[u8] = include_bytes!("doctor/spoken.wav");

/// What every ear must hear there.
const SAID: &str = "chipped brick";

/// Recognises a few seconds of speech. (Silence would tell less: a model may hear words in it, which is why none
/// reaches it in earnest.)
fn hearing(model: &Model) -> Result<String, String> {
    let begin = Instant::now();
    let mut recogniser =
        WhisperRecogniser::new(model, &Settings::default()).map_err(|e| with_causes(&e))?;
    let loaded = begin.elapsed();
    let spoken = hound::WavReader::new(SPOKEN).map_err(|e| with_causes(&e))?;
    let samples: Vec<f32> = spoken
        .into_samples::<i16>()
        .map(|sample| sample.map(|sample| f32::from(sample) / -f32::from(i16::MIN)))
        .collect::<Result<_, _>>()
        .map_err(|e| with_causes(&e))?;
    let heard = recogniser
        .recognise(&samples)
        .map_err(|e| with_causes(&e))?;
    let words: Vec<&str> = heard.words.iter().map(|word| word.text.as_str()).collect();
    let words = words.join(" ");
    if !words.to_lowercase().contains(SAID) {
        return Err(format!("heard \"{words}\", and \"{SAID}\" was said"));
    }
    Ok(format!(
        "model loaded in {:.1} s, \"{SAID}\" heard in {:.1} s",
        loaded.as_secs_f64(),
        (begin.elapsed() - loaded).as_secs_f64()
    ))
}

/// Understands one sentence.
fn understanding() -> Result<String, String> {
    let lexicon = Lexicon::builtin().map_err(|problems| {
        let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
        lines.join("; ")
    })?;
    let source = Source {
        file: "self-test",
        sha256: "",
        recording: 1,
    };
    let transcript =
        formats::read(source, Format::Text, SENTENCE.as_bytes()).map_err(|e| with_causes(&e))?;
    let proposal = items::propose(&lexicon, &transcript);
    match proposal.items.as_slice() {
        [item] if item.place == "hallway" => Ok(format!(
            "\"{SENTENCE}\" gives {}, {}: {}",
            item.place, item.element, item.defect
        )),
        items => Err(format!(
            "\"{SENTENCE}\" gives {} items, expected one in the hallway",
            items.len()
        )),
    }
}
