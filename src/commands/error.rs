//! What the program says when it cannot go on, and the exit code it then gives.

use std::error::Error;
use std::fmt;

/// Exit codes other than 0 (done) and 2 (command line not understood), as `callover --help` lists
/// them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
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
    /// What went wrong: lowercase, naming the file, line or second; one line a problem.
    pub message: String,
    /// What to do next, one hint a line.
    pub hints: Vec<String>,
}

impl CliError {
    /// Returns an error about something given.
    pub fn input(message: impl fmt::Display) -> Self {
        CliError {
            exit: Exit::Input,
            message: message.to_string(),
            hints: Vec::new(),
        }
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

/// Shows `error: …` for each problem and `hint: …` for each hint.
impl fmt::Display for CliError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines = self.message.lines().map(|line| match line {
            indented if indented.starts_with(' ') => indented.to_owned(),
            problem => format!("error: {problem}"),
        });
        let hints = self.hints.iter().map(|hint| format!("hint: {hint}"));
        let text: Vec<String> = lines.chain(hints).collect();
        f.write_str(&text.join("\n"))
    }
}

/// Any error of a stage is an error about something given, unless said otherwise.
impl<E: Error> From<E> for CliError {
    fn from(error: E) -> Self {
        CliError::input(with_causes(&error))
    }
}

/// Returns the error's message followed by those of its causes that it does not tell itself.
pub(crate) fn with_causes(error: &dyn Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source();
    while let Some(error) = cause {
        let message = error.to_string();
        if !text.contains(&message) {
            text = format!("{text}: {message}");
        }
        cause = error.source();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, thiserror::Error)]
    #[error("cannot read the model x.bin")]
    struct Outer(#[source] std::io::Error);

    #[test]
    fn causes_are_told_once() {
        let error = CliError::from(Outer(std::io::Error::other("no such file")));
        assert_eq!(error.message, "cannot read the model x.bin: no such file");
    }

    #[test]
    fn each_problem_and_each_hint_has_its_own_line() {
        let error = CliError::input("a: missing\nb: missing\n  more on b").hint("look");
        let shown = "error: a: missing\nerror: b: missing\n  more on b\nhint: look";
        assert_eq!(error.to_string(), shown);
    }
}
