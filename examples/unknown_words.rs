//! How well things are understood that no lexicon lists: a third of the elements and defects, chosen at
//! random (always the same for a seed), is taken out of the lexicon, and walk-rounds are read again.
//!
//! ```text
//! cargo run --release --example unknown_words -- [--show] GOLD...
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them. The last line is the mean over
//! five seeds.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;

use agreement::{Gold, pair};
use callover::items::propose;
use callover::lexicon::{Kind, Lexicon};
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::error::Error;

/// The lots drawn.
const SEEDS: std::ops::RangeInclusive<u8> = 1..=5;

/// One of so many entries is taken out.
const ONE_OF: u8 = 3;

struct WalkRound {
    transcript: Transcript,
    gold: Vec<Gold>,
}

fn main() -> Result<(), Box<dyn Error>> {
    let show = std::env::args().any(|argument| argument == "--show");
    let files = std::env::args().skip(1).filter(|a| a != "--show");
    let walk_rounds = files
        .map(|f| walk_round(&f))
        .collect::<Result<Vec<_>, _>>()?;
    let whole = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let full = right_f1(&whole, &walk_rounds, false);
    println!("whole lexicon: right-F1 {full:.3}");
    let mut sum = 0.0;
    for seed in SEEDS {
        let drawn = |_: Kind, name: &str| Sha256::digest(format!("{seed} {name}"))[0] % ONE_OF == 0;
        let lexicon = Lexicon::builtin_without(drawn).ok_or("the rest makes no lexicon")?;
        let f1 = right_f1(&lexicon, &walk_rounds, show);
        println!(
            "without a third, lot {seed}: right-F1 {f1:.3}, {:.3} less",
            full - f1
        );
        sum += f1;
    }
    let mean = sum / SEEDS.count() as f64;
    println!("mean: right-F1 {mean:.3}, {:.3} less", full - mean);
    Ok(())
}

fn walk_round(file: &str) -> Result<WalkRound, Box<dyn Error>> {
    let mut value: Value = serde_json::from_slice(&std::fs::read(file)?)?;
    for item in value["items"].as_array_mut().into_iter().flatten() {
        item["start_s"] = Value::Null;
    }
    let source = Source {
        file,
        sha256: "",
        recording: 1,
    };
    let text = value["text"].as_str().ok_or("the gold file has no text")?;
    let gold = value["items"].as_array().into_iter().flatten();
    Ok(WalkRound {
        transcript: read(source, Format::Text, text.as_bytes())?,
        gold: gold.map(Gold::read).collect(),
    })
}

fn right_f1(lexicon: &Lexicon, walk_rounds: &[WalkRound], show: bool) -> f64 {
    let (mut right, mut listed, mut expected) = (0, 0, 0);
    for WalkRound { transcript, gold } in walk_rounds {
        let items = propose(lexicon, transcript).items;
        for (gold, item) in gold.iter().zip(pair(gold, &items)) {
            let item = item.and_then(|at| items.get(at));
            let agrees = item.is_some_and(|item| gold.grade(item).right());
            right += usize::from(agrees);
            if show && !agrees {
                let got = item.map(|i| format!("{} | {} | {}", i.place, i.element, i.defect));
                let first = |texts: &[String]| texts.first().cloned().unwrap_or_default();
                let wanted = [&gold.place, &gold.element, &gold.defect].map(|t| first(t));
                println!("  {} <- {}", wanted.join(" | "), got.unwrap_or_default());
            }
        }
        if show {
            for item in &items {
                println!(
                    "    {} | {} | {}: {}",
                    item.place, item.element, item.defect, item.evidence.quote
                );
            }
        }
        listed += items.len();
        expected += gold.len();
    }
    2.0 * right as f64 / (listed + expected).max(1) as f64
}
