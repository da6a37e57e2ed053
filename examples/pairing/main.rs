//! Fits which thing a fault is said of to walk-rounds and sentences of which it is known.
//!
//! ```text
//! cargo run --release --example pairing -- [OPTIONS] GOLD...
//!
//!   --sentences FILE  a table of single sentences as examples/telling has them (can be repeated)
//!   --cases FILE      cases as tests/understanding has them (can be repeated)
//!   --except FILE     names of walk-rounds that are left out, one a line: those kept for a check
//!   --out FILE        keeps the fit: models/pairing.toml
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. Every figure
//! is of walk-rounds and sentences left out of the fit, a sixth of them at a time.

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
#[path = "../telling/sentences.rs"]
#[allow(dead_code, reason = "the fit of whole sentences uses the rest")]
mod sentences;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::{agrees, pair, words};
use callover::items::{Pairing, pairings, propose};
use callover::lexicon::Lexicon;
use callover::score::{Chosen, fit_choice, shares};
use sentences::Known;
use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use tally::{WalkRound, gold_files, leave_out};

/// Parts of which each in turn is left out of the fit.
const PARTS: usize = 6;

/// How strongly weights are held back, tried in this order; the likeliest on what was left out wins.
const RIDGES: [f64; 5] = [0.1, 0.3, 1.0, 3.0, 10.0];

/// In fewer choices than this a sign teaches nothing.
const FEWEST: usize = 8;

/// How often a case counts: it is written to tell one thing from another.
const CASE_COUNTS: usize = 4;

/// A fault with what it may be of, and which of that is right.
#[derive(Clone)]
struct Example {
    walk_round: usize,
    pairing: Pairing,
    right: Vec<bool>,
}

fn main() -> Result<(), Box<dyn Error>> {
    let (mut out, mut except) = (None, String::new());
    let (mut golds, mut tables, mut cases) = (Vec::new(), Vec::new(), Vec::new());
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--out" => out = arguments.next(),
            "--sentences" => tables.extend(arguments.next().map(PathBuf::from)),
            "--cases" => cases.extend(arguments.next().map(PathBuf::from)),
            "--except" => {
                except = fs::read_to_string(arguments.next().ok_or("--except wants a file")?)?;
            }
            path => golds.extend(gold_files(Path::new(path))?),
        }
    }
    leave_out(&mut golds, &except);
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut examples = Vec::new();
    for (walk_round, file) in golds.iter().enumerate() {
        let known = WalkRound::said(file)?;
        let items = propose(&lexicon, &known.transcript).items;
        let pairs = pair(&known.gold, &items);
        let faults = pairings(&lexicon, &known.transcript);
        let said = |gold: usize| pairs[gold].and_then(|item| items[item].evidence.words);
        for (at, gold) in known.gold.iter().enumerate() {
            // What is not on the list was said between its neighbours that are.
            let before = || (0..at).rev().find_map(said).map_or(0, |(from, _)| from);
            let behind = || {
                (at + 1..pairs.len())
                    .find_map(said)
                    .map_or(usize::MAX, |(_, to)| to)
            };
            let (from, to) = said(at).unwrap_or_else(|| (before(), behind()));
            let here = faults
                .iter()
                .filter(|fault| (from..to).contains(&fault.word));
            examples.extend(of_gold(here, walk_round, &gold.element, &gold.defect));
        }
    }
    for table in &tables {
        for (walk_round, known) in Known::of_file(table)?.iter().enumerate() {
            let Some((thing, fault)) = &known.told else {
                continue;
            };
            let transcript = known.transcript()?;
            let faults = pairings(&lexicon, &transcript);
            examples.extend(of_gold(
                faults.iter(),
                walk_round,
                std::slice::from_ref(thing),
                std::slice::from_ref(fault),
            ));
        }
    }
    for file in &cases {
        examples.extend(of_cases(&lexicon, file));
    }
    let rows = Rows::of(&examples);
    let (ridge, report) = rows.report(&examples);
    print!("{report}");
    if let Some(out) = out {
        rows.keep(Path::new(&out), ridge, &report)?;
    }
    Ok(())
}

/// Returns the fault of those that is in the accepted words and may be of an accepted thing, where it may be of
/// others too.
fn of_gold<'a>(
    mut faults: impl Iterator<Item = &'a Pairing>,
    walk_round: usize,
    elements: &[String],
    defects: &[String],
) -> Option<Example> {
    let right_of = |pairing: &Pairing| -> Vec<bool> {
        let of_fault = words(&pairing.fault);
        let things = pairing.things.iter().map(|(thing, _)| {
            let mut context = of_fault.clone();
            context.extend(words(thing));
            agrees(elements, thing, &context)
        });
        things.collect()
    };
    let pairing = faults.find(|pairing| {
        let fault = words(&pairing.fault);
        let told = defects
            .iter()
            .any(|defect| !words(defect).is_disjoint(&fault));
        told && right_of(pairing).contains(&true)
    })?;
    let right = right_of(pairing);
    right.contains(&false).then(|| Example {
        walk_round,
        pairing: pairing.clone(),
        right,
    })
}

