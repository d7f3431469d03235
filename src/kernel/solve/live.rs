//! Which branches can carry current at all, from the graph alone.
//!
//! Current flows in closed loops with a source in them, so only a block (biconnected component) that holds
//! a source carries any; every other branch has no current and no voltage. Blocks are found by one
//! depth-first search (Hopcroft and Tarjan 1973, "Algorithm 447"), written out here without recursion since
//! it runs once per solve. The same search gives the components without a path to the datum.

use crate::network::Network;

/// Marks what does not exist.
const NONE: u32 = u32::MAX;

/// One end of a branch as seen from a node.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near {
    /// The branch.
    pub branch: u32,
    /// The node at its other end.
    pub other: u32,
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
    /// Branches at each node, of any state: `starts[node]..starts[node + 1]` in `near`.
    starts: Vec<u32>,
    near: Vec<Near>,
    /// Nodes in the order they were first met, component by component, the datum's first.
    pub order: Vec<u32>,
    /// Branch by which each node was first met; [`NONE`] for the first of a component.
    pub entered_by: Vec<u32>,
    /// Whether each branch carries current.
    pub branch: Vec<bool>,
    /// The live branches as bits: equal bits mean the same currents.
    pub bits: Vec<u64>,
    /// Whether each node has no conducting path to the datum.
    pub floating: Vec<bool>,
    visits: Vec<Visit>,
    present: Vec<bool>,
    source: Vec<bool>,
    path: Vec<u32>,
    open: Vec<u32>,
}

impl Live {
    /// Prepares the search for networks of this topology.
    pub fn new(network: &Network) -> Self {
        let n = network.nodes;
        let mut at = vec![Vec::new(); n];
        for (branch, b) in network.branches.iter().enumerate() {
            if (b.from as usize) < n && (b.to as usize) < n && b.from != b.to {
                let branch = branch as u32;
                at[b.from as usize].push(Near {
                    branch,
                    other: b.to,
                });
                at[b.to as usize].push(Near {
                    branch,
                    other: b.from,
                });
            }
        }
        let mut starts = vec![0];
        let mut near = Vec::new();
        for ends in at {
            near.extend(ends);
            starts.push(near.len() as u32);
        }
        Self {
            starts,
            near,
            order: Vec::with_capacity(n),
            entered_by: vec![NONE; n],
            branch: vec![false; network.branches.len()],
            bits: vec![0; network.branches.len().div_ceil(64)],
            floating: vec![true; n],
            visits: vec![Visit::default(); n],
            ..Self::default()
        }
    }

    /// Branches that end at a node in some state.
    pub fn at(&self, node: u32) -> &[Near] {
        &self.near[self.starts[node as usize] as usize..self.starts[node as usize + 1] as usize]
    }

    /// Searches `network` as its branches are present now; branches it does not know are absent.
    pub fn search(&mut self, network: &Network) {
        let known = self.branch.len();
        self.present.clear();
        self.present
            .extend(network.branches.iter().map(|b| b.element.is_present()));
        self.present.resize(known, false);
        self.source.clear();
        let sources = network.branches.iter().map(|b| b.element.open_volts());
        self.source.extend(sources.map(|volts| volts.is_some()));
        self.source.resize(known, false);
        self.order.clear();
        self.branch.fill(false);
        self.bits.fill(0);
        self.visits.fill(Visit::default());
        let n = self.visits.len() as u32;
        if network.datum < n {
            self.component(network.datum, false);
        }
        for node in 0..n {
            if self.visits[node as usize].depth == 0 {
                self.component(node, true);
            }
        }
    }

    fn component(&mut self, root: u32, floating: bool) {
        self.meet(root, NONE, 1, floating);
        self.path.clear();
        self.path.push(root);
        while let Some(&node) = self.path.last() {
            let visit = &mut self.visits[node as usize];
            if visit.next < visit.end {
                let near = self.near[visit.next as usize];
                visit.next += 1;
                if !self.present[near.branch as usize]
                    || near.branch == self.entered_by[node as usize]
                {
                    continue;
                }
                let here = visit.depth;
                let there = self.visits[near.other as usize].depth;
                if there == 0 {
                    self.open.push(near.branch);
                    self.meet(near.other, near.branch, here + 1, floating);
                    self.path.push(near.other);
                } else if there < here {
                    self.open.push(near.branch);
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
                    self.close_block(self.entered_by[node as usize]);
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

    /// The branches opened since `first` make up a block; it is live if a source is among them.
    fn close_block(&mut self, first: u32) {
        let start = self.open.iter().rposition(|&b| b == first).unwrap_or(0);
        // A source alone is a bridge: nothing to feed, no loop, no current.
        let live = self.open.len() - start > 1
            && self.open[start..].iter().any(|&b| self.source[b as usize]);
        for b in self.open.drain(start..) {
            if live {
                self.branch[b as usize] = true;
                self.bits[b as usize / 64] |= 1 << (b % 64);
            }
        }
    }
}
