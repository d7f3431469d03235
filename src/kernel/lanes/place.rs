//! Lanes: every node gets whole lanes, so that current paths run straight.
//!
//! Start: each column in its order, each node beside the median of its neighbours (after the priority method of
//! Sugiyama, Tagawa, Toda 1981). The cheapest starts are improved by descent on the real costs (`descent`); what work is
//! left goes into kicks, after which the descent runs again (iterated local search: Lourenço, Martin, Stützle 2003).
//! Postcondition: no two nodes of a column share a lane; lane 0 is left to the feed; every other lane is used.

use super::body::Body;
use super::channel::Channel;
use super::cost::CROSSING;
use super::descent::Descent;
use super::moves::{self, Parts};
use super::order;

/// Most kicks.
const KICKS: usize = 400;

/// First lane of each node. `work` bounds the nets and pairs of nets looked at.
pub fn place(body: &Body, work: u64) -> Vec<usize> {
    let nodes = body.feed() + 1;
    let orders = order::orders(body, (1500 / nodes).clamp(4, 24));
    let mut starts: Vec<(u64, Vec<usize>)> = Vec::new();
    let mut descent = Descent::new(body, work);
    for columns in &orders {
        for from_left in [true, false] {
            let rows = descent.reset(start(body, columns, from_left));
            starts.push((descent.cost(), rows));
        }
    }
    starts.sort();
    starts.dedup();
    starts.truncate((400 / nodes).clamp(2, 6));
    let parts = Parts::new(body);
    let mut best: Option<(u64, Vec<usize>)> = None;
    let share = 3 * work / 4 / starts.len().max(1) as u64;
    let mut left = work;
    for (_, rows) in starts {
        let mut descent = Descent::new(body, share.min(left));
        descent.reset(rows);
        descent.run(&parts, true);
        left -= share.min(left) - descent.work();
        let result = (descent.cost(), descent.rows().to_vec());
        if best.as_ref().is_none_or(|best| result < *best) {
            best = Some(result);
        }
    }
    let (_, rows) = best.unwrap_or((0, vec![1; nodes]));
    kicked(body, rows, &parts, left)
}

/// Moves a branch or a path somewhere else whatever it costs, descends, and keeps the result if it is cheaper.
fn kicked(body: &Body, rows: Vec<usize>, parts: &Parts, work: u64) -> Vec<usize> {
    let mut descent = Descent::new(body, work);
    descent.reset(rows);
    let mut best = (descent.cost(), descent.rows().to_vec());
    let mut seed = 0x9e37_79b9_u32;
    let mut pick = |below: usize| {
        seed ^= seed << 13;
        seed ^= seed >> 17;
        seed ^= seed << 5;
        seed as usize % below.max(1)
    };
    for kick in 0..KICKS {
        // Kicks are for crossings; the rest the descent does well.
        if descent.work() == 0 || body.feed() < 3 || cost(body, &best.1) < CROSSING {
            break;
        }
        let mut paths = Vec::new();
        let set = if kick % 2 == 0 && !parts.branches.is_empty() {
            &parts.branches[pick(parts.branches.len())]
        } else {
            paths.extend(moves::paths(body, descent.rows(), parts));
            &paths[pick(paths.len())]
        };
        let target = 1 + pick(descent.height());
        descent.force(set, target);
        descent.run(parts, false);
        if descent.cost() < best.0 {
            best = (descent.cost(), descent.rows().to_vec());
        } else {
            descent.reset(best.1.clone());
        }
    }
    best.1.truncate(body.feed());
    best.1
}

/// Weighted crossings and corners of a placement.
pub fn cost(body: &Body, rows: &[usize]) -> u64 {
    let mut rows = rows.to_vec();
    rows.resize(body.feed() + 1, 0);
    let mut channel = Channel::default();
    body.channels
        .iter()
        .map(|nets| {
            channel.count(nets, &rows);
            channel.cost
        })
        .sum()
}

/// Column by column from the left or from the right, each node beside the median of its neighbours there.
fn start(body: &Body, columns: &[Vec<usize>], from_left: bool) -> Vec<usize> {
    let mut rows = vec![0; body.slots.len()];
    let count = columns.len();
    let mut wanted: Vec<Vec<usize>> = vec![Vec::new(); body.slots.len()];
    for step in 0..count {
        let c = if from_left { step } else { count - 1 - step };
        let channel = if from_left { c } else { c + 1 };
        for net in &body.channels[channel] {
            let (others, own) = if from_left {
                (&net.left, &net.right)
            } else {
                (&net.right, &net.left)
            };
            for &(node, slot) in own {
                let beside = |tap: &(usize, usize)| (rows[tap.0] + tap.1).saturating_sub(slot);
                wanted[node].extend(others.iter().map(beside));
            }
        }
        let mut next = 1;
        for &node in &columns[c] {
            let wanted = &mut wanted[node];
            wanted.sort_unstable();
            let median = wanted.get(wanted.len() / 2).copied().unwrap_or(0);
            rows[node] = next.max(median);
            next = rows[node] + body.slots[node];
        }
    }
    rows
}
