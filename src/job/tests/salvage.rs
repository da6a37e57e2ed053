//! Saving what can be read of damaged job files.

use crate::job::samples::{proposal, three};
use crate::job::{Decision, Job, Salvaged, Trouble, examine, salvage};
use std::fs;
use std::path::Path;

const PAGE: usize = 4096;

/// A job of a hundred long decisions, so that they fill many pages.
fn large_job(dir: &Path) -> Job {
    let mut job = Job::create(dir).unwrap();
    job.propose(proposal(three()), "t1").unwrap();
    let decisions: Vec<Decision> = (0..100)
        .map(|number| Decision::Reject {
            item: format!("{:016x}", 1),
            reason: format!("reason {number}: {}", "because of this ".repeat(20)),
        })
        .collect();
    job.append(1, &decisions, "t2").unwrap();
    job.set_detail("title", "Plot seven").unwrap();
    job
}

/// Damages the job file, saves it, and returns what came of that.
fn damaged(dir: &Path, change: impl FnOnce(&mut Vec<u8>)) -> Salvaged {
    let path = dir.join("job.db");
    let mut bytes = fs::read(&path).unwrap();
    change(&mut bytes);
    fs::write(&path, &bytes).unwrap();
    let salvaged = salvage(dir).unwrap();
    assert_eq!(
        fs::read(&salvaged.damaged).unwrap(),
        bytes,
        "the damaged file is kept as it was"
    );
    salvaged
}

/// Returns the page that a text stands on.
fn page_of(bytes: &[u8], text: &str) -> usize {
    let place = bytes
        .windows(text.len())
        .position(|part| part == text.as_bytes());
    place.unwrap() / PAGE
}

#[test]
fn a_whole_file_loses_nothing() {
    let home = tempfile::tempdir().unwrap();
    let job = large_job(home.path());
    let before = (
        job.list().unwrap(),
        job.events().unwrap(),
        job.details().unwrap(),
    );
    drop(job);
    let salvaged = damaged(home.path(), |_| {});
    assert_eq!(salvaged.lost, [""; 0]);
    assert_eq!(salvaged.saved[..2], [("decisions", 101), ("items", 3)]);
    let job = Job::open(home.path()).unwrap();
    let after = (
        job.list().unwrap(),
        job.events().unwrap(),
        job.details().unwrap(),
    );
    assert_eq!(after, before);
    assert_eq!(examine(home.path()).unwrap().troubles, []);
}

#[test]
fn a_torn_page_costs_the_decisions_on_it_and_says_which() {
    let home = tempfile::tempdir().unwrap();
    drop(large_job(home.path()));
    let salvaged = damaged(home.path(), |bytes| {
        let page = page_of(bytes, "reason 50:");
        bytes[page * PAGE..(page + 1) * PAGE].fill(0xAA);
    });
    let job = Job::open(home.path()).unwrap();
    let events = job.events().unwrap();
    let lost = 101 - events.len();
    assert!(
        (1..=12).contains(&lost),
        "a page holds a dozen of these at most, {lost} were lost"
    );
    assert_eq!(salvaged.lost.len(), 1, "{:?}", salvaged.lost);
    assert!(
        salvaged.lost[0].starts_with("decisions: numbers "),
        "{:?}",
        salvaged.lost
    );
    let missing: Vec<i64> = (1..=101)
        .filter(|n| events.iter().all(|event| event.id != *n))
        .collect();
    let want = format!("numbers {} to {}", missing[0], missing.last().unwrap());
    assert!(
        salvaged.lost[0].ends_with(&want),
        "{want}: {:?}",
        salvaged.lost
    );
    assert_eq!(job.list().unwrap().items.len(), 3);
}

#[test]
fn a_file_cut_short_keeps_what_is_before_the_cut() {
    let home = tempfile::tempdir().unwrap();
    drop(large_job(home.path()));
    let salvaged = damaged(home.path(), |bytes| {
        bytes.truncate(bytes.len() * 3 / 4 / PAGE * PAGE)
    });
    assert!(!salvaged.lost.is_empty());
    let job = Job::open(home.path()).unwrap();
    assert!(job.events().unwrap().len() > 20, "{salvaged:?}");
}

