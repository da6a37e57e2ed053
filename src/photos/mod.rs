//! Photos: when and where in the walk-round each was taken, and which item it shows.
//!
//! # Steps
//! 1. [`read_facts`]: a photo's file tells its format, its time and its camera.
//! 2. [`read_started`]: a recording's file tells when it began, or nearly so, or nothing.
//! 3. [`photo_cues`]: the moments at which the inspector spoke of a photo.
//! 4. [`place`]: each camera's clock is laid beside the recorder's ([`find_offset`]), and every
//!    photo gets its moment in a recording.
//! 5. [`decide`]: every photo that nobody has decided on goes to the item that was being spoken
//!    about, with how sure that is.
//! 6. [`shown`]: what documents embed, upright, of bounded size, without place and device.
//!
//! Steps 1, 2 and 6 read files; the others are pure.
//!
//! The photo itself is kept in the job as it was given, byte for byte: it may be wanted as
//! evidence, and a place in it does no harm there. Documents never embed it, only what step 6 makes.

mod attach;
mod clock;
mod cues;
mod decide;
mod file;
mod offset;
mod picture;
pub(crate) mod smaller;
mod started;
mod taken;
#[cfg(test)]
mod tests;

pub use attach::{item_shown, place_at};
pub use clock::{ByHand, Clock, Ground, Placed, Shot, Tape, place};
pub use cues::photo_cues;
pub use decide::{Decided, decide};
pub use file::{PhotoFacts, facts_of, format_of, read_facts};
pub use offset::{Finding, Offset, Walk, find_offset};
pub use picture::{LONGEST_SIDE, PictureError, QUALITY, shown};
pub(crate) use picture::{flat, made};
pub use smaller::SmallerError;
pub use started::{Started, read_started};
pub use taken::Taken;
