//! The pass in which the inspector confirms each item: a pure state machine, and faces over it.
//!
//! [`Session`] is the state machine, without files, clock or terminal. [`run_terminal`] and
//! [`run_plain`] are two faces over it; both keep every decision in the job before they show it.

mod card;
mod change;
mod decide;
mod draw;
mod draw_card;
mod help;
mod keep;
mod line_editor;
mod palette;
mod plain;
mod prompt;
mod screen;
mod state;
mod terminal;
mod text;
mod told;

pub use card::confidence_words;
pub use change::{Change, Move, NewItem, Refusal};
pub use help::field_key;
pub use keep::{ConfirmError, Options, Outcome, keep, session_of};
pub use plain::run_plain;
pub use state::{Describe, Progress, Session};
pub use terminal::run_terminal;

#[cfg(test)]
mod tests;
