//! The user's overlay of lessons and the history of every act on it, as files.

use super::super::error::CliError;
use super::super::shared;
use crate::export::write::write_file;
use crate::learn::{Harm, Judged, Teaching, entries, overlay};
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
    /// What was learnt of the sound of the user's voice; there where something was.
    pub(super) voice: PathBuf,
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
    /// Taken out, as newer jobs speak against it.
    Withdrawn,
    /// Put back after that.
    Restored,
}

/// One act of the history.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Act {
    pub(super) date: String,
    pub(super) did: Did,
    pub(super) lesson: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) why: Option<String>,
    /// The entry that was taken out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) entry: Option<String>,
}

impl Act {
    fn new(date: &str, did: Did, lesson: String) -> Act {
        Act {
            date: date.to_owned(),
            did,
            lesson,
            why: None,
            entry: None,
        }
    }
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
            voice: folder.join(shared::VOICE_FILE),
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

    /// Returns the lessons whose last act is a refusal, or that were taken out.
    pub(super) fn refused(&self) -> Result<BTreeSet<String>, CliError> {
        let mut refused = BTreeSet::new();
        for act in self.acts()? {
            match act.did {
                Did::Refused | Did::Withdrawn => _ = refused.insert(act.lesson),
                Did::Accepted | Did::Undone | Did::Restored => _ = refused.remove(&act.lesson),
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
                why: Some(super::tell::verdict(one)),
                ..Act::new(date, Did::Accepted, one.lesson.teaching.in_words())
            });
        }
        self.keep(acts)
    }

    /// Keeps what was learnt of the voice, in place of what was known of it.
    ///
    /// # Errors
    /// As writing has it.
    pub(super) fn learn_voice(
        &mut self,
        changes: &[u8],
        date: &str,
        why: String,
    ) -> Result<(), CliError> {
        make_folder_of(&self.voice)?;
        write_file(&self.voice, changes)?;
        self.keep(vec![Act {
            why: Some(why),
            ..Act::new(date, Did::Accepted, super::ear::LESSON.to_owned())
        }])
    }

    /// Takes out what was learnt of the voice; returns what was done.
    ///
    /// # Errors
    /// As the disk has it.
    fn forget_voice(&mut self, date: &str) -> Result<String, CliError> {
        std::fs::remove_file(&self.voice)?;
        let lesson = super::ear::LESSON;
        self.keep(vec![Act::new(date, Did::Undone, lesson.to_owned())])?;
        Ok(format!("no longer known: {lesson}"))
    }

    /// Remembers that lessons are not wanted, so that they are not offered again.
    ///
    /// # Errors
    /// As writing has it.
    pub(super) fn refuse(&mut self, lessons: &[String], date: &str) -> Result<(), CliError> {
        let act = |lesson: &String| Act::new(date, Did::Refused, lesson.clone());
        self.keep(lessons.iter().map(act).collect())
    }

    /// Takes lessons that newer jobs speak against out of the overlay, keeping their entries in the history.
    ///
    /// # Errors
    /// As writing has it.
    pub(super) fn withdraw(&mut self, harmful: &[&Harm], date: &str) -> Result<(), CliError> {
        let (head, all) = entries(&self.overlay_text);
        let mut acts = Vec::new();
        let mut text = head;
        for entry in all {
            let speaks = |harm: &&&Harm| entry.teaching.as_ref() == Some(&harm.teaching);
            match harmful.iter().find(speaks) {
                Some(harm) => acts.push(Act {
                    why: Some(super::tell::today(harm)),
                    entry: Some(entry.lines),
                    ..Act::new(date, Did::Withdrawn, harm.teaching.in_words())
                }),
                None => text += &entry.lines,
            }
        }
        self.overlay_text = text;
        self.keep(acts)
    }

    /// Returns the lessons that were taken out and not put back since, each with its entry.
    fn withdrawn(&self) -> Result<Vec<(String, String)>, CliError> {
        let mut out: Vec<(String, String)> = Vec::new();
        for act in self.acts()? {
            out.retain(|(lesson, _)| *lesson != act.lesson);
            out.extend(act.entry.map(|entry| (act.lesson, entry)));
        }
        Ok(out)
    }

    /// Takes the one active lesson with this text in its line of words out of the overlay, or else puts
    /// the one back that was taken out; returns what was done.
    ///
    /// # Errors
    /// Where none or several have it, naming them; otherwise as writing has it.
    pub(super) fn undo(&mut self, text: &str, date: &str) -> Result<String, CliError> {
        if self.voice.exists() && super::ear::LESSON.contains(text) {
            return self.forget_voice(date);
        }
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
        let mut found = named(text, words.iter().map(String::as_str));
        let withdrawn = self.withdrawn()?;
        let back = found.is_empty();
        if back {
            found = named(text, withdrawn.iter().map(|(lesson, _)| lesson.as_str()));
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
                let several = found.iter().map(|&at| match back {
                    true => &*withdrawn[at].0,
                    false => &*words[at],
                });
                return Err(CliError::input(format_args!(
                    "\"{text}\" is in several lessons:\n  {}",
                    several.collect::<Vec<_>>().join("\n  ")
                ))
                .hint("give more of the one that is meant"));
            }
        };
        let (act, told) = if back {
            let (lesson, entry) = withdrawn[at].clone();
            self.overlay_text = format!("{}\n{entry}", self.overlay_text);
            let told = format!("known again: {lesson}");
            (Act::new(date, Did::Restored, lesson), told)
        } else {
            all.remove(at);
            let rest: Vec<String> = all.into_iter().map(|entry| entry.lines).collect();
            self.overlay_text = format!("{head}{}", rest.concat());
            let told = format!("no longer known: {}", words[at]);
            (Act::new(date, Did::Undone, words[at].clone()), told)
        };
        self.keep(vec![act])?;
        Ok(told)
    }

    /// Writes the overlay, then the acts that made it so.
    fn keep(&mut self, acts: Vec<Act>) -> Result<(), CliError> {
        if acts.is_empty() {
            return Ok(());
        }
        for path in [&self.overlay, &self.history] {
            make_folder_of(path)?;
        }
        let acts = Acts { act: acts };
        let text = toml::to_string(&acts).map_err(|error| CliError::input(error.to_string()))?;
        self.history_text = format!("{}\n{text}", self.history_text);
        write_file(&self.overlay, self.overlay_text.as_bytes())?;
        write_file(&self.history, self.history_text.as_bytes())?;
        Ok(())
    }
}

fn make_folder_of(path: &Path) -> std::io::Result<()> {
    path.parent().map_or(Ok(()), std::fs::create_dir_all)
}

/// Returns the places of the lessons with this line of words, or else of those that have the text in it.
fn named<'a>(text: &str, lessons: impl Iterator<Item = &'a str>) -> Vec<usize> {
    let lessons: Vec<(usize, &str)> = lessons.enumerate().collect();
    let of = |fits: &dyn Fn(&str) -> bool| -> Vec<usize> {
        let fit = lessons
            .iter()
            .filter(|(_, words)| !words.is_empty() && fits(words));
        fit.map(|(at, _)| *at).collect()
    };
    let exact = of(&|words| words == text);
    match exact.is_empty() {
        true => of(&|words| words.contains(text)),
        false => exact,
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
