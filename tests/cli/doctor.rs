//! A job is looked over and mended; what cannot be mended is said.

use crate::photo_samples::{Told, jpeg, quarters};
use crate::sandbox::Sandbox;
use std::fs;

fn job() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write(
        "walk.txt",
        "[0:02] Hallway. The skirting board is loose. Take a photo of that.\n",
    );
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    let told = Told {
        taken: Some("2026:03:02 11:10:09"),
        ..Told::default()
    };
    sandbox.write("camera/a.jpg", jpeg(&quarters(8, 8), &told));
    sandbox
        .run(&["photos", "walk.job", "camera", "--taken-at", "a.jpg=0:05"])
        .fine();
    sandbox
}

#[test]
fn a_whole_job_has_nothing_wrong_and_is_not_changed() {
    let sandbox = job();
    let before = fs::read(sandbox.path("walk.job/job.db")).unwrap();
    insta::assert_snapshot!(sandbox.run(&["doctor", "walk.job"]).shown(), @"
    job            walk.job
    format         4
    tables         whole
    items          1 (2 decisions and proposals)
    recordings     1, 1 of them here as they were taken
    photos         1, 1 of them here as they were taken
    result         nothing is wrong
    --- exit code 0
    ");
    insta::assert_snapshot!(sandbox.run(&["doctor", "walk.job", "--repair"]).shown(), @r#"
    job            walk.job
    format         4
    tables         whole
    items          1 (2 decisions and proposals)
    recordings     1, 1 of them here as they were taken
    photos         1, 1 of them here as they were taken
    result         nothing is wrong
    --- exit code 0
    "#);
    assert_eq!(fs::read(sandbox.path("walk.job/job.db")).unwrap(), before);
}

#[test]
fn missing_and_changed_files_are_named_and_found_again_by_their_content() {
    let sandbox = job();
    fs::remove_file(sandbox.path("walk.job/recordings/walk.txt")).unwrap();
    sandbox.write("walk.job/photos/a.jpg", "something else");
    fs::remove_dir(sandbox.path("walk.job/exports")).unwrap();
    insta::assert_snapshot!(sandbox.run(&["doctor", "walk.job"]).shown(), @"
    job            walk.job
    format         4
    tables         whole
    items          1 (2 decisions and proposals)
    recordings     1, 0 of them here as they were taken
    photos         1, 0 of them here as they were taken
    wrong          recording 1, recordings/walk.txt, is missing: its words are kept, it cannot be heard
    wrong          the photo photos/a.jpg has other content than the one that was taken
    wrong          the folder walk.job/exports is missing
    --- stderr
    error: walk.job: 3 things are wrong
    hint: `callover doctor walk.job --repair` mends what can be mended; missing recordings and photos are looked for where they were, and in the folder given with --recordings
    --- exit code 1
    ");
    // Neither is where it was; one is in the folder given, under another name.
    fs::create_dir_all(sandbox.path("archive/2026")).unwrap();
    fs::rename(
        sandbox.path("walk.txt"),
        sandbox.path("archive/2026/memo 7.txt"),
    )
    .unwrap();
    fs::rename(sandbox.path("camera"), sandbox.path("other")).unwrap();
    let run = sandbox.run(&["doctor", "walk.job", "--repair", "--recordings", "archive"]);
    insta::assert_snapshot!(run.shown(), @r#"
    job            walk.job
    mended         walk.job/recordings/walk.txt from archive/2026/memo 7.txt
    mended         made the folder walk.job/exports
    format         4
    tables         whole
    items          1 (2 decisions and proposals)
    recordings     1, 1 of them here as they were taken
    photos         1, 0 of them here as they were taken
    wrong          the photo photos/a.jpg has other content than the one that was taken
    --- stderr
    error: walk.job: one thing is wrong
    hint: give the folder that holds what is missing, under whatever name: `callover doctor walk.job --repair --recordings FOLDER`
    --- exit code 3
    "#);
    let run = sandbox.run(&["doctor", "walk.job", "--repair", "--recordings", "other"]);
    insta::assert_snapshot!(run.shown(), @r#"
    job            walk.job
    mended         what was walk.job/photos/a.jpg is now walk.job/photos/a-changed.jpg
    mended         walk.job/photos/a.jpg from other/a.jpg
    format         4
    tables         whole
    items          1 (2 decisions and proposals)
    recordings     1, 1 of them here as they were taken
    photos         1, 1 of them here as they were taken
    result         mended
    --- exit code 0
    "#);
    assert_eq!(
        sandbox.read("walk.job/photos/a-changed.jpg"),
        "something else"
    );
}

#[test]
fn a_damaged_job_file_is_saved_row_by_row_and_kept() {
    let sandbox = job();
    let path = sandbox.path("walk.job/job.db");
    let mut bytes = fs::read(&path).unwrap();
    bytes[..100].fill(0xAA);
    fs::write(&path, &bytes).unwrap();
    insta::assert_snapshot!(sandbox.run(&["doctor", "walk.job"]).shown(), @r#"
    job            walk.job
    wrong          walk.job/job.db: not an SQLite file
    --- stderr
    error: walk.job: one thing is wrong
    hint: `callover doctor walk.job --repair` mends what can be mended; missing recordings and photos are looked for where they were, and in the folder given with --recordings
    --- exit code 1
    "#);
    insta::assert_snapshot!(sandbox.run(&["doctor", "walk.job", "--repair"]).shown(), @"
    job            walk.job
    saved          decisions: 2, items: 1, places: 1, recordings: 1, details: 5, photos: 1
    damaged        kept as walk.job/job-damaged.db
    format         4
    tables         whole
    items          1 (2 decisions and proposals)
    recordings     1, 1 of them here as they were taken
    photos         1, 1 of them here as they were taken
    result         mended
    --- exit code 0
    ");
    assert_eq!(
        fs::read(sandbox.path("walk.job/job-damaged.db")).unwrap(),
        bytes
    );
    sandbox.run(&["doctor", "walk.job"]).fine();
    let run = sandbox
        .run_with(&["confirm", "walk.job", "--plain"], "a\n")
        .fine();
    assert!(run.stdout.contains("item 1 confirmed"), "{}", run.stdout);
}

#[test]
fn what_was_lost_of_the_list_comes_back_with_its_decisions_by_taking_again() {
    let sandbox = job();
    sandbox
        .run_with(&["confirm", "walk.job", "--plain"], "a\n")
        .fine();
    let path = sandbox.path("walk.job/job.db");
    let mut bytes = fs::read(&path).unwrap();
    // Spoils the item's row, not the table.
    let field = b"\"element\":\"";
    let places = bytes.windows(field.len()).zip(0..);
    let places: Vec<usize> = places
        .filter(|(part, _)| part == field)
        .map(|(_, place)| place)
        .collect();
    assert!(!places.is_empty());
    for place in places {
        bytes[place + 1] = b'E';
    }
    fs::write(&path, &bytes).unwrap();
    insta::assert_snapshot!(sandbox.run(&["doctor", "walk.job", "--repair"]).shown(), @"
    job            walk.job
    saved          decisions: 3, places: 1, recordings: 1, details: 5, photos: 1
    damaged        kept as walk.job/job-damaged.db
    lost           items: number 1: missing field `element` at line 1 column 852
    format         4
    tables         whole
    items          0 (3 decisions and proposals)
    recordings     1, 1 of them here as they were taken
    photos         1, 1 of them here as they were taken
    wrong          decision 2 was left out: there is no item with the id 3db9c6d32e5adb3d
    wrong          decision 3 was left out: there is no item with the id 3db9c6d32e5adb3d
    --- stderr
    error: walk.job: 2 things are wrong
    error: walk.job: something was lost; it is listed above
    hint: what was lost of the list is made again by taking the recordings of the first visit once more, `callover take RECORDINGS --job walk.job` (walk.job/recordings holds them): the decisions that were saved then count again, and items that were lost get new numbers
    --- exit code 3
    ");
    sandbox
        .run(&[
            "take",
            "walk.job/recordings/walk.txt",
            "--job",
            "walk.job",
            "--quiet",
        ])
        .fine();
    sandbox.run(&["doctor", "walk.job"]).fine();
    let list = sandbox.run(&["export", "walk.job", "--out=-.csv"]).fine();
    assert!(list.stdout.contains("confirmed"), "{}", list.stdout);
}

#[test]
fn what_is_no_job_is_said() {
    let sandbox = job();
    sandbox.write("damaged/job.db", "no tables\n");
    let mut all = String::new();
    for arguments in [
        &["doctor", "missing.job"] as &[&str],
        &["doctor", "damaged"],
        &["doctor", "damaged", "--repair"],
    ] {
        let run = sandbox.run(arguments);
        assert_eq!(run.code, 1, "{}", run.shown());
        all += &run.shown();
    }
    insta::assert_snapshot!(all, @r#"
    job            missing.job
    --- stderr
    error: missing.job is not a job folder: it has no job.db (make one with `callover take AUDIO --job missing.job`)
    --- exit code 1
    job            damaged
    wrong          damaged/job.db: not an SQLite file
    wrong          the folder damaged/recordings is missing
    wrong          the folder damaged/photos is missing
    wrong          the folder damaged/exports is missing
    --- stderr
    error: damaged: 4 things are wrong
    hint: `callover doctor damaged --repair` mends what can be mended; missing recordings and photos are looked for where they were, and in the folder given with --recordings
    --- exit code 1
    job            damaged
    --- stderr
    error: damaged/job.db is not a Callover job file (not one row of it can be read): choose the folder that `callover take` made
    hint: nothing can be saved of it. Put it elsewhere and take the recordings anew (`callover take RECORDINGS --job damaged`); recordings and photos are as they were
    --- exit code 1
    "#);
    assert_eq!(sandbox.run(&["doctor", "--repair"]).code, 2);
}
