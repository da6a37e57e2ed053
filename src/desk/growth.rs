//! How the corrections fall from job to job: the confirmed jobs that lie beside this one.

use crate::job::{Job, JobError};
use crate::score::Effort;
use serde::Serialize;
use std::fs;
use std::path::{Path, PathBuf};

/// Jobs shown: what a picture of a hand's breadth can tell apart.
const MOST_SHOWN: usize = 24;

/// Ending of a job's folder.
const ENDING: &str = "job";

/// One job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Step {
    title: String,
    items: usize,
    /// Corrections for each confirmed item.
    corrections: f64,
    /// True for the job of the page.
    here: bool,
}

/// Returns the latest jobs with a confirmed item in the folder where this one lies, the oldest first. One
/// that cannot be read is left out: this is no place to mend it.
pub(crate) fn growth(job: &Path) -> Vec<Step> {
    let here = job.canonicalize().unwrap_or_else(|_| job.to_path_buf());
    let beside = here.parent().and_then(|folder| fs::read_dir(folder).ok());
    let folders = beside.into_iter().flatten().flatten();
    let mut folders: Vec<PathBuf> = folders.map(|entry| entry.path()).collect();
    folders.retain(|path| path.extension().is_some_and(|ending| ending == ENDING));
    let mut steps: Vec<(String, PathBuf, Step)> = (folders.into_iter())
        .filter_map(|folder| {
            let (made, step) = step(&folder, folder == here).ok().flatten()?;
            Some((made, folder, step))
        })
        .collect();
    steps.sort_by(|a, b| (&a.0, &a.1).cmp(&(&b.0, &b.1)));
    let first = steps.len().saturating_sub(MOST_SHOWN);
    steps.drain(first..).map(|(.., step)| step).collect()
}

/// Returns when the job was proposed and what it took; `None` where nothing is confirmed.
fn step(folder: &Path, here: bool) -> Result<Option<(String, Step)>, JobError> {
    let job = Job::open_to_read(folder)?;
    let effort = Effort::of(&job.proposal()?.items, &job.list()?);
    let made = job.events()?.first().map(|event| event.at.clone());
    let corrections = effort.corrections_per_item();
    let title = job.title()?;
    Ok(corrections.map(|corrections| {
        let step = Step {
            title,
            items: effort.items,
            corrections,
            here,
        };
        (made.unwrap_or_default(), step)
    }))
}
