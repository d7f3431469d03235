//! Which branches can carry current at all, from the graph alone.
//!
//! Current flows in closed loops with a source in them, so only a block (biconnected component) that holds
//! a source carries any; every other branch has no current and no voltage. Blocks are found by one
//! depth-first search (Hopcroft and Tarjan 1973, "Algorithm 447"), written out here without recursion since
//! it runs once per solve. The same search gives the components without a path to the datum.

use crate::network::{Element, Network};

/// Marks what does not exist.
const NONE: u32 = u32::MAX;

/// The searched graph of one network.
#[derive(Debug, Clone, Default)]
pub(super) struct Live {
    /// Branches at each node, of any state: `starts[node]..starts[node + 1]` in `near`.
    starts: Vec<u32>,
    near: Vec<u32>,
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
    depth: Vec<u32>,
    low: Vec<u32>,
    next: Vec<u32>,
    path: Vec<u32>,
    open: Vec<u32>,
}

impl Live {
    /// Prepares the search for networks of this topology.
    pub fn new(network: &Network) -> Self {
        let n = network.nodes;
        let usable = |b: &&(usize, &crate::network::Branch)| {
            (b.1.from as usize) < n && (b.1.to as usize) < n && b.1.from != b.1.to
        };
        let mut counts = vec![0_u32; n + 1];
        for (_, b) in network.branches.iter().enumerate().filter(|b| usable(&b)) {
            counts[b.from as usize + 1] += 1;
            counts[b.to as usize + 1] += 1;
        }
        for i in 0..n {
            counts[i + 1] += counts[i];
        }
        let mut fill = counts.clone();
        let mut near = vec![0; counts[n] as usize];
        for (i, b) in network.branches.iter().enumerate().filter(|b| usable(&b)) {
            for end in [b.from, b.to] {
                near[fill[end as usize] as usize] = i as u32;
                fill[end as usize] += 1;
            }
        }
        Self {
            starts: counts,
            near,
            order: Vec::with_capacity(n),
            entered_by: vec![NONE; n],
            branch: vec![false; network.branches.len()],
            bits: vec![0; network.branches.len().div_ceil(64)],
            floating: vec![true; n],
            depth: vec![0; n],
            low: vec![0; n],
            next: vec![0; n],
            path: Vec::new(),
            open: Vec::new(),
        }
    }

    /// Branches that end at a node in some state.
    pub fn branches_at(&self, node: u32) -> impl Iterator<Item = usize> + '_ {
        let range = self.starts[node as usize] as usize..self.starts[node as usize + 1] as usize;
        self.near[range].iter().map(|&branch| branch as usize)
    }

    /// Searches `network` as its branches are present now.
    pub fn search(&mut self, network: &Network) {
        self.order.clear();
        self.branch.fill(false);
        self.bits.fill(0);
        self.floating.fill(true);
        self.depth.fill(0);
        let n = self.depth.len() as u32;
        if network.datum < n {
            self.component(network, network.datum, false);
        }
        for node in 0..n {
            if self.depth[node as usize] == 0 {
                self.component(network, node, true);
            }
        }
    }

    fn component(&mut self, network: &Network, root: u32, floating: bool) {
        self.meet(root, NONE, 1, floating);
        self.path.clear();
        self.path.push(root);
        while let Some(&node) = self.path.last() {
            let at = self.next[node as usize];
            if at < self.starts[node as usize + 1] {
                self.next[node as usize] = at + 1;
                let index = self.near[at as usize];
                let Some(branch) = network.branches.get(index as usize) else {
                    continue;
                };
                if !branch.element.is_present() || index == self.entered_by[node as usize] {
                    continue;
                }
                let other = if branch.from == node {
                    branch.to
                } else {
                    branch.from
                };
                let depth = self.depth[other as usize];
                if depth == 0 {
                    self.open.push(index);
                    self.meet(other, index, self.depth[node as usize] + 1, floating);
                    self.path.push(other);
                } else if depth < self.depth[node as usize] {
                    self.open.push(index);
                    self.low[node as usize] = self.low[node as usize].min(depth);
                }
            } else {
                self.path.pop();
                let Some(&parent) = self.path.last() else {
                    break;
                };
                let low = self.low[node as usize];
                self.low[parent as usize] = self.low[parent as usize].min(low);
                if low >= self.depth[parent as usize] {
                    self.close_block(network, self.entered_by[node as usize]);
                }
            }
        }
    }

    fn meet(&mut self, node: u32, by: u32, depth: u32, floating: bool) {
        let i = node as usize;
        self.order.push(node);
        self.entered_by[i] = by;
        self.depth[i] = depth;
        self.low[i] = depth;
        self.next[i] = self.starts[i];
        self.floating[i] = floating;
    }

    /// The branches opened since `first` make up a block; it is live if a source is among them.
    fn close_block(&mut self, network: &Network, first: u32) {
        let start = self.open.iter().rposition(|&b| b == first).unwrap_or(0);
        let source =
            |&b: &u32| matches!(network.branches[b as usize].element, Element::Source { .. });
        // A source alone is a bridge: nothing to feed, no loop, no current.
        if self.open.len() - start > 1 && self.open[start..].iter().any(source) {
            for &b in &self.open[start..] {
                self.branch[b as usize] = true;
                self.bits[b as usize / 64] |= 1 << (b % 64);
            }
        }
        self.open.truncate(start);
    }
}
