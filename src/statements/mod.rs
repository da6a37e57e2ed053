//! From words and term hits to statements: who said what about which element, where.

pub mod announcement;
mod asked;
mod candidates;
mod counts;
pub mod doubts;
mod familiar;
pub mod faults;
pub mod grammar;
mod measures;
mod mishearing;
mod no_fault;
pub mod noun;
mod numbers;
pub mod piece;
pub mod place;
mod reader;
pub mod reading;
#[cfg(test)]
mod sample;
pub mod second_look;
pub mod sentence;
pub(crate) mod signs;
pub(crate) mod standing;
mod struck;
pub mod surroundings;
pub mod telling;
mod units;
mod works;

pub use counts::counts;
pub use measures::measurements;
pub use numbers::{Number, list_number_at, number_at, ordinal_at};
pub use units::in_millimetres;
