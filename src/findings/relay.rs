//! Relays and converters that find no rest.

use super::{Check, Evidence, Finding, Severity, state_words};
use crate::plan::Kind;
use crate::text::{mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("relay chatter"),
    what: mark!("Every relay and every converter settles in every state."),
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    for &(part, row) in &table.chatter {
        let (Some(part), Some(row)) = (plan.parts.get(part), table.rows.get(row)) else {
            continue;
        };
        let state = state_words(plan, &row.state);
        let text = match part.kind {
            Kind::Converter(_) => say!(
                "Converter {} starts and stops without end with {state}: its own current pulls its input below the \
                 voltage it starts at. Give it a thicker or shorter feed.",
                part.id
            ),
            _ => say!(
                "Relay {} pulls in and lets go without end with {state}: its own contact takes its coil's feed away. \
                 Feed the coil from before the contact.",
                part.id
            ),
        };
        out.push(Finding::new(
            &CHECK,
            Severity::Fault,
            vec![part.id.to_string()],
            text,
            mark!("fixed point of coil voltage and contact position"),
        ));
    }
}
