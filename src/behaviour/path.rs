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
        Currents::of(circuit, outcome, phase).path(start)
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

/// The largest current into and out of every node in one phase, from which all paths of that phase are read.
#[derive(Debug)]
pub(super) struct Currents<'a> {
    circuit: &'a Circuit,
    amps: &'a [f64],
    /// For each node the branch that brings in most, and the one that takes away most; [`NONE`] where none does.
    into: Vec<u32>,
    out: Vec<u32>,
}

/// Marks a node without a current.
const NONE: u32 = u32::MAX;

impl<'a> Currents<'a> {
    /// Reads a phase (0: flashers closed, 1: open) of a solved state.
    pub fn of(circuit: &'a Circuit, outcome: &'a Outcome, phase: usize) -> Self {
        let amps = if phase == 0 {
            &outcome.on.amps
        } else {
            &outcome.off.amps
        };
        let mut currents = Self {
            circuit,
            amps,
            into: vec![NONE; circuit.nodes],
            out: vec![NONE; circuit.nodes],
        };
        for branch in 0..circuit.branches.len().min(amps.len()) {
            if amps[branch].is_nan() || amps[branch].abs() < TRACE_AMPS {
                continue;
            }
            let (tail, head) = currents.ends(branch);
            for (largest, node) in [(&mut currents.into, head), (&mut currents.out, tail)] {
                let Some(known) = largest.get_mut(node as usize) else {
                    continue;
                };
                if *known == NONE || amps[branch].abs() > amps[*known as usize].abs() {
                    *known = branch as u32;
                }
            }
        }
        currents
    }

    /// The ends of a branch in the direction of its current.
    fn ends(&self, branch: usize) -> (NodeId, NodeId) {
        let b = &self.circuit.branches[branch];
        if self.amps[branch] >= 0.0 {
            (b.from, b.to)
        } else {
            (b.to, b.from)
        }
    }

    /// The path through a branch; `None` when it carries next to nothing.
    pub fn path(&self, start: usize) -> Option<Path> {
        if self.amps.get(start)?.abs() < TRACE_AMPS {
            return None;
        }
        let (tail, head) = self.ends(start);
        let mut up = self.walk(tail, true);
        up.reverse();
        let lamp = up.len();
        let steps = up
            .into_iter()
            .chain([start])
            .chain(self.walk(head, false))
            .map(|branch| self.step(branch))
            .collect();
        Some(Path { steps, lamp })
    }

    fn walk(&self, mut node: NodeId, upstream: bool) -> Vec<usize> {
        let largest = if upstream { &self.into } else { &self.out };
        let mut found: Vec<usize> = Vec::new();
        while found.len() <= self.circuit.branches.len() {
            let branch = match largest.get(node as usize) {
                Some(&branch) if branch != NONE => branch as usize,
                _ => break,
            };
            found.push(branch);
            if self.circuit.branches[branch].is_source() {
                break;
            }
            let (tail, head) = self.ends(branch);
            node = if upstream { tail } else { head };
        }
        found
    }

    fn step(&self, branch: usize) -> Step {
        let (origin, current) = (self.circuit.branches[branch].origin, self.amps[branch]);
        Step {
            origin,
            amps: current.abs(),
            reversed: current < 0.0 && matches!(origin, Origin::Wire(_)),
        }
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
