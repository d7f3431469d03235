//! Load of the flasher against its window, and the rate to expect.

use super::{Check, Evidence, Finding, Severity, state_words};
use crate::behaviour::{Tick, Verdict};
use crate::plan::Kind;
use crate::units::significant;
use std::collections::BTreeMap;

pub(super) const CHECK: Check = Check {
    name: "flasher load",
    what: "A flasher carries a load inside its window in every state in which it works.",
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    // The first state (fewest controls moved) speaks for each kind of trouble of each flasher.
    let mut first: BTreeMap<(usize, u8), (usize, f64, usize)> = BTreeMap::new();
    for (i, row) in table.rows.iter().enumerate() {
        for run in &row.flashers {
            let kind = match run.tick {
                Tick::Idle | Tick::Normal => continue,
                // A trickle between grounds through lamps that nobody wants to flash is no load.
                Tick::Stuck if row.cells.iter().all(|c| c.verdict == Verdict::AsWished) => continue,
                Tick::Stuck => 0,
                Tick::Fast => 1,
                Tick::Overloaded => 2,
            };
            let entry = first.entry((run.part, kind)).or_insert((i, run.amps, 0));
            entry.2 += 1;
        }
    }
    for ((part, kind), (row, amps, count)) in first {
        let Some(part) = plan.parts.get(part) else {
            continue;
        };
        let Kind::Flasher(flasher) = &part.kind else {
            continue;
        };
        let state = state_words(plan, &table.rows[row].state);
        let amps = significant(amps);
        let id = &part.id;
        let (severity, text) = match kind {
            0 => (
                Severity::Fault,
                format!(
                    "{id} carries {amps} A with {state} ({count} states), below the {} it needs: it stays \
                     closed and the lamps burn steadily. Use an electronic unit or a larger load.",
                    flasher.min_a
                ),
            ),
            1 => (
                Severity::Caution,
                format!(
                    "{id} carries {amps} A with {state} ({count} states), below its {}: expect about {} \
                     flashes per minute, the sign of a lamp out.",
                    flasher.min_a,
                    2 * flasher.per_minute
                ),
            ),
            _ => (
                Severity::Fault,
                format!(
                    "{id} carries {amps} A with {state} ({count} states), above its {}: use a unit for \
                     this load.",
                    flasher.max_a
                ),
            ),
        };
        let source = "SAE J945 and J590 flasher classes; fixed-load behaviour from memory";
        let about = vec![id.to_string()];
        out.push(Finding::new(&CHECK, severity, about, text, source));
    }
}
