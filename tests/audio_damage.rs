//! Damaged, unfinished and wrong files: time stays true, every loss is named, nothing panics.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of tests; clippy allows it in test functions only"
)]

#[path = "../src/not_run.rs"]
mod not_run;

use callover::audio::{AudioError, AudioWarning, MonoStream, RATE, SpeechStream};
use not_run::not_run;
use std::path::Path;
use std::process::{Command, Stdio};

fn have_ffmpeg() -> bool {
    let found = Command::new("ffmpeg")
        .arg("-version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    if !found {
        not_run::<()>("ffmpeg");
    }
    found
}

/// Ten seconds of a sound that never repeats, as 16-bit WAV at 44.1 kHz.
fn write_sound(path: &Path, seconds: u32) {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 44_100,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(path, spec).unwrap();
    for n in 0..seconds * 44_100 {
        let t = f64::from(n) / 44_100.0;
        let tone = (std::f64::consts::TAU * (300.0 * t + 70.0 * t * t)).sin();
        let beat = 0.6 + 0.4 * (std::f64::consts::TAU * 0.7 * t).cos();
        writer
            .write_sample((tone * beat * 16_000.0) as i16)
            .unwrap();
    }
    writer.finalize().unwrap();
}

fn encode(wav: &Path, out: &Path, arguments: &[&str]) {
    let status = Command::new("ffmpeg")
        .args(["-nostdin", "-v", "error", "-y", "-i"])
        .arg(wav)
        .args(arguments)
        .arg(out)
        .status()
        .unwrap();
    assert!(status.success(), "{}", out.display());
}

fn decode(path: &Path) -> Result<(Vec<f32>, Vec<AudioWarning>), AudioError> {
    let mut stream = SpeechStream::open(path)?;
    let mut all = Vec::new();
    while let Some(samples) = stream.next_samples()? {
        all.extend(samples);
    }
    Ok((all, stream.warnings().to_vec()))
}

/// Small deterministic random numbers (the constants of Numerical Recipes' generator).
struct Random(u32);

impl Random {
    fn next(&mut self) -> usize {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (self.0 >> 8) as usize
    }
}

fn root_mean_square(a: &[f32], b: &[f32]) -> f64 {
    let sum: f64 = a.iter().zip(b).map(|(x, y)| f64::from(x - y).powi(2)).sum();
    (sum / a.len().min(b.len()).max(1) as f64).sqrt()
}

#[test]
fn damage_in_the_middle_shifts_nothing_and_is_named() {
    if !have_ffmpeg() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let wav = folder.path().join("in.wav");
    write_sound(&wav, 10);
    // File, encoder arguments, bytes destroyed, packet length in samples at 16 kHz, and by how much
    // the rest may be off: nothing where packets carry time stamps or are equally long, one packet
    // where the number of packets lost must be guessed from their mean length.
    let cases: [(&str, &[&str], usize, usize, usize); 6] = [
        (
            "cbr.mp3",
            &["-c:a", "libmp3lame", "-b:a", "64k"],
            2_500,
            418,
            0,
        ),
        (
            "vbr.mp3",
            &["-c:a", "libmp3lame", "-q:a", "5"],
            2_500,
            418,
            418,
        ),
        ("a.m4a", &["-c:a", "aac", "-b:a", "64k"], 2_500, 372, 0),
        ("a.flac", &["-c:a", "flac"], 20_000, 1_672, 0),
        (
            "a.aac",
            &["-c:a", "aac", "-b:a", "64k", "-f", "adts"],
            2_500,
            372,
            372,
        ),
        (
            "a.ogg",
            &["-c:a", "libvorbis", "-page_duration", "200000"],
            2_500,
            1_000,
            0,
        ),
    ];
    for (name, arguments, length, packet, off) in cases {
        let path = folder.path().join(name);
        encode(&wav, &path, arguments);
        let (whole, warnings) = decode(&path).unwrap();
        assert_eq!(warnings, [], "{name} as made");

        let mut bytes = std::fs::read(&path).unwrap();
        let middle = bytes.len() / 2;
        let mut random = Random(7);
        for byte in &mut bytes[middle..middle + length] {
            *byte = random.next() as u8;
        }
        std::fs::write(&path, bytes).unwrap();
        let (got, warnings) = decode(&path).unwrap();

        let difference = got.len().abs_diff(whole.len());
        assert!(
            difference <= packet,
            "{name}: {difference} samples longer or shorter"
        );
        let spans: Vec<_> = warnings
            .iter()
            .filter_map(|w| match w {
                AudioWarning::Corrupt { span } | AudioWarning::Gap { span } => Some(*span),
                _ => None,
            })
            .collect();
        println!("{name}: {difference} samples off, {warnings:?}");
        assert!(!spans.is_empty(), "{name}: no warning");
        for span in &spans {
            assert!((3_500..6_500).contains(&span.start.0), "{name}: {span:?}");
        }
        // Two seconds after the damage every sample is back in its place (lossy codecs need a
        // few packets to recover; 0.003 is a hundredth of the sound's own level).
        let tail = 7 * RATE as usize..whole.len().min(got.len()) - 1000;
        let rms = (0..=2 * off)
            .map(|lag| {
                let start = tail.start + lag - off;
                root_mean_square(&whole[tail.clone()], &got[start..start + tail.len()])
            })
            .fold(f64::INFINITY, f64::min);
        assert!(
            rms < 0.003,
            "{name}: {rms} after the damage: time has shifted"
        );
    }
}

