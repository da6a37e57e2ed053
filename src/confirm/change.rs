//! What the inspector can ask for, and why it may be refused.

use crate::job::{Field, FieldError};

/// A change to the list.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The item is right as it stands.
    Accept {
        /// Number of the item.
        number: u32,
    },
    /// All undecided items of at least this confidence are right, unseen.
    AcceptAbove {
        /// From 0 to 1.
        confidence: f64,
    },
    /// The item does not belong on the list.
    Reject {
        /// Number of the item.
        number: u32,
        /// Why; may be empty.
        reason: String,
    },
    /// The item is undecided again.
    Restore {
        /// Number of the item.
        number: u32,
    },
    /// A field has another text.
    Edit {
        /// Number of the item.
        number: u32,
        /// Which field.
        field: Field,
        /// Its new text, as [`Field::write`] takes it.
        text: String,
    },
    /// A photo shows the item.
    AttachPhoto {
        /// Number of the item.
        number: u32,
        /// Its name in the job's photos folder.
        photo: String,
    },
    /// A photo does not show the item after all.
    DetachPhoto {
        /// Number of the item.
        number: u32,
        /// Its name in the job's photos folder.
        photo: String,
    },
    /// An item is written by hand.
    Add(NewItem),
    /// The last step no longer counts.
    Undo,
    /// The last undone step counts again.
    Redo,
}

/// What an item written by hand needs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NewItem {
    /// Place name.
    pub place: String,
    /// What is defective.
    pub element: String,
    /// What is wrong with it.
    pub defect: String,
}

/// A step to another item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Move {
    /// The next in the list, decided or not.
    Next,
    /// The one before in the list, decided or not.
    Previous,
    /// The next undecided one, going round at the end.
    Undecided,
    /// The first in the list.
    First,
    /// The last in the list.
    Last,
    /// The one with this number.
    Number(u32),
}

/// Why a change or a move makes no sense for the list as it stands.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The list is empty.
    #[error("the list has no items")]
    NoItems,
    /// No item has the number.
    #[error("there is no item {number}: the numbers go from {lowest} to {highest}")]
    NoSuchNumber {
        /// The number asked for.
        number: u32,
        /// The lowest number in the list.
        lowest: u32,
        /// The highest number in the list.
        highest: u32,
    },
    /// Accepting twice.
    #[error("item {0} is confirmed already")]
    AlreadyConfirmed(u32),
    /// Rejecting twice.
    #[error("item {0} is rejected already")]
    AlreadyRejected(u32),
    /// Restoring what was never decided.
    #[error("item {0} is undecided: there is nothing to restore")]
    NotDecided(u32),
    /// Editing a rejected item.
    #[error("item {0} is rejected: restore it before changing it")]
    EditOfRejected(u32),
    /// The text is what the field holds already.
    #[error("item {number}: the {field} is that already")]
    Unchanged {
        /// Number of the item.
        number: u32,
        /// Which field.
        field: Field,
    },
    /// The text does not fit the field.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// The photo shows the item already.
    #[error("item {number} has the photo {photo} already")]
    PhotoThere {
        /// Number of the item.
        number: u32,
        /// Which photo.
        photo: String,
    },
    /// The item has no such photo.
    #[error("item {number} has no photo {photo}")]
    NoSuchPhoto {
        /// Number of the item.
        number: u32,
        /// Which photo.
        photo: String,
    },
    /// Nothing has been decided, or all is undone.
    #[error("there is nothing to undo")]
    NothingToUndo,
    /// Nothing is undone, or something was decided since.
    #[error("there is nothing to redo")]
    NothingToRedo,
    /// Not from 0 to 1.
    #[error("{0} is not a confidence: give a number from 0 to 1, such as 0.95")]
    NotAConfidence(f64),
    /// No undecided item is as sure as that.
    #[error("no undecided item has a confidence of {0} or more")]
    NoneAbove(f64),
    /// Moving on from the last item.
    #[error("this is the last item")]
    LastItem,
    /// Moving back from the first item.
    #[error("this is the first item")]
    FirstItem,
    /// No other item is undecided.
    #[error("this is the only undecided item left")]
    OnlyOneLeft,
    /// No item is undecided.
    #[error("every item is decided")]
    AllDecided,
}
