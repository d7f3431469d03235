//! Orders of the nodes in each column to start from: barycentre sweeps over nets (Sugiyama, Tagawa, Toda 1981), from
//! a depth-first order and from shuffled ones.
//!
//! A net pulls each of its pins to the middle of its pins on the other side, or, if it has none there, to the middle of
//! its own. Precondition: a block. Postcondition: each column of each order is a permutation of the block's column.

use super::body::Body;

/// Sweeps to the right and back for each start.
const SWEEPS: usize = 6;

/// Depth-first order, and the orders that sweeps make of it and of `shuffles` shuffled ones.
pub(super) fn orders(body: &Body, shuffles: usize) -> Vec<Vec<Vec<usize>>> {
    let rank = depth_first(body);
    let mut columns = body.columns.clone();
    for column in &mut columns {
        column.sort_by_key(|&node| rank[node]);
    }
    let mut out = vec![columns.clone()];
    sweeps(body, &mut columns, &mut out);
    let mut seed = 0x2545_f491_u32;
    for _ in 0..shuffles {
        let keys: Vec<u32> = (0..body.feed())
            .map(|_| {
                // Marsaglia's xorshift: the same shuffles for every plan.
                seed ^= seed << 13;
                seed ^= seed >> 17;
                seed ^= seed << 5;
                seed
            })
            .collect();
        let mut columns = body.columns.clone();
        for column in &mut columns {
            column.sort_by_key(|&node| keys[node]);
        }
        sweeps(body, &mut columns, &mut out);
    }
    out
}

/// Keeps the order after every second sweep but the first few.
fn sweeps(body: &Body, columns: &mut [Vec<usize>], out: &mut Vec<Vec<Vec<usize>>>) {
    let mut at = vec![0; body.slots.len()];
    for nodes in columns.iter() {
        number(body, nodes, &mut at);
    }
    for sweep in 0..SWEEPS {
        let rightward = sweep % 2 == 0;
        let count = columns.len();
        for step in 0..count {
            let c = if rightward { step } else { count - 1 - step };
            sort(body, &mut columns[c], c, rightward, &mut at);
        }
        if sweep > 2 && out.last().is_none_or(|last| last != columns) {
            out.push(columns.to_vec());
        }
    }
}

/// First lane of each node of a column packed from the top, in halves of a lane so that middles stay whole.
fn number(body: &Body, nodes: &[usize], at: &mut [usize]) {
    let mut next = 2;
    for &node in nodes {
        at[node] = next;
        next += 2 * body.slots[node];
    }
}

/// Sorts one column by the pull of the nets that look to the side the sweep comes from.
fn sort(body: &Body, nodes: &mut Vec<usize>, c: usize, rightward: bool, at: &mut [usize]) {
    if nodes.len() < 2 {
        number(body, nodes, at);
        return;
    }
    let mut pull: Vec<(usize, usize)> = vec![(0, 0); body.slots.len()];
    let channel = if rightward { c } else { c + 1 };
    for net in &body.channels[channel] {
        let (others, own) = if rightward {
            (&net.left, &net.right)
        } else {
            (&net.right, &net.left)
        };
        let pulling = if others.is_empty() { own } else { others };
        let sum: usize = pulling.iter().map(|tap| at[tap.0] + 2 * tap.1).sum();
        let middle = 32 * sum / pulling.len().max(1);
        for &(node, slot) in own {
            pull[node].0 += middle.saturating_sub(64 * slot);
            pull[node].1 += 1;
        }
    }
    let mut keyed: Vec<(usize, usize, usize)> = nodes
        .iter()
        .enumerate()
        .map(|(i, &node)| {
            let (sum, count) = pull[node];
            let key = sum.checked_div(count).unwrap_or(32 * at[node]);
            (key, i, node)
        })
        .collect();
    keyed.sort_unstable();
    *nodes = keyed.into_iter().map(|(_, _, node)| node).collect();
    number(body, nodes, at);
}

/// Rank of each node in a depth-first walk from the feed: current paths come out one below the other.
fn depth_first(body: &Body) -> Vec<usize> {
    let feed = body.feed();
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); feed + 1];
    for net in body.channels.iter().flatten() {
        for &(node, _) in net.all() {
            near[node].extend(net.all().map(|tap| tap.0).filter(|&other| other != node));
        }
    }
    // Last pushed is walked first: the feed's own, then whatever was not reached.
    let mut stack: Vec<usize> = body.columns.iter().flatten().rev().copied().collect();
    stack.push(feed);
    let mut rank = vec![usize::MAX; feed + 1];
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
