//! Sound in: from a recorded file to windows of speech at 16 kHz.

mod codec;
mod decode;
mod error;
mod guard;
mod resample;
mod sniff;
mod source;
mod stream;
mod timeline;
mod trail;

pub use decode::{Block, HIGHEST_RATE, LOWEST_RATE, MonoStream};
pub use error::{AudioError, AudioWarning};
pub use resample::{RATE, Resampler};
pub use stream::SpeechStream;
