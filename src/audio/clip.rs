//! Short clips of a recording, to hear the words behind an item: cut out while the recording
//! streams by, and made small enough to send (Opus in Ogg, RFC 6716 and 7845).

use super::error::AudioError;
use super::resample::RATE;
use super::stream::SpeechStream;
use crate::time::Span;
use ogg::writing::{PacketWriteEndInfo, PacketWriter};
use opusic_c::{Application, Bitrate, Channels, Encoder, SampleRate, Signal};
use std::ops::ControlFlow;
use std::path::Path;

/// Media type of the clips that [`opus_clip`] makes.
pub const CLIP_TYPE: &str = "audio/ogg;codecs=opus";

/// Bits a second. RFC 7587, section 3.1.1, names 16,000 to 20,000 for speech of this bandwidth;
/// somewhat more, because rooms without furniture echo.
const BIT_RATE: u32 = 24_000;

/// Samples of a packet: 20 ms, the length that RFC 7587, section 4.2, takes by default.
const FRAME: usize = 320;

/// Opus counts time at 48 kHz whatever the input's rate (RFC 7845, section 4).
const TICKS_PER_SAMPLE: u64 = 48_000 / RATE as u64;

/// Number of the one stream in a clip. Numbers need only differ within a file, so a fixed one
/// gives the same bytes every time.
const STREAM: u32 = 1;

/// Largest packet of 20 ms (RFC 6716, section 3.2.1: 1,275 bytes a frame).
const LARGEST_PACKET: usize = 1_275;

/// Gives out the samples (16 kHz, mono) of each stretch of a recording, by its position in
/// `stretches`, in the order in which they end. Stretches may overlap; those that begin after the
/// end of the recording are left out. Only the stretches that are running are held.
///
/// # Errors
/// As [`SpeechStream`] has it.
pub fn excerpts(
    path: &Path,
    stretches: &[Span],
    mut give: impl FnMut(usize, &[f32]) -> ControlFlow<()>,
) -> Result<(), AudioError> {
    let sample = |ms: u64| ms * u64::from(RATE) / 1000;
    let mut waiting: Vec<(u64, u64, usize)> = stretches
        .iter()
        .enumerate()
        .map(|(position, span)| (sample(span.start.0), sample(span.end.0), position))
        .collect();
    waiting.sort_unstable();
    waiting.reverse();
    let mut running: Vec<(u64, usize, Vec<f32>)> = Vec::new();
    let mut stream = SpeechStream::open(path)?;
    let mut at = 0;
    while !(waiting.is_empty() && running.is_empty()) {
        let Some(block) = stream.next_samples()? else {
            break;
        };
        let next = at + block.len() as u64;
        let inside = |moment: u64| (moment.clamp(at, next) - at) as usize;
        for (end, _, held) in &mut running {
            held.extend(block.get(..inside(*end)).unwrap_or(&[]));
        }
        while let Some((start, end, position)) = waiting.pop_if(|(start, ..)| *start < next) {
            let part = block.get(inside(start)..inside(end)).unwrap_or(&[]);
            running.push((end, position, part.to_vec()));
        }
        at = next;
        let (ended, going): (Vec<_>, Vec<_>) = running.into_iter().partition(|r| r.0 <= at);
        running = going;
        for (_, position, samples) in ended {
            if give(position, &samples).is_break() {
                return Ok(());
            }
        }
    }
    for (_, position, samples) in running {
        if give(position, &samples).is_break() {
            break;
        }
    }
    Ok(())
}

/// Why a clip could not be made.
#[derive(Debug, thiserror::Error)]
#[error("the sound cannot be encoded: {0}")]
pub struct ClipError(String);

/// Returns the samples (16 kHz, mono) as a file of Opus in Ogg that plays for exactly as long.
///
/// # Errors
/// [`ClipError`] where the encoder refuses, which it does for no sound known.
pub fn opus_clip(samples: &[f32]) -> Result<Vec<u8>, ClipError> {
    let refused = |error: opusic_c::ErrorCode| ClipError(error.message().to_string());
    let mut encoder =
        Encoder::new(Channels::Mono, SampleRate::Hz16000, Application::Voip).map_err(refused)?;
    encoder
        .set_bitrate(Bitrate::Value(BIT_RATE))
        .map_err(refused)?;
    encoder.set_signal(Signal::Voice).map_err(refused)?;
    // The encoder's delay: a player drops as much from the start, so as much is added at the end.
    let delay = encoder.get_look_ahead().map_err(refused)? as usize;
    let skipped = delay as u64 * TICKS_PER_SAMPLE;
    let frames = (samples.len() + delay).div_ceil(FRAME).max(1);
    let end = skipped + samples.len() as u64 * TICKS_PER_SAMPLE;

    let mut file = PacketWriter::new(Vec::new());
    let mut put = |packet: Vec<u8>, ends, at| {
        file.write_packet(packet, STREAM, ends, at)
            .map_err(|error| ClipError(error.to_string()))
    };
    put(head(skipped), PacketWriteEndInfo::EndPage, 0)?;
    put(tags(), PacketWriteEndInfo::EndPage, 0)?;
    for frame in 0..frames {
        let start = (frame * FRAME).min(samples.len());
        let part = samples.get(start..(start + FRAME).min(samples.len()));
        let mut block = part.unwrap_or(&[]).to_vec();
        block.resize(FRAME, 0.0);
        let mut packet = vec![0; LARGEST_PACKET];
        let length = encoder
            .encode_float_to_slice(&block, &mut packet)
            .map_err(refused)?;
        packet.truncate(length);
        // The last moment cuts the padding off (RFC 7845, section 4.4).
        let at = ((frame + 1) * FRAME) as u64 * TICKS_PER_SAMPLE;
        match frame + 1 == frames {
            true => put(packet, PacketWriteEndInfo::EndStream, end)?,
            false => put(packet, PacketWriteEndInfo::NormalPacket, at)?,
        }
    }
    Ok(file.into_inner())
}