#[test]
fn a_file_cut_short_gives_what_it_has_and_says_where_it_ends() {
    let folder = tempfile::tempdir().unwrap();
    let wav = folder.path().join("in.wav");
    write_sound(&wav, 10);
    let mut names = vec!["in.wav"];
    if have_ffmpeg() {
        let made: [(&str, &[&str]); 6] = [
            ("a.mp3", &["-b:a", "64k"]),
            ("first.m4a", &["-c:a", "aac", "-movflags", "+faststart"]),
            ("a.flac", &[]),
            ("a.ogg", &["-c:a", "libvorbis"]),
            ("a.aiff", &[]),
            ("a.caf", &[]),
        ];
        for (name, arguments) in made {
            encode(&wav, &folder.path().join(name), arguments);
            names.push(name);
        }
    }
    for name in names {
        let path = folder.path().join(name);
        let bytes = std::fs::read(&path).unwrap();
        let cut = folder.path().join(format!("cut-{name}"));
        std::fs::write(&cut, &bytes[..bytes.len() * 6 / 10]).unwrap();
        let (got, warnings) = decode(&cut).unwrap();
        let seconds = got.len() as f64 / f64::from(RATE);
        println!("{name}: {seconds:.2} s, {warnings:?}");
        assert!((4.0..8.0).contains(&seconds), "{name}: {seconds} s");
        // An Ogg stream does not announce its length.
        if name != "a.ogg" {
            let cut_short = |w: &AudioWarning| matches!(w, AudioWarning::CutShort { at, .. } if at.seconds() - seconds < 0.1);
            assert!(warnings.iter().any(cut_short), "{name}: {warnings:?}");
        }
    }
}

#[test]
fn a_wav_that_the_recorder_did_not_finish_is_read_to_its_last_byte() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("in.wav");
    write_sound(&path, 2);
    let whole = decode(&path).unwrap().0;
    let mut bytes = std::fs::read(&path).unwrap();
    let data = bytes.windows(4).position(|w| w == b"data").unwrap();
    bytes[4..8].fill(0);
    bytes[data + 4..data + 8].fill(0);
    std::fs::write(&path, bytes).unwrap();
    let (got, warnings) = decode(&path).unwrap();
    assert_eq!(got, whole);
    assert_eq!(warnings, [AudioWarning::Unfinished]);
}

