//! The files given: what each holds, and by what content it is known again.

use super::intake::Failures;
use crate::audio::{SpeechStream, sha256_of_file};
use crate::commands::error::CliError;
use crate::commands::shared;
use crate::speech::Transcript;
use crate::speech::formats::{self, Format};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// One file given, found usable as far as that can be told without listening to it.
#[derive(Debug)]
pub(super) struct Source {
    /// As it was given.
    pub(super) path: PathBuf,
    /// Its name without folders.
    pub(super) name: String,
    /// SHA-256 of its bytes.
    pub(super) sha256: String,
    /// What is in it.
    pub(super) content: Content,
}

/// What a file holds.
#[derive(Debug)]
pub(super) enum Content {
    /// Sound that has yet to be listened to.
    Sound,
    /// Words; its recordings are numbered from 1.
    Transcript(Transcript),
}

impl Source {
    /// Returns true for a recording.
    pub(super) fn is_sound(&self) -> bool {
        matches!(self.content, Content::Sound)
    }

    /// Returns the file as messages name it.
    pub(super) fn shown(&self) -> String {
        self.path.display().to_string()
    }
}

/// Returns the usable files in order; the others are told of. A file given twice counts once.
pub(super) fn look_into(files: &[PathBuf], failures: &mut Failures) -> Vec<Source> {
    let mut seen = BTreeSet::new();
    let mut sources = Vec::new();
    for path in files {
        match source(path) {
            Ok(source) if seen.insert(source.sha256.clone()) => sources.push(source),
            Ok(source) => shared::say(format_args!(
                "{}: has the same content as a file before it; counted once",
                source.shown()
            )),
            Err(error) => failures.add(error),
        }
    }
    sources
}

fn source(path: &Path) -> Result<Source, CliError> {
    let sha256 = sha256_of_file(path)?;
    let name = path
        .file_name()
        .map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy())
        .into_owned();
    let content = match Format::from_file_name(&name) {
        Ok(format) => {
            let bytes = fs::read(path).map_err(|e| {
                CliError::input(format_args!("cannot read {}: {e}", path.display()))
            })?;
            let source = formats::Source {
                file: &name,
                sha256: &sha256,
                recording: 1,
            };
            Content::Transcript(formats::read(source, format, &bytes)?)
        }
        // Every other ending is taken for sound; the bytes decide whether it is.
        Err(_) => {
            SpeechStream::open(path)?;
            Content::Sound
        }
    };
    Ok(Source {
        path: path.to_owned(),
        name,
        sha256,
        content,
    })
}
