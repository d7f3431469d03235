//! Headless check of a plan file: a readable report, or one JSON object with `--json`.
//!
//! Exit status 0: every verdict as wished and no fault. 1: something to mend. 2: the file cannot be read.

mod report;

use loomwright::behaviour::{Table, table_within};
use loomwright::findings::{Finding, Severity, findings};
use loomwright::plan::file;
use std::io::Write;
use std::process::ExitCode;

/// Most states gone through one by one: sixteen two-way controls.
const MAX_STATES: usize = 1 << 16;

const USAGE: &str = "usage: plancheck FILE [--json]";

fn main() -> ExitCode {
    let (flags, files): (Vec<String>, Vec<String>) = std::env::args()
        .skip(1)
        .partition(|argument| argument.starts_with("--"));
    let json = flags.iter().any(|flag| flag == "--json");
    let ([path], true) = (files.as_slice(), flags.iter().all(|flag| flag == "--json")) else {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    };
    let plan = match std::fs::read(path).map_err(|e| {
        format!("{path} cannot be read ({e}): check the name and that you may read it")
    }) {
        Ok(bytes) => file::read(&bytes).map_err(|e| format!("{path}: {e}")),
        Err(sentence) => Err(sentence),
    };
    let plan = match plan {
        Ok(plan) => plan,
        Err(sentence) => {
            eprintln!("{sentence}");
            return ExitCode::from(2);
        }
    };
    let table = table_within(&plan, &[], MAX_STATES);
    let findings = findings(&plan, &table);
    let text = if json {
        report::json(&plan, &table, &findings)
    } else {
        report::text(&plan, &table, &findings)
    };
    // A closed pipe (`| head`) is no error of the plan.
    let _ = std::io::stdout().write_all(text.as_bytes());
    ExitCode::from(u8::from(!sound(&table, &findings)))
}

fn sound(table: &Table, findings: &[Finding]) -> bool {
    table.as_wished()
        && findings
            .iter()
            .all(|finding| finding.severity != Severity::Fault)
}