#[test]
fn files_without_sound_are_refused_with_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().to_str().unwrap().to_owned();
    let mut silent = Vec::new();
    let wav = folder.path().join("sound.wav");
    write_sound(&wav, 1);
    let sound = std::fs::read(&wav).unwrap();
    silent.extend(&sound[..40]);
    silent.extend([0; 4]);
    let cases: [(&str, &[u8]); 8] = [
        ("empty.m4a", b""),
        (
            "note.mp3",
            b"Dear all, the kitchen is finished.\nThe hall is not.\n",
        ),
        (
            "program.wav",
            b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0\0\0\x02\0\x3e\0",
        ),
        ("head.wav", &sound[..30]),
        ("silent.wav", &silent),
        ("only-name.flac", b"fLaC"),
        (
            "phone.amr",
            b"#!AMR\n\x3c\x91\x17\x16\xbe\x66\x79\xe1\xe0\x01\xe7\xaf\xf0\0\0\0",
        ),
        (
            "no-index.m4a",
            b"\0\0\0\x14ftypM4A \0\0\0\0M4A \0\0\0\x10mdat\0\0\0\0\0\0\0\0",
        ),
    ];
    let mut messages = Vec::new();
    for (name, bytes) in cases {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        let error = decode(&path).expect_err(name);
        messages.push(error.to_string().replace(&place, "."));
    }
    for name in ["missing.wav", ""] {
        let error = decode(&folder.path().join(name)).expect_err("nothing to read");
        messages.push(error.to_string().replace(&place, "."));
    }
    insta::assert_snapshot!(messages.join("\n"), @r"
    ./empty.m4a is empty (0 bytes); copy it from the recorder again
    ./note.mp3 is not a sound file this program knows: it looks like text; expected WAV, M4A, MP3, FLAC, Ogg, Opus, AIFF or CAF
    ./program.wav is not a sound file this program knows: it looks like unknown data; expected WAV, M4A, MP3, FLAC, Ogg, Opus, AIFF or CAF
    ./head.wav looks like WAV, but its head or index cannot be read (unexpected end of file); the file is damaged or cut short: copy it from the recorder again
    ./silent.wav holds no sound: its length is zero; was the recording stopped at once?
    ./only-name.flac looks like FLAC, but its head or index cannot be read (unexpected end of file); the file is damaged or cut short: copy it from the recorder again
    ./phone.amr uses an unsupported codec, AMR; convert it to WAV, FLAC or M4A (AAC-LC) first
    ./no-index.m4a looks like M4A/MP4, but its head or index cannot be read (unsupported feature: isomp4: missing moov atom); the file is damaged or cut short: copy it from the recorder again
    cannot read ./missing.wav: No such file or directory (os error 2); check the name and that you may read the file
    cannot read ./: is a directory; check the name and that you may read the file
    ");
}

