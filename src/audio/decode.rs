//! A sound file as a stream of mono samples at its own rate, in bounded memory and true to time:
//! damaged and missing stretches become silence of the same length, so that every later second
//! is where the recording has it.
//!
//! Known limits of the demultiplexers used:
//! - An MP4's edit list is not followed, so 21 to 48 ms of AAC encoder delay stay at the start.
//! - After a damaged Ogg page the next whole page (a second or less) is placed too early by the
//!   length of what is missing; the one after it is in its place again.

use super::codec::open_decoder;
use super::error::{AudioError, AudioWarning, add_warning};
use super::guard::guarded;
use super::open::{audio_tracks, choose_track, open_reader};
use super::source::Source;
use super::timeline::{Placement, Timeline};
use super::trail::{FRAMING_BYTES, MeanLength, Trail};
use crate::time::{Millis, Span};
use std::fs::File;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use symphonia::core::codecs::audio::well_known::CODEC_ID_MP3;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder};
use symphonia::core::errors::Error as DemuxError;
use symphonia::core::formats::FormatReader;
use symphonia::core::formats::well_known::{FORMAT_ID_ADTS, FORMAT_ID_ISOMP4, FORMAT_ID_MKV};
use symphonia::core::packet::Packet;
use symphonia::core::units::{Duration, TimeBase};

/// Lowest sample rate accepted, in Hz; telephone sound has 8000, half of it is a margin.
pub const LOWEST_RATE: u32 = 4_000;
/// Highest sample rate accepted, in Hz; twice the highest a field recorder offers (192 kHz).
pub const HIGHEST_RATE: u32 = 384_000;

/// Time stamps in MP4 and Matroska may be rounded to milliseconds and jitter by a packet in
/// recordings from phones; a deficit below this is no lost sound. Time is never off by more.
const JITTER_TOLERANCE_MS: u32 = 100;
/// Elsewhere time stamps count samples; this only covers a codec's start-up delay (Opus 6.5 ms).
const EXACT_TOLERANCE_MS: u32 = 10;

/// Errors in a row after which a demultiplexer is given up: more than a few damaged pages or
/// frames in one place, few enough not to spin on a reader that repeats itself.
const MOST_ERRORS_IN_A_ROW: u32 = 64;

/// Sound missing at the end is reported from this length on; shorter, it is encoder padding.
const CUT_SHORT_FROM_S: u64 = 1;

/// Silence is given out in blocks of at most this many seconds, to bound memory.
const SILENCE_BLOCK_S: u64 = 1;

/// A block of mono samples.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Sample rate in Hz; may change within a file that was joined from several.
    pub rate: u32,
    /// Samples, nominally −1 to 1, never NaN or infinite.
    pub samples: Vec<f32>,
}

/// A sound file being decoded.
pub struct MonoStream {
    path: PathBuf,
    reader: Option<Box<dyn FormatReader>>,
    decoder: Box<dyn AudioDecoder>,
    params: AudioCodecParameters,
    track_id: u32,
    time_base: Option<TimeBase>,
    /// Frames the head announces, where that can be trusted.
    announced: Option<u64>,
    /// The file is known to end before its sound does.
    cut_short: bool,
    timeline: Option<Timeline>,
    tolerance_ms: u32,
    trail: Option<Trail>,
    packet_length: MeanLength,
    packet_frames: u64,
    /// Bytes in no packet since the last good one, and those that frame a packet.
    lost_bytes: u64,
    framing_bytes: u64,
    /// Encoder padding that may still be trimmed off the end, in frames (MP3 only).
    padding_left: Option<u64>,
    rate: u32,
    /// Frames given out at `rate` since it last changed, and the time before that.
    frames: u64,
    earlier_ms: u64,
    silence_due: u64,
    held: Option<Vec<f32>>,
    packets: u64,
    decoded: u64,
    errors_in_a_row: u32,
    interleaved: Vec<f32>,
    total: Option<Millis>,
    warnings: Vec<AudioWarning>,
}

