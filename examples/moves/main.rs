//! Scores in which places the program lists what was said in walk-rounds whose places are marked.
//!
//! ```text
//! cargo run --release --example moves -- [--kept] [--show] [FOLDER]
//!
//!   --kept   those kept for a check, which FOLDER/kept names, and not the others
//!   --show   also print what is listed elsewhere
//! ```
//!
//! FOLDER is `examples/moves/texts` where none is given. In its texts the place of each defect stands in braces
//! behind it, in all wordings that are accepted. An item is held against the first mark that its words end before.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
mod marked;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::located;
use callover::items::propose;
use callover::lexicon::Lexicon;
use marked::{Marked, marked_files};
use std::error::Error;
use std::path::PathBuf;

/// An item may take in so many words of what is told next.
const SLACK: usize = 2;

fn main() -> Result<(), Box<dyn Error>> {
    let (mut kept, mut show) = (false, false);
    let mut folder = PathBuf::from("examples/moves/texts");
    for argument in std::env::args().skip(1) {
        match argument.as_str() {
            "--kept" => kept = true,
            "--show" => show = true,
            path => folder = PathBuf::from(path),
        }
    }
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let (mut listed, mut there) = (0, 0);
    for file in marked_files(&folder, kept)? {
        let known = Marked::read(&file)?;
        let (mut of, mut right) = (0, 0);
        for item in propose(&lexicon, &known.transcript).items {
            let end = item.evidence.words.map_or(0, |(_, end)| end);
            let mark = known.told.range(end.saturating_sub(SLACK)..).next();
            let Some((_, places)) = mark else { continue };
            let agrees = located(places, &item.place);
            of += 1;
            right += usize::from(agrees);
            if show && !agrees {
                let wanted = places.first().map_or("", String::as_str);
                println!(
                    "  {wanted}   <- {}   <- {}",
                    item.place, item.evidence.quote
                );
            }
        }
        println!("{}: {right} of {of} in the right place", known.name);
        (listed, there) = (listed + of, there + right);
    }
    let share = there as f64 / f64::from(u32::try_from(listed.max(1))?);
    println!("all: {there} of {listed} in the right place ({share:.3})");
    Ok(())
}
