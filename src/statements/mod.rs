//! From words and term hits to statements: who said what about which element, where.

pub mod faults;
pub mod grammar;
pub mod noun;
pub mod piece;
pub mod sentence;
