//! Speed of operating points on the two reference harnesses.

fn main() {}
