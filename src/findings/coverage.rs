//! States that were not solved or not listed.

use super::{Check, Finding, Severity, state_words};
use crate::behaviour::Table;
use crate::plan::Plan;

pub(super) const CHECK: Check = Check {
    name: "coverage",
    what: "Every control state is solved within the residual bound.",
    run,
};

fn run(plan: &Plan, table: &Table, out: &mut Vec<Finding>) {
    let finding = |severity, text| Finding {
        check: CHECK.name,
        severity,
        about: Vec::new(),
        text,
        source: "Kirchhoff's current law, residual at most 1e-9 of the largest current or 1 nA",
    };
    for row in table.rows.iter().filter(|row| !row.solved) {
        out.push(finding(
            Severity::Fault,
            format!(
                "No operating point was found for: {}.",
                state_words(plan, &row.state)
            ),
        ));
    }
    if !table.coverage.complete {
        out.push(finding(
            Severity::Caution,
            format!(
                "{} of {} control states are covered: controls moved alone and in pairs.",
                table.rows.len(),
                table.coverage.total
            ),
        ));
    }
}
