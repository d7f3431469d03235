//! What a failing trial teaches.
//!
//! A cell that fails for want of a diode: the set is grown by every spot with which the cell still fails just so.
//! Whatever cures the cell holds one of the spots that are left: that is a clause. A cell that fails because diodes
//! stand in its feed: the set is shrunk while the cell still starves. No cure holds what is left whole: that is an
//! exclusion.

use super::rows;
use super::search::{Failure, Fault, Search};
use super::trial::against;
use crate::behaviour::{Cell, Table, Verdict};
use crate::hitting::Bits;
use crate::units::order::OrdSet;

/// Rows that teach nothing after which a trial that has taught something ends.
const IDLE_ROWS: usize = 12;
/// Rows that a trial is let fail in before the next.
const TEACHING_ROWS: usize = 6;
/// Rows with failures that are taken from one table.
const ROWS_AT_ONCE: usize = 12;

impl Search<'_, '_> {
    pub fn cells(&mut self, row: usize, set: &Bits, only_wished: bool) -> Vec<Cell> {
        self.trial
            .cells(&self.bare.rows[row].state, set, only_wished)
    }

    pub fn nothing(&self) -> Bits {
        Bits::new(self.trial.spots())
    }

    pub fn one(&self, spot: usize) -> Bits {
        let mut set = self.nothing();
        set.insert(spot);
        set
    }

    /// Chooses the rows in which sets are tried: the first for every way of every current that fails, unless no diode
    /// can mend it.
    pub fn find_critical(&mut self) {
        let bare = self.bare;
        let signature = |row: usize, lamp: usize| {
            let mut spots = self.nothing();
            if let Some(path) = bare.path(row, lamp) {
                against(&self.runs, path).for_each(|spot| spots.insert(spot));
            }
            spots
        };
        let cells = rows::first_of_each(bare, signature);
        let mut critical = OrdSet::new();
        for (row, lamp) in cells {
            let cell = &bare.rows[row].cells[lamp];
            let found = self.failure(row, lamp, cell, &self.nothing());
            if let Some(Ok(failure)) = found
                && !self.has_no_cure(failure)
            {
                critical.insert(row);
            }
        }
        self.critical = critical.into_iter().collect();
    }

    /// What is wrong with a cell of a set's row: a failure for want of a diode, or (`Err`) one for too many.
    fn failure(
        &mut self,
        row: usize,
        lamp: usize,
        cell: &Cell,
        set: &Bits,
    ) -> Option<Result<Failure, ()>> {
        if self.hopeless.contains(&(row, lamp)) {
            return None;
        }
        let kind = match cell.verdict {
            Verdict::AsWished => return None,
            Verdict::BackFed | Verdict::Masked if self.is_forced(row, lamp, cell) => return None,
            Verdict::BackFed => Fault::BackFed,
            Verdict::Masked if self.hides(row, lamp, cell) => Fault::Masked,
            Verdict::Masked if !self.starves(cell) => Fault::Dimmed,
            _ if self.is_excused(row, lamp) => return None,
            Verdict::Overdriven => Fault::Overdriven,
            Verdict::Dead | Verdict::Weak | Verdict::Masked => {
                if self.starves_alone(row, lamp, set) {
                    return Some(Err(()));
                }
                Fault::Drained
            }
        };
        Some(Ok(Failure { row, lamp, kind }))
    }

    /// Whether the steady light of a masked cell would hide the flash even if that lost nothing to diodes: then a diode
    /// less would not bring it out.
    pub fn hides(&self, row: usize, lamp: usize, cell: &Cell) -> bool {
        let flash = self.bare.rows[row].cells[lamp].bright().level;
        cell.dark().level * self.plan.settings.flash_ratio.get() > flash
    }

    /// Whether a failure is there with a set too.
    pub fn holds(&mut self, failure: Failure, set: &Bits) -> bool {
        let Failure { row, lamp, kind } = failure;
        let cell = self.cells(row, set, false)[lamp];
        match kind {
            Fault::BackFed => cell.verdict == Verdict::BackFed,
            Fault::Masked => cell.verdict == Verdict::Masked && self.hides(row, lamp, &cell),
            Fault::Dimmed => cell.verdict == Verdict::Masked && !self.starves(&cell),
            Fault::Overdriven => cell.verdict == Verdict::Overdriven,
            Fault::Drained => self.starves(&cell) && !self.starves_alone(row, lamp, set),
        }
    }

