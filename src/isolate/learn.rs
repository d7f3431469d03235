//! What a failing trial teaches.
//!
//! A cell that fails for want of a diode: the set is grown by every spot with which the cell still fails just so.
//! Whatever cures the cell holds one of the spots that are left: that is a clause. A cell that fails because diodes
//! stand in its feed: the set is shrunk while the cell still starves, with all that should be dark taken out. No cure
//! holds what is left whole: that is an exclusion.

use super::bits::Bits;
use super::rows;
use super::search::{Failure, Fault, Search, Uncut};
use super::trial::{against, spot};
use crate::behaviour::{Cell, Table, Verdict};
use std::collections::BTreeSet;

/// Current that a diode must stop for its spot to be tried for harm.
const HARM_AMPS: f64 = 0.01;
/// Rows in which a spot is tried for harm.
const HARM_ROWS: usize = 12;
/// Rows that a trial is let fail in before the next.
const TEACHING_ROWS: usize = 6;
/// Rows with failures that are taken from one table.
const ROWS_AT_ONCE: usize = 12;

impl Search<'_, '_> {
    fn cells(&mut self, row: usize, set: &Bits, only_wished: bool) -> Vec<Cell> {
        self.trial
            .cells(&self.bare.rows[row].state, set, only_wished)
    }

    /// Whether a circuit has too little light of its own: dead, weak, or a flash too low to be one.
    fn starves(&self, cell: &Cell) -> bool {
        match cell.verdict {
            Verdict::Dead | Verdict::Weak => true,
            Verdict::Masked => cell.bright().level < self.plan.settings.dim.get(),
            _ => false,
        }
    }

    /// The same where nothing drains its feed.
    fn starves_alone(&mut self, row: usize, lamp: usize, set: &Bits) -> bool {
        let cell = self.cells(row, set, true)[lamp];
        self.starves(&cell)
    }

    fn nothing(&self) -> Bits {
        Bits::new(self.trial.spots())
    }

    fn one(&self, spot: usize) -> Bits {
        let mut set = self.nothing();
        set.insert(spot);
        set
    }

    /// Whether a wished circuit is bad though nothing drains its feed and no diode stands in it: no cut mends that.
    fn is_excused(&mut self, row: usize, lamp: usize) -> bool {
        if !self.excused.contains_key(&row) {
            let cells = self.cells(row, &self.nothing(), true);
            let mut bad = Bits::new(cells.len());
            for (lamp, cell) in cells.iter().enumerate() {
                if cell.verdict == Verdict::Overdriven || self.starves(cell) {
                    bad.insert(lamp);
                }
            }
            self.excused.insert(row, bad);
        }
        self.excused.get(&row).is_some_and(|bad| bad.contains(lamp))
    }

    /// Tries each spot alone in the rows of the sample in which it stops a current, first those with few controls moved.
    pub fn find_harm(&mut self) {
        let nothing = self.nothing();
        let spots = self.trial.spots();
        // For each spot the rows in which current runs against it, and the one in which most runs along it.
        let mut stopped: Vec<Vec<usize>> = vec![Vec::new(); spots];
        let mut most: Vec<Option<(f64, usize)>> = vec![None; spots];
        for row in self.sample.clone() {
            self.cells(row, &nothing, true);
            for run in 0..spots / 2 {
                let [on, off] = self.trial.along(run);
                for (amps, along) in [(on.max(off), 0), (-on.min(off), 1)] {
                    if amps < HARM_AMPS {
                        continue;
                    }
                    stopped[2 * run + 1 - along].push(row);
                    let most = &mut most[2 * run + along];
                    if most.is_none_or(|(known, _)| amps > known * (1.0 + 1e-6)) {
                        *most = Some((amps, row));
                    }
                }
            }
        }
        for spot in 0..spots {
            self.watch.step();
            let rows = stopped[spot].iter().copied().take(HARM_ROWS);
            let set = self.one(spot);
            for row in rows.chain(most[spot].map(|(_, row)| row)) {
                let cells = self.cells(row, &set, true);
                let bad = |lamp: &usize| self.starves(&cells[*lamp]);
                let bad: Vec<usize> = (0..cells.len()).filter(bad).collect();
                let harmed = bad.into_iter().find(|&lamp| !self.is_excused(row, lamp));
                if let Some(lamp) = harmed {
                    self.harms(spot, lamp);
                    break;
                }
            }
        }
    }

