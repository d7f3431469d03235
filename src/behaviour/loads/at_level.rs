//! Rows of the table solved again with the battery at another level, each when it is first asked for.

use crate::behaviour::{Analyser, Cell, Outcome, Reading, Table};
use crate::plan::Plan;
use crate::units::order::OrdMap;

/// Rows of a plan at another level of its battery, solved when they are asked for.
pub(super) struct Solved<'a> {
    analyser: Analyser<'a>,
    table: &'a Table,
    rows: OrdMap<usize, Outcome>,
    cells: OrdMap<usize, Vec<Cell>>,
}

impl<'a> Solved<'a> {
    pub fn new(plan: &'a Plan, table: &'a Table) -> Self {
        Self {
            analyser: Analyser::new(plan, &[]),
            table,
            rows: OrdMap::new(),
            cells: OrdMap::new(),
        }
    }

    pub fn row(&mut self, row: usize) -> Option<&Outcome> {
        let state = &self.table.rows.get(row)?.state;
        let analyser = &mut self.analyser;
        Some(
            self.rows
                .entry(row)
                .or_insert_with(|| analyser.solve(state)),
        )
    }

    pub fn amps(&mut self, row: usize, branch: usize) -> (f64, f64) {
        let at = |amps: &[f64]| amps.get(branch).copied().unwrap_or(0.0).abs();
        self.row(row)
            .map_or((0.0, 0.0), |o| (at(&o.on.amps), at(&o.off.amps)))
    }

    pub fn peak(&mut self, row: usize, branch: usize) -> f64 {
        let (on, off) = self.amps(row, branch);
        on.max(off)
    }

    pub fn heat(&mut self, row: usize, branch: usize) -> f64 {
        let (on, off) = self.amps(row, branch);
        libm::sqrt((on * on + off * off) / 2.0)
    }

    pub fn flasher(&mut self, row: usize, part: usize) -> f64 {
        self.row(row)
            .and_then(|o| o.flashers.iter().find(|run| run.part == part))
            .map_or(0.0, |run| run.amps)
    }

    pub fn reading(&mut self, row: usize, lamp: usize) -> Reading {
        if !self.cells.contains_key(&row) {
            let Some(state) = self.table.rows.get(row).map(|r| r.state.clone()) else {
                return Reading::default();
            };
            let Some(outcome) = self.row(row).cloned() else {
                return Reading::default();
            };
            let cells = self.analyser.cells(&state, &outcome);
            self.cells.insert(row, cells);
        }
        let cell = self.cells.get(&row).and_then(|cells| cells.get(lamp));
        cell.map_or_else(Reading::default, Cell::bright)
    }

    /// Volts along a coil; where the relay did not pull in at this level, what reaches it there.
    pub fn coil(&mut self, row: usize, branch: usize, planned: Option<&Outcome>) -> f64 {
        let (from, to) = match self.analyser.circuit().branches.get(branch) {
            Some(coil) => (coil.from, coil.to),
            None => return 0.0,
        };
        let off_counts = planned.is_some_and(|o| o.on != o.off);
        self.row(row).map_or(0.0, |o| {
            let on = o.on.across(from, to).abs();
            let off = o.off.across(from, to).abs();
            if off_counts && off > 0.0 {
                on.min(off)
            } else {
                on
            }
        })
    }
}
