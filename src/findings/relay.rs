//! Relays that find no rest.

use super::{Check, Finding, Severity, state_words};
use crate::behaviour::Table;
use crate::plan::Plan;

pub(super) const CHECK: Check = Check {
    name: "relay chatter",
    what: "Every relay settles in every state.",
    run,
};

fn run(plan: &Plan, table: &Table, out: &mut Vec<Finding>) {
    for &(part, row) in &table.chatter {
        let (Some(part), Some(row)) = (plan.parts.get(part), table.rows.get(row)) else {
            continue;
        };
        out.push(Finding {
            check: CHECK.name,
            severity: Severity::Fault,
            about: vec![part.id.to_string()],
            text: format!(
                "Relay {} pulls in and lets go without end with {}: its own contact takes its coil's \
                 feed away. Feed the coil from before the contact.",
                part.id,
                state_words(plan, &row.state)
            ),
            source: "fixed point of coil voltage and contact position",
        });
    }
}
