//! Spoken measurements held against published limits.
//!
//! # Steps
//! 1. `read`: files of limits (TOML, `lexicon/limits.toml` and the user's own) become rows.
//! 2. [`Chosen`]: the inspector's choice of countries and kinds of rows.
//! 3. `matching`: an item's words find the rows that are about it, and what was not said.
//! 4. `compare`: a measurement, with the length it is tied to, against one row's figures.
//! 5. `say`: the outcome in words, with source and edition, honest about what the source binds.
//! 6. [`check`] joins them for an item, [`beyond`] for a figure said without any fault.
//!
//! There are three outcomes: `outside`, `within`, and `cannot tell` with what is missing. A limit is
//! never scaled to another length unless its source says so.

mod check;
mod chosen;
mod compare;
mod matching;
mod read;
mod row;
mod say;

#[cfg(test)]
mod tests;

pub use check::{Beyond, Yardstick, beyond, check, refresh};
pub use chosen::{Chosen, UnknownChoice};
pub(crate) use matching::{fold, has};
pub use row::{Condition, Kind, Limit, ProRata, Role, Sense, Status, Subject, Unsaid, Whole};

use crate::lexicon::Problem;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The rows to compare with, and the words that find them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Limits {
    /// The rows, in the order of the files.
    pub rows: Vec<Limit>,
    /// What rows are about.
    pub subjects: Vec<Subject>,
    /// Which size of it.
    pub senses: Vec<Sense>,
    /// What must have been said.
    pub conditions: Vec<Condition>,
}

/// Name under which messages show the embedded file.
const BUILT_IN: &str = "lexicon/limits.toml";

impl Limits {
    /// Returns the limits that the program carries.
    pub fn builtin() -> &'static Limits {
        static LIMITS: OnceLock<Limits> = OnceLock::new();
        LIMITS.get_or_init(|| {
            let mut problems = Vec::new();
            let text = include_str!("../../lexicon/limits.toml");
            // A test keeps the embedded file free of problems.
            read::add(
                Limits::default(),
                Path::new(BUILT_IN),
                text,
                false,
                &mut problems,
            )
        })
    }

    /// Returns the built-in limits with the user's own on top, given as path (for messages) and
    /// text. A row of the same `id`, or a subject, sense or condition of the same `name`, stands in
    /// place of the built-in one.
    ///
    /// # Errors
    /// Every problem of the files, with file and line.
    pub fn load(own: &[(PathBuf, String)]) -> Result<Limits, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut limits = Limits::builtin().clone();
        for (path, text) in own {
            limits = read::add(limits, path, text, true, &mut problems);
        }
        problems.sort();
        if problems.is_empty() {
            Ok(limits)
        } else {
            Err(problems)
        }
    }

    /// Returns every problem of the embedded file.
    pub fn check_builtin() -> Vec<Problem> {
        let mut problems = Vec::new();
        let text = include_str!("../../lexicon/limits.toml");
        read::add(
            Limits::default(),
            Path::new(BUILT_IN),
            text,
            false,
            &mut problems,
        );
        problems
    }

    fn sense(&self, name: &str) -> Option<&Sense> {
        self.senses.iter().find(|s| s.name == name)
    }

    fn condition(&self, name: &str) -> Option<&Condition> {
        self.conditions.iter().find(|c| c.name == name)
    }
}
