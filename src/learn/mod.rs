//! Lessons from what the inspector decided, so that the same is heard and listed rightly next time.
//!
//! # Steps
//! 1. [`Lived`]: what was heard on a job, and the list that was confirmed of it.
//!    A page read aloud ([`read_aloud`]) is such a job too.
//! 2. [`Study`]: the jobs as today's lexicon reads them, beside what was confirmed.
//! 3. [`lessons`]: where the two differ, what may be learnt, with its evidence.
//! 4. [`judge`]: every lesson is tried on all jobs; one that breaks what was confirmed, or mends
//!    nothing, does not pass.
//! 5. [`overlay`]: accepted lessons as an overlay of the lexicon, one readable entry each.
//! 6. [`harmful`]: which of them newer jobs speak against.
//!
//! Beside vocabulary there is the ear: [`read_in`] and [`heard_in`] tell what was said in which window of a
//! recording, and the recogniser is fitted to that (`speech::fit`).
//!
//! All of it is pure: the same jobs give the same lessons, in whatever order they come. Files, the
//! clock and the person who accepts are at the edge (`commands/learn`).

mod aloud;
mod belongs;
mod corner;
mod draw;
mod ear;
mod entries;
mod evident;
mod guard;
mod habits;
mod harm;
mod lesson;
mod lived;
mod marks;
mod name;
pub mod overlay;
mod place;
mod score;
mod stretch;
mod study;
mod sureness;
mod voice;

#[cfg(test)]
mod tests;

pub use aloud::{NotThePage, page, read_aloud};
pub use draw::lessons;
pub use ear::{heard_in, read_in};
pub use entries::{Entry, contradict, entries};
pub use evident::evident;
pub use guard::{Judged, Verdict, judge};
pub use harm::{Harm, INSISTED, harmful};
pub use lesson::{Called, Lesson, Sighting, Teaching};
pub use lived::Lived;
pub use score::{Reading, Row, read_again, without};
pub use study::{Change, Effect, Study};
