//! What the page may ask for, as it arrives, and the change it amounts to.

use super::error::Refused;
use crate::confirm::{Change, NewItem};
use crate::job::Field;
use axum::http::StatusCode;
use serde::Deserialize;

/// An action, resting on the list as it was after an event.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Asked {
    /// The id of the last event that the page knows.
    pub(crate) after: i64,
    /// What to do.
    pub(crate) change: AskedChange,
}

/// A change to the list.
#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) enum AskedChange {
    Accept {
        number: u32,
    },
    AcceptAbove {
        confidence: f64,
    },
    Reject {
        number: u32,
        reason: String,
    },
    Restore {
        number: u32,
    },
    Edit {
        number: u32,
        field: String,
        text: String,
    },
    AcceptPlace {
        place: String,
        confidence: f64,
    },
    Split {
        number: u32,
        at: usize,
    },
    Merge {
        number: u32,
        other: u32,
    },
    Move {
        numbers: Vec<u32>,
        place: String,
    },
    Copy {
        number: u32,
        places: Vec<String>,
    },
    Renumber {
        number: u32,
        to: u32,
    },
    RenumberAll,
    AttachPhoto {
        number: u32,
        photo: String,
    },
    DetachPhoto {
        number: u32,
        photo: String,
    },
    Add {
        new: AskedItem,
    },
    /// From words of the transcript.
    AddSaid {
        new: AskedItem,
        words: (usize, usize),
    },
    /// From a statement that made no item.
    Promote {
        new: AskedItem,
        statement: usize,
    },
    Undo,
    Redo,
}

/// The facts of a new item.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AskedItem {
    place: String,
    element: String,
    defect: String,
}

impl From<AskedItem> for NewItem {
    fn from(asked: AskedItem) -> NewItem {
        NewItem {
            place: asked.place,
            element: asked.element,
            defect: asked.defect,
        }
    }
}

impl TryFrom<AskedChange> for Change {
    type Error = Refused;

    fn try_from(asked: AskedChange) -> Result<Change, Refused> {
        Ok(match asked {
            AskedChange::Accept { number } => Change::Accept { number },
            AskedChange::AcceptAbove { confidence } => Change::AcceptAbove { confidence },
            AskedChange::Reject { number, reason } => Change::Reject { number, reason },
            AskedChange::Restore { number } => Change::Restore { number },
            AskedChange::Edit {
                number,
                field,
                text,
            } => Change::Edit {
                number,
                field: Field::named(&field)
                    .map_err(|error| Refused::new(StatusCode::UNPROCESSABLE_ENTITY, error))?,
                text,
            },
            AskedChange::AcceptPlace { place, confidence } => {
                Change::AcceptPlace { place, confidence }
            }
            AskedChange::Split { number, at } => Change::Split { number, at },
            AskedChange::Merge { number, other } => Change::Merge { number, other },
            AskedChange::Move { numbers, place } => Change::Move { numbers, place },
            AskedChange::Copy { number, places } => Change::Copy { number, places },
            AskedChange::Renumber { number, to } => Change::Renumber { number, to },
            AskedChange::RenumberAll => Change::RenumberAll,
            AskedChange::AttachPhoto { number, photo } => Change::AttachPhoto { number, photo },
            AskedChange::DetachPhoto { number, photo } => Change::DetachPhoto { number, photo },
            AskedChange::Add { new } => Change::Add(new.into()),
            AskedChange::AddSaid { new, words } => Change::AddSaid {
                new: new.into(),
                words,
            },
            AskedChange::Promote { new, statement } => Change::Promote {
                new: new.into(),
                statement,
            },
            AskedChange::Undo => Change::Undo,
            AskedChange::Redo => Change::Redo,
        })
    }
}
