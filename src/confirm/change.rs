//! What the inspector can ask for, and why it may be refused.

use crate::items::Standing;
use crate::job::{Field, FieldError};
use serde::Deserialize;

/// A change to the list. As JSON, in which the page asks for it, `do` names it:
/// `{"do": "reject", "number": 7, "reason": "said twice"}`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
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
    /// How the work on the item stands, as of the last visit.
    Stand {
        /// Number of the item.
        number: u32,
        /// The standing.
        standing: Standing,
        /// What there is to say beyond it; empty keeps the words that were heard.
        note: String,
    },
    /// What a later visit is said to have found about the item does not hold.
    Dismiss {
        /// Number of the item.
        number: u32,
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
    /// A field has another text, and with it the item is right: the last thing that was wrong.
    EditAndAccept {
        /// Number of the item.
        number: u32,
        /// Which field.
        field: Field,
        /// Its new text, as [`Field::write`] takes it.
        text: String,
    },
    /// All undecided items of a place with at least this confidence are right, unseen.
    AcceptPlace {
        /// The place's name.
        place: String,
        /// From 0 to 1.
        confidence: f64,
    },
    /// The item is two.
    Split {
        /// Number of the item.
        number: u32,
        /// How many words of its quote stay with it; the rest go to the new item.
        at: usize,
    },
    /// Two items are one.
    Merge {
        /// Number of the item that stays.
        number: u32,
        /// Number of the item that goes into it.
        other: u32,
    },
    /// Items belong to another place.
    Move {
        /// Their numbers.
        numbers: Vec<u32>,
        /// The place's name.
        place: String,
    },
    /// Items that follow one whose place was changed, and stand where it stood, go along with it.
    Along {
        /// Number of the item whose place was changed.
        number: u32,
    },
    /// The same was found at other places.
    Copy {
        /// Number of the item.
        number: u32,
        /// The other places' names.
        places: Vec<String>,
    },
    /// The item has another number; the item that has it takes this one's.
    Renumber {
        /// Number of the item.
        number: u32,
        /// Its new number.
        to: u32,
    },
    /// All items are numbered from 1 without gaps, in the order of the list, rejected ones last.
    RenumberAll,
    /// Words heard are made an item.
    AddSaid {
        /// Its facts. An empty text is filled with what the words are understood as.
        new: NewItem,
        /// Index of the first word in the transcript, and of the first word after.
        words: (usize, usize),
    },
    /// A statement that made no item is made one.
    Promote {
        /// Its position among the unplaced statements, from 0.
        statement: usize,
        /// Its facts. An empty text is filled with what the words are understood as.
        new: NewItem,
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
    Add {
        /// Its facts.
        new: NewItem,
    },
    /// What the correction of an item teaches is wanted as a lesson.
    Teach {
        /// Number of the item.
        number: u32,
    },
    /// The last step no longer counts.
    Undo,
    /// The last undone step counts again.
    Redo,
}

/// What an item written by hand needs.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
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
    /// The standing of an item that is on no confirmed list.
    #[error("item {0} is not confirmed: accept it before saying how its work stands")]
    StandingOfUnconfirmed(u32),
    /// The standing before any later visit.
    #[error("there was no later visit yet: `callover recheck` listens to one")]
    NoLaterVisit,
    /// Dismissing where nothing is waiting.
    #[error("no finding of a later visit waits at item {0}")]
    NoFinding(u32),
    /// Rejecting twice.
    #[error("item {0} is rejected already")]
    AlreadyRejected(u32),
    /// Restoring what was never decided.
    #[error("item {0} is undecided: there is nothing to restore")]
    NotDecided(u32),
    /// Changing a rejected item.
    #[error("item {0} is rejected: restore it before changing it")]
    EditOfRejected(u32),
    /// The quote cannot be divided there.
    #[error("item {number} cannot be split there: {}", split_room(*words))]
    SplitOutside {
        /// Number of the item.
        number: u32,
        /// How many words its quote has.
        words: usize,
    },
    /// Merging an item with itself.
    #[error("item {0} cannot be merged with itself: give another item's number")]
    MergeWithItself(u32),
    /// No item or no place was given.
    #[error("give at least one {0}")]
    NoneGiven(&'static str),
    /// All items are at that place already.
    #[error("already there: {0}")]
    AlreadyThere(String),
    /// The item's place was not changed, or none after it stands where it stood.
    #[error("no item goes along with item {0}: change its place first")]
    NoneAlong(u32),
    /// Item numbers begin at 1.
    #[error("0 is no item's number: they begin at 1")]
    NumberZero,
    /// The numbers run from 1 without gaps already.
    #[error("the items are numbered in order already")]
    InOrder,
    /// There are no such words in the transcript.
    #[error("there are no such words in what was heard")]
    NoSuchWords,
    /// There is no such statement.
    #[error("there is no statement {position}: {count} made no item")]
    NoSuchStatement {
        /// What was asked for, from 1.
        position: usize,
        /// How many there are.
        count: usize,
    },
    /// The statement was made an item before.
    #[error("that statement is an item already")]
    PromotedAlready,
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
    /// Nothing was corrected, or nothing that could be heard again.
    #[error("nothing plain to learn from item {0}: correct what was heard as something else first")]
    NothingToTeach(u32),
    /// Nothing has been decided, or all is undone.
    #[error("there is nothing to undo")]
    NothingToUndo,
    /// Nothing is undone, or something was decided since.
    #[error("there is nothing to redo")]
    NothingToRedo,
    /// Not from 0 to 1.
    #[error("{0} is not a confidence: give a number from 0 to 1, such as 0.95")]
    NotAConfidence(f64),
    /// No undecided item of the place is as sure as that.
    #[error("no undecided item in {place} has a confidence of {confidence} or more")]
    NoneAboveIn {
        /// The place.
        place: String,
        /// What was asked for.
        confidence: f64,
    },
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
    /// No item shown is undecided, but others are.
    #[error("every item shown is decided: show all to see the others")]
    NoneLeftShown,
    /// No item would be shown.
    #[error("no item fits: {0}")]
    NoneShown(String),
}

/// Where a quote of so many words can be split, in words.
fn split_room(words: usize) -> String {
    match words {
        0 => "it was written by hand, nothing was heard".into(),
        1 => "one word was heard".into(),
        words => format!("give 1 to {}, the words that stay", words - 1),
    }
}
