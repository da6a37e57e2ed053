//! The recogniser on real sound. Each call costs seconds, so there are few, with one thread each:
//! the tests run side by side.
//!
//! `data/jfk_inaugural.wav` is eleven seconds of President Kennedy's inaugural address (1961, public
//! domain); what is said is known from the printed speech.

#![allow(
    clippy::unwrap_used,
    reason = "a test stops where its own clip or model fails"
)]

use callover::audio::Resampler;
use callover::speech::{
    Doubt, Heard, Model, Pace, Paced, Prompt, Recogniser, SAMPLE_RATE, Settings, SpeechError,
    WhisperRecogniser,
};
use std::path::Path;

const SAID: &str = "and so my fellow americans ask not what your country can do for you ask what \
    you can do for your country";

fn clip() -> Vec<f32> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/jfk_inaugural.wav");
    let mut reader = hound::WavReader::open(path).unwrap();
    assert_eq!(
        (reader.spec().sample_rate, reader.spec().channels),
        (SAMPLE_RATE, 1)
    );
    reader
        .samples::<i16>()
        .map(|sample| f32::from(sample.unwrap()) / 32768.0)
        .collect()
}

fn recogniser(threads: usize) -> WhisperRecogniser {
    let settings = Settings {
        threads: Some(threads),
        ..Settings::default()
    };
    WhisperRecogniser::new(&Model::embedded().unwrap(), &settings).unwrap()
}