#[test]
fn codecs_without_a_decoder_are_named() {
    if !have_ffmpeg() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let wav = folder.path().join("in.wav");
    write_sound(&wav, 1);
    let place = folder.path().to_str().unwrap().to_owned();
    let cases: [(&str, &[&str]); 6] = [
        ("a.mp4", &["-c:a", "ac3"]),
        ("a.mp2", &["-c:a", "mp2"]),
        ("a.wma", &["-c:a", "wmav2"]),
        ("six.m4a", &["-c:a", "aac", "-ac", "6"]),
        ("six.opus", &["-c:a", "libopus", "-ac", "6"]),
        (
            "picture.mp4",
            &[
                "-f",
                "lavfi",
                "-i",
                "testsrc=d=1:s=64x64:r=5",
                "-map",
                "1:v",
                "-c:v",
                "mpeg4",
            ],
        ),
    ];
    let mut messages = Vec::new();
    for (name, arguments) in cases {
        let path = folder.path().join(name);
        encode(&wav, &path, arguments);
        messages.push(match decode(&path) {
            Ok((samples, warnings)) => format!("{name}: {} samples, {warnings:?}", samples.len()),
            Err(error) => error.to_string().replace(&place, "."),
        });
    }
    insta::assert_snapshot!(messages.join("\n"), @r"
    ./a.mp4 uses an unsupported codec, AC-3; convert it to WAV, FLAC or M4A (AAC-LC) first
    ./a.mp2 uses an unsupported codec, MPEG audio layer 2 (MP2); convert it to WAV, FLAC or M4A (AAC-LC) first
    ./a.wma uses an unsupported codec, Windows Media Audio; convert it to WAV, FLAC or M4A (AAC-LC) first
    ./six.m4a uses an unsupported codec, AAC in a form other than LC mono or stereo; convert it to WAV, FLAC or M4A (AAC-LC) first
    ./six.opus uses an unsupported codec, Opus with more than two channels; convert it to WAV, FLAC or M4A (AAC-LC) first
    ./picture.mp4 holds no audio track; expected a recording
    ");
}

/// Garbled files of every container: bytes changed, pieces missing, cut anywhere. Whatever
/// happens inside a demultiplexer or decoder, the outcome is sound or an error, soon.
#[test]
fn no_garbled_file_panics_or_hangs() {
    let folder = tempfile::tempdir().unwrap();
    let wav = folder.path().join("in.wav");
    write_sound(&wav, 2);
    let mut names = vec!["in.wav"];
    if have_ffmpeg() {
        let made: [(&str, &[&str]); 13] = [
            ("a.mp3", &["-b:a", "64k"]),
            ("a.m4a", &["-c:a", "aac"]),
            ("first.m4a", &["-c:a", "aac", "-movflags", "+faststart"]),
            (
                "frag.mp4",
                &["-c:a", "aac", "-movflags", "+frag_keyframe+empty_moov"],
            ),
            ("alac.m4a", &["-c:a", "alac"]),
            ("a.flac", &[]),
            ("a.ogg", &["-c:a", "libvorbis"]),
            ("a.opus", &["-c:a", "libopus"]),
            ("a.aiff", &[]),
            ("a.caf", &[]),
            ("alac.caf", &["-c:a", "alac"]),
            ("a.webm", &["-c:a", "libopus"]),
            ("adpcm.wav", &["-c:a", "adpcm_ima_wav"]),
        ];
        for (name, arguments) in made {
            encode(&wav, &folder.path().join(name), arguments);
            names.push(name);
        }
    }
    let rounds: usize = std::env::var("CALLOVER_FUZZ_ROUNDS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(20);
    for name in names {
        let bytes = std::fs::read(folder.path().join(name)).unwrap();
        let path = folder.path().join("garbled");
        let mut random = Random(name.bytes().map(u32::from).sum());
        let (mut sound, mut refused) = (0, 0);
        for round in 0..rounds {
            let mut garbled = bytes.clone();
            match round % 4 {
                // Heads and indexes, where structure is.
                0 | 1 => {
                    let region = if round % 8 < 4 {
                        0..garbled.len().min(600)
                    } else {
                        garbled.len() - garbled.len().min(1500)..garbled.len()
                    };
                    for _ in 0..1 + random.next() % 6 {
                        let at = region.start + random.next() % region.len();
                        garbled[at] = random.next() as u8;
                    }
                }
                2 => {
                    for _ in 0..1 + random.next() % 200 {
                        let at = random.next() % garbled.len();
                        garbled[at] ^= 1 << (random.next() % 8);
                    }
                }
                _ => {
                    let at = random.next() % garbled.len();
                    if random.next().is_multiple_of(2) {
                        garbled.truncate(at);
                    } else {
                        let end = (at + random.next() % 2000).min(garbled.len());
                        garbled.drain(at..end);
                    }
                }
            }
            std::fs::write(&path, &garbled).unwrap();
            let begin = std::time::Instant::now();
            let outcome = MonoStream::open(&path).and_then(|mut stream| {
                let mut seconds = 0.0;
                while let Some(block) = stream.next_block()? {
                    seconds += block.samples.len() as f64 / f64::from(block.rate);
                    assert!(block.samples.iter().all(|s| s.is_finite()));
                    if seconds > 4000.0 {
                        break; // a garbled clock may announce a long gap; it need not be heard out
                    }
                }
                Ok(seconds)
            });
            match outcome {
                Ok(_) => sound += 1,
                Err(_) => refused += 1,
            }
            let took = begin.elapsed().as_secs_f64();
            assert!(took < 20.0, "{name}, round {round}: took {took} s");
        }
        println!("{name}: {sound} gave sound, {refused} refused");
    }
}
