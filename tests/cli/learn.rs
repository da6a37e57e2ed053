//! Learning from corrections: lessons are offered, accepted, used by the next `take`, and undone.

use crate::demo::alone;
use crate::sandbox::Sandbox;
use safetensors::Dtype;
use safetensors::tensor::TensorView;

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
fn a_lesson_that_newer_jobs_speak_against_is_withdrawn_and_put_back() {
    let sandbox = Sandbox::new();
    let take = |name: &str, defect: &str, element: &str| {
        let file = format!("{name}.txt");
        sandbox.write(&file, format!("Hallway. The koabin is {defect}.\n"));
        sandbox.run(&["take", &file, "--quiet"]).fine();
        let job = format!("{name}.job");
        let put_right = format!("e element={element}\na\nq\n");
        sandbox
            .run_with(&["confirm", &job, "--plain"], &put_right)
            .fine();
    };
    take("one", "cracked", "coving");
    sandbox.run(&["learn", "one.job", "--all"]).fine();
    // Since then the word is meant as it is heard.
    take("two", "loose", "koabin");
    take("three", "scratched", "koabin");
    let jobs = ["one.job", "two.job", "three.job"];
    let learn = |more: &[&str]| sandbox.run(&[&["learn"], &jobs[..], more].concat()).fine();
    let learnt = || sandbox.read("../home/.config/callover/lexicon/learnt.toml");
    let number = |listed: &str| {
        let line = listed.lines().find(|line| line.contains("no longer: "));
        let first = line.and_then(|line| line.split_whitespace().next());
        first.map(str::to_owned)
    };
    let offered = learn(&[]).stdout;
    let lesson = "no longer: hear \"koabin\" as the element coving\n";
    let (_, rest) = offered.split_once(lesson).unwrap_or_default();
    let broken = "breaks three item 1: ";
    let today = "today it breaks 2 items and mends 1\n";
    assert!(rest.contains(today) && rest.contains(broken), "{offered}");
    let known = learnt();
    let withdraw = number(&offered).unwrap_or_default();
    let done = learn(&["--accept", &withdraw]);
    assert!(
        done.stderr
            .contains("0 lessons accepted, 1 withdrawn, 0 refused"),
        "{}",
        done.stderr
    );
    assert!(!learnt().contains("koabin"), "{}", learnt());
    let again = learn(&[]).stdout;
    assert!(!again.contains("hear \"koabin\""), "{again}");
    let back = sandbox.run(&["learn", "--undo", "coving"]).fine();
    assert!(back.stderr.contains("known again: hear"), "{}", back.stderr);
    let entry = known.split_once("[[").map_or("", |(_, entry)| entry);
    assert!(learnt().contains(entry), "{}", learnt());
    let history = sandbox.run(&["lexicon", "history", "coving"]).fine().stdout;
    let acts: Vec<&str> = history.lines().map(|line| line[12..21].trim()).collect();
    assert_eq!(acts, ["accepted", "withdrawn", "restored"], "{history}");
    assert!(
        history.contains("; today it breaks 2 items and mends 1)"),
        "{history}"
    );
    // Refused, it is not offered any more.
    let refuse = number(&learn(&[]).stdout).unwrap_or_default();
    learn(&["--refuse", &refuse]);
    assert_eq!(number(&learn(&[]).stdout), None);
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
fn a_lesson_is_changed_before_it_is_tried_and_kept_so() {
    let sandbox = corrected();
    let learn = |more: &[&str]| sandbox.run(&[&["learn", "one.job", "two.job"], more].concat());
    let number = |listed: &str, words: &str| {
        let line = listed.lines().find(|line| line.contains(words));
        let first = line.and_then(|line| line.split_whitespace().next());
        first.unwrap_or_default().to_owned()
    };
    let listed = learn(&[]).fine().stdout;
    let one = number(
        &listed,
        "\"blenkit\" is another word for the element plinth",
    );
    // As another term it breaks what was confirmed, or mends nothing: the guard sees the edited lesson.
    let wrong = format!("{one} name=architrave");
    assert_eq!(learn(&["--edit", &wrong, "--accept", &one]).code, 1);
    let other = learn(&["--edit", &wrong]).fine();
    let lesson = "\"blenkit\" is another word for the element architrave\n";
    let (_, rest) = other.stdout.split_once(lesson).unwrap_or_default();
    assert!(
        rest.lines()
            .next()
            .is_some_and(|line| !line.contains("breaks none")),
        "{}",
        other.stdout
    );
    for (edit, message) in [
        ("near", "cannot be understood"),
        (
            &*format!("{one} colour=red"),
            "there is no colour in it, only also, name",
        ),
        (&*format!("{one} name=no such thing"), "no such thing"),
        ("99 name=plinth", "there is no lesson 99"),
    ] {
        let refused = learn(&["--edit", edit]);
        assert_eq!(refused.code, 1, "{edit}");
        assert!(
            refused.stderr.contains(message),
            "{edit}: {}",
            refused.stderr
        );
    }
    let edit = format!("{one} also=the blenkit");
    learn(&["--edit", &edit, "--accept", &one]).fine();
    let learnt = sandbox.read("../home/.config/callover/lexicon/learnt.toml");
    assert!(learnt.contains("also = [\"the blenkit\"]"), "{learnt}");
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

#[test]
fn a_job_is_read_again_with_what_was_learnt_and_decided_items_stay() {
    let sandbox = corrected();
    sandbox.write(
        "three.txt",
        "Kitchen. The blenkit is loose. The blenkit is scratched.\n",
    );
    sandbox.run(&["take", "three.txt", "--quiet"]).fine();
    // The second is confirmed as it was heard.
    sandbox
        .run_with(&["confirm", "three.job", "--plain"], "n\na\nq\n")
        .fine();
    let unchanged = sandbox.run(&["take", "--retake", "three.job"]).fine();
    assert_eq!(unchanged.stdout, "");
    sandbox
        .run(&["learn", "one.job", "two.job", "--all"])
        .fine();
    let items = || {
        let export = ["export", "three.job", "--out=-.json"];
        let list: serde_json::Value =
            serde_json::from_str(&sandbox.run(&export).fine().stdout).unwrap();
        list["items"].clone()
    };
    let before = items();
    let shown = sandbox.run(&["take", "--retake", "three.job"]).fine();
    assert!(
        shown.stdout.starts_with("  1  kitchen: blenkit, loose (")
            && shown.stdout.contains(") -> kitchen: "),
        "{} {}",
        shown.stdout,
        shown.stderr
    );
    assert_eq!(shown.stdout.lines().count(), 1, "{}", shown.stdout);
    assert!(shown.stderr.contains("the one item that was decided on"));
    assert_eq!(items(), before, "showing changes nothing");
    sandbox
        .run(&["take", "--retake", "three.job", "--apply"])
        .fine();
    let after = items();
    assert_ne!(after[0], before[0]);
    assert_eq!(after[1], before[1]);
}

#[test]
fn scores_tell_what_learning_is_worth_without_what_a_job_taught_itself() {
    let sandbox = corrected();
    let figures = || -> serde_json::Value {
        let run = sandbox
            .run(&["score", "one.job", "two.job", "--json"])
            .fine();
        serde_json::from_str(&run.stdout).unwrap()
    };
    let before = figures();
    // By hand: one item each, its element wrong, so nothing is right and one fact is to be changed;
    // of the words *hallway plinth cracked* one of three is wrong. Accepting and editing are two
    // decisions.
    for job in [&before["jobs"][0], &before["jobs"][1], &before["all"]] {
        for of in ["base", "yours"] {
            assert_eq!(job[of]["found_f1"], 1.0, "{job}");
            assert_eq!(job[of]["right_f1"], 0.0, "{job}");
            assert_eq!(job[of]["corrections_per_item"], 1.0, "{job}");
            assert_eq!(job[of]["word_error"], 0.333, "{job}");
        }
    }
    sandbox
        .run(&["learn", "one.job", "two.job", "--all"])
        .fine();
    let after = figures();
    assert_eq!(after["all"]["base"], before["all"]["base"]);
    assert_eq!(after["all"]["yours"]["right_f1"], 1.0);
    assert_eq!(after["all"]["yours"]["corrections_per_item"], 0.0);
    // The same lesson, had one job alone spoken for it, does not count in that job.
    let learnt = "../home/.config/callover/lexicon/learnt.toml";
    let text = sandbox.read(learnt);
    let of_one: String = text
        .lines()
        .map(|line| match line.split_once("evidence = ") {
            Some(_) => "evidence = [\"one, item 1: The blenkit is cracked.\"]\n".to_owned(),
            None => format!("{line}\n"),
        })
        .collect();
    sandbox.write(learnt, of_one);
    let left_out = figures();
    assert_eq!(left_out["jobs"][0]["yours"]["right_f1"], 0.0);
    assert_eq!(left_out["jobs"][1]["yours"]["right_f1"], 1.0);
    assert_eq!(left_out["all"]["yours"]["right_f1"], 0.5);
    let table = sandbox.run(&["score", "one.job", "two.job"]).fine().stdout;
    let last = table.lines().last().unwrap_or_default();
    assert!(last.starts_with("all      2"), "{table}");

    sandbox.write("four.txt", "Kitchen. The door is loose.\n");
    sandbox.run(&["take", "four.txt", "--quiet"]).fine();
    let refused = sandbox.run(&["score", "four.job"]);
    assert!(refused.stderr.contains("no item is confirmed yet"));
}

#[test]
fn a_page_read_aloud_teaches_the_first_mishearings() {
    let sandbox = Sandbox::new();
    let page = sandbox.run(&["learn", "--read-aloud"]).fine();
    assert_eq!(page.stdout.lines().count(), 40);
    assert!(
        page.stderr
            .contains("callover learn --read-aloud RECORDING")
    );
    // Read with its numbers, and one word heard wrongly.
    let heard = page.stdout.replace("the coving", "the koabin");
    sandbox.write("reading.txt", &heard);
    let read = ["learn", "--read-aloud", "reading.txt"];
    let run = sandbox.run(&read).fine();
    let lesson = "hear \"koabin\" as the element coving\n";
    assert!(run.stdout.contains(lesson), "{}", run.stdout);
    let next = "callover learn reading.job --all";
    assert!(run.stderr.contains(next), "{}", run.stderr);
    sandbox.run(&["learn", "reading.job", "--all"]).fine();
    let found = sandbox.run(&["lexicon", "find", "the koabin"]).fine();
    let element = "element  coving <- \"koabin\"";
    assert!(found.stdout.contains(element), "{}", found.stdout);

    sandbox.write("walk.txt", "Hallway. The door is loose.\n");
    let other = sandbox.run(&["learn", "--read-aloud", "walk.txt"]);
    assert_eq!(other.code, 1);
    assert!(
        other.stderr.contains("sound like the page"),
        "{}",
        other.stderr
    );
    sandbox
        .run(&["take", "walk.txt", "--job", "real.job", "--quiet"])
        .fine();
    sandbox.write("real.txt", "Hallway. The door is loose.\n");
    let taken = sandbox.run(&["learn", "--read-aloud", "real.txt"]);
    assert!(
        taken.stderr.contains("job of a walk-round already"),
        "{}",
        taken.stderr
    );
}

/// Changes to one matrix of the model by nothing, as a file.
fn voice_of_no_one() -> Vec<u8> {
    let zeros = [0_u8; 2 * 512];
    let part = |name: &str, shape: [usize; 2]| {
        let view = TensorView::new(Dtype::F16, shape.to_vec(), &zeros).unwrap();
        (format!("encoder.blocks.0.attn.query.weight.{name}"), view)
    };
    safetensors::serialize([part("down", [1, 512]), part("up", [512, 1])], None).unwrap()
}

#[test]
fn a_voice_is_learnt_from_recordings_only_and_can_be_taken_out() {
    let sandbox = corrected();
    let run = sandbox.run(&["learn", "one.job", "two.job", "--voice"]);
    insta::assert_snapshot!(run.shown(), @"
    --- stderr
    one.job: has no recording to learn a voice from
    two.job: has no recording to learn a voice from
    error: there are 0 stretches of speech to learn the voice from, and 5 of some 25 seconds are needed
    hint: give more jobs, or read the page aloud: callover learn --read-aloud prints it
    --- exit code 1
    ");
    assert!(
        !sandbox
            .path("../home/.config/callover/voice.safetensors")
            .exists()
    );
    let run = sandbox.run(&["learn", "one.job", "--voice", "--all"]);
    assert_eq!(run.code, 2);

    let _alone = alone();
    let voice = "../home/.config/callover/voice.safetensors";
    sandbox.write(voice, voice_of_no_one());
    let doctor = sandbox.run(&["doctor"]).fine();
    let fitted = "built in, fitted to walk-rounds and to a voice";
    assert!(doctor.stdout.contains(fitted), "{}", doctor.stdout);
    sandbox.write(voice, "not this");
    let doctor = sandbox.run(&["doctor"]);
    for line in [
        "voice.safetensors: cannot be used",
        "callover learn --undo voice",
    ] {
        assert!(doctor.stdout.contains(line), "{}", doctor.stdout);
    }
    let run = sandbox.run(&["learn", "--undo", "voice"]).fine();
    assert!(
        run.stderr
            .contains("no longer known: the sound of your voice"),
        "{}",
        run.stderr
    );
    assert!(!sandbox.path(voice).exists());
    let history = sandbox.run(&["lexicon", "history", "voice"]).fine();
    assert!(
        history
            .stdout
            .contains("undone     the sound of your voice"),
        "{}",
        history.stdout
    );
    assert_eq!(sandbox.run(&["learn", "--undo", "voice"]).code, 1);
}
