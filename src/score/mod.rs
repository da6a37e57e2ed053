//! Measures of accuracy: word error rate.
