//! The way current takes from battery to lamp to battery, read off an operating point.
//!
//! From the lamp the walk follows, at every node, the branch that brings in (upstream) or takes away
//! (downstream) the largest current. Outside a source current only flows towards lower voltage, so the walk
//! never meets itself; it ends at the battery.

use super::Outcome;
use crate::circuit::{Circuit, Origin};
use crate::network::NodeId;
use crate::plan::{Kind, Part, Plan};
use crate::text::say;

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
        Self::through(circuit, outcome, phase, circuit.lamps.get(lamp)?.branch)
    }

    /// Traces any branch, such as the coil of a relay; its place is `lamp`.
    pub fn through(
        circuit: &Circuit,
        outcome: &Outcome,
        phase: usize,
        start: usize,
    ) -> Option<Path> {
        let amps = if phase == 0 {
            &outcome.on.amps
        } else {
            &outcome.off.amps
        };
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
        let same = |(a, b): (&Step, &Step)| a.origin == b.origin && a.reversed == b.reversed;
        self.steps.len() == other.steps.len() && self.steps.iter().zip(&other.steps).all(same)
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
            let id = match step.origin {
                Origin::Wire(wire) => plan.wires.get(wire).map(|w| w.id.as_str()),
                Origin::Part { part, .. } => plan.parts.get(part).map(|p| p.id.as_str()),
            };
            let ground = step.is_ground(plan);
            // Two ground points in a row are joined by the chassis.
            if ground && at_ground {
                words.push(say!("chassis").into());
            }
            at_ground = ground;
            let id = id.unwrap_or("?");
            words.push(if step.reversed {
                say!("{id} (backwards)")
            } else {
                id.to_owned()
            });
        }
        words.join(" → ")
    }

    /// The part whose contact lets the current of this path through: the last switch or relay before the lamp, else
    /// the last part before it.
    pub fn feed<'p>(&self, plan: &'p Plan) -> Option<&'p Part> {
        let before = self.steps.iter().take(self.lamp).rev();
        let parts: Vec<&Part> = before
            .filter_map(|step| match step.origin {
                Origin::Part { part, .. } => plan.parts.get(part),
                Origin::Wire(_) => None,
            })
            .collect();
        let switches = |part: &&&Part| matches!(part.kind, Kind::Switch(_) | Kind::Relay(_));
        parts
            .iter()
            .find(switches)
            .or_else(|| parts.first())
            .copied()
    }

    /// The path in plain words, part by part; of the wires those that run backwards.
    ///
    /// `from battery G1 through fuse F1 (Main fuse) and backwards through wire W16 into lamp E4 (Rear right), and on
    /// by ground point XG4, the chassis and ground point XG5 to battery G1`
    pub fn sentence(&self, plan: &Plan) -> String {
        let name = |step: &Step| -> Option<String> {
            match step.origin {
                Origin::Part { part, .. } => plan.parts.get(part).map(Part::with_kind),
                Origin::Wire(wire) if step.reversed => {
                    let wire = plan.wires.get(wire)?;
                    Some(say!("backwards through wire {}", wire.id))
                }
                Origin::Wire(_) => None,
            }
        };
        let names = |steps: &[Step]| -> Vec<String> {
            let mut names: Vec<String> = Vec::new();
            let mut at_ground = false;
            for step in steps {
                let ground = step.is_ground(plan);
                if ground && at_ground {
                    names.push(say!("the chassis").into());
                }
                at_ground = ground;
                names.extend(name(step));
            }
            names
        };
        let split = self.lamp.min(self.steps.len());
        let (before, rest) = self.steps.split_at(split);
        let mut feed = names(before);
        let source = (!feed.is_empty()).then(|| feed.remove(0));
        let source = source.as_deref();
        let mut sentence = say!("from {}", source.unwrap_or(say!("an unknown source")));
        if !feed.is_empty() {
            // What comes after the source begins with a part or with a wire, which says its own "through".
            let second = before.iter().filter(|step| name(step).is_some()).nth(1);
            let by_wire = second.is_some_and(|step| matches!(step.origin, Origin::Wire(_)));
            let feed = and(&feed);
            sentence.push_str(&if by_wire {
                format!(" {feed}")
            } else {
                say!(" through {feed}")
            });
        }
        if let Some((lamp, after)) = rest.split_first() {
            sentence.push_str(&say!(" into {}", name(lamp).unwrap_or_default()));
            let mut back = names(after);
            let sink = back.pop();
            if !back.is_empty() {
                sentence.push_str(&say!(", and on by {}", and(&back)));
            }
            if let Some(sink) = sink {
                sentence.push_str(&say!(" to {sink}"));
            }
        }
        sentence
    }
}

impl Step {
    fn is_ground(&self, plan: &Plan) -> bool {
        match self.origin {
            Origin::Part { part, .. } => {
                let part = plan.parts.get(part);
                part.is_some_and(|part| matches!(part.kind, Kind::Ground(_)))
            }
            Origin::Wire(_) => false,
        }
    }
}

/// `a`, `a and b`, `a, b and c`.
fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => say!("{} and {last}", first.join(", ")),
    }
}
