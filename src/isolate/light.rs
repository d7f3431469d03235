//! How much light sets of diodes leave, to choose among those that are equally small.
//!
//! A set leaves the dimmest circuit no more light than any one of its diodes would alone. So once a cure is known, only
//! spots that alone leave more than it does can make a brighter one, and the comparison ends when those do not suffice.

use super::rows::bright_and_loaded;
use super::search::Search;
use super::trial::spot;
use crate::behaviour::{Cell, Table, Verdict};
use crate::hitting::Bits;
use crate::plan::Show;
use crate::units::order::Order;

/// Sets of the least size that are compared at most.
pub(super) const MAX_ALTERNATIVES: usize = 32;
/// Branches looked at for each of them.
pub(super) const MAX_BRANCHES: usize = 4000;
/// Light that differs by less than this share counts as equal.
const EQUAL: f64 = 1e-6;
/// A run that carries less than this many amperes costs no light.
const IDLE_AMPS: f64 = 0.01;

/// What is known of the light of a plan.
#[derive(Debug, Default)]
pub(super) struct Lights {
    rows: Vec<usize>,
    /// For each spot the least light with a diode there alone.
    alone: Vec<f64>,
}

fn lit(cell: &Cell) -> Option<f64> {
    let fed = matches!(cell.verdict, Verdict::AsWished | Verdict::Masked);
    let wished = matches!(cell.wish, Show::Steady | Show::Flashing);
    (fed && wished).then(|| cell.bright().level)
}

/// Light of the dimmest circuit that is lit as wished; infinite where none is.
pub(super) fn least(table: &Table) -> f64 {
    let cells = table.rows.iter().flat_map(|row| &row.cells);
    cells.filter_map(lit).fold(f64::INFINITY, f64::min)
}

impl Search<'_, '_> {
    /// The least light with a set, and the sum of all light, while nothing drains.
    fn light_in(&mut self, row: usize, set: &Bits) -> (f64, f64) {
        let state = &self.bare.rows[row].state;
        let cells = self.trial.cells(state, set, true);
        let levels = || cells.iter().filter_map(lit);
        (levels().fold(f64::INFINITY, f64::min), levels().sum())
    }

    /// Least light of any circuit that is lit as wished with a set of diodes, while nothing drains.
    pub fn light_with(&mut self, set: &Bits) -> f64 {
        let rows = self.lights.rows.clone();
        let least = rows.iter().map(|&row| self.light_in(row, set).0);
        least.fold(f64::INFINITY, f64::min)
    }

    /// Spots that alone leave more light than this.
    pub fn brighter_spots(&self, than: f64) -> Bits {
        let mut spots = Bits::new(self.trial.spots());
        for spot in self.open.iter() {
            if self.lights.alone[spot] > than * (1.0 + EQUAL) {
                spots.insert(spot);
            }
        }
        spots
    }

    /// Works out what each spot costs alone, and orders the spots by it: what costs least is tried first. Of spots that
    /// cost the same, the longest wire comes first, which has most room.
    pub fn look_at_lights(&mut self) {
        let rows = bright_and_loaded(self.bare);
        let spots = self.trial.spots();
        let nothing = Bits::new(spots);
        let mut alone = vec![(f64::INFINITY, 0.0); spots];
        for &row in &rows {
            let bare = self.light_in(row, &nothing);
            let amps: Vec<f64> = (0..spots / 2)
                .map(|run| self.trial.along(run).map(f64::abs))
                .map(|[on, off]| on.max(off))
                .collect();
            for number in self.open.clone().iter() {
                let (least, all) = if amps[number / 2] < IDLE_AMPS {
                    bare
                } else {
                    let mut set = nothing.clone();
                    set.insert(number);
                    self.light_in(row, &set)
                };
                alone[number].0 = alone[number].0.min(least);
                alone[number].1 += all;
            }
        }
        let rounded = |light: f64| libm::round(light.min(1e6) / EQUAL);
        let key = |number: usize| {
            let wire = &self.plan.wires[self.runs.seat(spot(number).0).0];
            let (least, all) = alone[number];
            (
                rounded(least),
                rounded(all),
                wire.length_mm,
                &wire.id,
                number,
            )
        };
        let mut order: Vec<usize> = (0..spots).collect();
        order.order_by(|&a, &b| {
            let (a, b) = (key(a), key(b));
            // What stops the intended current mostly starves a wish, together with others if not alone.
            let stops = |key: &(_, _, _, _, usize)| self.stopping.contains(key.4);
            let brighter = b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1));
            stops(&a)
                .cmp(&stops(&b))
                .then(brighter)
                .then(b.2.cmp(&a.2))
                .then((a.3, a.4).cmp(&(b.3, b.4)))
        });
        self.hitting.set_order(order);
        self.lights = Lights {
            rows,
            alone: alone.into_iter().map(|(least, _)| least).collect(),
        };
    }
}
