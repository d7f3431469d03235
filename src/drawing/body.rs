//! One block of the drawing graph with local indices: what `order` and `place` work on.
//!
//! Postcondition: nodes are numbered 0…, the feed last; every tap of every net names a node of the block or the feed.

use super::cost::Taps;
use super::graph::{Graph, What};
use super::nets::Net;
use std::collections::BTreeMap;

/// Nodes, columns and channel nets of a block.
#[derive(Debug, Clone)]
pub(super) struct Body {
    /// Lanes of each node; the feed has one.
    pub slots: Vec<usize>,
    /// Column of each node but the feed.
    pub column: Vec<usize>,
    /// Nodes of each column in the order of the plan.
    pub columns: Vec<Vec<usize>>,
    /// Nets of each channel.
    pub channels: Vec<Vec<Taps>>,
    /// Channels each node has pins in.
    pub near: Vec<Vec<usize>>,
    /// Nodes that stand for parts.
    pub part: Vec<bool>,
    /// Long wires: their passes in neighbouring columns.
    pub chains: Vec<Vec<usize>>,
}

impl Body {
    /// The block of these nodes (sorted), with the nets that touch it.
    pub fn new(graph: &Graph, nets: &[Net], columns: &[Vec<usize>], block: &[usize]) -> Self {
        let local = |node: usize| block.binary_search(&node).ok();
        let feed = block.len();
        let mut body = Self {
            slots: block.iter().map(|&node| graph.nodes[node].slots).collect(),
            column: vec![0; feed],
            columns: vec![Vec::new(); columns.len()],
            channels: vec![Vec::new(); columns.len() + 2],
            near: vec![Vec::new(); feed + 1],
            part: block
                .iter()
                .map(|&node| matches!(graph.nodes[node].what, What::Part(_)))
                .collect(),
            chains: Vec::new(),
        };
        body.slots.push(1);
        for (c, nodes) in columns.iter().enumerate() {
            body.columns[c] = nodes.iter().filter_map(|&node| local(node)).collect();
            body.columns[c].sort_unstable();
            for &node in &body.columns[c] {
                body.column[node] = c;
            }
        }
        for net in nets {
            let mut taps = Taps::default();
            let mut inside = false;
            for (_, tap) in net.taps() {
                let node = match tap.node {
                    None => feed,
                    Some(node) => match local(node) {
                        Some(node) => node,
                        None => continue,
                    },
                };
                inside |= node != feed;
                let side = if tap.from_left {
                    &mut taps.left
                } else {
                    &mut taps.right
                };
                side.push((node, tap.slot));
            }
            if !inside {
                continue;
            }
            for &(node, _) in taps.all() {
                if body.near[node].last() != Some(&net.channel) {
                    body.near[node].push(net.channel);
                }
            }
            body.channels[net.channel].push(taps);
        }
        let mut chains: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (node, &global) in block.iter().enumerate() {
            if let What::Pass(link) = graph.nodes[global].what {
                chains.entry(link).or_default().push(node);
            }
        }
        body.chains = chains
            .into_values()
            .filter(|chain| chain.len() > 1)
            .collect();
        body
    }

    /// The feed's number.
    pub fn feed(&self) -> usize {
        self.column.len()
    }
}
