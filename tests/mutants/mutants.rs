//! Mutation tests of the core: is each small change of its code noticed by some test?
//!
//! All changes are compiled in at once, each behind a switch with a number (`sites`, `tree`). Every test runs once to see which
//! switches it passes (`suite`); then a random sample of changes is tried, each against the tests that reach it
//! (`trial`). What no test notices is listed (`report`). Started by `cargo dev mutants`.

mod process;
mod report;
mod sites;
mod suite;
mod tree;
mod trial;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use trial::Verdict;

/// What is asked for.
struct Options {
    /// How many mutants are tried.
    sample: usize,
    /// What the draw depends on.
    seed: u64,
    /// Only these modules.
    modules: Vec<String>,
    /// Tests run at once.
    jobs: usize,
    /// Tests that take longer are left out, in seconds.
    slowest: f64,
    /// How long the tests of one mutant may take together, in seconds.
    budget: f64,
    /// Whether what was killed before is taken as killed.
    again: bool,
}

fn options() -> Result<Options, String> {
    let mut options = Options {
        sample: 600,
        seed: 1,
        modules: Vec::new(),
        jobs: std::thread::available_parallelism().map_or(1, usize::from),
        slowest: 20.0,
        budget: f64::INFINITY,
        again: false,
    };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        if word == "--again" {
            options.again = true;
            continue;
        }
        let value = words.next().ok_or(format!("`{word}` needs a value."))?;
        let bad = |_| format!("`{word} {value}` is not a number.");
        match word.as_str() {
            "--sample" => {
                options.sample = value
                    .parse()
                    .map_err(|e: std::num::ParseIntError| bad(e.to_string()))?
            }
            "--seed" => {
                options.seed = value
                    .parse()
                    .map_err(|e: std::num::ParseIntError| bad(e.to_string()))?
            }
            "--jobs" => {
                options.jobs = value
                    .parse()
                    .map_err(|e: std::num::ParseIntError| bad(e.to_string()))?
            }
            "--slowest" => {
                options.slowest = value
                    .parse()
                    .map_err(|e: std::num::ParseFloatError| bad(e.to_string()))?
            }
            "--budget" => {
                options.budget = value
                    .parse()
                    .map_err(|e: std::num::ParseFloatError| bad(e.to_string()))?
            }
            "--module" if tree::MODULES.contains(&value.as_str()) => options.modules.push(value),
            "--module" => {
                return Err(format!(
                    "There is no module `{value}`: {}.",
                    tree::MODULES.join(", ")
                ));
            }
            _ => return Err(format!("There is no option `{word}`.")),
        }
    }
    Ok(options)
}

fn run() -> Result<(), String> {
    let options = options()?;
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let root = root
        .canonicalize()
        .map_err(|e| format!("Cannot find the package: {e}."))?;
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or(root.join("target"), PathBuf::from);
    let (work, out) = (
        root.join(target).join("mutants"),
        root.join("tests/out/mutants"),
    );
    fs::create_dir_all(&out).map_err(|e| format!("Cannot make {}: {e}.", out.display()))?;

    println!("Rewriting the core and checking what compiles …");
    let tree = tree::Tree::new(&root, &work)?.settle(&root, &work)?;
    let kept = tree
        .mutants
        .iter()
        .filter(|m| !tree.dropped.contains(&m.key));
    let asked = kept.filter(|m| {
        options.modules.is_empty()
            || tree::module_of(&m.file).is_some_and(|of| options.modules.iter().any(|m| m == of))
    });
    let all: Vec<_> = asked.cloned().collect();
    let sample = trial::sample(&all, options.sample, options.seed);
    let found = tree.mutants.len();
    println!(
        "{found} mutants, {} do not compile; {} asked for, {} drawn.",
        found - tree.kept(),
        all.len(),
        sample.len()
    );

    let suite = suite::record(&tree, &work, options.slowest, options.jobs)?;
    for line in &suite.left_out {
        println!("  left out: {line}");
    }
    let results = out.join("results.txt");
    let before = if options.again {
        report::killed(&results)
    } else {
        Default::default()
    };
    if !options.again {
        let _ = fs::remove_file(&results);
    }
    let open: Vec<_> = sample
        .iter()
        .filter(|m| !before.contains_key(&m.key))
        .cloned()
        .collect();
    println!("Trying {} mutants …", open.len());
    let new = trial::run(
        &open,
        &suite,
        options.jobs,
        options.budget,
        |mutant, verdict| {
            report::note(&results, mutant, verdict);
        },
    );
    let mut new = new.into_iter();
    let verdicts: Vec<Verdict> = sample
        .iter()
        .map(|m| {
            before
                .get(&m.key)
                .cloned()
                .or_else(|| new.next())
                .unwrap_or(Verdict::Undecided(0, 0))
        })
        .collect();
    let mut text = format!("Sample of {}, seed {}.\n\n", options.sample, options.seed);
    text.push_str(&report::text(&all, &sample, &verdicts));
    text.push_str(&format!(
        "\nTests left out:\n{}\n",
        suite.left_out.join("\n")
    ));
    println!("\n{text}");
    let path = out.join("report.txt");
    fs::write(&path, text).map_err(|e| format!("Cannot write {}: {e}.", path.display()))
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("\n{sentence}");
            ExitCode::FAILURE
        }
    }
}
