//! Finds out how the recogniser mishears the lexicon's names, and keeps what it writes for them again
//! and again as known mishearings (`lexicon/mined.toml`).
//!
//! ```text
//! cargo run --release --example mining -- lines FOLDER TURN      # FOLDER/TURN-01.txt and so on
//! python3 examples/make_walkrounds.py --say FOLDER/0-01.txt VOICE FOLDER/0-01.VOICE.opus
//! callover take FOLDER/0-01.VOICE.opus --transcript-out FOLDER/0-01.VOICE.json
//! cargo run --release --example mining -- misheard FOLDER VOICE...
//! cargo run --release --example mining -- keep OUT.toml FOLDER VOICE... -- GOLD...
//! cargo run --release --example mining -- score [--lexicon FILE] FOLDER VOICE...
//! ```
//!
//! A mishearing is kept that two voices have in common, or four sentences of one voice, and that means
//! nothing else, as far as `harmless.rs` and the texts of the GOLD files can tell. `misheard` prints all
//! of them; `score` counts how many names are recognised, to be asked of voices kept out of the mining.
//! `lexicon/mined.toml` is from the first file of lines of turn 0 (hard-scottish, american-clerk) and of
//! turn 1 (british-man, hard-west-midlands).

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

mod compare;
mod harmless;
mod lines;

use callover::lexicon::{Lexicon, kind_word};
use compare::{Heard, KINDS, compare};
use harmless::Harmless;
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

/// Lines of a file: four to five minutes of sound.
const A_FILE: usize = 60;

/// Voices that must have a mishearing in common, or sentences of one voice: what comes of one voice
/// alone is often its own way.
const VOICES: usize = 2;
const SENTENCES: usize = 4;

/// What stands above the mishearings.
const HEAD: &str = "\
# What the built-in model wrote again and again for names of this lexicon, spoken by synthetic voices in
# sentences that vary: written by `examples/mining`, which tells how. `count` says how often. Nothing else is
# meant by these words, as far as the word lists and the other walk-rounds under examples/ can tell.
#
";

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments[..] {
        ["lines", folder, turn] => {
            let lines = lines::lines(&lexicon(None)?, turn.parse()?);
            for (number, lines) in (1..).zip(lines.chunks(A_FILE)) {
                let file = Path::new(folder).join(format!("{turn}-{number:02}.txt"));
                fs::write(file, lines.join("\n") + "\n")?;
            }
            Ok(())
        }
        ["keep", out, folder, ref voices @ ..] => {
            let lexicon = lexicon(None)?;
            let (voices, golds) = match voices.iter().position(|a| *a == "--") {
                Some(at) => (&voices[..at], &voices[at + 1..]),
                None => (voices, &[][..]),
            };
            let heard = heard(&lexicon, Path::new(folder), voices)?;
            let texts = golds.iter().map(|gold| text_of(gold));
            let harmless = Harmless::new(&lexicon, &texts.collect::<Result<Vec<_>, _>>()?);
            let kept = kept(&harmless, &heard);
            let said = format!("# Voices (examples/voices.py): {}.\n", voices.join(", "));
            fs::write(out, HEAD.to_owned() + &said + &kept)?;
            Ok(())
        }
        ["score", "--lexicon", file, folder, ref voices @ ..] => {
            score(&lexicon(Some(file))?, Path::new(folder), voices)
        }
        ["misheard", folder, ref voices @ ..] => {
            let lexicon = lexicon(None)?;
            for one in heard(&lexicon, Path::new(folder), voices)? {
                if !one.recognised {
                    let kind = kind_word(one.kind);
                    println!("{kind}\t{}\t{}\t{}", one.name, one.words, one.voice);
                }
            }
            Ok(())
        }
        ["score", folder, ref voices @ ..] => score(&lexicon(None)?, Path::new(folder), voices),
        _ => Err("expected lines, keep or score; the program's first lines tell".into()),
    }
}

fn lexicon(overlay: Option<&str>) -> Result<Lexicon, Box<dyn Error>> {
    let read = |file| Ok((PathBuf::from(file), fs::read_to_string(file)?));
    let overlays: Result<Vec<_>, std::io::Error> = overlay.map(read).into_iter().collect();
    let overlays = overlays?;
    Lexicon::load(&overlays).map_err(|problems| format!("{problems:?}").into())
}

fn text_of(gold: &str) -> Result<String, Box<dyn Error>> {
    let gold: serde_json::Value = serde_json::from_slice(&fs::read(gold)?)?;
    Ok(gold["text"].as_str().unwrap_or_default().to_owned())
}

/// Returns what was heard of each name that the voices said.
fn heard(lexicon: &Lexicon, folder: &Path, voices: &[&str]) -> Result<Vec<Heard>, Box<dyn Error>> {
    let mut all = Vec::new();
    let mut files: Vec<PathBuf> = fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    files.sort();
    for words in files {
        let name = words.file_name().unwrap_or_default().to_string_lossy();
        if let Some((text, voice)) = name.strip_suffix(".json").and_then(|n| n.split_once('.'))
            && voices.contains(&voice)
        {
            let text = fs::read_to_string(folder.join(format!("{text}.txt")))?;
            all.extend(compare(lexicon, &text, &fs::read(&words)?, voice)?);
        }
    }
    Ok(all)
}

fn score(lexicon: &Lexicon, folder: &Path, voices: &[&str]) -> Result<(), Box<dyn Error>> {
    for voice in voices {
        let heard = heard(lexicon, folder, &[voice])?;
        print!("{voice}:");
        for kind in KINDS {
            let of_kind = || heard.iter().filter(|h| h.kind == kind);
            let recognised = of_kind().filter(|h| h.recognised).count();
            print!(" {} {recognised} of {}", kind_word(kind), of_kind().count());
        }
        let recognised = heard.iter().filter(|h| h.recognised).count();
        println!(", all {recognised} of {}", heard.len());
    }
    Ok(())
}

/// Returns the mishearings to keep as a file of the lexicon.
fn kept(harmless: &Harmless<'_>, heard: &[Heard]) -> String {
    let mut sightings: BTreeMap<(&str, &str, &str), Vec<&Heard>> = BTreeMap::new();
    let mut stands_for: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    let misheard = |h: &&Heard| !h.recognised && !h.words.is_empty();
    for one in heard.iter().filter(misheard) {
        let key = (kind_word(one.kind), &*one.name, &*one.words);
        sightings.entry(key).or_default().push(one);
        stands_for.entry(&one.words).or_default().insert(&one.name);
    }
    let mut out = String::new();
    for ((kind, name, words), seen) in &sightings {
        let voices: BTreeSet<&str> = seen.iter().map(|h| &*h.voice).collect();
        let lines: BTreeSet<(&str, usize)> = seen.iter().map(|h| (&*h.voice, h.line)).collect();
        let too_few = voices.len() < VOICES && lines.len() < SENTENCES;
        if too_few || stands_for[words].len() > 1 || seen.iter().any(|h| h.proper) {
            continue;
        }
        let Some(near) = harmless.near(seen[0]) else {
            continue;
        };
        let _ = write!(
            out,
            "\n[[heard]]\nheard = {words:?}\nterm = {name:?}\nkind = {kind:?}\ncount = {}\n",
            seen.len()
        );
        if !near.is_empty() {
            let _ = writeln!(out, "near = {near:?}");
        }
    }
    out
}
