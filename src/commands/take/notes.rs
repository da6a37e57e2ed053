//! What is said of a recording beside its words: what was lost, left out or not heard.

use super::hear::ONLY_RECORDING;
use super::sources::Source;
use crate::audio::{AudioWarning, Summary};
use crate::commands::error::{CliError, Exit};
use crate::commands::shared;
use crate::items::Unplaced;
use crate::speech::DropReason;
use crate::time::{Millis, Span};

pub(super) fn note(span: Span, quote: &str, why: &str) -> Unplaced {
    Unplaced {
        recording: ONLY_RECORDING,
        span: Some(span),
        quote: quote.to_owned(),
        why: why.to_owned(),
    }
}

/// Returns the warning as a note, so that whoever reads the list knows of it too.
pub(super) fn warning_note(warning: &AudioWarning) -> Unplaced {
    let span = match warning {
        AudioWarning::Corrupt { span } | AudioWarning::Gap { span } => *span,
        AudioWarning::TimeJump { at, .. } | AudioWarning::CutShort { at, .. } => {
            Span::new(*at, *at)
        }
        _ => Span::default(),
    };
    note(span, "", &warning.to_string())
}

pub(super) fn drop_words(reason: DropReason) -> &'static str {
    match reason {
        DropReason::Repetition => "the recogniser repeated itself; the first round counts",
        DropReason::HeardInNoise => "written by the recogniser over noise, taken for nothing said",
        DropReason::PromptEcho => {
            "words given to the recogniser beforehand, taken for nothing said"
        }
        DropReason::NoWords => "speech or noise here gave no words: listen to the recording",
    }
}

pub(super) fn interrupted(source: &Source, at: Millis) -> CliError {
    CliError::input(format_args!(
        "interrupted at {at} of {}; everything heard up to there is kept",
        source.shown()
    ))
    .exit(Exit::Interrupted)
    .hint("run the same command again to go on from there")
}

pub(super) fn say_outcome<'a>(
    source: &Source,
    summary: &Summary,
    wordless: impl Iterator<Item = &'a Unplaced>,
) {
    let shown = source.shown();
    for warning in &summary.warnings {
        shared::say(format_args!("warning: {shown}: {warning}"));
    }
    for note in wordless {
        let at = note.span.map(|span| span.start).unwrap_or_default();
        shared::say(format_args!("warning: {shown}: at {at}: {}", note.why));
    }
    let speech = summary.speech_seconds();
    let skipped = (summary.duration.seconds() - speech).max(0.0);
    if summary.speech.is_empty() {
        shared::say(format_args!(
            "{shown}: no speech found in {:.0} s",
            summary.duration.seconds()
        ));
    } else {
        shared::say(format_args!(
            "{shown}: {speech:.0} s of speech; {skipped:.0} s without speech were skipped"
        ));
    }
}
