//! A writer killed at any moment loses nothing that it had acknowledged.
//!
//! The test starts its own program again as the writer, and kills it with SIGKILL.

use crate::job::samples::{proposal, three};
use crate::job::{Decision, Job};
use std::env;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const FOLDER_VARIABLE: &str = "CALLOVER_TEST_KILLED_WRITER_JOB";

/// How many writers are killed, and how long that may take on a slow disk.
const RUNS: u64 = 120;
const MOST_TIME: Duration = Duration::from_secs(8);

/// Does nothing in an ordinary test run: it is the child of the test below.
#[test]
fn the_writer_to_be_killed() {
    let Some(dir) = env::var_os(FOLDER_VARIABLE) else {
        return;
    };
    let mut job = Job::open(Path::new(&dir)).unwrap();
    let mut last = job.events().unwrap().last().map_or(0, |event| event.id);
    // Standard output is captured by the test harness, so acknowledgements go to standard error.
    let mut out = std::io::stderr();
    loop {
        let reason = format!("decision {}, {}", last + 1, "with some length ".repeat(40));
        let decision = Decision::Reject {
            item: format!("{:016x}", 1),
            reason,
        };
        last = job
            .append(last, &[decision], "2026-03-02T17:05:00Z")
            .unwrap()[0]
            .id;
        // One write, so that a line is whole or absent.
        out.write_all(format!("kept {last}\n").as_bytes()).unwrap();
    }
}

#[test]
fn every_acknowledged_decision_survives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(home.path()).unwrap();
    job.propose(proposal(three()), "t").unwrap();
    drop(job);
    let began = Instant::now();
    let (mut runs, mut acknowledged, mut hot_journals) = (0, 0, 0);
    while runs < RUNS && began.elapsed() < MOST_TIME {
        let mut child = Command::new(env::current_exe().unwrap())
            .args([
                "--exact",
                "--nocapture",
                "job::tests::killed::the_writer_to_be_killed",
            ])
            .env(FOLDER_VARIABLE, home.path())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
        let mut kept: i64 = 0;
        let mut note = |line: String| {
            let number = line.strip_prefix("kept ").map(|n| n.parse().unwrap());
            assert!(number.is_some(), "the writer said: {line}");
            kept = number.unwrap();
        };
        note(lines.next().unwrap().unwrap());
        // Spread over the length of several commits; multiplied by a prime for an uneven pattern.
        std::thread::sleep(Duration::from_micros(runs * 7919 % 30_011));
        child.kill().unwrap();
        child.wait().unwrap();
        lines
            .map_while(Result::ok)
            .filter(|line| line.len() > 5)
            .for_each(&mut note);
        hot_journals += u32::from(home.path().join("job.db-journal").exists());

        let job = Job::open(home.path()).unwrap();
        let events = job.events().unwrap();
        // A decision may be on the disk and the writer killed before it could say so: one at most.
        let last = events.last().unwrap().id;
        assert!(
            last == kept || last == kept + 1,
            "acknowledged {kept}, found {last}"
        );
        assert_eq!(events.len() as i64, last, "no gaps");
        let verdict: String = job
            .connection
            .query_row("PRAGMA integrity_check", [], |row| row.get(0))
            .unwrap();
        assert_eq!(verdict, "ok");
        acknowledged = kept;
        runs += 1;
    }
    eprintln!("{runs} kills, {acknowledged} acknowledged, {hot_journals} journals left behind");
    assert!(
        runs >= 10,
        "only {runs} runs in {MOST_TIME:?}: the disk is too slow for this test"
    );
}
