//! Every kind of sound file a recorder or messenger makes, decoded here and by an independent
//! program, `ffmpeg`; and the resampler against `sox`. Where one of them is not installed, the
//! tests that need it say so and pass.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of tests; clippy allows it in test functions only"
)]

#[path = "../src/not_run.rs"]
mod not_run;

use callover::audio::{
    AudioWarning, MonoStream, SpeechStream, Window, WindowSettings, sha256_of_file, windows,
    write_wav_16k,
};
use callover::time::Millis;
use not_run::not_run;
use std::ops::ControlFlow;
use std::path::Path;
use std::process::{Command, Stdio};

/// Returns whether a program is installed; says so where not.
fn have(program: &str) -> bool {
    let flag = if program == "ffmpeg" {
        "-version"
    } else {
        "--version"
    };
    let found = Command::new(program)
        .arg(flag)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    if !found {
        not_run::<()>(program);
    }
    found
}

fn run(program: &str, arguments: &[&str]) -> Vec<u8> {
    let output = Command::new(program).args(arguments).output().unwrap();
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program} {arguments:?}: {errors}");
    output.stdout
}

fn ffmpeg(arguments: &[&str]) -> Vec<u8> {
    let mut all = vec!["-nostdin", "-v", "error", "-y"];
    all.extend(arguments);
    run("ffmpeg", &all)
}

fn floats(bytes: &[u8]) -> Vec<f32> {
    bytes
        .chunks_exact(4)
        .map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]]))
        .collect()
}

/// Sound that is loud, quiet and loud again, with a sweep in it, so that a shift in
/// time or a swap of channels cannot go unnoticed.
fn sound_of(rate: u32, channel: u16, frames: u32) -> Vec<f32> {
    let f = f64::from(rate);
    (0..frames)
        .map(|n| {
            let t = f64::from(n) / f;
            let sweep = (std::f64::consts::TAU * (200.0 * t + 250.0 * t * t)).sin();
            let beat = 0.55 + 0.45 * (std::f64::consts::TAU * 1.3 * t).sin();
            (0.5 * sweep * beat * (1.0 - 0.08 * f64::from(channel))) as f32
        })
        .collect()
}

fn write_wav(path: &Path, rate: u32, channels: u16, bits: u16, float: bool) {
    write_wav_of(path, rate, channels, bits, float, 3 * rate);
}

fn write_wav_of(path: &Path, rate: u32, channels: u16, bits: u16, float: bool, frames: u32) {
    let sample_format = if float {
        hound::SampleFormat::Float
    } else {
        hound::SampleFormat::Int
    };
    let spec = hound::WavSpec {
        channels,
        sample_rate: rate,
        bits_per_sample: bits,
        sample_format,
    };
    let mut writer = hound::WavWriter::create(path, spec).unwrap();
    let all: Vec<Vec<f32>> = (0..channels).map(|c| sound_of(rate, c, frames)).collect();
    for n in 0..all[0].len() {
        for channel in &all {
            if float {
                writer.write_sample(channel[n]).unwrap();
            } else {
                let scale = (1_i64 << (bits - 1)) as f64 - 1.0;
                writer
                    .write_sample((f64::from(channel[n]) * scale).round() as i32)
                    .unwrap();
            }
        }
    }
    writer.finalize().unwrap();
}

/// Decodes a whole file at its own rate.
fn decode(path: &Path) -> (u32, Vec<f32>, Vec<AudioWarning>) {
    let mut stream = MonoStream::open(path).unwrap();
    let (mut rate, mut all) = (0, Vec::new());
    while let Some(block) = stream.next_block().unwrap() {
        rate = block.rate;
        all.extend(block.samples);
    }
    (rate, all, stream.warnings().to_vec())
}

/// Returns ffmpeg's samples, averaged over the channels, at the file's own rate.
fn reference(path: &Path, decoder: &[&str], channels: usize) -> Vec<f32> {
    let rest = [
        "-i",
        path.to_str().unwrap(),
        "-map",
        "0:a:0",
        "-f",
        "f32le",
        "-",
    ];
    let bytes = ffmpeg(&[decoder, &rest].concat());
    let samples = floats(&bytes);
    let mean = |frame: &[f32]| frame.iter().sum::<f32>() / channels as f32;
    samples.chunks_exact(channels).map(mean).collect()
}

/// Returns the root mean square of the difference between `a` and `b` shifted by `lag` frames.
fn difference(a: &[f32], b: &[f32], lag: usize) -> f64 {
    let pairs = a.iter().skip(lag).zip(b);
    let count = pairs.clone().count().max(1) as f64;
    (pairs.map(|(x, y)| f64::from(x - y).powi(2)).sum::<f64>() / count).sqrt()
}

