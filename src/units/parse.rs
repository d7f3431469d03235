//! Reads quantities as people write them.
