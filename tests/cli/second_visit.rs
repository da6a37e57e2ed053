//! The second visit: the example's words against its list, details and dates, and what documents
//! tell of them.

use crate::demo::alone;
use crate::sandbox::{Sandbox, project};
use serde_json::Value;
use std::collections::BTreeMap;

/// A job whose list is confirmed on 2 March 2026.
fn confirmed() -> Sandbox {
    let sandbox = Sandbox::new();
    let example = format!("{}/examples/plot-seven.txt", env!("CARGO_MANIFEST_DIR"));
    sandbox
        .run(&[
            "take",
            &example,
            "--job",
            "seven.job",
            "--title",
            "Plot seven",
            "--quiet",
        ])
        .fine();
    sandbox
        .run_with(&["confirm", "seven.job", "--accept-above", "0"], "q\n")
        .fine();
    sandbox
}

/// Returns the findings that a careful person would write down, as [`waiting`] has them.
fn expected() -> BTreeMap<String, Vec<u32>> {
    let text = std::fs::read_to_string(project("examples/second-visit-expected.json")).unwrap();
    let expected: Value = serde_json::from_str(&text).unwrap();
    let mut wanted: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for (standing, numbers) in expected["found"].as_object().unwrap() {
        let words = match standing.as_str() {
            "offered" => "offered-as-done",
            "closed" => "closed-by-agreement",
            word => word,
        };
        wanted.insert(
            words.into(),
            serde_json::from_value(numbers.clone()).unwrap(),
        );
    }
    wanted.insert("new".into(), vec![34]);
    wanted
}

fn second_visit(sandbox: &Sandbox) -> String {
    let example = format!(
        "{}/examples/plot-seven-second-visit.txt",
        env!("CARGO_MANIFEST_DIR")
    );
    let run = sandbox
        .run(&["recheck", "seven.job", &example, "--date", "2026-04-03"])
        .fine();
    run.shown()
}

/// Returns the findings that wait, by the words for the standing, as `confirm` and the log have
/// them.
fn waiting(printed: &str) -> BTreeMap<String, Vec<u32>> {
    let mut found: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for line in printed.lines() {
        let Some((number, rest)) = line.trim_start().split_once("  ") else {
            continue;
        };
        let Ok(number) = number.parse() else { continue };
        if let Some((standing, _)) = rest.split_once(':') {
            found
                .entry(standing.replace(' ', "-"))
                .or_default()
                .push(number);
        }
    }
    found
}

#[test]
fn the_example_second_visit_is_understood() {
    let sandbox = confirmed();
    let printed = second_visit(&sandbox);
    assert_eq!(waiting(&printed), expected(), "{printed}");
}

/// The words spoken: nothing of a walk is left out, and what is heard of a number is what was said.
#[test]
fn the_spoken_second_visit_is_understood_as_the_written_one() {
    let _alone = alone();
    let sandbox = confirmed();
    let audio = project("examples/plot-seven-second-visit.m4a");
    let run = sandbox
        .run(&["recheck", "seven.job", &audio, "--date", "2026-04-03"])
        .fine();
    let printed = run.shown();
    assert_eq!(waiting(&printed), expected(), "{printed}");
    assert!(!printed.contains("gave no words"), "{printed}");
}

#[test]
fn a_second_visit_overwrites_nothing_and_is_kept_when_decided() {
    let sandbox = confirmed();
    second_visit(&sandbox);
    let before = sandbox
        .run(&["export", "seven.job", "--out=-.md"])
        .fine()
        .stdout;
    assert!(!before.contains("Put right:"), "{before}");
    let run = sandbox.run_with(
        &["confirm", "seven.job", "--plain"],
        "a\ng 11\na\ng 14\nstands changed; patchy by the light\ng 17\ndismiss\ng 2\na\nu\nq\n",
    );
    assert_eq!(run.code, 0, "{}", run.shown());
    let after = sandbox
        .run(&["export", "seven.job", "--out=-.md"])
        .fine()
        .stdout;
    for line in [
        "## Visit 2 on 3 April 2026",
        "- Put right: 1",
        "- Not put right: 11",
        "- Changed: 14",
        "- Seen: Visit 2, 3 April 2026: changed – “patchy by the light”",
        "- Stands: Put right; was open for 32 days",
    ] {
        assert!(after.contains(line), "{line} is not in\n{after}");
    }
    // Hearing the same again changes nothing.
    second_visit(&sandbox);
    let again = sandbox
        .run(&["export", "seven.job", "--out=-.md"])
        .fine()
        .stdout;
    assert_eq!(after, again);
    let outstanding = sandbox
        .run(&["export", "seven.job", "--outstanding", "--out=-.csv"])
        .fine()
        .stdout;
    let rows = outstanding.lines().count();
    let all = sandbox
        .run(&["export", "seven.job", "--out=-.csv"])
        .fine()
        .stdout;
    // One item is put right, and the new one is not confirmed yet.
    assert_eq!(rows + 2, all.lines().count());
}

