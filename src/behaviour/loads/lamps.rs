//! The rows of the table in which a lamp circuit is looked at: lowest by each way it is lit, and brightest.

use crate::behaviour::{Row, Table};
use crate::circuit::State;
use crate::plan::Show;

/// Below this share of its brightest a circuit burns in another duty (dimmed through a resistor).
const SAME_DUTY: f64 = 0.5;
/// Most ways to light a circuit that are looked at.
const MAX_WAYS: usize = 8;

/// Whether all controls that are moved in `part` stand the same in `state`.
fn holds(state: &State, part: &State) -> bool {
    let moved = part
        .0
        .iter()
        .enumerate()
        .filter(|&(_, &position)| position != 0);
    moved
        .into_iter()
        .all(|(control, &position)| state.position(control) == position as usize)
}

/// For each least combination of controls under which a lamp circuit is wished and lit, the row with that and no other
/// such combination in which it is lowest; the lowest of all rows first.
///
/// Each way to light a circuit leads through other wires, and the row with the most other load takes most volts.
pub(super) fn lowest(table: &Table, lamp: usize) -> Vec<usize> {
    let level = |row: &Row| {
        let cell = row.cells.get(lamp)?;
        matches!(cell.wish, Show::Steady | Show::Flashing).then(|| cell.bright().level)
    };
    let lit: Vec<(usize, f64)> = {
        let rows = table.rows.iter().enumerate();
        let lit: Vec<_> = rows.filter_map(|(i, row)| Some((i, level(row)?))).collect();
        let best = lit.iter().map(|&(_, level)| level).fold(0.0, f64::max);
        lit.into_iter()
            .filter(|&(_, level)| level > 0.0 && level >= SAME_DUTY * best)
            .collect()
    };
    let state = |row: usize| &table.rows[row].state;
    // Rows come with the fewest controls moved first, so a way is known before the rows that hold it.
    let mut ways: Vec<usize> = Vec::new();
    for &(row, _) in &lit {
        if ways.len() < MAX_WAYS && !ways.iter().any(|&way| holds(state(row), state(way))) {
            ways.push(row);
        }
    }
    let lowest_of = |rows: &mut dyn Iterator<Item = (usize, f64)>| {
        rows.min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
            .map(|(row, _)| row)
    };
    let mut found: Vec<usize> = lowest_of(&mut lit.iter().copied()).into_iter().collect();
    for &way in &ways {
        let alone = |&(row, _): &(usize, f64)| {
            let others = ways.iter().filter(|&&other| other != way);
            holds(state(row), state(way))
                && !others.into_iter().any(|&o| holds(state(row), state(o)))
        };
        let row = lowest_of(&mut lit.iter().copied().filter(alone)).unwrap_or(way);
        if !found.contains(&row) {
            found.push(row);
        }
    }
    found
}

/// The row in which a lamp circuit has most volts.
pub(super) fn brightest(table: &Table, lamp: usize) -> usize {
    let level = |row: &Row| row.cells.get(lamp).map_or(0.0, |c| c.bright().volts);
    let rows = table.rows.iter().enumerate();
    rows.max_by(|a, b| level(a.1).total_cmp(&level(b.1)).then(b.0.cmp(&a.0)))
        .map_or(0, |(row, _)| row)
}
