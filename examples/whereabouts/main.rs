//! Fits in which sort of place a sentence is spoken, by its words, to walk-rounds of which the list is known.
//!
//! ```text
//! cargo run --release --example whereabouts -- [OPTION...] GOLD...
//!
//!   --marked FILE    a text with the place of what was said in braces behind it, or a folder of them but those
//!                    that its file `kept` names (can be repeated)
//!   --except FILE    names of walk-rounds that are left out, one a line: those kept for a check
//!   --out FILE       keeps the fit: models/whereabouts.toml; else only its report is printed
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. A sentence counts where
//! an item of the list was found in it, in the place that the list tells, or where its place is marked, and so do those
//! between two of one place. Every figure is of walk-rounds with a list, left out of the fit, a sixth of them at a time.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[path = "../moves/marked.rs"]
#[allow(dead_code, reason = "the score reads those kept for a check")]
mod marked;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::pair;
use callover::items::propose;
use callover::lexicon::Lexicon;
use callover::score::{Chosen, fit_choice, shares};
use callover::statements::reading::{Reading, read};
use callover::statements::surroundings::{LIVING_KITCHEN, SORTS, signs};
use marked::{Marked, marked_files};
use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use tally::{WalkRound, gold_files, leave_out, transcript};

/// What stands at the head of the file of weights.
const HEAD: &str = "\
# How much likelier a sentence is in each sort of place (`sort` in lexicon/places.toml): weights of a multinomial
# logistic regression over its words. Written by examples/whereabouts, which tells how; the signs are told in
# src/statements/surroundings.rs. Its report, each walk-round judged by a fit to others:
#
";

/// Parts of which each in turn is left out of the fit.
const PARTS: usize = 6;

/// How strongly weights are held back, tried in this order; the likeliest on what was left out wins.
const RIDGES: [f64; 3] = [0.5, 1.0, 2.0];

/// In fewer sentences than this a sign teaches nothing.
const FEWEST: usize = 2;

/// Weights nearer to nothing than this are not kept.
const LEAST_WEIGHT: f64 = 0.1;

/// A sentence with its signs, and the sorts of place that it may be spoken in.
struct Example {
    /// Which of the walk-rounds with a list it is of; none for what is marked, which no figure is of.
    walk_round: Option<usize>,
    signs: Vec<String>,
    sorts: Vec<&'static str>,
}

/// Signs by number: sign 0 is what every sentence has.
struct Numbered(BTreeMap<String, usize>);

impl Numbered {
    fn of<'a>(examples: impl Iterator<Item = &'a Example>) -> Numbered {
        let mut times: BTreeMap<&String, usize> = BTreeMap::new();
        examples
            .flat_map(|example| &example.signs)
            .for_each(|sign| *times.entry(sign).or_default() += 1);
        let telling = times.into_iter().filter(|(_, times)| *times >= FEWEST);
        Numbered(telling.map(|(sign, _)| sign.clone()).zip(1..).collect())
    }

    /// How many weights there are.
    fn width(&self) -> usize {
        (self.0.len() + 1) * SORTS.len()
    }

    /// The sentence as a choice among the sorts.
    fn choice(&self, example: &Example) -> Chosen {
        let known = example.signs.iter().filter_map(|sign| self.0.get(sign));
        let signs: Vec<usize> = std::iter::once(0).chain(known.copied()).collect();
        let of = |sort: usize| {
            signs
                .iter()
                .map(|sign| (sign * SORTS.len() + sort, 1.0))
                .collect()
        };
        Chosen {
            things: (0..SORTS.len()).map(of).collect(),
            right: SORTS.map(|sort| example.sorts.contains(&sort)).to_vec(),
        }
    }
}

/// What was found on sentences that were left out.
#[derive(Default)]
struct Judged {
    loss: f64,
    right: usize,
}

fn main() -> Result<(), Box<dyn Error>> {
    let (mut except, mut out, mut golds) = (String::new(), None, Vec::new());
    let mut files = Vec::new();
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--except" => {
                except = fs::read_to_string(arguments.next().ok_or("--except wants a file")?)?;
            }
            "--marked" => {
                let path = arguments
                    .next()
                    .ok_or("--marked wants a file or a folder")?;
                files.extend(marked_files(Path::new(&path), false)?);
            }
            "--out" => out = arguments.next(),
            path => golds.extend(gold_files(Path::new(path))?),
        }
    }
    leave_out(&mut golds, &except);
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut examples = Vec::new();
    for (at, file) in golds.iter().enumerate() {
        examples.extend(examples_of(&lexicon, &WalkRound::said(file)?, at));
    }
    let judged_by = examples.len();
    for file in &files {
        examples.extend(marked_in(&lexicon, &Marked::read(file)?));
    }
    let judged = RIDGES.map(|ridge| judge(&examples, ridge));
    let best = (0..RIDGES.len()).min_by(|a, b| judged[*a].loss.total_cmp(&judged[*b].loss));
    let best = best.ok_or("there is no ridge to try")?;
    let numbered = Numbered::of(examples.iter());
    let choices: Vec<Chosen> = examples
        .iter()
        .map(|example| numbered.choice(example))
        .collect();
    let weights = fit_choice(&choices, numbered.width(), RIDGES[best]);
    let report = format!(
        "{judged_by} sentences of {} walk-rounds with a list, and {} of {} marked ones; {} signs, ridge {}, loss {:.3}, the \
         sort told rightly in {} of the former",
        golds.len(),
        examples.len() - judged_by,
        files.len(),
        numbered.0.len(),
        RIDGES[best],
        judged[best].loss / judged_by as f64,
        judged[best].right,
    );
    println!("{report}");
    if let Some(out) = out {
        fs::write(out, written(&report, &numbered, &weights)?)?;
    }
    Ok(())
}

