//! What no diode can do, and why.

use super::search::{Failure, Fault, Search, Uncut};
use super::trial::{against, spot};
use crate::behaviour::{Cell, Verdict};
use crate::hitting::Bits;
use crate::units::order::Order;

impl Search<'_, '_> {
    /// Whether a back-fed or masked circuit burns for what is wished of it in another state; notes it if so.
    pub fn is_forced(&mut self, row: usize, lamp: usize, cell: &Cell) -> bool {
        let bright = usize::from(cell.off.level > cell.on.level);
        let (kind, phase) = match cell.verdict {
            Verdict::BackFed => (Fault::BackFed, bright),
            _ => (Fault::Masked, 1 - bright),
        };
        let Some(by) = self.forced.by(row, phase, lamp) else {
            return false;
        };
        let steady = &self.bare.rows[by].cells[lamp];
        if kind == Fault::Masked && !self.hides(row, lamp, steady) {
            return false;
        }
        self.beyond_diodes(Failure { row, lamp, kind }, &self.nothing());
        true
    }

    /// Whether a failure stays with every open spot taken, so that no diode mends it; notes it if so.
    pub fn has_no_cure(&mut self, failure: Failure) -> bool {
        if self.hopeless.contains(&(failure.row, failure.lamp)) {
            return true;
        }
        let all = self.open.clone();
        if self.holds_with_all(failure, &all) {
            self.no_diode_mends(failure, &all);
            return true;
        }
        false
    }

    /// The same with all open spots taken, which is asked for one circuit of a row after the other.
    fn holds_with_all(&mut self, failure: Failure, all: &Bits) -> bool {
        let Failure { row, lamp, kind } = failure;
        if matches!(kind, Fault::Drained | Fault::Dimmed) {
            return self.holds(failure, all);
        }
        let known = matches!(&self.with_all, Some((at, set, _)) if *at == row && set == all);
        if !known {
            self.with_all = Some((row, all.clone(), self.cells(row, all, false)));
        }
        let Some(cell) = self
            .with_all
            .as_ref()
            .and_then(|(.., cells)| cells.get(lamp))
        else {
            return false;
        };
        match kind {
            Fault::Masked => cell.verdict == Verdict::Masked && self.hides(row, lamp, cell),
            Fault::Overdriven => cell.verdict == Verdict::Overdriven,
            _ => cell.verdict == Verdict::BackFed,
        }
    }

    /// Notes that a failure, which is there with a set that no cure exceeds, is beyond diodes.
    pub fn no_diode_mends(&mut self, failure: Failure, set: &Bits) {
        self.hopeless.insert((failure.row, failure.lamp));
        self.beyond_diodes(failure, set);
    }

    /// Keeps the way of a current that no diode can stop, as it runs with a set, once for every circuit.
    fn beyond_diodes(&mut self, failure: Failure, set: &Bits) {
        let verdict = match failure.kind {
            Fault::BackFed => Verdict::BackFed,
            Fault::Masked | Fault::Dimmed => Verdict::Masked,
            Fault::Overdriven => Verdict::Overdriven,
            Fault::Drained => Verdict::Weak,
        };
        if !self.noted.insert((failure.lamp, verdict)) {
            return;
        }
        let cells = self.cells(failure.row, set, false);
        let way = self.way(failure, &cells);
        let Some(path) = way.and_then(|(phase, lamp)| self.trial.path(phase, lamp)) else {
            return;
        };
        let mut reasons = Vec::new();
        for spot_number in against(&self.runs, &path) {
            let together = self
                .starving
                .iter()
                .find(|(set, _)| set.contains(spot_number));
            // Where it does no harm alone, it does once it stops the current for good.
            let starved = self.harm[spot_number].or(together.map(|(_, lamp)| *lamp));
            let place = self.runs.placement(self.plan, spot(spot_number));
            let starved = starved.unwrap_or(failure.lamp);
            reasons.push((place, self.bare.lamps[starved].clone()));
        }
        reasons.order();
        reasons.dedup();
        self.uncut.push(Uncut {
            lamp: self.bare.lamps[failure.lamp].clone(),
            verdict,
            state: self.bare.rows[failure.row].state.clone(),
            path: path.words(self.plan),
            reasons,
        });
    }
    /// The phase and the lamp circuit by which the way of a failure's current is followed in the state solved last.
    pub fn way(&self, failure: Failure, cells: &[Cell]) -> Option<(usize, usize)> {
        let cell = &cells[failure.lamp];
        let bright = usize::from(cell.off.level > cell.on.level);
        match failure.kind {
            Fault::BackFed | Fault::Overdriven => Some((bright, failure.lamp)),
            Fault::Masked | Fault::Dimmed => Some((1 - bright, failure.lamp)),
            Fault::Drained => {
                let (lamp, phase) = self.trial.drain(cells)?;
                Some((phase, lamp))
            }
        }
    }
}