/// The identification header (RFC 7845, section 5.1).
fn head(skipped: u64) -> Vec<u8> {
    let skipped = u16::try_from(skipped).unwrap_or(u16::MAX);
    let mut head = b"OpusHead".to_vec();
    head.extend([1, 1]);
    head.extend(skipped.to_le_bytes());
    head.extend(RATE.to_le_bytes());
    head.extend([0, 0, 0]);
    head
}

/// The comment header (RFC 7845, section 5.2), with no comments.
fn tags() -> Vec<u8> {
    let vendor = b"callover";
    let mut tags = b"OpusTags".to_vec();
    tags.extend((vendor.len() as u32).to_le_bytes());
    tags.extend(vendor);
    tags.extend(0_u32.to_le_bytes());
    tags
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::write_wav_16k;
    use crate::time::Millis;

    /// A tone of 440 Hz.
    fn tone(samples: usize) -> Vec<f32> {
        let turn = |n: usize| n as f32 * 440.0 * std::f32::consts::TAU / RATE as f32;
        (0..samples).map(|n| 0.5 * turn(n).sin()).collect()
    }

    fn decoded(clip: &[u8]) -> Vec<f32> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("clip.opus");
        std::fs::write(&path, clip).unwrap();
        let mut stream = SpeechStream::open(&path).unwrap();
        let mut all = Vec::new();
        while let Some(samples) = stream.next_samples().unwrap() {
            all.extend(samples);
        }
        all
    }

    /// Returns how alike two sounds are, 1 for the same.
    fn likeness(a: &[f32], b: &[f32]) -> f32 {
        let sum = |x: &[f32], y: &[f32]| x.iter().zip(y).map(|(x, y)| x * y).sum::<f32>();
        sum(a, b) / (sum(a, a) * sum(b, b)).sqrt()
    }

    #[test]
    fn a_clip_sounds_as_before_and_as_long() {
        for length in [100, 320, 16_000, 47_999] {
            let sound = tone(length);
            let clip = opus_clip(&sound).unwrap();
            assert_eq!(clip, opus_clip(&sound).unwrap());
            let heard = decoded(&clip);
            let difference = heard.len().abs_diff(length);
            // Resampling from the decoder's 48 kHz rounds to a few samples.
            assert!(difference <= 8, "{length}: {}", heard.len());
            if length >= 16_000 {
                let likeness = likeness(&sound, &heard);
                // The codec keeps what is heard, not the wave: 0.95 was measured for one second.
                assert!(likeness > 0.9, "{length}: {likeness}");
                assert!(clip.len() < length / 3, "{} bytes", clip.len());
            }
        }
        assert!(!opus_clip(&[]).unwrap().is_empty());
    }

    #[test]
    fn excerpts_are_where_the_spans_say() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("walk.wav");
        // Every sample tells its own second.
        let sound: Vec<f32> = (0..RATE * 10).map(|n| (n / RATE) as f32 / 10.0).collect();
        write_wav_16k(&path, &sound).unwrap();
        let span = |start, end| Span::new(Millis(start), Millis(end));
        let stretches = [
            span(4_000, 6_000),
            span(500, 1_500),
            span(4_500, 5_500),
            span(9_000, 12_000),
            span(20_000, 21_000),
            span(3_000, 3_000),
        ];
        let mut found = vec![None; stretches.len()];
        excerpts(&path, &stretches, |position, samples| {
            let told = |sample: Option<&f32>| sample.map(|s| (s * 10.0).round() as i32);
            found[position] = Some((samples.len(), told(samples.first()), told(samples.last())));
            ControlFlow::Continue(())
        })
        .unwrap();
        assert_eq!(
            found,
            [
                Some((32_000, Some(4), Some(5))),
                Some((16_000, Some(0), Some(1))),
                Some((16_000, Some(4), Some(5))),
                Some((16_000, Some(9), Some(9))),
                None,
                Some((0, None, None)),
            ]
        );
    }
}
