//! `cargo dev lint`: formatting, and clippy for everything that is compiled, warnings refused.

use crate::steps::Steps;
use crate::{run, tools};

/// Runs the three checks.
pub fn run(words: &[String]) -> Result<(), String> {
    if !words.is_empty() {
        return Err("`lint` takes no words.".to_owned());
    }
    let mut all = Steps::default();
    steps(&mut all);
    all.finish()
}

/// The checks as steps.
pub fn steps(steps: &mut Steps) {
    steps.step("formatting", |_| {
        run::run(run::cargo(&[]).args(["fmt", "--all", "--check"]))
    });
    steps.step("clippy, native", |_| {
        run::run(run::cargo(&[]).args([
            "clippy",
            "--workspace",
            "--all-targets",
            "--",
            "-D",
            "warnings",
        ]))
    });
    steps.step("clippy, wasm", |_| {
        tools::wasm_target()?;
        let mut cargo = run::cargo(&[]);
        cargo.args(["clippy", "--target", tools::WASM]);
        cargo.args(["--lib", "--bin", "loomwright", "--tests"]);
        run::run(cargo.args(["--", "-D", "warnings"]))
    });
}
