//! Nothing that was acknowledged is lost: by a kill at any moment, by a full disk, by a file limit, by
//! a second program on the same job.

use crate::sandbox::Sandbox;
use callover::job::{Decision, Event, Job};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// How many passes are killed. It takes a minute on two idle processors; on a machine that cannot start
/// the program as often within [`MOST_TIME`] it is fewer, and the test says how many;
/// `CALLOVER_TEST_KILL_SECONDS` gives another time. Where nothing may be left out all of them are, however
/// long it takes.
const KILLS: u64 = 500;
const MOST_TIME: Duration = Duration::from_secs(240);
const RUN_ALL: &str = "CALLOVER_RUN_ALL";
const TIME_VARIABLE: &str = "CALLOVER_TEST_KILL_SECONDS";

/// How many are under way at once: starting takes most of a pass's time, and the disk the rest.
const AT_ONCE: usize = 4;

/// Kills on one job before it is made anew, so that the log does not grow without end.
const KILLS_A_JOB: u64 = 25;

fn sandbox() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write(
        "walk.txt",
        "[0:02] Hallway. The skirting board is loose. The door is scratched.\n",
    );
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    sandbox
}

/// A pass of so many steps: mostly edits, each with a text of its own, some taken back and made again.
fn script(steps: usize, extra: &str) -> Vec<String> {
    let step = |number: usize| match number % 5 {
        3 => "u\n".to_owned(),
        4 => "y\n".to_owned(),
        _ => format!("e remark=step {number}{extra}\n"),
    };
    (0..steps).map(step).collect()
}

/// Returns how many lines acknowledge a decision. A line that was not finished does not count.
fn acknowledged(printed: &str) -> usize {
    let whole = printed.rsplit_once('\n').map_or("", |(whole, _)| whole);
    let is_told = |line: &&str| {
        line.starts_with("item 1: the remark is now ")
            || line.starts_with("undone: ")
            || line.starts_with("redone: ")
    };
    whole.lines().filter(is_told).count()
}

/// Checks that the events are the beginning of the script.
fn check(events: &[Event], script: &[String]) {
    for (event, line) in events.iter().zip(script) {
        let parts = event.decision.parts();
        let fits = match (&parts[0], line.as_str()) {
            (Decision::Undo { .. }, "u\n") | (Decision::Redo { .. }, "y\n") => true,
            (Decision::Edit { to, .. }, line) => line.trim_end() == format!("e remark={to}"),
            _ => false,
        };
        assert!(fits, "{event:?} for {line}");
    }
}

fn start(sandbox: &Sandbox, job: &str) -> Child {
    let mut command = sandbox.command(&["confirm", job, "--plain"]);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command.spawn().unwrap()
}

fn events(dir: &Path) -> Vec<Event> {
    let job = Job::open(dir).unwrap();
    assert_eq!(job.list().unwrap().problems, [""; 0]);
    job.events().unwrap()
}

#[test]
fn a_pass_killed_at_any_moment_has_kept_all_that_it_acknowledged() {
    let (began, next) = (Instant::now(), AtomicU64::new(0));
    let given = std::env::var(TIME_VARIABLE)
        .ok()
        .and_then(|text| text.parse().ok());
    let all = given.is_none() && std::env::var_os(RUN_ALL).is_some();
    let most_time = match all {
        true => Duration::MAX,
        false => given.map_or(MOST_TIME, Duration::from_secs),
    };
    let (told, between) = (AtomicU64::new(0), AtomicU64::new(0));
    let worker = || {
        let sandbox = sandbox();
        let (fresh, job) = (sandbox.path("walk.job/job.db"), sandbox.path("killed"));
        let mut runs = 0;
        while began.elapsed() < most_time {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= KILLS {
                break;
            }
            if runs % KILLS_A_JOB == 0 {
                let _ = fs::remove_dir_all(&job);
                fs::create_dir(&job).unwrap();
                fs::copy(&fresh, job.join("job.db")).unwrap();
            }
            let before = events(&job).len();
            // Texts of its own: an edit to what a field holds already is refused.
            let script = script(60, &format!(" of pass {number}"));
            let mut child = start(&sandbox, "killed");
            let mut printed = BufReader::new(child.stdout.take().unwrap());
            let mut first = String::new();
            printed.read_line(&mut first).unwrap();
            let mut typed = child.stdin.take().unwrap();
            typed.write_all(script.concat().as_bytes()).unwrap();
            // After some acknowledgements, and then at any moment of the next commits; multiplied by
            // primes for an uneven pattern.
            let mut rest = String::new();
            while (acknowledged(&rest) as u64) < number * 31 % 7 {
                assert!(printed.read_line(&mut rest).unwrap() > 0, "{rest}");
            }
            std::thread::sleep(Duration::from_micros(number * 7919 % 30_011));
            child.kill().unwrap();
            child.wait().unwrap();
            printed.read_to_string(&mut rest).unwrap();
            let acknowledged = acknowledged(&rest);
            between.fetch_add(
                u64::from(job.join("job.db-journal").exists()),
                Ordering::Relaxed,
            );
            let after = events(&job);
            let kept = &after[before..];
            // A decision may be on the disk and the program killed before it could say so.
            assert!(
                kept.len() == acknowledged || kept.len() == acknowledged + 1,
                "acknowledged {acknowledged}, kept {}",
                kept.len()
            );
            check(kept, &script);
            told.fetch_add(acknowledged as u64, Ordering::Relaxed);
            runs += 1;
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..AT_ONCE {
            scope.spawn(worker);
        }
    });
    let killed = next.load(Ordering::Relaxed).min(KILLS);
    println!(
        "{killed} kills, {told:?} acknowledged, {between:?} inside a commit, {:?}",
        began.elapsed()
    );
    assert!(killed == KILLS || !all, "{killed} kills only");
    assert!(
        told.into_inner() > killed,
        "the kills came before anything was acknowledged"
    );
}

