//! `callover desk`: the confirm pass as a page of the browser.

use super::arguments::Desk;
use super::error::CliError;
use super::shared;
use crate::desk::{Options, open};
use crate::items::describe;
use crate::job::Job;
use std::sync::Arc;

/// Serves the page until the command is interrupted. Prints its address first.
///
/// # Errors
/// Where the job cannot be read or written, or the port is taken.
pub(crate) fn run(arguments: &Desk) -> Result<(), CliError> {
    let yardstick = shared::yardstick(&Job::open(&arguments.job)?)?;
    let desk = open(
        &arguments.job,
        Options {
            port: arguments.port,
            describe,
            clock: shared::now,
            lexicon: Some(Arc::new(shared::lexicon(&[])?)),
            yardstick: Some(Arc::new(yardstick)),
        },
    )?;
    shared::print(&format!("{}\n", desk.address()));
    shared::say("open this address in a browser of this machine; Ctrl-C ends, nothing is lost");
    desk.serve()?;
    Ok(())
}
