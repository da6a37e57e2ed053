//! The user's overlay of lessons and the history of every act on it, as files.

use super::super::error::CliError;
use super::super::shared;
use crate::export::write::write_file;
use crate::learn::{Judged, Lesson, Teaching, entries, overlay};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// What stands at the head of the history.
const HISTORY_HEAD: &str =
    "# Every lesson accepted, refused or undone by `callover learn`, oldest first.\n";

/// The files.
pub(super) struct Store {
    /// Active lessons, as an overlay of the lexicon.
    pub(super) overlay: PathBuf,
    history: PathBuf,
    overlay_text: String,
    history_text: String,
}

/// What was done with a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Did {
    Accepted,
    Refused,
    Undone,
}

/// One act of the history.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Act {
    pub(super) date: String,
    pub(super) did: Did,
    pub(super) lesson: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) why: Option<String>,
}

/// The history's file.
#[derive(Debug, Default, Serialize, Deserialize)]
struct Acts {
    #[serde(default)]
    act: Vec<Act>,
}

impl Store {
    /// Opens the user's files; none need to be there yet.
    ///
    /// # Errors
    /// Where there is no configuration folder, or a file cannot be read.
    pub(super) fn open() -> Result<Store, CliError> {
        let folder = shared::user_folder().ok_or_else(|| {
            CliError::input(
                "there is no folder for what is learnt: neither XDG_CONFIG_HOME nor HOME is set",
            )
        })?;
        let overlay = folder.join("lexicon").join("learnt.toml");
        let history = folder.join("lessons.toml");
        Ok(Store {
            overlay_text: read(&overlay)?.unwrap_or_else(|| overlay::HEAD.to_owned()),
            history_text: read(&history)?.unwrap_or_else(|| HISTORY_HEAD.to_owned()),
            overlay,
            history,
        })
    }

    /// Returns the active lessons.
    pub(super) fn lessons(&self) -> Vec<Teaching> {
        let (_, entries) = entries(&self.overlay_text);
        entries
            .into_iter()
            .filter_map(|entry| entry.teaching)
            .collect()
    }

    /// Returns the history, oldest first.
    ///
    /// # Errors
    /// Where the file was changed into something else.
    pub(super) fn acts(&self) -> Result<Vec<Act>, CliError> {
        let acts: Acts = toml::from_str(&self.history_text).map_err(|error| {
            let at = self.history.display();
            CliError::input(format_args!(
                "{at}: is no history of lessons: {}",
                error.message()
            ))
            .hint("mend the file, or move it away to begin a new history")
        })?;
        Ok(acts.act)
    }

    /// Returns the lessons whose last act is a refusal.
    pub(super) fn refused(&self) -> Result<BTreeSet<String>, CliError> {
        let mut refused = BTreeSet::new();
        for act in self.acts()? {
            match act.did {
                Did::Refused => _ = refused.insert(act.lesson),
                Did::Accepted | Did::Undone => _ = refused.remove(&act.lesson),
            }
        }
        Ok(refused)
    }

    /// Adds lessons to the overlay.
    ///
    /// # Errors
    /// As writing has it.
    pub(super) fn accept(
        &mut self,
        judged: &[&Judged],
        date: &str,
        insisted: bool,
    ) -> Result<(), CliError> {
        let mut acts = Vec::new();
        for one in judged {
            let reason = super::reason(one, insisted);
            self.overlay_text = overlay::with(&self.overlay_text, &one.lesson, date, &reason);
            acts.push(Act {
                date: date.to_owned(),
                did: Did::Accepted,
                lesson: one.lesson.teaching.in_words(),
                why: Some(super::tell::verdict(one)),
            });
        }
        self.keep(acts)
    }

    /// Remembers that lessons are not wanted, so that they are not offered again.
    ///
    /// # Errors
    /// As writing has it.
    pub(super) fn refuse(&mut self, lessons: &[&Lesson], date: &str) -> Result<(), CliError> {
        let act = |lesson: &&Lesson| Act {
            date: date.to_owned(),
            did: Did::Refused,
            lesson: lesson.teaching.in_words(),
            why: None,
        };
        self.keep(lessons.iter().map(act).collect())
    }

    /// Takes the one active lesson with this text in its line of words out of the overlay; returns that
    /// line.
    ///
    /// # Errors
    /// Where none or several have it, naming them; otherwise as writing has it.
    pub(super) fn undo(&mut self, text: &str, date: &str) -> Result<String, CliError> {
        let (head, mut all) = entries(&self.overlay_text);
        let words: Vec<String> = all
            .iter()
            .map(|e| {
                e.teaching
                    .as_ref()
                    .map(Teaching::in_words)
                    .unwrap_or_default()
            })
            .collect();
        let exact = |at: &usize| words[*at] == text;
        let part = |at: &usize| !words[*at].is_empty() && words[*at].contains(text);
        let mut found: Vec<usize> = (0..all.len()).filter(exact).collect();
        if found.is_empty() {
            found = (0..all.len()).filter(part).collect();
        }
        let at = match found[..] {
            [at] => at,
            [] => {
                return Err(
                    CliError::input(format_args!("no active lesson has \"{text}\" in it"))
                        .hint("`callover lexicon history` lists them"),
                );
            }
            _ => {
                let several: Vec<&str> = found.iter().map(|&at| &*words[at]).collect();
                return Err(CliError::input(format_args!(
                    "\"{text}\" is in several lessons:\n  {}",
                    several.join("\n  ")
                ))
                .hint("give more of the one that is meant"));
            }
        };
        all.remove(at);
        let rest: Vec<String> = all.into_iter().map(|entry| entry.lines).collect();
        self.overlay_text = format!("{head}{}", rest.concat());
        let lesson = words[at].clone();
        let act = Act {
            date: date.to_owned(),
            did: Did::Undone,
            lesson: lesson.clone(),
            why: None,
        };
        self.keep(vec![act])?;
        Ok(lesson)
    }

    /// Writes the overlay, then the acts that made it so.
    fn keep(&mut self, acts: Vec<Act>) -> Result<(), CliError> {
        if acts.is_empty() {
            return Ok(());
        }
        for path in [&self.overlay, &self.history] {
            if let Some(folder) = path.parent() {
                std::fs::create_dir_all(folder)?;
            }
        }
        let acts = Acts { act: acts };
        let text = toml::to_string(&acts).map_err(|error| CliError::input(error.to_string()))?;
        self.history_text = format!("{}\n{text}", self.history_text);
        write_file(&self.overlay, self.overlay_text.as_bytes())?;
        write_file(&self.history, self.history_text.as_bytes())?;
        Ok(())
    }
}

fn read(path: &Path) -> Result<Option<String>, CliError> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(CliError::input(format_args!(
            "{}: cannot read: {error}",
            path.display()
        ))),
    }
}
