//! Where Newton starts: every element taken as the tangent of its law at the voltage it had when its ends
//! were last fed, or not fed, as they are now. The start is then the solution of a linear network, so that
//! Kirchhoff's law holds in it however long ago the remembered voltages were found.
//!
//! Which nodes are fed is guessed from the graph: those that current can reach from the positive poles
//! without running backwards through a diode and without passing the ground side. A wrong guess costs steps,
//! never correctness, since the iteration converges from any start.
//!
//! Where the guess was wrong for a junction, the voltage found may be volts above its knee, and Newton would come
//! down the exponential by one thermal voltage a step. So its tangent is taken anew where the law carries the current
//! that the old tangent predicts, not where it has the voltage, and the linear network solved again (alternating
//! bases: Nagel, SPICE2, Memorandum ERL-M520, University of California, Berkeley, 1975). A node that only blocking
//! junctions hold makes the two tangents of such a junction take turns; from some round on one that turns back goes
//! half the way.

use super::Solver;
use super::live::Live;
use crate::network::{Element, NodeId};

/// Conductors at least this good, in siemens, join a node to the ground side.
const GROUND_SIEMENS: f64 = 1.0;
/// Linear networks solved before Newton has to start from what there is.
const MAX_ROUNDS: u32 = 40;
/// Rounds after which a junction that turns back goes half the way.
const FREE_ROUNDS: u32 = 3;
/// A junction this many of its thermal voltages above the voltage for its current is too far for Newton.
const FAR: f64 = 0.1;

/// Remembered voltages.
#[derive(Debug, Clone, Default)]
pub(super) struct Start {
    /// Volts along each run for each of the four ways its ends can be fed.
    drops: Vec<[f64; 4]>,
    fed: Vec<bool>,
    ground: Vec<bool>,
    queue: Vec<NodeId>,
}

impl Start {
    pub fn new(nodes: usize, runs: usize) -> Self {
        Self {
            drops: vec![[0.0; 4]; runs],
            fed: vec![false; nodes],
            ground: vec![false; nodes],
            queue: Vec::with_capacity(nodes),
        }
    }

    /// Forgets all voltages.
    pub fn reset(&mut self) {
        self.drops.fill([0.0; 4]);
    }

    /// Finds the nodes that are fed now from the `poles` of live sources.
    pub fn look(
        &mut self,
        elements: &[Element],
        live: &Live,
        datum: NodeId,
        poles: impl Iterator<Item = NodeId>,
    ) {
        self.ground.fill(false);
        if (datum as usize) < self.ground.len() {
            spread(
                live,
                elements,
                &mut self.queue,
                [datum],
                &mut self.ground,
                |element, _| matches!(element, Element::Conductor { siemens } if *siemens >= GROUND_SIEMENS),
            );
        }
        // Ground nodes count as visited, so that nothing is fed through them.
        self.fed.clone_from(&self.ground);
        spread(
            live,
            elements,
            &mut self.queue,
            poles,
            &mut self.fed,
            |element, forward| match element {
                Element::Source { .. } | Element::Limited(_) | Element::Absent => false,
                Element::Junction(_) | Element::Regulated(_) => forward,
                Element::Conductor { .. } | Element::Filament(_) => true,
            },
        );
    }

    /// Volts remembered along a run with these ends, to read or to write.
    pub fn drop(&mut self, run: usize, (from, to): (NodeId, NodeId)) -> &mut f64 {
        let fed = |node: NodeId| usize::from(self.fed[node as usize]);
        let way = 2 * fed(from) + fed(to);
        &mut self.drops[run][way]
    }
}

/// Marks every node reached from `from` over live runs that `passes` lets through.
fn spread(
    live: &Live,
    elements: &[Element],
    queue: &mut Vec<NodeId>,
    from: impl IntoIterator<Item = NodeId>,
    seen: &mut [bool],
    passes: impl Fn(&Element, bool) -> bool,
) {
    queue.clear();
    for node in from {
        if !seen[node as usize] {
            seen[node as usize] = true;
            queue.push(node);
        }
    }
    while let Some(node) = queue.pop() {
        for near in live.at(node) {
            let (run, other) = (near.run as usize, near.other as usize);
            if !live.run[run] || seen[other] {
                continue;
            }
            if passes(&elements[run], near.ahead) {
                seen[other] = true;
                queue.push(near.other);
            }
        }
    }
}

impl Solver {
    /// Leaves the start in `volts`; `None` if there is none, else how many linear networks were solved beyond the first.
    pub(super) fn begin(&mut self) -> Option<u32> {
        for (tangent, bent) in self.tangents.iter_mut().zip(&self.system.bent) {
            let ends = self.runs.ends[bent.run as usize];
            tangent.volts = *self.start.drop(bent.run as usize, ends);
        }
        for round in 0..MAX_ROUNDS {
            if !self.solve_tangents() {
                return None;
            }
            let mut far = false;
            for (tangent, bent) in self.tangents.iter_mut().zip(&self.system.bent) {
                let drop = self.volts[bent.from as usize] - self.volts[bent.to as usize];
                let mut next = drop;
                if let Element::Junction(junction) = &self.elements[bent.run as usize] {
                    let reach = FAR * junction.thermal_volts();
                    if drop > tangent.volts + reach || drop < tangent.volts - reach {
                        let amps = tangent.amps + tangent.siemens * (drop - tangent.volts);
                        let volts = junction.volts_at(amps - junction.leak_amps(drop), drop);
                        far |= drop > volts + reach;
                        next = volts;
                    }
                }
                let moved = next - tangent.volts;
                if round >= FREE_ROUNDS && moved * tangent.moved < 0.0 {
                    next -= 0.5 * moved;
                }
                (tangent.volts, tangent.moved) = (next, moved);
            }
            if !far {
                return Some(round);
            }
        }
        Some(MAX_ROUNDS)
    }
}
