//! Checks: one file each, one registry. A check reads what has been worked out of a plan and solves nothing.

mod battery;
mod brightness;
mod charge;
mod coverage;
mod crossbar;
mod diode;
mod diode_choice;
mod drop;
mod duty;
mod feeds;
mod flasher;
mod flasher_window;
mod fuse_guard;
mod fuse_load;
mod fuse_series;
mod grounds;
mod held;
mod joints;
mod law;
mod relay;
mod relay_coil;
mod relay_contact;
mod remedy;
mod resistor;
mod returns;
mod short;
mod sources;
mod stop_tail;
mod string;
mod structure;
mod switch;
mod wire_current;
mod wire_limit;
mod wire_size;
mod wishes;
mod words;

pub use diode::bears as diode_bears;
pub use duty::used_share;
pub use wire_limit::{Limit as WireLimit, of_size as wire_limit};

use crate::behaviour::survey::Survey;
use crate::behaviour::{Loads, State, Table, loads};
use crate::plan::{Edit, Plan, position_word};
use crate::text::{self, say};
use crate::units::order::Order;

/// What the checks read: a plan and what has been worked out of it.
#[derive(Debug, Clone)]
pub struct Evidence<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its behaviour table.
    pub table: &'a Table,
    /// What was worked out beside the table.
    pub survey: Survey,
    /// What its wires and parts bear.
    pub loads: Loads,
}

/// Works out everything the checks read of a plan and its table.
pub fn gather<'a>(plan: &'a Plan, table: &'a Table) -> Evidence<'a> {
    Evidence {
        plan,
        table,
        survey: Survey::new(plan, table),
        loads: loads(plan, table),
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
    /// As one English word, for keys and files.
    pub const fn text(self) -> &'static str {
        match self {
            Severity::Fault => "fault",
            Severity::Caution => "caution",
            Severity::Note => "note",
        }
    }

    /// As one word for people.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Fault => say!("fault"),
            Severity::Caution => say!("caution"),
            Severity::Note => say!("note"),
        }
    }
}

/// One thing a check has to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Name of the check, in English; [`check_name`](Self::check_name) is for people.
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
    /// Name of the check, for people.
    pub fn check_name(&self) -> &'static str {
        text::of(self.check)
    }

    /// A finding without number or remedy; its source is a marked text.
    pub fn new(
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
            source: text::of(source),
            remedies: Vec::new(),
        }
    }

    /// The same with a number beside its limit.
    fn measured(mut self, found: String, limit: String) -> Self {
        self.measure = Some(Measure { found, limit });
        self
    }

    /// The same with what cures it; what is `None` is left out.
    fn cured_by(mut self, remedies: impl IntoIterator<Item = Option<Remedy>>) -> Self {
        self.remedies.extend(remedies.into_iter().flatten());
        self
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
    /// Its name in English; `text::of` it for people.
    pub name: &'static str,
    /// What it looks for, in one English sentence; `text::of` it for people.
    pub what: &'static str,
    run: fn(&Evidence, &mut Vec<Finding>),
}

/// Names of the checks that a choice of sizes and ratings can satisfy.
pub const SIZING: [&str; 8] = [
    fuse_guard::CHECK.name,
    short::CHECK.name,
    wire_current::CHECK.name,
    fuse_load::CHECK.name,
    drop::CHECK.name,
    wire_size::CHECK.name,
    diode::CHECK.name,
    fuse_series::CHECK.name,
];

/// Every check, in the order findings are listed within a severity.
pub const CHECKS: &[Check] = &[
    structure::CHECK,
    coverage::CHECK,
    wishes::CHECK,
    fuse_guard::CHECK,
    short::CHECK,
    wire_current::CHECK,
    fuse_load::CHECK,
    drop::CHECK,
    wire_size::CHECK,
    fuse_series::CHECK,
    diode::CHECK,
    diode_choice::CHECK,
    resistor::CHECK,
    switch::CHECK,
    relay::CHECK,
    relay_coil::CHECK,
    relay_contact::CHECK,
    flasher::CHECK,
    flasher_window::CHECK,
    held::CHECK,
    crossbar::CHECK,
    feeds::CHECK,
    returns::CHECK,
    grounds::CHECK,
    sources::CHECK,
    joints::CHECK,
    stop_tail::CHECK,
    brightness::CHECK,
    battery::CHECK,
    charge::CHECK,
    string::CHECK,
    law::CHECK,
];

/// How many findings there are to look at, and how many that only inform.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Count {
    /// Faults and cautions.
    pub to_look_at: usize,
    /// Notes.
    pub notes: usize,
}

impl Count {
    /// Counts findings.
    pub fn of(findings: &[Finding]) -> Self {
        let is_note = |finding: &&Finding| finding.severity == Severity::Note;
        let notes = findings.iter().filter(is_note).count();
        Self {
            to_look_at: findings.len() - notes,
            notes,
        }
    }

    /// The notes as words: `1 note`, `3 notes`; empty where there are none.
    pub fn note_words(self) -> String {
        match self.notes {
            0 => String::new(),
            1 => say!("1 note").into(),
            n => say!("{n} notes"),
        }
    }

    /// In words: `3 to look at`, `0 to look at, 2 notes`.
    pub fn words(self) -> String {
        let look = say!("{} to look at", self.to_look_at);
        match self.notes {
            0 => look,
            _ => format!("{look}, {}", self.note_words()),
        }
    }
}

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
    all.order_by_key(|finding| finding.severity);
    all
}

/// The state of a row in words, for a sentence that goes on with it; empty for a row the table does not have.
fn row_words(evidence: &Evidence, row: usize) -> String {
    let words = |row: &crate::behaviour::Row| state_words(evidence.plan, &row.state);
    evidence.table.rows.get(row).map_or_else(String::new, words)
}

/// Identities one after the other, with how many more there are beyond the first few.
fn listed(ids: &[String]) -> String {
    const NAMED: usize = 6;
    let more = ids.len().saturating_sub(NAMED);
    let named = ids[..ids.len() - more].join(", ");
    if more > 0 {
        say!("{named} and {more} more")
    } else {
        named
    }
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
                .map_or("?", |name| position_word(name));
            format!("{} {position}", control.label)
        })
        .collect();
    if moved.is_empty() {
        say!("everything at rest").into()
    } else {
        moved.join(", ")
    }
}
