//! The log of decisions: appended to, never rewritten.

use super::{Decision, Event, Job, JobError};
use rusqlite::{Connection, params};
use std::path::Path;

impl Job {
    /// Keeps `decisions`, all or none, and returns them as events. When this returns, they are on
    /// the disk.
    ///
    /// `after` is the id of the last event the caller knows (0 for none); `at` is the time as text.
    ///
    /// # Errors
    /// [`JobError::ChangedElsewhere`] where the log has grown meanwhile; otherwise as the disk and
    /// SQLite have it. On error nothing was kept.
    pub fn append(
        &mut self,
        after: i64,
        decisions: &[Decision],
        at: &str,
    ) -> Result<Vec<Event>, JobError> {
        let path = self.file();
        let transaction = self.begin("keep the decision")?;
        if last_event(&transaction, &path)? != after {
            return Err(JobError::ChangedElsewhere { path });
        }
        let mut events = Vec::with_capacity(decisions.len());
        for decision in decisions {
            events.push(insert_event(&transaction, &path, decision, at)?);
        }
        transaction
            .commit()
            .map_err(|source| JobError::sqlite("keep the decision", &path, source))?;
        Ok(events)
    }

    /// Returns all events, oldest first.
    ///
    /// # Errors
    /// As reading has it; [`JobError::Damaged`] where an event cannot be understood.
    pub fn events(&self) -> Result<Vec<Event>, JobError> {
        read_events(&self.connection, &self.file())
    }
}

/// Returns the id of the last event, 0 for none.
pub(super) fn last_event(connection: &Connection, path: &Path) -> Result<i64, JobError> {
    connection
        .query_row("SELECT coalesce(max(id), 0) FROM events", [], |row| {
            row.get(0)
        })
        .map_err(|source| JobError::sqlite("read the decisions", path, source))
}

/// Writes one event within the caller's transaction.
pub(super) fn insert_event(
    connection: &Connection,
    path: &Path,
    decision: &Decision,
    at: &str,
) -> Result<Event, JobError> {
    let (kind, payload) = to_columns(decision).map_err(|source| JobError::Unwritable {
        what: "a decision".into(),
        source,
    })?;
    connection
        .execute(
            "INSERT INTO events (at, kind, payload) VALUES (?1, ?2, ?3)",
            params![at, kind, payload],
        )
        .map_err(|source| JobError::sqlite("keep the decision", path, source))?;
    let id = connection.last_insert_rowid();
    Ok(Event {
        id,
        at: at.to_string(),
        decision: decision.clone(),
    })
}

/// Reads all events, oldest first.
pub(super) fn read_events(connection: &Connection, path: &Path) -> Result<Vec<Event>, JobError> {
    let failed = |source| JobError::sqlite("read the decisions", path, source);
    let mut statement = connection
        .prepare("SELECT id, at, kind, payload FROM events ORDER BY id")
        .map_err(failed)?;
    let mut rows = statement.query([]).map_err(failed)?;
    let mut events = Vec::new();
    while let Some(row) = rows.next().map_err(failed)? {
        let id: i64 = row.get(0).map_err(failed)?;
        let at = row.get(1).map_err(failed)?;
        let kind: String = row.get(2).map_err(failed)?;
        let payload: String = row.get(3).map_err(failed)?;
        let decision = from_columns(&kind, &payload).map_err(|source| JobError::Damaged {
            path: path.into(),
            detail: format!("decision {id} of kind `{kind}` cannot be read: {source}"),
        })?;
        events.push(Event { id, at, decision });
    }
    Ok(events)
}

/// Splits a decision into its kind and the rest as JSON, so that the kind can be queried.
fn to_columns(decision: &Decision) -> serde_json::Result<(String, String)> {
    let mut value = serde_json::to_value(decision)?;
    let kind = value
        .as_object_mut()
        .and_then(|object| object.remove("kind"))
        .and_then(|kind| kind.as_str().map(str::to_string))
        .unwrap_or_default();
    Ok((kind, value.to_string()))
}

pub(super) fn from_columns(kind: &str, payload: &str) -> serde_json::Result<Decision> {
    let mut value: serde_json::Value = serde_json::from_str(payload)?;
    if let Some(object) = value.as_object_mut() {
        object.insert("kind".into(), kind.into());
    }
    serde_json::from_value(value)
}