/// Returns the faults of a file of cases of which the thing is given in the very words of one that was named.
fn of_cases(lexicon: &Lexicon, file: &Path) -> Vec<Example> {
    let mut examples = Vec::new();
    for (walk_round, case) in case::read(file).iter().enumerate() {
        let mut faults = pairings(lexicon, &case.transcript);
        for wanted in &case.items {
            let is_it = |(thing, _): &(String, _)| *thing == wanted.element;
            let told = faults.iter().position(|pairing| {
                pairing.fault == wanted.defect && pairing.things.iter().any(is_it)
            });
            let Some(pairing) = told.map(|at| faults.remove(at)) else {
                continue;
            };
            let right: Vec<bool> = pairing.things.iter().map(is_it).collect();
            if right.contains(&false) {
                let example = Example {
                    walk_round,
                    pairing,
                    right,
                };
                examples.extend(std::iter::repeat_n(example, CASE_COUNTS));
            }
        }
    }
    examples
}

/// All choices with their signs by number.
struct Rows {
    names: Vec<String>,
    choices: Vec<Chosen>,
}

impl Rows {
    fn of(examples: &[Example]) -> Rows {
        let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
        for (_, signs) in examples.iter().flat_map(|example| &example.pairing.things) {
            for (sign, _) in signs {
                *seen.entry(sign).or_default() += 1;
            }
        }
        let names: Vec<String> = seen
            .into_iter()
            .filter(|(_, times)| *times >= FEWEST)
            .map(|(name, _)| name.to_owned())
            .collect();
        let number = |sign: &String| names.binary_search(sign).ok();
        let choices = examples.iter().map(|example| Chosen {
            things: example
                .pairing
                .things
                .iter()
                .map(|(_, signs)| {
                    let numbered = signs
                        .iter()
                        .map(|(sign, value)| Some((number(sign)?, f64::from(*value))));
                    numbered.flatten().collect()
                })
                .collect(),
            right: example.right.clone(),
        });
        Rows {
            choices: choices.collect(),
            names,
        }
    }

    /// Returns the best ridge with what was found of choices left out.
    fn report(&self, examples: &[Example]) -> (f64, String) {
        let judged = |ridge: f64| {
            let (mut loss, mut hit) = (0.0, 0);
            for part in 0..PARTS {
                let of_part = |at: &usize| examples[*at].walk_round % PARTS == part;
                let others: Vec<Chosen> = (0..examples.len())
                    .filter(|at| !of_part(at))
                    .map(|at| self.choices[at].clone())
                    .collect();
                let weights = fit_choice(&others, self.names.len(), ridge);
                for at in (0..examples.len()).filter(of_part) {
                    let choice = &self.choices[at];
                    let shares = shares(&weights, choice);
                    let right: f64 = shares
                        .iter()
                        .zip(&choice.right)
                        .filter(|(_, r)| **r)
                        .map(|(s, _)| s)
                        .sum();
                    loss -= right.max(1e-9).ln();
                    let best = (0..shares.len())
                        .rev()
                        .max_by(|a, b| shares[*a].total_cmp(&shares[*b]));
                    hit += usize::from(best.is_some_and(|best| choice.right[best]));
                }
            }
            (ridge, loss / examples.len() as f64, hit)
        };
        let tried = RIDGES.map(judged);
        let best = tried.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        let (ridge, loss, hit) = best.copied().unwrap_or_default();
        let mut text = String::new();
        let _ = writeln!(
            text,
            "{} faults that may be of several things, {} signs, ridge {ridge}: {hit} said of the right one, loss {loss:.4}",
            examples.len(),
            self.names.len(),
        );
        (ridge, text)
    }

    /// Writes the weights of a fit to all examples, with the report.
    fn keep(&self, out: &Path, ridge: f64, report: &str) -> Result<(), Box<dyn Error>> {
        let weights = fit_choice(&self.choices, self.names.len(), ridge);
        let mut text = String::from(
            "# Of which thing a fault is said: weights of a conditional logit over signs. Written by\n\
             # examples/pairing, which tells how; the signs are told in src/items/pair/. Its report, each\n\
             # walk-round judged by a fit to others:\n#\n",
        );
        for line in report.lines() {
            let _ = writeln!(text, "# {line}");
        }
        text.push_str("\n[weights]\n");
        for (name, weight) in self.names.iter().zip(&weights) {
            let _ = writeln!(text, "{name:?} = {weight:.3}");
        }
        fs::write(out, text)?;
        Ok(())
    }
}
