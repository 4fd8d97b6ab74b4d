//! The `ampkeel` command.

fn main() {}
