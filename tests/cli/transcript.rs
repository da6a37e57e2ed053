//! The whole way with a transcript in place of sound: take, confirm, export, take again.

use crate::sandbox::{Sandbox, valid};
use std::fs;

/// Words that leave no doubt; what understanding makes of harder ones is tested where it is done.
const WALK: &str = "\
[0:02] Hallway. The skirting board is loose.
[0:09] Bathroom. Two of the wall tiles are cracked.
[0:16] The basin waste is leaking.
[0:21] Kitchen. The wall is bowed, eight millimetres over two metres.
";

fn taken() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    sandbox
        .run(&["take", "walk.txt", "--quiet", "--title", "Plot three"])
        .fine();
    sandbox
}

#[test]
fn take_prints_the_proposed_list() {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    let run = sandbox.run(&["take", "walk.txt", "--title", "Plot three"]);
    insta::assert_snapshot!(run.shown(), @"
    Plot three

    Hallway
      1  skirting board: loose
         remedy: secure firmly (suggested)
         joiner, repair, at 0:03, almost certain

    Bathroom
      2  wall tile: cracked (2 of them)
         remedy: replace tile (suggested)
         tiler, repair, at 0:10, almost certain
      3  basin waste: leaking
         remedy: stop the leak (suggested)
         plumber, repair, at 0:16, almost certain

    Kitchen
      4  wall: bowed
         measured: 8 mm over 2 m
         remedy: straighten (suggested)
         plasterer, repair, at 0:21, almost certain

    4 items at 3 places
    --- stderr
    job folder: walk.job
    title: Plot three
    coverage:
      usual in a home and not visited: front elevation, rear elevation or garden, living room, bedrooms
      usually looked at, not mentioned: bathroom (toilet, sealant, fan), kitchen (worktop, sink, tap)
    next: callover confirm walk.job
    --- exit code 0
    ");
    let widest = run.stdout.lines().map(|line| line.chars().count()).max();
    assert!(widest <= Some(100));
}

#[test]
fn take_writes_list_and_transcript_where_it_is_told() {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    let run = sandbox
        .run(&[
            "take",
            "walk.txt",
            "--job",
            "jobs/three",
            "--out",
            "list.json",
            "--transcript-out",
            "walk.vtt",
            "--transcript-out",
            "walk.json",
            "--quiet",
        ])
        .fine();
    insta::assert_snapshot!(run.shown(), @r#"
    --- stderr
    wrote list.json
    wrote walk.vtt
    wrote walk.json
    next: callover confirm jobs/three
    --- exit code 0
    "#);
    let list = valid(&sandbox.read("list.json"));
    assert_eq!(list["title"], "walk");
    assert_eq!(list["created"], "2026-03-02T17:05:00Z");
    let places: Vec<&str> = list["items"]
        .as_array()
        .unwrap()
        .iter()
        .map(|item| item["place"].as_str().unwrap())
        .collect();
    assert_eq!(places, ["hallway", "bathroom", "bathroom", "kitchen"]);
    assert!(sandbox.read("walk.vtt").starts_with("WEBVTT\n"));
    assert!(sandbox.path("jobs/three/recordings/walk.txt").is_file());
}

#[test]
fn a_transcript_written_out_gives_the_same_list_when_taken() {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    let first = sandbox
        .run(&[
            "take",
            "walk.txt",
            "--transcript-out",
            "again.json",
            "--job",
            "a",
        ])
        .fine();
    let second = sandbox
        .run(&["take", "again.json", "--title", "walk", "--job", "b"])
        .fine();
    assert_eq!(first.stdout, second.stdout);
}

#[test]
fn confirm_without_a_terminal_takes_commands_line_by_line() {
    let sandbox = taken();
    let script = "a\nr seen to already\ngrumble\ne trade=tiler\na\nq\n";
    let run = sandbox.run_with(&["confirm", "walk.job", "--plain"], script);
    assert_eq!(run.code, 1, "one command was refused: {}", run.shown());
    insta::assert_snapshot!(run.stderr, @r#"
    to go on: callover confirm walk.job
    error: 1 of the commands given was refused; the others were kept
    hint: each is told above as `not done`
    "#);
    assert!(run.stdout.contains("not done: "), "{}", run.stdout);

    let list = exported(&sandbox);
    let states: Vec<&str> = list["items"]
        .as_array()
        .unwrap()
        .iter()
        .map(|item| item["status"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["confirmed", "rejected", "confirmed", "proposed"]);
}

#[test]
fn taking_the_same_file_again_keeps_every_decision() {
    let sandbox = taken();
    sandbox
        .run_with(&["confirm", "walk.job"], "a\nr no\nu\n")
        .fine();
    let before = exported(&sandbox);
    let run = sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    insta::assert_snapshot!(run.shown(), @r#"
    --- stderr
    job folder: walk.job, which has one recording already
    next: callover confirm walk.job
    --- exit code 0
    "#);
    assert_eq!(exported(&sandbox), before);
    let redone = sandbox
        .run_with(&["confirm", "walk.job", "--plain"], "y\n")
        .fine();
    assert!(redone.stdout.contains("rejected: no"), "{}", redone.stdout);
}

#[test]
fn export_writes_every_format_the_same_each_time() {
    let sandbox = taken();
    let files = ["list.json", "list.csv", "list.md", "list.html"];
    let mut arguments = vec!["export", "walk.job", "--out"];
    arguments.extend(files);
    sandbox.run(&arguments).fine();
    let first: Vec<Vec<u8>> = files.map(|f| fs::read(sandbox.path(f)).unwrap()).to_vec();
    sandbox.run(&arguments).fine();
    for (file, first) in files.iter().zip(first) {
        let again = fs::read(sandbox.path(file)).unwrap();
        assert_eq!(again, first, "{file}");
        let text = String::from_utf8(again).unwrap().to_lowercase();
        assert!(text.contains("skirting board"), "{file}");
    }
    valid(&sandbox.read("list.json"));
}

#[test]
fn export_divides_the_list_as_asked_and_can_go_to_standard_output() {
    let sandbox = taken();
    let run = sandbox
        .run(&["export", "walk.job", "--by", "trade", "--out=-.md"])
        .fine();
    assert_eq!(run.stderr, "");
    assert!(run.stdout.contains("## Plumber"), "{}", run.stdout);
}

#[test]
fn a_second_file_joins_the_walk_round() {
    let sandbox = taken();
    sandbox.write("later/walk.txt", "Loft. The insulation is missing.\n");
    let run = sandbox
        .run(&["take", "later/walk.txt", "--job", "walk.job", "--quiet"])
        .fine();
    insta::assert_snapshot!(run.shown(), @r#"
    --- stderr
    job folder: walk.job, which has one recording already
    next: callover confirm walk.job
    --- exit code 0
    "#);
    let list = exported(&sandbox);
    let files: Vec<&str> = list["recordings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|recording| recording["file"].as_str().unwrap())
        .collect();
    assert_eq!(files, ["walk.txt", "walk-2.txt"]);
    assert_eq!(list["items"].as_array().unwrap().len(), 5);
}

#[test]
fn words_without_any_defect_give_an_empty_list() {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", "Right, shall we begin.\n");
    let run = sandbox.run(&["take", "walk.txt", "--out", "list.json"]);
    insta::assert_snapshot!(run.shown(), @r#"
    walk

    0 items at 0 places; 1 remark made no item, the exported list shows them
    --- stderr
    job folder: walk.job
    wrote list.json
    coverage:
      made no item: 4 of 4 words (100 %)
    the list is empty: no defect was understood in what was said
    --- exit code 0
    "#);
    let list = valid(&sandbox.read("list.json"));
    assert_eq!(list["items"], serde_json::json!([]));
}

#[test]
fn limits_and_places_are_chosen_and_remembered() {
    let sandbox = Sandbox::new();
    sandbox.write(
        "walk.txt",
        "Reading nook. Cushion rail is loose. Stairs. Riser two thirty.\n",
    );
    sandbox.write("plan.txt", "reading nook\nKitchen\n");
    let take = |more: &[&str]| {
        let all = [&["take", "walk.txt", "--job", "walk.job"], more].concat();
        sandbox.run(&all)
    };
    // International Residential Code R311.7.5.1: riser at most 7 3/4 in (196 mm).
    let run = take(&["--limits", "us", "--places", "plan.txt"]).fine();
    assert!(
        run.stderr.contains("planned and not visited: Kitchen"),
        "{}",
        run.stderr
    );
    assert!(run.stdout.contains("Reading nook"), "{}", run.stdout);
    let limits = |list: &serde_json::Value| list["items"][1]["limits"].to_string();
    assert!(limits(&exported(&sandbox)).contains("IRC-riser"));
    let again = take(&["--quiet"]).fine();
    assert!(!again.stderr.contains("coverage"), "{}", again.stderr);
    assert!(limits(&exported(&sandbox)).contains("IRC-riser"));
    let wrong = take(&["--limits", "narnia"]);
    assert!(
        wrong.stderr.contains("there are no limits for `narnia`"),
        "{}",
        wrong.stderr
    );
    sandbox.write("own.toml", "[[limit]]\nid = 3\n");
    let wrong = take(&["--limits-file", "own.toml"]);
    assert!(
        wrong.stderr.contains("own.toml:2: \"id\": expected text"),
        "{}",
        wrong.stderr
    );
}

fn exported(sandbox: &Sandbox) -> serde_json::Value {
    let run = sandbox.run(&["export", "walk.job", "--out", "-"]).fine();
    valid(&run.stdout)
}
