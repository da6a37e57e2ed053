//! The lexicon files that the program carries, British first, then the American overlay.

use super::problem::Problem;
use super::read::{self, RawEntry};
use std::path::Path;
use std::sync::OnceLock;

macro_rules! embed {
    ($($path:literal),* $(,)?) => {
        &[$((
            concat!("lexicon/", $path),
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/lexicon/", $path)),
        )),*]
    };
}

/// The files in the order in which they are read, with their names for messages.
const FILES: &[(&str, &str)] = embed![
    "groups.toml",
    "cautions.toml",
    "trades.toml",
    "remedies.toml",
    "places.toml",
    "elements.toml",
    "defects.toml",
    "phrases.toml",
    "sounds.toml",
    "heard.toml",
    "mined.toml",
    "spellings.toml",
    "american/trades.toml",
    "american/remedies.toml",
    "american/places.toml",
    "american/elements.toml",
    "american/defects.toml",
];

/// Returns true for the name of an embedded file.
pub(super) fn has(file: &Path) -> bool {
    FILES.iter().any(|(path, _)| Path::new(path) == file)
}

/// Returns the entries of the embedded files and what is wrong with them, read once.
pub(super) fn entries() -> &'static (Vec<RawEntry>, Vec<Problem>) {
    static ENTRIES: OnceLock<(Vec<RawEntry>, Vec<Problem>)> = OnceLock::new();
    ENTRIES.get_or_init(|| {
        let mut problems = Vec::new();
        let mut entries = Vec::new();
        for (path, text) in FILES {
            entries.extend(read::read(Path::new(path), text, &mut problems));
        }
        (entries, problems)
    })
}
