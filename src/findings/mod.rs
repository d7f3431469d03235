//! Checks: one file each, one registry. A check reads what has been worked out of a plan and solves nothing.

mod coverage;
mod crossbar;
mod feeds;
mod flasher;
mod grounds;
mod held;
mod relay;
mod returns;
mod sources;
mod structure;
mod wishes;
mod words;

use crate::behaviour::survey::Survey;
use crate::behaviour::{State, Table};
use crate::plan::{Edit, Plan};

/// What the checks read: a plan and what has been worked out of it.
#[derive(Debug, Clone)]
pub struct Evidence<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its behaviour table.
    pub table: &'a Table,
    /// What was worked out beside the table.
    pub survey: Survey,
}

/// Works out everything the checks read of a plan and its table.
pub fn gather<'a>(plan: &'a Plan, table: &'a Table) -> Evidence<'a> {
    let survey = Survey::new(plan, table);
    Evidence {
        plan,
        table,
        survey,
    }
}

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
    /// The number and its limit, where the rule has them.
    pub measure: Option<Measure>,
    /// A state in which it can be seen, where it is about what a lamp does; `about` then opens with that circuit.
    pub seen_in: Option<State>,
    /// Where the rule comes from.
    pub source: &'static str,
    /// Ready edits that cure it, the simplest first.
    pub remedies: Vec<Remedy>,
}

impl Finding {
    /// A finding without number or remedy.
    pub const fn new(
        check: &Check,
        severity: Severity,
        about: Vec<String>,
        text: String,
        source: &'static str,
    ) -> Self {
        Self {
            check: check.name,
            severity,
            about,
            text,
            measure: None,
            seen_in: None,
            source,
            remedies: Vec::new(),
        }
    }
}

/// A number beside its limit, each with its unit, as printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measure {
    /// What was found.
    pub found: String,
    /// What the rule allows.
    pub limit: String,
}

/// A ready edit of the plan that cures a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remedy {
    /// What it does, in a few words.
    pub title: String,
    /// The edit.
    pub edit: Edit,
}

/// A check.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Its name.
    pub name: &'static str,
    /// What it looks for, in one sentence.
    pub what: &'static str,
    run: fn(&Evidence, &mut Vec<Finding>),
}

/// Every check, in the order findings are listed within a severity.
pub const CHECKS: &[Check] = &[
    structure::CHECK,
    coverage::CHECK,
    wishes::CHECK,
    flasher::CHECK,
    relay::CHECK,
    held::CHECK,
    crossbar::CHECK,
    feeds::CHECK,
    returns::CHECK,
    grounds::CHECK,
    sources::CHECK,
];

/// What all checks say of a plan, faults first; gathers the evidence by itself.
pub fn findings(plan: &Plan, table: &Table) -> Vec<Finding> {
    read(&gather(plan, table))
}

/// What all checks say of gathered evidence, faults first.
pub fn read(evidence: &Evidence<'_>) -> Vec<Finding> {
    let mut all = Vec::new();
    for check in CHECKS {
        (check.run)(evidence, &mut all);
    }
    all.sort_by_key(|finding| finding.severity);
    all
}

/// Findings of a changed plan that the plan before had not: of another check, severity or subject, or another first
/// sentence, figures left out.
pub fn news<'a>(before: &[Finding], after: &'a [Finding]) -> Vec<&'a Finding> {
    let gist = |finding: &Finding| {
        let first = finding.text.split(". ").next().unwrap_or("");
        let letters = first.chars().filter(|c| c.is_alphabetic());
        letters.collect::<String>()
    };
    let same = |a: &Finding, b: &Finding| {
        (a.check, a.severity, &a.about) == (b.check, b.severity, &b.about) && gist(a) == gist(b)
    };
    let known = |new: &&Finding| before.iter().any(|old| same(old, new));
    after.iter().filter(|new| !known(new)).collect()
}

/// A state in words: the controls that are away from rest, e.g. `Master on, Brake pressed`.
pub fn state_words(plan: &Plan, state: &State) -> String {
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
