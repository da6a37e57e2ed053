//! The list as it stands: the proposal with every decision that counts applied to it.

use super::{Decision, Event, Field, Found, Unfound, Visits};
use crate::items::{Item, Status, Unplaced};
use std::collections::{BTreeMap, BTreeSet};

/// The list after all decisions.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DecidedList {
    /// All items: the proposal's in its order, then those added by hand; what was split off stands
    /// after what it was split from. Rejected ones stay in it.
    pub items: Vec<Item>,
    /// Reasons of the rejected items, by [`Item::id`].
    pub reasons: BTreeMap<String, String>,
    /// Fields that the inspector has changed and not undone.
    pub edited: BTreeSet<(String, Field)>,
    /// Fields that were changed along with the same correction of another item, with that item's id.
    pub likewise: BTreeMap<(String, Field), String>,
    /// Lessons that corrections are to teach, each with the item that was corrected.
    pub taught: BTreeMap<String, String>,
    /// Ids of the items that a decision in force is about.
    pub touched: BTreeSet<String>,
    /// The later visits, and what is to be decided about them.
    pub visits: Visits,
    /// Statements that were made items, as the proposal lists them.
    pub promoted: Vec<Unplaced>,
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
    /// Returns the number of the item whose correction changed this one's field as well.
    pub fn corrected_like(&self, item: &Item, field: Field) -> Option<u32> {
        let of = self.likewise.get(&(item.id.clone(), field))?;
        let other = self.items.iter().find(|other| other.id == *of);
        other.map(|other| other.number)
    }

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
    Building::of(items, events).list
}

/// A list with the log that it comes from. One more decision costs what it changes; only what takes
/// decisions back, or puts other items or visits under them, has the whole log replayed.
#[derive(Debug, Clone)]
pub struct Replayed {
    proposed: Vec<Item>,
    events: Vec<Event>,
    building: Building,
}

impl Replayed {
    /// Returns the list that the events make of the proposal's items.
    pub fn new(proposed: Vec<Item>, events: Vec<Event>) -> Replayed {
        Replayed {
            building: Building::of(&proposed, &events),
            proposed,
            events,
        }
    }

    /// Returns the list as it stands.
    pub fn list(&self) -> &DecidedList {
        &self.building.list
    }

    /// Returns the items, for facts that are worked out from others and kept in no event.
    pub(crate) fn items_mut(&mut self) -> &mut [Item] {
        &mut self.building.list.items
    }

    /// Returns the events, oldest first.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// Returns the list as it stood after the event with this id.
    pub fn list_at(&self, event: i64) -> DecidedList {
        let known = self.events.partition_point(|other| other.id <= event);
        replay(&self.proposed, &self.events[..known])
    }

    /// Takes in events that followed, in order: the list is then what [`replay`] makes of all.
    pub fn take_in(&mut self, events: Vec<Event>) {
        let anew = events.iter().any(|event| event.decision.reaches_back());
        for event in events {
            if !anew {
                let step = self.building.list.undoable.last();
                let first = step.and_then(|step| self.events.iter().rfind(|e| e.id == step[0]));
                self.building.note(&event, first);
                self.building.apply_all(&event);
            }
            self.events.push(event);
        }
        if anew {
            self.building = Building::of(&self.proposed, &self.events);
        }
    }
}

/// Returns the highest number that the decision gives out, 0 where it gives out none.
fn highest_of(decision: &Decision) -> u32 {
    let renumbered = decision.parts().iter().flat_map(|part| match part {
        Decision::Renumber { numbers } => &numbers[..],
        _ => &[],
    });
    let renumbered = renumbered.map(|(_, number)| *number);
    let new = decision.new_items().map(|item| item.number);
    renumbered.chain(new).max().unwrap_or(0)
}