    fn harms(&mut self, spot: usize, lamp: usize) {
        self.harm[spot] = Some(lamp);
        self.open.remove(spot);
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
        let mut critical = BTreeSet::new();
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

    /// Whether a failure stays with every open spot taken, so that no diode mends it; notes it if so.
    fn has_no_cure(&mut self, failure: Failure) -> bool {
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

    /// Whether a back-fed or masked circuit burns for what is wished of it in another state; notes it if so.
    fn is_forced(&mut self, row: usize, lamp: usize, cell: &Cell) -> bool {
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

    /// Whether the steady light of a masked cell would hide the flash even if that lost nothing to diodes: then a diode
    /// less would not bring it out.
    fn hides(&self, row: usize, lamp: usize, cell: &Cell) -> bool {
        let flash = self.bare.rows[row].cells[lamp].bright().level;
        cell.dark().level * self.plan.settings.flash_ratio.get() > flash
    }

    /// Whether a failure is there with a set too.
    fn holds(&mut self, failure: Failure, set: &Bits) -> bool {
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

    /// Learns of one failure after the other in the critical rows, each time taking all spots of the new clause, so that
    /// clauses have nothing in common; whether anything was learnt.
    pub fn learn_apart(&mut self, set: &Bits) -> bool {
        let mut set = set.clone();
        let mut learnt = false;
        for at in 0..self.critical.len() {
            let row = self.critical[at];
            'again: loop {
                let cells = self.cells(row, &set, false);
                for (lamp, cell) in cells.iter().enumerate() {
                    if self.starves(cell) {
                        continue;
                    }
                    if let Some(Ok(failure)) = self.failure(row, lamp, cell, &set) {
                        match self.demand(failure, &set) {
                            Some(clause) => {
                                set.add(&clause);
                                learnt = true;
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

    /// Learns from some of the critical rows and those of the sample in which a set fails; whether anything was.
    pub fn learn_rows(&mut self, set: &Bits) -> bool {
        let mut rows = self.critical.clone();
        rows.extend(&self.sample);
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
        for (lamp, cell) in cells.iter().enumerate() {
            match self.failure(row, lamp, cell, set) {
                None => {}
                Some(Ok(failure)) => learnt |= self.demand(failure, set).is_some(),
                Some(Err(())) => learnt |= self.exclude(row, lamp, set),
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

    /// The phase and the lamp circuit by which the way of a failure's current is followed in the state solved last.
    fn way(&self, failure: Failure, cells: &[Cell]) -> Option<(usize, usize)> {
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

    /// Learns that a set starves a circuit; whether anything was learnt.
    fn exclude(&mut self, row: usize, lamp: usize, set: &Bits) -> bool {
        self.watch.step();
        let mut left = set.clone();
        for spot in set.iter() {
            left.remove(spot);
            if !self.starves_alone(row, lamp, &left) {
                left.insert(spot);
            }
        }
        if left.is_empty() {
            return false;
        }

        if left.len() == 1 {
            left.iter().for_each(|spot| self.harms(spot, lamp));
        }
        self.starving.push((left.clone(), lamp));
        self.hitting.exclude(left);
        true
    }

    /// Notes that a failure, which is there with a set that no cure exceeds, is beyond diodes.
    pub fn no_diode_mends(&mut self, failure: Failure, set: &Bits) {
        self.hopeless.insert((failure.row, failure.lamp));
        self.beyond_diodes(failure, set);
    }

    /// Keeps the way of a current that no diode can stop, as it runs with a set, once for every circuit.
    fn beyond_diodes(&mut self, failure: Failure, set: &Bits) {
        let lamp = self.bare.lamps[failure.lamp].clone();
        let verdict = match failure.kind {
            Fault::BackFed => Verdict::BackFed,
            Fault::Masked | Fault::Dimmed => Verdict::Masked,
            Fault::Overdriven => Verdict::Overdriven,
            Fault::Drained => Verdict::Weak,
        };
        if self
            .uncut
            .iter()
            .any(|u| u.lamp == lamp && u.verdict == verdict)
        {
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
        reasons.sort();
        reasons.dedup();
        self.uncut.push(Uncut {
            lamp,
            verdict,
            state: self.bare.rows[failure.row].state.clone(),
            path: path.words(self.plan),
            reasons,
        });
    }
}
