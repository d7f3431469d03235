//! Current of every wire in its worst state against its ampacity.

use super::{Check, Evidence, Finding, Severity, remedy, row_words, wire_limit};
use crate::catalog::conductor;
use crate::catalog::wire_choice;
use crate::text::{mark, say};
use crate::units::Amps;

pub(super) const CHECK: Check = Check {
    name: mark!("wire current"),
    what: mark!(
        "No wire carries more than its size, insulation and surroundings allow, in any state, charging or not."
    ),
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let source = plan.settings.sizing.basis.text();
    let mut classless: Vec<String> = Vec::new();
    for (i, wire) in plan.wires.iter().enumerate() {
        let (Some(load), Some(row)) = (evidence.loads.wire(i), conductor::find(&wire.size)) else {
            continue;
        };
        let amps = load.worst();
        if amps <= 0.0 {
            continue;
        }
        let Some(limit) = wire_limit::of(plan, i) else {
            classless.push(wire.id.to_string());
            continue;
        };
        if amps <= limit.practice {
            continue;
        }
        let severity = if amps > limit.rule {
            Severity::Fault
        } else {
            Severity::Caution
        };
        let most = Amps::of(limit.practice);
        let text = say!(
            "{} ({}, {} insulation) carries {} with {}: more than the {most} it may carry for good. It gets hotter than \
             its insulation stands.",
            wire.id,
            plan.settings.sizing.size(row),
            wire.insulation_c,
            Amps::of(amps),
            row_words(evidence, load.peak.row),
        );
        let enough = wire_choice::sizes(row.system).find(|row| {
            wire_limit::of_size(plan, wire.insulation_c, row).is_some_and(|l| l.practice >= amps)
        });
        out.push(
            Finding::new(&CHECK, severity, vec![wire.id.to_string()], text, source)
                .measured(Amps::of(amps).to_string(), most.to_string())
                .cured_by([enough.and_then(|row| remedy::wires(plan, &[(i, row)]))]),
        );
    }
    if !classless.is_empty() {
        let text = say!(
            "For the insulation class or the size of {} {source} has no figure, so their current was not checked.",
            super::listed(&classless)
        );
        let finding = Finding::new(&CHECK, Severity::Caution, classless, text, source);
        out.push(finding);
    }
}
