//! How far work on many things has come: a bar on a terminal, a line now and then elsewhere.

use super::shared;
use indicatif::{ProgressBar, ProgressStyle};
use std::io::{self, IsTerminal};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// Time between two lines where there is no terminal: often enough to see that the program lives,
/// seldom enough for a log.
const LINE_EVERY: Duration = Duration::from_secs(15);
const TEMPLATE: &str = "{prefix} {bar:30} {pos} of {len}, about {eta} left";

/// The progress of work that several threads may do.
pub(super) struct Counted {
    what: &'static str,
    total: usize,
    done: AtomicUsize,
    /// `None` where standard error is not a terminal.
    bar: Option<ProgressBar>,
    last_line: Mutex<Instant>,
}

impl Counted {
    /// Returns the progress at its start; `what` is done `total` times, *pictures made*.
    pub(super) fn new(what: &'static str, total: usize) -> Self {
        let bar = (total > 0 && io::stderr().is_terminal()).then(|| {
            let bar = ProgressBar::new(total as u64);
            // The template is fixed and a test parses it; the plain bar stands in all the same.
            bar.set_style(
                ProgressStyle::with_template(TEMPLATE)
                    .unwrap_or_else(|_| ProgressStyle::default_bar()),
            );
            bar.set_prefix(what);
            bar.enable_steady_tick(Duration::from_millis(250));
            bar
        });
        Counted {
            what,
            total,
            done: AtomicUsize::new(0),
            bar,
            last_line: Mutex::new(Instant::now()),
        }
    }

    /// Tells that one more is done.
    pub(super) fn one(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        if let Some(bar) = &self.bar {
            bar.set_position(done as u64);
        } else if let Ok(mut last) = self.last_line.try_lock()
            && last.elapsed() >= LINE_EVERY
        {
            *last = Instant::now();
            shared::say(format_args!("{}: {done} of {}", self.what, self.total));
        }
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_template_is_understood() {
        assert!(ProgressStyle::with_template(TEMPLATE).is_ok());
    }

    #[test]
    fn counts_what_several_threads_do() {
        let counted = Counted::new("pictures made", 100);
        crate::workers::each(&[0; 100], |_| counted.one());
        assert_eq!(counted.done.load(Ordering::Relaxed), 100);
    }
}
