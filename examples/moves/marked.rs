//! Texts of walk-rounds in which the place of each defect is marked: *Handrail's loose. {landing|upstairs landing}*.

use crate::tally::transcript;
use callover::speech::Transcript;
use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};

/// What was said, and where what was said last is, as wordings that are accepted, by the word behind it.
pub(crate) struct Marked {
    pub(crate) name: String,
    pub(crate) transcript: Transcript,
    pub(crate) told: BTreeMap<usize, Vec<String>>,
}

/// Returns a file, or the texts that a folder holds, in order: those `kept` for a check, which its file `kept` names,
/// or the others.
pub(crate) fn marked_files(path: &Path, kept: bool) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let names = std::fs::read_to_string(path.join("kept")).unwrap_or_default();
    let is_kept = |file: &Path| {
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        names.lines().any(|line| line == name)
    };
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path)? {
        let file = entry?.path();
        if file.extension().is_some_and(|end| end == "txt") && is_kept(&file) == kept {
            files.push(file);
        }
    }
    files.sort();
    Ok(files)
}

impl Marked {
    /// Reads a marked text.
    pub(crate) fn read(file: &Path) -> Result<Marked, Box<dyn Error>> {
        let text = std::fs::read_to_string(file)?;
        let (mut said, mut told, mut rest) = (String::new(), BTreeMap::new(), text.as_str());
        while let Some((before, behind)) = rest.split_once('{') {
            let (mark, after) = behind
                .split_once('}')
                .ok_or_else(|| format!("{}: a brace is not closed", file.display()))?;
            said.push_str(before);
            let places = mark.split('|').map(|place| place.trim().to_owned());
            told.insert(said.split_whitespace().count(), places.collect());
            rest = after;
        }
        said.push_str(rest);
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        Ok(Marked {
            transcript: transcript(&format!("{name}.txt"), said.as_bytes())?,
            name: name.into_owned(),
            told,
        })
    }
}
