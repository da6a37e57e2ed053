//! The vocabulary of the trade, and finding its terms in what was said.
