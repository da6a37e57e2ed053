//! The reference of the command line: every help text in one file, so that a change of the
//! interface cannot go unnoticed.

use crate::sandbox::Sandbox;

#[test]
fn every_help_text_is_as_written_down() {
    let commands: [&[&str]; 16] = [
        &[],
        &["take"],
        &["confirm"],
        &["desk"],
        &["photos"],
        &["recheck"],
        &["details"],
        &["export"],
        &["learn"],
        &["score"],
        &["lexicon"],
        &["lexicon", "check"],
        &["lexicon", "find"],
        &["lexicon", "history"],
        &["lexicon", "show"],
        &["doctor"],
    ];
    let sandbox = Sandbox::new();
    let mut reference = String::new();
    for command in commands {
        let arguments = [command, &["--help"]].concat();
        let run = sandbox.run(&arguments).fine();
        assert_eq!(run.stderr, "");
        let widest = run.stdout.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(100), "{widest:?} columns in {command:?}");
        reference += &format!("$ callover {}\n{}\n", arguments.join(" "), run.stdout);
    }
    insta::assert_snapshot!("reference", reference);
}

#[test]
fn a_command_line_that_is_not_understood_gives_exit_code_2() {
    let sandbox = Sandbox::new();
    for arguments in [
        &[] as &[&str],
        &["listen"],
        &["take"],
        &["export", "some.job"],
        &["confirm", "some.job", "--accept-above", "2"],
    ] {
        let run = sandbox.run(arguments);
        assert_eq!((run.code, run.stdout.as_str()), (2, ""), "{arguments:?}");
        assert!(
            run.stderr.contains("Usage") || run.stderr.contains("--help"),
            "{}",
            run.stderr
        );
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let sandbox = Sandbox::new();
    let mut command = sandbox.command(&["lexicon", "check"]);
    command.stdout(std::process::Stdio::piped());
    command.stderr(std::process::Stdio::null());
    let mut child = command.spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
}
