//! How fast and how heavy the desk is, held against what it should be. Left out of the usual tests, since
//! what else a machine does decides as well: `cargo test --release --test desk figures -- --ignored
//! --nocapture`, with nothing else running.

use crate::pages::browser;
use crate::running::Running;
use crate::sample::{Size, make};
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

/// About 500 items and 300 photos.
const MIDDLE: Size = Size {
    rounds: 16,
    word_ms: 250,
    photos: 300,
    photo_width: 1600,
    rate: 8_000,
};
/// About 5,000 items and six hours of sound.
const LARGE: Size = Size {
    rounds: 152,
    word_ms: 224,
    photos: 0,
    photo_width: 640,
    rate: 8_000,
};

/// Until the address is printed and the whole list answered, with the large job.
const LONGEST_OPENING: Duration = Duration::from_secs(1);
/// The most memory of the large job's desk, in megabytes; while it draws the outline too.
const MOST_MEMORY_MB: u64 = 200;

#[test]
#[ignore = "measures; what else runs decides as well"]
fn figures() {
    let mut missed = Vec::new();
    let folder = tempfile::tempdir().unwrap();
    let large = folder.path().join("large.job");
    make(&large, LARGE);
    for name in ["first opening", "later opening"] {
        let begun = Instant::now();
        let desk = Running::start(&large);
        let address = begun.elapsed();
        let list = desk.json("/list");
        let whole = begun.elapsed();
        let opened_kb = memory_kb(desk.pid());
        if whole > LONGEST_OPENING {
            missed.push(format!("{name}: {whole:.0?}"));
        }
        let drawn = Instant::now();
        while desk.get("/outline/1").header("x-whole") != "yes" {
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        println!(
            "{name}: {} items, {:.1} h of sound: address after {address:.0?}, list after {whole:.0?} \
             ({} MB then at most), outline after another {:.1?}, {} MB at most",
            list["list"]["items"].as_array().unwrap().len(),
            list["recordings"][0]["duration_s"].as_f64().unwrap() / 3600.0,
            opened_kb / 1024,
            drawn.elapsed(),
            memory_kb(desk.pid()) / 1024,
        );
        let most_mb = memory_kb(desk.pid()) / 1024;
        if most_mb > MOST_MEMORY_MB {
            missed.push(format!("{name}: {most_mb} MB"));
        }
    }
    if let Some(chromium) = browser() {
        pages(folder.path(), &large, chromium, &mut missed);
    }
    assert!(missed.is_empty(), "not as good as it should be: {missed:?}");
}

/// The page with the middle job, where it is held to its figures, and with the large one.
fn pages(folder: &Path, large: &Path, chromium: &str, missed: &mut Vec<String>) {
    let middle = folder.join("middle.job");
    make(&middle, MIDDLE);
    for (job, held) in [(middle.as_path(), true), (large, false)] {
        let output = Command::new("node")
            .arg("figures.mjs")
            .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/desk"))
            .env("CALLOVER", env!("CARGO_BIN_EXE_callover"))
            .env("JOB", job)
            .env("CHROMIUM", chromium)
            .output()
            .unwrap();
        println!(
            "{}{}",
            String::from_utf8_lossy(&output.stdout),
            String::from_utf8_lossy(&output.stderr)
        );
        if held && !output.status.success() {
            missed.push("the page, see above".into());
        }
    }
}

/// The most memory that the process has had, from Linux's `/proc`.
fn memory_kb(pid: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{pid}/status")).unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM:"));
    line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok())
        .unwrap_or(0)
}