/// Judges each sixth of the walk-rounds by a fit to the others.
fn judge(examples: &[Example], ridge: f64) -> Judged {
    let mut judged = Judged::default();
    for part in 0..PARTS {
        let (left_out, others): (Vec<&Example>, Vec<&Example>) = examples
            .iter()
            .partition(|example| example.walk_round.is_some_and(|at| at % PARTS == part));
        let numbered = Numbered::of(others.iter().copied());
        let choices: Vec<Chosen> = others
            .iter()
            .map(|example| numbered.choice(example))
            .collect();
        let weights = fit_choice(&choices, numbered.width(), ridge);
        for example in left_out {
            let choice = numbered.choice(example);
            let shares = shares(&weights, &choice);
            let of_the_right = shares
                .iter()
                .zip(&choice.right)
                .filter(|(_, right)| **right);
            judged.loss -= of_the_right.map(|(share, _)| share).sum::<f64>().ln();
            let likeliest = (0..SORTS.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]));
            judged.right += usize::from(likeliest.is_some_and(|sort| choice.right[sort]));
        }
    }
    judged
}

/// Returns the sentences of a walk-round of which it is known where they are spoken.
fn examples_of(lexicon: &Lexicon, known: &WalkRound, walk_round: usize) -> Vec<Example> {
    let reading = read(lexicon, &known.transcript);
    let items = propose(lexicon, &known.transcript).items;
    let mut told = BTreeMap::new();
    for (gold, at) in known.gold.iter().zip(pair(&known.gold, &items)) {
        let words = at.and_then(|at| items[at].evidence.words);
        let Some((first, _)) = words else { continue };
        let token = reading.tokens.partition_point(|token| token.word < first);
        let mut sentences = reading.sentences.iter();
        let sentence = sentences.position(|sentence| sentence.tokens.contains(&token));
        if let Some(sentence) = sentence {
            told.insert(sentence, gold.place.as_slice());
        }
    }
    examples(lexicon, &reading, &told, Some(walk_round))
}

/// Returns the sentences of a marked text of which it is known where they are spoken.
fn marked_in(lexicon: &Lexicon, known: &Marked) -> Vec<Example> {
    let reading = read(lexicon, &known.transcript);
    let mut told = BTreeMap::new();
    for (behind, place) in &known.told {
        let token = reading.tokens.partition_point(|token| token.word < *behind);
        let mut sentences = reading.sentences.iter();
        if let Some(sentence) = sentences.rposition(|sentence| sentence.tokens.start < token) {
            told.insert(sentence, place.as_slice());
        }
    }
    examples(lexicon, &reading, &told, None)
}

/// Returns the sentences that are `told` to be in a place, and those between two of one place.
fn examples(
    lexicon: &Lexicon,
    reading: &Reading,
    told: &BTreeMap<usize, &[String]>,
    walk_round: Option<usize>,
) -> Vec<Example> {
    let mut out = Vec::new();
    let mut before: Option<(usize, &[String])> = None;
    for (&sentence, place) in told {
        let sorts = sorts_of(lexicon, place);
        let from = before
            .filter(|(_, there)| there == place)
            .map_or(sentence, |(last, _)| last + 1);
        for at in from..=sentence {
            let mut found = Vec::new();
            signs(lexicon, reading, at, &mut |sign| {
                found.push(sign.to_owned())
            });
            out.push(Example {
                walk_round,
                signs: found,
                sorts: sorts.clone(),
            });
        }
        before = Some((sentence, place));
    }
    out.retain(|example| !example.sorts.is_empty());
    out
}

/// The file of weights.
fn written(report: &str, numbered: &Numbered, weights: &[f64]) -> Result<String, std::fmt::Error> {
    let table = |sign: usize, least: f64| {
        let weights = SORTS.iter().zip(&weights[sign * SORTS.len()..]);
        let kept = weights.filter(|(_, weight)| weight.abs() >= least);
        let kept = kept.map(|(sort, weight)| format!("{sort} = {weight:.2}"));
        kept.collect::<Vec<String>>()
    };
    let mut text = format!(
        "{HEAD}# {report}\n\n[always]\n{}\n\n[signs]\n",
        table(0, 0.0).join("\n")
    );
    for (sign, &number) in &numbered.0 {
        let kept = table(number, LEAST_WEIGHT);
        if !kept.is_empty() {
            writeln!(text, "{sign:?} = {{ {} }}", kept.join(", "))?;
        }
    }
    Ok(text)
}

/// Returns the sorts of place that a place may be of, by the first of its names that the lexicon knows.
fn sorts_of(lexicon: &Lexicon, names: &[String]) -> Vec<&'static str> {
    let sort = names.iter().find_map(|name| sort_of(lexicon, name));
    let of = |name: &&'static str| match &sort {
        Some(sort) if sort == LIVING_KITCHEN.0 => LIVING_KITCHEN.1.contains(name),
        Some(sort) => *name == sort,
        None => false,
    };
    SORTS.into_iter().filter(of).collect()
}

/// Returns the sort of place that a name is of, where the lexicon has it.
fn sort_of(lexicon: &Lexicon, name: &str) -> Option<String> {
    let said = transcript("place.txt", name.as_bytes()).ok()?;
    let reading = read(lexicon, &said);
    let place = reading.places.last()?.term?;
    let sort = &lexicon.place(place).sort;
    (!sort.is_empty()).then(|| sort.clone())
}
