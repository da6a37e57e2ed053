//! Choices by signs, and the fit of the signs' weights to them: what the programs that fit have in common.

use crate::tally::{WalkRound, gold_files, leave_out};
use callover::score::{Chosen, fit_choice, shares};
use std::collections::BTreeMap;
use std::env::Args;
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::iter::Skip;
use std::path::{Path, PathBuf};

/// Parts of which each in turn is left out of the fit.
const PARTS: usize = 6;

/// How strongly weights are held back, tried in this order; the likeliest on what was left out wins.
const RIDGES: [f64; 5] = [0.1, 0.3, 1.0, 3.0, 10.0];

/// In fewer choices than this a sign teaches nothing.
const FEWEST: usize = 8;

/// What a fit is asked for on the command line.
#[derive(Default)]
pub(crate) struct Asked {
    /// The walk-rounds, without those kept for a check.
    pub(crate) golds: Vec<PathBuf>,
    /// Files of cases.
    pub(crate) cases: Vec<PathBuf>,
    /// Folders of what was recognised of the walk-rounds.
    heard: Vec<PathBuf>,
    out: Option<PathBuf>,
}

impl Asked {
    /// Returns what is asked for; `own` takes the options that only one program has.
    pub(crate) fn read(
        mut own: impl FnMut(&str, &mut Skip<Args>) -> bool,
    ) -> Result<Asked, Box<dyn Error>> {
        let (mut asked, mut except) = (Asked::default(), String::new());
        let mut arguments = std::env::args().skip(1);
        while let Some(argument) = arguments.next() {
            match argument.as_str() {
                "--out" => asked.out = arguments.next().map(PathBuf::from),
                "--heard" => asked.heard.extend(arguments.next().map(PathBuf::from)),
                "--cases" => asked.cases.extend(arguments.next().map(PathBuf::from)),
                "--except" => {
                    except = fs::read_to_string(arguments.next().ok_or("--except wants a file")?)?;
                }
                option if own(option, &mut arguments) => {}
                path => asked.golds.extend(gold_files(Path::new(path))?),
            }
        }
        leave_out(&mut asked.golds, &except);
        Ok(asked)
    }

    /// Returns a walk-round as it was said, and as it was heard each time.
    pub(crate) fn known(&self, file: &Path) -> Result<Vec<WalkRound>, Box<dyn Error>> {
        let said = WalkRound::said(file)?;
        let name = format!("{}.json", said.name);
        let mut known = vec![said];
        for folder in self
            .heard
            .iter()
            .filter(|folder| folder.join(&name).exists())
        {
            known.push(WalkRound::heard(file, folder)?);
        }
        Ok(known)
    }

    /// Fits the weights, prints how well what is left out of the fit is told, and keeps them where that is asked,
    /// under `head`.
    pub(crate) fn fit(&self, examples: &[Example], head: &str) -> Result<(), Box<dyn Error>> {
        let rows = Rows::of(examples);
        let (ridge, report) = rows.report(examples);
        print!("{report}");
        match &self.out {
            Some(out) => rows.keep(out, ridge, head, &report),
            None => Ok(()),
        }
    }
}

/// A choice that is known.
#[derive(Clone)]
pub(crate) struct Example {
    /// What it belongs to: all of a walk-round is left out of a fit at once.
    pub(crate) walk_round: usize,
    /// The signs of each thing that could be chosen, with values.
    pub(crate) things: Vec<Vec<(String, f32)>>,
    /// Which of them are right.
    pub(crate) right: Vec<bool>,
}

/// All choices with their signs by number.
struct Rows {
    names: Vec<String>,
    choices: Vec<Chosen>,
}

impl Rows {
    fn of(examples: &[Example]) -> Rows {
        let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
        for signs in examples.iter().flat_map(|example| &example.things) {
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
                .things
                .iter()
                .map(|signs| {
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
            "{} choices, {} signs, ridge {ridge}: {hit} right, loss {loss:.4}",
            examples.len(),
            self.names.len(),
        );
        (ridge, text)
    }

    /// Writes the weights of a fit to all examples, with the report.
    fn keep(&self, out: &Path, ridge: f64, head: &str, report: &str) -> Result<(), Box<dyn Error>> {
        let weights = fit_choice(&self.choices, self.names.len(), ridge);
        let mut text = format!("{head}\n#\n");
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
