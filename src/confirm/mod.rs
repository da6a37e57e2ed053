//! The pass in which the inspector confirms each item: a pure state machine, and faces over it.
//!
//! [`Session`] is the state machine, without files, clock or terminal. [`run_terminal`] and
//! [`run_plain`] are two faces over it; both keep every decision in the job before they show it.

mod alike;
mod around;
mod card;
mod change;
mod choices;
mod command;
mod complete;
mod decide;
mod divide;
mod draw;
mod draw_card;
mod draw_foot;
mod draw_list;
mod filter;
mod help;
mod keep;
mod keys;
mod lesson;
mod line_editor;
mod make;
mod offers;
mod palette;
mod parse;
mod plain;
mod play;
mod prompt;
mod purpose;
mod rehearsal;
mod screen;
mod state;
mod statements;
mod terminal;
mod text;
mod told;
mod visit;

pub use around::Around;
pub use card::confidence_words;
pub use change::{Change, Move, NewItem, Refusal};
pub use complete::{Choice, complete};
pub use filter::{Filter, found, status_word};
pub use help::{field_key, last_field_key};
pub use keep::{ConfirmError, Options, Outcome, keep, session_of};
pub use keys::keys_taken;
pub use lesson::Offer;
pub use plain::run_plain;
pub use play::{PLAYERS, Player, Playing, file_of};
pub use rehearsal::Rehearsal;
pub use state::{Describe, Progress, Session, ids_changed};
pub use terminal::run_terminal;

#[cfg(test)]
mod tests;
