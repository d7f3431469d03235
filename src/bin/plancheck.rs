//! Headless check of a plan file.

fn main() {}
