//! Families of parts.
