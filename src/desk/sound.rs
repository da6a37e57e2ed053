//! Recordings to listen to. What browsers do not play is decoded once to a WAV of 16 kHz, which is
//! enough for speech; it is kept in the cache.

use super::cache;
use super::error::Refused;
use super::peaks::Peaks;
use super::server::Shared;
use crate::audio::{AudioError, MonoStream, RATE, SpeechStream, plays_in_browsers};
use crate::job::{Job, JobError, KeptRecording, RECORDINGS_FOLDER};
use axum::http::StatusCode;
use hound::{SampleFormat, WavSpec, WavWriter};
use serde::Serialize;
use std::io::{self, BufWriter};
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Endings of transcripts that stand in for a recording.
const TRANSCRIPTS: [&str; 4] = ["txt", "vtt", "srt", "json"];

/// A recording as the page may play it.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Sound {
    id: u32,
    file: String,
    duration_s: f64,
    #[serde(flatten)]
    state: State,
    #[serde(skip)]
    sha256: String,
}

/// Whether it can be played.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "sound", rename_all = "kebab-case")]
enum State {
    /// It is a transcript: there never was any sound.
    Transcript,
    /// The file is not in the job's folder.
    Missing,
    /// It is being looked at, or decoded for the browser.
    Preparing,
    /// It can be played.
    Ready {
        #[serde(skip)]
        path: PathBuf,
        /// True where it was decoded, because browsers do not play its format.
        decoded: bool,
    },
    /// It cannot be read.
    Unreadable { why: String },
}

/// All recordings of the job.
#[derive(Debug)]
pub(crate) struct Sounds(Mutex<Vec<Sound>>);

impl Sounds {
    /// Looks up the job's recordings; nothing is read yet.
    pub(crate) fn of(job: &Job) -> Result<Sounds, JobError> {
        let sound = |kept: KeptRecording| Sound {
            id: kept.recording.id,
            duration_s: kept.recording.duration_s,
            state: first_state(job.dir(), &kept.recording.file),
            file: kept.recording.file,
            sha256: kept.recording.sha256,
        };
        Ok(Sounds(Mutex::new(
            job.recordings()?.into_iter().map(sound).collect(),
        )))
    }

    /// Returns all recordings as they stand.
    pub(crate) fn list(&self) -> Vec<Sound> {
        self.all().clone()
    }

    /// Returns true where none can be played now or later.
    pub(crate) fn silent(&self) -> bool {
        let heard = |sound: &Sound| matches!(sound.state, State::Preparing | State::Ready { .. });
        !self.all().iter().any(heard)
    }

    /// Returns the file to play and its type.
    ///
    /// # Errors
    /// Where there is none, with the reason.
    pub(crate) fn playable(&self, id: u32) -> Result<(PathBuf, &'static str), Refused> {
        let all = self.all();
        let sound = all.iter().find(|sound| sound.id == id);
        let sound = sound.ok_or_else(|| Refused::not_found("there is no such recording"))?;
        match &sound.state {
            State::Ready { path, .. } => Ok((path.clone(), mime(path))),
            State::Preparing => Err(Refused::new(
                StatusCode::SERVICE_UNAVAILABLE,
                "the recording is being prepared for the browser",
            )),
            _ => Err(Refused::not_found("there is no sound to play")),
        }
    }

    fn all(&self) -> MutexGuard<'_, Vec<Sound>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn set(&self, id: u32, state: State) {
        if let Some(sound) = self.all().iter_mut().find(|sound| sound.id == id) {
            sound.state = state;
        }
    }
}

/// A name from the job file is used only where it is a plain name within the folder.
fn kept_file(job: &Path, file: &str) -> Option<PathBuf> {
    let mut parts = Path::new(file).components();
    let plain = matches!(
        (parts.next(), parts.next()),
        (Some(Component::Normal(_)), None)
    );
    plain.then(|| job.join(RECORDINGS_FOLDER).join(file))
}

fn ending(path: &Path) -> String {
    path.extension()
        .map(|ending| ending.to_string_lossy().to_lowercase())
        .unwrap_or_default()
}

