//! Fits how likely a sentence tells a fault, by all its words, to walk-rounds whose list is known.
//!
//! ```text
//! cargo run --release --example telling -- [OPTIONS] [GOLD...]
//!
//!   --sentences FILE  a table of single sentences (can be repeated); without a GOLD, what the program
//!                     makes of them is told
//!   --show            each sentence of which it makes something else than it should
//!   --except FILE     names of walk-rounds that are left out, one a line: those kept for a check
//!   --out FILE        keeps the fit: models/telling.toml
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. Every figure
//! is of walk-rounds and sentences left out of the fit, a sixth of them at a time.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
mod labels;
mod sentences;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use callover::items::propose;
use callover::lexicon::{Lexicon, Part};
use callover::score::{fit_sparse, sigmoid};
use callover::statements::reading::{self, Reading};
use callover::statements::telling::{ALWAYS, signs};
use labels::{Label, labels};
use sentences::{Known, Made};
use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use tally::{WalkRound, gold_files, leave_out};

/// Parts of which each in turn is left out of the fit.
const PARTS: usize = 6;

/// How strongly weights are held back, tried in this order; the likeliest on what was left out wins.
const RIDGES: [f64; 4] = [1.0, 2.0, 4.0, 8.0];

/// In fewer sentences than this a sign teaches nothing.
const FEWEST: usize = 3;

/// Weights nearer to nothing than this are not kept.
const LEAST_WEIGHT: f64 = 0.03;

/// A sentence with its signs.
struct Example {
    walk_round: usize,
    signs: Vec<String>,
    label: Label,
}

impl Example {
    /// Returns the sentence at an index with all its signs.
    fn of(walk_round: usize, reading: &Reading, at: usize, label: Label) -> Example {
        let mut own = Vec::new();
        signs(reading, at, 0, &mut |sign| own.push(sign.to_owned()));
        Example {
            walk_round,
            signs: own,
            label,
        }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let (mut out, mut except, mut golds) = (None, String::new(), Vec::new());
    let (mut tables, mut show) = (Vec::new(), false);
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--out" => out = arguments.next(),
            "--sentences" => tables.extend(arguments.next().map(PathBuf::from)),
            "--show" => show = true,
            "--except" => {
                except = fs::read_to_string(arguments.next().ok_or("--except wants a file")?)?;
            }
            path => golds.extend(gold_files(Path::new(path))?),
        }
    }
    leave_out(&mut golds, &except);
    if golds.is_empty() {
        return made(&tables, show);
    }
    let lexicon =
        Lexicon::builtin_lacking(Part::Telling).ok_or("no lexicon without the weights")?;
    let mut examples = examples(&lexicon, &golds)?;
    examples.extend(of_sentences(&lexicon, &tables)?);
    let rows = Rows::of(&examples);
    let (ridge, report) = report(&examples, &rows);
    print!("{report}");
    if let Some(out) = out {
        keep(Path::new(&out), &rows, ridge, &report)?;
    }
    Ok(())
}

fn examples(lexicon: &Lexicon, golds: &[PathBuf]) -> Result<Vec<Example>, Box<dyn Error>> {
    let mut examples = Vec::new();
    for (walk_round, file) in golds.iter().enumerate() {
        let known = WalkRound::said(file)?;
        let reading = reading::read(lexicon, &known.transcript);
        let items = propose(lexicon, &known.transcript).items;
        for (at, label) in labels(&reading, &known.gold, &items)
            .into_iter()
            .enumerate()
        {
            examples.push(Example::of(walk_round, &reading, at, label));
        }
    }
    Ok(examples)
}

/// Returns the sentences of the tables, as if each stood in a walk-round of its own.
fn of_sentences(lexicon: &Lexicon, tables: &[PathBuf]) -> Result<Vec<Example>, Box<dyn Error>> {
    let mut examples = Vec::new();
    for table in tables {
        for (walk_round, known) in Known::of_file(table)?.iter().enumerate() {
            let transcript = known.transcript()?;
            let reading = reading::read(lexicon, &transcript);
            let listed = !propose(lexicon, &transcript).items.is_empty();
            for at in 1..reading.sentences.len() {
                let said = &reading.tokens[reading.sentences[at].tokens.clone()];
                let tells = known.tells(said, reading.sentences.len() == 2);
                let label = Label { tells, listed };
                examples.push(Example::of(walk_round, &reading, at, label));
            }
        }
    }
    Ok(examples)
}

/// Prints what is made of the sentences of each table.
fn made(tables: &[PathBuf], show: bool) -> Result<(), Box<dyn Error>> {
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    for table in tables {
        let mut made = Made::default();
        for known in Known::of_file(table)? {
            let wrong = made.add(&lexicon, &known)?;
            if let Some(wrong) = wrong.filter(|_| show) {
                println!("{wrong}");
            }
        }
        println!("{}: {made}", table.display());
    }
    Ok(())
}

/// All examples with their signs by number; sign 0 is [`ALWAYS`].
struct Rows<'a> {
    names: Vec<&'a str>,
    rows: Vec<Vec<usize>>,
    outcomes: Vec<bool>,
}

