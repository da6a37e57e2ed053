//! Fits which thing a fault is said of to walk-rounds and sentences of which it is known.
//!
//! ```text
//! cargo run --release --example pairing -- [OPTIONS] GOLD...
//!
//!   --sentences FILE  a table of single sentences as examples/telling has them (can be repeated)
//!   --cases FILE      cases as tests/understanding has them (can be repeated)
//!   --heard FOLDER    what was recognised of them: NAME.json, where there is one, counts beside what was said
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
mod choices;
#[path = "../telling/sentences.rs"]
#[allow(dead_code, reason = "the fit of whole sentences uses the rest")]
mod sentences;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::{Gold, agrees, pair, words};
use callover::items::{Pairing, propose, weighed};
use callover::lexicon::Lexicon;
use choices::{Asked, Example};
use sentences::Known;
use std::error::Error;
use std::path::{Path, PathBuf};
use tally::WalkRound;

/// What stands at the head of the file of weights.
const HEAD: &str = "\
# Of which thing a fault is said: weights of a conditional logit over signs. Written by
# examples/pairing, which tells how; the signs are told in src/items/pair/. Its report, each
# walk-round judged by a fit to others:";

/// How often a case counts: it is written to tell one thing from another.
const CASE_COUNTS: usize = 4;

fn main() -> Result<(), Box<dyn Error>> {
    let mut tables = Vec::new();
    let asked = Asked::read(|option, arguments| {
        let sentences = option == "--sentences";
        if sentences {
            tables.extend(arguments.next().map(PathBuf::from));
        }
        sentences
    })?;
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut examples = Vec::new();
    for (walk_round, file) in asked.golds.iter().enumerate() {
        for known in asked.known(file)? {
            examples.extend(of_walk_round(&lexicon, &known, walk_round));
        }
    }
    for table in &tables {
        for (walk_round, known) in Known::of_file(table)?.iter().enumerate() {
            let Some((thing, fault)) = &known.told else {
                continue;
            };
            let transcript = known.transcript()?;
            let faults = weighed(&lexicon, &transcript).pairings;
            examples.extend(of_gold(
                faults.iter(),
                walk_round,
                std::slice::from_ref(thing),
                std::slice::from_ref(fault),
            ));
        }
    }
    for file in &asked.cases {
        examples.extend(of_cases(&lexicon, file));
    }
    asked.fit(&examples, HEAD)
}

/// Returns the faults of a walk-round of which its list tells the thing.
fn of_walk_round(lexicon: &Lexicon, known: &WalkRound, walk_round: usize) -> Vec<Example> {
    let items = propose(lexicon, &known.transcript).items;
    let pairs = pair(&known.gold, &items);
    let faults = weighed(lexicon, &known.transcript).pairings;
    let said = |gold: usize| pairs[gold].and_then(|item| items[item].evidence.words);
    let of = |(at, gold): (usize, &Gold)| {
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
        of_gold(here, walk_round, &gold.element, &gold.defect)
    };
    known.gold.iter().enumerate().filter_map(of).collect()
}

fn signs_of(pairing: &Pairing) -> Vec<Vec<(String, f32)>> {
    let things = pairing.things.iter();
    things.map(|(_, signs)| signs.clone()).collect()
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
        things: signs_of(pairing),
        right,
    })
}

/// Returns the faults of a file of cases of which the thing is given in the very words of one that was named.
fn of_cases(lexicon: &Lexicon, file: &Path) -> Vec<Example> {
    let mut examples = Vec::new();
    for (walk_round, case) in case::read(file).iter().enumerate() {
        let mut faults = weighed(lexicon, &case.transcript).pairings;
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
                    things: signs_of(&pairing),
                    right,
                };
                examples.extend(std::iter::repeat_n(example, CASE_COUNTS));
            }
        }
    }
    examples
}
