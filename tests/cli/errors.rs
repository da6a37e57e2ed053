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
    insta::assert_snapshot!(all, @r#"
    error: cannot read missing.m4a: No such file or directory (os error 2); check the name and that you may read the file
    error: typed.wav is not a sound file this program knows: it looks like text; expected WAV, M4A, MP3, FLAC, Ogg, Opus, AIFF or CAF
    error: empty.m4a is empty (0 bytes); copy it from the recorder again
    error: empty.txt: there are no words in the file; check that it was written to the end
    error: cannot read .: Is a directory (os error 21); check the name and that you may read the file
    "#);
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
    insta::assert_snapshot!(run.shown(), @r#"
    --- stderr
    error: typed.wav is not a sound file this program knows: it looks like text; expected WAV, M4A, MP3, FLAC, Ogg, Opus, AIFF or CAF
    next: callover confirm both
    error: 1 of 2 files could not be used; the list was made without them
    --- exit code 3
    "#);
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
    insta::assert_snapshot!(run.shown(), @"
    --- stderr
    error: list.xls: the ending names no known format; use one of .json, .csv, .md, .html, .xlsx, .bcf, .ics, .vtt, .srt, .pdf
    error: nowhere/list.json: there is no folder nowhere; make it first
    --- exit code 1
    ");
    let run = sandbox.run(&[
        "take",
        "walk.txt",
        "--transcript-out",
        "heard.docx",
        "--transcript-out",
        "nowhere/heard.vtt",
    ]);
    insta::assert_snapshot!(run.shown(), @r#"
    --- stderr
    error: heard.docx: no transcript format has this ending; expected .vtt, .srt, .txt or .json
    error: nowhere/heard.vtt: there is no folder nowhere; make it first
    --- exit code 1
    "#);
    assert!(!sandbox.path("walk.job").exists());
}

#[test]
fn a_file_that_changed_after_it_was_taken_is_not_counted_twice() {
    let sandbox = sandbox();
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    sandbox.write("walk.txt", "Hallway. The skirting board is scratched.\n");
    let run = sandbox.run(&["take", "walk.txt", "--quiet"]);
    insta::assert_snapshot!(run.shown(), @r#"
    --- stderr
    job folder: walk.job, which has one recording already
    error: walk.txt: has changed since it was taken into walk.job; its items would be there twice
    hint: take it into another job folder with --job, or take it under another name to have both
    --- exit code 1
    "#);
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
    insta::assert_snapshot!(all, @r#"
    error: cannot read the model missing.bin: No such file or directory (os error 2)
    error: cannot use the model no-model.bin: not a ggml Whisper model: the file starts with "thes", expected "lmgg"; give a file made for whisper.cpp (ggml-*.bin)
    error: cannot use the model half-model.bin: the model file is cut short: it ends at byte 40884292, inside weights decoder.token_embedding.weight; copy it again
    "#);
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
    insta::assert_snapshot!(all, @r#"
    error: missing is not a job folder: it has no job.db (make one with `callover take AUDIO --job missing`)
    error: missing is not a job folder: it has no job.db (make one with `callover take AUDIO --job missing`)
    error: damaged/job.db is not a Callover job file (not an SQLite file): choose the folder that `callover take` made
    error: damaged/job.db is not a Callover job file (not an SQLite file): choose the folder that `callover take` made
    "#);
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
