//! Decisions: what the inspector did to the list, as plain data that can be kept and replayed.

use super::{Detailed, Field, Found, Unfound, Visited};
use crate::items::Item;
use serde::{Deserialize, Serialize};

/// One act in the life of the list. Items are named by their stable [`Item::id`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Decision {
    /// A proposal was made or replaced. Written by [`super::Job::propose`], never by a face; what
    /// was undone before it can no longer be redone, because the items may differ.
    Proposed {
        /// How many items the stored proposal has.
        items: usize,
        /// The highest item number given out so far.
        highest: u32,
    },
    /// The item is right as it stands.
    Accept {
        /// Which item.
        item: String,
        /// Set where the item was accepted with all others above this confidence, unseen.
        above: Option<f64>,
    },
    /// A field was changed by the inspector.
    Edit {
        /// Which item.
        item: String,
        /// Which field.
        field: Field,
        /// Its text before, as [`Field::read`] gives it.
        from: String,
        /// Its text after, as [`Field::write`] takes it.
        to: String,
        /// The description remade for the new facts, where it changed. Kept here so that replay
        /// gives the same words whatever a later edition would write.
        description: Option<String>,
    },
    /// The item does not belong on the list.
    Reject {
        /// Which item.
        item: String,
        /// Why, in the inspector's words; may be empty.
        reason: String,
    },
    /// The item is undecided again.
    Restore {
        /// Which item.
        item: String,
    },
    /// An item was written by hand.
    Add {
        /// The whole item, with its number and id.
        item: Box<Item>,
    },
    /// A later visit was heard. Written by [`super::Job::visited`], never by a face.
    Visited(Visited),
    /// What a later visit found about an item.
    Found(Found),
    /// What was proposed about an item on a later visit does not hold.
    Unfound(Unfound),
    /// A detail of the job changed. Written by [`super::Job::describe`], never by a face.
    Detail(Detailed),
    /// Earlier decisions no longer count.
    Undo {
        /// [`Event::id`] of each.
        events: Vec<i64>,
    },
    /// Undone decisions count again.
    Redo {
        /// [`Event::id`] of each.
        events: Vec<i64>,
    },
}

impl Decision {
    /// Returns the id of the item that the decision is about, if it is about one.
    pub fn item(&self) -> Option<&str> {
        match self {
            Decision::Accept { item, .. }
            | Decision::Edit { item, .. }
            | Decision::Reject { item, .. }
            | Decision::Restore { item } => Some(item),
            Decision::Add { item } => Some(&item.id),
            Decision::Found(Found { item, .. }) | Decision::Unfound(Unfound { item, .. }) => {
                Some(item)
            }
            Decision::Proposed { .. }
            | Decision::Visited(_)
            | Decision::Detail(_)
            | Decision::Undo { .. }
            | Decision::Redo { .. } => None,
        }
    }
}

/// A decision as kept in the log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// Running number within the job, from 1, rising.
    pub id: i64,
    /// When, as text from the caller (RFC 3339 by custom).
    pub at: String,
    /// What.
    pub decision: Decision,
}
