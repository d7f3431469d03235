//! States that were not solved or not listed.

use super::{Check, Evidence, Finding, Severity, state_words};
use crate::behaviour::Choice;
use crate::text::{mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("coverage"),
    what: mark!("Every control state is solved within the residual bound."),
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    let source =
        mark!("Kirchhoff's current law, residual at most 1e-9 of the largest current or 1 nA");
    let finding = |severity, text| Finding::new(&CHECK, severity, Vec::new(), text, source);
    for row in table.rows.iter().filter(|row| !row.solved) {
        out.push(finding(
            Severity::Fault,
            say!(
                "No operating point was found for: {}.",
                state_words(plan, &row.state)
            ),
        ));
    }
    match table.coverage.choice {
        Choice::All => {}
        Choice::Groups(_) => out.push(finding(Severity::Note, table.coverage_words())),
        Choice::Pairs => out.push(finding(Severity::Caution, table.coverage_words())),
    }
}