impl MonoStream {
    /// Opens a sound file of any supported kind, whatever its name ends in.
    ///
    /// # Errors
    /// [`AudioError`] in all its kinds but those that only show while reading.
    pub fn open(path: &Path) -> Result<Self, AudioError> {
        let read = |source| AudioError::Read {
            path: path.to_owned(),
            source,
        };
        let meta = std::fs::metadata(path).map_err(read)?;
        if meta.is_dir() {
            return Err(read(std::io::Error::from(ErrorKind::IsADirectory)));
        }
        if meta.len() == 0 {
            return Err(AudioError::Empty {
                path: path.to_owned(),
            });
        }
        let (source, head) = Source::new(File::open(path).map_err(read)?).map_err(read)?;
        let (unfinished, cut_short) = (source.is_unfinished(), source.is_cut_short());
        let reader = open_reader(path, source, &head)?;

        let mut warnings = Vec::new();
        if unfinished {
            warnings.push(AudioWarning::Unfinished);
        }
        let tracks = audio_tracks(reader.tracks());
        if tracks > 1 {
            warnings.push(AudioWarning::SeveralTracks { count: tracks });
        }
        let (track, params, opened) = choose_track(path, reader.as_ref())?;
        if opened.core_band_only {
            warnings.push(AudioWarning::CoreBandOnly);
        }

        let format = reader.format_info().format;
        let without_stamps = params.codec == CODEC_ID_MP3 || format == FORMAT_ID_ADTS;
        let native_mp3 = params.codec == CODEC_ID_MP3 && format != FORMAT_ID_ISOMP4;
        let jitters = format == FORMAT_ID_ISOMP4 || format == FORMAT_ID_MKV;
        // The MP3 reader guesses a length from the bit rate where no Xing head gives one; the
        // LAME part of that head, which also gives the padding, tells the two apart.
        let announced = if native_mp3 && track.delay.is_none() {
            None
        } else {
            track.num_frames
        };
        let total = track
            .time_base
            .zip(track.duration)
            .and_then(|(base, duration)| {
                Some(Millis::from_seconds(
                    base.calc_duration(duration)?.as_secs_f64(),
                ))
            });
        Ok(MonoStream {
            path: path.to_owned(),
            decoder: opened.decoder,
            params,
            track_id: track.id,
            time_base: track.time_base,
            announced,
            cut_short,
            timeline: None,
            tolerance_ms: if jitters {
                JITTER_TOLERANCE_MS
            } else {
                EXACT_TOLERANCE_MS
            },
            trail: if without_stamps && !jitters {
                Trail::open(path).ok()
            } else {
                None
            },
            packet_length: MeanLength::default(),
            packet_frames: 0,
            lost_bytes: 0,
            framing_bytes: 0,
            padding_left: native_mp3.then(|| u64::from(track.padding.unwrap_or(0))),
            rate: 0,
            frames: 0,
            earlier_ms: 0,
            silence_due: 0,
            held: None,
            packets: 0,
            decoded: 0,
            errors_in_a_row: 0,
            interleaved: Vec::new(),
            total,
            warnings,
            reader: Some(reader),
        })
    }

    /// Returns the length the file announces; `None` where it states none.
    pub fn announced_length(&self) -> Option<Millis> {
        self.total
    }

    /// Returns what was worth telling so far.
    pub fn warnings(&self) -> &[AudioWarning] {
        &self.warnings
    }

    /// Returns the next block, or `None` at the end.
    ///
    /// # Errors
    /// [`AudioError::NothingDecoded`], [`AudioError::ZeroLength`] or
    /// [`AudioError::UnsupportedRate`], where the file ends or fails without any sound.
    pub fn next_block(&mut self) -> Result<Option<Block>, AudioError> {
        loop {
            if self.silence_due > 0 {
                let frames = self.silence_due.min(u64::from(self.rate) * SILENCE_BLOCK_S);
                self.silence_due -= frames;
                return Ok(Some(self.give_out(vec![0.0; frames as usize])));
            }
            if let Some(samples) = self.held.take() {
                if samples.is_empty() {
                    continue;
                }
                return Ok(Some(self.give_out(samples)));
            }
            let Some(packet) = self.next_packet() else {
                return self.end();
            };
            self.decode_packet(packet)?;
        }
    }

    fn give_out(&mut self, samples: Vec<f32>) -> Block {
        self.frames += samples.len() as u64;
        Block {
            rate: self.rate,
            samples,
        }
    }

    /// Returns the moment `frames` after everything given out.
    fn moment(&self, frames: u64) -> Millis {
        let at = (self.frames + frames) as f64 / f64::from(self.rate.max(1));
        Millis::from_seconds(at).later(self.earlier_ms)
    }

    /// Returns the next packet of the chosen track; `None` at the end, after which the reader is
    /// gone.
    fn next_packet(&mut self) -> Option<Packet> {
        loop {
            let reader = self.reader.as_mut()?;
            let result = guarded(|| reader.next_packet());
            match result {
                Some(Ok(Some(packet))) if packet.track_id == self.track_id => {
                    self.errors_in_a_row = 0;
                    return Some(packet);
                }
                Some(Ok(Some(_))) => {}
                Some(Ok(None)) => {
                    self.reader = None;
                }
                Some(Err(DemuxError::ResetRequired)) => self.follow_chain(),
                Some(Err(DemuxError::IoError(e))) if e.kind() != ErrorKind::Interrupted => {
                    // Readers report the end of the file in the middle of something this way.
                    let at = self.moment(0);
                    self.reader = None;
                    if e.kind() != ErrorKind::UnexpectedEof || !self.ends_as_announced() {
                        let announced = self.total;
                        self.warnings.push(AudioWarning::CutShort { at, announced });
                    }
                }
                Some(Err(_)) => {
                    self.errors_in_a_row += 1;
                    if self.errors_in_a_row > MOST_ERRORS_IN_A_ROW {
                        self.stop_reading();
                    }
                }
                None => self.stop_reading(),
            }
        }
    }

