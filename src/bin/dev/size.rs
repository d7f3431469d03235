//! `cargo dev size`: what a first visit transfers, file by file, and how long it takes on a slow phone.

use crate::run::{self, TempFolder};
use crate::{browser, files, tools};
use std::path::Path;
use std::process::{Command, Stdio};

/// All of `dist/`, compressed, should stay below this, in bytes.
const TARGET: u64 = 250_000;
/// Above this the command fails, in bytes.
const LIMIT: u64 = 300_000;

/// Builds, lists, times.
pub fn run(words: &[String]) -> Result<(), String> {
    if !words.is_empty() {
        return Err("`size` takes no words.".to_owned());
    }
    tools::build_page(true, &tools::for_page()?)?;
    let sizes = sizes();
    let timing = timing();
    sizes.and(timing)
}

fn sizes() -> Result<(), String> {
    println!("\n{:>10}{:>10}  file", "bytes", "gzip -9");
    let (mut raw, mut packed) = (0, 0);
    for path in files::under("dist", &[]) {
        let bytes = path
            .metadata()
            .map_err(|e| format!("Cannot read {}: {e}.", path.display()))?
            .len();
        let small = gzip_size(&path)?;
        println!("{bytes:>10}{small:>10}  {}", path.display());
        raw += bytes;
        packed += small;
    }
    println!(
        "{raw:>10}{packed:>10}  total: {:.0} % of the {} kB target",
        packed as f64 * 100.0 / TARGET as f64,
        TARGET / 1000
    );
    judge(packed)
}

/// Refuses a total above the limit.
fn judge(packed: u64) -> Result<(), String> {
    if packed > LIMIT {
        return Err(format!(
            "The page has {packed} bytes compressed; the limit is {LIMIT}."
        ));
    }
    if packed > TARGET {
        println!("Above the target of {TARGET} bytes, still below the limit of {LIMIT}.");
    }
    Ok(())
}

/// The size of the file after `gzip -9`, in bytes.
fn gzip_size(path: &Path) -> Result<u64, String> {
    let output = Command::new("gzip")
        .args(["-9", "-n", "-c"])
        .arg(path)
        .stdin(Stdio::null())
        .output()
        .map_err(|e| format!("gzip is needed on PATH: {e}."))?;
    if output.status.success() {
        Ok(output.stdout.len() as u64)
    } else {
        Err(format!("gzip could not read {}.", path.display()))
    }
}

fn timing() -> Result<(), String> {
    let browser = browser::ensure()?;
    browser::ensure_node()?;
    let temp = TempFolder::new()?;
    run::run(
        run::command("node", &[])
            .arg("tests/journeys/timing.mjs")
            .env("CHROMIUM", &browser.chromium)
            .env("TMPDIR", temp.path()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_refuses_and_the_target_only_warns() {
        assert!(judge(TARGET).is_ok());
        assert!(judge(LIMIT).is_ok());
        assert!(judge(LIMIT + 1).is_err());
    }
}
