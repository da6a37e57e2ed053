//! Fits how sure an item is to walk-rounds whose list is known, and says how far it can be believed.
//!
//! ```text
//! cargo run --release --example calibrate -- [--heard FOLDER]... [--out FILE] GOLD...
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them; `FOLDER/NAME.json` are the
//! words recognised of the same walk-rounds. Every figure is of walk-rounds left out of the fit, a
//! twentieth at a time (each as spoken and as recognised together). `--out models/confidence.toml` keeps the fit to
//! all of them.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use callover::items::{FEATURES, understand};
use callover::lexicon::Lexicon;
use callover::limits::Yardstick;
use callover::score::{brier, calibration_error, fit, probability};
use std::error::Error;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use tally::{Tally, WalkRound};

/// How strongly weights are held back, tried in this order; the likeliest on what was left out wins.
const RIDGES: [f64; 6] = [0.1, 0.3, 1.0, 3.0, 10.0, 30.0];

/// How often an item of recognised words counts: the program is used on recordings, of which few have a known
/// list.
const RECOGNISED_COUNTS: usize = 8;

/// Into so many parts walk-rounds are divided; each is judged by a fit to the others.
const PARTS: usize = 20;

/// One item of a list, and whether it is right.
struct Example {
    walk_round: usize,
    heard: bool,
    features: Vec<f64>,
    right: bool,
}

fn main() -> Result<(), Box<dyn Error>> {
    let (mut heard, mut out, mut golds) = (Vec::new(), None, Vec::new());
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--heard" => heard.extend(arguments.next().map(PathBuf::from)),
            "--out" => out = arguments.next(),
            file => golds.push(PathBuf::from(file)),
        }
    }
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut examples = Vec::new();
    for (at, file) in golds.iter().enumerate() {
        let mut add = |known: &WalkRound, heard: bool| {
            let understood = understand(&lexicon, &known.transcript, &Yardstick::default());
            let tally = Tally::of(&known.gold, &understood.proposal.items);
            let judged = understood.features.iter().zip(tally.claims());
            examples.extend(judged.map(|(features, (_, right))| Example {
                walk_round: at,
                heard,
                features: features.to_vec(),
                right: *right,
            }));
        };
        let said = WalkRound::said(file)?;
        add(&said, false);
        for folder in &heard {
            if folder.join(format!("{}.json", said.name)).exists() {
                add(&WalkRound::heard(file, folder)?, true);
            }
        }
    }
    let report = Report::of(&examples, golds.len());
    print!("{}", report.text);
    if let Some(out) = out {
        keep(Path::new(&out), &examples, &report)?;
    }
    Ok(())
}

struct Report {
    ridge: f64,
    text: String,
}

impl Report {
    fn of(examples: &[Example], walk_rounds: usize) -> Report {
        let best = RIDGES
            .iter()
            .map(|ridge| (*ridge, left_out(examples, walk_rounds, *ridge)))
            .min_by(|a, b| loss(&a.1).total_cmp(&loss(&b.1)));
        let (ridge, claims) = best.unwrap_or_default();
        let mut text = String::new();
        let of = |heard: Option<bool>| -> Vec<(f64, bool)> {
            let chosen = examples.iter().zip(&claims);
            let chosen = chosen.filter(|(e, _)| heard.is_none_or(|heard| e.heard == heard));
            chosen.map(|(_, claim)| *claim).collect()
        };
        for (name, claims) in [
            ("as spoken", of(Some(false))),
            ("as recognised", of(Some(true))),
            ("together", of(None)),
        ] {
            let right = claims.iter().filter(|(_, right)| *right).count();
            let _ = writeln!(
                text,
                "{name}: {} items, {right} right; calibration error {:.3}, Brier score {:.3}",
                claims.len(),
                calibration_error(&claims),
                brier(&claims),
            );
        }
        let _ = writeln!(text, "walk-rounds {walk_rounds}, ridge {ridge}");
        for step in 0..10 {
            let within = |p: f64| ((p * 10.0) as usize).min(9) == step;
            let of: Vec<_> = claims.iter().filter(|(p, _)| within(*p)).collect();
            if !of.is_empty() {
                let right = of.iter().filter(|(_, right)| *right).count();
                let claimed: f64 = of.iter().map(|(p, _)| p).sum::<f64>() / of.len() as f64;
                let _ = writeln!(
                    text,
                    "  claimed {claimed:.2}: {right} of {} right, {:.2}",
                    of.len(),
                    right as f64 / of.len() as f64
                );
            }
        }
        Report { ridge, text }
    }
}

/// Returns for each example the probability by a fit to the other parts of the walk-rounds, and whether it is right.
fn left_out(examples: &[Example], walk_rounds: usize, ridge: f64) -> Vec<(f64, bool)> {
    let mut claims = vec![(0.0, false); examples.len()];
    for part in 0..PARTS.min(walk_rounds) {
        let weights = fitted(
            examples.iter().filter(|e| e.walk_round % PARTS != part),
            ridge,
        );
        for (example, claim) in examples.iter().zip(&mut claims) {
            if example.walk_round % PARTS == part {
                *claim = (probability(&weights, &example.features), example.right);
            }
        }
    }
    claims
}

fn fitted<'a>(examples: impl Iterator<Item = &'a Example>, ridge: f64) -> Vec<f64> {
    let (rows, outcomes): (Vec<_>, Vec<_>) = examples
        .flat_map(|e| std::iter::repeat_n(e, if e.heard { RECOGNISED_COUNTS } else { 1 }))
        .map(|e| (e.features.clone(), e.right))
        .unzip();
    fit(&rows, &outcomes, ridge)
}

fn loss(claims: &[(f64, bool)]) -> f64 {
    claims
        .iter()
        .map(|(p, right)| -if *right { *p } else { 1.0 - p }.max(1e-9).ln())
        .sum()
}

fn keep(out: &Path, examples: &[Example], report: &Report) -> Result<(), Box<dyn Error>> {
    let mut text = String::from(
        "# How sure an item is: weights of a logistic regression. Written by examples/calibrate, which\n\
         # tells how; the features are told in src/items/confidence.rs. Its report, each\n\
         # twentieth of the walk-rounds judged by a fit to the others:\n#\n",
    );
    for line in report.text.lines() {
        let _ = writeln!(text, "# {line}");
    }
    text += "\n[weights]\n";
    for (name, weight) in FEATURES.iter().zip(fitted(examples.iter(), report.ridge)) {
        let _ = writeln!(text, "{name} = {weight:.3}");
    }
    std::fs::write(out, text)?;
    Ok(())
}
