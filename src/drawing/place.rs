//! Lanes: every node gets whole lanes, so that current paths run straight.
//!
//! Start: each column in its order, each node beside the median of its neighbours (after the priority method
//! of Sugiyama, Tagawa, Toda 1981). Then descent on the real costs: crossings, corners, length and height, by
//! moving single nodes and whole straight paths to lanes that are free or inserted for them. The number of
//! tries is bounded, so the result depends on the plan alone.
//! Postcondition: no two nodes of a column share a lane; lane 0 is left to the feed; every other lane is used.

use super::cost::{HEIGHT, Scratch, TURNED, Taps};
use super::graph::{Graph, What};
use super::nets::Net;
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

/// Rounds over all nodes and paths.
const ROUNDS: usize = 6;
/// Starts that are improved.
const KEPT: usize = 2;

struct Lanes<'a> {
    slots: Vec<usize>,
    /// Column of each node; `None` for nodes of the header.
    column: Vec<Option<usize>>,
    columns: &'a [Vec<usize>],
    /// Parts of each column in the order of the plan.
    parts: Vec<Vec<usize>>,
    channels: Vec<Vec<Taps>>,
    /// Channel and place of each net a node belongs to.
    near: Vec<Vec<(usize, usize)>>,
    scratch: Scratch,
}

/// First lane of each node; nodes of the header get lane 0. Every order is started from both sides; the two
/// cheapest starts are improved, and the cheaper result is kept. `work` bounds the nets and pairs of nets looked at.
pub(super) fn place(
    graph: &Graph,
    nets: &[Net],
    orders: &[Vec<Vec<usize>>],
    work: u64,
) -> Vec<usize> {
    let mut starts = Vec::new();
    for columns in orders {
        for from_left in [true, false] {
            let mut lanes = Lanes::new(graph, nets, columns, work / KEPT as u64);
            let mut rows = lanes.start(from_left);
            lanes.compress(&mut rows);
            starts.push((lanes.cost(&rows, u64::MAX), rows, lanes));
        }
    }
    starts.sort_by_key(|start| start.0);
    starts.dedup_by(|a, b| a.1 == b.1);
    starts.truncate(KEPT);
    let improved = starts.into_iter().map(|(_, mut rows, mut lanes)| {
        lanes.descend(&mut rows);
        (lanes.cost(&rows, u64::MAX), rows)
    });
    let best = improved.min_by_key(|(cost, _)| cost.unwrap_or(u64::MAX));
    best.map_or_else(|| vec![0; graph.nodes.len()], |(_, rows)| rows)
}

impl<'a> Lanes<'a> {
    fn new(graph: &Graph, nets: &[Net], columns: &'a [Vec<usize>], work: u64) -> Self {
        let mut column = vec![None; graph.nodes.len() + 1];
        for (c, nodes) in columns.iter().enumerate() {
            for &node in nodes {
                column[node] = Some(c);
            }
        }
        // The feed stands behind the nodes, always on lane 0.
        let feed = graph.nodes.len();
        let mut channels: Vec<Vec<Taps>> = vec![Vec::new(); columns.len() + 2];
        let mut near = vec![Vec::new(); feed + 1];
        for net in nets {
            let mut taps = Taps::default();
            for (_, tap) in net.taps() {
                let side = if tap.from_left {
                    &mut taps.left
                } else {
                    &mut taps.right
                };
                let node = tap.node.unwrap_or(feed);
                side.push((node, tap.slot));
                let place = (net.channel, channels[net.channel].len());
                if near[node].last() != Some(&place) {
                    near[node].push(place);
                }
            }
            channels[net.channel].push(taps);
        }
        let parts = columns
            .iter()
            .map(|nodes| {
                let is_part = |node: &usize| matches!(graph.nodes[*node].what, What::Part(_));
                let mut parts: Vec<usize> = nodes.iter().copied().filter(is_part).collect();
                parts.sort_unstable();
                parts
            })
            .collect();
        Self {
            slots: graph
                .nodes
                .iter()
                .map(|node| node.slots)
                .chain([1])
                .collect(),
            column,
            columns,
            parts,
            channels,
            near,
            scratch: Scratch::new(work),
        }
    }

