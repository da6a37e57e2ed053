//! The list on paper: PDF, and the user's own template for it.

use crate::sandbox::Sandbox;

/// A sandbox with a job of a few spoken items.
fn with_job() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write(
        "walk.txt",
        "Kitchen. The worktop joint is open. The tap is dripping.\nHallway. The door won't latch.\n",
    );
    sandbox
        .run(&[
            "take", "walk.txt", "--job", "walk.job", "--title", "Plot 9", "--quiet",
        ])
        .fine();
    sandbox
}

#[test]
fn the_report_and_the_trade_sheets_are_written_the_same_twice() {
    let sandbox = with_job();
    let bytes = |name: &str, by: &str| {
        sandbox
            .run(&["export", "walk.job", "--by", by, "--out", name])
            .fine();
        std::fs::read(sandbox.path(name)).unwrap()
    };
    let report = bytes("report.pdf", "place");
    assert!(report.starts_with(b"%PDF-1.7"));
    assert_eq!(bytes("again.pdf", "place"), report);
    let sheets = bytes("sheets.pdf", "trade");
    assert_ne!(sheets, report);
    assert_eq!(bytes("sheets again.pdf", "trade"), sheets);
}

#[test]
fn a_template_that_cannot_be_used_names_every_line_and_writes_nothing() {
    let sandbox = with_job();
    sandbox.write(
        "paper.toml",
        "[paper]\nlogo = \"logo.png\"\n\n[colours]\nmain = \"teal\"\ngreen = \"#00ff00\"\n",
    );
    let arguments = [
        "export",
        "walk.job",
        "--out",
        "report.pdf",
        "--template",
        "paper.toml",
    ];
    insta::assert_snapshot!(sandbox.run(&arguments).shown(), @r##"
    --- stderr
    error: paper.toml:2: paper.logo: cannot read logo.png: No such file or directory (os error 2)
    error: paper.toml:5: colours.main: "teal" is no colour; expected six hexadecimal digits as in "#174a5b"
    error: paper.toml:6: colours.green: no such field; expected one of main, text, quiet, alert
    --- exit code 1
    "##);
    assert!(!sandbox.path("report.pdf").exists());
}

#[test]
fn pale_colours_are_used_with_a_warning() {
    let sandbox = with_job();
    sandbox.write("paper.toml", "[colours]\nquiet = \"#aaaaaa\"\n");
    let arguments = [
        "export",
        "walk.job",
        "--out",
        "report.pdf",
        "--template",
        "paper.toml",
    ];
    let run = sandbox.run(&arguments).fine();
    assert!(
        run.stderr
            .contains("warning: paper.toml:2: colours.quiet: the contrast"),
        "{}",
        run.stderr
    );
    assert!(sandbox.path("report.pdf").exists());
}
