//! Two behaviour tables side by side: a plan before and after an edit.
//!
//! States are matched by the identities of their controls, lamp circuits by theirs, so that an edit may add or
//! take out either. A control that one plan lacks counts as at rest there.

use super::{Cell, State, Table};
use crate::plan::LampId;
use crate::units::order::OrdMap;

/// A state in both plans.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// The state, by the controls of the later plan.
    pub state: State,
    /// Lamp circuits of the later plan, then those only the earlier one has.
    pub cells: Vec<CellPair>,
}

/// A lamp circuit in one state of both plans.
#[derive(Debug, Clone, PartialEq)]
pub struct CellPair {
    /// Which one.
    pub lamp: LampId,
    /// Before; `None` where the earlier plan has no such state or circuit.
    pub before: Option<Cell>,
    /// After; `None` where the later plan has no such circuit.
    pub after: Option<Cell>,
}

impl CellPair {
    /// Whether what is seen, what is wished or the verdict differs; shades of light do not count.
    pub fn differs(&self) -> bool {
        let told = |cell: &Cell| (cell.shows, cell.wish, cell.verdict);
        self.before.as_ref().map(told) != self.after.as_ref().map(told)
    }
}

impl Pair {
    /// Whether any of its cells differs.
    pub fn differs(&self) -> bool {
        self.cells.iter().any(CellPair::differs)
    }
}

/// Every state of the later table beside the same state of the earlier one.
pub fn compare(before: &Table, after: &Table) -> Vec<Pair> {
    let rows: OrdMap<&[u8], usize> = before
        .rows
        .iter()
        .enumerate()
        .map(|(i, row)| (row.state.0.as_slice(), i))
        .collect();
    let was: Vec<Option<usize>> = after
        .lamps
        .iter()
        .map(|lamp| before.lamps.iter().position(|known| known == lamp))
        .collect();
    let gone: Vec<usize> = (0..before.lamps.len())
        .filter(|&i| !after.lamps.contains(&before.lamps[i]))
        .collect();
    let place: Vec<Option<usize>> = before
        .controls
        .iter()
        .map(|control| after.controls.iter().position(|known| known == control))
        .collect();
    let fresh: Vec<usize> = (0..after.controls.len())
        .filter(|&i| !before.controls.contains(&after.controls[i]))
        .collect();
    let pair = |row: &super::Row| {
        let old: Vec<u8> = place
            .iter()
            .map(|at| at.and_then(|at| row.state.0.get(at).copied()).unwrap_or(0))
            .collect();
        let rests = fresh
            .iter()
            .all(|&control| row.state.position(control) == 0);
        let old = rows.get(old.as_slice()).filter(|_| rests);
        let old = old.map(|&i| &before.rows[i]);
        let cell = |lamp: usize| old.and_then(|row| row.cells.get(lamp).copied());
        let kept = row.cells.iter().enumerate().map(|(i, now)| CellPair {
            lamp: after.lamps[i].clone(),
            before: was[i].and_then(cell),
            after: Some(*now),
        });
        let lost = gone.iter().map(|&i| CellPair {
            lamp: before.lamps[i].clone(),
            before: cell(i),
            after: None,
        });
        Pair {
            state: row.state.clone(),
            cells: kept.chain(lost).collect(),
        }
    };
    after.rows.iter().map(pair).collect()
}
