//! The plan's circuit with changes that no state has: every filament cold, the far end of a wire on the chassis.

use super::Short;
use crate::behaviour::{Guard, Guards, Outcome, State, Table};
use crate::circuit::{Circuit, Gate, Lowered, Origin, Switching};
use crate::network::{Element, Network, NodeId};
use crate::plan::{Kind, Plan};
use crate::solve::{OperatingPoint, Solver};
use std::collections::{BTreeMap, BTreeSet};

/// Resistance of a short circuit in ohms: a wire pressed against bare metal.
const SHORT_OHMS: f64 = 1e-3;
/// Slope of a filament at rest is taken at so small a voltage.
const NO_VOLTS: f64 = 1e-6;
/// Share of the short-circuit current from which on a wire counts as carrying it.
const HALF: f64 = 0.5;
/// Smallest share of the short-circuit current that makes a fuse part of it.
const MIN_SHARE: f64 = 0.02;

/// A circuit that is solved with relays and flashers held.
pub(super) struct Bench {
    network: Network,
    solver: Solver,
    cold: Circuit,
}

impl Bench {
    /// The circuit with every filament at room temperature.
    pub fn new(circuit: &Circuit) -> Self {
        let mut cold = circuit.clone();
        for branch in &mut cold.branches {
            if let Element::Filament(_) = branch.element {
                let (amps, _) = branch.element.current(NO_VOLTS);
                branch.element = Element::resistor(NO_VOLTS / amps);
            }
        }
        let network = cold.topology();
        let solver = Solver::new(&network);
        Self {
            network,
            solver,
            cold,
        }
    }

    /// Currents of all branches while every filament is cold.
    pub fn cold(&mut self, circuit: &Circuit, state: &State, outcome: &Outcome) -> Vec<f64> {
        let closed = vec![true; circuit.flashers.len()];
        self.cold.switch(
            &mut self.network,
            Switching {
                state,
                relays: &pulled(outcome),
                flashers: &closed,
            },
        );
        let mut point = OperatingPoint::default();
        self.solver.solve_into(&self.network, &mut point);
        if point.converged {
            point.amps
        } else {
            Vec::new()
        }
    }
}

/// The short circuit at the load end of every wire that is live and no return wire.
pub(super) fn shorts(
    plan: &Plan,
    circuit: &Circuit,
    table: &Table,
    guards: &Guards,
    solved: &BTreeMap<usize, Outcome>,
) -> Vec<Option<Short>> {
    let metal = metal(plan, circuit);
    // Every far end gets a bridge of its own, present in its own short circuit only: one order serves all.
    let mut shorted = circuit.clone();
    let mut wires: Vec<(usize, usize, NodeId)> = Vec::new();
    for (i, branch) in circuit.branches.iter().enumerate() {
        if let Origin::Wire(wire) = branch.origin
            && guards.wires.get(wire).is_some_and(|g| *g != Guard::Return)
        {
            wires.push((wire, i, branch.to));
        }
    }
    let ends: BTreeSet<NodeId> = wires.iter().map(|&(_, _, end)| end).collect();
    let first_bridge = shorted.branches.len();
    for &end in &ends {
        shorted.branches.push(Lowered {
            from: end,
            to: metal,
            element: Element::resistor(SHORT_OHMS),
            gate: Gate::Never,
            origin: Origin::Wire(usize::MAX),
        });
    }
    let mut network = shorted.topology();
    let mut solver = Solver::new(&network);
    let closed = vec![true; circuit.flashers.len()];
    let fuses: Vec<(usize, usize)> = circuit
        .branches
        .iter()
        .enumerate()
        .filter_map(|(i, b)| match b.origin {
            Origin::Part { part, .. } if matches!(plan.parts.get(part)?.kind, Kind::Fuse(_)) => {
                Some((i, part))
            }
            _ => None,
        })
        .collect();
    let on_wires: Vec<(usize, usize)> = circuit
        .branches
        .iter()
        .enumerate()
        .filter_map(|(i, b)| match b.origin {
            Origin::Wire(wire) => Some((wire, i)),
            Origin::Part { .. } => None,
        })
        .collect();
    let mut shorts = vec![None; plan.wires.len()];
    let mut point = OperatingPoint::default();
    for (wire, branch, end) in wires {
        let Some(live) = table.tally.live[wire] else {
            continue;
        };
        let Some(row) = table.rows.get(live) else {
            continue;
        };
        let relays = solved.get(&live).map_or_else(Vec::new, pulled);
        if relays.len() != circuit.relays.len() {
            continue;
        }
        let Some(bridge) = ends.iter().position(|&e| e == end) else {
            continue;
        };
        shorted.switch(
            &mut network,
            Switching {
                state: &row.state,
                relays: &relays,
                flashers: &closed,
            },
        );
        network.branches[first_bridge + bridge].element = Element::resistor(SHORT_OHMS);
        solver.solve_into(&network, &mut point);
        if !point.converged {
            continue;
        }
        let amps = point.amps[branch].abs();
        shorts[wire] = Some(Short {
            row: live,
            amps,
            fuses: fuses
                .iter()
                .map(|&(i, part)| (part, point.amps[i].abs()))
                .filter(|&(_, through)| through >= MIN_SHARE * amps)
                .collect(),
            wires: on_wires
                .iter()
                .filter(|&&(_, i)| point.amps[i].abs() >= HALF * amps)
                .map(|&(w, _)| w)
                .collect(),
        });
    }
    shorts
}

/// The metal a bare wire can touch: the chassis where wires and ground points lead from it to the battery, else the
/// battery's negative side itself.
fn metal(plan: &Plan, circuit: &Circuit) -> NodeId {
    let leads = |branch: &&Lowered| match branch.origin {
        Origin::Wire(_) => branch.gate == Gate::Always,
        Origin::Part { part, .. } => plan
            .parts
            .get(part)
            .is_some_and(|p| matches!(p.kind, Kind::Ground(_) | Kind::Connector(_))),
    };
    let mut reached = BTreeSet::from([circuit.datum]);
    let mut queue = vec![circuit.datum];
    while let Some(node) = queue.pop() {
        for branch in circuit.branches.iter().filter(leads) {
            for (near, far) in [(branch.from, branch.to), (branch.to, branch.from)] {
                if near == node && reached.insert(far) {
                    queue.push(far);
                }
            }
        }
    }
    if reached.contains(&circuit.chassis) {
        circuit.chassis
    } else {
        circuit.datum
    }
}

/// Which relays are pulled in while the flashers are closed.
fn pulled(outcome: &Outcome) -> Vec<bool> {
    outcome.relays.iter().map(|run| run.pulled[0]).collect()
}
