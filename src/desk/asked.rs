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
    Accept { number: u32 },
    AcceptAbove { confidence: f64 },
    Reject { number: u32, reason: String },
    Restore { number: u32 },
    Edit { number: u32, field: String, text: String },
    Add { place: String, element: String, defect: String },
    Undo,
    Redo,
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
            AskedChange::Add {
                place,
                element,
                defect,
            } => Change::Add(NewItem {
                place,
                element,
                defect,
            }),
            AskedChange::Undo => Change::Undo,
            AskedChange::Redo => Change::Redo,
        })
    }
}
