//! The H pattern: current that runs through one branch both ways, or only against the intended direction.
//!
//! Most sneak paths are this pattern: two legs from supply to ground, and a branch between them whose current turns
//! with the state of the switches. A turn alone is worth a note (a ring of wires behind a switch turns its
//! current and is sound); it is a caution where a lamp is lit by it that should be dark, or where the branch joins
//! the legs of two fuses.

use super::words::{and, lamp_ids, origin_id, part_name, row_words};
use super::{Check, Evidence, Finding, Measure, Remedy, Severity};
use crate::behaviour::survey::{Crossbar, Run};
use crate::behaviour::{Origin, RUNNING_AMPS};
use crate::plan::{Change, Edit, Plan};
use crate::text::{mark, say};
use crate::units::Amps;

pub(super) const CHECK: Check = Check {
    name: mark!("H pattern"),
    what: mark!("Current runs through every branch one way only, the way it was meant to."),
    run,
};

const SOURCE: &str = mark!(
    "Sneak Circuit Analysis Handbook D2-118341-1 (1970), H pattern and clue reverse current: \
                      clue headings seen, pattern from memory; threshold common practice"
);

/// Most members of a run named one by one.
const MAX_NAMED: usize = 8;

fn run(evidence: &Evidence<'_>, out: &mut Vec<Finding>) {
    let mut swapped: Vec<&Crossbar> = Vec::new();
    for crossbar in &evidence.survey.crossbars {
        if crossbar.forward.is_none() && crossbar.backward.unwished.is_empty() {
            swapped.push(crossbar);
        } else {
            out.push(turning(evidence, crossbar));
        }
    }
    if !swapped.is_empty() {
        out.push(entered_backwards(evidence.plan, &swapped));
    }
}

fn turning(evidence: &Evidence<'_>, crossbar: &Crossbar) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let members = crossbar.members.iter();
    let mut ids: Vec<String> = members.map(|&origin| origin_id(plan, origin)).collect();
    ids.dedup();
    let mut named: Vec<String> = ids.iter().take(MAX_NAMED).cloned().collect();
    if ids.len() > MAX_NAMED {
        named.push(say!("{} more", ids.len() - MAX_NAMED));
    }
    let told = |run: &Run| {
        let lit = if run.lamps.is_empty() {
            say!("no lamp lit by it").to_owned()
        } else {
            say!("lit by it: {}", and(&lamp_ids(table, &run.lamps)))
        };
        let state = row_words(plan, table, run.row, run.phase);
        (Amps::of(run.amps), state, lit)
    };
    let (named, single) = (and(&named), ids.len() == 1);
    let (amps, state, lit) = told(&crossbar.backward);
    let mut text = match &crossbar.forward {
        Some(forward) => {
            let (onward, then, lights) = told(forward);
            if single {
                say!(
                    "{named} carries {onward} as intended with {then} ({lights}), but {amps} backwards with {state} ({lit})."
                )
            } else {
                say!(
                    "{named} carry {onward} as intended with {then} ({lights}), but {amps} backwards with {state} ({lit})."
                )
            }
        }
        None if single => say!("{named} carries {amps} only backwards with {state} ({lit})."),
        None => say!("{named} carry {amps} only backwards with {state} ({lit})."),
    };
    let unwished = &crossbar.backward.unwished;
    if !unwished.is_empty() {
        text.push_str(&say!(
            " {} should be dark then.",
            and(&lamp_ids(table, unwished))
        ));
    }
    if let Some([one, other]) = crossbar.fuses {
        text.push_str(&say!(
            " It joins what {} feeds with what {} feeds.",
            part_name(plan, one),
            part_name(plan, other)
        ));
    }
    let severity = if unwished.is_empty() && crossbar.fuses.is_none() {
        text.push_str(say!(
            " Nothing is lit by it that should be dark, so it may be meant so."
        ));
        Severity::Note
    } else {
        text.push_str(say!(
            " A diode in it, or a feed of its own for each side, makes it run one way."
        ));
        Severity::Caution
    };
    ids.extend(lamp_ids(table, unwished));
    let mut finding = Finding::new(&CHECK, severity, ids, text, SOURCE);
    finding.measure = Some(measure(crossbar.backward.amps));
    finding
}

fn measure(amps: f64) -> Measure {
    Measure {
        found: say!("{} backwards", Amps::of(amps)),
        limit: say!("below {}", Amps::of(RUNNING_AMPS)),
    }
}

/// Wires that carry current only from their load end to their supply end: most likely entered so.
fn entered_backwards(plan: &Plan, crossbars: &[&Crossbar]) -> Finding {
    let members = crossbars.iter().flat_map(|crossbar| &crossbar.members);
    let wires: Vec<usize> = members
        .filter_map(|origin| match origin {
            Origin::Wire(wire) => Some(*wire),
            Origin::Part { .. } => None,
        })
        .collect();
    let ids: Vec<String> = wires
        .iter()
        .map(|&wire| origin_id(plan, Origin::Wire(wire)))
        .collect();
    let most = crossbars
        .iter()
        .map(|c| c.backward.amps)
        .fold(0.0, f64::max);
    let named = and(&ids);
    let text = if ids.len() == 1 {
        say!(
            "{named} only ever carries current from the load end to the supply end: swap the ends, so that drawing and \
             paths show what is meant."
        )
    } else {
        say!(
            "{named} only ever carry current from the load end to the supply end: swap the ends, so that drawing and \
             paths show what is meant."
        )
    };
    let mut finding = Finding::new(&CHECK, Severity::Note, ids, text, SOURCE);
    finding.measure = Some(measure(most));
    let swap = |&wire: &usize| {
        let mut item = plan.wires.get(wire)?.clone();
        core::mem::swap(&mut item.from, &mut item.to);
        let id = item.id.clone();
        Some(Edit::Wire(Change::Replace { id, item }))
    };
    finding.remedies = vec![Remedy {
        title: say!("Swap the ends").into(),
        edit: Edit::All(wires.iter().filter_map(swap).collect()),
    }];
    finding
}
