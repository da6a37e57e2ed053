//! The example walk-round with the real recogniser: heard, understood, kept, resumed.
//!
//! Each run costs seconds to tens of seconds, so there are few.

use crate::sandbox::{Sandbox, project, valid};
use crate::score::score;
use callover::audio::{SpeechStream, write_wav_16k};
use rusqlite::{Connection, OpenFlags};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// Least agreement with the expected list: a little under what was measured, so that understanding
/// a little differently is no failure and understanding worse is one.
const LEAST_FOUND_F1: f64 = 0.90;
const LEAST_RIGHT_F1: f64 = 0.85;

/// A window of at most 28 s takes seconds; a loaded machine many times that.
const PATIENCE: Duration = Duration::from_secs(600);

/// One recogniser at a time: its threads wait by spinning, so that two of them on the same
/// processors take many times as long as one after the other.
pub(crate) fn alone() -> MutexGuard<'static, ()> {
    static RECOGNISER: Mutex<()> = Mutex::new(());
    RECOGNISER.lock().unwrap_or_else(PoisonError::into_inner)
}

#[test]
fn doctor_finds_that_everything_works() {
    let _alone = alone();
    let run = Sandbox::new().run(&["doctor"]).fine();
    for words in [
        "Whisper base",
        "SQLite 3.",
        "hearing        works",
        "understanding  works",
    ] {
        assert!(run.stdout.contains(words), "{words}: {}", run.stdout);
    }
    assert!(run.stdout.ends_with("everything works\n"));
}

#[test]
fn the_example_walk_round_gives_the_expected_list_and_the_same_again() {
    let _alone = alone();
    let sandbox = Sandbox::new();
    let audio = project("examples/plot-seven.m4a");
    let take = |out: &str| {
        sandbox
            .run(&["take", &audio, "--quiet", "--out", out])
            .fine()
    };
    let first = take("list.json");
    assert!(first.stderr.contains(" s of speech; "), "{}", first.stderr);
    let list = valid(&sandbox.read("list.json"));
    let expected: Value =
        serde_json::from_str(&fs::read_to_string(project("examples/expected.json")).unwrap())
            .unwrap();
    let score = score(&expected, &list);
    let (found, right) = (score.f1(score.found), score.f1(score.right));
    println!("{score:?}: found {found:.3}, right {right:.3}");
    assert!(found >= LEAST_FOUND_F1, "{score:?}: found {found:.3}");
    assert!(right >= LEAST_RIGHT_F1, "{score:?}: right {right:.3}");

    let again = take("again.json");
    assert!(again.stderr.contains("taken already"), "{}", again.stderr);
    // Without its copy the recording is taken anew, from the windows that the job keeps.
    fs::remove_file(sandbox.path("plot-seven.job/recordings/plot-seven.m4a")).unwrap();
    let begin = Instant::now();
    let anew = take("anew.json");
    assert!(!anew.stderr.contains("taken already"), "{}", anew.stderr);
    println!(
        "from kept windows in {:.1} s",
        begin.elapsed().as_secs_f64()
    );
    for file in ["again.json", "anew.json"] {
        assert_eq!(sandbox.read(file), sandbox.read("list.json"), "{file}");
    }
}

#[test]
fn an_interrupted_run_goes_on_where_it_stopped_and_hears_the_same() {
    let _alone = alone();
    let sandbox = Sandbox::new();
    // The first seventy seconds, which make three windows.
    let mut stream = SpeechStream::open(Path::new(&project("examples/plot-seven.m4a"))).unwrap();
    let mut samples = Vec::new();
    while let Some(piece) = stream.next_samples().unwrap() {
        samples.extend(piece);
    }
    samples.truncate(70 * 16_000);
    write_wav_16k(&sandbox.path("walk.wav"), &samples).unwrap();
    let words = ["take", "walk.wav", "--quiet", "--transcript-out"];

    let mut whole = words.to_vec();
    whole.extend(["whole.json", "--job", "whole.job"]);
    sandbox.run(&whole).fine();
    let all = windows(&sandbox.path("whole.job/job.db"));
    assert!(all >= 3, "{all} windows");

    let mut parted = words.to_vec();
    parted.extend(["parted.json", "--job", "parted.job"]);
    let mut command = sandbox.command(&parted);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    let child = command.spawn().unwrap();
    let begin = Instant::now();
    let database = sandbox.path("parted.job/job.db");
    while windows(&database) < 1 {
        assert!(begin.elapsed() < PATIENCE, "no window after {PATIENCE:?}");
        thread::sleep(Duration::from_millis(20));
    }
    let kill = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(kill.success());
    let stopped = sandbox.outcome(&child.wait_with_output().unwrap());
    assert_eq!(stopped.code, 130, "{}", stopped.shown());
    assert!(
        stopped.stderr.contains("run the same command again"),
        "{}",
        stopped.stderr
    );
    assert!(!sandbox.path("parted.json").exists());
    let kept = windows(&database);
    assert!((1..all).contains(&kept), "{kept} of {all} windows kept");

    sandbox.run(&parted).fine();
    assert_eq!(windows(&database), all);
    assert_eq!(sandbox.read("parted.json"), sandbox.read("whole.json"));
}

/// Returns how many finished windows a job file holds; 0 before there are any.
fn windows(database: &Path) -> u32 {
    Connection::open_with_flags(database, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .and_then(|connection| {
            connection.query_row("SELECT count(*) FROM windows", [], |row| row.get(0))
        })
        .unwrap_or(0)
}
