//! Scores what the program makes of walk-rounds whose list is known.
//!
//! ```text
//! cargo run --release --example understanding -- [OPTIONS] GOLD...
//!
//!   --heard FOLDER   take the words recognised, FOLDER/NAME.json, and not the spoken text
//!   --lexicon FILE   add vocabulary (can be repeated)
//!   --without PART   leave a part out: sounds, heard, everyday, discourse (of the built-in lexicon), telling
//!                    (how likely a sentence's words make a fault), stops (told from a recogniser's commas),
//!                    mentions (places named on the way), whereabouts (places told by what is spoken of), or
//!                    second-look (what was taken for other words at a second look at the sound)
//!   --show           also print what was missed, partly right, or not asked for
//! ```
//!
//! GOLD is a file `NAME.gold.json` or a folder of them: `text` (what was said) and `items` with
//! accepted wordings for place (`loc`), element (`el`) and defect (`de`), where stated `measure`,
//! `count`, `trade`, and, for recognised words, `start_s` and `end_s`.
//!
//! An item is *found* where its element or its defect agrees, *right* where place, element and
//! defect do; each item of the list counts for one expected item at most.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[allow(dead_code, reason = "tests use the rest")]
mod tally;

use agreement::{Gold, pair};
use callover::items::{Item, propose};
use callover::lexicon::{Lexicon, Part};
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use tally::{Tally, WalkRound, gold_files};

fn main() -> Result<(), Box<dyn Error>> {
    let (mut heard, mut overlays, mut show, mut files) = (None, Vec::new(), false, Vec::new());
    let mut without = None;
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--heard" => heard = arguments.next().map(PathBuf::from),
            "--lexicon" => {
                let file = PathBuf::from(arguments.next().ok_or("--lexicon wants a file")?);
                let text = fs::read_to_string(&file)?;
                overlays.push((file, text));
            }
            "--without" => without = arguments.next(),
            "--show" => show = true,
            path => files.extend(gold_files(Path::new(path))?),
        }
    }
    if files.is_empty() {
        return Err("give a file NAME.gold.json, or a folder of them".into());
    }
    let part = match without.as_deref() {
        None | Some("second-look") => None,
        Some("sounds") => Some(Part::Sounds),
        Some("heard") => Some(Part::Heard),
        Some("everyday") => Some(Part::Everyday),
        Some("discourse") => Some(Part::Discourse),
        Some("telling") => Some(Part::Telling),
        Some("stops") => Some(Part::Stops),
        Some("mentions") => Some(Part::Mentions),
        Some("whereabouts") => Some(Part::Whereabouts),
        Some(part) => return Err(format!("{part}: no part that can be left out").into()),
    };
    let lexicon = match part {
        None => Lexicon::load(&overlays).map_err(|problems| format!("{problems:?}"))?,
        Some(_) if !overlays.is_empty() => return Err("--without takes no --lexicon".into()),
        Some(part) => Lexicon::builtin_lacking(part).ok_or("the rest makes no lexicon")?,
    };
    let mut all = Tally::default();
    for file in &files {
        let mut walk_round = match &heard {
            Some(folder) => WalkRound::heard(file, folder)?,
            None => WalkRound::said(file)?,
        };
        if without.as_deref() == Some("second-look") {
            let words = walk_round.transcript.words.iter_mut();
            words.for_each(|word| word.meant = None);
        }
        let mut items = propose(&lexicon, &walk_round.transcript).items;
        walk_round.name_trades(&lexicon, &mut items);
        let tally = Tally::of(&walk_round.gold, &items);
        println!("{}: {tally}", walk_round.name);
        if show {
            print_differences(&walk_round.gold, &items);
        }
        all.add(&tally);
    }
    if files.len() > 1 {
        println!("all: {all}");
    }
    println!("calibration error {:.3}", all.calibration_error());
    Ok(())
}

fn print_differences(gold: &[Gold], items: &[Item]) {
    let line = |item: &Item| format!("{} | {} | {}", item.place, item.element, item.defect);
    let pairs = pair(gold, items);
    for (gold, listed) in gold.iter().zip(&pairs) {
        let wanted = [&gold.place, &gold.element, &gold.defect]
            .map(|wordings| wordings.first().map_or("", String::as_str))
            .join(" | ");
        match listed.map(|at| &items[at]) {
            None => println!("  missed  {wanted}"),
            Some(item) if gold.grade(item).right() => {}
            Some(item) => {
                let grade = gold.grade(item);
                let parts = [
                    ("place", grade.place),
                    ("element", grade.element),
                    ("defect", grade.defect),
                ];
                let wrong = parts.iter().filter(|(_, agrees)| !agrees);
                let wrong: Vec<&str> = wrong.map(|(part, _)| *part).collect();
                let (line, quote) = (line(item), &item.evidence.quote);
                println!("  {} {wanted}   <- {line}   <- {quote}", wrong.join("+"));
            }
        }
    }
    for (at, item) in items.iter().enumerate() {
        if !pairs.contains(&Some(at)) {
            println!("  extra   {}   <- {}", line(item), item.evidence.quote);
        }
    }
}
