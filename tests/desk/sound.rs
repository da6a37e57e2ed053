//! Recordings of kinds that browsers do not play, and none at all.

use crate::running::Running;
use crate::sample::{SMALL, make};
use callover::job::Job;
use std::path::Path;
use std::process::Command;
use std::thread;
use std::time::Duration;

fn with_recording(folder: &Path, file: &str, arguments: &[&str]) -> Option<Running> {
    let job = folder.join("plot.job");
    make(&job, SMALL);
    let wav = job.join("recordings/walk.wav");
    let made = Command::new("ffmpeg")
        .args(["-v", "error", "-t", "5", "-i"])
        .arg(&wav)
        .args(arguments)
        .arg(job.join("recordings").join(file))
        .status();
    match made {
        Ok(status) => assert!(status.success()),
        Err(_) => return crate::not_run::not_run("ffmpeg"),
    }
    Job::open(&job)
        .unwrap()
        .add_recording(file, &"6".repeat(64), file)
        .unwrap();
    Some(Running::start(&job))
}

fn settled(desk: &Running) -> serde_json::Value {
    for _ in 0..300 {
        let recording = desk.json("/recordings")[1].clone();
        if recording["sound"] != "preparing" {
            return recording;
        }
        thread::sleep(Duration::from_millis(100));
    }
    panic!("the recording is never ready");
}

#[test]
fn what_browsers_do_not_play_is_served_as_wav() {
    for (file, arguments, decoded) in [
        ("memo.caf", &["-c:a", "pcm_s16be"][..], true),
        ("memo.aiff", &[], true),
        ("memo.m4a", &["-c:a", "alac"], true),
        ("memo-aac.m4a", &["-c:a", "aac"], false),
        ("memo.mp3", &[], false),
        ("memo.flac", &[], false),
        ("memo.ogg", &["-c:a", "libvorbis"], false),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let Some(desk) = with_recording(folder.path(), file, arguments) else {
            return;
        };
        let recording = settled(&desk);
        assert_eq!(recording["sound"], "ready", "{file}: {recording}");
        assert_eq!(recording["decoded"], decoded, "{file}");
        let sound = desk.get("/sound/2");
        if decoded {
            assert_eq!(sound.header("content-type"), "audio/wav");
            let reader = hound::WavReader::new(&sound.body[..]).unwrap();
            let seconds = f64::from(reader.duration()) / f64::from(reader.spec().sample_rate);
            assert!((seconds - 5.0).abs() < 0.1, "{file}: {seconds} s");
        }
    }
}

#[test]
fn the_outline_is_made_once_and_kept() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("plot.job");
    make(&job, SMALL);
    let outline = |desk: &Running| {
        for _ in 0..300 {
            let answer = desk.get("/outline/1");
            if answer.header("x-whole") == "yes" {
                return answer.body;
            }
            thread::sleep(Duration::from_millis(100));
        }
        panic!("the outline is never whole");
    };
    let desk = Running::start(&job);
    let seconds = desk.json("/recordings")[0]["duration_s"].as_f64().unwrap();
    let made = outline(&desk);
    assert!((made.len() as f64 / 20.0 - seconds).abs() < 0.1);
    drop(desk);
    // Without the recording the outline is still there.
    std::fs::rename(
        job.join("recordings/walk.wav"),
        folder.path().join("walk.wav"),
    )
    .unwrap();
    let desk = Running::start(&job);
    assert_eq!(desk.json("/recordings")[0]["sound"], "missing");
    drop(desk);
    std::fs::rename(
        folder.path().join("walk.wav"),
        job.join("recordings/walk.wav"),
    )
    .unwrap();
    assert_eq!(outline(&Running::start(&job)), made);
}
