//! A list of steps that all run, with a table of what came of them.

use crate::run;
use std::process::Command;
use std::time::{Duration, Instant};

/// How many tests a step ran.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    passed: u64,
    failed: u64,
}

impl Count {
    /// Runs a test command and adds what its result lines say.
    pub fn run(&mut self, command: &mut Command) -> Result<(), String> {
        run::run_lines(command, |line| self.read(line))
    }

    /// Adds the numbers of a result line of cargo's or Node's test output; other lines add nothing.
    fn read(&mut self, line: &str) {
        let line = line.trim();
        if let Some(rest) = line.strip_prefix("test result: ") {
            for part in rest.split(['.', ';']) {
                let mut words = part.split_whitespace();
                let number = words.next().and_then(|word| word.parse::<u64>().ok());
                match (number, words.next()) {
                    (Some(n), Some("passed")) => self.passed += n,
                    (Some(n), Some("failed")) => self.failed += n,
                    _ => {}
                }
            }
        } else if let Some(rest) = line.strip_prefix('ℹ') {
            let mut words = rest.split_whitespace();
            let name = words.next();
            let number = words.next().and_then(|word| word.parse::<u64>().ok());
            match (name, number) {
                (Some("pass"), Some(n)) => self.passed += n,
                (Some("fail"), Some(n)) => self.failed += n,
                _ => {}
            }
        }
    }
}

/// A step that has run.
struct Ran {
    name: &'static str,
    result: Result<(), String>,
    count: Count,
    time: Duration,
}

/// The steps that have run so far.
#[derive(Default)]
pub struct Steps(Vec<Ran>);

impl Steps {
    /// Runs a step; a failure is kept for the table and does not stop the steps after it.
    /// Returns whether it went well, for the steps that need what this one makes.
    pub fn step(
        &mut self,
        name: &'static str,
        work: impl FnOnce(&mut Count) -> Result<(), String>,
    ) -> bool {
        println!("\n=== {name}");
        let start = Instant::now();
        let mut count = Count::default();
        let result = work(&mut count);
        if let Err(sentence) = &result {
            println!("{sentence}");
        }
        let went_well = result.is_ok();
        self.0.push(Ran {
            name,
            result,
            count,
            time: start.elapsed(),
        });
        went_well
    }

    /// Prints the table; an error if a step failed.
    pub fn finish(self) -> Result<(), String> {
        println!(
            "\n{:<34}{:>8}{:>8}{:>10}",
            "step", "result", "tests", "seconds"
        );
        for ran in &self.0 {
            println!(
                "{:<34}{:>8}{:>8}{:>10.1}",
                ran.name,
                if ran.result.is_ok() { "ok" } else { "FAILED" },
                ran.count.passed + ran.count.failed,
                ran.time.as_secs_f64()
            );
        }
        let passed: u64 = self.0.iter().map(|ran| ran.count.passed).sum();
        let failed: u64 = self.0.iter().map(|ran| ran.count.failed).sum();
        println!();
        if passed + failed > 0 {
            println!("tests: {passed} passed, {failed} failed");
        }
        let failed: Vec<&Ran> = self.0.iter().filter(|ran| ran.result.is_err()).collect();
        println!(
            "steps: {} passed, {} failed",
            self.0.len() - failed.len(),
            failed.len()
        );
        if failed.is_empty() {
            return Ok(());
        }
        Err(failed
            .iter()
            .filter_map(|ran| Some(format!("{}: {}", ran.name, ran.result.as_ref().err()?)))
            .collect::<Vec<_>>()
            .join("\n"))
    }
}

#[cfg(test)]
mod tests {
    use super::Count;

    fn read(text: &str) -> (u64, u64) {
        let mut count = Count::default();
        text.lines().for_each(|line| count.read(line));
        (count.passed, count.failed)
    }

    #[test]
    fn result_lines_of_both_test_programs_are_added_up() {
        let cargo = "running 3 tests\n\
            test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s\n\
            test result: FAILED. 4 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out\n";
        assert_eq!(read(cargo), (7, 2));
        assert_eq!(read("ℹ tests 6\nℹ pass 5\nℹ fail 1\n"), (5, 1));
        assert_eq!(read("test units::tests::passed ... ok"), (0, 0));
    }
}
