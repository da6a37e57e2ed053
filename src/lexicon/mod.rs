//! The vocabulary of the trade, and finding its terms in what was said.

mod term;

pub use term::{Hit, How, Kind, TermId, Token};
