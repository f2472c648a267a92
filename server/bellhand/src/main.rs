//! The `bellhand` program.

fn main() {}
