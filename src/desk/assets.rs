//! The page's own files, as they stand in the binary.

/// Name, type and content of a file.
pub(crate) struct Asset {
    pub(crate) name: &'static str,
    pub(crate) mime: &'static str,
    pub(crate) text: &'static str,
}

macro_rules! assets {
    ($($name:literal $mime:literal),* $(,)?) => {
        &[$(Asset { name: $name, mime: $mime, text: include_str!(concat!("assets/", $name)) }),*]
    };
}

/// All files. The scripts are modules; `main.js` starts them.
pub(crate) const ASSETS: &[Asset] = assets![
    "desk.css" "text/css; charset=utf-8",
    "card.css" "text/css; charset=utf-8",
    "icon.svg" "image/svg+xml",
    "main.js" "text/javascript; charset=utf-8",
    "net.js" "text/javascript; charset=utf-8",
    "store.js" "text/javascript; charset=utf-8",
    "dom.js" "text/javascript; charset=utf-8",
    "ledger.js" "text/javascript; charset=utf-8",
    "card.js" "text/javascript; charset=utf-8",
    "field.js" "text/javascript; charset=utf-8",
    "filter.js" "text/javascript; charset=utf-8",
    "sound.js" "text/javascript; charset=utf-8",
    "wave.js" "text/javascript; charset=utf-8",
    "words.js" "text/javascript; charset=utf-8",
    "photos.js" "text/javascript; charset=utf-8",
    "dialogs.js" "text/javascript; charset=utf-8",
    "rework.js" "text/javascript; charset=utf-8",
    "unlisted.js" "text/javascript; charset=utf-8",
    "growth.js" "text/javascript; charset=utf-8",
    "keys.js" "text/javascript; charset=utf-8",
];
