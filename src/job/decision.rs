//! Decisions: what the inspector did to the list, as plain data that can be kept and replayed.
//!
//! Kept decisions are read for ever: a form once written is never changed, only new ones are added.

use super::{Detailed, Field, Found, Unfound, Visited};
use crate::items::{Item, RemedySource, Severity, Unplaced};
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
    /// What the vocabulary says of the item's facts, after they changed. Not the inspector's own
    /// words, so a later change of the facts may replace it.
    Follow {
        /// Which item.
        item: String,
        /// What follows from the facts.
        facts: Following,
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
    /// A statement that had made no item was made one.
    Promote {
        /// The whole item, with its number and id.
        item: Box<Item>,
        /// The statement, as the proposal lists it.
        statement: Box<Unplaced>,
    },
    /// The same was found at another place.
    Copy {
        /// Id of the item that was copied.
        of: String,
        /// The whole copy, with its own number and id.
        item: Box<Item>,
    },
    /// The item was two. The first keeps number and id; the second stands after it.
    Split {
        /// Which item.
        item: String,
        /// How many words of the quote went to the first.
        at: usize,
        /// The item as it is afterwards.
        first: Box<Item>,
        /// The new item, with its number and id.
        second: Box<Item>,
    },
    /// Two items were one. The other is kept as rejected, so that nothing is lost.
    Merge {
        /// The item that stays.
        item: String,
        /// The item that went into it.
        other: String,
        /// The item that stays, as it is afterwards.
        merged: Box<Item>,
    },
    /// Items have other numbers. Ids of items that a later proposal dropped are passed over.
    Renumber {
        /// Id and new number of each.
        numbers: Vec<(String, u32)>,
    },
    /// A field was changed along with the same correction of another item. Stands beside the edit that
    /// did it, which is then not the inspector's own.
    Likewise {
        /// Which item.
        item: String,
        /// Which field.
        field: Field,
        /// The item that the inspector corrected.
        of: String,
    },
    /// What a correction teaches is wanted as a lesson. `callover learn` tries it before it counts.
    Teach {
        /// The item that was corrected.
        item: String,
        /// The lesson, as an overlay of the lexicon has it.
        lesson: String,
    },
    /// A photo shows the item.
    #[serde(rename = "attach-photo")]
    AttachPhoto {
        /// Which item.
        item: String,
        /// Its name in the job's photos folder.
        photo: String,
    },
    /// A photo does not show the item after all. The file stays.
    #[serde(rename = "detach-photo")]
    DetachPhoto {
        /// Which item.
        item: String,
        /// Its name in the job's photos folder.
        photo: String,
    },
    /// Several decisions that are one act: one step for undo and redo.
    Together {
        /// In order; none of them is `Proposed`, `Undo`, `Redo` or `Together`.
        decisions: Vec<Decision>,
    },
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

/// What the vocabulary says of an item's element and defect. Only what it changes is set; an empty
/// text clears.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Following {
    /// [`Item::trade`], where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trade: Option<String>,
    /// [`Item::severity`], where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub severity: Option<Severity>,
    /// [`Item::remedy`], where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remedy: Option<String>,
    /// [`Item::caution`], where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
}

impl Following {
    /// Returns true where nothing changes.
    pub fn is_empty(&self) -> bool {
        *self == Following::default()
    }

    /// Writes what changes into the item. A remedy from the vocabulary is a suggested one.
    pub fn write(&self, item: &mut Item) {
        let put = |field: &mut Option<String>, text: &Option<String>| {
            if let Some(text) = text {
                *field = Some(text.clone()).filter(|text| !text.is_empty());
            }
        };
        put(&mut item.trade, &self.trade);
        put(&mut item.remedy, &self.remedy);
        put(&mut item.caution, &self.caution);
        if self.remedy.is_some() {
            item.remedy_source = item.remedy.as_ref().map(|_| RemedySource::Suggested);
        }
        item.severity = self.severity.unwrap_or(item.severity);
    }
}

impl Decision {
    /// Returns the id of the item that the decision is about, if it is about one. Of several, the
    /// first: of a split the item that was split, of a merge the one that stays.
    pub fn item(&self) -> Option<&str> {
        match self {
            Decision::Accept { item, .. }
            | Decision::Edit { item, .. }
            | Decision::Follow { item, .. }
            | Decision::Likewise { item, .. }
            | Decision::Teach { item, .. }
            | Decision::Reject { item, .. }
            | Decision::Restore { item }
            | Decision::Split { item, .. }
            | Decision::Merge { item, .. }
            | Decision::AttachPhoto { item, .. }
            | Decision::DetachPhoto { item, .. }
            | Decision::Found(Found { item, .. })
            | Decision::Unfound(Unfound { item, .. }) => Some(item),
            Decision::Add { item }
            | Decision::Promote { item, .. }
            | Decision::Copy { item, .. } => Some(&item.id),
            Decision::Renumber { numbers } => numbers.first().map(|(id, _)| &**id),
            Decision::Together { decisions } => decisions.iter().find_map(Decision::item),
            Decision::Proposed { .. }
            | Decision::Visited(_)
            | Decision::Detail(_)
            | Decision::Undo { .. }
            | Decision::Redo { .. } => None,
        }
    }

    /// Returns the decision itself, or the decisions it is made of.
    pub fn parts(&self) -> &[Decision] {
        match self {
            Decision::Together { decisions } => decisions,
            one => std::slice::from_ref(one),
        }
    }

    /// Returns true where the list is not simply what it was with this decision applied to it: what
    /// takes decisions back or puts them in force again, and what comes before all of them.
    pub(super) fn reaches_back(&self) -> bool {
        matches!(
            self,
            Decision::Undo { .. }
                | Decision::Redo { .. }
                | Decision::Proposed { .. }
                | Decision::Visited(_)
        )
    }

    /// Returns the ids of all items that the decision may change or bring into being; `None` where
    /// it may be any.
    pub fn changes(&self) -> Option<Vec<&str>> {
        if self.reaches_back() {
            return None;
        }
        let mut ids: Vec<&str> = Vec::new();
        for part in self.parts() {
            ids.extend(part.item());
            match part {
                Decision::Split { second, .. } => ids.push(&second.id),
                Decision::Merge { other, .. } => ids.push(other),
                Decision::Renumber { numbers } => ids.extend(numbers.iter().map(|(id, _)| &**id)),
                _ => {}
            }
        }
        Some(ids)
    }

    /// Returns the items that the decision brings into being.
    pub fn new_items(&self) -> impl Iterator<Item = &Item> {
        self.parts().iter().filter_map(|part| match part {
            Decision::Add { item }
            | Decision::Promote { item, .. }
            | Decision::Copy { item, .. } => Some(&**item),
            Decision::Split { second, .. } => Some(&**second),
            _ => None,
        })
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
