//! What is decided about each photo, without touching what was decided before.

use super::attach::item_shown;
use super::clock::{Ground, Placed};
use crate::items::VisitedPlace;
use crate::job::{Certainty, DecidedList, Decision, Event, KeptPhoto};
use std::collections::{BTreeMap, BTreeSet};

/// What is to be kept.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Decided {
    /// The photos of which something new is known.
    pub photos: Vec<KeptPhoto>,
    /// Attachments, and detachments of what an earlier run attached by another offset.
    pub decisions: Vec<Decision>,
}

impl Decided {
    /// Returns the decisions as one act, so that one undo takes all of them back; `None` where
    /// there are none.
    pub fn together(&self) -> Option<Decision> {
        match self.decisions.as_slice() {
            [] => None,
            [one] => Some(one.clone()),
            several => Some(Decision::Together {
                decisions: several.to_vec(),
            }),
        }
    }
}

/// Returns what becomes of the photos once their moments are known.
///
/// - A photo that no decision was ever about goes to the item spoken about, if there is one.
/// - A photo that the inspector attached, detached or undid stays as it is, for good.
/// - A photo that an earlier run attached, and that nobody touched since, moves only where
///   `may_move` is set: the inspector has given the clocks by hand.
pub fn decide(
    photos: &[KeptPhoto],
    placed: &BTreeMap<String, Placed>,
    list: &DecidedList,
    places: &[VisitedPlace],
    events: &[Event],
    may_move: bool,
) -> Decided {
    let mentions = mentions(events);
    let in_force: BTreeSet<i64> = list.undoable.iter().flatten().copied().collect();
    let mut decided = Decided::default();
    for photo in photos {
        let Some(place) = placed.get(&photo.name) else {
            continue;
        };
        let mut after = KeptPhoto {
            moment: Some(place.moment),
            ..photo.clone()
        };
        let found = item_shown(&list.items, places, place.moment, place.cue);
        let found = found.map(|(item, sure)| (item.id.clone(), certainty(sure, place)));
        match mentions.get(&*photo.name).copied() {
            None => {
                if let Some((item, sure)) = found {
                    after.certainty = Some(sure);
                    decided.decisions.push(attach(item, photo));
                }
            }
            Some((last, item)) => {
                let own = photo.attached == Some(last) && in_force.contains(&last);
                let same = found.as_ref().is_some_and(|(found, _)| found == item);
                if own && same {
                    after.certainty = found.map(|(_, sure)| sure);
                } else if own && may_move {
                    decided.decisions.push(Decision::DetachPhoto {
                        item: item.into(),
                        photo: photo.name.clone(),
                    });
                    after.certainty = found.as_ref().map(|&(_, sure)| sure);
                    after.attached = None;
                    decided
                        .decisions
                        .extend(found.map(|(item, _)| attach(item, photo)));
                }
            }
        }
        if after != *photo {
            decided.photos.push(after);
        }
    }
    decided
}

fn attach(item: String, photo: &KeptPhoto) -> Decision {
    Decision::AttachPhoto {
        item,
        photo: photo.name.clone(),
    }
}

/// Returns the last decision about each photo, undone or not: its event and its item.
fn mentions(events: &[Event]) -> BTreeMap<&str, (i64, &str)> {
    let parts = events
        .iter()
        .flat_map(|event| event.decision.parts().iter().map(|part| (event.id, part)));
    let about = parts.filter_map(|(id, part)| match part {
        Decision::AttachPhoto { item, photo } | Decision::DetachPhoto { item, photo } => {
            Some((photo.as_str(), (id, item.as_str())))
        }
        _ => None,
    });
    about.collect()
}

/// What the moment rests on limits how sure the item can be. By the clocks alone it is one step
/// less sure, unless a photo was spoken of at that very moment; by a file's last change it is a
/// guess.
fn certainty(sure: Certainty, place: &Placed) -> Certainty {
    match (place.ground, sure) {
        (Ground::Changed, _) => Certainty::Guess,
        (Ground::Clocks, Certainty::Likely) => Certainty::Guess,
        (_, sure) => sure,
    }
}
