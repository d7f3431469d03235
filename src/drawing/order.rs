//! Order of the nodes in each column: barycentre sweeps (Sugiyama, Tagawa, Toda 1981), crossings counted with
//! an accumulator tree (Barth, Jünger, Mutzel 2004).
//!
//! Precondition: columns and nets. Postcondition: each column is a permutation of itself, and no start tried
//! had fewer crossings between columns.

use super::graph::Graph;
use super::nets::Net;
use std::collections::BTreeMap;

/// Sweeps to the right and back.
const SWEEPS: usize = 8;

/// Orders the columns. Gives the depth-first order and the one with fewest crossings: both are good starts.
pub(super) fn order(
    graph: &Graph,
    nets: &[Net],
    columns: &mut [Vec<usize>],
) -> Vec<Vec<Vec<usize>>> {
    let ends: Vec<Vec<(Option<usize>, usize, bool)>> = nets
        .iter()
        .map(|net| {
            net.taps()
                .map(|(_, tap)| (tap.node, tap.slot, tap.from_left))
                .collect()
        })
        .collect();
    let first = depth_first(graph, &ends, columns);
    for column in columns.iter_mut() {
        column.sort_by_key(|&node| first[node]);
    }
    let walked = columns.to_vec();
    let mut best = columns.to_vec();
    let mut fewest = all_crossings(graph, nets, &ends, columns);
    for sweep in 0..SWEEPS {
        let rightward = sweep % 2 == 0;
        let count = columns.len();
        for step in 0..count {
            let c = if rightward { step } else { count - 1 - step };
            let at = positions(graph, columns);
            let mut sum: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
            for (net, taps) in nets.iter().zip(&ends) {
                let looks = if rightward { c } else { c + 1 };
                if net.channel != looks {
                    continue;
                }
                // Own pins look into the channel from one side, those they follow from the other.
                let (others, own): (Vec<_>, Vec<_>) =
                    taps.iter().partition(|tap| tap.2 == rightward);
                for (node, slot, _) in own {
                    let Some(node) = node else { continue };
                    for (other, other_slot, _) in &others {
                        let y = other.map_or(0, |other| 2 * (at[other] + other_slot) + 2);
                        let entry = sum.entry(node).or_default();
                        entry.0 += y.saturating_sub(2 * slot);
                        entry.1 += 1;
                    }
                }
            }
            let mut keyed: Vec<(usize, usize)> = columns[c]
                .iter()
                .enumerate()
                .map(|(i, &node)| {
                    let key = sum
                        .get(&node)
                        .map_or(at[node] * 128, |(total, n)| total * 64 / n);
                    (key * 1024 + i.min(1023), node)
                })
                .collect();
            keyed.sort_unstable();
            columns[c] = keyed.into_iter().map(|(_, node)| node).collect();
        }
        let crossings = all_crossings(graph, nets, &ends, columns);
        if crossings < fewest {
            fewest = crossings;
            best = columns.to_vec();
        }
    }
    columns.clone_from_slice(&best);
    vec![walked, best]
}

/// First lane of each node, when every column is packed from the top.
fn positions(graph: &Graph, columns: &[Vec<usize>]) -> Vec<usize> {
    let mut at = vec![0; graph.nodes.len()];
    for column in columns {
        let mut next = 0;
        for &node in column {
            at[node] = next;
            next += graph.nodes[node].slots;
        }
    }
    at
}

/// Rank of each node in a depth-first walk from the feed: current paths come out one below the other.
fn depth_first(
    graph: &Graph,
    ends: &[Vec<(Option<usize>, usize, bool)>],
    columns: &[Vec<usize>],
) -> Vec<usize> {
    let n = graph.nodes.len();
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); n];
    let mut stack: Vec<usize> = Vec::new();
    for taps in ends {
        for (node, ..) in taps {
            if let Some(node) = *node {
                near[node].extend(taps.iter().filter_map(|tap| tap.0).filter(|&o| o != node));
            }
        }
    }
    // Last pushed is walked first: the feed's own, then whatever was not reached.
    for &node in columns.iter().flatten().rev() {
        stack.push(node);
    }
    for taps in ends
        .iter()
        .rev()
        .filter(|taps| taps.iter().any(|tap| tap.0.is_none()))
    {
        stack.extend(taps.iter().rev().filter_map(|tap| tap.0));
    }
    let mut rank = vec![usize::MAX; n];
    let mut next = 0;
    while let Some(node) = stack.pop() {
        if rank[node] == usize::MAX {
            rank[node] = next;
            next += 1;
            stack.extend(near[node].iter().rev());
        }
    }
    rank
}

/// Crossings between all neighbouring columns.
fn all_crossings(
    graph: &Graph,
    nets: &[Net],
    ends: &[Vec<(Option<usize>, usize, bool)>],
    columns: &[Vec<usize>],
) -> usize {
    let at = positions(graph, columns);
    let mut edges: BTreeMap<usize, Vec<(usize, usize)>> = BTreeMap::new();
    for (net, taps) in nets.iter().zip(ends) {
        let y = |tap: &(Option<usize>, usize, bool)| tap.0.map_or(0, |node| at[node] + tap.1 + 1);
        let list = edges.entry(net.channel).or_default();
        for left in taps.iter().filter(|tap| tap.2) {
            list.extend(
                taps.iter()
                    .filter(|tap| !tap.2)
                    .map(|right| (y(left), y(right))),
            );
        }
    }
    edges.into_values().map(crossings).sum()
}

/// Crossings of straight edges between two columns, given as pairs of positions.
pub(super) fn crossings(mut edges: Vec<(usize, usize)>) -> usize {
    edges.sort_unstable();
    let size = edges.iter().map(|e| e.1 + 1).max().unwrap_or(0);
    let leaves = size.next_power_of_two();
    let mut tree = vec![0_usize; 2 * leaves];
    let mut total = 0;
    // Edges with the same left end cannot cross: they are counted against earlier groups first.
    for group in edges.chunk_by(|a, b| a.0 == b.0) {
        for &(_, right) in group {
            let mut node = leaves + right;
            while node > 1 {
                if node % 2 == 0 {
                    total += tree[node + 1];
                }
                node /= 2;
            }
        }
        for &(_, right) in group {
            let mut node = leaves + right;
            while node >= 1 {
                tree[node] += 1;
                node /= 2;
            }
        }
    }
    total
}
