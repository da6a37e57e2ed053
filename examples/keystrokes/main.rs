//! Counts the keys that confirming a list takes in the terminal, beside those of typing it.
//!
//! ```text
//! cargo run --release --example keystrokes -- [--show] GOLD [TRANSCRIPTS]
//! ```
//!
//! GOLD is a folder of `NAME.gold.json`: `text` (what was said) and `items` with lists of accepted
//! wordings for place (`loc`), element (`el`) and defect (`de`), and where stated `measure`,
//! `count`, `trade`. TRANSCRIPTS is a folder of `NAME.json` as `take --transcript-out` writes them;
//! without it the spoken text itself is taken.
//!
//! A simulated inspector (`inspector.rs`) goes through what is proposed with the gold list in mind:
//! accepts what is right, puts right what is wrong, rejects what is not there, adds what is missing.
//! It types the usual wording letter by letter until something acceptable is offered, and takes
//! that; it never looks further than the screen does. Two lists are made: one of place, element and
//! defect only, and one in which measurements, counts and trades are right as well.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

mod agreement;
mod face;
mod inspector;
mod pass;

use agreement::Gold;
use callover::confirm::{Around, Rehearsal, Session};
use callover::items::{describe, propose};
use callover::lexicon::Lexicon;
use callover::speech::formats::{Format, Source, read};
use face::Face;
use inspector::confirm;
use pass::{Facts, Pass};
use serde_json::Value;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let show = arguments.iter().any(|argument| argument == "--show");
    let folders: Vec<&Path> = arguments
        .iter()
        .filter(|argument| !argument.starts_with("--"))
        .map(Path::new)
        .collect();
    let [gold, transcripts @ ..] = &folders[..] else {
        return Err("give a folder of NAME.gold.json, and maybe one of NAME.json".into());
    };
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let lexicon = Arc::new(lexicon);
    for facts in [Facts::Main, Facts::All] {
        println!("{}", facts.words());
        let mut all = Pass::default();
        for file in gold_files(gold)? {
            let (name, heard, items) = walk_round(&file, transcripts.first().copied())?;
            let face = Face::new(rehearsal(&lexicon, &heard)?);
            let pass = confirm(face, &items, facts, show);
            println!("{name}: {pass}");
            all = all.with(&pass);
        }
        println!("all: {all}\n{}\n", all.waited);
    }
    Ok(())
}

/// What was heard in a walk-round: a file name for its format, and its bytes.
type Heard = (String, Vec<u8>);

fn gold_files(folder: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.to_string_lossy().ends_with(".gold.json") {
            files.push(path);
        }
    }
    files.sort();
    match files.is_empty() {
        true => Err(format!("{}: no file is named NAME.gold.json", folder.display()).into()),
        false => Ok(files),
    }
}

fn walk_round(
    file: &Path,
    transcripts: Option<&Path>,
) -> Result<(String, Heard, Vec<Gold>), Box<dyn Error>> {
    let gold: Value = serde_json::from_slice(&fs::read(file)?)?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let name = name.trim_end_matches(".gold.json").to_string();
    let heard = match transcripts {
        Some(folder) => {
            let file = format!("{name}.json");
            let bytes = fs::read(folder.join(&file))?;
            (file, bytes)
        }
        None => {
            let text = gold["text"].as_str().ok_or("no text")?;
            (format!("{name}.txt"), text.as_bytes().to_vec())
        }
    };
    let items = gold["items"].as_array().ok_or("no items")?;
    Ok((name, heard, items.iter().map(Gold::read).collect()))
}

/// The pass as the terminal begins it, with everything it draws on.
fn rehearsal(lexicon: &Arc<Lexicon>, heard: &Heard) -> Result<Rehearsal, Box<dyn Error>> {
    let (file, bytes) = heard;
    let source = Source {
        file,
        sha256: &"0".repeat(64),
        recording: 1,
    };
    let transcript = read(source, Format::from_file_name(file)?, bytes)?;
    let proposal = propose(lexicon, &transcript);
    let around = Around {
        words: transcript.words,
        unplaced: proposal.unplaced,
        photos: Vec::new(),
        lexicon: Some(Arc::clone(lexicon)),
        ..Around::default()
    };
    let session = Session::new(proposal.items, Vec::new(), describe);
    Ok(Rehearsal::new(session.with(Arc::new(around))))
}
