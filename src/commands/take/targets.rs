//! Where what was heard is written as a transcript.

use crate::commands::error::CliError;
use crate::commands::shared;
use crate::export::write::{check_file, write_file};
use crate::speech::Transcript;
use crate::speech::formats::{self, Format};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// One transcript to write.
#[derive(Debug)]
pub(super) struct TranscriptTarget {
    path: PathBuf,
    format: Format,
}

/// Returns the transcripts to write, after checking ending and folder of each, and that none is
/// also one of the `others`.
///
/// # Errors
/// Every problem, one a line.
pub(super) fn prepare(
    paths: &[PathBuf],
    others: &[PathBuf],
) -> Result<Vec<TranscriptTarget>, CliError> {
    let mut seen: BTreeSet<&Path> = others.iter().map(PathBuf::as_path).collect();
    let (mut targets, mut problems) = (Vec::new(), Vec::new());
    for path in paths {
        let format = Format::from_file_name(&path.to_string_lossy());
        match (format, check_file(path)) {
            (Err(error), _) => problems.push(error.to_string()),
            (_, Err(error)) => problems.push(error.to_string()),
            _ if !seen.insert(path) => {
                problems.push(format!(
                    "{}: asked for twice; name each file once",
                    path.display()
                ));
            }
            (Ok(format), Ok(())) => targets.push(TranscriptTarget {
                path: path.clone(),
                format,
            }),
        }
    }
    if problems.is_empty() {
        Ok(targets)
    } else {
        Err(CliError::input(problems.join("\n")))
    }
}

/// Writes the transcripts. JSON holds all recordings; the other formats hold one, so that several
/// recordings become several files, `walk-1.vtt`, `walk-2.vtt`, ….
///
/// # Errors
/// Where a format cannot say what was heard, or a file cannot be written.
pub(super) fn write(targets: &[TranscriptTarget], transcript: &Transcript) -> Result<(), CliError> {
    for TranscriptTarget { path, format } in targets {
        if *format == Format::Json {
            put(path, &formats::write_json(transcript)?)?;
            continue;
        }
        for recording in &transcript.recordings {
            let path = match transcript.recordings.len() {
                1 => path.clone(),
                _ => shared::numbered(path, recording.id),
            };
            let text = formats::write(transcript, recording.id, *format).map_err(|error| {
                CliError::from(error)
                    .hint("a .txt or .json transcript can be written without times")
            })?;
            put(&path, &text)?;
        }
    }
    Ok(())
}

fn put(path: &Path, text: &str) -> Result<(), CliError> {
    write_file(path, text.as_bytes())?;
    shared::say(format_args!("wrote {}", path.display()));
    Ok(())
}
