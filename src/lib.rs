//! Callover turns a spoken walk-round of a newly built home into a numbered defect list that an
//! inspector confirms item by item.
//!
//! # Steps
//! 1. [`audio`]: a file becomes 16 kHz mono samples, then stretches of speech, then windows.
//! 2. [`speech`]: windows become words with times and probabilities, a [`speech::Transcript`].
//! 3. [`lexicon`]: words become term hits.
//! 4. [`statements`]: words and hits become statements: place change, defect, remark, command.
//! 5. [`items`]: statements become a [`items::Proposal`]; [`cautions`] warn where work can hurt.
//! 6. [`job`]: everything is kept in one job folder.
//! 7. [`confirm`]: the inspector accepts, edits or rejects each item.
//!    [`desk`] is the same in a page of the browser.
//! 8. [`photos`]: photos find their item by the time they were taken.
//! 9. [`recheck`]: a later visit's words become findings about the items, and new items.
//! 10. [`learn`]: what was decided becomes vocabulary, where nothing confirmed breaks by it.
//! 11. [`export`]: the list becomes documents, one file per format.
//!
//! Stages are functions from plain data to plain data; files, the model, the clock and the
//! terminal stay in [`commands`] and in thin adapters.

pub mod audio;
pub mod cautions;
pub mod commands;
pub mod confirm;
pub mod coverage;
pub mod desk;
pub mod due;
pub mod export;
mod hexadecimal;
pub mod items;
pub mod job;
pub mod learn;
pub mod lexicon;
pub mod limits;
mod linear;
#[cfg(test)]
mod not_run;
pub mod photos;
mod plain;
pub mod recheck;
pub mod score;
pub mod speech;
pub mod statements;
pub mod time;
mod workers;
