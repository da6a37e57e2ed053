//! Looking a job folder over: what is wrong with it, without changing anything.

use super::folder::{check_mark, connect, existing_file};
use super::schema::{MIGRATIONS, user_version};
use super::{EXPORTS_FOLDER, Job, JobError, PHOTOS_FOLDER, RECORDINGS_FOLDER, is_plain_name};
use crate::audio::sha256_of_file;
use rusqlite::{Connection, OpenFlags};
use std::collections::BTreeSet;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

/// Something that is wrong with a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// The job file cannot be used as it is; what was found.
    File(String),
    /// A decision that could not be applied, or a list that could not be read.
    Decisions(String),
    /// A recording's file is not there, or its content is another than the one taken.
    Recording {
        /// Its number.
        id: u32,
        /// Its name within `recordings/`.
        file: String,
        /// SHA-256 of its content when it was taken.
        sha256: String,
        /// Where it was when it was taken.
        original_path: String,
        /// True where a file of that name is there, with other content.
        differs: bool,
    },
    /// A photo's file is not there, or its content is another than the one taken.
    Photo {
        /// Its name within `photos/`.
        name: String,
        /// SHA-256 of its content when it was taken; `None` where an item names a photo that the
        /// job does not know.
        sha256: Option<String>,
        /// Where it was when it was taken; empty where that is not known.
        original_path: String,
        /// True where a file of that name is there, with other content.
        differs: bool,
    },
    /// One of the folders is not there.
    Folder(PathBuf),
    /// A file or folder that a killed program left unfinished.
    Unfinished(PathBuf),
}

impl Trouble {
    /// Returns true where only a repair of the job file itself can help.
    pub fn is_of_file(&self) -> bool {
        matches!(self, Trouble::File(_))
    }
}

/// Shows one line: what is wrong, and what it means.
impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let state = |differs: bool| match differs {
            true => "has other content than the one that was taken",
            false => "is missing",
        };
        match self {
            Trouble::File(what) | Trouble::Decisions(what) => f.write_str(what),
            Trouble::Recording {
                id, file, differs, ..
            } => write!(
                f,
                "recording {id}, {RECORDINGS_FOLDER}/{file}, {}: its words are kept, it cannot be \
                 heard",
                state(*differs)
            ),
            Trouble::Photo { name, differs, .. } => {
                write!(f, "the photo {PHOTOS_FOLDER}/{name} {}", state(*differs))
            }
            Trouble::Folder(path) => write!(f, "the folder {} is missing", path.display()),
            Trouble::Unfinished(path) => write!(
                f,
                "{} was left unfinished by a program that was stopped: it is of no use",
                path.display()
            ),
        }
    }
}

/// What a job holds, and what is wrong with it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Examination {
    /// What there is, one short line a part: label and text.
    pub parts: Vec<(&'static str, String)>,
    /// What is wrong, the gravest first.
    pub troubles: Vec<Trouble>,
}

/// Looks the job in `dir` over. Nothing is changed, but what a killed program left half done is
/// finished or rolled back, as on every opening.
///
/// # Errors
/// Where the folder holds no job at all, a newer one, or something else; damage is not an error but
/// a [`Trouble`].
pub fn examine(dir: &Path) -> Result<Examination, JobError> {
    let mut examination = Examination::default();
    if let Some(damage) = damage(dir, &mut examination.parts)? {
        examination.troubles.push(Trouble::File(damage));
    } else {
        match Job::open_to_read(dir) {
            Ok(job) => match contents(&job, &mut examination) {
                // The tables hold, but a row in them cannot be understood.
                Err(JobError::Damaged { detail, .. }) => {
                    examination.troubles.push(Trouble::File(detail));
                }
                done => done?,
            },
            Err(JobError::Damaged { detail, .. }) => {
                examination.troubles.push(Trouble::File(detail));
            }
            // An older format: it is brought up to date by the first command that writes.
            Err(JobError::ReadOnly { .. }) => {}
            Err(error) => return Err(error),
        }
    }
    let unfinished = unfinished_in(dir).into_iter().map(Trouble::Unfinished);
    examination.troubles.extend(unfinished);
    for name in [RECORDINGS_FOLDER, PHOTOS_FOLDER, EXPORTS_FOLDER] {
        let folder = dir.join(name);
        if !folder.is_dir() {
            examination.troubles.push(Trouble::Folder(folder));
        } else {
            let unfinished = unfinished_in(&folder);
            examination
                .troubles
                .extend(unfinished.into_iter().map(Trouble::Unfinished));
        }
    }
    Ok(examination)
}