fn text(heard: &Heard) -> String {
    let letters = |word: &str| {
        word.chars()
            .filter(|c| c.is_alphanumeric())
            .collect::<String>()
    };
    heard
        .words
        .iter()
        .map(|word| letters(&word.text).to_lowercase())
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn hears_a_known_sentence_with_times_and_probabilities() {
    let samples = clip();
    let heard = recogniser(1).recognise(&samples).unwrap();
    assert_eq!(text(&heard), SAID);
    assert!(heard.dropped.is_empty());

    let length = samples.len() as u64 * 1000 / u64::from(SAMPLE_RATE);
    for pair in heard.words.windows(2) {
        assert!(pair[0].span.end <= pair[1].span.start, "{pair:?} overlap");
    }
    for word in &heard.words {
        assert!(word.span.end.0 <= length, "{word:?} leaves the window");
        assert!((0.0..=1.0).contains(&word.probability), "{word:?}");
    }
    assert_starts(&heard, 1.0);
}

/// Checks when three words start, in sound that lasts so many times as long as the clip.
fn assert_starts(heard: &Heard, longer: f64) {
    // Read off the waveform: the two pauses of the sentence are the only silences over 0.3 s
    // before these words.
    for (index, second) in [(0, 0.3), (5, 3.3), (14, 8.2)] {
        let word = &heard.words[index];
        let off = word.span.start.seconds() - second * longer;
        assert!(off.abs() <= 0.5, "{word:?}: {second} s into the clip");
    }
}

#[test]
fn hears_what_was_said_too_fast_played_slower() {
    // A quarter shorter, and higher by five semitones: as a tape that runs too fast.
    let mut hurried = Vec::new();
    let mut faster = Resampler::new(SAMPLE_RATE * 4 / 3).unwrap();
    faster.push(&clip(), &mut hurried).unwrap();
    faster.finish(&mut hurried).unwrap();
    let mut recogniser = recogniser(1);
    let heard = Paced::new(&mut recogniser, Pace::SLOWER[1]).recognise(&hurried);
    let heard = heard.unwrap();
    assert_eq!(text(&heard), SAID);
    assert_starts(&heard, 0.75);
}

#[test]
fn hears_the_same_whatever_came_before_and_with_any_number_of_threads() {
    let samples = clip();
    let mut first = recogniser(1);
    let alone = first.recognise(&samples[..64_000]).unwrap();
    let mut second = recogniser(2);
    second.recognise(&samples[64_000..]).unwrap();
    assert_eq!(second.recognise(&samples[..64_000]).unwrap(), alone);
    assert!(
        text(&alone).starts_with("and so my fellow americans"),
        "{alone:?}"
    );
}

#[test]
fn hears_no_words_in_silence() {
    let heard = recogniser(1).recognise(&[0.0; 8000]).unwrap();
    assert_eq!(text(&heard), "", "{heard:?}");
    assert_eq!(recogniser(1).recognise(&[]).unwrap(), Heard::default());
}

#[test]
fn refuses_sound_it_cannot_take() {
    let mut recogniser = recogniser(1);
    let long = recogniser
        .recognise(&vec![0.0; 31 * SAMPLE_RATE as usize])
        .unwrap_err();
    insta::assert_snapshot!(
        long,
        @"a window of 31.0 s is too long to recognise at once, expected at most 30 s"
    );
    let mut damaged = vec![0.0; 16_000];
    damaged[8000] = f32::NAN;
    let error = recogniser.recognise(&damaged).unwrap_err();
    assert!(
        matches!(error, SpeechError::NotANumber { second } if second == 0.5),
        "{error}"
    );
}

#[test]
fn what_was_said_is_likelier_for_the_sound_than_what_sounds_alike() {
    let samples = clip();
    let mut recogniser = recogniser(1);
    let heard = recogniser.recognise(&samples).unwrap();
    // As if the recogniser had written *fennel* for *fellow*.
    let mut words: Vec<&str> = heard.words.iter().map(|w| w.text.as_str()).collect();
    words[3] = "fennel";
    let doubt = |instead: &[&str]| Doubt {
        words: 3..4,
        instead: instead.iter().map(|&text| text.to_owned()).collect(),
    };
    let doubts = [doubt(&["fellow", "yellow", "cupboard"])];
    let weighed = recogniser.weigh(&samples, &words, &doubts).unwrap();
    let likely = &weighed[0];
    assert!(likely.instead[0] > likely.heard + 3.0, "{likely:?}");
    assert!(likely.instead[0] > likely.instead[1] + 3.0, "{likely:?}");
    assert!(likely.instead[1] > likely.instead[2], "{likely:?}");
    // The state that recognised the window gives the same as one that listens to it anew.
    let again = recogniser.weigh(&samples, &words, &doubts).unwrap();
    assert_eq!(weighed, again);
}

#[test]
fn what_was_said_is_what_may_stand_in_the_place_of_another_word() {
    let samples = clip();
    let mut recogniser = recogniser(1);
    let heard = recogniser.recognise(&samples).unwrap();
    // As if the recogniser had written *fennel* for *fellow*, and the word behind it right.
    let mut words: Vec<&str> = heard.words.iter().map(|w| w.text.as_str()).collect();
    words[3] = "fennel";
    let found = recogniser.next_best(&samples, &words, &[3, 5]).unwrap();
    let [instead, ask] = &found[..] else {
        panic!("{found:?}");
    };
    assert_eq!(instead[0].text, "fellow");
    assert!(instead[0].likelihood > -0.7, "{instead:?}");
    assert_eq!(ask[0].text.to_lowercase(), "ask");
    let last = instead.last().unwrap();
    assert!(instead.len() < 6 && last.likelihood <= instead[0].likelihood);
}

#[test]
fn what_does_not_fit_into_the_model_is_not_asked() {
    let samples = clip();
    let settings = Settings {
        threads: Some(1),
        prompt: Prompt::Own("level plumb ".repeat(400)),
        ..Settings::default()
    };
    let mut recogniser = WhisperRecogniser::new(&Model::embedded().unwrap(), &settings).unwrap();
    let words = vec!["architrave"; 300];
    let doubt = |at: usize| Doubt {
        words: at..at + 1,
        instead: vec!["skirting".to_owned()],
    };
    let weighed = recogniser
        .weigh(&samples, &words, &[doubt(2), doubt(299)])
        .unwrap();
    assert!(weighed[0].heard < 0.0, "{weighed:?}");
    assert_eq!(weighed[1].heard, 0.0);
    assert!(weighed[1].instead[0] < -10.0);
    let found = recogniser.next_best(&samples, &words, &[299]).unwrap();
    assert_eq!(found, [Vec::new()]);
}
