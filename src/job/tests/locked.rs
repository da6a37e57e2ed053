//! Folders and files that may not be written.
//!
//! The superuser may write everywhere, so the child that tries runs as another user where needed.

use crate::job::samples::{proposal, three};
use crate::job::{Decision, Job};
use std::env;
use std::fs;
use std::path::Path;
use std::process::Command;

const FOLDER_VARIABLE: &str = "CALLOVER_TEST_LOCKED_JOB";

/// Does nothing in an ordinary test run: it is the child of the test below.
#[test]
fn the_reader_without_rights() {
    let Some(dir) = env::var_os(FOLDER_VARIABLE) else {
        return;
    };
    let dir = Path::new(&dir);
    match Job::open(dir) {
        Ok(_) => println!("open: writable"),
        Err(error) => println!("open: {error}"),
    }
    let mut job = Job::open_to_read(dir).unwrap();
    println!("read: {} items", job.list().unwrap().items.len());
    let decision = Decision::Accept {
        item: format!("{:016x}", 1),
        above: None,
    };
    println!("append: {}", job.append(1, &[decision], "t").unwrap_err());
    println!("create: {}", Job::create(&dir.join("inner")).unwrap_err());
}

#[cfg(unix)]
#[test]
fn a_job_that_may_not_be_written_is_readable_and_says_so() {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;

    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("job");
    let mut job = Job::create(&dir).unwrap();
    job.propose(proposal(three()), "t").unwrap();
    drop(job);
    let mode = |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode));
    mode(home.path(), 0o755).unwrap();
    mode(&dir, 0o555).unwrap();
    mode(&dir.join("job.db"), 0o444).unwrap();
    let bytes = fs::read(dir.join("job.db")).unwrap();
    let superuser = fs::write(dir.join("probe"), "").is_ok();

    // `/proc/self/exe` reaches the program also where its folder is closed to the other user.
    let program = if cfg!(target_os = "linux") {
        "/proc/self/exe".into()
    } else {
        env::current_exe().unwrap()
    };
    let mut child = Command::new(program);
    child
        .args([
            "--exact",
            "--nocapture",
            "job::tests::locked::the_reader_without_rights",
        ])
        .env(FOLDER_VARIABLE, &dir)
        .env("TMPDIR", "/tmp");
    if superuser {
        fs::remove_file(dir.join("probe")).unwrap();
        child.uid(65_534).gid(65_534);
    }
    let output = child.output().unwrap();
    mode(&dir, 0o755).unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let said = String::from_utf8(output.stdout)
        .unwrap()
        .replace(&dir.display().to_string(), "DIR");
    let said: Vec<&str> = said
        .lines()
        .map(|line| line.rsplit_once(" ... ").map_or(line, |(_, rest)| rest))
        .filter(|line| {
            line.split(' ')
                .next()
                .is_some_and(|word| word.ends_with(':'))
        })
        .filter(|line| !line.starts_with("test result"))
        .collect();
    insta::assert_snapshot!(said.join("\n"), @r"
    open: DIR cannot be written: copy the job folder to where you may write, or change its permissions
    read: 3 items
    append: DIR/job.db cannot be written: copy the job folder to where you may write, or change its permissions
    create: DIR/inner cannot be written: copy the job folder to where you may write, or change its permissions
    ");
    assert_eq!(fs::read(dir.join("job.db")).unwrap(), bytes);
}