    /// Learns of one failure after the other in the critical rows, each time taking all spots of the new clause, so that
    /// clauses have nothing in common; whether anything was learnt. Otherwise `thin` gets the rows in which a wish starves.
    pub fn learn_apart(&mut self, set: &Bits, thin: &mut Vec<usize>) -> bool {
        let mut set = set.clone();
        let mut learnt = false;
        let mut idle = 0;
        for at in 0..self.critical.len() {
            if learnt && idle == IDLE_ROWS {
                break;
            }
            idle += 1;
            let row = self.critical[at];
            'again: loop {
                let cells = self.cells(row, &set, false);
                for (lamp, cell) in cells.iter().enumerate() {
                    if self.starves(cell) {
                        if thin.last() != Some(&row) {
                            thin.push(row);
                        }
                        continue;
                    }
                    if let Some(Ok(failure)) = self.failure(row, lamp, cell, &set) {
                        match self.demand(failure, &set) {
                            Some(clause) => {
                                set.add(&clause);
                                learnt = true;
                                idle = 0;
                                // What taught comes first next time.
                                self.critical[..=at].rotate_right(1);
                                continue 'again;
                            }
                            None => continue,
                        }
                    }
                }
                break;
            }
        }
        learnt
    }

    /// Learns from some of these rows and those of the sample in which a set fails; whether anything was.
    pub fn learn_rows(&mut self, set: &Bits, mut rows: Vec<usize>) -> bool {
        let seen: OrdSet<usize> = self.critical.iter().copied().collect();
        rows.extend(self.sample.iter().filter(|row| !seen.contains(row)));
        let mut taught = 0;
        for row in rows {
            taught += usize::from(self.learn_row(set, row));
            if taught == TEACHING_ROWS {
                break;
            }
        }
        taught > 0
    }

    /// Learns all that a set fails at in a row; whether anything was learnt.
    pub fn learn_row(&mut self, set: &Bits, row: usize) -> bool {
        let cells = self.cells(row, set, false);
        let mut learnt = false;
        // Circuits that starve for what was learnt of another.
        let mut explained = Bits::new(cells.len());
        for (lamp, cell) in cells.iter().enumerate() {
            if explained.contains(lamp) {
                continue;
            }
            match self.failure(row, lamp, cell, set) {
                None => {}
                Some(Ok(failure)) => learnt |= self.demand(failure, set).is_some(),
                Some(Err(())) => {
                    if let Some(starving) = self.exclude(row, lamp, set) {
                        learnt = true;
                        for (lamp, cell) in self.cells(row, &starving, true).iter().enumerate() {
                            if self.starves(cell) {
                                explained.insert(lamp);
                            }
                        }
                    }
                }
            }
        }
        learnt
    }

    /// Rows of a set's own table in which something is left that a diode might mend.
    pub fn left_in(&mut self, set: &Bits, table: &Table) -> Vec<usize> {
        let mut rows = Vec::new();
        for (at, row) in table.rows.iter().enumerate() {
            let mut left = false;
            for (lamp, cell) in row.cells.iter().enumerate() {
                left |= match self.failure(at, lamp, cell, set) {
                    None => false,
                    Some(Ok(failure)) => !self.has_no_cure(failure),
                    Some(Err(())) => true,
                };
            }
            if left {
                rows.push(at);
                if rows.len() == ROWS_AT_ONCE {
                    break;
                }
            }
        }
        rows
    }

    /// The clause of a failure; `None` where no diode mends it, which is noted.
    fn demand(&mut self, failure: Failure, set: &Bits) -> Option<Bits> {
        if self.has_no_cure(failure) {
            return None;
        }
        self.watch.step();
        // Solved once more, since the way of the current is read off the state solved last.
        let cells = self.cells(failure.row, set, false);
        let mut opposed = self.nothing();
        if let Some((phase, lamp)) = self.way(failure, &cells)
            && let Some(path) = self.trial.path(phase, lamp)
        {
            against(&self.runs, &path).for_each(|spot| opposed.insert(spot));
        }
        let mut grown = set.clone();
        let free: Vec<usize> = self.open.without(set).without(&opposed).iter().collect();
        self.grow(failure, &mut grown, &free);
        for spot in self
            .open
            .without(set)
            .iter()
            .filter(|&spot| opposed.contains(spot))
        {
            self.grow(failure, &mut grown, &[spot]);
        }
        let clause = self.open.without(&grown);
        if failure.kind == Fault::Dimmed {
            // One diode less in the way of the flash might do as well.
            self.sure = false;
        }
        self.why.insert(clause.clone(), failure);
        self.hitting.demand(clause.clone());
        Some(clause)
    }

    /// Adds to a set as many of the spots as leave the failure there, all at once if they do.
    fn grow(&mut self, failure: Failure, grown: &mut Bits, spots: &[usize]) {
        if spots.is_empty() {
            return;
        }
        let mut more = grown.clone();
        spots.iter().for_each(|&spot| more.insert(spot));
        if self.holds(failure, &more) {
            *grown = more;
        } else if spots.len() > 1 {
            let (a, b) = spots.split_at(spots.len() / 2);
            self.grow(failure, grown, a);
            self.grow(failure, grown, b);
        }
    }
}
