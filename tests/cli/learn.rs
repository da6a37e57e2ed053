//! Learning from corrections: lessons are offered, accepted, used by the next `take`, and undone.

use crate::sandbox::Sandbox;

/// Two jobs in which *blenkit*, a word that nobody knows, was put right as the plinth.
fn corrected() -> Sandbox {
    let sandbox = Sandbox::new();
    for (name, defect) in [("one", "cracked"), ("two", "scratched")] {
        let file = format!("{name}.txt");
        sandbox.write(&file, format!("Hallway. The blenkit is {defect}.\n"));
        sandbox.run(&["take", &file, "--quiet"]).fine();
        let job = format!("{name}.job");
        sandbox
            .run_with(&["confirm", &job, "--plain"], "e element=plinth\na\nq\n")
            .fine();
    }
    sandbox
}

fn element_of_a_third(sandbox: &Sandbox) -> String {
    sandbox.write("three.txt", "Kitchen. The blenkit is loose.\n");
    let take = ["take", "three.txt", "--job", "three.job", "--out=-"];
    let run = sandbox.run(&take).fine();
    let list: serde_json::Value = serde_json::from_str(&run.stdout).unwrap();
    list["items"][0]["element"]
        .as_str()
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn a_lesson_is_offered_with_its_evidence_and_used_once_accepted() {
    let sandbox = corrected();
    assert_ne!(element_of_a_third(&sandbox), "plinth");
    let run = sandbox.run(&["learn", "one.job", "two.job"]).fine();
    for line in [
        "\"blenkit\" is another word for the element plinth\n",
        "heard twice; mends 2 items, breaks none\n",
        "heard  one item 1: \"",
        "mends  two item 1: hallway: blenkit, scratched -> hallway: ",
    ] {
        assert!(run.stdout.contains(line), "{line}: {}", run.stdout);
    }
    assert!(
        run.stderr.contains("callover learn one.job two.job --all"),
        "{}",
        run.stderr
    );
    sandbox
        .run(&["learn", "one.job", "two.job", "--all"])
        .fine();
    let learnt = sandbox.read("../home/.config/callover/lexicon/learnt.toml");
    assert!(
        learnt.contains("also = [\"blenkit\"]\nlearnt = \"20"),
        "{learnt}"
    );
    let found = sandbox.run(&["lexicon", "find", "the blenkit"]).fine();
    assert!(
        found.stdout.contains("element  plinth <- \"blenkit\""),
        "{}",
        found.stdout
    );

    let again = sandbox.run(&["learn", "one.job", "two.job"]).fine();
    assert_eq!(
        again.stdout,
        "nothing to learn from these jobs; 1 lesson known already\n"
    );
    sandbox.run(&["learn", "--undo", "blenkit"]).fine();
    assert!(
        !sandbox
            .read("../home/.config/callover/lexicon/learnt.toml")
            .contains("blenkit")
    );
    let history = sandbox.run(&["lexicon", "history", "blenkit"]).fine();
    let acts: Vec<&str> = history.stdout.lines().map(|line| &line[12..20]).collect();
    assert_eq!(acts, ["accepted", "undone  "], "{}", history.stdout);
}

#[test]
fn what_does_not_pass_needs_insisting_and_what_is_refused_is_not_offered_again() {
    let sandbox = corrected();
    let held = sandbox.run(&["learn", "one.job", "--accept", "1"]);
    assert_eq!(held.code, 1);
    assert!(held.stderr.contains("--insist"), "{}", held.stderr);
    let none = sandbox.run(&["learn", "one.job", "--accept", "99"]);
    assert!(
        none.stderr.contains("there is no lesson 99"),
        "{}",
        none.stderr
    );
    let before = sandbox.run(&["learn", "one.job"]).fine().stdout;
    sandbox.run(&["learn", "one.job", "--refuse", "1"]).fine();
    let after = sandbox.run(&["learn", "one.job"]).fine().stdout;
    let first = before
        .lines()
        .next()
        .unwrap_or_default()
        .trim_start_matches("  1  ");
    assert!(
        !first.is_empty() && !after.contains(first),
        "{first}: {after}"
    );
}

#[test]
fn a_colleagues_lesson_that_contradicts_ones_own_is_shown_and_left_out() {
    let sandbox = corrected();
    sandbox
        .run(&["learn", "one.job", "two.job", "--all"])
        .fine();
    let theirs =
        "[[element]]\nname = \"architrave\"\nalso = [\"blenkit\"]\nlearnt = \"2026-01-05\"\n";
    sandbox.write("theirs.toml", theirs);
    let run = sandbox
        .run(&["learn", "one.job", "two.job", "--from", "theirs.toml"])
        .fine();
    assert!(
        run.stderr
            .contains("conflict, yours stays: \"blenkit\" is another word"),
        "{}",
        run.stderr
    );
    assert!(!run.stdout.contains("architrave"), "{}", run.stdout);
}
