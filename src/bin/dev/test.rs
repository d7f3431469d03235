//! `cargo dev test`: native tests, doc tests, wasm tests in Chromium, the weight of the page, phone journeys.
//!
//! A step runs even when an earlier one failed, unless it needs what that one makes, so that one run
//! shows all that is wrong.

use crate::run::{self, TempFolder};
use crate::steps::{Count, Steps};
use crate::{browser, files, lint, size, tools};
use std::path::PathBuf;

/// Runs the kinds of tests the words name; all but lint when there is no word.
pub fn run(words: &[String]) -> Result<(), String> {
    let mut steps = Steps::default();
    match words {
        [] => {
            native(&mut steps);
            wasm(&mut steps);
            journeys(&mut steps);
        }
        [kind] => match kind.as_str() {
            "native" => native(&mut steps),
            "wasm" => wasm(&mut steps),
            "journeys" => journeys(&mut steps),
            "lint" => lint::steps(&mut steps),
            other => {
                return Err(format!(
                    "There are no `{other}` tests: the kinds are native, wasm, journeys and lint."
                ));
            }
        },
        _ => return Err("`test` takes one kind at most.".to_owned()),
    }
    steps.finish()
}

/// The dev profile: it optimises enough for the property tests and keeps overflow checks, and
/// a release build with link-time optimisation takes longer than it saves.
fn native(steps: &mut Steps) {
    steps.step("native tests", |count| {
        count.run(run::cargo(&[]).args([
            "test",
            "--workspace",
            "--no-fail-fast",
            "--lib",
            "--bins",
            "--tests",
        ]))
    });
    steps.step("doc tests", |count| {
        count.run(run::cargo(&[]).args(["test", "--workspace", "--doc"]))
    });
}

fn wasm(steps: &mut Steps) {
    steps.step("wasm tests in Chromium", |count| {
        tools::wasm_target()?;
        let folders = [tools::ensure(&tools::WASM_BINDGEN)?];
        let browser = browser::ensure()?;
        let temp = TempFolder::new()?;
        let mut cargo = run::cargo(&folders);
        cargo.args(["test", "--no-fail-fast", "--target", tools::WASM, "--lib"]);
        for test in wasm_tests() {
            cargo.args(["--test", &test]);
        }
        count.run(
            cargo
                .env("CHROMEDRIVER", &browser.chromedriver)
                .env("WASM_BINDGEN_TEST_TIMEOUT", "120")
                .env("TMPDIR", temp.path()),
        )
    });
}

/// The test files meant for the browser: `tests/web.rs` and any `tests/web_*.rs`.
fn wasm_tests() -> Vec<String> {
    files::under("tests", &["node_modules", "out"])
        .iter()
        .filter(|path| {
            path.parent()
                .is_some_and(|folder| folder.ends_with("tests"))
        })
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .filter_map(|path| Some(path.file_stem()?.to_str()?.to_owned()))
        .filter(|name| name == "web" || name.starts_with("web_"))
        .collect()
}

fn journeys(steps: &mut Steps) {
    let built = steps.step("page build", |_| {
        tools::build_page(true, &tools::for_page()?)
    });
    let weigh = |_: &mut Count| {
        if built {
            size::weigh()
        } else {
            Err("Not weighed: there is no new page.".to_owned())
        }
    };
    steps.step("page weight", weigh);
    steps.step("phone journeys", |count| {
        if built {
            run_journeys(count)
        } else {
            Err("Not run: there is no new page to walk through.".to_owned())
        }
    });
}

fn run_journeys(count: &mut Count) -> Result<(), String> {
    // Named one by one: Node versions differ in what a folder on the command line means.
    let tests: Vec<_> = files::under("tests/journeys", &[])
        .into_iter()
        .filter(|path| path.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    walk(count, &tests, None)
}

/// Runs these journeys; `kills`: how often tabs are killed.
fn walk(count: &mut Count, tests: &[PathBuf], kills: Option<u32>) -> Result<(), String> {
    let browser = browser::ensure()?;
    browser::ensure_node()?;
    let temp = TempFolder::new()?;
    let mut node = run::command("node", &[]);
    node.args(["--test", "--test-reporter=spec"])
        .args(tests)
        .env("CHROMIUM", &browser.chromium)
        .env("TMPDIR", temp.path());
    if let Some(kills) = kills {
        node.env("KILLS", kills.to_string());
    }
    count.run(&mut node)
}

/// `cargo dev kills`: tabs killed while they save, many more times than the journeys do it.
pub fn kills(words: &[String]) -> Result<(), String> {
    let kills = match words {
        [] => 1000,
        [number] => number
            .parse()
            .map_err(|_| "`kills` takes a number.".to_owned())?,
        _ => return Err("`kills` takes one number.".to_owned()),
    };
    tools::build_page(true, &tools::for_page()?)?;
    let test = PathBuf::from("tests/journeys/kills.test.mjs");
    walk(&mut Count::default(), &[test], Some(kills))
}
