//! Which recordings a browser plays as they are.

use super::error::AudioError;
use super::open::{choose_track, open_reader};
use super::source::Source;
use std::fs::File;
use std::path::Path;
use symphonia::core::codecs::audio::AudioCodecId;
use symphonia::core::codecs::audio::well_known as codec;
use symphonia::core::formats::{FormatId, well_known as format};

/// What the present Chromium, Firefox and Safari all play, by container and codec. From memory,
/// tried in Chromium; what is not here is decoded for the page, which always works.
const PLAYED: [(FormatId, &[AudioCodecId]); 6] = [
    (
        format::FORMAT_ID_WAVE,
        &[
            codec::CODEC_ID_PCM_U8,
            codec::CODEC_ID_PCM_S16LE,
            codec::CODEC_ID_PCM_S24LE,
            codec::CODEC_ID_PCM_F32LE,
        ],
    ),
    (format::FORMAT_ID_MP3, &[codec::CODEC_ID_MP3]),
    (format::FORMAT_ID_ADTS, &[codec::CODEC_ID_AAC]),
    (
        format::FORMAT_ID_ISOMP4,
        &[codec::CODEC_ID_AAC, codec::CODEC_ID_MP3],
    ),
    (format::FORMAT_ID_FLAC, &[codec::CODEC_ID_FLAC]),
    (
        format::FORMAT_ID_OGG,
        &[codec::CODEC_ID_VORBIS, codec::CODEC_ID_OPUS],
    ),
];

/// Returns true where browsers play the file as it is.
///
/// # Errors
/// As [`super::MonoStream::open`].
pub fn plays_in_browsers(path: &Path) -> Result<bool, AudioError> {
    let read = |source| AudioError::Read {
        path: path.to_owned(),
        source,
    };
    let (source, head) = Source::new(File::open(path).map_err(read)?).map_err(read)?;
    let whole = !source.is_unfinished();
    let reader = open_reader(path, source, &head)?;
    let (_, params, _) = choose_track(path, reader.as_ref())?;
    let format = reader.format_info().format;
    // A file whose head is mended while reading is not mended for the browser.
    Ok(whole
        && PLAYED
            .iter()
            .any(|(played, codecs)| *played == format && codecs.contains(&params.codec)))
}
