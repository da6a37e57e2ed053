//! Exported files as other programs read them: Python's csv, openpyxl, icalendar, bcf-client and
//! webvtt-py. `.ci/tools --all` installs them; without them the tests say so.

use crate::not_run::not_run;
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
            return not_run("python3");
        }
    };
    if run.code == MISSING {
        return not_run(&format!("the Python package {}", run.stdout.trim()));
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
        insta::assert_snapshot!(found, @"
        1|hallway|The skirting board is loose.|open|
        2|bathroom|Two of the wall tiles are cracked.|open|
        3|kitchen|The socket beside the hob is loose.|open|
        4|kitchen|The wall is bowed.|open|
        ");
    }
}

/// Source: openpyxl.
#[test]
fn openpyxl_reads_the_workbook() {
    let sandbox = exported(&["--out", "list.xlsx"]);
    if let Some(found) = read(&sandbox, "xlsx", &["list.xlsx"]) {
        insta::assert_snapshot!(found, @r#"
        sheets: Summary, Items, Electrician, Joiner, Plasterer, Tiler, About
        filter: A1:V5 frozen: B2
        prints: landscape $1:$1 'Items'!$A$1:$N$5
        choice: L2:L5 "proposed,confirmed,rejected"
        choice: M2:M5 "open,offered as done,put right,not put right,changed,closed by agreement"
        kinds of cells: n s
        charts: 4
        author: None made: 2026-03-02 17:05:00
        1|Hallway|The skirting board is loose.|Joiner|open|None
        2|Bathroom|Two of the wall tiles are cracked.|Tiler|open|None
        3|Kitchen|The socket beside the hob is loose.|Electrician|open|None
        4|Kitchen|The wall is bowed.|Plasterer|open|None
        count: Repair 4 4
        count: open 4 4
        count: Joiner 1 1
        count: Tiler 1 1
        count: Electrician 1 1
        count: Plasterer 1 1
        count: Hallway 1 1
        count: Bathroom 1 1
        count: Kitchen 2 2
        "#);
    }
}

/// Source: the Python package icalendar.
#[test]
fn icalendar_reads_the_tasks() {
    let sandbox = exported(&["--out", "list.ics"]);
    if let Some(found) = read(&sandbox, "ics", &["list.ics"]) {
        insta::assert_snapshot!(found, @r#"
        Electrician: 1 item, Plot 3; "Larch"|None|NEEDS-ACTION|0|5
          uid f05c0a58-e3a9-56c0-be1c-f67499e759ab stamp 2026-03-02T17:05:00+00:00
          3. Kitchen: The socket beside the hob is loose. Secure the socket firmly (usual remedy). Caution: Electricity can kill. Do not touch or open the fitting, and do not use it if it is damaged, hot or wet. Have a licensed electrician make it safe, test it and put it right to the local wiring rules.
        Joiner: 1 item, Plot 3; "Larch"|None|NEEDS-ACTION|0|5
          uid 02856063-b85a-5f9e-9fcd-1f3f47d48a55 stamp 2026-03-02T17:05:00+00:00
          1. Hallway: The skirting board is loose. Secure the skirting board firmly (usual remedy).
        Plasterer: 1 item, Plot 3; "Larch"|None|NEEDS-ACTION|0|5
          uid 97cfa827-e782-5915-91c1-5c74b7025666 stamp 2026-03-02T17:05:00+00:00
          4. Kitchen: The wall is bowed. Straighten the wall (usual remedy).
        Tiler: 1 item, Plot 3; "Larch"|None|NEEDS-ACTION|0|5
          uid 4a2b517e-6b9a-585e-8b2c-ee572029b542 stamp 2026-03-02T17:05:00+00:00
          2. Bathroom: Two of the wall tiles are cracked. Replace the tiles (usual remedy).
        "#);
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
        insta::assert_snapshot!(found, @"
        version 2.1
        1. Hallway: skirting board, loose|Open|Joiner|None|Hallway,Skirting board,Repair|comments|0|snapshots|[]
        2. Bathroom: wall tile, cracked|Open|Tiler|None|Bathroom,Wall tile,Repair|comments|0|snapshots|[]
        3. Kitchen: socket, loose|Open|Electrician|None|Kitchen,Socket,Repair|comments|0|snapshots|[]
        4. Kitchen: wall, bowed|Open|Plasterer|None|Kitchen,Wall,Repair|comments|0|snapshots|[]
        version 3.0
        1. Hallway: skirting board, loose|Open|Joiner|None|Hallway,Skirting board,Repair|comments|0|snapshots|[]
        2. Bathroom: wall tile, cracked|Open|Tiler|None|Bathroom,Wall tile,Repair|comments|0|snapshots|[]
        3. Kitchen: socket, loose|Open|Electrician|None|Kitchen,Socket,Repair|comments|0|snapshots|[]
        4. Kitchen: wall, bowed|Open|Plasterer|None|Kitchen,Wall,Repair|comments|0|snapshots|[]
        ");
    }
}

/// Source: the Python package webvtt-py.
#[test]
fn webvtt_py_reads_the_cues() {
    let sandbox = exported(&["--out", "list.vtt", "list.srt"]);
    if let Some(found) = read(&sandbox, "vtt", &["list.vtt"]) {
        insta::assert_snapshot!(found, @"
        1|00:00:03.421|00:00:08.000|1. Hallway: The skirting board is loose.
        2|00:00:10.778|00:00:17.000|2. Bathroom: Two of the wall tiles are cracked.
        3|00:00:21.618|00:00:24.091|3. Kitchen: The socket beside the hob is loose. / Caution: Electricity can kill. Do not touch or open the fitting, and do not use it if it is damaged, hot or wet. Have a licensed electrician make it safe, test it and put it right to the local wiring rules.
        4|00:00:24.091|00:00:27.800|4. Kitchen: The wall is bowed.
        ");
    }
}

/// Source: LibreOffice, without a screen, where it is installed: it reads the table and the workbook,
/// reckons the summary's formulas itself, and writes every sheet as a table of texts.
#[test]
fn libreoffice_reads_the_table_and_the_workbook() {
    let sandbox = exported(&["--out", "list.csv", "book.xlsx"]);
    let profile = format!(
        "-env:UserInstallation=file://{}",
        sandbox.path("profile").display()
    );
    // Comma, quote, UTF-8, from line 1; the last number asks for a file for each sheet.
    let form = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1";
    let run = Command::new("soffice")
        .args([
            &profile,
            "--headless",
            "--infilter=CSV:44,34,76,1",
            "--convert-to",
            form,
        ])
        .args(["--outdir", "out", "list.csv"])
        .current_dir(sandbox.path(""))
        .output();
    let Ok(table) = run else {
        not_run::<()>("LibreOffice");
        return;
    };
    assert!(table.status.success(), "{table:?}");
    let book = Command::new("soffice")
        .args([
            &profile,
            "--headless",
            "--convert-to",
            form,
            "--outdir",
            "out",
            "book.xlsx",
        ])
        .current_dir(sandbox.path(""))
        .output()
        .unwrap();
    assert!(book.status.success(), "{book:?}");
    let rows = |file: &str| -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_path(sandbox.path(file))
            .unwrap();
        let rows = reader
            .records()
            .map(|row| row.unwrap().iter().map(String::from).collect());
        rows.collect()
    };
    let own = rows("list.csv");
    let seen = rows("out/list-list.csv");
    assert_eq!(own.len(), seen.len());
    for (own, seen) in own.iter().zip(&seen).skip(1) {
        // Numbers may be written otherwise; texts may not.
        assert_eq!(own[1..6], seen[1..6]);
    }
    let items = rows("out/book-Items.csv");
    assert_eq!(items.len(), own.len());
    for (own, seen) in own.iter().zip(&items).skip(1) {
        assert_eq!((&own[0], &own[5]), (&seen[0], &seen[3]));
    }
    let summary = rows("out/book-Summary.csv");
    let joiner = summary.iter().find(|row| row[0] == "Joiner");
    assert_eq!(
        joiner.map(|row| (row[1].as_str(), row[2].as_str())),
        Some(("1", "1"))
    );
}
