//! The fields of an item that the inspector may change, each as one line of text.

use super::measured;
use crate::items::{Item, RemedySource, Severity};
use serde::{Deserialize, Serialize};
use std::fmt;

/// A field that can be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Field {
    /// [`Item::place`].
    Place,
    /// [`Item::position`]; empty clears it.
    Position,
    /// [`Item::element`].
    Element,
    /// [`Item::defect`].
    Defect,
    /// [`Item::description`].
    Description,
    /// [`Item::measurements`] in figures, separated by `;`; empty clears them.
    Measurement,
    /// [`Item::count`].
    Count,
    /// [`Item::remedy`]; empty clears it.
    Remedy,
    /// [`Item::trade`]; empty clears it.
    Trade,
    /// [`Item::severity`].
    Severity,
    /// [`Item::remarks`], separated by `;`; empty clears them.
    Remark,
}

/// Why a text does not fit a field.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FieldError {
    /// The field must not be empty.
    #[error("the {0} cannot be empty: give it, or leave the field as it is")]
    Empty(Field),
    /// More than [`LONGEST_TEXT`] characters.
    #[error("the {field} has {length} characters: give at most {LONGEST_TEXT}")]
    TooLong {
        /// Which field.
        field: Field,
        /// How many characters were given.
        length: usize,
    },
    /// Not a whole number from 1.
    #[error("the count `{0}` is not a whole number from 1 to {MOST}: give digits, such as 3")]
    Count(String),
    /// Not a number with a unit.
    #[error(
        "the measurement `{0}` is not understood: give figures and a unit, such as 19 mm, \
         about 6 to 8 mm, or 5 mm over 2 m"
    )]
    Measurement(String),
    /// Not one of the five words.
    #[error("the severity `{0}` is unknown: give safety, repair, finish, clean or watch")]
    Severity(String),
    /// No such field.
    #[error("there is no field `{0}`: the fields are {list}", list = Field::list())]
    Unknown(String),
}

/// Longest text taken into a field, in characters. A sentence read aloud for ten minutes stays
/// below it; a pasted document does not.
pub const LONGEST_TEXT: usize = 4000;

/// Highest count taken: more is a slip of the finger.
const MOST: u32 = 9999;

impl Field {
    /// All fields, in the order in which a card shows them.
    pub const ALL: [Field; 11] = [
        Field::Place,
        Field::Position,
        Field::Element,
        Field::Defect,
        Field::Description,
        Field::Measurement,
        Field::Count,
        Field::Remedy,
        Field::Trade,
        Field::Severity,
        Field::Remark,
    ];

    /// Returns the field's name, one lowercase word.
    pub fn name(self) -> &'static str {
        match self {
            Field::Place => "place",
            Field::Position => "position",
            Field::Element => "element",
            Field::Defect => "defect",
            Field::Description => "description",
            Field::Measurement => "measurement",
            Field::Count => "count",
            Field::Remedy => "remedy",
            Field::Trade => "trade",
            Field::Severity => "severity",
            Field::Remark => "remark",
        }
    }

    /// Returns the field with this name, in any case.
    ///
    /// # Errors
    /// [`FieldError::Unknown`], which lists all names.
    pub fn named(name: &str) -> Result<Field, FieldError> {
        let wanted = name.trim().to_lowercase();
        Field::ALL
            .into_iter()
            .find(|field| field.name() == wanted)
            .ok_or_else(|| FieldError::Unknown(name.trim().to_string()))
    }

    /// Returns the field's text; empty where there is none.
    pub fn read(self, item: &Item) -> String {
        match self {
            Field::Place => item.place.clone(),
            Field::Position => item.position.clone().unwrap_or_default(),
            Field::Element => item.element.clone(),
            Field::Defect => item.defect.clone(),
            Field::Description => item.description.clone(),
            Field::Measurement => measured::to_text(&item.measurements),
            Field::Count => item.count.to_string(),
            Field::Remedy => item.remedy.clone().unwrap_or_default(),
            Field::Trade => item.trade.clone().unwrap_or_default(),
            Field::Severity => severity_word(item.severity).to_string(),
            Field::Remark => item.remarks.join("; "),
        }
    }

    /// Returns true where a published limit may no longer apply once the field has changed.
    fn shapes_limits(self) -> bool {
        matches!(self, Field::Element | Field::Defect | Field::Measurement)
    }

    /// Puts `text` into the field, with control characters and runs of white space made single
    /// spaces. A remedy given by the inspector counts as [`RemedySource::Spoken`]: it is theirs.
    /// [`Item::limits`] of other facts are dropped; whoever shows the list checks it anew.
    ///
    /// # Errors
    /// [`FieldError`] where the text does not fit; the item is then unchanged.
    pub fn write(self, item: &mut Item, text: &str) -> Result<(), FieldError> {
        let text = one_line(text);
        let length = text.chars().count();
        if length > LONGEST_TEXT {
            return Err(FieldError::TooLong {
                field: self,
                length,
            });
        }
        let optional = (!text.is_empty()).then(|| text.clone());
        let required = optional.clone().ok_or(FieldError::Empty(self));
        match self {
            Field::Place => item.place = required?,
            Field::Position => item.position = optional,
            Field::Element => item.element = required?,
            Field::Defect => item.defect = required?,
            Field::Description => item.description = required?,
            Field::Measurement => {
                item.measurements = measured::from_text(&text, &item.measurements)?;
            }
            Field::Count => item.count = count_from(&text)?,
            Field::Remedy => {
                item.remedy_source = optional.as_ref().map(|_| RemedySource::Spoken);
                item.remedy = optional;
            }
            Field::Trade => item.trade = optional,
            Field::Severity => item.severity = severity_from(&text)?,
            Field::Remark => {
                let remarks = text
                    .split(';')
                    .map(str::trim)
                    .filter(|remark| !remark.is_empty());
                item.remarks = remarks.map(str::to_string).collect();
            }
        }
        if self.shapes_limits() {
            item.limits.clear();
        }
        Ok(())
    }

    fn list() -> String {
        Field::ALL.map(Field::name).join(", ")
    }
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Returns the severity as the one word that files and faces use.
pub fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Safety => "safety",
        Severity::Repair => "repair",
        Severity::Finish => "finish",
        Severity::Clean => "clean",
        Severity::Watch => "watch",
    }
}

/// Takes the word or its first letter, which is enough to tell the five apart.
fn severity_from(text: &str) -> Result<Severity, FieldError> {
    use Severity::{Clean, Finish, Repair, Safety, Watch};
    let wanted = text.to_lowercase();
    [Safety, Repair, Finish, Clean, Watch]
        .into_iter()
        .find(|&severity| {
            [severity_word(severity), &severity_word(severity)[..1]].contains(&&*wanted)
        })
        .ok_or_else(|| FieldError::Severity(text.to_string()))
}

fn count_from(text: &str) -> Result<u32, FieldError> {
    match text.parse() {
        Ok(count) if (1..=MOST).contains(&count) => Ok(count),
        _ => Err(FieldError::Count(text.to_string())),
    }
}

fn one_line(text: &str) -> String {
    let plain: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}
