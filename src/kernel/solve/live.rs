//! Which runs of branches can carry current at all, from the graph alone.
//!
//! Current flows in closed loops with a source in them, so only a block (biconnected component) that holds
//! a source carries any; every other run has no current and no voltage. Blocks are found by one
//! depth-first search (Hopcroft and Tarjan 1973, "Algorithm 447"), written out here without recursion since
//! it runs once per solve. The same search gives the components without a path to the datum.

use super::runs::{Found, Runs};
use crate::network::NodeId;

/// Marks what does not exist.
const NONE: u32 = u32::MAX;

/// One end of a run as seen from a node.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near {
    /// The run.
    pub run: u32,
    /// The node at its other end.
    pub other: u32,
    /// Whether it leads ahead along the run.
    pub ahead: bool,
}

/// What the search knows of a node.
#[derive(Debug, Clone, Copy, Default)]
struct Visit {
    /// Depth in the search tree, from 1; 0 while it has not been met.
    depth: u32,
    /// Least depth reached from below it.
    low: u32,
    /// Next of its branches to follow, and the end of them, in `near`.
    next: u32,
    end: u32,
}

/// The searched graph of one network.
#[derive(Debug, Clone, Default)]
pub(super) struct Live {
    /// Runs at each node, of any state: `starts[node]..starts[node + 1]` in `near`.
    starts: Vec<u32>,
    near: Vec<Near>,
    /// Nodes that are not inside a run, the datum first.
    nodes: Vec<NodeId>,
    /// These in the order they were first met, component by component, the datum's first.
    pub order: Vec<NodeId>,
    /// Run by which each node was first met; [`NONE`] for the first of a component.
    pub entered_by: Vec<u32>,
    /// Whether each run carries current.
    pub run: Vec<bool>,
    /// The live runs as bits: equal bits mean the same currents.
    pub bits: Vec<u64>,
    /// Whether each node has no conducting path to the datum.
    pub floating: Vec<bool>,
    visits: Vec<Visit>,
    path: Vec<u32>,
    open: Vec<u32>,
}

impl Live {
    /// Prepares the search for networks made of these runs.
    pub fn new(runs: &Runs, datum: NodeId) -> Self {
        let n = runs.inner.len();
        let mut at = vec![Vec::new(); n];
        for (run, &(from, to)) in (0..).zip(&runs.ends) {
            if from != to {
                for (node, other, ahead) in [(from, to, true), (to, from, false)] {
                    at[node as usize].push(Near { run, other, ahead });
                }
            }
        }
        let mut starts = vec![0];
        let mut near = Vec::new();
        for ends in at {
            near.extend(ends);
            starts.push(near.len() as u32);
        }
        let outer = (0..n as u32).filter(|&node| !runs.inner[node as usize]);
        let (first, rest): (Vec<u32>, Vec<u32>) = outer.partition(|&node| node == datum);
        Self {
            starts,
            near,
            nodes: first.into_iter().chain(rest).collect(),
            order: Vec::with_capacity(n),
            entered_by: vec![NONE; n],
            run: vec![false; runs.len()],
            bits: vec![0; runs.len().div_ceil(64)],
            floating: vec![true; n],
            visits: vec![Visit::default(); n],
            ..Self::default()
        }
    }

    /// Runs that end at a node in some state.
    pub fn at(&self, node: NodeId) -> &[Near] {
        &self.near[self.starts[node as usize] as usize..self.starts[node as usize + 1] as usize]
    }

    /// Searches the graph of the runs as they are found now.
    pub fn search(&mut self, found: &[Found], datum: NodeId) {
        self.order.clear();
        self.run.fill(false);
        self.bits.fill(0);
        self.visits.fill(Visit::default());
        for at in 0..self.nodes.len() {
            let node = self.nodes[at];
            if self.visits[node as usize].depth == 0 {
                self.component(node, node != datum, found);
            }
        }
    }

    fn component(&mut self, root: NodeId, floating: bool, found: &[Found]) {
        self.meet(root, NONE, 1, floating);
        self.path.clear();
        self.path.push(root);
        while let Some(&node) = self.path.last() {
            let visit = &mut self.visits[node as usize];
            if visit.next < visit.end {
                let near = self.near[visit.next as usize];
                visit.next += 1;
                if found[near.run as usize] == Found::Absent
                    || near.run == self.entered_by[node as usize]
                {
                    continue;
                }
                let here = visit.depth;
                let there = self.visits[near.other as usize].depth;
                if there == 0 {
                    self.open.push(near.run);
                    self.meet(near.other, near.run, here + 1, floating);
                    self.path.push(near.other);
                } else if there < here {
                    self.open.push(near.run);
                    let visit = &mut self.visits[node as usize];
                    visit.low = visit.low.min(there);
                }
            } else {
                let low = visit.low;
                self.path.pop();
                let Some(&parent) = self.path.last() else {
                    break;
                };
                let above = &mut self.visits[parent as usize];
                above.low = above.low.min(low);
                if low >= above.depth {
                    self.close_block(self.entered_by[node as usize], found);
                }
            }
        }
    }

    fn meet(&mut self, node: u32, by: u32, depth: u32, floating: bool) {
        let i = node as usize;
        self.order.push(node);
        self.entered_by[i] = by;
        self.floating[i] = floating;
        let (next, end) = (self.starts[i], self.starts[i + 1]);
        self.visits[i] = Visit {
            depth,
            low: depth,
            next,
            end,
        };
    }

    /// The runs opened since `first` make up a block; it is live if a source is among them.
    fn close_block(&mut self, first: u32, found: &[Found]) {
        let start = self.open.iter().rposition(|&run| run == first).unwrap_or(0);
        let source = |&run: &u32| found[run as usize] == Found::Source;
        // A source alone is a bridge: nothing to feed, no loop, no current.
        let live = self.open.len() - start > 1 && self.open[start..].iter().any(source);
        for run in self.open.drain(start..) {
            if live {
                self.run[run as usize] = true;
                self.bits[run as usize / 64] |= 1 << (run % 64);
            }
        }
    }
}