/// Returns where each item stands, by id.
fn places(items: &[Item]) -> BTreeMap<String, usize> {
    let ids = items.iter().map(|item| item.id.clone());
    ids.zip(0..).collect()
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

/// The list while decisions are applied to it.
#[derive(Debug, Clone)]
struct Building {
    list: DecidedList,
    /// Where each item stands, by id.
    place_of: BTreeMap<String, usize>,
}

impl Building {
    /// The list that the events make of the items.
    fn of(items: &[Item], events: &[Event]) -> Building {
        let by_id: BTreeMap<i64, &Event> = events.iter().map(|event| (event.id, event)).collect();
        let mut building = Building {
            place_of: places(items),
            list: DecidedList {
                items: items.to_vec(),
                highest: items.iter().map(|item| item.number).max().unwrap_or(0),
                ..DecidedList::default()
            },
        };
        for event in events {
            let step = building.list.undoable.last();
            let first = step.and_then(|step| by_id.get(&step[0]).copied());
            building.note(event, first);
        }
        let in_force = building.list.undoable.concat();
        for event in in_force.iter().filter_map(|id| by_id.get(id)) {
            building.apply_all(event);
        }
        building
    }

    /// Notes what an event means for the steps that can be undone and redone, and for the visits.
    /// `first` is the first event of the last step.
    fn note(&mut self, event: &Event, first: Option<&Event>) {
        let list = &mut self.list;
        match &event.decision {
            Decision::Proposed { highest, .. } => {
                list.highest = list.highest.max(*highest);
                list.redoable.clear();
            }
            Decision::Visited(visited) => list.visits.take_in(visited),
            Decision::Detail(_) => {}
            Decision::Undo { events } => {
                if !move_step(events, &mut list.undoable, &mut list.redoable) {
                    let problem = format!("decision {} undoes nothing", event.id);
                    list.problems.push(problem);
                }
            }
            Decision::Redo { events } => {
                if !move_step(events, &mut list.redoable, &mut list.undoable) {
                    let problem = format!("decision {} redoes nothing", event.id);
                    list.problems.push(problem);
                }
            }
            decision => {
                list.highest = list.highest.max(highest_of(decision));
                list.redoable.clear();
                match list.undoable.last_mut() {
                    Some(step) if belongs_to(event, first) => step.push(event.id),
                    _ => list.undoable.push(vec![event.id]),
                }
            }
        }
    }

    /// Applies a decision part by part; what cannot be applied is noted.
    fn apply_all(&mut self, event: &Event) {
        for part in event.decision.parts() {
            if let Err(problem) = self.apply(part) {
                let problem = format!("decision {} was left out: {problem}", event.id);
                self.list.problems.push(problem);
            }
        }
    }

    /// Applies one decision, or changes nothing and says why not.
    fn apply(&mut self, decision: &Decision) -> Result<(), String> {
        match decision {
            Decision::Proposed { .. }
            | Decision::Visited(_)
            | Decision::Detail(_)
            | Decision::Undo { .. }
            | Decision::Redo { .. } => Ok(()),
            Decision::Together { .. } => Err("it holds decisions within decisions".into()),
            Decision::Add { item } => self.insert(item, None),
            Decision::Promote { item, statement } => {
                self.insert(item, None)?;
                self.list.promoted.push((**statement).clone());
                Ok(())
            }
            Decision::Copy { of, item } => {
                let fields = self.edited_fields(of);
                self.insert(item, None)?;
                let marks = fields.into_iter().map(|field| (item.id.clone(), field));
                self.list.edited.extend(marks);
                Ok(())
            }
            Decision::Split {
                item,
                first,
                second,
                ..
            } => {
                let place = self.place(item)?;
                self.insert(second, Some(place + 1))?;
                self.replace(place, first);
                Ok(())
            }
            Decision::Merge {
                item,
                other,
                merged,
            } => {
                let (place, gone) = (self.place(item)?, self.place(other)?);
                self.replace(place, merged);
                let number = self.list.items[place].number;
                self.list.items[gone].status = Status::Rejected;
                let reason = format!("merged into item {number}");
                self.list.reasons.insert(other.clone(), reason);
                self.list.touched.insert(other.clone());
                Ok(())
            }
            Decision::Renumber { numbers } => self.renumber(numbers),
            Decision::Accept { item, .. }
            | Decision::Edit { item, .. }
            | Decision::Follow { item, .. }
            | Decision::Likewise { item, .. }
            | Decision::Teach { item, .. }
            | Decision::Reject { item, .. }
            | Decision::Restore { item }
            | Decision::AttachPhoto { item, .. }
            | Decision::DetachPhoto { item, .. }
            | Decision::Found(Found { item, .. })
            | Decision::Unfound(Unfound { item, .. }) => self.change(item, decision),
        }
    }

    /// Applies a decision about one item that is there.
    fn change(&mut self, id: &str, decision: &Decision) -> Result<(), String> {
        let place = self.place(id)?;
        let list = &mut self.list;
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
                list.edited.insert((id.to_string(), *field));
                list.likewise.remove(&(id.to_string(), *field));
            }
            Decision::Likewise { field, of, .. } => {
                list.likewise.insert((id.to_string(), *field), of.clone());
            }
            Decision::Teach { lesson, .. } => {
                list.taught.insert(lesson.clone(), id.to_string());
            }
            Decision::Follow { facts, .. } => facts.write(item),
            Decision::Found(found) => list.visits.found(item, &found.seen),
            Decision::Unfound(unfound) => list.visits.unfound(unfound),
            Decision::AttachPhoto { photo, .. } if !item.photos.contains(photo) => {
                item.photos.push(photo.clone());
            }
            Decision::DetachPhoto { photo, .. } => item.photos.retain(|other| other != photo),
            _ => {}
        }
        self.settle(place);
        Ok(())
    }

    fn place(&self, id: &str) -> Result<usize, String> {
        let place = self.place_of.get(id).copied();
        place.ok_or_else(|| format!("there is no item with the id {id}"))
    }

    /// Puts in a new item, at the end unless a place is given.
    fn insert(&mut self, item: &Item, place: Option<usize>) -> Result<(), String> {
        let items = &mut self.list.items;
        let number_taken = items.iter().any(|other| other.number == item.number);
        if self.place_of.contains_key(&item.id) || number_taken {
            return Err(format!("item {} is there already", item.number));
        }
        let place = place.unwrap_or(items.len());
        items.insert(place, item.clone());
        if place + 1 == items.len() {
            self.place_of.insert(item.id.clone(), place);
        } else {
            self.place_of = places(items);
        }
        self.settle(place);
        Ok(())
    }

    /// Puts other facts in the place of an item, which keeps its id and number.
    fn replace(&mut self, place: usize, by: &Item) {
        let item = &mut self.list.items[place];
        *item = Item {
            id: item.id.clone(),
            number: item.number,
            ..by.clone()
        };
        self.settle(place);
    }

    fn renumber(&mut self, numbers: &[(String, u32)]) -> Result<(), String> {
        let mut after: Vec<u32> = self.list.items.iter().map(|item| item.number).collect();
        for (id, number) in numbers {
            if let Some(place) = self.place_of.get(id) {
                after[*place] = *number;
            }
        }
        let unique: BTreeSet<u32> = after.iter().copied().collect();
        if unique.len() < after.len() {
            return Err("two items would have the same number".into());
        }
        for (item, number) in self.list.items.iter_mut().zip(after) {
            item.number = number;
        }
        Ok(())
    }

    fn edited_fields(&self, id: &str) -> Vec<Field> {
        let edited = self.list.edited.iter();
        let own = edited.filter(|(other, _)| other == id);
        own.map(|(_, field)| *field).collect()
    }

    /// Notes that a decision is about the item at `place`; only rejected items keep a reason.
    fn settle(&mut self, place: usize) {
        let item = &self.list.items[place];
        if item.status != Status::Rejected {
            self.list.reasons.remove(&item.id);
        }
        self.list.touched.insert(item.id.clone());
    }
}
