//! A folder to work in, and the program started in it with nothing of the machine's own settings.

use std::fmt::Write;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// 2 March 2026, 17:05:00 UTC, in place of the clock.
const CLOCK: &str = "1772471100";

/// A folder of its own for one test; gone at its end.
pub(crate) struct Sandbox {
    folder: TempDir,
}

/// What a run of the program gave.
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Sandbox {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        for inner in ["home", "work"] {
            fs::create_dir(folder.path().join(inner)).unwrap();
        }
        Sandbox { folder }
    }

    /// Returns the path of a file in the working folder.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join("work").join(name)
    }

    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, content).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// Returns the program, ready to be started in the working folder.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_callover"));
        command
            .args(arguments)
            .current_dir(self.path(""))
            .env_clear()
            .env("HOME", self.folder.path().join("home"))
            .env("COLUMNS", "100")
            .env("SOURCE_DATE_EPOCH", CLOCK)
            .stdin(Stdio::null());
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Run {
        self.outcome(&self.command(arguments).output().unwrap())
    }

    /// Runs the program with `input` on its standard input.
    pub(crate) fn run_with(&self, arguments: &[&str], input: &str) -> Run {
        let mut command = self.command(arguments);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        child
            .stdin
            .take()
            .unwrap()
            .write_all(input.as_bytes())
            .unwrap();
        self.outcome(&child.wait_with_output().unwrap())
    }

    pub(crate) fn outcome(&self, output: &Output) -> Run {
        let plain = |bytes: &[u8]| {
            let text = String::from_utf8(bytes.to_vec()).unwrap();
            let work = self.path("");
            text.replace(work.to_str().unwrap(), "WORK/")
                .replace(env!("CARGO_MANIFEST_DIR"), "PROJECT")
        };
        Run {
            code: output.status.code().unwrap_or(-1),
            stdout: plain(&output.stdout),
            stderr: plain(&output.stderr),
        }
    }
}

impl Run {
    /// Returns everything a user sees, for snapshots.
    pub(crate) fn shown(&self) -> String {
        let mut text = String::new();
        for (name, stream) in [("", &self.stdout), ("stderr", &self.stderr)] {
            if !name.is_empty() && !stream.is_empty() {
                writeln!(text, "--- {name}").unwrap();
            }
            text += stream;
        }
        writeln!(text, "--- exit code {}", self.code).unwrap();
        text
    }

    /// Returns the run after checking that it went well.
    #[track_caller]
    pub(crate) fn fine(self) -> Self {
        assert_eq!(self.code, 0, "{}", self.shown());
        self
    }
}

/// Returns the path of a file of the project.
pub(crate) fn project(file: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join(file)
        .to_str()
        .unwrap()
        .to_owned()
}

/// Returns the JSON after checking it against the published schema.
#[track_caller]
pub(crate) fn valid(json: &str) -> serde_json::Value {
    let schema: serde_json::Value = serde_json::from_str(
        &fs::read_to_string(project("schema/callover-list-1.schema.json")).unwrap(),
    )
    .unwrap();
    let list = serde_json::from_str(json).unwrap();
    let validator = jsonschema::draft202012::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap();
    let problems: Vec<String> = validator
        .iter_errors(&list)
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect();
    assert!(problems.is_empty(), "{problems:#?}");
    list
}
