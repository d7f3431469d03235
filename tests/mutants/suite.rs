//! The tests: built once, each run once in a process of its own with recording on, so that its time and the mutants it
//! reaches are known.

use crate::process::{self, End};
use crate::tree::Tree;
use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

/// Test programs that look at the sources, at the clock or at a browser, or that only print figures.
const LEFT_OUT: [&str; 5] = ["tidy", "web", "pace", "drawing_report", "dev"];

/// A test that can be run alone.
pub struct Test {
    /// The program it is in.
    program: PathBuf,
    /// Where it runs, as under cargo.
    folder: PathBuf,
    /// Program and test, to be shown.
    pub name: String,
    /// Its name within the program.
    path: String,
    /// How long it takes if nothing is changed, in seconds.
    pub seconds: f64,
    /// The numbers of the mutants it reaches.
    pub reached: HashSet<u32>,
}

/// The tests that can be run, and what became of the others.
pub struct Suite {
    /// Quickest first.
    pub tests: Vec<Test>,
    /// Tests left out, with the reason.
    pub left_out: Vec<String>,
}

impl Test {
    /// The test alone in its program, ready to be started.
    pub fn command(&self) -> Command {
        let mut command = Command::new(&self.program);
        command
            .current_dir(&self.folder)
            .args(["--exact", &self.path, "--test-threads=1", "-q"])
            .env("CARGO_MANIFEST_DIR", &self.folder)
            // The same random cases every time; a failure is neither written down nor made smaller.
            .env("PROPTEST_RNG_SEED", "1")
            .env("PROPTEST_DISABLE_FAILURE_PERSISTENCE", "1")
            .env("PROPTEST_MAX_SHRINK_ITERS", "0")
            .env("RUST_BACKTRACE", "0")
            .env_remove("UPDATE_EXPECT")
            .env_remove("LW_MUTANT")
            .env_remove("LW_REACHED")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        command
    }
}

/// Builds all tests of the copy and runs each once; one that takes longer than `slowest` seconds is left out.
pub fn record(tree: &Tree, work: &Path, slowest: f64, jobs: usize) -> Result<Suite, String> {
    let output = tree
        .cargo(work)
        .args(["test", "--workspace", "--no-run", "--message-format=json"])
        .stderr(Stdio::inherit())
        .output()
        .map_err(|e| format!("Cannot start cargo: {e}."))?;
    if !output.status.success() {
        return Err("The tests of the copy do not compile.".to_owned());
    }
    let mut tests = Vec::new();
    for line in String::from_utf8_lossy(&output.stdout).lines() {
        let message: serde_json::Value = serde_json::from_str(line).unwrap_or_default();
        let (name, program) = (
            message["target"]["name"].as_str(),
            message["executable"].as_str(),
        );
        let (Some(name), Some(program)) = (name, program) else {
            continue;
        };
        if message["profile"]["test"] == true && !LEFT_OUT.contains(&name) {
            let manifest = Path::new(message["manifest_path"].as_str().unwrap_or(""));
            let folder = manifest.parent().unwrap_or(manifest);
            tests.extend(list(name, Path::new(program), folder)?);
        }
    }
    tests.sort_by(|a, b| a.name.cmp(&b.name));
    let reach = work.join("reach");
    fs::create_dir_all(&reach).map_err(|e| format!("Cannot make {}: {e}.", reach.display()))?;
    println!("Running {} tests once …", tests.len());
    let ends = process::in_turn(&tests, jobs, |_, test| {
        known(test, &reach, slowest).unwrap_or_else(|| once(test, &reach, slowest))
    });
    let mut suite = Suite {
        tests: Vec::new(),
        left_out: Vec::new(),
    };
    for (mut test, end) in tests.into_iter().zip(ends) {
        match end {
            End::Passed(time) if time.as_secs_f64() <= slowest => {
                test.seconds = time.as_secs_f64();
                let bytes = fs::read(file(&test, &reach, "reached")).unwrap_or_default();
                let numbers = bytes
                    .chunks_exact(4)
                    .map(|b| u32::from_le_bytes([b[0], b[1], b[2], b[3]]));
                test.reached = numbers.collect();
                suite.tests.push(test);
            }
            End::Failed => return Err(format!("{} fails with nothing changed.", test.name)),
            _ => suite
                .left_out
                .push(format!("{}: slower than {slowest} s", test.name)),
        }
    }
    suite.tests.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
    Ok(suite)
}

/// The tests of a program that are not marked to be ignored.
fn list(name: &str, program: &Path, folder: &Path) -> Result<Vec<Test>, String> {
    let names = |extra: &[&str]| {
        let output = Command::new(program)
            .args(["--list", "--format", "terse"])
            .args(extra)
            .output();
        let output = output.map_err(|e| format!("Cannot start {}: {e}.", program.display()))?;
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let lines = text.lines().filter_map(|line| line.strip_suffix(": test"));
        Ok::<Vec<String>, String>(lines.map(str::to_owned).collect())
    };
    let ignored = names(&["--ignored"])?;
    let run = names(&[])?
        .into_iter()
        .filter(|test| !ignored.contains(test));
    let tests = run.map(|path| Test {
        program: program.to_owned(),
        folder: folder.to_owned(),
        name: format!("{name} {path}"),
        path,
        seconds: 0.0,
        reached: HashSet::new(),
    });
    Ok(tests.collect())
}

fn file(test: &Test, reach: &Path, kind: &str) -> PathBuf {
    let name: String = test
        .name
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    reach.join(format!("{name}.{kind}"))
}

/// What an earlier run recorded with this very program.
fn known(test: &Test, reach: &Path, slowest: f64) -> Option<End> {
    let date = |path: &Path| fs::metadata(path).and_then(|data| data.modified()).ok();
    let time = file(test, reach, "seconds");
    if date(&time)? <= date(&test.program)? {
        return None;
    }
    let seconds: f64 = fs::read_to_string(&time).ok()?.parse().ok()?;
    if seconds >= 0.0 {
        Some(End::Passed(Duration::from_secs_f64(seconds)))
    } else {
        // It was stopped after so long; with more time it may end.
        (-seconds >= slowest).then_some(End::TooLong)
    }
}

/// Runs a test with recording on and writes down how long it took.
fn once(test: &Test, reach: &Path, slowest: f64) -> End {
    let log = file(test, reach, "reached");
    let _ = fs::remove_file(&log);
    let end = process::run(
        test.command().env("LW_REACHED", &log),
        Duration::from_secs_f64(slowest),
    );
    let seconds = match end {
        End::Passed(time) => time.as_secs_f64(),
        End::Failed => return end,
        End::TooLong => -slowest,
    };
    let _ = fs::write(file(test, reach, "seconds"), seconds.to_string());
    end
}
