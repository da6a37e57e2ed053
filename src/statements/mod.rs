//! From words and term hits to statements: who said what about which element, where.

mod counts;
mod measures;
mod numbers;
mod reader;
#[cfg(test)]
mod sample;
mod units;

pub use counts::counts;
pub use measures::measurements;
pub use numbers::{Number, number_at, ordinal_at};
