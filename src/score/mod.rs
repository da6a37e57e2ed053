//! Measures of accuracy: word error rate, and how far a claimed probability can be believed.

mod alignment;
mod calibration;
mod choice;
mod effort;
mod fitted;
mod logistic;
mod normaliser;
mod sparse;
mod word_error;

pub use alignment::{Costs, Step, align, distance};
pub use calibration::{brier, calibration_error};
pub use choice::{Chosen, fit_choice, shares};
pub use effort::Effort;
pub(crate) use fitted::fitted;
pub use logistic::{fit, fit_towards, probability, sigmoid};
pub use normaliser::normalise;
pub use sparse::fit_sparse;
pub use word_error::{WordErrors, word_errors};