/// Runs a long pass and returns what it printed, what it said, and whether it ended well.
fn long_pass(mut command: Command) -> (String, String, bool) {
    let script = script(400, &"; because of this".repeat(30)).concat();
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut typed = child.stdin.take().unwrap();
    // The program may end before it has read everything.
    let feeder = std::thread::spawn(move || {
        let _ = typed.write_all(script.as_bytes());
    });
    let output = child.wait_with_output().unwrap();
    feeder.join().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (
        text(&output.stdout),
        text(&output.stderr),
        output.status.success(),
    )
}

/// A file system of its own that holds next to nothing; `None` where none may be mounted.
struct SmallDisk(std::path::PathBuf);

impl SmallDisk {
    fn mount(path: &Path, size: &str) -> Option<Self> {
        fs::create_dir_all(path).unwrap();
        let option = format!("size={size}");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &option, "tmpfs"])
            .arg(path)
            .output()
            .is_ok_and(|output| output.status.success());
        mounted.then(|| SmallDisk(path.to_owned()))
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

#[test]
fn a_disk_that_is_really_full_loses_nothing_that_was_acknowledged() {
    let sandbox = sandbox();
    let Some(disk) = SmallDisk::mount(&sandbox.path("disk"), "220k") else {
        println!("NOT RUN: no small file system may be mounted here");
        return;
    };
    let job = disk.0.join("full.job");
    fs::create_dir(&job).unwrap();
    fs::copy(sandbox.path("walk.job/job.db"), job.join("job.db")).unwrap();
    let before = events(&job).len();
    let (printed, said, well) =
        long_pass(sandbox.command(&["confirm", "disk/full.job", "--plain"]));
    assert!(!well, "{said}");
    let told = format!("{printed}{said}");
    assert!(
        told.contains("the disk holding disk/full.job/job.db is full: make room"),
        "{told}"
    );
    let kept = events(&job).len() - before;
    assert!(
        kept > 5 && kept == acknowledged(&printed),
        "{kept} kept: {printed}{said}"
    );
}

#[test]
fn a_limit_on_the_length_of_files_loses_nothing_that_was_acknowledged() {
    // The limit is that of `ulimit -f`, which holds for the superuser as well; the signal that comes
    // with it is set aside, so that writing fails as on a bad disk.
    let sandbox = sandbox();
    let job = sandbox.path("walk.job");
    let before = events(&job).len();
    let blocks = fs::metadata(job.join("job.db")).unwrap().len() / 512 + 64;
    let mut command = Command::new("sh");
    let program = env!("CARGO_BIN_EXE_callover");
    command
        .args([
            "-c",
            &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\""),
        ])
        .args([program, "confirm", "walk.job", "--plain"])
        .current_dir(sandbox.path(""))
        .env("HOME", sandbox.path("home"));
    let (printed, said, well) = long_pass(command);
    assert!(!well, "{said}");
    assert!(
        format!("{printed}{said}").contains("walk.job/job.db"),
        "{said}"
    );
    let kept = events(&job).len() - before;
    assert!(
        kept > 2 && kept == acknowledged(&printed),
        "{kept} kept: {said}"
    );
}

#[test]
fn two_passes_at_once_lose_nothing_and_decide_nothing_unseen() {
    let sandbox = sandbox();
    let job = sandbox.path("walk.job");
    let before = events(&job).len();
    let passes: Vec<Child> = (0..2).map(|_| start(&sandbox, "walk.job")).collect();
    let mut told = 0;
    let feeders: Vec<_> = passes
        .into_iter()
        .enumerate()
        .map(|(which, mut child)| {
            let mut typed = child.stdin.take().unwrap();
            std::thread::spawn(move || {
                for number in 0..40 {
                    typed
                        .write_all(format!("e remark=step {number} of {which}\n").as_bytes())
                        .unwrap();
                }
                drop(typed);
                child.wait_with_output().unwrap()
            })
        })
        .collect();
    for feeder in feeders {
        let output = feeder.join().unwrap();
        told += acknowledged(&String::from_utf8_lossy(&output.stdout));
    }
    let kept = events(&job).len() - before;
    assert_eq!(kept, told);
    assert!(kept >= 40, "one of the two at least went through: {kept}");
}
