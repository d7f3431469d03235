//! `cargo dev mutants`: small changes of the core, each tried against the tests that reach it.
//!
//! The package `tests/mutants` does the work; this command builds it and hands the words on.

use crate::run;

/// Builds the program and runs it with the words.
pub fn run(words: &[String]) -> Result<(), String> {
    let folder = std::env::var("CARGO_TARGET_DIR").unwrap_or_else(|_| "target".to_owned());
    run::run(
        run::cargo(&[])
            .args(["run", "--quiet", "--locked", "--release"])
            .args(["--manifest-path", "tests/mutants/Cargo.toml"])
            .args(["--target-dir", &format!("{folder}/mutants/tool"), "--"])
            .args(words),
    )
}
