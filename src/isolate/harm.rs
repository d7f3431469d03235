//! Diodes that starve a wished circuit, alone or together.
//!
//! They are looked for with all that should be dark taken out, so that nothing drains the feed: what is dark then is so for
//! the diodes that stand in its way, and more of them do not help.

use super::search::Search;
use crate::behaviour::{Cell, Verdict};
use crate::hitting::Bits;

/// Current that a diode must stop for its spot to be tried for harm.
const HARM_AMPS: f64 = 0.01;
/// Rows in which a spot is tried for harm.
const HARM_ROWS: usize = 12;

impl Search<'_, '_> {
    /// Whether a circuit has too little light of its own: dead, weak, or a flash too low to be one.
    pub fn starves(&self, cell: &Cell) -> bool {
        match cell.verdict {
            Verdict::Dead | Verdict::Weak => true,
            Verdict::Masked => cell.bright().level < self.plan.settings.dim.get(),
            _ => false,
        }
    }

    /// The same where nothing drains its feed.
    pub fn starves_alone(&mut self, row: usize, lamp: usize, set: &Bits) -> bool {
        let cell = self.cells(row, set, true)[lamp];
        self.starves(&cell)
    }

    /// Whether a wished circuit is bad though nothing drains its feed and no diode stands in it: no cut mends that.
    pub fn is_excused(&mut self, row: usize, lamp: usize) -> bool {
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

    /// Learns that part of a set starves a circuit: that part, where there is one.
    pub fn exclude(&mut self, row: usize, lamp: usize, set: &Bits) -> Option<Bits> {
        self.watch.step();
        let mut left = set.clone();
        let spots: Vec<usize> = set.iter().collect();
        self.shrink(row, lamp, &mut left, &spots);
        if left.is_empty() {
            return None;
        }

        if left.len() == 1 {
            left.iter().for_each(|spot| self.harms(spot, lamp));
        }
        self.starving.push((left.clone(), lamp));
        self.hitting.exclude(left.clone());
        Some(left)
    }

    /// Takes away as many of the spots as leave the circuit starving, all at once if they do.
    fn shrink(&mut self, row: usize, lamp: usize, left: &mut Bits, spots: &[usize]) {
        let mut less = left.clone();
        spots.iter().for_each(|&spot| less.remove(spot));
        if self.starves_alone(row, lamp, &less) {
            *left = less;
        } else if spots.len() > 1 {
            let (a, b) = spots.split_at(spots.len() / 2);
            self.shrink(row, lamp, left, a);
            self.shrink(row, lamp, left, b);
        }
    }
}
