//! A disk that is full, and a file that somebody else is writing.

use crate::job::samples::{proposal, three};
use crate::job::{Decision, Job, JobError};
use std::time::Duration;

fn reject(text: &str) -> Decision {
    Decision::Reject {
        item: format!("{:016x}", 1),
        reason: text.into(),
    }
}

fn job(dir: &std::path::Path) -> Job {
    let mut job = Job::create(dir).unwrap();
    job.propose(proposal(three()), "t").unwrap();
    job
}

#[test]
fn on_a_full_disk_what_was_kept_stays_and_the_message_says_so() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    // SQLite refuses to grow the file as it does when the disk is full
    // (<https://www.sqlite.org/pragma.html#pragma_max_page_count>).
    let pages: i64 = job
        .connection
        .pragma_query_value(None, "page_count", |row| row.get(0))
        .unwrap();
    let _: i64 = job
        .connection
        .pragma_update_and_check(None, "max_page_count", pages + 2, |row| row.get(0))
        .unwrap();
    let mut last = 1;
    let error = loop {
        match job.append(last, &[reject(&"long ".repeat(200))], "t") {
            Ok(events) => last = events[0].id,
            Err(error) => break error,
        }
    };
    assert!(last > 1, "at least one was kept");
    assert!(matches!(error, JobError::Full { .. }), "{error}");
    let told = error
        .to_string()
        .replace(&home.path().display().to_string(), "DIR");
    insta::assert_snapshot!(told, @"the disk holding DIR/job.db is full: make room and try again; nothing was lost");
    let before = job.events().unwrap();
    assert_eq!(before.len() as i64, last);
    assert!(
        job.propose(proposal(three()), "t").is_err() || job.events().unwrap().len() > before.len()
    );
    drop(job);
    // With room made, it goes on where it was.
    let mut job = Job::open(home.path()).unwrap();
    let last = job.events().unwrap().last().unwrap().id;
    assert_eq!(
        job.append(last, &[reject("short")], "t").unwrap()[0].id,
        last + 1
    );
}

#[test]
fn a_file_being_written_elsewhere_is_waited_for_and_then_said_to_be_busy() {
    let home = tempfile::tempdir().unwrap();
    let mut here = job(home.path());
    let there = Job::open(home.path()).unwrap();
    here.connection
        .busy_timeout(Duration::from_millis(20))
        .unwrap();
    there.connection.execute_batch("BEGIN IMMEDIATE").unwrap();
    let error = here.append(1, &[reject("x")], "t").unwrap_err();
    let told = error
        .to_string()
        .replace(&home.path().display().to_string(), "DIR");
    insta::assert_snapshot!(told, @"DIR/job.db is being written by another program: close it there and try again");
    there.connection.execute_batch("ROLLBACK").unwrap();
    assert_eq!(here.append(1, &[reject("x")], "t").unwrap()[0].id, 2);
}
