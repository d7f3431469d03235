//! Checks: one file each, one registry. A check reads the plan and its behaviour table and solves nothing.

mod coverage;
mod flasher;
mod relay;
mod structure;
mod wishes;

use crate::behaviour::Table;
use crate::plan::Plan;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Must be mended: something does not work as wished or is unsafe.
    Fault,
    /// Should be looked at.
    Caution,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// As one word.
    pub const fn text(self) -> &'static str {
        match self {
            Severity::Fault => "fault",
            Severity::Caution => "caution",
            Severity::Note => "note",
        }
    }
}

/// One thing a check has to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Name of the check.
    pub check: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Identities of what it is about: parts, wires, controls, wishes, lamp circuits.
    pub about: Vec<String>,
    /// What is found, with its numbers, and what to do.
    pub text: String,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// A check.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Its name.
    pub name: &'static str,
    /// What it looks for, in one sentence.
    pub what: &'static str,
    run: fn(&Plan, &Table, &mut Vec<Finding>),
}

/// Every check, in the order findings are listed within a severity.
pub const CHECKS: &[Check] = &[
    structure::CHECK,
    coverage::CHECK,
    wishes::CHECK,
    flasher::CHECK,
    relay::CHECK,
];

/// What all checks say of a plan, faults first.
pub fn findings(plan: &Plan, table: &Table) -> Vec<Finding> {
    let mut all = Vec::new();
    for check in CHECKS {
        (check.run)(plan, table, &mut all);
    }
    all.sort_by_key(|finding| finding.severity);
    all
}

/// A state in words: the controls that are away from rest, e.g. `Master on, Brake pressed`.
pub fn state_words(plan: &Plan, state: &crate::behaviour::State) -> String {
    let moved: Vec<String> = plan
        .controls
        .iter()
        .enumerate()
        .filter(|&(i, _)| state.position(i) != 0)
        .map(|(i, control)| {
            let position = control
                .positions
                .get(state.position(i))
                .map_or("?", String::as_str);
            format!("{} {position}", control.label)
        })
        .collect();
    if moved.is_empty() {
        "everything at rest".into()
    } else {
        moved.join(", ")
    }
}
