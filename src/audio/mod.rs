//! Sound in: from a recorded file to windows of speech at 16 kHz.
//!
//! # Steps
//! 1. [`MonoStream`]: a file becomes mono samples at its own rate, true to time.
//! 2. [`SpeechStream`]: those become 16 kHz samples ([`Resampler`]).
//! 3. [`Windower`]: a [`VoiceDetector`] hears a copy at an even level, its scores become stretches
//!    of speech, and a [`Packer`] fits those into windows with a [`SourceMap`] back.
//!
//! [`windows`] does all three for one file. [`excerpts`] cuts stretches out of a file, and
//! [`opus_clip`] makes them small. Everything streams: nothing holds a whole recording.

mod clip;
mod codec;
mod decode;
mod detect;
mod digest;
mod echo;
mod error;
mod guard;
mod level;
mod open;
mod pack;
mod playable;
mod resample;
mod sniff;
mod source;
mod store;
mod stream;
mod timeline;
mod trail;
mod wav;
mod windows;

pub use clip::{CLIP_TYPE, ClipError, excerpts, opus_clip};
pub use decode::{Block, HIGHEST_RATE, LOWEST_RATE, MonoStream};
pub use detect::{
    DetectSettings, Earshot, FRAME, Frame, LEAST_SILENCE_MS, LEAST_SPEECH_MS, LONGEST_MS,
    MARGIN_MS, SILENCE_BELOW, SPEECH_FROM, VoiceDetector,
};
pub use digest::sha256_of_file;
pub(crate) use echo::hann;
pub use error::{AudioError, AudioWarning};
pub use pack::{
    KEEP_GAP_MS, LEAST_FILL_MS, PackSettings, Packer, Piece, Plan, SHORT_GAP_MS, SourceMap, Stretch,
};
pub use playable::plays_in_browsers;
pub use resample::{RATE, Resampler};
pub(crate) use sniff::{Looks, SNIFF_BYTES, sniff};
pub use stream::SpeechStream;
pub use wav::write_wav_16k;
pub use windows::{Progress, Summary, Window, WindowSettings, Windower, all_windows, windows};
