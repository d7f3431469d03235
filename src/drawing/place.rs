//! Lanes: every node gets whole lanes, so that current paths run straight.
//!
//! Start: each column in its order, each node beside the median of its neighbours (after the priority method of
//! Sugiyama, Tagawa, Toda 1981). The cheapest starts are then improved by descent on the real costs (`descent`).
//! Postcondition: no two nodes of a column share a lane; lane 0 is left to the feed; every other lane is used.

use super::body::Body;
use super::descent::Descent;

/// Starts that are improved.
const KEPT: usize = 2;

/// First lane of each node of the block. Every order is started from both sides; the cheapest starts are improved, and
/// the cheapest result is kept. `work` bounds the nets and pairs of nets looked at.
pub(super) fn place(body: &Body, orders: &[Vec<Vec<usize>>], work: u64) -> Vec<usize> {
    let mut starts: Vec<(u64, Vec<usize>)> = Vec::new();
    let mut descent = Descent::new(body, work);
    for columns in orders {
        for from_left in [true, false] {
            let rows = descent.reset(start(body, columns, from_left));
            starts.push((descent.cost(), rows));
        }
    }
    starts.sort();
    starts.dedup();
    starts.truncate(KEPT);
    let mut best: Option<(u64, Vec<usize>)> = None;
    let share = descent.work() / KEPT as u64;
    for (_, rows) in starts {
        let mut descent = Descent::new(body, share);
        descent.reset(rows);
        descent.run();
        let result = (descent.cost(), descent.rows().to_vec());
        if best.as_ref().is_none_or(|best| result < *best) {
            best = Some(result);
        }
    }
    best.map_or_else(|| vec![1; body.slots.len()], |(_, rows)| rows)
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
