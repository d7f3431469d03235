//! Words that several checks share: names of lamps, parts and states, lists, shares of light.

use super::state_words;
use crate::behaviour::{Origin, Table};
use crate::plan::{Part, Plan};
use crate::text::say;
use crate::units::significant;

/// `a`, `a and b`, `a, b and c`.
pub(super) fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => say!("{} and {last}", first.join(", ")),
    }
}

/// `a`, `a or b`, `a, b or c`.
pub(super) fn or(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => say!("{} or {last}", first.join(", ")),
    }
}

/// A share of light in percent.
pub(super) fn percent(level: f64) -> String {
    format!("{} %", significant(100.0 * level))
}

/// A lamp circuit by its identity and what people call it: `E3.major (Rear left, major)`.
pub(super) fn lamp_name(plan: &Plan, table: &Table, lamp: usize) -> String {
    let Some(id) = table.lamps.get(lamp) else {
        return "?".into();
    };
    let circuits = plan.lamp_circuits();
    let label = circuits.into_iter().find(|l| l.id == *id).map(|l| l.label);
    format!("{id} ({})", label.unwrap_or_default())
}

/// Several lamp circuits by their identities.
pub(super) fn lamp_ids(table: &Table, lamps: &[usize]) -> Vec<String> {
    lamps
        .iter()
        .filter_map(|&lamp| table.lamps.get(lamp))
        .map(ToString::to_string)
        .collect()
}

/// A part by kind, designation and label.
pub(super) fn part_name(plan: &Plan, part: usize) -> String {
    plan.parts
        .get(part)
        .map_or_else(|| "?".into(), Part::with_kind)
}

/// The designation of a part.
pub(super) fn part_id(plan: &Plan, part: usize) -> String {
    plan.parts
        .get(part)
        .map_or_else(|| "?".into(), |part| part.id.to_string())
}

/// The designation of the wire or part a branch came from.
pub(super) fn origin_id(plan: &Plan, origin: Origin) -> String {
    match origin {
        Origin::Wire(wire) => plan
            .wires
            .get(wire)
            .map_or_else(|| "?".into(), |wire| wire.id.to_string()),
        Origin::Part { part, .. } => part_id(plan, part),
    }
}

/// The state of a row in words; in the pauses of the flasher it says so.
pub(super) fn row_words(plan: &Plan, table: &Table, row: usize, phase: usize) -> String {
    let Some(row) = table.rows.get(row) else {
        return "?".into();
    };
    let words = state_words(plan, &row.state);
    if phase == 1 {
        say!("{words}, in the pause of the flasher")
    } else {
        words
    }
}