#[test]
fn every_kind_of_wav_gives_its_samples() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kind.wav");
    // Half a step of the coarser side: what rounding to `bits` can change, and f32's 24 bits.
    for (bits, float) in [
        (8, false),
        (16, false),
        (24, false),
        (32, false),
        (32, true),
    ] {
        for (rate, channels) in [
            (8_000, 1),
            (11_025, 2),
            (16_000, 1),
            (22_050, 3),
            (44_100, 2),
            (48_000, 6),
            (96_000, 8),
            (192_000, 2),
        ] {
            let frames = rate / 4;
            write_wav_of(&path, rate, channels, bits, float, frames);
            let (got_rate, got, warnings) = decode(&path);
            assert_eq!(got_rate, rate);
            assert_eq!(warnings, []);
            let all: Vec<Vec<f32>> = (0..channels).map(|c| sound_of(rate, c, frames)).collect();
            assert_eq!(
                got.len(),
                all[0].len(),
                "{bits} bit, {rate} Hz, {channels} channels"
            );
            let tolerance = if float {
                1e-6
            } else {
                1.0 / (1_u32 << (bits.min(23) - 1)) as f32
            };
            for (n, sample) in got.iter().enumerate() {
                let want = all.iter().map(|c| c[n]).sum::<f32>() / f32::from(channels);
                assert!(
                    (sample - want).abs() <= tolerance,
                    "{bits} bit, {rate} Hz, {channels} channels, frame {n}: {sample} for {want}"
                );
            }
        }
    }
}

/// One coded form of the test sound.
struct Coded {
    file: &'static str,
    /// Arguments for ffmpeg that make it.
    make: &'static [&'static str],
    channels: usize,
    /// Root mean square allowed between the two decoders, of full scale.
    tolerance: f64,
    /// Frames of encoder delay that may stand before the sound here and not in ffmpeg's output.
    /// ffmpeg follows an MP4 edit list, this decoder does not (25 ms at most, see below).
    lag: usize,
}

/// Most frames by which the two may differ in length: what a container's rounding of the last
/// time stamp to a millisecond can make of the end (WebM: 648 frames of encoder padding at 48 kHz).
const LENGTH: i64 = 1024;

/// Lossless forms must agree to the last bit of 24. Lossy decoders may differ by rounding: both
/// follow the same standard with 32-bit floats, for which ISO 11172-4 and 14496-4 ask a
/// root mean square below 2^-15/sqrt(12) = 8.8e-6 of full scale for full accuracy.
const LOSSLESS: f64 = 1e-7;
const LOSSY: f64 = 8.8e-6;
/// ffmpeg's own Opus decoder agrees with the reference one used here as closely as the others do
/// for the music part of Opus. For its speech part it resamples in a way of its own, so there
/// ffmpeg is told to use the reference decoder, too, and the test covers container and trimming.
const OPUS: f64 = LOSSY;

