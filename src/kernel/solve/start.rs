//! Where Newton starts: every element taken as the tangent of its law at the voltage it had when its ends
//! were last fed, or not fed, as they are now. The start is then the solution of a linear network, so that
//! Kirchhoff's law holds in it however long ago the remembered voltages were found.
//!
//! Which nodes are fed is guessed from the graph: those that current can reach from the positive poles
//! without running backwards through a diode and without passing the ground side. A wrong guess costs Newton
//! steps, never correctness, since the iteration converges from any start.

use super::live::Live;
use crate::network::{Branch, Element, Network, NodeId};

/// Conductors at least this good, in siemens, join a node to the ground side.
const GROUND_SIEMENS: f64 = 1.0;

/// Remembered voltages.
#[derive(Debug, Clone, Default)]
pub(super) struct Start {
    /// Volts along each branch for each of the four ways its ends can be fed.
    drops: Vec<[f64; 4]>,
    fed: Vec<bool>,
    ground: Vec<bool>,
    queue: Vec<NodeId>,
}

impl Start {
    pub fn new(nodes: usize, branches: usize) -> Self {
        Self {
            drops: vec![[0.0; 4]; branches],
            fed: vec![false; nodes],
            ground: vec![false; nodes],
            queue: Vec::with_capacity(nodes),
        }
    }

    /// Forgets all voltages.
    pub fn reset(&mut self) {
        self.drops.fill([0.0; 4]);
    }

    /// Finds the nodes that are fed now.
    pub fn look(&mut self, network: &Network, live: &Live) {
        self.ground.fill(false);
        self.fed.fill(false);
        if (network.datum as usize) < self.ground.len() {
            spread(
                live,
                network,
                &mut self.queue,
                [network.datum],
                &mut self.ground,
                |element, _| matches!(element, Element::Conductor { siemens } if *siemens >= GROUND_SIEMENS),
            );
        }
        let poles = network
            .branches
            .iter()
            .zip(&live.branch)
            .filter_map(|(b, &live)| {
                let source = b.element.open_volts().is_some();
                (live && source).then_some(b.from)
            });
        // Ground nodes count as visited, so that nothing is fed through them.
        self.fed.clone_from(&self.ground);
        spread(
            live,
            network,
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

    /// Volts remembered along a branch, to read or to write.
    pub fn drop(&mut self, branch: usize, ends: &Branch) -> &mut f64 {
        let fed = |node: NodeId| usize::from(self.fed[node as usize]);
        let way = 2 * fed(ends.from) + fed(ends.to);
        &mut self.drops[branch][way]
    }
}

/// Marks every node reached from `from` over live branches that `passes` lets through.
fn spread(
    live: &Live,
    network: &Network,
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
            let (branch, other) = (near.branch as usize, near.other as usize);
            if !live.branch[branch] || seen[other] {
                continue;
            }
            let b = &network.branches[branch];
            if passes(&b.element, b.from == node) {
                seen[other] = true;
                queue.push(near.other);
            }
        }
    }
}
