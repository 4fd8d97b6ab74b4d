//! Typed quantities: the units people write, and how figures are printed.
