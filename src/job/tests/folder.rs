//! Making, opening, refusing, migrating.

use crate::job::samples::{proposal, three};
use crate::job::schema::{MIGRATIONS, migrate};
use crate::job::{Decision, Job, JobError};
use rusqlite::Connection;
use std::fs;
use std::path::Path;

fn accept(id: u32) -> Decision {
    Decision::Accept {
        item: format!("{id:016x}"),
        above: None,
    }
}

/// A job with three items and one decision.
fn small_job(dir: &Path) -> Job {
    let mut job = Job::create(dir).unwrap();
    job.propose(proposal(three()), "2026-03-02T17:05:00Z")
        .unwrap();
    job.append(1, &[accept(2)], "2026-03-02T17:06:00Z").unwrap();
    job
}

fn refusal(dir: &Path) -> String {
    let error = Job::open(dir).unwrap_err();
    error.to_string().replace(&dir.display().to_string(), "DIR")
}

#[test]
fn a_new_job_is_one_file_and_three_folders() {
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("plot seven.job");
    drop(Job::create(&dir).unwrap());
    let mut names: Vec<_> = fs::read_dir(&dir)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["exports", "job.db", "photos", "recordings"]);
    assert!(matches!(
        Job::create(&dir),
        Err(JobError::AlreadyAJob { .. })
    ));
    Job::open_or_create(&dir).unwrap();
}

#[test]
fn the_file_is_settled_for_mailing_and_power_cuts() {
    let home = tempfile::tempdir().unwrap();
    let job = Job::create(home.path()).unwrap();
    // The numbers of <https://www.sqlite.org/pragma.html#pragma_synchronous>: EXTRA is 3.
    let synchronous: i64 = job
        .connection
        .pragma_query_value(None, "synchronous", |row| row.get(0))
        .unwrap();
    let mode: String = job
        .connection
        .pragma_query_value(None, "journal_mode", |row| row.get(0))
        .unwrap();
    assert_eq!((synchronous, mode.as_str()), (3, "delete"));
    // Offsets and meaning: <https://www.sqlite.org/fileformat.html>, section 1.3.
    let bytes = fs::read(job.file()).unwrap();
    assert_eq!(&bytes[60..64], (MIGRATIONS.len() as u32).to_be_bytes());
    assert_eq!(&bytes[68..72], b"Calv");
}

#[test]
fn what_was_kept_is_there_after_reopening() {
    let home = tempfile::tempdir().unwrap();
    let mut job = small_job(home.path());
    job.set_detail("title", "Plot 7, Larch Rise").unwrap();
    let before = (
        job.list().unwrap(),
        job.events().unwrap(),
        job.details().unwrap(),
    );
    drop(job);
    let job = Job::open(home.path()).unwrap();
    assert_eq!(
        (
            job.list().unwrap(),
            job.events().unwrap(),
            job.details().unwrap()
        ),
        before
    );
    let job = Job::open_to_read(home.path()).unwrap();
    assert_eq!(job.list().unwrap(), before.0);
}

#[test]
fn what_is_no_job_is_refused_in_words() {
    let home = tempfile::tempdir().unwrap();
    let dir = home.path();
    insta::assert_snapshot!(
        refusal(&dir.join("missing")).replace("/missing", ""),
        @"DIR is not a job folder: it has no job.db (make one with `callover take AUDIO --job DIR`)"
    );
    insta::assert_snapshot!(
        refusal(dir),
        @"DIR is not a job folder: it has no job.db (make one with `callover take AUDIO --job DIR`)"
    );
    fs::write(dir.join("job.db"), "shopping list").unwrap();
    insta::assert_snapshot!(
        refusal(dir),
        @"DIR/job.db is not a Callover job file (not an SQLite file): choose the folder that `callover take` made"
    );
    fs::remove_file(dir.join("job.db")).unwrap();
    Connection::open(dir.join("job.db"))
        .unwrap()
        .execute_batch("CREATE TABLE t (a)")
        .unwrap();
    insta::assert_snapshot!(
        refusal(dir),
        @"DIR/job.db is not a Callover job file (an SQLite file with the mark 0x0): choose the folder that `callover take` made"
    );
}

#[test]
fn a_newer_file_is_refused_and_left_alone() {
    let home = tempfile::tempdir().unwrap();
    let job = small_job(home.path());
    job.connection
        .pragma_update(None, "user_version", 99)
        .unwrap();
    drop(job);
    let before = fs::read(home.path().join("job.db")).unwrap();
    let known = MIGRATIONS.len();
    let want = format!(
        "DIR/job.db was written by a newer Callover (job format 99; this one knows up to {known}): \
         use the newer Callover"
    );
    assert_eq!(refusal(home.path()), want);
    assert_eq!(fs::read(home.path().join("job.db")).unwrap(), before);
}

#[test]
fn a_killed_create_leaves_nothing_in_the_way() {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("job.db"), "").unwrap();
    assert!(matches!(
        Job::open(home.path()),
        Err(JobError::NotAJobFolder { .. })
    ));
    Job::open_or_create(home.path()).unwrap();
    Job::open(home.path()).unwrap();
}