impl<'a> Rows<'a> {
    fn of(examples: &'a [Example]) -> Rows<'a> {
        let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
        for sign in examples.iter().flat_map(|example| &example.signs) {
            *seen.entry(sign).or_default() += 1;
        }
        let mut names: Vec<&str> = seen
            .into_iter()
            .filter(|(_, times)| *times >= FEWEST)
            .map(|(name, _)| name)
            .collect();
        names.sort_by_key(|name| *name != ALWAYS);
        let numbers: BTreeMap<&str, usize> = names.iter().copied().zip(0..).collect();
        let row = |example: &Example| {
            let numbered = example
                .signs
                .iter()
                .filter_map(|sign| numbers.get(sign.as_str()).copied());
            numbered.collect()
        };
        Rows {
            rows: examples.iter().map(row).collect(),
            outcomes: examples.iter().map(|example| example.label.tells).collect(),
            names,
        }
    }

    /// Returns the weights fitted to those examples that count.
    fn fit(&self, ridge: f64, counts: impl Fn(usize) -> bool) -> Vec<f64> {
        let chosen: Vec<usize> = (0..self.rows.len()).filter(|at| counts(*at)).collect();
        let rows: Vec<Vec<usize>> = chosen.iter().map(|&at| self.rows[at].clone()).collect();
        let outcomes: Vec<bool> = chosen.iter().map(|&at| self.outcomes[at]).collect();
        fit_sparse(&rows, &outcomes, self.names.len(), ridge)
    }
}

/// Returns the best ridge with what was found of walk-rounds left out.
fn report(examples: &[Example], rows: &Rows<'_>) -> (f64, String) {
    let claims = |ridge: f64| {
        let mut claims = vec![0.0; examples.len()];
        for part in 0..PARTS {
            let weights = rows.fit(ridge, |at| examples[at].walk_round % PARTS != part);
            for (at, claim) in claims.iter_mut().enumerate() {
                if examples[at].walk_round % PARTS == part {
                    *claim = sigmoid(rows.rows[at].iter().map(|&sign| weights[sign]).sum());
                }
            }
        }
        claims
    };
    let loss = |claims: &[f64]| -> f64 {
        let unlikely = claims.iter().zip(examples).map(|(claim, example)| {
            -(if example.label.tells {
                *claim
            } else {
                1.0 - claim
            })
            .max(1e-9)
            .ln()
        });
        unlikely.sum::<f64>() / examples.len() as f64
    };
    let tried = RIDGES.map(|ridge| (ridge, claims(ridge)));
    let best = tried
        .iter()
        .min_by(|a, b| loss(&a.1).total_cmp(&loss(&b.1)));
    let Some((ridge, claims)) = best else {
        return (0.0, String::new());
    };
    let mut text = String::new();
    let tell = examples
        .iter()
        .filter(|example| example.label.tells)
        .count();
    let _ = writeln!(
        text,
        "{} sentences, {tell} tell a fault; {} signs, ridge {ridge}, loss {:.4}",
        examples.len(),
        rows.names.len(),
        loss(claims)
    );
    let _ = writeln!(text, "of the sentences of which the rules make nothing:");
    for tenths in 3..10 {
        let from = f64::from(tenths) / 10.0;
        let at_least = || {
            claims.iter().zip(examples).filter(|(claim, example)| {
                **claim >= from
                    && !example.label.listed
                    && !example.signs.iter().any(|sign| sign == "=fault")
            })
        };
        let tell = at_least()
            .filter(|(_, example)| example.label.tells)
            .count();
        let _ = writeln!(
            text,
            "  likelier than {from:.1}: {tell} of {} tell a fault",
            at_least().count()
        );
    }
    let _ = writeln!(text, "of the sentences of which the rules make an item:");
    for below in [0.02, 0.05, 0.1, 0.15, 0.2, 0.3] {
        let under = || {
            claims
                .iter()
                .zip(examples)
                .filter(|(claim, example)| **claim < below && example.label.listed)
        };
        let tell = under().filter(|(_, example)| example.label.tells).count();
        let _ = writeln!(
            text,
            "  less likely than {below:.2}: {tell} of {} tell a fault",
            under().count()
        );
    }
    (*ridge, text)
}

/// Writes the weights of a fit to all examples, with the report.
fn keep(out: &Path, rows: &Rows<'_>, ridge: f64, report: &str) -> Result<(), Box<dyn Error>> {
    let weights = rows.fit(ridge, |_| true);
    let mut text = String::from(
        "# How likely a sentence tells a fault: weights of a logistic regression over its words. Written by\n\
         # examples/telling, which tells how; the signs are told in src/statements/telling.rs. Its report,\n\
         # each walk-round judged by a fit to others:\n#\n",
    );
    for line in report.lines() {
        let _ = writeln!(text, "# {line}");
    }
    text.push_str("\n[weights]\n");
    for (name, weight) in rows.names.iter().zip(&weights) {
        if weight.abs() >= LEAST_WEIGHT || *name == ALWAYS {
            let _ = writeln!(text, "{name:?} = {weight:.2}");
        }
    }
    fs::write(out, text)?;
    Ok(())
}