    /// Column by column from the left or from the right, each node beside the median of its neighbours there.
    fn start(&self, from_left: bool) -> Vec<usize> {
        let mut rows = vec![0; self.slots.len()];
        let count = self.columns.len();
        for step in 0..count {
            let c = if from_left { step } else { count - 1 - step };
            let channel = if from_left { c } else { c + 1 };
            let mut next = 1;
            for &node in &self.columns[c] {
                let mut wanted: Vec<usize> = Vec::new();
                for taps in &self.channels[channel] {
                    let (others, own) = if from_left {
                        (&taps.left, &taps.right)
                    } else {
                        (&taps.right, &taps.left)
                    };
                    if let Some(own) = own.iter().find(|tap| tap.0 == node) {
                        let beside =
                            |tap: &(usize, usize)| (rows[tap.0] + tap.1).saturating_sub(own.1);
                        wanted.extend(others.iter().map(beside));
                    }
                }
                wanted.sort_unstable();
                let median = wanted.get(wanted.len() / 2).copied().unwrap_or(0);
                rows[node] = next.max(median);
                next = rows[node] + self.slots[node];
            }
        }
        rows
    }

    /// Takes out lanes nobody uses; a lane without nodes still counts as used inside a high node.
    fn compress(&self, rows: &mut [usize]) {
        let mut used = vec![false; self.height(rows) + 1];
        for (node, row) in rows.iter().enumerate() {
            if self.column[node].is_some() {
                used[*row..row + self.slots[node]].fill(true);
            }
        }
        let mut to = vec![0; used.len()];
        let mut next = 1;
        for (row, used) in used.iter().enumerate().skip(1) {
            to[row] = next;
            next += usize::from(*used);
        }
        for (node, row) in rows.iter_mut().enumerate() {
            if self.column[node].is_some() {
                *row = to[*row];
            }
        }
    }

    fn height(&self, rows: &[usize]) -> usize {
        rows.iter()
            .zip(&self.slots)
            .map(|(row, slots)| row + slots)
            .max()
            .unwrap_or(1)
    }

    /// Cost of a placement, or nothing once it is known to reach `limit`.
    fn cost(&mut self, rows: &[usize], limit: u64) -> Option<u64> {
        let mut total = HEIGHT * self.height(rows) as u64;
        for nodes in &self.parts {
            for (i, &a) in nodes.iter().enumerate() {
                let turned = nodes[i + 1..].iter().filter(|&&b| rows[b] < rows[a]);
                total += TURNED * turned.count() as u64;
            }
        }
        for channel in &self.channels {
            if total >= limit {
                return None;
            }
            total += self.scratch.channel(channel, rows);
        }
        (total < limit).then_some(total)
    }

    /// Whether two nodes of one column share a lane.
    fn collides(&self, rows: &[usize], height: usize) -> bool {
        let mut taken = vec![false; self.columns.len() * (height + 1)];
        for (node, &row) in rows.iter().enumerate() {
            let Some(column) = self.column[node] else {
                continue;
            };
            for row in row..row + self.slots[node] {
                match taken.get_mut(column * (height + 1) + row) {
                    Some(cell) if !*cell => *cell = true,
                    _ => return true,
                }
            }
        }
        false
    }

    /// Straight paths and single nodes, each a set to be moved as one.
    fn movable(&self, rows: &[usize]) -> Vec<Vec<usize>> {
        let mut sets = UnionFind::<usize>::new(rows.len().max(1));
        for taps in self.channels.iter().flatten() {
            for left in &taps.left {
                for right in &taps.right {
                    let straight = rows[left.0] + left.1 == rows[right.0] + right.1;
                    if straight && self.column[left.0].is_some() && self.column[right.0].is_some() {
                        sets.union(left.0, right.0);
                    }
                }
            }
        }
        let mut paths: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for node in (0..rows.len()).filter(|&node| self.column[node].is_some()) {
            paths.entry(sets.find(node)).or_default().push(node);
        }
        let mut out: Vec<Vec<usize>> = paths.into_values().collect();
        let singles: Vec<Vec<usize>> = out
            .iter()
            .filter(|path| path.len() > 1)
            .flat_map(|path| path.iter().map(|&node| vec![node]))
            .collect();
        out.extend(singles);
        out
    }

