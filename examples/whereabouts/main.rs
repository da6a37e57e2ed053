//! Counts how often things are spoken of in each sort of place, in walk-rounds of which the list is known.
//!
//! ```text
//! cargo run --release --example whereabouts -- [--except FILE] [--out models/whereabouts.toml] GOLD...
//!
//!   --except FILE    names of walk-rounds that are left out, one a line: those kept for a check
//!   --out FILE       keeps the counts, else they are printed
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. A thing counts where
//! the list has it and the program has found it, in the place that the list tells.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::pair;
use callover::items::propose;
use callover::lexicon::Lexicon;
use callover::statements::reading::read;
use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use tally::{WalkRound, gold_files, leave_out, transcript};

/// What stands at the head of the file of counts.
const HEAD: &str = "\
# How often things were spoken of in each sort of place (`sort` in lexicon/places.toml): all of them, by the last word
# of what they were called, and by their names in the lexicon. Counted by examples/whereabouts in walk-rounds of which
# the list is known; src/items/whereabouts.rs tells what for.
";

/// The sort of which both halves count: one lives in it and cooks in it.
const BOTH: (&str, [&str; 2]) = ("living kitchen", ["kitchen", "living"]);

type Counted = BTreeMap<String, BTreeMap<String, f64>>;

fn main() -> Result<(), Box<dyn Error>> {
    let (mut except, mut out, mut golds) = (String::new(), None, Vec::new());
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--except" => {
                except = fs::read_to_string(arguments.next().ok_or("--except wants a file")?)?;
            }
            "--out" => out = arguments.next(),
            path => golds.extend(gold_files(Path::new(path))?),
        }
    }
    leave_out(&mut golds, &except);
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut all: BTreeMap<String, f64> = BTreeMap::new();
    let (mut words, mut things) = (Counted::new(), Counted::new());
    for file in &golds {
        let known = WalkRound::said(file)?;
        let items = propose(&lexicon, &known.transcript).items;
        for (gold, at) in known.gold.iter().zip(pair(&known.gold, &items)) {
            let Some(item) = at.map(|at| &items[at]) else {
                continue;
            };
            let told = gold.place.iter().find_map(|name| sort_of(&lexicon, name));
            let Some(sort) = told else { continue };
            let sorts = match sort == BOTH.0 {
                true => BOTH.1.map(str::to_owned).to_vec(),
                false => vec![sort],
            };
            let share = 1.0 / sorts.len() as f64;
            let last = item.element.rsplit(' ').next().unwrap_or_default();
            let mut terms = item.evidence.terms.iter();
            let thing = terms
                .find(|term| term.kind == "element")
                .map(|term| &term.name);
            for sort in sorts {
                *all.entry(sort.clone()).or_default() += share;
                let of_word = words.entry(last.to_owned()).or_default();
                *of_word.entry(sort.clone()).or_default() += share;
                if let Some(thing) = thing {
                    *things
                        .entry(thing.clone())
                        .or_default()
                        .entry(sort)
                        .or_default() += share;
                }
            }
        }
    }
    let mut text = format!("{HEAD}\n[all]\n");
    for (sort, times) in &all {
        writeln!(text, "{sort:?} = {times:?}")?;
    }
    for (name, counted) in [("words", &words), ("things", &things)] {
        writeln!(text, "\n[{name}]")?;
        for (thing, sorts) in counted {
            let sorts: Vec<String> = sorts
                .iter()
                .map(|(sort, times)| format!("{sort:?} = {times:?}"))
                .collect();
            writeln!(text, "{thing:?} = {{ {} }}", sorts.join(", "))?;
        }
    }
    match out {
        Some(out) => fs::write(out, text)?,
        None => print!("{text}"),
    }
    Ok(())
}

/// Returns the sort of place that a name is of, where the lexicon has it.
fn sort_of(lexicon: &Lexicon, name: &str) -> Option<String> {
    let said = transcript("place.txt", name.as_bytes()).ok()?;
    let reading = read(lexicon, &said);
    let place = reading.places.last()?.term?;
    let sort = &lexicon.place(place).sort;
    (!sort.is_empty()).then(|| sort.clone())
}
