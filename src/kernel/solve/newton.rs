//! Damped Newton iteration on the total co-content of the live branches.
//!
//! The co-content is convex in the node voltages and its gradient is the sum of currents leaving each node, so
//! a step that makes the slope along itself vanish, or leaves it falling, only ever comes nearer.

use super::{OperatingPoint, RESIDUAL_AMPS, RESIDUAL_SHARE, Solver};

/// Newton steps after which a solve is given up.
const MAX_ITERATIONS: u32 = 120;
/// Newton steps taken beyond the residual bound: a node that only leakage holds has its current long before
/// its voltage.
const MAX_POLISHING: u32 = 60;
/// A last step of at most this many volts means that the next would be nothing: on the sharpest law, an
/// exponential of 25 mV, Newton leaves half the square of the step over 25 mV, here 0.5 nV.
const SETTLED_VOLTS: f64 = 5e-6;
/// Steps of at most this many volts are taken whole: a fraction of the 25 mV over which the sharpest law bends.
const SMALL_VOLTS: f64 = 0.01;
/// Share of the slope at the start that the slope at the end of a step may reach on the far side.
const SLOPE_SHARE: f64 = 0.25;

impl Solver {
    /// Damped Newton iteration on the rows chosen.
    pub(super) fn newton(&mut self, point: &mut OperatingPoint) {
        point.iterations = 0;
        point.converged = false;
        let Some(rounds) = self.begin() else {
            return;
        };
        point.iterations = rounds;
        let mut largest = self.assemble();
        let mut last_step = f64::INFINITY;
        let mut polishing = 0;
        loop {
            point.residual = 0.0;
            for &row in &self.system.rows {
                let gradient = self.gradient[row as usize];
                if gradient.abs() > point.residual {
                    point.residual = gradient.abs();
                }
                self.step[row as usize] = -gradient;
            }
            if point.residual <= RESIDUAL_AMPS.max(RESIDUAL_SHARE * largest) {
                point.converged = true;
                if last_step <= SETTLED_VOLTS || point.residual == 0.0 || polishing == MAX_POLISHING
                {
                    break;
                }
                polishing += 1;
            }
            let rows = &self.system.rows;
            if point.iterations >= MAX_ITERATIONS
                || !(self.factor).eliminate(&self.symbolic, rows, &mut self.step)
            {
                break;
            }
            point.iterations += 1;
            self.factor.back(&self.symbolic, rows, &mut self.step);
            let (mut slope, mut full) = (0.0, 0.0_f64);
            for &row in rows {
                let step = self.step[row as usize];
                slope += self.gradient[row as usize] * step;
                if step.abs() > full {
                    full = step.abs();
                }
            }
            // Rounding may turn the last tiny step uphill: then nothing better can be found.
            if slope.is_nan() || slope >= 0.0 {
                break;
            }
            core::mem::swap(&mut self.volts, &mut self.trial);
            let length;
            (length, largest) = if full <= SMALL_VOLTS {
                (1.0, self.move_to(1.0))
            } else {
                self.search(slope)
            };
            last_step = length * full;
        }
    }

    /// Moves along `step` from `trial` to a point where the co-content is sufficiently lower.
    ///
    /// Leaves the new voltages in `volts`, with the system assembled there; returns the share of the step
    /// taken and the largest branch current. The slope of a convex function rises along a line: where it is
    /// still negative the function has only fallen.
    fn search(&mut self, slope: f64) -> (f64, f64) {
        let mut largest = self.move_to(1.0);
        let mut end = self.slope();
        if end <= 0.0 {
            return (1.0, largest);
        }
        if end <= -SLOPE_SHARE * slope {
            let before = self.co_content(&self.trial);
            let after = self.co_content(&self.volts);
            if after <= before + 1e-4 * slope + 1e-12 * before.abs() {
                return (1.0, largest);
            }
        }
        // Illinois false position (Dowell and Jarratt 1971) for the zero of the slope.
        let (mut low, mut low_slope, mut low_weight) = (0.0, slope, slope);
        let (mut high, mut end_weight) = (1.0, end);
        let mut length = 1.0;
        for _ in 0..60 {
            let mut next = low - low_weight * (high - low) / (end_weight - low_weight);
            if next.is_nan() || next <= low || next >= high {
                next = 0.5 * (low + high);
            }
            length = next;
            largest = self.move_to(length);
            end = self.slope();
            if end <= 0.0 {
                (low, low_slope, low_weight) = (length, end, end);
                end_weight *= 0.5;
                if low_slope >= SLOPE_SHARE * slope || low >= 0.5 * high {
                    return (length, largest);
                }
            } else {
                (high, end_weight) = (length, end);
                low_weight = if low == 0.0 {
                    low_slope
                } else {
                    0.5 * low_weight
                };
            }
        }
        (length, largest)
    }

    fn move_to(&mut self, length: f64) -> f64 {
        for &row in &self.system.rows {
            let row = row as usize;
            self.volts[row] = self.trial[row] + length * self.step[row];
        }
        self.assemble()
    }

    /// Slope of the co-content along `step` at `volts`.
    fn slope(&self) -> f64 {
        let row = |&row: &u32| self.gradient[row as usize] * self.step[row as usize];
        self.system.rows.iter().map(row).sum()
    }
}
