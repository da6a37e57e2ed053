//! The words behind items as short clips, for a page that can be listened to.

use super::shared;
use crate::audio::{CLIP_TYPE, ClipError, excerpts, opus_clip};
use crate::commands::error::CliError;
use crate::export::{Clip, Document, Options};
use crate::items::Item;
use crate::job::{Job, RECORDINGS_FOLDER};
use crate::speech::formats;
use crate::time::Span;
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// What is heard before the first word and after the last, in milliseconds: half a second, so that
/// neither is cut off where the recogniser's times are late or early.
const AROUND_MS: u64 = 500;

/// Longest clip in milliseconds. An item's words take 5 to 10 seconds; where they take longer, the
/// beginning tells enough, and the page stays small enough to send.
const LONGEST_MS: u64 = 20_000;

/// Returns a clip for each item that the options show and whose recording is in the job, by item
/// number. Says how many there are and how large they are together, and which items have none.
///
/// # Errors
/// [`ClipError`]; a recording that cannot be read is told, and its items have no clips.
pub(super) fn clips(
    job: &Job,
    document: &Document,
    options: &Options,
) -> Result<BTreeMap<u32, Clip>, CliError> {
    let outstanding = options.outstanding.then(|| document.outstanding());
    let shown = outstanding.as_ref().unwrap_or(document);
    let items = shown.by_number(options.include_rejected.unwrap_or(false));
    let mut clips = BTreeMap::new();
    for recording in &document.recordings {
        let said: Vec<(&Item, Span)> = items
            .iter()
            .filter(|item| item.evidence.recording == recording.id)
            .filter_map(|item| Some((*item, stretch(item.evidence.span?))))
            .collect();
        if said.is_empty() {
            continue;
        }
        if let Err(why) = cut(job, &recording.file, &said, &mut clips)? {
            shared::say(format_args!(
                "note: no sound from {}: {why}",
                recording.file
            ));
        }
    }
    let bytes: usize = clips.values().map(|clip: &Clip| clip.bytes.len()).sum();
    shared::say(format_args!(
        "sound: {} of {} items have a clip, {:.1} MB in the page",
        clips.len(),
        items.len(),
        // In the page every three bytes become four characters.
        bytes as f64 * 4.0 / 3.0 / 1e6
    ));
    Ok(clips)
}

/// Returns the stretch to hear around the words.
fn stretch(words: Span) -> Span {
    let start = words.start.earlier(AROUND_MS);
    Span::new(
        start,
        words.end.later(AROUND_MS).min(start.later(LONGEST_MS)),
    )
}

/// Adds the clips of one recording; the inner error is the reason why there are none, or no more.
fn cut(
    job: &Job,
    file: &str,
    said: &[(&Item, Span)],
    clips: &mut BTreeMap<u32, Clip>,
) -> Result<Result<(), String>, ClipError> {
    if formats::Format::from_file_name(file).is_ok() {
        return Ok(Err("it is a transcript".into()));
    }
    let path = job.dir().join(RECORDINGS_FOLDER).join(file);
    let stretches: Vec<Span> = said.iter().map(|(_, stretch)| *stretch).collect();
    let mut failed = None;
    let read = excerpts(&path, &stretches, |position, samples| {
        match opus_clip(samples) {
            Ok(bytes) => {
                if let Some((item, _)) = said.get(position) {
                    let media_type = CLIP_TYPE;
                    clips.insert(item.number, Clip { media_type, bytes });
                }
                ControlFlow::Continue(())
            }
            Err(error) => {
                failed = Some(error);
                ControlFlow::Break(())
            }
        }
    });
    match failed {
        Some(error) => Err(error),
        None => Ok(read.map_err(|error| error.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::Millis;

    #[test]
    fn a_clip_begins_before_the_words_and_is_not_long() {
        for ((start, end), (from, to)) in [
            ((10_000, 14_000), (9_500, 14_500)),
            ((200, 1_000), (0, 1_500)),
            ((10_000, 90_000), (9_500, 29_500)),
        ] {
            let stretch = stretch(Span::new(Millis(start), Millis(end)));
            assert_eq!(stretch, Span::new(Millis(from), Millis(to)));
        }
    }
}
