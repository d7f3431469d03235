//! Relays that find no rest.

use super::{Check, Evidence, Finding, Severity, state_words};

pub(super) const CHECK: Check = Check {
    name: "relay chatter",
    what: "Every relay settles in every state.",
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    for &(part, row) in &table.chatter {
        let (Some(part), Some(row)) = (plan.parts.get(part), table.rows.get(row)) else {
            continue;
        };
        let text = format!(
            "Relay {} pulls in and lets go without end with {}: its own contact takes its coil's feed away. Feed the \
             coil from before the contact.",
            part.id,
            state_words(plan, &row.state)
        );
        out.push(Finding::new(
            &CHECK,
            Severity::Fault,
            vec![part.id.to_string()],
            text,
            "fixed point of coil voltage and contact position",
        ));
    }
}
