//! Blocks: what hangs together without the rail is ordered and placed by itself, then the blocks are stacked.
//!
//! Postcondition: as `place`, for the whole body; blocks lie in the order of the plan and share no lane, so an
//! edit in one leaves the others as they are.

use super::body::Body;
use super::graph::{Graph, Pin};
use super::nets::Net;
use super::{order, place};
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

/// Bound on the work of placing, shared out by the number of nodes.
const WORK: u64 = 1_000_000;

/// Shuffled orders tried for each block.
const SHUFFLES: usize = 8;

/// First lane of each node; nodes of the header get lane 0.
pub(super) fn place(graph: &Graph, nets: &[Net], columns: &[Vec<usize>]) -> Vec<usize> {
    let mut rows = vec![0; graph.nodes.len()];
    let total = columns.iter().map(Vec::len).sum::<usize>().max(1);
    let mut next = 0;
    for block in blocks(graph, nets, columns) {
        let body = Body::new(graph, nets, columns, &block);
        let orders = order::orders(&body, SHUFFLES);
        let work = WORK * block.len() as u64 / total as u64;
        let placed = place::place(&body, &orders, work);
        let mut end = next;
        for (&node, &row) in block.iter().zip(&placed) {
            rows[node] = next + row;
            end = end.max(rows[node] + graph.nodes[node].slots - 1);
        }
        next = end;
    }
    rows
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
