//! The way current takes from battery to lamp to battery, read off an operating point.
//!
//! From the lamp the walk follows, at every node, the branch that brings in (upstream) or takes away
//! (downstream) the largest current. Outside a source current only flows towards lower voltage, so the walk
//! never meets itself; it ends at the battery.

use super::Outcome;
use crate::circuit::{Circuit, Origin};
use crate::network::NodeId;
use crate::plan::{Kind, Plan};

/// Smallest current followed, in amperes.
const TRACE_AMPS: f64 = 1e-6;

/// One branch of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The wire or inner branch of a part.
    pub origin: Origin,
    /// Current through it.
    pub amps: f64,
    /// Whether the current runs against the intended direction of a wire; parts have none.
    pub reversed: bool,
}

/// A path from battery to lamp to battery.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Branches in the direction of the current, the battery first and last.
    pub steps: Vec<Step>,
    /// Place of the lamp circuit in `steps`.
    pub lamp: usize,
}

impl Path {
    /// Traces a lamp circuit (by index) in one phase (0: flashers closed, 1: open); `None` when it carries
    /// next to nothing.
    pub fn trace(circuit: &Circuit, outcome: &Outcome, phase: usize, lamp: usize) -> Option<Path> {
        let amps = if phase == 0 {
            &outcome.on.amps
        } else {
            &outcome.off.amps
        };
        let start = circuit.lamps.get(lamp)?.branch;
        let step = |branch: usize| {
            let (origin, current) = (circuit.branches[branch].origin, amps[branch]);
            let reversed = current < 0.0 && matches!(origin, Origin::Wire(_));
            Step {
                origin,
                amps: current.abs(),
                reversed,
            }
        };
        let ends = |branch: usize| {
            let b = &circuit.branches[branch];
            if amps[branch] >= 0.0 {
                (b.from, b.to)
            } else {
                (b.to, b.from)
            }
        };
        if amps.get(start)?.abs() < TRACE_AMPS {
            return None;
        }
        let walk = |mut node: NodeId, upstream: bool| {
            let mut found: Vec<usize> = Vec::new();
            while found.len() <= circuit.branches.len() {
                let near = |&branch: &usize| {
                    let (tail, head) = ends(branch);
                    amps[branch].abs() >= TRACE_AMPS && node == if upstream { head } else { tail }
                };
                let largest = |&a: &usize, &b: &usize| {
                    amps[a].abs().total_cmp(&amps[b].abs()).then(b.cmp(&a))
                };
                let Some(branch) = (0..circuit.branches.len()).filter(near).max_by(largest) else {
                    break;
                };
                found.push(branch);
                if circuit.branches[branch].is_source() {
                    break;
                }
                let (tail, head) = ends(branch);
                node = if upstream { tail } else { head };
            }
            found
        };
        let (tail, head) = ends(start);
        let mut up = walk(tail, true);
        up.reverse();
        let lamp = up.len();
        let steps = up
            .into_iter()
            .chain([start])
            .chain(walk(head, false))
            .map(step)
            .collect();
        Some(Path { steps, lamp })
    }

    /// Whether both take the same way in the same direction, whatever the currents.
    pub fn same_way(&self, other: &Path) -> bool {
        let way = |path: &Path| -> Vec<(Origin, bool)> {
            path.steps
                .iter()
                .map(|step| (step.origin, step.reversed))
                .collect()
        };
        self.steps.len() == other.steps.len() && way(self) == way(other)
    }

    /// Wires (by index) whose current runs against their intended direction.
    pub fn reversed_wires(&self) -> impl Iterator<Item = usize> + '_ {
        self.steps
            .iter()
            .filter(|step| step.reversed)
            .filter_map(|step| match step.origin {
                Origin::Wire(wire) => Some(wire),
                Origin::Part { .. } => None,
            })
    }

    /// The parts and wires along the path, e.g. `G1 → W1 → F1 → … → E3 → chassis → G1`.
    pub fn words(&self, plan: &Plan) -> String {
        let mut words: Vec<String> = Vec::new();
        let mut at_ground = false;
        for step in &self.steps {
            let (id, ground) = match step.origin {
                Origin::Wire(wire) => (plan.wires.get(wire).map(|w| w.id.as_str()), false),
                Origin::Part { part, .. } => {
                    let part = plan.parts.get(part);
                    let ground = part.is_some_and(|p| matches!(p.kind, Kind::Ground(_)));
                    (part.map(|p| p.id.as_str()), ground)
                }
            };
            // Two ground points in a row are joined by the chassis.
            if ground && at_ground {
                words.push("chassis".into());
            }
            at_ground = ground;
            let backwards = if step.reversed { " (backwards)" } else { "" };
            words.push(format!("{}{backwards}", id.unwrap_or("?")));
        }
        words.join(" → ")
    }
}
