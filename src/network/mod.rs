//! Network equations and their solution.
