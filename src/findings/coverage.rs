//! States that were not solved or not listed.

use super::{Check, Finding, Severity, state_words};
use crate::behaviour::{Choice, Table};
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
    let (rows, total) = (table.rows.len(), table.coverage.total);
    match table.coverage.choice {
        Choice::All => {}
        Choice::Groups(groups) => out.push(finding(
            Severity::Note,
            format!(
                "The {total} control states fall into {groups} groups of controls that act on lamps of their \
                 own. Every state of each group was solved with the other controls at rest and at their \
                 heaviest: {rows} states."
            ),
        )),
        Choice::Pairs => out.push(finding(
            Severity::Caution,
            format!(
                "Only {rows} of {total} control states are covered: controls moved alone and in pairs. \
                 What three controls do together may have been missed."
            ),
        )),
    }
}
