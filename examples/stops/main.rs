//! Fits which commas of a recogniser are stops, and where a text without stops has them, to texts whose stops are
//! known.
//!
//! ```text
//! cargo run --release --example stops -- [OPTIONS] GOLD...
//!
//!   --except FILE     names of walk-rounds that are left out, one a line: those kept for a check
//!   --show            also print the commas that were taken wrongly
//!   --gaps            fits the latter
//!   --out FILE        keeps the fit: models/stops.toml, or models/gaps.toml
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. Of each text, some of
//! the stops are written as commas, as often as a recogniser does that; for the other fit all stops and commas are taken
//! away. Every figure is of walk-rounds left out of the fit, a sixth of them at a time.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[path = "../pairing/choices.rs"]
#[allow(dead_code, reason = "fits to cases use the rest")]
mod choices;
#[path = "../mentions/run_on.rs"]
mod run_on;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use callover::lexicon::Lexicon;
use callover::speech::Transcript;
use callover::statements::sentence::{commas, gaps};
use choices::{Asked, Example};
use run_on::run_on;
use std::collections::BTreeSet;
use std::error::Error;
use tally::WalkRound;

/// What stands at the head of the file of weights.
const HEAD: &str = "\
# Which commas of a recogniser are stops: weights of a logistic regression over signs. Written by
# examples/stops, which tells how; the signs are told in src/statements/sentence/stops.rs. Its report,
# each walk-round judged by a fit to others:";

/// How often each text counts, each time with other stops written as commas.
const COPIES: usize = 2;

/// How many words are printed on either side.
const AROUND: usize = 6;

fn main() -> Result<(), Box<dyn Error>> {
    let (mut show, mut no_stops) = (false, false);
    let asked = Asked::read(|option, _| {
        show |= option == "--show";
        no_stops |= option == "--gaps";
        matches!(option, "--show" | "--gaps")
    })?;
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    if no_stops {
        return fit_gaps(&lexicon, &asked);
    }
    let mut examples = Vec::new();
    for (walk_round, file) in asked.golds.iter().enumerate() {
        for copy in 0..COPIES {
            let mut known = WalkRound::said(file)?;
            let stops = run_on(&mut known.transcript, (walk_round * COPIES + copy) as u64);
            for comma in commas(&lexicon, &known.transcript) {
                let stop = stops.contains(&comma.word);
                if show && stop != comma.stop {
                    let words = &known.transcript.words;
                    let around =
                        comma.word.saturating_sub(AROUND)..words.len().min(comma.word + AROUND);
                    let said: Vec<&str> = words[around]
                        .iter()
                        .map(|word| word.text.as_str())
                        .collect();
                    let was = if stop { "stop" } else { "comma" };
                    println!("{}: a {was}: {}", known.name, said.join(" "));
                }
                examples.push(example(walk_round, comma.signs, stop));
            }
        }
    }
    let stops = examples.iter().filter(|example| example.right[1]);
    println!("{} of {} were stops", stops.count(), examples.len());
    asked.fit(&examples, HEAD)
}

/// Returns the choice between no stop and a stop, for which the signs speak.
fn example(walk_round: usize, signs: Vec<(String, f32)>, stop: bool) -> Example {
    Example {
        walk_round,
        things: vec![Vec::new(), signs],
        right: vec![!stop, stop],
    }
}

/// What stands at the head of the other file of weights.
const HEAD_OF_GAPS: &str = "\
# Where a text without stops has its sentences: weights of a logistic regression over signs. Written by
# examples/stops --gaps, which tells how; the signs are told in src/statements/sentence/gaps.rs. Its report,
# each walk-round judged by a fit to others:";

fn fit_gaps(lexicon: &Lexicon, asked: &Asked) -> Result<(), Box<dyn Error>> {
    let mut examples = Vec::new();
    for (walk_round, file) in asked.golds.iter().enumerate() {
        let mut known = WalkRound::said(file)?;
        let stops = take_away(&mut known.transcript);
        for gap in gaps(lexicon, &known.transcript, &stops) {
            let stop = stops.contains(&gap.word);
            examples.push(example(walk_round, gap.signs, stop));
        }
    }
    let stops = examples.iter().filter(|example| example.right[1]);
    println!("{} of {} have stops", stops.count(), examples.len());
    asked.fit(&examples, HEAD_OF_GAPS)
}

/// Takes all stops and commas away. Returns the indexes of the words that had a stop behind them.
fn take_away(transcript: &mut Transcript) -> BTreeSet<usize> {
    let mut stops = BTreeSet::new();
    for (at, word) in transcript.words.iter_mut().enumerate() {
        let written = word
            .text
            .trim_end_matches(['.', ',', ';', ':', '!', '?', '…']);
        if word.line_end || word.text[written.len()..].contains(['.', '!', '?', ';', '…']) {
            stops.insert(at);
        }
        word.text = written.to_lowercase();
        word.line_end = false;
    }
    stops
}
