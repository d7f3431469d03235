//! Blocks: what hangs together without the rail is ordered and placed by itself, then the blocks are stacked.
//!
//! Postcondition: as `place`, for the whole body; blocks lie in the order of the plan and share no lane, so an
//! edit in one leaves the others as they are.

use super::graph::{Graph, Pin, What};
use super::nets::Net;
use crate::lanes::{self, Body, Node, Taps};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};

/// Bound on the work of placing, for each node; the dearest block of the largest plans is cut short.
const WORK: u64 = 800;
/// Bound for one block.
const MOST: u64 = 250_000;

/// Lanes of all nodes, and what each block costs.
pub(super) struct Placed {
    /// First lane of each node; nodes of the header get lane 0.
    pub rows: Vec<usize>,
    /// Nodes of each block, and its crossings and corners, weighted.
    pub blocks: Vec<(Vec<usize>, u64)>,
}

/// Places all blocks. Those that hold no node of `only`, if given, are not worked on.
pub(super) fn place(
    graph: &Graph,
    nets: &[Net],
    columns: &[Vec<usize>],
    only: Option<&BTreeSet<usize>>,
) -> Placed {
    let blocks = blocks(graph, nets, columns);
    stacked(graph, nets, columns, blocks, |body, block| {
        let wanted = only.is_none_or(|only| block.iter().any(|node| only.contains(node)));
        let work = if wanted {
            (WORK * block.len() as u64).min(MOST)
        } else {
            0
        };
        lanes::place(body, work)
    })
}

/// Places all blocks as they were before, by node; what is new goes where it costs least.
pub(super) fn place_near(
    graph: &Graph,
    nets: &[Net],
    columns: &[Vec<usize>],
    before: &[Option<usize>],
) -> Placed {
    let first = |block: &[usize]| block.iter().filter_map(|&node| before[node]).min();
    let mut blocks = blocks(graph, nets, columns);
    blocks.sort_by_key(|block| first(block).unwrap_or(usize::MAX));
    stacked(graph, nets, columns, blocks, |body, block| {
        let top = first(block).unwrap_or(1).max(1);
        let own: Vec<Option<usize>> = block
            .iter()
            .map(|&node| before[node].map(|row| row.max(top) - top + 1))
            .collect();
        let fresh = own.iter().all(Option::is_none);
        let work = (WORK * block.len() as u64).min(MOST);
        if fresh {
            lanes::place(body, work)
        } else {
            lanes::place_near(body, &own, work)
        }
    })
}

/// Places each block and puts one below the other.
fn stacked(
    graph: &Graph,
    nets: &[Net],
    columns: &[Vec<usize>],
    blocks: Vec<Vec<usize>>,
    placing: impl Fn(&Body, &[usize]) -> Vec<usize>,
) -> Placed {
    let mut placed = Placed {
        rows: vec![0; graph.nodes.len()],
        blocks: Vec::new(),
    };
    let mut column = vec![0; graph.nodes.len()];
    for (c, nodes) in columns.iter().enumerate() {
        for &node in nodes {
            column[node] = c;
        }
    }
    let mut next = 0;
    for block in blocks {
        let body = body(graph, nets, &column, &block);
        let rows = placing(&body, &block);
        let mut end = next;
        for (&node, &row) in block.iter().zip(&rows) {
            placed.rows[node] = next + row;
            end = end.max(placed.rows[node] + graph.nodes[node].slots - 1);
        }
        next = end;
        let cost = lanes::cost(&body, &rows);
        placed.blocks.push((block, cost));
    }
    placed
}

/// The block by itself, its nodes numbered in order, the feed last.
fn body(graph: &Graph, nets: &[Net], column: &[usize], block: &[usize]) -> Body {
    let local = |node: usize| block.binary_search(&node).ok();
    let nodes: Vec<Node> = block
        .iter()
        .map(|&node| Node {
            column: column[node],
            slots: graph.nodes[node].slots,
            ordered: matches!(graph.nodes[node].what, What::Part(_)),
        })
        .collect();
    let mut joined = Vec::new();
    for net in nets {
        let mut taps = Taps::default();
        let mut inside = false;
        for (_, tap) in net.taps() {
            let node = match tap.node.map(local) {
                None => block.len(),
                Some(Some(node)) => node,
                Some(None) => continue,
            };
            inside |= tap.node.is_some();
            let side = if tap.from_left {
                &mut taps.left
            } else {
                &mut taps.right
            };
            side.push((node, tap.slot));
        }
        if inside {
            joined.push((net.channel, taps));
        }
    }
    let mut chains: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (number, &node) in block.iter().enumerate() {
        if let What::Pass(link) = graph.nodes[node].what {
            chains.entry(link).or_default().push(number);
        }
    }
    let long = chains.into_values().filter(|chain| chain.len() > 1);
    Body::new(&nodes, joined, long.collect())
}

/// Sets of nodes joined by nets other than the rail's; nodes without nets make one set together, at the end.
fn blocks(graph: &Graph, nets: &[Net], columns: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let mut sets = UnionFind::<usize>::new(graph.nodes.len().max(1));
    let mut wired = vec![false; graph.nodes.len()];
    for net in nets {
        let rail = net.pins.contains(&Pin::Feed);
        let mut first = None;
        for (_, tap) in net.taps() {
            let Some(node) = tap.node else { continue };
            wired[node] = true;
            let first = *first.get_or_insert(node);
            if !rail {
                sets.union(first, node);
            }
        }
    }
    let mut nodes: Vec<usize> = columns.iter().flatten().copied().collect();
    nodes.sort_unstable();
    let mut out: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for &node in nodes.iter().filter(|&&node| wired[node]) {
        out.entry(sets.find(node)).or_default().push(node);
    }
    let mut out: Vec<Vec<usize>> = out.into_values().collect();
    out.sort();
    let loose: Vec<usize> = nodes.into_iter().filter(|&node| !wired[node]).collect();
    if !loose.is_empty() {
        out.push(loose);
    }
    out
}
