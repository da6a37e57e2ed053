//! Recordings, words, windows.

use crate::job::{Job, JobError, WindowKey};
use crate::speech::{Recording, Word};
use crate::time::{Millis, Span};

fn recording(id: u32, sha256: &str) -> Recording {
    Recording {
        id,
        file: "memo.m4a".into(),
        sha256: sha256.into(),
        duration_s: 61.5,
        speech_s: 40.25,
    }
}

fn word(text: &str, recording: u32) -> Word {
    let span = Some(Span::new(Millis(1), Millis(300)));
    Word {
        text: text.into(),
        recording,
        span,
        probability: 0.1,
        line_end: false,
        meant: None,
    }
}

#[test]
fn the_same_content_keeps_its_number_and_new_content_gets_the_next() {
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(home.path()).unwrap();
    let mut add = |sha256: &str| {
        job.add_recording("memo.m4a", sha256, "/tmp/memo.m4a")
            .unwrap()
    };
    assert_eq!(["aa", "bb", "aa", "cc"].map(&mut add), [1, 2, 1, 3]);
    let kept = job.recordings().unwrap();
    assert_eq!(
        kept.iter()
            .map(|k| &*k.recording.sha256)
            .collect::<Vec<_>>(),
        ["aa", "bb", "cc"]
    );
    assert_eq!(
        (kept[0].transcribed, &*kept[0].original_path),
        (false, "/tmp/memo.m4a")
    );
}

#[test]
fn words_come_back_as_they_were_and_in_order_of_recording() {
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(home.path()).unwrap();
    for sha256 in ["aa", "bb"] {
        job.add_recording("memo.m4a", sha256, "").unwrap();
    }
    job.keep_words(&recording(2, "bb"), &[word("Kitchen.", 2)])
        .unwrap();
    assert_eq!(job.words(1).unwrap(), None);
    job.keep_words(
        &recording(1, "aa"),
        &[word("Hallway,", 1), word("naïve", 1)],
    )
    .unwrap();
    job.keep_words(&recording(1, "aa"), &[word("Hallway,", 1)])
        .unwrap();
    let transcript = job.transcript().unwrap();
    assert_eq!(
        transcript.recordings,
        [recording(1, "aa"), recording(2, "bb")]
    );
    assert_eq!(transcript.words, [word("Hallway,", 1), word("Kitchen.", 2)]);
    for wrong in [recording(1, "bb"), recording(3, "cc")] {
        assert!(matches!(
            job.keep_words(&wrong, &[]),
            Err(JobError::NoRecording { .. })
        ));
    }
}

#[test]
fn windows_are_found_only_for_the_same_recording_model_and_settings() {
    let home = tempfile::tempdir().unwrap();
    let key = |window: u32, settings: &str| WindowKey {
        recording_sha256: "aa".into(),
        window,
        model_sha256: "mm".into(),
        settings: settings.into(),
    };
    let mut job = Job::create(home.path()).unwrap();
    for window in [0, 2, 1, 2] {
        job.keep_window(&key(window, "en greedy"), &vec![word("hall", 1)])
            .unwrap();
    }
    drop(job);
    let job = Job::open(home.path()).unwrap();
    let found = job.windows::<Vec<Word>>("aa", "mm", "en greedy").unwrap();
    assert_eq!(found.keys().copied().collect::<Vec<_>>(), [0, 1, 2]);
    assert_eq!(found[&2], [word("hall", 1)]);
    for (sha256, model, settings) in [
        ("ab", "mm", "en greedy"),
        ("aa", "mn", "en greedy"),
        ("aa", "mm", "en"),
    ] {
        assert!(
            job.windows::<Vec<Word>>(sha256, model, settings)
                .unwrap()
                .is_empty()
        );
    }
    let as_other_type = job.windows::<u32>("aa", "mm", "en greedy");
    assert!(matches!(as_other_type, Err(JobError::Damaged { .. })));
}
