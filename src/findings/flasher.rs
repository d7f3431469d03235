//! Load of the flasher against its window, and the rate to expect.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, state_words};
use crate::behaviour::{Tick, Verdict};
use crate::plan::{Flasher, FlasherAction, Kind};
use crate::units::{Amps, significant};
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
    for ((index, kind), (row, amps, count)) in first {
        let Some(part) = plan.parts.get(index) else {
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
                     closed and the lamps burn steadily. Use an electronic unit. A load resistor of 6 Ω and 50 W \
                     across a lamp of each side does too, but gives off 30 W.",
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
        let limit = if kind == 2 {
            flasher.max_a
        } else {
            flasher.min_a
        };
        out.push(
            Finding::new(&CHECK, severity, about, text, source)
                .measured(format!("{amps} A"), limit.to_string())
                .cured_by([fitting(evidence, index, flasher, kind == 0)]),
        );
    }
}

/// A unit whose window holds every load from a low to a charging battery; electronic where the load is small.
fn fitting(evidence: &Evidence, part: usize, flasher: &Flasher, small: bool) -> Option<Remedy> {
    /// Room below the smallest and above the largest load.
    const ROOM: f64 = 0.1;
    let load = evidence.loads.flashers.iter().find(|l| l.part == part)?;
    let round = |value: f64| Amps::of(significant(value).parse().unwrap_or(value));
    let least = round((1.0 - ROOM) * load.least_low.min(load.least.value));
    let most = round((1.0 + ROOM) * load.most_charging.value);
    let action = if small {
        FlasherAction::Electronic
    } else {
        flasher.action
    };
    let unit = Flasher {
        action,
        min_a: flasher.min_a.min(least),
        max_a: flasher.max_a.max(most),
        ..flasher.clone()
    };
    let principle = match action {
        FlasherAction::Electronic => "an electronic",
        FlasherAction::Thermal => "a thermal",
    };
    let title = format!(
        "Take {principle} unit made for {} to {}",
        unit.min_a, unit.max_a
    );
    remedy::part(evidence.plan, part, title, Kind::Flasher(unit))
}
