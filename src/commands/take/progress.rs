//! How far listening has come: a bar on a terminal, a line now and then elsewhere.

use crate::audio::Progress;
use crate::commands::shared;
use crate::time::Millis;
use indicatif::{ProgressBar, ProgressStyle};
use std::io::{self, IsTerminal};
use std::time::{Duration, Instant};

/// Time between two lines where there is no terminal: often enough to see that the program lives,
/// seldom enough for a log.
const LINE_EVERY: Duration = Duration::from_secs(30);

/// The line shown where the recording states its length.
const WITH_LENGTH: &str = "{prefix} {bar:30} {msg}, about {eta} left";
/// The line shown where it does not.
const WITHOUT_LENGTH: &str = "{prefix} {spinner} {msg}";

/// The progress shown for one recording.
pub(super) struct Bar {
    name: String,
    /// `None` where standard error is not a terminal.
    bar: Option<ProgressBar>,
    last_line: Instant,
}

impl Bar {
    /// Returns a bar at the start of the recording called `name`.
    pub(super) fn new(name: &str) -> Self {
        Bar {
            name: name.to_owned(),
            bar: on_terminal(name),
            last_line: Instant::now(),
        }
    }

    /// Shows how far the recording has been read.
    pub(super) fn show(&mut self, progress: Progress) {
        let at = match progress.total {
            Some(total) => format!("{} of {total}", progress.done),
            None => progress.done.to_string(),
        };
        let Some(bar) = &self.bar else {
            if self.last_line.elapsed() >= LINE_EVERY {
                self.last_line = Instant::now();
                shared::say(format_args!("{}: listened to {at}", self.name));
            }
            return;
        };
        if let Some(Millis(total)) = progress.total {
            bar.set_length(total);
        }
        bar.set_style(style(progress.total.is_some()));
        bar.set_message(at);
        bar.set_position(progress.done.0);
    }

    /// Takes the bar away.
    pub(super) fn close(&self) {
        take_away(self.bar.as_ref());
    }
}

/// The line shown of work in steps.
const STEPS: &str = "{prefix} {bar:30} {percent} %, about {eta} left";

/// The progress of work in steps whose number is known.
pub(crate) struct Steps {
    what: &'static str,
    /// `None` where standard error is not a terminal.
    bar: Option<ProgressBar>,
    last_line: Instant,
}

impl Steps {
    /// Returns a bar at the start of the work.
    pub(crate) fn new(what: &'static str) -> Self {
        let bar = on_terminal(what);
        if let Some(bar) = &bar {
            bar.set_style(template(STEPS));
        }
        Steps {
            what,
            bar,
            last_line: Instant::now(),
        }
    }

    /// Shows how many steps are done.
    pub(crate) fn show(&mut self, done: usize, of: usize) {
        if let Some(bar) = &self.bar {
            bar.set_length(of as u64);
            bar.set_position(done as u64);
        } else if self.last_line.elapsed() >= LINE_EVERY {
            self.last_line = Instant::now();
            shared::say(format_args!("{}: step {done} of {of}", self.what));
        }
    }

    /// Takes the bar away.
    pub(crate) fn close(&self) {
        take_away(self.bar.as_ref());
    }
}

/// Returns a bar with this before it; `None` where standard error is not a terminal.
fn on_terminal(prefix: &str) -> Option<ProgressBar> {
    io::stderr().is_terminal().then(|| {
        let bar = ProgressBar::no_length();
        bar.set_prefix(prefix.to_owned());
        bar.enable_steady_tick(Duration::from_millis(250));
        bar
    })
}

fn take_away(bar: Option<&ProgressBar>) {
    if let Some(bar) = bar {
        bar.finish_and_clear();
    }
}

fn style(length_known: bool) -> ProgressStyle {
    template(if length_known {
        WITH_LENGTH
    } else {
        WITHOUT_LENGTH
    })
}

fn template(template: &str) -> ProgressStyle {
    // The templates are fixed and a test parses them; the plain bar stands in all the same.
    ProgressStyle::with_template(template).unwrap_or_else(|_| ProgressStyle::default_bar())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_templates_are_understood() {
        for template in [WITH_LENGTH, WITHOUT_LENGTH, STEPS] {
            assert!(ProgressStyle::with_template(template).is_ok(), "{template}");
        }
    }
}
