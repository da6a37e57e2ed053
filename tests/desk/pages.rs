//! The page in Chromium, by Playwright: the cases are in `*.test.mjs` beside this file.

use crate::not_run::not_run;
use crate::sample::{SMALL, make};
use std::path::Path;
use std::process::Command;

/// Where Chromium may be.
const CHROMIUM: [&str; 3] = [
    "/usr/bin/chromium",
    "/usr/bin/chromium-browser",
    "/usr/bin/google-chrome",
];

/// Returns Chromium's path where all that the page's tests need is there.
pub(crate) fn browser() -> Option<&'static str> {
    let found = CHROMIUM.into_iter().find(|path| Path::new(path).is_file());
    let Some(chromium) = found else {
        return not_run("Chromium");
    };
    if Command::new("node").arg("--version").output().is_err() {
        return not_run("Node.js");
    }
    let modules =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/desk/node_modules/playwright-core");
    if !modules.is_dir() {
        return not_run("what tests/desk/package.json names (`npm ci` in tests/desk)");
    }
    Some(chromium)
}

#[test]
fn the_page_does_in_a_real_browser_what_it_says() {
    let Some(chromium) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("plot.job");
    make(&job, SMALL);
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/desk");
    let output = Command::new("node")
        .args([
            "--test",
            "--test-concurrency=1",
            "page.test.mjs",
            "reach.test.mjs",
        ])
        .current_dir(tests)
        .env("CALLOVER", env!("CARGO_BIN_EXE_callover"))
        .env("JOB", &job)
        .env("CHROMIUM", chromium)
        .env("HOSTILE", crate::sample::HOSTILE)
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stdout);
    assert!(
        output.status.success(),
        "{told}\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    println!("{told}");
}
