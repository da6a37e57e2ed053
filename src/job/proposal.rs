//! Keeping the proposal: places, items, and what made no item.

use super::log::{insert_event, read_events};
use super::merge::merge;
use super::recordings::{from_json, to_json};
use super::{DecidedList, Decision, Event, Job, JobError, replay};
use crate::items::Proposal;
use rusqlite::{Connection, Transaction, params};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeSet;
use std::path::Path;

impl Job {
    /// Keeps `proposal` in place of the earlier one, with every decision preserved: items are
    /// matched by [`crate::items::Item::id`], and those decided on stay as they were. Returns the
    /// event that marks it. `at` is the time as text.
    ///
    /// # Errors
    /// [`JobError::DuplicateId`], or as writing has it; the earlier proposal then stands.
    pub fn propose(&mut self, proposal: Proposal, at: &str) -> Result<Event, JobError> {
        let mut ids = BTreeSet::new();
        if let Some(twice) = proposal
            .items
            .iter()
            .find(|item| !ids.insert(item.id.clone()))
        {
            return Err(JobError::DuplicateId {
                id: twice.id.clone(),
            });
        }
        let path = self.file();
        let transaction = self.begin("keep the proposal")?;
        let old = read_proposal(&transaction, &path)?;
        let events = read_events(&transaction, &path)?;
        let (merged, highest) = merge(&old.items, &events, proposal);
        replace(&transaction, &path, &merged)?;
        let mark = Decision::Proposed {
            items: merged.items.len(),
            highest,
        };
        let event = insert_event(&transaction, &path, &mark, at)?;
        transaction
            .commit()
            .map_err(|source| JobError::sqlite("keep the proposal", &path, source))?;
        Ok(event)
    }

    /// Returns the list as it would be with `proposal` in place of the kept one, and keeps nothing.
    ///
    /// # Errors
    /// As reading has it.
    pub fn list_with(&self, proposal: Proposal) -> Result<DecidedList, JobError> {
        let events = self.events()?;
        let (merged, _) = merge(&self.proposal()?.items, &events, proposal);
        Ok(replay(&merged.items, &events))
    }

    /// Returns the proposal as kept, before any decision is applied; empty before the first.
    ///
    /// # Errors
    /// As reading has it.
    pub fn proposal(&self) -> Result<Proposal, JobError> {
        read_proposal(&self.connection, &self.file())
    }
}

fn read_proposal(connection: &Connection, path: &Path) -> Result<Proposal, JobError> {
    Ok(Proposal {
        places: rows(connection, path, "places")?,
        items: rows(connection, path, "items")?,
        unplaced: rows(connection, path, "unplaced")?,
    })
}

fn rows<T: DeserializeOwned>(
    connection: &Connection,
    path: &Path,
    table: &'static str,
) -> Result<Vec<T>, JobError> {
    let read = || -> rusqlite::Result<Vec<String>> {
        let mut statement =
            connection.prepare(&format!("SELECT content FROM {table} ORDER BY position"))?;
        let rows = statement.query_map([], |row| row.get(0))?;
        rows.collect()
    };
    read()
        .map_err(|source| JobError::sqlite("read the proposal", path, source))?
        .iter()
        .map(|json| from_json(path, table, json))
        .collect()
}

fn replace(transaction: &Transaction, path: &Path, proposal: &Proposal) -> Result<(), JobError> {
    let failed = |source| JobError::sqlite("keep the proposal", path, source);
    transaction
        .execute_batch("DELETE FROM places; DELETE FROM items; DELETE FROM unplaced;")
        .map_err(failed)?;
    insert_all(transaction, path, "places", &proposal.places)?;
    insert_all(transaction, path, "unplaced", &proposal.unplaced)?;
    for (item, position) in proposal.items.iter().zip(1u32..) {
        let json = to_json(&format!("item {}", item.number), item)?;
        transaction
            .execute(
                "INSERT INTO items (position, id, number, content) VALUES (?1, ?2, ?3, ?4)",
                params![position, item.id, item.number, json],
            )
            .map_err(failed)?;
    }
    Ok(())
}

fn insert_all<T: Serialize>(
    transaction: &Transaction,
    path: &Path,
    table: &'static str,
    rows: &[T],
) -> Result<(), JobError> {
    for (row, position) in rows.iter().zip(1u32..) {
        let json = to_json(table, row)?;
        transaction
            .execute(
                &format!("INSERT INTO {table} (position, content) VALUES (?1, ?2)"),
                params![position, json],
            )
            .map_err(|source| JobError::sqlite("keep the proposal", path, source))?;
    }
    Ok(())
}
