//! Relays held in by current that creeps in, or by their own contact after the state that pulled them is gone.
//!
//! A coil that is fed through a lamp or backwards through a wire is a fault where that pulls it in, a caution
//! where it is above drop-out and only keeps it from letting go. A relay that latches is a caution where a
//! lamp is not as wished by it or something unintended feeds it, else a note: it may be meant to hold itself.

use super::words::{and, lamp_ids, part_id, part_name, row_words};
use super::{Check, Evidence, Finding, Measure, Severity};
use crate::behaviour::survey::{HeldRelay, Hold};
use crate::behaviour::{Origin, Path};
use crate::plan::{Kind, Plan};
use crate::text::{mark, say};
use crate::units::Volts;

pub(super) const CHECK: Check = Check {
    name: mark!("held relay"),
    what: mark!("Every relay lets go in every state in which nothing is meant to hold it."),
    run,
};

const SOURCE: &str = mark!(
    "Sneak Circuit Analysis Handbook D2-118341-1 (1970), clue relay coil in series with another load: \
                      from memory; pull-in and drop-out as rated"
);

fn run(evidence: &Evidence<'_>, out: &mut Vec<Finding>) {
    for held in &evidence.survey.held {
        out.push(finding(evidence, held));
    }
}

fn finding(evidence: &Evidence<'_>, held: &HeldRelay) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let relay = part_name(plan, held.part);
    let (volts, drop_out) = (Volts::of(held.volts), Volts::of(held.drop_out));
    let state = row_words(plan, table, held.row, held.phase);
    let mut about = vec![part_id(plan, held.part)];
    let (severity, mut text) = match &held.hold {
        Hold::BackFeed { pulls: true } => (
            Severity::Fault,
            say!(
                "With {state} {relay} is pulled in by {volts} that creep in; nothing is meant to feed it."
            ),
        ),
        Hold::BackFeed { pulls: false } => (
            Severity::Caution,
            say!(
                "With {state} {volts} creep into the coil of {relay}, and nothing is meant to feed it: too little to \
                 pull it in, but once pulled it does not let go above {drop_out}."
            ),
        ),
        Hold::Latch { after, lamps } => {
            about.extend(lamp_ids(table, lamps));
            let before = row_words(plan, table, *after, 0);
            let sneaks = held.path.as_ref().is_some_and(|path| creeps(plan, path));
            let mut text = say!(
                "{relay} is pulled in with {before} and then stays in with {state}, where it would not pull in from \
                 rest ({volts} on the coil)."
            );
            if !lamps.is_empty() {
                let ids = and(&lamp_ids(table, lamps));
                text.push_str(&if lamps.len() == 1 {
                    say!(" {ids} then does not what was wished.")
                } else {
                    say!(" {ids} then do not what was wished.")
                });
            }
            if lamps.is_empty() && !sneaks {
                text.push_str(say!(
                    " Make sure that this is meant and that something lets it go."
                ));
                (Severity::Note, text)
            } else {
                (Severity::Caution, text)
            }
        }
    };
    if let Some(path) = &held.path {
        text.push_str(&say!(" The current runs {}.", path.sentence(plan)));
        let wires = path
            .reversed_wires()
            .filter_map(|wire| plan.wires.get(wire));
        about.extend(wires.map(|wire| wire.id.to_string()));
    }
    if severity != Severity::Note {
        text.push_str(say!(
            " A diode in the coil's feed, or a feed of its own, lets it go."
        ));
    }
    let mut finding = Finding::new(&CHECK, severity, about, text, SOURCE);
    finding.measure = Some(Measure {
        found: say!("{volts} on the coil"),
        limit: say!("at most {drop_out} to let go"),
    });
    finding
}

/// Whether a path runs backwards through a wire or through another load than the coil.
fn creeps(plan: &Plan, path: &Path) -> bool {
    let uses = |origin: Origin| match origin {
        Origin::Wire(_) => false,
        Origin::Part { part, .. } => plan.parts.get(part).is_some_and(|part| {
            matches!(part.kind, Kind::Lamp(_) | Kind::LedLamp(_) | Kind::Load(_))
        }),
    };
    path.reversed_wires().next().is_some() || path.steps.iter().any(|step| uses(step.origin))
}