    /// Gives up on a reader that fails or panicked.
    fn stop_reading(&mut self) {
        let at = self.moment(0);
        self.reader = None;
        self.warnings.push(AudioWarning::CutShort {
            at,
            announced: None,
        });
    }

    /// Goes on with the next stream of a file joined from several (chained Ogg).
    fn follow_chain(&mut self) {
        let Some(reader) = self.reader.as_ref() else {
            return;
        };
        match choose_track(&self.path, reader.as_ref()) {
            Ok((track, params, opened)) => {
                self.decoder = opened.decoder;
                self.params = params;
                self.track_id = track.id;
                self.time_base = track.time_base;
                self.announced = None;
                self.total = None;
                self.timeline = None;
            }
            Err(_) => self.stop_reading(),
        }
    }

    fn decode_packet(&mut self, mut packet: Packet) -> Result<(), AudioError> {
        self.packets += 1;
        let before = self
            .trail
            .as_mut()
            .map_or(0, |trail| trail.bytes_before(&packet.data));
        if before > FRAMING_BYTES {
            self.lost_bytes += before - self.framing_bytes;
        } else if before > 0 {
            self.framing_bytes = before;
        }
        self.limit_trim(&mut packet);

        self.interleaved.clear();
        let (decoder, interleaved) = (&mut self.decoder, &mut self.interleaved);
        let decoded = guarded(|| {
            decoder.decode(&packet).ok().map(|buffer| {
                buffer.copy_to_vec_interleaved(interleaved);
                (buffer.spec().rate(), buffer.spec().channels().count())
            })
        });
        match decoded {
            Some(Some((rate, channels))) if channels > 0 => {
                if !(LOWEST_RATE..=HIGHEST_RATE).contains(&rate) {
                    return Err(AudioError::UnsupportedRate {
                        path: self.path.clone(),
                        rate,
                    });
                }
                let samples = downmix(&self.interleaved, channels);
                self.set_rate(rate);
                self.packet_length
                    .add(packet.data.len() + self.framing_bytes as usize);
                self.packet_frames = self.packet_frames.max(samples.len() as u64);
                self.fill_lost_bytes();
                self.place(&packet);
                self.decoded += samples.len() as u64;
                self.count(samples.len() as u64);
                self.held = Some(samples);
            }
            Some(_) => self.replace_corrupt(&packet),
            None => {
                // The decoder's state cannot be trusted after a panic.
                self.replace_corrupt(&packet);
                match open_decoder(&self.params) {
                    Ok(opened) => self.decoder = opened.decoder,
                    Err(_) => self.stop_reading(),
                }
            }
        }
        Ok(())
    }

    /// Lets the decoder trim no more than the encoder's padding off the end of an MP3. The reader
    /// trims everything after the announced length, which is a guess without a Xing head, and
    /// wrong in files joined from several.
    fn limit_trim(&mut self, packet: &mut Packet) {
        if let Some(left) = self.padding_left.as_mut() {
            let trim = packet.trim_end.get();
            if trim > *left {
                packet.trim_end = Duration::ZERO;
            } else {
                *left -= trim;
            }
        }
    }

    fn set_rate(&mut self, rate: u32) {
        if self.rate != rate {
            self.earlier_ms = self.moment(0).0;
            self.rate = rate;
            self.frames = 0;
            self.timeline = None;
        }
        if self.timeline.is_none() {
            let (numerator, denominator) = self
                .time_base
                .map_or((1, rate), |base| (base.numer.get(), base.denom.get()));
            self.timeline = Some(Timeline::new(
                numerator,
                denominator,
                rate,
                self.tolerance_ms,
            ));
        }
    }

    fn count(&mut self, frames: u64) {
        if let Some(timeline) = self.timeline.as_mut() {
            timeline.wrote(frames);
        }
    }