#[test]
fn every_coded_form_agrees_with_ffmpeg() {
    if !have("ffmpeg") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let wav = folder.path().join("in.wav");
    write_wav(&wav, 44_100, 2, 16, false);
    let cases = [
        Coded {
            file: "a.m4a",
            make: &["-c:a", "aac", "-b:a", "64k", "-ac", "1"],
            channels: 1,
            tolerance: LOSSY,
            lag: 1024,
        },
        Coded {
            file: "first.m4a",
            make: &["-c:a", "aac", "-movflags", "+faststart"],
            channels: 2,
            tolerance: LOSSY,
            lag: 1024,
        },
        Coded {
            file: "frag.mp4",
            make: &["-c:a", "aac", "-movflags", "+frag_keyframe+empty_moov"],
            channels: 2,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "b.m4a",
            make: &["-c:a", "alac"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "c.mp3",
            make: &["-c:a", "libmp3lame", "-b:a", "64k", "-ac", "1"],
            channels: 1,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "v.mp3",
            make: &["-c:a", "libmp3lame", "-q:a", "4"],
            channels: 2,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "noxing.mp3",
            make: &["-c:a", "libmp3lame", "-q:a", "4", "-write_xing", "0"],
            channels: 2,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "mpeg2.mp3",
            make: &["-c:a", "libmp3lame", "-ar", "16000", "-b:a", "32k"],
            channels: 2,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "d.flac",
            make: &["-c:a", "flac"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "e.ogg",
            make: &["-c:a", "libvorbis", "-q:a", "3"],
            channels: 2,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "f.opus",
            make: &["-c:a", "libopus", "-b:a", "24k", "-ac", "1"],
            channels: 1,
            tolerance: OPUS,
            lag: 0,
        },
        Coded {
            file: "s.opus",
            make: &["-c:a", "libopus", "-b:a", "64k"],
            channels: 2,
            tolerance: OPUS,
            lag: 0,
        },
        Coded {
            file: "w.webm",
            make: &["-c:a", "libopus", "-b:a", "64k"],
            channels: 2,
            tolerance: OPUS,
            lag: 0,
        },
        Coded {
            file: "g.aiff",
            make: &["-c:a", "pcm_s16be"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "h.caf",
            make: &["-c:a", "pcm_s16le"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "i.caf",
            make: &["-c:a", "alac"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "j.aac",
            make: &["-c:a", "aac", "-f", "adts"],
            channels: 2,
            tolerance: LOSSY,
            lag: 0,
        },
        Coded {
            file: "k.wav",
            make: &["-c:a", "pcm_f64le"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "l.wav",
            make: &["-c:a", "pcm_u8"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "m.wav",
            make: &["-c:a", "pcm_s24le"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "n.wav",
            make: &["-c:a", "pcm_alaw"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
        Coded {
            file: "o.wav",
            make: &["-c:a", "adpcm_ima_wav"],
            channels: 2,
            tolerance: LOSSLESS,
            lag: 0,
        },
    ];
    let mut failures = Vec::new();
    for case in cases {
        let path = folder.path().join(case.file);
        let mut arguments = vec!["-i", wav.to_str().unwrap()];
        arguments.extend(case.make);
        arguments.push(path.to_str().unwrap());
        ffmpeg(&arguments);
        let decoder = if case.file == "f.opus" {
            &["-c:a", "libopus"][..]
        } else {
            &[]
        };
        let want = reference(&path, decoder, case.channels);
        let (_, got, warnings) = decode(&path);
        let rms = difference(&got, &want, case.lag);
        let missing = want.len() as i64 - (got.len() as i64 - case.lag as i64);
        if rms > case.tolerance || !(-LENGTH..=0).contains(&missing) || !warnings.is_empty() {
            failures.push(format!(
                "{}: rms {rms:.2e}, {missing} frames missing, {warnings:?}",
                case.file
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// `sox` resamples by another method (its `rate -v`, a polyphase filter of very high quality).
/// Below 7.2 kHz, where both pass bands are flat, the two must agree: 0.0005 of full scale (-66
/// dB) covers their ripple. The test sound's sweep ends at 1.7 kHz. The first and last 50 ms are
/// left out, where either filter rings at the edge of the sound in its own way.
#[test]
fn the_resampler_agrees_with_sox() {
    if !have("sox") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("in.wav");
    for rate in [8_000, 11_025, 22_050, 44_100, 48_000, 96_000] {
        write_wav(&path, rate, 1, 32, true);
        let arguments = [
            path.to_str().unwrap(),
            "-t",
            "f32",
            "-",
            "rate",
            "-v",
            "16000",
        ];
        let want = floats(&run("sox", &arguments));
        let got = decode_16k(&path);
        assert_eq!(got.len(), 48_000, "{rate} Hz");
        assert_eq!(want.len(), got.len(), "{rate} Hz");
        let inside = 800..47_200;
        let worst = inside.map(|n| (got[n] - want[n]).abs()).fold(0.0, f32::max);
        assert!(worst < 0.0005, "{rate} Hz: {worst}");
    }
}

fn decode_16k(path: &Path) -> Vec<f32> {
    let mut stream = SpeechStream::open(path).unwrap();
    let mut all = Vec::new();
    while let Some(samples) = stream.next_samples().unwrap() {
        all.extend(samples);
    }
    all
}

/// A film holds pictures and, often, two audio tracks. Only the first is read: read one after the
/// other they would double the length.
#[test]
fn of_several_tracks_one_is_read() {
    if !have("ffmpeg") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let (first, second) = (folder.path().join("1.wav"), folder.path().join("2.wav"));
    write_wav(&first, 44_100, 1, 16, false);
    write_wav(&second, 44_100, 2, 16, false);
    let film = folder.path().join("film.mp4");
    let name = |p: &Path| p.to_str().unwrap().to_owned();
    ffmpeg(&[
        "-f",
        "lavfi",
        "-i",
        "testsrc=d=3:s=64x64:r=5",
        "-i",
        &name(&first),
        "-i",
        &name(&second),
        "-map",
        "0:v",
        "-map",
        "1:a",
        "-map",
        "2:a",
        "-c:a",
        "alac",
        "-c:v",
        "mpeg4",
        &name(&film),
    ]);
    let (rate, got, warnings) = decode(&film);
    assert_eq!((rate, got.len()), (44_100, 3 * 44_100));
    assert_eq!(warnings, [AudioWarning::SeveralTracks { count: 2 }]);
}

/// The encoders at hand make no HE-AAC, so an AAC-LC file's configuration is replaced by the two
/// ways such files have of saying so (ISO 14496-3, 1.6.5 and 1.6.6). The low band is the same.
#[test]
fn of_he_aac_the_low_band_is_decoded() {
    if !have("ffmpeg") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let (wav, plain, marked) = (
        folder.path().join("in.wav"),
        folder.path().join("lc.m4a"),
        folder.path().join("he.m4a"),
    );
    write_wav(&wav, 22_050, 1, 16, false);
    ffmpeg(&[
        "-i",
        wav.to_str().unwrap(),
        "-c:a",
        "aac",
        plain.to_str().unwrap(),
    ]);
    let want = decode(&plain).1;
    let bytes = std::fs::read(&plain).unwrap();
    let low_complexity = [0x13, 0x88, 0x56, 0xe5, 0x00];
    let at = bytes.windows(5).position(|w| w == low_complexity).unwrap();
    let cases: [([u8; 5], &[AudioWarning]); 2] = [
        // Object type 5 (SBR), core 22.05 kHz, mono, full rate 44.1 kHz, core object type 2 (LC).
        (
            [0x2b, 0x8a, 0x08, 0x00, 0x00],
            &[AudioWarning::CoreBandOnly],
        ),
        // Backward compatible: LC, then a flag that old decoders, and the one here, do not read.
        ([0x13, 0x88, 0x56, 0xe5, 0xa0], &[]),
    ];
    for (config, warnings) in cases {
        let mut bytes = bytes.clone();
        bytes[at..at + 5].copy_from_slice(&config);
        std::fs::write(&marked, bytes).unwrap();
        let (rate, got, told) = decode(&marked);
        assert_eq!((rate, told.as_slice()), (22_050, warnings), "{config:x?}");
        assert!(got == want, "{config:x?}: not the same sound");
    }
}

#[test]
fn the_same_file_gives_the_same_windows() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("in.wav");
    write_wav(&path, 44_100, 2, 16, false);
    let run = || {
        let (mut all, mut last) = (Vec::new(), None);
        let keep = |window| {
            all.push(window);
            ControlFlow::Continue(())
        };
        let summary = windows(&path, WindowSettings::default(), keep, |p| last = Some(p)).unwrap();
        (all, summary, last)
    };
    let (first, summary, last) = run();
    assert!(summary.complete);
    assert_eq!(summary.duration.0, 3000);
    assert_eq!(
        last.map(|p| (p.done.0, p.total.map(|t| t.0))),
        Some((3000, Some(3000)))
    );
    assert_eq!(run().0, first);
    assert_eq!(
        sha256_of_file(&path).unwrap(),
        sha256_of_file(&path).unwrap()
    );
}

/// Speech between minutes of silence is found, and found again 40 dB quieter, as a phone in a
/// pocket hears it (the level is that of a 16-bit recording, rounding included).
#[test]
fn speech_is_found_however_quiet_and_silence_is_left_out() {
    let spoken = decode_16k(Path::new("tests/data/audio/spoken.opus"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("walk.wav");
    let silence = vec![0.0; 90 * 16_000];
    for (gain, why) in [
        (1.0_f32, "as spoken"),
        (0.1, "20 dB down"),
        (0.01, "40 dB down"),
    ] {
        let quiet: Vec<f32> = spoken.iter().map(|s| s * gain).collect();
        write_wav_16k(&path, &[&silence[..], &quiet, &silence].concat()).unwrap();
        let mut heard = Vec::new();
        let keep = |window: Window| {
            heard.push(window);
            ControlFlow::Continue(())
        };
        let summary = windows(&path, WindowSettings::default(), keep, |_| {}).unwrap();
        assert_eq!(heard.len(), 1, "{why}");
        let length = spoken.len() as f64 / 16_000.0;
        // The voice fills all but the last third of a second of the file. Margins of 0.3 s lie on
        // both sides, and the detector's score takes most of a second to fall when sound stops
        // dead, as it does here and not in a room.
        let seconds = summary.speech_seconds();
        assert!(
            (length - 0.5..length + 1.4).contains(&seconds),
            "{why}: {seconds} of {length} s, {:?}",
            summary.speech
        );
        let start = heard[0].map.to_source(Millis(0)).seconds();
        assert!((89.0..90.2).contains(&start), "{why}: starts at {start}");
    }
}
