//! Playing the moment behind an item through whatever general-purpose player is installed.
//!
//! The players are known by the names of their programs. None needs to be installed: what cannot
//! be played is said. Over ssh the sound comes from the machine that the program runs on.

use super::Session;
use crate::job::{Job, KeptRecording, RECORDINGS_FOLDER};
use crate::time::Span;
use std::env;
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// Sound before the first word, in milliseconds: enough to hear what it is about.
const BEFORE_MS: u64 = 1000;
/// Sound after the last word, in milliseconds: recognised ends come a little early.
const AFTER_MS: u64 = 500;
/// Sound played for an item whose end is not known, in milliseconds.
const SHORTEST_MS: u64 = 2000;

/// The players looked for, in this order, with where each is usually from.
pub const PLAYERS: [(&str, &str); 4] = [
    ("mpv", "mpv"),
    ("ffplay", "FFmpeg"),
    ("play", "SoX"),
    ("cvlc", "VLC"),
];

/// A player that is installed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Player {
    program: PathBuf,
    name: &'static str,
}

impl Player {
    /// Returns the first of [`PLAYERS`] in the folders of `path` (the value of `PATH`).
    pub fn installed(path: &OsStr) -> Option<Player> {
        let folders: Vec<PathBuf> = env::split_paths(path).collect();
        PLAYERS.into_iter().find_map(|(name, _)| {
            let file = format!("{name}{}", env::consts::EXE_SUFFIX);
            let programs = folders.iter().map(|folder| folder.join(&file));
            let program = programs.into_iter().find(|program| program.is_file())?;
            Some(Player { program, name })
        })
    }

    /// Returns what to give to the player: `span` of the file, from a second before.
    pub fn arguments(&self, file: &Path, span: Span) -> Vec<OsString> {
        let start = span.start.earlier(BEFORE_MS);
        let end = span.end.later(AFTER_MS).max(start.later(SHORTEST_MS));
        let length = end.0 - start.0;
        let seconds = |ms: u64| format!("{}.{:03}", ms / 1000, ms % 1000);
        let (start, length, end) = (seconds(start.0), seconds(length), seconds(end.0));
        // A file name must not be taken for an option.
        let file = match file.is_absolute() {
            true => file.to_path_buf(),
            false => Path::new(".").join(file),
        };
        let before: Vec<String> = match self.name {
            "mpv" => vec![
                "--no-config".into(),
                "--no-video".into(),
                "--really-quiet".into(),
                format!("--start={start}"),
                format!("--length={length}"),
            ],
            "ffplay" => ["-nodisp", "-autoexit", "-loglevel", "quiet", "-ss"]
                .map(String::from)
                .into_iter()
                .chain([start.clone(), "-t".into(), length.clone()])
                .collect(),
            "play" => vec!["-q".into()],
            _ => vec![
                "--quiet".into(),
                "--play-and-exit".into(),
                format!("--start-time={start}"),
                format!("--stop-time={end}"),
            ],
        };
        let after = match self.name {
            "play" => vec!["trim".into(), start, length],
            _ => Vec::new(),
        };
        let before = before.into_iter().map(OsString::from);
        let after = after.into_iter().map(OsString::from);
        before.chain([file.into_os_string()]).chain(after).collect()
    }

    /// Returns the name of the player's program.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// Plays in the background.
    ///
    /// # Errors
    /// Where the player cannot be started.
    pub fn play(&self, file: &Path, span: Span) -> std::io::Result<Playing> {
        let child = Command::new(&self.program)
            .args(self.arguments(file, span))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()?;
        Ok(Playing { child })
    }
}

/// Sound being played; it stops when this goes.
#[derive(Debug)]
pub struct Playing {
    child: Child,
}

impl Playing {
    /// Returns true until the player has ended.
    pub fn goes_on(&mut self) -> bool {
        matches!(self.child.try_wait(), Ok(None))
    }
}

