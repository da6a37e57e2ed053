//! What can go wrong with a sound file, and what is worth telling although it went on.

use crate::time::{Millis, Span};
use std::fmt;
use std::path::PathBuf;

/// Why a file gave no sound at all.
#[derive(Debug, thiserror::Error)]
pub enum AudioError {
    /// The file is missing, a folder, or not readable.
    #[error("cannot read {}: {source}; check the name and that you may read the file", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file has no bytes.
    #[error("{} is empty (0 bytes); copy it from the recorder again", path.display())]
    Empty {
        /// The file.
        path: PathBuf,
    },
    /// The bytes are not sound in any known form.
    #[error(
        "{} is not a sound file this program knows: it looks like {looks_like}; \
         expected WAV, M4A, MP3, FLAC, Ogg, Opus, AIFF or CAF",
        path.display()
    )]
    NotAudio {
        /// The file.
        path: PathBuf,
        /// What its first bytes look like.
        looks_like: String,
    },
    /// The container is known, but its head or index cannot be read.
    #[error(
        "{} looks like {container}, but its head or index cannot be read ({reason}); \
         the file is damaged or cut short: copy it from the recorder again",
        path.display()
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// Name of the container.
        container: &'static str,
        /// What the reader said.
        reason: String,
    },
    /// A readable container without sound in it.
    #[error("{} holds no audio track; expected a recording", path.display())]
    NoAudioTrack {
        /// The file.
        path: PathBuf,
    },
    /// Sound in a form that no decoder here understands.
    #[error("{} uses an unsupported codec, {codec}; convert it to WAV, FLAC or M4A (AAC-LC) first", path.display())]
    UnsupportedCodec {
        /// The file.
        path: PathBuf,
        /// Name of the codec.
        codec: String,
    },
    /// A sample rate outside what recorders use; most likely a damaged head.
    #[error(
        "{} states a sample rate of {rate} Hz; expected {} to {} Hz",
        path.display(), crate::audio::LOWEST_RATE, crate::audio::HIGHEST_RATE
    )]
    UnsupportedRate {
        /// The file.
        path: PathBuf,
        /// The rate it states, in Hz.
        rate: u32,
    },
    /// The head is fine but nothing after it decodes.
    #[error(
        "nothing in {} could be decoded ({reason}); the file is damaged or cut short: \
         copy it from the recorder again",
        path.display()
    )]
    NothingDecoded {
        /// The file.
        path: PathBuf,
        /// What happened.
        reason: String,
    },
    /// A sound file with a length of zero.
    #[error("{} holds no sound: its length is zero; was the recording stopped at once?", path.display())]
    ZeroLength {
        /// The file.
        path: PathBuf,
    },
    /// A file could not be written.
    #[error("cannot write {}: {reason}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        reason: String,
    },
}

/// Something the user should know about a file that was read all the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AudioWarning {
    /// This stretch could not be decoded; silence of the same length stands in for it.
    Corrupt {
        /// Where, in the recording's time.
        span: Span,
    },
    /// This stretch is missing from the file; silence of the same length stands in for it.
    Gap {
        /// Where, in the recording's time.
        span: Span,
    },
    /// A time stamp jumps further than a recording's pause could; time goes on without the jump.
    TimeJump {
        /// Where, in the recording's time.
        at: Millis,
        /// How far it jumps.
        milliseconds: u64,
    },
    /// The file ends before the length its head announces.
    CutShort {
        /// Where the sound ends.
        at: Millis,
        /// The length announced, where the file states one.
        announced: Option<Millis>,
    },
    /// The head lacks the length of the sound (the recorder did not finish); all was read.
    Unfinished,
    /// Several audio tracks; only one was read.
    SeveralTracks {
        /// How many there are.
        count: usize,
    },
    /// HE-AAC: only the low half of its band was decoded, ample for speech at 16 kHz.
    CoreBandOnly,
}

impl fmt::Display for AudioWarning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seconds = |ms: u64| ms as f64 / 1000.0;
        match self {
            AudioWarning::Corrupt { span } => write!(
                f,
                "damaged sound at {} ({:.2} s), replaced by silence; listen there and add by hand what is missing",
                span.start,
                seconds(span.length())
            ),
            AudioWarning::Gap { span } => write!(
                f,
                "{:.2} s of sound missing at {}, replaced by silence; add by hand what is missing",
                seconds(span.length()),
                span.start
            ),
            AudioWarning::TimeJump { at, milliseconds } => write!(
                f,
                "the file's clock jumps by {:.0} s at {at}, which was ignored; check the times after it",
                seconds(*milliseconds)
            ),
            AudioWarning::CutShort { at, announced: Some(announced) } => write!(
                f,
                "the file ends at {at} but announces {announced}; copy it from the recorder again if the rest matters"
            ),
            AudioWarning::CutShort { at, announced: None } => write!(
                f,
                "the file is cut short at {at}; copy it from the recorder again if the rest matters"
            ),
            AudioWarning::Unfinished => write!(
                f,
                "the recorder did not finish the file; everything up to its last byte was read"
            ),
            AudioWarning::SeveralTracks { count } => write!(
                f,
                "the file has {count} audio tracks; only its main one was read"
            ),
            AudioWarning::CoreBandOnly => write!(
                f,
                "HE-AAC sound: its upper band was left out, which speech recognition does not need"
            ),
        }
    }
}

/// Appends `warning`, joining it to the last one where both report the same kind of loss less
/// than [`JOIN_WITHIN_MS`] apart, so that a damaged second is one line and not forty.
pub(crate) fn add_warning(warnings: &mut Vec<AudioWarning>, warning: AudioWarning) {
    let joined = match (warnings.last(), &warning) {
        (Some(AudioWarning::Corrupt { span: a }), AudioWarning::Corrupt { span: b })
            if b.start.0 <= a.end.later(JOIN_WITHIN_MS).0 =>
        {
            Some(AudioWarning::Corrupt { span: a.cover(*b) })
        }
        (Some(AudioWarning::Gap { span: a }), AudioWarning::Gap { span: b })
            if b.start.0 <= a.end.later(JOIN_WITHIN_MS).0 =>
        {
            Some(AudioWarning::Gap { span: a.cover(*b) })
        }
        _ => None,
    };
    match joined {
        Some(joined) => {
            warnings.pop();
            warnings.push(joined);
        }
        None => warnings.push(warning),
    }
}

/// Losses closer than this are reported as one: a listener checks them in one go.
const JOIN_WITHIN_MS: u64 = 1000;

#[cfg(test)]
mod tests {
    use super::*;

    fn corrupt(start: u64, end: u64) -> AudioWarning {
        AudioWarning::Corrupt { span: Span::new(Millis(start), Millis(end)) }
    }

    #[test]
    fn losses_close_together_become_one_warning() {
        let mut warnings = Vec::new();
        for (start, end) in [(1000, 1020), (1040, 1060), (9000, 9020)] {
            add_warning(&mut warnings, corrupt(start, end));
        }
        assert_eq!(warnings, [corrupt(1000, 1060), corrupt(9000, 9020)]);
    }

    #[test]
    fn warnings_name_the_second_and_what_to_do() {
        let text = corrupt(61_000, 61_250).to_string();
        insta::assert_snapshot!(text, @"damaged sound at 1:01 (0.25 s), replaced by silence; listen there and add by hand what is missing");
    }
}
