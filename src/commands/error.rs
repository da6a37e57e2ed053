//! What the program says when it cannot go on, and the exit code it then gives.

use std::fmt;

/// Exit codes, as `callover --help` lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Something given could not be used: a file, a job, a field.
    Input = 1,
    /// Some files failed; what could be done was done.
    Partly = 3,
    /// Interrupted; running the same command again goes on.
    Interrupted = 130,
}

/// An error with what to do about it.
#[derive(Debug)]
pub struct CliError {
    /// The exit code.
    pub exit: Exit,
    /// What went wrong: one line, lowercase, naming the file, line or second.
    pub message: String,
    /// What to do next, one hint a line.
    pub hints: Vec<String>,
}

impl CliError {
    /// Returns an error about something given.
    pub fn input(message: impl fmt::Display) -> Self {
        CliError { exit: Exit::Input, message: message.to_string(), hints: Vec::new() }
    }

    /// Returns the error with another exit code.
    pub fn exit(self, exit: Exit) -> Self {
        CliError { exit, ..self }
    }

    /// Returns the error with one more hint.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }
}

/// Shows `error: …` and a `hint: …` line for each hint.
impl fmt::Display for CliError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "error: {}", self.message)?;
        for hint in &self.hints {
            write!(f, "\nhint: {hint}")?;
        }
        Ok(())
    }
}

/// Any error of a stage is an error about something given, unless said otherwise.
impl<E: std::error::Error> From<E> for CliError {
    fn from(error: E) -> Self {
        CliError::input(error)
    }
}