/// Returns what is wrong with the job file as a file, if anything is.
fn damage(dir: &Path, parts: &mut Vec<(&'static str, String)>) -> Result<Option<String>, JobError> {
    let path = match existing_file(dir) {
        Ok(path) => path,
        // The first bytes are gone, or it never was a job: salvaging tells.
        Err(JobError::NotAJobFile { path, found }) => {
            return Ok(Some(format!("{}: {found}", path.display())));
        }
        Err(error) => return Err(error),
    };
    let look = || -> Result<(i64, Vec<String>), JobError> {
        super::folder::roll_back(&path);
        let connection = connect(&path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        check_mark(&connection, &path)?;
        let version = user_version(&connection, &path)?;
        let problems = integrity(&connection)
            .map_err(|source| JobError::sqlite("check the tables", &path, source))?;
        Ok((version, problems))
    };
    match look() {
        Ok((version, problems)) => {
            let latest = MIGRATIONS.len();
            let format = match usize::try_from(version) {
                Ok(version) if version < latest => format!(
                    "{version}, older than this program's {latest}: the next command that writes \
                     copies the file and brings it up to date"
                ),
                _ => version.to_string(),
            };
            parts.push(("format", format));
            if problems.is_empty() {
                parts.push(("tables", "whole".into()));
                return Ok(None);
            }
            Ok(Some(format!(
                "{} is damaged: {}",
                path.display(),
                problems.join("; ")
            )))
        }
        Err(JobError::Damaged { detail, .. }) => {
            Ok(Some(format!("{} is damaged: {detail}", path.display())))
        }
        Err(JobError::NotAJobFile { path, found }) => {
            Ok(Some(format!("{}: {found}", path.display())))
        }
        Err(error) => Err(error),
    }
}

/// Most lines of SQLite's own check that are shown: the first tell the kind of damage.
const MOST_LINES: usize = 5;

fn integrity(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut statement = connection.prepare(&format!("PRAGMA integrity_check({MOST_LINES})"))?;
    let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
    let lines: Vec<String> = lines.collect::<rusqlite::Result<_>>()?;
    let wrong = lines.into_iter().filter(|line| line != "ok");
    Ok(wrong.map(|line| line.replace('\n', " ")).collect())
}

fn contents(job: &Job, examination: &mut Examination) -> Result<(), JobError> {
    let mut items = Vec::new();
    match job.list() {
        Ok(list) => {
            let decisions = job.events()?.len();
            let text = format!("{} ({decisions} decisions and proposals)", list.items.len());
            examination.parts.push(("items", text));
            let problems = list.problems.into_iter().map(Trouble::Decisions);
            examination.troubles.extend(problems);
            items = list.items;
        }
        Err(JobError::Damaged { detail, .. }) => {
            examination.troubles.push(Trouble::File(detail));
        }
        Err(error) => return Err(error),
    }
    recordings(job, examination)?;
    photos(job, examination, items.iter().flat_map(|item| &item.photos))
}

fn recordings(job: &Job, examination: &mut Examination) -> Result<(), JobError> {
    let recordings = job.recordings()?;
    let folder = job.dir().join(RECORDINGS_FOLDER);
    let mut whole = 0;
    for kept in &recordings {
        let recording = &kept.recording;
        let path = folder.join(&recording.file);
        let there = path.is_file();
        if there && has_content(&path, &recording.sha256) {
            whole += 1;
            continue;
        }
        examination.troubles.push(Trouble::Recording {
            id: recording.id,
            file: recording.file.clone(),
            sha256: recording.sha256.clone(),
            original_path: kept.original_path.clone(),
            differs: there,
        });
    }
    let text = format!(
        "{}, {whole} of them here as they were taken",
        recordings.len()
    );
    examination.parts.push(("recordings", text));
    Ok(())
}

fn photos<'a>(
    job: &Job,
    examination: &mut Examination,
    shown: impl Iterator<Item = &'a String>,
) -> Result<(), JobError> {
    let kept = job.photos()?;
    let folder = job.dir().join(PHOTOS_FOLDER);
    let mut whole = 0;
    let mut unknown: BTreeSet<&String> = shown.collect();
    for photo in &kept {
        unknown.remove(&photo.name);
        let path = folder.join(&photo.name);
        let there = path.is_file();
        if there && has_content(&path, &photo.sha256) {
            whole += 1;
            continue;
        }
        examination.troubles.push(Trouble::Photo {
            name: photo.name.clone(),
            sha256: Some(photo.sha256.clone()),
            original_path: photo.original_path.clone(),
            differs: there,
        });
    }
    for name in unknown {
        if !is_plain_name(name) || !folder.join(name).is_file() {
            examination.troubles.push(Trouble::Photo {
                name: name.clone(),
                sha256: None,
                original_path: String::new(),
                differs: false,
            });
        }
    }
    let text = format!("{}, {whole} of them here as they were taken", kept.len());
    examination.parts.push(("photos", text));
    Ok(())
}

fn has_content(path: &Path, sha256: &str) -> bool {
    sha256_of_file(path).is_ok_and(|found| found == sha256)
}

/// Returns the temporary files and folders of this program in a folder.
fn unfinished_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return vec![];
    };
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with(".callover-")
        })
        .collect();
    paths.sort();
    paths
}