#[test]
fn a_torn_first_page_costs_nothing() {
    let home = tempfile::tempdir().unwrap();
    let before = large_job(home.path()).list().unwrap();
    for (start, end) in [(0, 16), (0, 100), (0, PAGE), (100, 2000)] {
        let salvaged = damaged(home.path(), |bytes| bytes[start..end].fill(0xAA));
        assert_eq!(salvaged.lost, [""; 0], "{start}..{end}");
        assert_eq!(Job::open(home.path()).unwrap().list().unwrap(), before);
    }
}

#[test]
fn a_row_that_cannot_be_understood_is_left_out_and_named() {
    let home = tempfile::tempdir().unwrap();
    drop(large_job(home.path()));
    let salvaged = damaged(home.path(), |bytes| {
        let place = bytes
            .windows(10)
            .position(|part| part == b"reason 50:")
            .unwrap();
        // Spoils the JSON, not the table.
        bytes[place - 2] = b'}';
    });
    assert_eq!(salvaged.saved[0], ("decisions", 100));
    assert!(
        salvaged.lost[0].starts_with("decisions: number 52: "),
        "{:?}",
        salvaged.lost
    );
}

#[test]
fn no_damage_makes_it_panic_or_harms_the_file() {
    let home = tempfile::tempdir().unwrap();
    drop(large_job(home.path()));
    let path = home.path().join("job.db");
    let whole = fs::read(&path).unwrap();
    let check = |bytes: &[u8]| {
        fs::write(&path, bytes).unwrap();
        if let Ok(examination) = examine(home.path()) {
            assert!(
                examination
                    .troubles
                    .iter()
                    .all(|trouble| !trouble.to_string().is_empty())
            );
        }
        match salvage(home.path()) {
            Ok(salvaged) => {
                let job = Job::open(home.path()).unwrap();
                let events = job.events().unwrap().len();
                assert!(
                    events == 101 || !salvaged.lost.is_empty(),
                    "{events} and nothing said lost"
                );
                fs::remove_file(salvaged.damaged).unwrap();
            }
            Err(error) => {
                assert!(error.to_string().contains("job.db"), "{error}");
                assert_eq!(fs::read(&path).unwrap(), bytes);
            }
        }
    };
    for length in (0..whole.len()).step_by(whole.len() / 12) {
        check(&whole[..length]);
    }
    for place in (0..whole.len()).step_by(whole.len() / 60) {
        let mut flipped = whole.clone();
        flipped[place] ^= 0x20;
        check(&flipped);
    }
}

#[test]
fn what_is_missing_from_the_folders_is_named() {
    let home = tempfile::tempdir().unwrap();
    let mut job = large_job(home.path());
    job.add_recording("memo.m4a", "aa", "/recorder/memo.m4a")
        .unwrap();
    let attach = Decision::AttachPhoto {
        item: format!("{:016x}", 2),
        photo: "gone.jpg".into(),
    };
    job.append(101, &[attach], "t").unwrap();
    drop(job);
    fs::remove_dir(home.path().join("exports")).unwrap();
    fs::write(home.path().join("photos/.callover-x1.part"), "half").unwrap();
    let troubles = examine(home.path()).unwrap().troubles;
    let told: Vec<String> = troubles
        .iter()
        .map(|trouble: &Trouble| {
            trouble
                .to_string()
                .replace(&home.path().display().to_string(), "DIR")
        })
        .collect();
    insta::assert_snapshot!(told.join("\n"), @r#"
    recording 1, recordings/memo.m4a, is missing: its words are kept, it cannot be heard
    the photo photos/gone.jpg is missing
    DIR/photos/.callover-x1.part was left unfinished by a program that was stopped: it is of no use
    the folder DIR/exports is missing
    "#);
}
