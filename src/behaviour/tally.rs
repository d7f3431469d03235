//! What the largest currents over all states are, gathered while the table is filled.
//!
//! One pass, no solve of its own: for every branch the largest current and the largest heating current with their rows,
//! the largest voltage it blocks; for every wire the row in which its supply end stands highest; for every coil the
//! least volts that hold it and the most that do not pull it; for every row what the battery gives.

use super::Outcome;
use crate::circuit::{Circuit, Origin};
use crate::solve::OperatingPoint;

/// The extreme value of something over all rows, and the row.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Most {
    /// The value.
    pub value: f64,
    /// Row of the table.
    pub row: usize,
}

impl Most {
    fn rise(&mut self, value: f64, row: usize) {
        // Rows come in another order than they are listed: of equal ones the first listed counts.
        if value > self.value || (value == self.value && value > 0.0 && row < self.row) {
            *self = Most { value, row };
        }
    }
}

/// One branch over all rows.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct BranchTally {
    /// Largest current either way in either phase, in amperes.
    pub peak: Most,
    /// Largest root mean square of the two phases, in amperes: what heats.
    pub heat: Most,
    /// Largest volts from `to` to `from`: what a diode has to block.
    pub blocked: Most,
}

/// One relay coil over all rows.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CoilTally {
    /// Least volts while it is pulled in; `None` if it never is.
    pub held: Option<Most>,
    /// Most volts while it is not.
    pub idle: Most,
}

/// The largest currents of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tally {
    /// One per branch of the circuit.
    pub branches: Vec<BranchTally>,
    /// For each wire the row in which its supply end stands highest, with the volts.
    pub live: Vec<Most>,
    /// One per relay of the circuit.
    pub coils: Vec<CoilTally>,
    /// Mean amperes out of the first battery, one per row.
    pub draw: Vec<f64>,
}

impl Tally {
    /// An empty tally for a circuit and a number of rows.
    pub(super) fn new(circuit: &Circuit, wires: usize, rows: usize) -> Self {
        Self {
            branches: vec![BranchTally::default(); circuit.branches.len()],
            live: vec![Most::default(); wires],
            coils: vec![CoilTally::default(); circuit.relays.len()],
            draw: vec![0.0; rows],
        }
    }

    /// Takes in a solved row.
    pub(super) fn take(&mut self, circuit: &Circuit, outcome: &Outcome, row: usize) {
        let (on, off) = (&outcome.on, &outcome.off);
        let mut battery_seen = false;
        for (i, (branch, tally)) in circuit.branches.iter().zip(&mut self.branches).enumerate() {
            let (a, b) = (current(on, i), current(off, i));
            tally.peak.rise(a.abs().max(b.abs()), row);
            tally.heat.rise(libm::sqrt((a * a + b * b) / 2.0), row);
            if branch.is_junction() {
                for point in [on, off] {
                    let volts = point.drop(branch.to, branch.from).unwrap_or(0.0);
                    tally.blocked.rise(volts, row);
                }
            }
            if let (Origin::Wire(wire), Some(live)) = (branch.origin, on.volts(branch.from))
                && let Some(most) = self.live.get_mut(wire)
            {
                most.rise(live, row);
            }
            if branch.is_source() && !battery_seen {
                battery_seen = true;
                if let Some(draw) = self.draw.get_mut(row) {
                    // Current into the + terminal counts positive in a branch, so what the battery gives is negative.
                    *draw = 0.0 - (a + b) / 2.0;
                }
            }
        }
        for (i, (relay, tally)) in circuit.relays.iter().zip(&mut self.coils).enumerate() {
            let Some(coil) = circuit.branches.get(relay.branch) else {
                continue;
            };
            for (phase, point) in [on, off].into_iter().enumerate() {
                let volts = point.across(coil.from, coil.to).abs();
                if outcome.relays[phase].get(i).copied().unwrap_or(false) {
                    if tally.held.is_none_or(|least| volts < least.value) {
                        tally.held = Some(Most { value: volts, row });
                    }
                } else {
                    tally.idle.rise(volts, row);
                }
            }
        }
    }
}

fn current(point: &OperatingPoint, branch: usize) -> f64 {
    point.amps.get(branch).copied().unwrap_or(0.0)
}
