//! The lexicon files that the program carries, British first, then the American overlay.

use std::path::PathBuf;

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
    "trades.toml",
    "remedies.toml",
    "places.toml",
    "elements.toml",
    "defects.toml",
    "phrases.toml",
    "sounds.toml",
    "spellings.toml",
    "american/trades.toml",
    "american/remedies.toml",
    "american/places.toml",
    "american/elements.toml",
    "american/defects.toml",
];

/// Returns path and text of each embedded file.
pub(super) fn files() -> Vec<(PathBuf, String)> {
    FILES
        .iter()
        .map(|(path, text)| (PathBuf::from(path), (*text).to_owned()))
        .collect()
}
