//! The largest current of every branch over all states, each way, and the first state in which it runs at all.
//!
//! Gathered while the table is filled, so that whoever asks later solves nothing again.

use super::Outcome;
use super::tally::Most;
use crate::circuit::{Circuit, Origin};

/// From this many amperes on a current counts as running: far above the leakage of a blocking diode (microamperes),
/// a tenth of what the smallest indicator LED takes. Common practice.
pub const RUNNING_AMPS: f64 = 1e-3;

/// A branch counts as live when one of its ends stands at least this many volts off battery negative: less lights
/// nothing (an LED needs 1.5 V) and holds no relay (1 V), but the drop along a shared ground drives milliamperes
/// through cold filaments. Common practice.
pub const LIVE_VOLTS: f64 = 0.5;

/// The largest current one way.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Peak {
    /// Amperes, not negative.
    pub amps: f64,
    /// Row in which it was found.
    pub row: usize,
    /// Phase of the flashers: 0 closed, 1 open.
    pub phase: usize,
    /// Row and phase of the first state in which at least [`RUNNING_AMPS`] run this way.
    pub first: Option<(usize, usize)>,
    /// The same of the first state in which the branch is also live, see [`LIVE_VOLTS`].
    pub first_live: Option<(usize, usize)>,
}

/// The largest currents of one branch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peaks {
    /// The wire or inner branch of a part.
    pub origin: Origin,
    /// From supply end to load end.
    pub forward: Peak,
    /// From load end to supply end.
    pub backward: Peak,
}

impl Peaks {
    /// Nothing seen yet of any branch.
    pub(super) fn blank(circuit: &Circuit) -> Vec<Peaks> {
        let peaks = |origin| Peaks {
            origin,
            forward: Peak::default(),
            backward: Peak::default(),
        };
        circuit.branches.iter().map(|b| peaks(b.origin)).collect()
    }

    /// Takes in the currents of a solved row.
    pub(super) fn take(all: &mut [Peaks], circuit: &Circuit, outcome: &Outcome, row: usize) {
        for (phase, point) in [&outcome.on, &outcome.off].into_iter().enumerate() {
            let branches = circuit.branches.iter().zip(&point.amps);
            for (peaks, (branch, &amps)) in all.iter_mut().zip(branches) {
                let peak = if amps < 0.0 {
                    &mut peaks.backward
                } else {
                    &mut peaks.forward
                };
                let amps = amps.abs();
                // Rows come in another order than they are listed: of equal ones the first listed counts.
                if amps > peak.amps || (amps == peak.amps && amps > 0.0 && row < peak.row) {
                    (peak.amps, peak.row, peak.phase) = (amps, row, phase);
                }
                if amps < RUNNING_AMPS {
                    continue;
                }
                let earlier =
                    |first: Option<(usize, usize)>| first.is_none_or(|first| (row, phase) < first);
                if earlier(peak.first) {
                    peak.first = Some((row, phase));
                }
                if earlier(peak.first_live) {
                    let volts = |node| point.volts(node).map_or(0.0, f64::abs);
                    if volts(branch.from).max(volts(branch.to)) >= LIVE_VOLTS {
                        peak.first_live = Some((row, phase));
                    }
                }
            }
        }
    }

    /// The largest current either way; of equal ones the one of the first row.
    pub fn largest(&self) -> Most {
        let (forward, backward) = (self.forward, self.backward);
        let of = |peak: Peak| Most {
            value: peak.amps,
            row: peak.row,
        };
        let first = backward.amps == forward.amps && backward.row < forward.row;
        of(if backward.amps > forward.amps || first {
            backward
        } else {
            forward
        })
    }

    /// Whether current runs both ways while the branch is live.
    pub fn reverses(&self) -> bool {
        self.forward.first_live.is_some() && self.backward.first_live.is_some()
    }

    /// Whether current only ever runs from load end to supply end.
    pub fn only_backward(&self) -> bool {
        self.forward.first.is_none() && self.backward.first.is_some()
    }
}
