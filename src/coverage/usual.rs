//! What a usual home has, from `lexicon/usual.toml`.

use serde::Deserialize;

/// A usual home.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Usual {
    /// The places it has.
    #[serde(default)]
    pub home: Vec<Expected>,
    /// What is usually looked at in rooms.
    #[serde(default, rename = "room")]
    pub rooms: Vec<Room>,
}

/// A place that a usual home has.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expected {
    /// How the report calls it.
    #[serde(rename = "place")]
    pub name: String,
    /// A visited place with any of these in its name counts.
    pub words: Vec<String>,
}

/// What is usually looked at in a kind of room.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// A place with any of these in its name is one.
    pub words: Vec<String>,
    /// The elements, as words in their names.
    pub elements: Vec<String>,
}

impl Usual {
    /// Returns the usual home that the program carries.
    pub fn builtin() -> Usual {
        // A test reads the embedded file; a broken one cannot be shipped.
        toml::from_str(include_str!("../../lexicon/usual.toml")).unwrap_or_default()
    }
}
