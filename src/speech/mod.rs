//! Speech to words: the recogniser behind a small trait, and what it hears.

pub mod formats;
mod transcript;

pub use transcript::{Recording, Transcript, Word};