impl Drop for Playing {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Returns where a recording's file is: in the job's folder, or where it was taken from; `None`
/// where it is in neither.
pub fn file_of(job: &Job, kept: &KeptRecording) -> Option<PathBuf> {
    let name = Path::new(&kept.recording.file).file_name()?;
    let inside = job.dir().join(RECORDINGS_FOLDER).join(name);
    let original = PathBuf::from(&kept.original_path);
    [inside, original].into_iter().find(|path| path.is_file())
}

/// Plays what was heard with the item shown. Returns what to tell, and what is being played.
///
/// # Errors
/// In words: why nothing can be heard.
pub(super) fn play(
    job: &Job,
    session: &Session,
    player: Option<&Player>,
) -> Result<(String, Option<Playing>), String> {
    let player = player.ok_or_else(no_player)?;
    let item = session.current().ok_or("the list has no items")?;
    let number = item.number;
    let Some(span) = item.evidence.span else {
        return Err(format!("item {number} has no time in a recording"));
    };
    let recordings = job.recordings().map_err(|error| error.to_string())?;
    let kept = recordings
        .into_iter()
        .find(|kept| kept.recording.id == item.evidence.recording)
        .ok_or_else(|| format!("the recording of item {number} is not in this job"))?;
    let name = &kept.recording.file;
    let text = Path::new(name).extension().and_then(OsStr::to_str);
    if text.is_some_and(|ending| TRANSCRIPTS.contains(&&*ending.to_lowercase())) {
        return Err(format!("{name} is a transcript: there is no sound to it"));
    }
    let file = file_of(job, &kept).ok_or_else(|| {
        format!(
            "{name} is neither in the job's {RECORDINGS_FOLDER} folder nor at {}: put it into the \
             folder",
            kept.original_path
        )
    })?;
    match player.play(&file, span) {
        Ok(playing) => Ok((
            format!("playing {} with {}", span.start, player.name),
            Some(playing),
        )),
        Err(error) => Err(format!("{} cannot be started: {error}", player.name)),
    }
}

/// Endings of files without sound.
const TRANSCRIPTS: [&str; 4] = ["vtt", "srt", "txt", "json"];

/// Returns what to say where no player is installed.
pub(super) fn no_player() -> String {
    let names = PLAYERS.map(|(name, from)| match name == from {
        true => name.to_string(),
        false => format!("{name} ({from})"),
    });
    format!(
        "no player is installed: to hear the moment, install one of {}",
        names.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::Millis;

    fn arguments(name: &'static str, file: &str, span: Span) -> String {
        let program = PathBuf::from(name);
        let given = Player { program, name }.arguments(Path::new(file), span);
        let given: Vec<String> = given
            .iter()
            .map(|part| part.to_string_lossy().into())
            .collect();
        given.join(" ")
    }

    /// The options are those of the players' manuals: mpv(1), ffplay(1), sox(1), vlc(1).
    #[test]
    fn each_player_begins_a_second_before_and_ends_after_the_last_word() {
        let span = Span::new(Millis(46_000), Millis(52_100));
        insta::assert_snapshot!(
            PLAYERS.map(|(name, _)| arguments(name, "/job/memo.m4a", span)).join("\n"), @r"
        --no-config --no-video --really-quiet --start=45.000 --length=7.600 /job/memo.m4a
        -nodisp -autoexit -loglevel quiet -ss 45.000 -t 7.600 /job/memo.m4a
        -q /job/memo.m4a trim 45.000 7.600
        --quiet --play-and-exit --start-time=45.000 --stop-time=52.600 /job/memo.m4a
        ");
    }

    #[test]
    fn the_start_of_a_recording_and_odd_names_do_no_harm() {
        let begins = Span::new(Millis(300), Millis(300));
        assert_eq!(
            arguments("play", "--help.wav", begins),
            "-q ./--help.wav trim 0.000 2.000"
        );
    }

    #[cfg(unix)]
    #[test]
    fn the_first_player_installed_is_taken_and_started() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let empty = folder.path().join("empty");
        std::fs::create_dir(&empty).unwrap();
        assert_eq!(Player::installed(empty.as_os_str()), None);
        let told = folder.path().join("told");
        for name in ["play", "cvlc"] {
            let script = format!("#!/bin/sh\necho \"$0 $*\" > '{}'\n", told.display());
            let path = folder.path().join(name);
            std::fs::write(&path, script).unwrap();
            std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o755)).unwrap();
        }
        let path = env::join_paths([&empty, &folder.path().to_path_buf()]).unwrap();
        let player = Player::installed(&path).unwrap();
        assert_eq!(player.name(), "play");
        let span = Span::new(Millis(2_000), Millis(3_000));
        let mut playing = player.play(Path::new("/memo.wav"), span).unwrap();
        while playing.goes_on() {
            std::thread::yield_now();
        }
        let told = std::fs::read_to_string(told).unwrap();
        assert!(
            told.ends_with("play -q /memo.wav trim 1.000 2.500\n"),
            "{told}"
        );
    }
}
