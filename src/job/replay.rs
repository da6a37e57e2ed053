//! The list as it stands: the proposal with every decision that counts applied to it.

use super::{Decision, Event, Field};
use crate::cautions::{self, Region};
use crate::items::{Item, Status};
use crate::lexicon::Lexicon;
use std::collections::{BTreeMap, BTreeSet};

/// The list after all decisions.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DecidedList {
    /// All items: the proposal's in its order, then those added by hand. Rejected ones stay in it.
    pub items: Vec<Item>,
    /// Reasons of the rejected items, by [`Item::id`].
    pub reasons: BTreeMap<String, String>,
    /// Fields that the inspector has changed and not undone.
    pub edited: BTreeSet<(String, Field)>,
    /// Ids of the items that a decision in force is about.
    pub touched: BTreeSet<String>,
    /// The highest item number ever given out, also to items since undone.
    pub highest: u32,
    /// Steps that can be undone, oldest first: the event ids of each.
    pub undoable: Vec<Vec<i64>>,
    /// Steps that can be redone, the next one last.
    pub redoable: Vec<Vec<i64>>,
    /// Decisions that could not be applied, in words; empty in every log that Callover wrote.
    pub problems: Vec<String>,
}

impl DecidedList {
    /// Returns the item with this number.
    pub fn numbered(&self, number: u32) -> Option<&Item> {
        self.items.iter().find(|item| item.number == number)
    }
}

/// Returns the list that `events` make of the proposal's `items`. Pure: the same input always
/// gives the same list.
///
/// All items accepted together above one confidence are one step for undo and redo; every other
/// decision is a step of its own.
pub fn replay(items: &[Item], events: &[Event]) -> DecidedList {
    let by_id: BTreeMap<i64, &Event> = events.iter().map(|event| (event.id, event)).collect();
    let mut list = DecidedList {
        items: items.to_vec(),
        highest: items.iter().map(|item| item.number).max().unwrap_or(0),
        ..DecidedList::default()
    };
    for event in events {
        match &event.decision {
            Decision::Proposed { highest, .. } => {
                list.highest = list.highest.max(*highest);
                list.redoable.clear();
            }
            Decision::Undo { events } => {
                if !move_step(events, &mut list.undoable, &mut list.redoable) {
                    list.problems
                        .push(format!("decision {} undoes nothing", event.id));
                }
            }
            Decision::Redo { events } => {
                if !move_step(events, &mut list.redoable, &mut list.undoable) {
                    list.problems
                        .push(format!("decision {} redoes nothing", event.id));
                }
            }
            decision => {
                if let Decision::Add { item } = decision {
                    list.highest = list.highest.max(item.number);
                }
                list.redoable.clear();
                match list.undoable.last_mut() {
                    Some(step) if belongs_to(event, by_id.get(&step[0]).copied()) => {
                        step.push(event.id);
                    }
                    _ => list.undoable.push(vec![event.id]),
                }
            }
        }
    }
    let in_force: Vec<i64> = list.undoable.concat();
    let mut place_of: BTreeMap<String, usize> = list
        .items
        .iter()
        .enumerate()
        .map(|(place, item)| (item.id.clone(), place))
        .collect();
    for event in in_force.iter().filter_map(|id| by_id.get(id)) {
        if let Err(problem) = apply(&mut list, &mut place_of, &event.decision) {
            list.problems
                .push(format!("decision {} was left out: {problem}", event.id));
        }
    }
    list
}

/// Moves a step to the end of the other stack; returns false where it is not there.
fn move_step(step: &[i64], from: &mut Vec<Vec<i64>>, to: &mut Vec<Vec<i64>>) -> bool {
    let found = from.iter().rposition(|other| other == step);
    if let Some(place) = found {
        to.push(from.remove(place));
    }
    found.is_some()
}

/// Returns true where both were accepted by the same "all above" act.
fn belongs_to(event: &Event, first: Option<&Event>) -> bool {
    match (
        &event.decision,
        first.map(|first| (&first.decision, &first.at)),
    ) {
        (
            Decision::Accept {
                above: Some(here), ..
            },
            Some((
                Decision::Accept {
                    above: Some(there), ..
                },
                at,
            )),
        ) => here == there && *at == event.at,
        _ => false,
    }
}

fn apply(
    list: &mut DecidedList,
    place_of: &mut BTreeMap<String, usize>,
    decision: &Decision,
) -> Result<(), String> {
    let Some(id) = decision.item() else {
        return Ok(());
    };
    if let Decision::Add { item } = decision {
        let number_taken = list.items.iter().any(|other| other.number == item.number);
        if place_of.contains_key(id) || number_taken {
            return Err(format!("item {} is there already", item.number));
        }
        place_of.insert(id.to_string(), list.items.len());
        list.items.push((**item).clone());
    }
    let place = *place_of
        .get(id)
        .ok_or_else(|| format!("there is no item with the id {id}"))?;
    let item = &mut list.items[place];
    match decision {
        Decision::Accept { .. } => item.status = Status::Confirmed,
        Decision::Reject { reason, .. } => {
            item.status = Status::Rejected;
            list.reasons.insert(id.to_string(), reason.clone());
        }
        Decision::Restore { .. } => item.status = Status::Proposed,
        Decision::Edit {
            field,
            to,
            description,
            ..
        } => {
            field.write(item, to).map_err(|error| error.to_string())?;
            if let Some(description) = description {
                item.description.clone_from(description);
            }
            // What the item is has changed, and with it what it warns of.
            if let (true, Some(lexicon)) = (field.shapes_caution(), Lexicon::embedded()) {
                item.caution = cautions::caution(lexicon, item, Region::Elsewhere);
            }
            list.edited.insert((id.to_string(), *field));
        }
        _ => {}
    }
    if item.status != Status::Rejected {
        list.reasons.remove(id);
    }
    list.touched.insert(id.to_string());
    Ok(())
}
