//! Opens a container and chooses its track and decoder, or says why it cannot.

use super::codec::{Opened, open_decoder};
use super::error::AudioError;
use super::guard::guarded;
use super::sniff::{Looks, sniff};
use super::source::Source;
use std::path::Path;
use symphonia::core::codecs::CodecParameters;
use symphonia::core::codecs::audio::{AudioCodecParameters, CODEC_ID_NULL_AUDIO};
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, Track, TrackType};
use symphonia::core::io::{MediaSourceStream, MediaSourceStreamOptions};
use symphonia::core::meta::MetadataOptions;

/// Returns the demultiplexer for a file whose first bytes are `head`.
///
/// # Errors
/// [`AudioError::UnsupportedCodec`], [`AudioError::Damaged`] or [`AudioError::NotAudio`].
pub(crate) fn open_reader(
    path: &Path,
    source: Source,
    head: &[u8],
) -> Result<Box<dyn FormatReader>, AudioError> {
    let looks = sniff(head);
    if let Looks::Unsupported(codec) = looks {
        let codec = codec.to_owned();
        return Err(AudioError::UnsupportedCodec {
            path: path.to_owned(),
            codec,
        });
    }
    let stream = MediaSourceStream::new(Box::new(source), MediaSourceStreamOptions::default());
    let probed = guarded(|| {
        symphonia::default::get_probe().probe(
            &Hint::new(),
            stream,
            FormatOptions::default(),
            MetadataOptions::default(),
        )
    });
    let reason = match probed {
        Some(Ok(reader)) => return Ok(reader),
        Some(Err(e)) => e.to_string(),
        None => "its structure is garbled".to_owned(),
    };
    let path = path.to_owned();
    Err(match looks {
        Looks::Known(container) => AudioError::Damaged {
            path,
            container,
            reason,
        },
        Looks::Unsupported(other) | Looks::Other(other) => AudioError::NotAudio {
            path,
            looks_like: other.to_owned(),
        },
    })
}

/// Returns how many audio tracks there are.
pub(crate) fn audio_tracks(tracks: &[Track]) -> usize {
    tracks
        .iter()
        .filter(|t| t.track_type() == Some(TrackType::Audio))
        .count()
}

/// Returns the main audio track, its parameters and a decoder for it.
///
/// # Errors
/// [`AudioError::NoAudioTrack`], [`AudioError::UnsupportedCodec`] or
/// [`AudioError::NothingDecoded`].
pub(crate) fn choose_track(
    path: &Path,
    reader: &dyn FormatReader,
) -> Result<(Track, AudioCodecParameters, Opened), AudioError> {
    let unsupported = |codec: &str| AudioError::UnsupportedCodec {
        path: path.to_owned(),
        codec: codec.to_owned(),
    };
    let Some(track) = reader.default_track(TrackType::Audio) else {
        let unknown = reader
            .tracks()
            .iter()
            .any(|t| t.track_type() != Some(TrackType::Video));
        return Err(if unknown {
            unsupported("one that it names in no known way")
        } else {
            AudioError::NoAudioTrack {
                path: path.to_owned(),
            }
        });
    };
    let Some(CodecParameters::Audio(params)) = &track.codec_params else {
        return Err(AudioError::NoAudioTrack {
            path: path.to_owned(),
        });
    };
    if params.codec == CODEC_ID_NULL_AUDIO {
        return Err(unsupported("one that it names in no known way"));
    }
    match guarded(|| open_decoder(params)) {
        Some(Ok(opened)) => Ok((track.clone(), params.clone(), opened)),
        Some(Err(codec)) => Err(unsupported(&codec)),
        None => Err(AudioError::NothingDecoded {
            path: path.to_owned(),
            reason: "its decoder settings are garbled".to_owned(),
        }),
    }
}
