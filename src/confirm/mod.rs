//! The pass in which the inspector confirms each item: a pure state machine, and faces over it.

mod change;
mod state;

pub use change::{Change, Move, NewItem, Refusal};
pub use state::{Describe, Progress, Session};

#[cfg(test)]
mod tests;
