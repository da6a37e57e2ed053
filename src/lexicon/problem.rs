//! What is wrong with lexicon files, told all at once with file and line.

use std::fmt;
use std::path::PathBuf;

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gravity {
    /// The lexicon cannot be used until it is put right.
    Error,
    /// The lexicon works, but not as its writer probably means.
    Advice,
}

/// One problem in one lexicon file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub struct Problem {
    /// The file, as it was named when given.
    pub file: PathBuf,
    /// The line, from 1.
    pub line: usize,
    /// Whether it stops the lexicon from loading.
    pub gravity: Gravity,
    /// What was found, what was expected, what to do; lowercase, without a final period.
    pub message: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.file.display(), self.line, self.message)
    }
}
