//! Rows of the behaviour table that stand for the others while sets are tried.

use crate::behaviour::{Table, Verdict};
use crate::plan::Show;
use std::collections::BTreeSet;

/// First rows looked at in every trial: the controls at rest, alone and mostly in pairs.
const FIRST: usize = 96;

/// Rows in which every wish is met with, and those with the fewest and with the most controls moved.
pub(super) fn sample(table: &Table) -> Vec<usize> {
    let rows = table.rows.len();
    let mut sample: BTreeSet<usize> = (0..rows.min(FIRST)).collect();
    sample.extend(most_moved(table));
    let mut met = BTreeSet::new();
    for (at, row) in table.rows.iter().enumerate() {
        for (lamp, cell) in row.cells.iter().enumerate() {
            let wished = matches!(cell.wish, Show::Steady | Show::Flashing);
            if wished && met.insert((lamp, cell.ruled_by)) {
                sample.insert(at);
            }
        }
    }
    sample.into_iter().collect()
}

/// Rows in which light is compared: each control moved alone, and nearly all of them.
pub(super) fn bright_and_loaded(table: &Table) -> Vec<usize> {
    let single = |&row: &usize| table.rows[row].state.moved() <= 1;
    let mut rows: BTreeSet<usize> = (0..table.rows.len()).filter(single).collect();
    rows.extend(most_moved(table));
    rows.into_iter().collect()
}

/// Rows with all controls moved or all but one, the last position of each.
fn most_moved(table: &Table) -> impl Iterator<Item = usize> + '_ {
    let controls = table.controls.len();
    let tops: Vec<u8> = (0..controls)
        .map(|c| {
            let at = |row: &crate::behaviour::Row| row.state.0.get(c).copied().unwrap_or(0);
            table.rows.iter().map(at).max().unwrap_or(0)
        })
        .collect();
    let many = move |&row: &usize| {
        let state = &table.rows[row].state.0;
        let low = state
            .iter()
            .zip(&tops)
            .filter(|(at, top)| at != top)
            .count();
        low <= 1
    };
    (0..table.rows.len()).filter(many)
}

/// The first row of every lamp circuit, verdict and way of its current among the cells that are not as wished; the way
/// is told apart by `signature`.
pub(super) fn first_of_each<K: Ord>(
    table: &Table,
    signature: impl Fn(usize, usize) -> K,
) -> Vec<(usize, usize)> {
    let mut met = BTreeSet::new();
    let mut cells = Vec::new();
    for (row, listed) in table.rows.iter().enumerate() {
        for (lamp, cell) in listed.cells.iter().enumerate() {
            if cell.verdict != Verdict::AsWished
                && met.insert((lamp, cell.verdict, signature(row, lamp)))
            {
                cells.push((row, lamp));
            }
        }
    }
    cells
}
