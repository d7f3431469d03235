//! `cargo dev fuzz`: coverage-guided mutation of files and links, with the pinned compiler.
//!
//! LLVM's coverage counters need no other toolchain: two flags that every rustc takes, and libFuzzer, which the package
//! `tests/fuzz` brings along. What it learns stays in `tests/out/fuzz`, so that a later run goes on from there.

use crate::run;
use std::fs;

const TARGETS: [&str; 3] = ["file", "link", "chain"];
/// How long a target runs if nothing is said, in seconds.
const SECONDS: &str = "600";
/// Counters at every edge, and what libFuzzer needs to read them.
const FLAGS: &str = "-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
    -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
    -Cllvm-args=-sanitizer-coverage-trace-compares";

/// Builds the targets and runs those that the words name, one after the other.
pub fn run(words: &[String]) -> Result<(), String> {
    let (targets, seconds) = options(words)?;
    let host = run::output_of(run::command("rustc", &[]).arg("-vV"))
        .and_then(|text| {
            Some(
                text.lines()
                    .find_map(|line| line.strip_prefix("host: "))?
                    .to_owned(),
            )
        })
        .ok_or("rustc does not say what it builds for.")?;
    let folder = std::env::var("CARGO_TARGET_DIR").unwrap_or_else(|_| "target".to_owned());
    let folder = format!("{folder}/fuzz");
    run::run(
        run::cargo(&[])
            .args([
                "build",
                "--release",
                "--manifest-path",
                "tests/fuzz/Cargo.toml",
            ])
            // With a target named, programs that run while building are left without counters.
            .args(["--target", &host, "--target-dir", &folder])
            .env("RUSTFLAGS", FLAGS),
    )?;
    for target in targets {
        let learnt = format!("tests/out/fuzz/{target}");
        let seeds = format!("{learnt}-seeds");
        for folder in [&learnt, &seeds] {
            fs::create_dir_all(folder).map_err(|e| format!("Cannot make {folder}: {e}."))?;
        }
        seed(&seeds)?;
        run::run(
            run::command(format!("{folder}/{host}/release/{target}"), &[])
                .args([&learnt, &seeds])
                .arg(format!("-max_total_time={seconds}"))
                .arg(format!("-artifact_prefix={learnt}-"))
                .args([
                    "-dict=tests/fuzz/words.dict",
                    "-max_len=30000",
                    "-timeout=20",
                    "-rss_limit_mb=3000",
                ])
                .args(["-print_final_stats=1", "-verbosity=0"]),
        )?;
    }
    Ok(())
}

/// The targets to run and the seconds for each.
fn options(words: &[String]) -> Result<(Vec<&'static str>, String), String> {
    let (mut targets, mut seconds) = (Vec::new(), SECONDS.to_owned());
    let mut words = words.iter();
    while let Some(word) = words.next() {
        if word == "--seconds" {
            let number = words.next().filter(|n| n.parse::<u32>().is_ok());
            seconds = number.ok_or("`--seconds` needs a number.")?.clone();
        } else {
            let target = TARGETS.iter().find(|target| *target == word);
            targets.push(*target.ok_or(format!(
                "There is no fuzz target `{word}`: {}.",
                TARGETS.join(", ")
            ))?);
        }
    }
    if targets.is_empty() {
        targets = TARGETS.to_vec();
    }
    Ok((targets, seconds))
}

/// Every plan of the tree as a file to start from, without the blanks that a mutation would only waste itself on.
fn seed(folder: &str) -> Result<(), String> {
    for from in ["tests/fixtures", "tests/fixtures/golden", "static/examples"] {
        for path in crate::files::under(from, &["briefs", "drawing", "behaviour"]) {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let text = fs::read_to_string(&path).unwrap_or_default();
            let small: Vec<&str> = text.lines().map(str::trim).collect();
            let to = format!("{folder}/{name}");
            fs::write(&to, small.concat()).map_err(|e| format!("Cannot write {to}: {e}."))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn targets_and_seconds_are_read() {
        let read = |text: &str| {
            let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
            options(&words)
        };
        assert_eq!(read(""), Ok((TARGETS.to_vec(), SECONDS.to_owned())));
        assert_eq!(read("link --seconds 5"), Ok((vec!["link"], "5".to_owned())));
        assert!(read("--seconds x").is_err() && read("everything").is_err());
    }
}