    /// Adds silence where the packet's time stamp says that sound is missing before it.
    fn place(&mut self, packet: &Packet) {
        if self.trail.is_some() {
            return; // no time stamps of its own
        }
        let start = packet
            .pts
            .get()
            .saturating_add_unsigned(packet.trim_start.get());
        let placement = match self.timeline.as_mut() {
            Some(timeline) => timeline.place(start),
            None => return,
        };
        match placement {
            Placement::Follows => {}
            Placement::Gap(frames) => {
                let from = self.silence_due;
                let span = Span::new(self.moment(from), self.moment(from + frames));
                add_warning(&mut self.warnings, AudioWarning::Gap { span });
                self.count(frames);
                self.silence_due += frames;
            }
            Placement::Jump(frames) => {
                let milliseconds = frames * 1000 / u64::from(self.rate.max(1));
                let at = self.moment(0);
                self.warnings
                    .push(AudioWarning::TimeJump { at, milliseconds });
            }
        }
    }

    /// Puts silence in the place of a packet that does not decode.
    fn replace_corrupt(&mut self, packet: &Packet) {
        if self.trail.is_some() {
            // Its length follows from its bytes, with those skipped around it.
            self.lost_bytes += packet.data.len() as u64 + self.framing_bytes;
            return;
        }
        if self.timeline.is_none() {
            let rate = self.decoder.codec_params().sample_rate.unwrap_or(0);
            if !(LOWEST_RATE..=HIGHEST_RATE).contains(&rate) {
                return;
            }
            self.set_rate(rate);
        }
        self.place(packet);
        let frames = self
            .timeline
            .as_ref()
            .map_or(0, |t| t.frames(packet.dur.get()));
        // A garbled duration must not become hours of silence.
        let frames = frames.min(u64::from(self.rate) * SILENCE_BLOCK_S);
        self.report_corrupt(frames);
        self.count(frames);
        self.silence_due += frames;
    }

    /// Puts silence in the place of bytes that gave no packet.
    fn fill_lost_bytes(&mut self) {
        let packets = self
            .packet_length
            .packets_in(std::mem::take(&mut self.lost_bytes));
        let frames = packets * self.packet_frames;
        if frames > 0 {
            self.report_corrupt(frames);
            self.count(frames);
            self.silence_due += frames;
        }
    }

    fn report_corrupt(&mut self, frames: u64) {
        let from = self.silence_due;
        let span = Span::new(self.moment(from), self.moment(from + frames));
        add_warning(&mut self.warnings, AudioWarning::Corrupt { span });
    }

    fn ends_as_announced(&self) -> bool {
        let missing = self
            .announced
            .map_or(0, |all| all.saturating_sub(self.frames));
        missing < u64::from(self.rate.max(1)) * CUT_SHORT_FROM_S
    }

    /// Says how the stream ended.
    fn end(&mut self) -> Result<Option<Block>, AudioError> {
        if self.lost_bytes > 0 && self.decoded > 0 {
            // The last packets were damaged.
            self.fill_lost_bytes();
            if self.silence_due > 0 {
                let frames = std::mem::take(&mut self.silence_due);
                return Ok(Some(self.give_out(vec![0.0; frames as usize])));
            }
        }
        if self.decoded == 0 {
            let path = self.path.clone();
            let cut = self
                .warnings
                .iter()
                .any(|w| matches!(w, AudioWarning::CutShort { .. }));
            return Err(if self.packets > 0 {
                let reason = format!("{} packets, all of them unreadable", self.packets);
                AudioError::NothingDecoded { path, reason }
            } else if cut || self.announced.is_some_and(|frames| frames > 0) {
                AudioError::NothingDecoded {
                    path,
                    reason: "no sound after its head".to_owned(),
                }
            } else {
                AudioError::ZeroLength { path }
            });
        }
        let already = self
            .warnings
            .iter()
            .any(|w| matches!(w, AudioWarning::CutShort { .. }));
        if !already && (self.cut_short || !self.ends_as_announced()) {
            let at = self.moment(0);
            // The total of a file with a mended length is that length.
            let announced = if self.cut_short { None } else { self.total };
            self.warnings.push(AudioWarning::CutShort { at, announced });
        }
        Ok(None)
    }
}

/// Returns the mean of the channels, frame by frame; what is not a number becomes 0.
fn downmix(interleaved: &[f32], channels: usize) -> Vec<f32> {
    let scale = 1.0 / channels as f32;
    interleaved
        .chunks_exact(channels)
        .map(|frame| {
            let mean = frame.iter().sum::<f32>() * scale;
            if mean.is_finite() { mean } else { 0.0 }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn channels_are_averaged_and_nonsense_is_silenced() {
        assert_eq!(
            downmix(&[1.0, 0.0, -0.5, 0.5, f32::NAN, 1.0], 2),
            [0.5, 0.0, 0.0]
        );
        assert_eq!(downmix(&[0.25, f32::INFINITY], 1), [0.25, 0.0]);
    }
}