fn first_state(job: &Path, file: &str) -> State {
    if TRANSCRIPTS.contains(&&*ending(Path::new(file))) {
        State::Transcript
    } else if kept_file(job, file).is_some_and(|path| path.is_file()) {
        State::Preparing
    } else {
        State::Missing
    }
}

/// The type by the file's ending (RFC 4337, 3003, 9639, 5334; `audio/wav` by usage).
fn mime(path: &Path) -> &'static str {
    match &*ending(path) {
        "m4a" | "mp4" | "m4b" | "3gp" => "audio/mp4",
        "mp3" => "audio/mpeg",
        "wav" => "audio/wav",
        "flac" => "audio/flac",
        "ogg" | "oga" | "opus" => "audio/ogg",
        "aac" => "audio/aac",
        _ => "application/octet-stream",
    }
}

/// Makes every recording ready to be played and drawn, one after the other; runs on a thread of its
/// own, because hours of sound take a minute.
pub(crate) fn prepare(shared: &Shared) {
    let waiting = shared.sounds.list();
    let waiting = waiting
        .iter()
        .filter(|sound| sound.state == State::Preparing);
    for sound in waiting {
        let Some(source) = kept_file(&shared.dir, &sound.file) else {
            continue;
        };
        if let Err(why) = prepare_one(shared, sound, &source) {
            shared.sounds.set(sound.id, State::Unreadable { why });
            shared.outlines.end(sound.id);
        }
    }
}

fn prepare_one(shared: &Shared, sound: &Sound, source: &Path) -> Result<(), String> {
    let cached = |kind: &str, ending: &str| {
        let digest = &sound.sha256[..sound.sha256.len().min(16)];
        cache::path(&shared.dir, &format!("{kind}-{digest}.{ending}")).map_err(told)
    };
    let outline = cached("outline", "bin")?;
    let played = plays_in_browsers(source).map_err(told)?;
    let decoded = cached("sound", "wav")?;
    let ready = |path: &Path, decoded| {
        let path = path.into();
        shared.sounds.set(sound.id, State::Ready { path, decoded });
    };
    if played {
        ready(source, false);
    } else if !decoded.is_file() {
        decode(source, &decoded)?;
    }
    if !played {
        ready(&decoded, true);
    }
    if let Ok(values) = std::fs::read(&outline) {
        shared.outlines.add(sound.id, &values);
        shared.outlines.end(sound.id);
        return Ok(());
    }
    let mut peaks = Peaks::default();
    let mut stream = MonoStream::open(source).map_err(told)?;
    while let Some(block) = stream.next_block().map_err(told)? {
        let values = peaks.push(&block.samples, block.rate);
        shared.outlines.add(sound.id, &values);
    }
    shared.outlines.add(sound.id, peaks.finish().as_slice());
    let values = shared.outlines.end(sound.id);
    cache::write(&outline, &values).map_err(told)
}

fn told(error: impl std::error::Error + 'static) -> String {
    crate::commands::with_causes(&error)
}

/// Decodes a recording into a WAV, piece by piece.
fn decode(source: &Path, target: &Path) -> Result<(), String> {
    let failed = |error: hound::Error| match error {
        hound::Error::IoError(error) => told(error),
        error => told(error),
    };
    let spec = WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut stream = SpeechStream::open(source).map_err(|e: AudioError| told(e))?;
    let mut file = cache::begin(target).map_err(told)?;
    let buffered: BufWriter<&mut std::fs::File> = BufWriter::new(file.as_file_mut());
    let mut writer = WavWriter::new(buffered, spec).map_err(failed)?;
    while let Some(samples) = stream.next_samples().map_err(told)? {
        for sample in samples {
            // `as` saturates.
            let value = (sample * 32_767.0).round() as i16;
            writer.write_sample(value).map_err(failed)?;
        }
    }
    writer.finalize().map_err(failed)?;
    cache::keep(file, target).map_err(|error: io::Error| told(error))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plain_names_lead_to_a_file() {
        for (name, plain) in [
            ("memo.m4a", true),
            ("a b.wav", true),
            ("../job.db", false),
            ("..", false),
            (".", false),
            ("", false),
            ("/etc/hostname", false),
            ("a/b.wav", false),
        ] {
            let path = kept_file(Path::new("job"), name);
            assert_eq!(path.is_some(), plain, "{name}");
        }
    }
}