    /// How far the set would have to move to get in line with something it is joined to, or just beside it.
    fn shifts(&self, set: &[usize], rows: &[usize]) -> Vec<isize> {
        let y = |tap: &(usize, usize)| (rows[tap.0] + tap.1) as isize;
        let mut out = Vec::new();
        for &node in set {
            for &(channel, net) in &self.near[node] {
                let taps = &self.channels[channel][net];
                let all = || taps.left.iter().chain(&taps.right);
                for own in all().filter(|tap| tap.0 == node) {
                    for other in all().filter(|tap| set.binary_search(&tap.0).is_err()) {
                        let d = y(other) - y(own);
                        out.extend([d - 1, d, d + 1]);
                    }
                }
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    fn descend(&mut self, rows: &mut Vec<usize>) {
        let mut best = self.cost(rows, u64::MAX).unwrap_or(u64::MAX);
        for _ in 0..ROUNDS {
            let before = best;
            let mut cells = self.cells(rows);
            for set in self.movable(rows) {
                for d in self.shifts(&set, rows) {
                    if self.scratch.work == 0 {
                        return;
                    }
                    for insert in [false, true] {
                        let Some(mut trial) = self.moved(&set, rows, &cells, d, insert) else {
                            continue;
                        };
                        self.compress(&mut trial);
                        if let Some(cost) = self.cost(&trial, best) {
                            best = cost;
                            *rows = trial;
                            cells = self.cells(rows);
                        }
                    }
                }
            }
            for row in (1..self.height(rows)).rev() {
                let mut trial = rows.clone();
                for (node, at) in trial.iter_mut().enumerate() {
                    if self.column[node].is_some() && *at > row {
                        *at -= 1;
                    }
                }
                if !self.collides(&trial, self.height(&trial))
                    && let Some(cost) = self.cost(&trial, best)
                {
                    best = cost;
                    *rows = trial;
                }
            }
            if best == before {
                return;
            }
        }
    }

    /// The lanes after moving a set by `d`, into free lanes or into lanes inserted for it.
    fn moved(
        &self,
        set: &[usize],
        rows: &[usize],
        cells: &Cells,
        d: isize,
        insert: bool,
    ) -> Option<Vec<usize>> {
        if d == 0 && !insert {
            return None;
        }
        let top = set.iter().map(|&node| rows[node]).min()?;
        let end = set
            .iter()
            .map(|&node| rows[node] + self.slots[node])
            .max()?;
        let target = top.checked_add_signed(d).filter(|&target| target >= 1)?;
        let blocked = set.iter().any(|&node| {
            let Some(column) = self.column[node] else {
                return true;
            };
            let row = target + rows[node] - top;
            let foreign = |row| {
                cells
                    .at(column, row)
                    .filter(|other| set.binary_search(other).is_err())
            };
            if insert {
                // Only a node that reaches across the inserted lanes can be in the way.
                foreign(target).is_some_and(|other| {
                    rows[other] < target && row < rows[other] + self.slots[other]
                })
            } else {
                (row..row + self.slots[node]).any(|row| foreign(row).is_some())
            }
        });
        if blocked {
            return None;
        }
        let mut trial = rows.to_vec();
        if insert {
            for (node, row) in trial.iter_mut().enumerate() {
                if self.column[node].is_some() && *row >= target {
                    *row += end - top;
                }
            }
        }
        for &node in set {
            trial[node] = target + rows[node] - top;
        }
        Some(trial)
    }

    /// Which node lies where.
    fn cells(&self, rows: &[usize]) -> Cells {
        let height = self.height(rows) + 1;
        let mut nodes = vec![usize::MAX; self.columns.len() * height];
        for (node, &row) in rows.iter().enumerate() {
            if let Some(column) = self.column[node] {
                let start = column * height + row;
                nodes[start..start + self.slots[node]].fill(node);
            }
        }
        Cells { height, nodes }
    }
}

/// Node at each lane of each column.
struct Cells {
    height: usize,
    nodes: Vec<usize>,
}

impl Cells {
    fn at(&self, column: usize, row: usize) -> Option<usize> {
        let inside = row < self.height;
        let node = inside.then(|| self.nodes.get(column * self.height + row));
        node.flatten().copied().filter(|&node| node != usize::MAX)
    }
}
