//! `take --retake`: a job's stored words, read with today's vocabulary.

use super::super::arguments::Take;
use super::super::error::CliError;
use super::super::shared;
use crate::job::{Difference, Job, differences};
use std::fmt::Write;
use std::path::Path;

/// Shows what today's vocabulary would change, or changes it with `--apply`.
///
/// # Errors
/// As reading the job has it, and writing it where that is wanted.
pub(super) fn run(folder: &Path, arguments: &Take) -> Result<(), CliError> {
    let mut job = match arguments.apply {
        true => Job::open(folder)?,
        false => Job::open_to_read(folder)?,
    };
    let lexicon = shared::lexicon(&arguments.lexicon)?;
    let lexicon = super::with_plan(&job, lexicon, &arguments.lexicon)?;
    let (_, proposal) = super::proposal(&job, &lexicon)?;
    let before = job.list()?;
    let after = job.list_with(proposal)?;
    let found = differences(&before.items, &after.items);
    if !arguments.quiet {
        shared::print(&told(&found));
    }
    let decided = before.touched.len();
    let stay = match decided {
        0 => String::new(),
        1 => "; the one item that was decided on stays as it is".to_owned(),
        n => format!("; the {n} items that were decided on stay as they are"),
    };
    if found.is_empty() {
        shared::say(format_args!("today's vocabulary proposes the same{stay}"));
    } else if arguments.apply {
        super::propose(&mut job, &lexicon)?;
        shared::say(format_args!("the proposal is changed{stay}"));
    } else {
        let folder = shared::quoted(folder);
        shared::say(format_args!(
            "nothing is changed yet: callover take --retake {folder} --apply does it{stay}"
        ));
    }
    Ok(())
}

fn told(differences: &[Difference]) -> String {
    let mut out = String::new();
    for one in differences {
        // Writing to a string cannot fail.
        let _ = match (&one.before, &one.after) {
            (Some(before), Some(after)) => {
                writeln!(out, "{:>3}  {before} -> {after}", one.number)
            }
            (None, Some(after)) => writeln!(out, "{:>3}  new: {after}", one.number),
            (Some(before), None) => writeln!(out, "{:>3}  gone: {before}", one.number),
            (None, None) => Ok(()),
        };
    }
    out
}