#[test]
fn a_later_first_recording_leaves_the_second_visit_alone() {
    let sandbox = confirmed();
    second_visit(&sandbox);
    sandbox.write("forgotten.txt", "Garage. The door is dented.\n");
    sandbox
        .run(&["take", "forgotten.txt", "--job", "seven.job", "--quiet"])
        .fine();
    let list = sandbox
        .run(&["export", "seven.job", "--out", "-"])
        .fine()
        .stdout;
    let list: Value = serde_json::from_str(&list).unwrap();
    let items = list["items"].as_array().unwrap();
    assert_eq!(items.len(), 35);
    let garage = items.iter().find(|item| item["place"] == "garage").unwrap();
    assert_eq!(garage["number"], 35);
    // The second visit's words make no items of the first walk-round.
    let kitchen = items
        .iter()
        .filter(|item| item["place"] == "kitchen")
        .count();
    assert_eq!(kitchen, 3);
}

#[test]
fn details_are_set_shown_and_kept_in_the_log() {
    let sandbox = confirmed();
    let set = sandbox
        .run(&[
            "details",
            "seven.job",
            "--client",
            "R. Example",
            "--date",
            "2026-03-02",
            "--within",
            "30 days",
            "--within",
            "safety=1 day",
            "--respond-within",
            "14 days",
        ])
        .fine();
    insta::assert_snapshot!(set.shown(), @r#"
    --- stderr
    client: R. Example
    date: 2026-03-02
    respond-within: 14 days
    within: 30 days
    within/safety: 1 day
    --- exit code 0
    "#);
    let shown = sandbox.run(&["details", "seven.job"]).fine();
    insta::assert_snapshot!(shown.shown(), @r#"
    Client: R. Example
    Date: 2026-03-02
    Title: Plot seven
    To be answered within: 14 days
    To be put right within: 30 days
    To be put right within, safety: 1 day
    Visit 1: 2026-03-02, 1 recording
    --- exit code 0
    "#);
    let undone = sandbox
        .run(&["details", "seven.job", "--client", ""])
        .fine();
    insta::assert_snapshot!(undone.shown(), @r#"
    --- stderr
    client: taken out
    --- exit code 0
    "#);
    let list = sandbox
        .run(&["export", "seven.job", "--out=-.md", "--as-of", "2026-04-02"])
        .fine();
    for line in [
        "- Answer due by: 16 March 2026",
        "- Stands: Due by 1 April 2026, overdue",
        "- Stands: Due by 3 March 2026, overdue",
    ] {
        assert!(
            list.stdout.contains(line),
            "{line} is not in\n{}",
            list.stdout
        );
    }
    let of_the_visit = sandbox
        .run(&["export", "seven.job", "--out=-.md"])
        .fine()
        .stdout;
    assert!(!of_the_visit.contains("overdue"), "{of_the_visit}");
}

#[test]
fn what_cannot_be_rechecked_is_told() {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", "Hallway. The front door is catching.\n");
    sandbox.write("second.txt", "One done.\n");
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    let early = sandbox.run(&["recheck", "walk.job", "second.txt"]);
    insta::assert_snapshot!(early.shown(), @r#"
    --- stderr
    error: walk.job: no item of the list is confirmed, so there is nothing to check again
    hint: callover confirm walk.job
    --- exit code 1
    "#);
    sandbox
        .run_with(&["confirm", "walk.job", "--accept-above", "0"], "q\n")
        .fine();
    let same = sandbox.run(&["recheck", "walk.job", "walk.txt"]);
    insta::assert_snapshot!(same.shown(), @r#"
    --- stderr
    error: a file given is a recording of the first walk-round of walk.job
    hint: give the recordings of the later visit
    --- exit code 1
    "#);
    let before = sandbox.run(&["recheck", "walk.job", "second.txt", "--date", "2026-03-01"]);
    insta::assert_snapshot!(before.shown(), @r#"
    --- stderr
    error: 2026-03-01 lies before 2026-03-02, the date of the visit before
    hint: give the date with --date, or the first one with callover details JOB --date
    --- exit code 1
    "#);
    let wrong = sandbox.run(&[
        "details", "walk.job", "--within", "soon", "--date", "tomorrow",
    ]);
    insta::assert_snapshot!(wrong.shown(), @r#"
    --- stderr
    error: --date: `tomorrow` is no date: give it as YYYY-MM-DD, such as 2026-03-02
    error: --within: the period `soon` is not understood: give a whole number from 1 to 3650 and days, working days, weeks or months, such as 30 days
    --- exit code 1
    "#);
}
