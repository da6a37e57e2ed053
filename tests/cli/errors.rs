//! What is wrong is said once, in one clear message, with an exit code that scripts can use.

use crate::sandbox::{Sandbox, project};

fn sandbox() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", "Hallway. The skirting board is loose.\n");
    sandbox.write("typed.wav", "Hallway. The skirting board is loose.\n");
    sandbox.write("empty.m4a", "");
    sandbox.write("empty.txt", "");
    sandbox.write("no-model.bin", "these are no weights\n");
    sandbox
}

#[test]
fn files_that_cannot_be_taken_leave_no_job_behind() {
    let sandbox = sandbox();
    let mut all = String::new();
    for file in ["missing.m4a", "typed.wav", "empty.m4a", "empty.txt", "."] {
        let run = sandbox.run(&["take", file]);
        assert_eq!((run.code, run.stdout.as_str()), (1, ""), "{}", run.shown());
        all += &run.stderr;
    }
    insta::assert_snapshot!(all, @"");
    let jobs = std::fs::read_dir(sandbox.path("")).unwrap().flatten();
    assert_eq!(
        jobs.filter(|e| e.path().extension().is_some_and(|e| e == "job"))
            .count(),
        0
    );
}

#[test]
fn one_bad_file_does_not_stop_the_others() {
    let sandbox = sandbox();
    let run = sandbox.run(&["take", "typed.wav", "walk.txt", "--job", "both", "--quiet"]);
    insta::assert_snapshot!(run.shown(), @"");
}

#[test]
fn targets_are_checked_before_anything_is_done() {
    let sandbox = sandbox();
    let run = sandbox.run(&[
        "take",
        "walk.txt",
        "--out",
        "list.xls",
        "--out",
        "nowhere/list.json",
    ]);
    insta::assert_snapshot!(run.shown(), @"");
    let run = sandbox.run(&[
        "take",
        "walk.txt",
        "--transcript-out",
        "heard.docx",
        "--transcript-out",
        "nowhere/heard.vtt",
    ]);
    insta::assert_snapshot!(run.shown(), @"");
    assert!(!sandbox.path("walk.job").exists());
}

#[test]
fn a_file_that_changed_after_it_was_taken_is_not_counted_twice() {
    let sandbox = sandbox();
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    sandbox.write("walk.txt", "Hallway. The skirting board is scratched.\n");
    let run = sandbox.run(&["take", "walk.txt", "--quiet"]);
    insta::assert_snapshot!(run.shown(), @"");
}

#[test]
fn a_model_that_is_none_is_refused_before_anything_is_done() {
    let sandbox = sandbox();
    let whole = std::fs::read(project("models/whisper-base-q8_0.bin")).unwrap();
    sandbox.write("half-model.bin", &whole[..whole.len() / 2]);
    let audio = project("examples/plot-seven.m4a");
    let mut all = String::new();
    for model in ["missing.bin", "no-model.bin", "half-model.bin"] {
        let run = sandbox.run(&["take", &audio, "--model", model]);
        assert_eq!((run.code, run.stdout.as_str()), (1, ""), "{}", run.shown());
        all += &run.stderr;
        let run = sandbox.run(&["doctor", "--model", model]);
        assert_eq!(run.code, 1, "{}", run.shown());
    }
    insta::assert_snapshot!(all, @"");
    assert!(!sandbox.path("plot-seven.job").exists());
}

#[test]
fn a_folder_without_a_job_is_named_with_the_way_to_make_one() {
    let sandbox = sandbox();
    sandbox.write("damaged/job.db", "no tables\n");
    let mut all = String::new();
    for arguments in [
        &["export", "missing", "--out", "list.json"] as &[&str],
        &["confirm", "missing"],
        &["export", "damaged", "--out", "list.json"],
        &["take", "walk.txt", "--job", "damaged"],
    ] {
        let run = sandbox.run(arguments);
        assert_eq!((run.code, run.stdout.as_str()), (1, ""), "{}", run.shown());
        all += &run.stderr;
    }
    insta::assert_snapshot!(all, @"");
}

#[test]
fn vocabulary_that_cannot_be_used_is_told_with_file_and_line() {
    let sandbox = sandbox();
    sandbox.write(
        "own.toml",
        "[[element]]\nname = \"gubbins\"\ntrade = \"wizard\"\n",
    );
    let run = sandbox.run(&["take", "walk.txt", "--lexicon", "own.toml"]);
    assert_eq!((run.code, run.stdout.as_str()), (1, ""), "{}", run.shown());
    assert!(run.stderr.contains("own.toml:"), "{}", run.stderr);
    let run = sandbox.run(&["lexicon", "check", "own.toml"]);
    assert_eq!(run.code, 1, "{}", run.shown());
    assert!(run.stdout.contains("error: own.toml:"), "{}", run.stdout);
}