#[test]
fn damage_anywhere_is_an_error_or_harmless_and_never_a_panic() {
    let home = tempfile::tempdir().unwrap();
    let whole = small_job(home.path()).list().unwrap();
    let path = home.path().join("job.db");
    let bytes = fs::read(&path).unwrap();
    let mut refused = 0;
    let mut check = |broken: &[u8]| {
        fs::write(&path, broken).unwrap();
        match Job::open_to_read(home.path()).and_then(|job| job.list()) {
            // A flipped bit in unused space, or in a text, cannot be noticed.
            Ok(list) => assert_eq!(list.items.len(), whole.items.len()),
            Err(error) => {
                refused += 1;
                assert!(error.to_string().contains("job.db"), "{error}");
            }
        }
    };
    for length in (16..bytes.len()).step_by(bytes.len() / 40) {
        check(&bytes[..length]);
    }
    for place in (0..bytes.len()).step_by(bytes.len() / 200) {
        let mut flipped = bytes.clone();
        flipped[place] ^= 0x10;
        check(&flipped);
    }
    assert!(refused > 40, "only {refused} were noticed");
    fs::write(&path, &bytes).unwrap();
    assert_eq!(Job::open(home.path()).unwrap().list().unwrap(), whole);
}

#[test]
fn a_torn_page_is_called_damage() {
    let home = tempfile::tempdir().unwrap();
    drop(small_job(home.path()));
    let path = home.path().join("job.db");
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle..].fill(0xAA);
    fs::write(&path, &bytes).unwrap();
    let text = refusal(home.path());
    assert!(text.starts_with("DIR/job.db is damaged ("), "{text}");
    assert_eq!(fs::read(&path).unwrap(), bytes, "nothing was changed");
}

#[test]
fn an_older_file_is_copied_and_then_brought_up_to_date_step_by_step() {
    let home = tempfile::tempdir().unwrap();
    let job = small_job(home.path());
    let path = job.file();
    let before = job.list().unwrap();
    drop(job);
    let known = MIGRATIONS.len();
    let more = [
        "CREATE TABLE extra (a TEXT)",
        "INSERT INTO extra VALUES ('x')",
    ];
    let steps = [MIGRATIONS, &more].concat();
    let mut connection = Connection::open(&path).unwrap();
    let copy = migrate(&mut connection, &path, &steps).unwrap().unwrap();
    let name = format!("job-format-{known}.db");
    assert_eq!(copy.file_name().unwrap(), name.as_str());
    let text: String = connection
        .query_row("SELECT a FROM extra", [], |row| row.get(0))
        .unwrap();
    assert_eq!(text, "x");
    assert_eq!(
        migrate(&mut connection, &path, &steps).unwrap(),
        None,
        "once is enough"
    );
    assert!(matches!(
        Job::open(home.path()),
        Err(JobError::Newer { found, .. }) if found == steps.len() as i64
    ));
    drop(connection);
    fs::rename(copy, &path).unwrap();
    assert_eq!(
        Job::open(home.path()).unwrap().list().unwrap(),
        before,
        "the copy is whole"
    );
}

#[test]
fn a_failed_step_leaves_the_file_as_it_was() {
    let home = tempfile::tempdir().unwrap();
    let path = small_job(home.path()).file();
    let mut connection = Connection::open(&path).unwrap();
    let broken = "CREATE TABLE extra (a); INSERT INTO nowhere VALUES (1)";
    let steps = [MIGRATIONS, &[broken]].concat();
    assert!(migrate(&mut connection, &path, &steps).is_err());
    drop(connection);
    Job::open(home.path()).unwrap();
}

#[test]
fn a_copy_is_a_job_of_its_own() {
    let home = tempfile::tempdir().unwrap();
    let job = small_job(&home.path().join("a"));
    fs::create_dir(home.path().join("b")).unwrap();
    job.save_copy(&home.path().join("b/job.db")).unwrap();
    assert!(
        job.save_copy(&home.path().join("b/job.db")).is_err(),
        "never over a file"
    );
    let copy = Job::open(&home.path().join("b")).unwrap();
    assert_eq!(copy.list().unwrap(), job.list().unwrap());
}

#[test]
fn decisions_cannot_be_rewritten_even_by_hand() {
    let home = tempfile::tempdir().unwrap();
    let job = small_job(home.path());
    for attempt in ["DELETE FROM events", "UPDATE events SET at = ''"] {
        let error = job.connection.execute(attempt, []).unwrap_err();
        assert!(error.to_string().contains("decisions are never"), "{error}");
    }
}

#[test]
fn two_programs_do_not_decide_on_a_stale_list() {
    let home = tempfile::tempdir().unwrap();
    let mut here = small_job(home.path());
    let mut there = Job::open(home.path()).unwrap();
    there.append(2, &[accept(1)], "t").unwrap();
    let refused = here.append(2, &[accept(3)], "t");
    assert!(matches!(refused, Err(JobError::ChangedElsewhere { .. })));
    assert_eq!(here.append(3, &[accept(3)], "t").unwrap()[0].id, 4);
}
