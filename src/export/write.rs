//! Writing files.
