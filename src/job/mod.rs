//! The job folder: one file that keeps everything, and the recordings and photos beside it.
//!
//! A job is a folder: `job.db` (SQLite), `recordings/`, `photos/`, `exports/`. The file holds the
//! details, the recordings, every finished recognition window, the words, the proposal, and an
//! append-only log of the inspector's decisions. The list as it stands is always *proposal plus
//! replayed decisions* ([`replay`]); nothing is ever overwritten by a decision.
//!
//! The clock is never read here: callers pass times as text.

mod decision;
mod difference;
mod error;
mod examine;
mod field;
mod folder;
mod log;
mod measured;
mod merge;
mod photos;
mod proposal;
mod recordings;
mod replay;
mod salvage;
mod schema;
mod visit;

pub use decision::{Decision, Event, Following};
pub use difference::{Difference, differences};
pub use error::JobError;
pub use examine::{Examination, Trouble, examine};
pub use field::{Field, FieldError, LONGEST_TEXT, severity_word};
pub use folder::{
    DETAIL_PROPOSAL, DETAIL_REGION, DETAIL_TITLE, EXPORTS_FOLDER, JOB_FILE, Job, PHOTOS_FOLDER,
    RECORDINGS_FOLDER,
};
pub(crate) use measured::one_to_text as measurement_text;
pub use photos::{Certainty, KeptPhoto, Moment, PhotoFormat, is_plain_name};
pub use recordings::{KeptRecording, WindowKey};
pub use replay::{DecidedList, Replayed, replay};
pub use salvage::{Salvaged, salvage};
pub use visit::{Detailed, FIRST_VISIT, Found, Unfound, Visited, Visits};

#[cfg(test)]
pub(crate) mod samples;
#[cfg(test)]
mod tests;
