//! Measures of accuracy: word error rate.

mod alignment;
mod normaliser;
mod word_error;

pub use alignment::{Costs, Step, align, distance};
pub use normaliser::normalise;
pub use word_error::{WordErrors, word_errors};
