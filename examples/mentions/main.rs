//! Fits whether one went to a place that was named in passing to walk-rounds of which the list is known.
//!
//! ```text
//! cargo run --release --example mentions -- [OPTIONS] GOLD...
//!
//!   --heard FOLDER    what was recognised of them: NAME.json, where there is one, counts beside what was said
//!   --marked FILE     a text with the place of each defect in braces behind it, or a folder of them but those
//!                     that its file `kept` names (can be repeated)
//!   --cases FILE      cases as tests/understanding has them (can be repeated)
//!   --except FILE     names of walk-rounds that are left out, one a line: those kept for a check
//!   --show            also print the places that were taken wrongly
//!   --out FILE        keeps the fit: models/mentions.toml
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. Every figure
//! is of walk-rounds left out of the fit, a sixth of them at a time.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[path = "../../tests/understanding/case.rs"]
#[allow(
    dead_code,
    clippy::unwrap_used,
    reason = "the tests use the rest, and stop at a case written wrongly"
)]
mod case;
#[path = "../pairing/choices.rs"]
mod choices;
#[path = "../moves/marked.rs"]
#[allow(dead_code, reason = "the score reads those kept for a check")]
mod marked;
mod run_on;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::{Gold, located, pair};
use callover::items::{Item, Mention, propose, weighed};
use callover::lexicon::Lexicon;
use callover::speech::Transcript;
use case::Wanted;
use choices::{Asked, Example};
use marked::{Marked, marked_files};
use run_on::run_on;
use serde_json::json;
use std::collections::BTreeMap;
use std::error::Error;
use std::path::PathBuf;
use tally::WalkRound;

/// What stands at the head of the file of weights.
const HEAD: &str = "\
# Whether one went to a place that was named in passing: weights of a logistic regression over signs.
# Written by examples/mentions, which tells how; the signs are told in src/items/mentions/signs.rs. Its
# report, each walk-round judged by a fit to others:";

/// How often each text counts with stops as a recogniser writes them.
const COPIES: usize = 4;

/// How often a case counts: it is written to tell one thing from another.
const CASE_COUNTS: usize = 6;

/// How many words are printed before and behind a name.
const AROUND: usize = 8;

fn main() -> Result<(), Box<dyn Error>> {
    let (mut show, mut folders) = (false, Vec::new());
    let asked = Asked::read(|option, arguments| {
        show |= option == "--show";
        if option == "--marked" {
            folders.extend(arguments.next().map(PathBuf::from));
        }
        matches!(option, "--show" | "--marked")
    })?;
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut examples = Vec::new();
    for (walk_round, file) in asked.golds.iter().enumerate() {
        let mut known = asked.known(file)?;
        for copy in 0..COPIES {
            let mut copied = WalkRound::said(file)?;
            run_on(&mut copied.transcript, (walk_round * COPIES + copy) as u64);
            known.push(copied);
        }
        for known in &known {
            let told = told(known, &propose(&lexicon, &known.transcript).items);
            let asked = (known.name.as_str(), &known.transcript);
            examples.extend(examples_of(&lexicon, asked, &told, walk_round, show));
        }
    }
    let mut files = Vec::new();
    for folder in &folders {
        files.extend(marked_files(folder, false)?);
    }
    for (walk_round, file) in files.iter().enumerate() {
        let known = Marked::read(file)?;
        let asked = (known.name.as_str(), &known.transcript);
        examples.extend(examples_of(&lexicon, asked, &known.told, walk_round, show));
    }
    for file in &asked.cases {
        for (walk_round, case) in case::read(file).into_iter().enumerate() {
            let wanted = |item: &Wanted| {
                let (place, thing, fault) = (&item.place, &item.element, &item.defect);
                Gold::read(&json!({ "loc": [place], "el": [thing], "de": [fault] }))
            };
            let known = WalkRound {
                gold: case.items.iter().map(wanted).collect(),
                name: case.name,
                transcript: case.transcript,
                american: false,
            };
            let told = told(&known, &propose(&lexicon, &known.transcript).items);
            let asked = (known.name.as_str(), &known.transcript);
            for example in examples_of(&lexicon, asked, &told, walk_round, show) {
                examples.extend(std::iter::repeat_n(example, CASE_COUNTS));
            }
        }
    }
    let went = examples.iter().filter(|example| example.right[1]).count();
    println!("{went} of {} gone to", examples.len());
    asked.fit(&examples, HEAD)
}

/// Returns the places of which it is told whether they were gone to.
fn examples_of(
    lexicon: &Lexicon,
    (name, transcript): (&str, &Transcript),
    told: &BTreeMap<usize, Vec<String>>,
    walk_round: usize,
    show: bool,
) -> Vec<Example> {
    let mut out = Vec::new();
    for mention in weighed(lexicon, transcript).mentions {
        let Some(went) = went_there(told, &mention) else {
            continue;
        };
        if show && went != mention.gone {
            let words = &transcript.words;
            let at = mention.words.start;
            let said = &words[at.saturating_sub(AROUND)..words.len().min(at + AROUND)];
            let said: Vec<&str> = said.iter().map(|word| word.text.as_str()).collect();
            println!(
                "{} {}: {} -> {}: {}",
                if went { "+" } else { "-" },
                name,
                mention.here,
                mention.there,
                said.join(" ")
            );
        }
        out.push(Example {
            walk_round,
            things: vec![Vec::new(), mention.signs],
            right: vec![!went, went],
        });
    }
    out
}

/// Returns the places of the expected items that were found, by the word with which each ends.
fn told(known: &WalkRound, items: &[Item]) -> BTreeMap<usize, Vec<String>> {
    let pairs = pair(&known.gold, items).into_iter().zip(&known.gold);
    pairs
        .filter_map(|(at, gold)| Some((items[at?].evidence.words?.1, gold.place.clone())))
        .collect()
}

/// Returns whether what is spoken of next is told to be there and not where the walk has it; nothing where that
/// cannot be told.
fn went_there(told: &BTreeMap<usize, Vec<String>>, mention: &Mention) -> Option<bool> {
    let next = mention.words.start + 1..=mention.words.end;
    let (_, place) = told.range(next).next()?;
    let there = located(place, &mention.there);
    let here = located(place, &mention.here);
    (there != here || !there).then_some(there)
}
