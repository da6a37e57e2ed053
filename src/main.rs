//! The `callover` program.

fn main() {}
