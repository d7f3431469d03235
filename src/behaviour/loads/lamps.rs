//! The rows of the table in which a lamp circuit is looked at: lowest by each way it is lit, and brightest.

use crate::behaviour::{Row, Table};
use crate::circuit::State;
use crate::plan::Show;

/// Below this share of its brightest a circuit burns in another duty (dimmed through a resistor).
const SAME_DUTY: f64 = 0.5;
/// Most ways to light a circuit that are looked at.
const MAX_WAYS: usize = 8;

/// States as codes of four bits a control, so that they are compared at once; empty where a control has more positions or
/// there are too many.
pub(super) struct Codes(Vec<u128>);

impl Codes {
    pub fn new(table: &Table) -> Self {
        let code = |row: &Row| {
            let positions = &row.state.0;
            let fits = positions.len() <= 32 && positions.iter().all(|&p| p < 16);
            fits.then(|| {
                positions
                    .iter()
                    .rev()
                    .fold(0_u128, |code, &p| code << 4 | u128::from(p))
            })
        };
        let codes: Option<Vec<u128>> = table.rows.iter().map(code).collect();
        Self(codes.unwrap_or_default())
    }

    /// Whether all controls that are moved in row `part` stand the same in row `row`.
    fn holds(&self, table: &Table, row: usize, part: usize) -> bool {
        /// The lowest bit of each control.
        const LOW: u128 = u128::MAX / 15;
        match (self.0.get(row), self.0.get(part)) {
            (Some(&state), Some(&part)) => {
                let moved = (part | part >> 1 | part >> 2 | part >> 3) & LOW;
                (state ^ part) & (moved * 15) == 0
            }
            _ => holds(&table.rows[row].state, &table.rows[part].state),
        }
    }
}

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
pub(super) fn lowest(table: &Table, codes: &Codes, lamp: usize) -> Vec<usize> {
    let mut lit: Vec<(usize, f64)> = Vec::new();
    let mut best = 0.0_f64;
    for (i, row) in table.rows.iter().enumerate() {
        let Some(cell) = row.cells.get(lamp) else {
            continue;
        };
        let level = cell.on.level.max(cell.off.level);
        if level > 0.0 && matches!(cell.wish, Show::Steady | Show::Flashing) {
            lit.push((i, level));
            best = best.max(level);
        }
    }
    // Each way with the lowest row that it alone lights. Rows come with the fewest controls moved first, so a way is known
    // before the rows that hold it, and of equal levels the first row stays.
    let mut ways: Vec<(usize, Option<(usize, f64)>)> = Vec::new();
    let mut lowest: Option<(usize, f64)> = None;
    let below =
        |level: f64, least: &Option<(usize, f64)>| least.is_none_or(|(_, known)| level < known);
    for &(row, level) in &lit {
        if level < SAME_DUTY * best {
            continue;
        }
        if below(level, &lowest) {
            lowest = Some((row, level));
        }
        let (mut held, mut by) = (0, 0);
        for (i, &(way, _)) in ways.iter().enumerate() {
            if codes.holds(table, row, way) {
                (held, by) = (held + 1, i);
            }
        }
        if held == 0 && ways.len() < MAX_WAYS {
            ways.push((row, None));
            (held, by) = (1, ways.len() - 1);
        }
        if held == 1 && below(level, &ways[by].1) {
            ways[by].1 = Some((row, level));
        }
    }
    let mut found: Vec<usize> = lowest.iter().map(|&(row, _)| row).collect();
    for (way, least) in ways {
        let row = least.map_or(way, |(row, _)| row);
        if !found.contains(&row) {
            found.push(row);
        }
    }
    found
}

/// The row in which a lamp circuit has most volts.
pub(super) fn brightest(table: &Table, lamp: usize) -> usize {
    let mut best = (0, f64::NEG_INFINITY);
    for (i, row) in table.rows.iter().enumerate() {
        let volts = row.cells.get(lamp).map_or(0.0, |cell| cell.bright().volts);
        if volts > best.1 {
            best = (i, volts);
        }
    }
    best.0
}
