//! Which limits count: the countries, and the kinds of rows that are off by default.

use super::row::{Kind, Limit, Status};
use std::collections::BTreeSet;
use std::fmt;

/// The places that rows may name, each with the one it lies in, whose rows count there too.
const PLACES: &[(&str, Option<&str>)] = &[
    ("uk", None),
    ("england", Some("uk")),
    ("wales", Some("uk")),
    ("scotland", Some("uk")),
    ("northern-ireland", Some("uk")),
    ("ireland", None),
    ("us", None),
    ("us-texas", Some("us")),
    ("canada", None),
    ("canada-ontario", Some("canada")),
    ("canada-saskatchewan", Some("canada")),
    ("australia", None),
    ("new-zealand", None),
    ("malaysia", None),
    ("norway", None),
];

/// Words for the rows that are off unless asked for.
const KINDS: [&str; 4] = ["superseded", "memory", "unattributed", "warranty"];
/// The word for all of these.
const ALL: &str = "all";
/// The word for no limits at all.
const NONE: &str = "none";

/// Regions, as their language tags begin or as they are called, with the place whose limits count.
const REGIONS: &[(&str, &str)] = &[
    ("en-us", "us"),
    ("us", "us"),
    ("en-ie", "ireland"),
    ("ie", "ireland"),
    ("en-nz", "new-zealand"),
    ("en-au", "australia"),
    ("en-ca", "canada"),
];
/// The place whose limits count elsewhere: the vocabulary is British English first.
const USUAL: &str = "england";

pub(super) fn known(place: &str) -> bool {
    PLACES.iter().any(|(name, _)| *name == place)
}

pub(super) fn list() -> String {
    let names: Vec<_> = PLACES.iter().map(|(name, _)| *name).collect();
    names.join(", ")
}

/// A word that is neither a place nor a kind of rows.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "there are no limits for `{0}`: give some of {places}, separated by commas; `superseded`, \
     `memory`, `unattributed` and `warranty` (or `all`) add the rows that are otherwise off; `none` \
     compares with nothing",
    places = list()
)]
pub struct UnknownChoice(pub String);

/// The inspector's choice of limits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    words: BTreeSet<String>,
}

impl Default for Chosen {
    fn default() -> Self {
        Chosen::for_region("")
    }
}

impl Chosen {
    /// Returns the choice that `text` names, such as `england,us,superseded`.
    ///
    /// # Errors
    /// [`UnknownChoice`] for the first word that is unknown.
    pub fn parse(text: &str) -> Result<Chosen, UnknownChoice> {
        let mut words = BTreeSet::new();
        for word in text.split(',').map(|w| w.trim().to_lowercase()) {
            let word = word.replace(' ', "-");
            match word.as_str() {
                "" => {}
                ALL => words.extend(KINDS.map(str::to_owned)),
                kind if KINDS.contains(&kind) || kind == NONE || known(kind) => {
                    words.insert(word);
                }
                _ => return Err(UnknownChoice(word)),
            }
        }
        Ok(Chosen { words }.with_place())
    }

    /// Returns the choice for a region such as `en-US`; England where nothing is known of it.
    pub fn for_region(region: &str) -> Chosen {
        let region = region.to_lowercase();
        let place = REGIONS
            .iter()
            .find(|(tag, _)| region.starts_with(tag))
            .map_or(USUAL, |(_, place)| place);
        let place = if known(&region) { &region } else { place };
        Chosen {
            words: BTreeSet::from([place.to_owned()]),
        }
    }

    /// Only kinds were named: they are meant for the usual place.
    fn with_place(mut self) -> Chosen {
        if !self.words.iter().any(|w| known(w) || w == NONE) {
            self.words.insert(USUAL.to_owned());
        }
        self
    }

    /// Returns true where the row counts. The user's own rows count everywhere, unless they name
    /// places of their own.
    pub(super) fn takes(&self, row: &Limit) -> bool {
        let has = |word: &str| self.words.contains(word);
        if has(NONE) {
            return false;
        }
        let here = row.jurisdiction.is_empty()
            || row.jurisdiction.iter().any(|place| {
                has(place)
                    || PLACES
                        .iter()
                        .any(|(name, within)| *within == Some(place) && has(name))
            });
        let off = row.superseded && !has("superseded")
            || row.status == Status::Memory && !has("memory")
            || row.unattributed && !has("unattributed")
            || row.kind == Kind::WarrantyTolerance && !row.own && !has("warranty");
        here && (row.own || !off)
    }
}

/// The choice as [`Chosen::parse`] takes it.
impl fmt::Display for Chosen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<_> = self.words.iter().map(String::as_str).collect();
        f.write_str(&words.join(","))
    }
}
