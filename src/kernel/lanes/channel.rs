//! Cost of one channel, kept so that a move only counts what it changes: pairs of nets of which one moves.

use super::body::Taps;
use super::cost::{Reach, corners, pair};

/// A channel's nets on their lanes.
#[derive(Debug, Clone, Default)]
pub(super) struct Channel {
    pub reach: Vec<Reach>,
    corners: Vec<u64>,
    /// Cost of every pair, both ways round.
    pairs: Vec<u64>,
    /// Cost of all pairs of a net.
    sums: Vec<u64>,
    /// All pairs and corners.
    pub cost: u64,
}

impl Channel {
    /// Counts everything. Gives the number of pairs looked at.
    pub fn count(&mut self, nets: &[Taps], rows: &[usize]) -> u64 {
        let n = nets.len();
        self.reach.clear();
        self.reach
            .extend(nets.iter().map(|net| Reach::of(net, rows)));
        self.corners.clear();
        let reach = &self.reach;
        let each = nets.iter().zip(reach);
        self.corners
            .extend(each.map(|(net, &reach)| corners(net, rows, reach)));
        self.pairs.clear();
        self.pairs.resize(n * n, 0);
        self.sums.clear();
        self.sums.resize(n, 0);
        self.cost = self.corners.iter().sum();
        let mut work = n as u64;
        for a in 0..n {
            for b in a + 1..n {
                if reach[a].meets(reach[b]) {
                    work += 1;
                    let cost = pair((&nets[a], reach[a]), (&nets[b], reach[b]), rows);
                    self.pairs[a * n + b] = cost;
                    self.pairs[b * n + a] = cost;
                    self.sums[a] += cost;
                    self.sums[b] += cost;
                    self.cost += cost;
                }
            }
        }
        work
    }

    /// Cost after the nets `moved` got new lanes, and the pairs looked at; `map` says where the lanes of the others go.
    pub fn after(
        &self,
        nets: &[Taps],
        moved: &[usize],
        rows: &[usize],
        map: &[usize],
    ) -> (u64, u64, usize) {
        let n = nets.len();
        let (mut cost, mut work, mut span) = (self.cost, n as u64 / 8 + 1, 0);
        let fresh: Vec<Reach> = moved
            .iter()
            .map(|&net| Reach::of(&nets[net], rows))
            .collect();
        for (i, (&a, &reach)) in moved.iter().zip(&fresh).enumerate() {
            // A pair of two that move was counted with both.
            for &b in &moved[..i] {
                cost += self.pairs[a * n + b];
            }
            cost -= self.sums[a] + self.corners[a];
            cost += corners(&nets[a], rows, reach);
            span += reach.span();
            for b in 0..n {
                let other = match moved.binary_search(&b) {
                    Ok(j) if j < i => fresh[j],
                    Ok(_) => continue,
                    Err(_) => {
                        let Reach { lo, hi } = self.reach[b];
                        Reach {
                            lo: map[lo],
                            hi: map[hi],
                        }
                    }
                };
                if reach.meets(other) {
                    work += 1;
                    cost += pair((&nets[a], reach), (&nets[b], other), rows);
                }
            }
        }
        (cost, work, span)
    }

    /// Takes over the lanes after a move.
    pub fn take(&mut self, nets: &[Taps], moved: &[usize], rows: &[usize], map: &[usize]) {
        let n = nets.len();
        for (b, reach) in self.reach.iter_mut().enumerate() {
            *reach = if moved.binary_search(&b).is_ok() {
                Reach::of(&nets[b], rows)
            } else {
                Reach {
                    lo: map[reach.lo],
                    hi: map[reach.hi],
                }
            };
        }
        for &a in moved {
            self.corners[a] = corners(&nets[a], rows, self.reach[a]);
            for b in 0..n {
                if a != b {
                    let cost = if self.reach[a].meets(self.reach[b]) {
                        pair((&nets[a], self.reach[a]), (&nets[b], self.reach[b]), rows)
                    } else {
                        0
                    };
                    self.pairs[a * n + b] = cost;
                    self.pairs[b * n + a] = cost;
                }
            }
        }
        for a in 0..n {
            self.sums[a] = self.pairs[a * n..(a + 1) * n].iter().sum();
        }
        self.cost = self.corners.iter().sum::<u64>() + self.sums.iter().sum::<u64>() / 2;
    }
}
