//! Looking into the vocabulary, and the user's own additions to it.

use crate::sandbox::Sandbox;

#[test]
fn find_shows_the_terms_of_a_sentence_exact_and_misheard() {
    let run = Sandbox::new()
        .run(&[
            "lexicon",
            "find",
            "the architrive beside the newel post is loose",
        ])
        .fine();
    for line in [
        "element  newel post <- \"newel post\" (exact)\n",
        "defect   loose <- \"loose\" (exact)\n",
        "element  architrave <- \"architrive\" (sounds like",
    ] {
        assert!(run.stdout.contains(line), "{line}: {}", run.stdout);
    }
}

#[test]
fn show_gives_an_entry_by_any_of_its_wordings() {
    let sandbox = Sandbox::new();
    let run = sandbox.run(&["lexicon", "show", "baseboard"]).fine();
    assert!(run.stdout.contains("trade: joiner\n"), "{}", run.stdout);
    let none = sandbox.run(&["lexicon", "show", "gubbins"]);
    assert_eq!((none.code, none.stdout.as_str()), (1, ""));
    assert!(none.stderr.contains("\"gubbins\""), "{}", none.stderr);
}

#[test]
fn the_built_in_vocabulary_has_no_errors() {
    let run = Sandbox::new().run(&["lexicon", "check"]).fine();
    assert!(!run.stdout.contains("error: "), "{}", run.stdout);
}

#[test]
fn check_advises_on_given_files_only_and_counts_in_words() {
    let sandbox = Sandbox::new();
    let clean = "[[element]]\nname = \"gubbin\"\ngroup = \"trim\"\n";
    let everyday = "[[element]]\nname = \"paper\"\ngroup = \"trim\"\n";
    let broken = clean.replace("trim", "trimm");
    let advice = "advice: own.toml:2: \"paper\" is an everyday word";
    let table = [
        (clean.to_owned(), 0, vec![], "no problems"),
        (
            everyday.to_owned(),
            0,
            vec![advice],
            "no errors, 1 piece of advice",
        ),
        (
            broken.clone(),
            1,
            vec!["error: own.toml:3: "],
            ": 1 error\n",
        ),
        (
            format!("{everyday}{broken}{}", broken.replace("gubbin", "gubbins")),
            1,
            vec![advice, "error: own.toml:6: ", "error: own.toml:9: "],
            ": 2 errors, 1 piece of advice\n",
        ),
    ];
    for (text, code, lines, tally) in table {
        sandbox.write("own.toml", &text);
        let run = sandbox.run(&["lexicon", "check", "own.toml"]);
        assert_eq!(run.code, code, "{text}");
        let printed: Vec<_> = run.stdout.lines().collect();
        assert_eq!(printed.len(), lines.len(), "{}", run.stdout);
        for (printed, line) in printed.iter().zip(lines) {
            assert!(printed.starts_with(line), "{printed}");
        }
        assert!(run.stderr.contains(tally), "{}", run.stderr);
    }
}

#[test]
fn own_words_are_understood_from_the_configuration_folder_and_from_a_file() {
    let sandbox = Sandbox::new();
    let own = "[[element]]\nname = \"gubbin\"\ngroup = \"trim\"\ntrade = \"tiler\"\n";
    sandbox.write("own.toml", own);
    sandbox.write("walk.txt", "Hallway. The gubbin is loose.\n");
    // An unknown word is listed as it was said; only the vocabulary knows whose work it is.
    let named = |run: crate::sandbox::Run| run.fine().stdout.contains("tiler, ");
    assert!(!named(sandbox.run(&["take", "walk.txt", "--job", "none"])));
    let with = ["take", "walk.txt", "--job", "file", "--lexicon", "own.toml"];
    assert!(named(sandbox.run(&with)));
    sandbox.write("../home/.config/callover/lexicon/own.toml", own);
    assert!(named(sandbox.run(&["take", "walk.txt", "--job", "home"])));
}
