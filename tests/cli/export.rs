//! What only `export` does: many formats at once, cues for each recording, sound, what is outstanding.

use crate::sandbox::{Sandbox, project, valid};
use std::fs;

const WALK: &str = "\
[0:02] Hallway. The skirting board is loose.
[0:06] Bathroom. Two of the wall tiles are cracked.
";

fn taken(files: &[&str]) -> Sandbox {
    let sandbox = Sandbox::new();
    for (position, file) in files.iter().enumerate() {
        sandbox.write(
            file,
            format!("{WALK}[0:1{position}] The ceiling is cracked.\n"),
        );
    }
    let arguments = [&["take"], files, &["--quiet", "--job", "walk.job"]].concat();
    sandbox.run(&arguments).fine();
    sandbox
}

#[test]
fn every_format_is_written_by_its_ending() {
    let sandbox = taken(&["walk.txt"]);
    let run = sandbox.run(&[
        "export", "walk.job", "--out", "a.json", "a.csv", "a.md", "a.html", "a.xlsx", "a.bcf",
        "a.ics", "a.vtt", "a.srt",
    ]);
    insta::assert_snapshot!(run.shown(), @"
    --- stderr
    wrote a.json
    wrote a.csv
    wrote a.md
    wrote a.html
    wrote a.xlsx
    wrote a.bcf
    wrote a.ics
    wrote a.vtt
    wrote a.srt
    --- exit code 0
    ");
    for (file, start) in [
        ("a.xlsx", "PK"),
        ("a.bcf", "PK"),
        ("a.ics", "BEGIN:VCALENDAR\r\n"),
        ("a.vtt", "WEBVTT "),
        ("a.srt", "1\n00:00:0"),
    ] {
        let bytes = fs::read(sandbox.path(file)).unwrap();
        assert!(bytes.starts_with(start.as_bytes()), "{file}");
    }
}

#[test]
fn several_recordings_get_cues_of_their_own() {
    let sandbox = taken(&["one.txt", "two.txt"]);
    let run = sandbox
        .run(&["export", "walk.job", "--out", "walk.vtt"])
        .fine();
    assert_eq!(run.stderr, "wrote walk-1.vtt\nwrote walk-2.vtt\n");
    assert!(sandbox.read("walk-2.vtt").contains("NOTE two.txt\n"));
    let run = sandbox.run(&["export", "walk.job", "--out=-.vtt"]);
    assert_eq!(run.code, 1);
    assert!(run.stderr.contains("2 recordings"), "{}", run.stderr);
}

#[test]
fn outstanding_leaves_out_what_nobody_confirmed() {
    let sandbox = taken(&["walk.txt"]);
    let items = |sandbox: &Sandbox| {
        let run = sandbox
            .run(&["export", "walk.job", "--outstanding", "--out=-.json"])
            .fine();
        valid(&run.stdout)["items"].as_array().unwrap().len()
    };
    assert_eq!(items(&sandbox), 0);
    sandbox
        .run(&["confirm", "walk.job", "--plain", "--accept-above", "0"])
        .fine();
    assert_eq!(items(&sandbox), 3);
    let run = sandbox.run(&[
        "export",
        "walk.job",
        "--outstanding",
        "--with-rejected",
        "--out=-.csv",
    ]);
    assert_eq!(run.code, 2);
}

#[test]
fn sound_is_put_into_the_page_and_its_size_told() {
    let sandbox = taken(&["walk.txt"]);
    let run = sandbox
        .run(&["export", "walk.job", "--out", "a.html", "--with-sound"])
        .fine();
    assert_eq!(
        run.stderr,
        "note: no sound from walk.txt: it is a transcript\n\
         sound: 0 of 3 items have a clip, 0.0 MB in the page\nwrote a.html\n"
    );
    // The same words as heard in a recording, which stands in the job's folder.
    sandbox
        .run(&[
            "take",
            "walk.txt",
            "--job",
            "walk.job",
            "--quiet",
            "--transcript-out",
            "heard.json",
        ])
        .fine();
    let heard = sandbox.read("heard.json").replace("walk.txt", "walk.wav");
    sandbox.write("heard.json", heard);
    sandbox
        .run(&["take", "heard.json", "--job", "sound.job", "--quiet"])
        .fine();
    let run = sandbox
        .run(&["export", "sound.job", "--out", "b.html", "--with-sound"])
        .fine();
    assert!(
        run.stderr.starts_with("note: no sound from walk.wav: "),
        "{}",
        run.stderr
    );
    let kept = sandbox.path("sound.job/recordings/walk.wav");
    fs::copy(project("tests/data/jfk_inaugural.wav"), kept).unwrap();
    let run = sandbox
        .run(&["export", "sound.job", "--out", "b.html", "--with-sound"])
        .fine();
    assert!(
        run.stderr
            .starts_with("sound: 3 of 3 items have a clip, 0."),
        "{}",
        run.stderr
    );
    let page = sandbox.read("b.html");
    assert_eq!(page.matches("<audio controls preload=\"none\"").count(), 3);
    assert_eq!(
        page.matches("src=\"data:audio/ogg;codecs=opus;base64,T2dnU")
            .count(),
        3
    );
    let run = sandbox.run(&["export", "sound.job", "--out", "b.csv", "--with-sound"]);
    assert_eq!(run.code, 1, "{}", run.shown());
}
