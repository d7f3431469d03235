//! What heats, blocks, holds and drains most over all states, gathered while the table is filled; the largest
//! currents each way are in `peaks`.
//!
//! One pass, no solve of its own: for every branch the largest heating current with its row,
//! the largest voltage it blocks; for every wire the first row in which its supply end is live; for every coil the
//! least volts that hold it and the most that do not pull it; for every row what the battery gives.

use super::Outcome;
use crate::circuit::{Circuit, Origin};
use crate::network::NodeId;
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

/// Mean currents of a converter, one per row.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Converted {
    /// Index of its part.
    pub part: usize,
    /// Into its input.
    pub input: Vec<f64>,
    /// Out of its output.
    pub output: Vec<f64>,
    /// Branch of its input; that of its output comes next.
    branch: usize,
}

/// What is gathered of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tally {
    /// One per branch of the circuit.
    pub branches: Vec<BranchTally>,
    /// For each wire the first listed row in which its supply end stands above half of the volts of the lowest source.
    pub live: Vec<Option<usize>>,
    /// One per relay of the circuit.
    pub coils: Vec<CoilTally>,
    /// Mean amperes out of the first battery, one per row.
    pub draw: Vec<f64>,
    /// What every converter takes and gives, in amperes.
    pub converters: Vec<Converted>,
    /// Branches whose blocked volts are looked at: diodes and LED strings.
    junctions: Vec<usize>,
    /// Wires with the node of their supply end.
    supplies: Vec<(usize, NodeId)>,
    /// Branch of the first battery, or of the first charger where there is none.
    battery: Option<usize>,
    /// Half of the volts of the lowest source: lamps of a converter have less than the battery.
    half_volts: f64,
}

impl Tally {
    /// An empty tally for a circuit and a number of rows.
    pub(super) fn new(circuit: &Circuit, wires: usize, rows: usize) -> Self {
        let branches = || circuit.branches.iter().enumerate();
        let sources = || branches().filter_map(|(i, b)| Some((i, b.element.open_volts()?)));
        Self {
            branches: vec![BranchTally::default(); circuit.branches.len()],
            live: vec![None; wires],
            coils: vec![CoilTally::default(); circuit.relays.len()],
            draw: vec![0.0; rows],
            // A converter is what pulls in at one polarity only; its branches follow the one that measures.
            converters: circuit
                .relays
                .iter()
                .filter(|relay| !relay.either_way)
                .map(|relay| Converted {
                    part: relay.part,
                    input: vec![0.0; rows],
                    output: vec![0.0; rows],
                    branch: relay.branch + 1,
                })
                .collect(),
            junctions: branches()
                .filter(|(_, branch)| branch.is_junction())
                .map(|(i, _)| i)
                .collect(),
            supplies: branches()
                .filter_map(|(_, branch)| match branch.origin {
                    Origin::Wire(wire) => Some((wire, branch.from)),
                    Origin::Part { .. } => None,
                })
                .collect(),
            battery: sources().next().map(|(i, _)| i),
            half_volts: sources()
                .map(|(_, volts)| volts / 2.0)
                .fold(f64::INFINITY, f64::min),
        }
    }

    /// Takes in a solved row. This runs for every state, so what cannot raise anything is left at once.
    pub(super) fn take(&mut self, circuit: &Circuit, outcome: &Outcome, row: usize) {
        let (on, off) = (&outcome.on, &outcome.off);
        let amps = on.amps.iter().zip(&off.amps);
        for (tally, (&a, &b)) in self.branches.iter_mut().zip(amps) {
            // The mean square while rows are taken in; its root in the end.
            let square = (a * a + b * b) / 2.0;
            if square > 0.0 && square >= tally.heat.value {
                tally.heat.rise(square, row);
            }
        }
        for &i in &self.junctions {
            let branch = &circuit.branches[i];
            for point in [on, off] {
                let volts = point.drop(branch.to, branch.from).unwrap_or(0.0);
                if volts >= self.branches[i].blocked.value {
                    self.branches[i].blocked.rise(volts, row);
                }
            }
        }
        for &(wire, node) in &self.supplies {
            if let Some(live) = self.live.get_mut(wire)
                && live.is_none_or(|known| row < known)
                && on.volts(node).is_some_and(|volts| volts >= self.half_volts)
            {
                *live = Some(row);
            }
        }
        if let (Some(battery), Some(draw)) = (self.battery, self.draw.get_mut(row)) {
            // Current into the + terminal counts positive in a branch, so what the battery gives is negative.
            *draw = 0.0 - (current(on, battery) + current(off, battery)) / 2.0;
        }
        for converter in &mut self.converters {
            let mean = |branch| (current(on, branch) + current(off, branch)) / 2.0;
            let (taken, given) = (mean(converter.branch), 0.0 - mean(converter.branch + 1));
            if let Some(slot) = converter.input.get_mut(row) {
                *slot = taken;
            }
            if let Some(slot) = converter.output.get_mut(row) {
                *slot = given;
            }
        }
        for (i, (relay, tally)) in circuit.relays.iter().zip(&mut self.coils).enumerate() {
            let Some(coil) = circuit.branches.get(relay.branch) else {
                continue;
            };
            for (phase, point) in [on, off].into_iter().enumerate() {
                let volts = point.across(coil.from, coil.to).abs();
                if outcome.relays.get(i).is_some_and(|run| run.pulled[phase]) {
                    if tally.held.is_none_or(|least| volts < least.value) {
                        tally.held = Some(Most { value: volts, row });
                    }
                } else {
                    tally.idle.rise(volts, row);
                }
            }
        }
    }

    /// Ends the tally once every row is taken in.
    pub(super) fn finish(&mut self) {
        for tally in &mut self.branches {
            tally.heat.value = libm::sqrt(tally.heat.value);
        }
    }
}

fn current(point: &OperatingPoint, branch: usize) -> f64 {
    point.amps.get(branch).copied().unwrap_or(0.0)
}
