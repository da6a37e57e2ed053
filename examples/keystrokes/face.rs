//! The face under the inspector's hands, with how long each key keeps it waiting.

use callover::confirm::Rehearsal;
use ratatui::crossterm::event::KeyCode;
use std::fmt;
use std::ops::Deref;
use std::time::{Duration, Instant};

/// Columns and rows of the screen that is drawn after each key.
const SCREEN: (u16, u16) = (120, 40);

/// A rehearsal, timed.
pub(crate) struct Face {
    rehearsal: Rehearsal,
    pub(crate) waited: Waited,
}

/// How long keys took until the screen was drawn again.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Waited {
    keys: u32,
    total: Duration,
    longest: Duration,
    offers: u32,
    longest_offer: Duration,
}

impl Face {
    pub(crate) fn new(rehearsal: Rehearsal) -> Face {
        let waited = Waited::default();
        Face { rehearsal, waited }
    }

    pub(crate) fn press(&mut self, key: KeyCode) -> bool {
        let begun = Instant::now();
        let goes_on = self.rehearsal.press(key);
        self.rehearsal.lines(SCREEN.0, SCREEN.1);
        let took = begun.elapsed();
        let offers = u32::from(self.rehearsal.session().offer().is_some());
        let one = Waited {
            keys: 1,
            total: took,
            longest: took,
            offers,
            longest_offer: took * offers,
        };
        self.waited = self.waited.with(&one);
        goes_on
    }
}

impl Deref for Face {
    type Target = Rehearsal;

    fn deref(&self) -> &Rehearsal {
        &self.rehearsal
    }
}

impl Waited {
    pub(crate) fn with(self, other: &Waited) -> Waited {
        Waited {
            keys: self.keys + other.keys,
            total: self.total + other.total,
            longest: self.longest.max(other.longest),
            offers: self.offers + other.offers,
            longest_offer: self.longest_offer.max(other.longest_offer),
        }
    }
}

impl fmt::Display for Waited {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "a key took {:.1?} on average, {:.1?} at most; of {} that made the offer of a lesson {:.1?} at most",
            self.total / self.keys.max(1),
            self.longest,
            self.offers,
            self.longest_offer,
        )
    }
}
