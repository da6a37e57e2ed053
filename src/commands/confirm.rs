//! `callover confirm`: the pass in which the inspector decides on each item.

use super::arguments::Confirm;
use super::error::CliError;
use super::shared;
use crate::confirm::{Options, Player, run_plain, run_terminal};
use crate::items::describe;
use crate::job::Job;
use std::env;
use std::io::{self, BufReader, IsTerminal};
use std::sync::Arc;

/// Goes through the list on the full screen, or line by line where that is asked for or there is
/// no terminal.
///
/// # Errors
/// Where the job cannot be read or written, or where a script's commands were refused.
pub(crate) fn run(arguments: &Confirm) -> Result<(), CliError> {
    let mut job = Job::open(&arguments.job)?;
    let (typed, shown) = (io::stdin().is_terminal(), io::stdout().is_terminal());
    let options = Options {
        describe,
        lexicon: Some(Arc::new(shared::lexicon(&[])?)),
        yardstick: Some(Arc::new(shared::yardstick(&job)?)),
        accept_above: arguments.accept_above,
        player: env::var_os("PATH").and_then(|path| Player::installed(&path)),
        // <https://no-color.org>: any value but an empty one.
        colour: env::var_os("NO_COLOR").is_none_or(|value| value.is_empty()),
        prompt: typed,
    };
    let outcome = if arguments.plain || !typed || !shown {
        let (mut input, mut output) = (BufReader::new(io::stdin()), io::stdout());
        run_plain(&mut job, &options, &shared::now, &mut input, &mut output)?
    } else {
        run_terminal(&mut job, &options, &shared::now)?
    };
    let folder = shared::quoted(&arguments.job);
    if outcome.progress.waiting() > 0 {
        shared::say(format_args!("to go on: callover confirm {folder}"));
    } else {
        shared::say(format_args!(
            "next: callover export {folder} --out list.html"
        ));
    }
    if outcome.lessons > 0 {
        shared::say(format_args!(
            "what you asked to be learnt is tried by: callover learn {folder}"
        ));
    }
    match outcome.refused {
        refused if refused == 0 || typed => Ok(()),
        1 => Err(refusal("1 of the commands given was refused")),
        refused => Err(refusal(&format!(
            "{refused} of the commands given were refused"
        ))),
    }
}

/// Returns the error that tells a script that not all its commands were followed.
fn refusal(what: &str) -> CliError {
    CliError::input(format_args!("{what}; the others were kept"))
        .hint("each is told above as `not done`")
}
