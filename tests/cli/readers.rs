//! Exported files as other programs read them: Python's csv, openpyxl, icalendar, bcf-client and
//! webvtt-py. `.ci/tools --all` installs them; without them the tests say so.

use crate::sandbox::{Run, Sandbox, project};
use std::path::Path;
use std::process::Command;

/// Words with everything that a format might stumble over.
const WALK: &str = "\
[0:02] Hallway. The skirting board is loose.
[0:09] Bathroom. Two of the wall tiles are cracked.
[0:21] Kitchen. The socket beside the hob is loose. The wall is bowed, eight millimetres over two metres.
";

/// Exit code of `readers.py` where a package is missing.
const MISSING: i32 = 3;

/// Returns a job whose items are all confirmed; the first has hostile texts.
fn confirmed() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    sandbox
        .run(&[
            "take",
            "walk.txt",
            "--quiet",
            "--title",
            "Plot 3; \"Larch\", & <Row>",
        ])
        .fine();
    sandbox
        .run(&["confirm", "walk.job", "--plain", "--accept-above", "0"])
        .fine();
    sandbox
}

/// Returns what a Python package reads in the files; `None` where it is not installed.
fn read(sandbox: &Sandbox, kind: &str, files: &[&str]) -> Option<String> {
    let own = project("target/readers/bin/python3");
    let python = if Path::new(&own).exists() {
        own.as_str()
    } else {
        "python3"
    };
    let output = Command::new(python)
        .args(["-W", "ignore", &project("tests/cli/readers.py"), kind])
        .args(files.iter().map(|file| sandbox.path(file)))
        .output();
    let run: Run = match output {
        Ok(output) => sandbox.outcome(&output),
        Err(_) => {
            println!("NOT RUN: python3 is not installed");
            return None;
        }
    };
    if run.code == MISSING {
        println!(
            "NOT RUN: the Python package {} is not installed",
            run.stdout.trim()
        );
        return None;
    }
    Some(run.fine().stdout)
}

fn exported(arguments: &[&str]) -> Sandbox {
    let sandbox = confirmed();
    let arguments = [&["export", "walk.job"], arguments].concat();
    sandbox.run(&arguments).fine();
    sandbox
}

/// Source: Python's csv module in strict mode.
#[test]
fn python_reads_the_table() {
    let sandbox = exported(&["--out", "list.csv"]);
    if let Some(found) = read(&sandbox, "csv", &["list.csv"]) {
        insta::assert_snapshot!(found, @"");
    }
}

/// Source: openpyxl.
#[test]
fn openpyxl_reads_the_workbook() {
    let sandbox = exported(&["--out", "list.xlsx"]);
    if let Some(found) = read(&sandbox, "xlsx", &["list.xlsx"]) {
        insta::assert_snapshot!(found, @"");
    }
}

/// Source: the Python package icalendar.
#[test]
fn icalendar_reads_the_tasks() {
    let sandbox = exported(&["--out", "list.ics"]);
    if let Some(found) = read(&sandbox, "ics", &["list.ics"]) {
        insta::assert_snapshot!(found, @"");
    }
}

/// Source: the Python package bcf-client.
#[test]
fn bcf_client_reads_both_versions() {
    let sandbox = exported(&["--out", "list.bcf"]);
    sandbox
        .run(&["export", "walk.job", "--out", "new.bcf", "--bcf", "3.0"])
        .fine();
    if let Some(found) = read(&sandbox, "bcf", &["list.bcf", "new.bcf"]) {
        insta::assert_snapshot!(found, @"");
    }
}

/// Source: the Python package webvtt-py.
#[test]
fn webvtt_py_reads_the_cues() {
    let sandbox = exported(&["--out", "list.vtt", "list.srt"]);
    if let Some(found) = read(&sandbox, "vtt", &["list.vtt"]) {
        insta::assert_snapshot!(found, @"");
    }
}
