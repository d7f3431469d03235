//! Damped Newton iteration on the total co-content of the live branches.
//!
//! The co-content is convex in the node voltages and its gradient is the sum of currents leaving each node, so
//! a step that makes the slope along itself vanish, or leaves it falling, only ever comes nearer.

use super::start::Start;
use super::{NONE, OperatingPoint, RESIDUAL_AMPS, RESIDUAL_SHARE, Solver};
use crate::network::{Branch, Network};

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
    pub(super) fn newton(&mut self, network: &Network, point: &mut OperatingPoint) {
        let n = self.step.len() - 1;
        point.iterations = 0;
        point.converged = false;
        self.volts.fill(0.0);
        self.assemble(network, |start, i, branch, _| *start.drop(i, branch));
        if !self.factor.factorise(&self.symbolic, &self.active) {
            return;
        }
        for (volts, gradient) in self.volts.iter_mut().zip(&self.gradient) {
            *volts = -gradient;
        }
        self.factor.solve(&self.symbolic, &mut self.volts[..n]);
        self.volts[n] = 0.0;
        let mut largest = self.assemble(network, here);
        let mut last_step = f64::INFINITY;
        let mut polishing = 0;
        loop {
            point.residual = self.gradient.iter().fold(0.0, |m: f64, g| m.max(g.abs()));
            if point.residual <= RESIDUAL_AMPS.max(RESIDUAL_SHARE * largest) {
                point.converged = true;
                if last_step <= SETTLED_VOLTS || point.residual == 0.0 || polishing == MAX_POLISHING
                {
                    break;
                }
                polishing += 1;
            }
            let active = &self.active;
            if point.iterations == MAX_ITERATIONS || !self.factor.factorise(&self.symbolic, active)
            {
                break;
            }
            point.iterations += 1;
            for (step, gradient) in self.step.iter_mut().zip(&self.gradient) {
                *step = -gradient;
            }
            self.factor.solve(&self.symbolic, &mut self.step[..n]);
            self.step[n] = 0.0;
            let slope = dot(&self.gradient, &self.step);
            // Rounding may turn the last tiny step uphill: then nothing better can be found.
            if slope.is_nan() || slope >= 0.0 {
                break;
            }
            core::mem::swap(&mut self.volts, &mut self.trial);
            let full = self.step.iter().fold(0.0, |m: f64, s| m.max(s.abs()));
            let length;
            (length, largest) = if full <= SMALL_VOLTS {
                (1.0, self.move_to(1.0, network))
            } else {
                self.search(slope, network)
            };
            last_step = length * full;
        }
    }

    /// Moves along `step` from `trial` to a point where the co-content is sufficiently lower.
    ///
    /// Leaves the new voltages in `volts`, with the system assembled there; returns the share of the step
    /// taken and the largest branch current. The slope of a convex function rises along a line: where it is
    /// still negative the function has only fallen.
    fn search(&mut self, slope: f64, network: &Network) -> (f64, f64) {
        let mut largest = self.move_to(1.0, network);
        let mut end = dot(&self.gradient, &self.step);
        if end <= 0.0 {
            return (1.0, largest);
        }
        if end <= -SLOPE_SHARE * slope {
            let before = self.co_content(&self.trial, network);
            let after = self.co_content(&self.volts, network);
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
            largest = self.move_to(length, network);
            end = dot(&self.gradient, &self.step);
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

    fn move_to(&mut self, length: f64, network: &Network) -> f64 {
        for ((v, base), step) in self.volts.iter_mut().zip(&self.trial).zip(&self.step) {
            *v = base + length * step;
        }
        self.assemble(network, here)
    }

    /// Writes the nodal matrix and the gradient at `volts`, each law taken as its tangent at the voltage that
    /// `tangent_at` chooses ([`here`]: its own); the largest branch current.
    fn assemble(
        &mut self,
        network: &Network,
        tangent_at: impl Fn(&mut Start, usize, &Branch, f64) -> f64,
    ) -> f64 {
        self.factor.clear();
        self.gradient.fill(0.0);
        let n = self.step.len() - 1;
        let mut largest = 0.0_f64;
        for &i in &self.acting {
            let place = self.places[i as usize];
            let (from, to) = (place.from as usize, place.to as usize);
            let drop = self.volts[from] - self.volts[to];
            let branch = &network.branches[i as usize];
            let at = tangent_at(&mut self.start, i as usize, branch, drop);
            let (amps, siemens) = branch.element.current(at);
            let amps = amps + siemens * (drop - at);
            self.amps[i as usize] = amps;
            largest = largest.max(amps.abs());
            self.gradient[from] += amps;
            self.gradient[to] -= amps;
            self.factor.diagonal[from] += siemens;
            self.factor.diagonal[to] += siemens;
            if place.off_diagonal != NONE {
                self.factor.lower[place.off_diagonal as usize] -= siemens;
            }
        }
        // One node of every cluster away from the datum is tied to 0 V by 1 S. No current can return that
        // way, so the tie carries none and only fixes what was free.
        for &pin in &self.pinned {
            self.gradient[pin as usize] += self.volts[pin as usize];
            self.factor.diagonal[pin as usize] += 1.0;
        }
        self.gradient[n] = 0.0;
        largest
    }

    fn co_content(&self, volts: &[f64], network: &Network) -> f64 {
        let branch = |&i: &u32| {
            let place = self.places[i as usize];
            let drop = volts[place.from as usize] - volts[place.to as usize];
            network.branches[i as usize].element.co_content(drop)
        };
        let pin = |&pin: &u32| 0.5 * volts[pin as usize] * volts[pin as usize];
        self.acting.iter().map(branch).sum::<f64>() + self.pinned.iter().map(pin).sum::<f64>()
    }
}

/// The tangent at the very voltage: the law itself.
fn here(_: &mut Start, _: usize, _: &Branch, drop: f64) -> f64 {
    drop
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
