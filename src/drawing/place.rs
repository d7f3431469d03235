//! Lanes: every node gets whole lanes, so that current paths run straight.
//!
//! Start: each column in its order, each node beside the median of what it follows (priority method of
//! Sugiyama, Tagawa, Toda 1981). Then descent on the real costs: crossings, corners, length and height, by
//! moving single nodes and whole straight paths to lanes that are free or inserted for them. The number of
//! tries is bounded, so the result depends on the plan alone.
//! Postcondition: no two nodes of a column share a lane; lane 0 is left to the feed; every other lane is used.

use super::graph::{Graph, What};
use super::nets::Net;
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

const CROSSING: u64 = 14;
const CORNER: u64 = 3;
const SPAN: u64 = 2;
const HEIGHT: u64 = 5;
/// Parts of one column against their order in the plan: only breaks ties, so that left stays above right.
const TURNED: u64 = 1;
/// Two nets that each would have to be left of the other need an extra jog.
const JOG: u64 = 40;
/// Rounds over all nodes and paths.
const ROUNDS: usize = 6;
/// Bound on the work of the descent, in pairs of nets looked at.
const WORK: u64 = 2_000_000;

type Taps = Vec<(Option<usize>, usize, bool)>;

struct Lanes<'a> {
    slots: Vec<usize>,
    /// Column of each node; `None` for nodes of the header.
    column: Vec<Option<usize>>,
    columns: &'a [Vec<usize>],
    /// Parts of each column in the order of the plan.
    parts: Vec<Vec<usize>>,
    /// Taps of each net, by channel.
    channels: Vec<Vec<Taps>>,
    work: u64,
}

/// First lane of each node; nodes of the header get lane 0. Tries every start and keeps the cheapest result.
pub(super) fn place(graph: &Graph, nets: &[Net], starts: &[Vec<Vec<usize>>]) -> Vec<usize> {
    let tries = starts.iter().map(|columns| {
        let mut lanes = Lanes::new(graph, nets, columns, WORK / starts.len() as u64);
        let mut rows = lanes.start();
        lanes.compress(&mut rows);
        lanes.descend(&mut rows);
        (lanes.cost(&rows), rows)
    });
    let best = tries.min_by_key(|(cost, _)| *cost);
    best.map_or_else(|| vec![0; graph.nodes.len()], |(_, rows)| rows)
}

impl<'a> Lanes<'a> {
    fn new(graph: &Graph, nets: &[Net], columns: &'a [Vec<usize>], work: u64) -> Self {
        let mut column = vec![None; graph.nodes.len()];
        for (c, nodes) in columns.iter().enumerate() {
            for &node in nodes {
                column[node] = Some(c);
            }
        }
        let mut channels: Vec<Vec<Taps>> = vec![Vec::new(); columns.len() + 2];
        for net in nets {
            let taps = net
                .taps()
                .map(|(_, tap)| (tap.node, tap.slot, tap.from_left))
                .collect();
            if let Some(channel) = channels.get_mut(net.channel) {
                channel.push(taps);
            }
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
            slots: graph.nodes.iter().map(|node| node.slots).collect(),
            column,
            columns,
            parts,
            channels,
            work,
        }
    }

    fn start(&self) -> Vec<usize> {
        let mut rows = vec![0; self.slots.len()];
        for (c, nodes) in self.columns.iter().enumerate() {
            let mut next = 1;
            for &node in nodes {
                let mut wanted: Vec<usize> = Vec::new();
                for taps in &self.channels[c] {
                    let Some(own) = taps.iter().find(|tap| tap.0 == Some(node) && !tap.2) else {
                        continue;
                    };
                    wanted.extend(taps.iter().filter(|tap| tap.2).map(|tap| {
                        (tap.0.map_or(0, |other| rows[other]) + tap.1).saturating_sub(own.1)
                    }));
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

    fn cost(&mut self, rows: &[usize]) -> u64 {
        let mut work = 0;
        let nets: u64 = (0..self.channels.len())
            .map(|c| channel_cost(&self.channels[c], rows, &mut work))
            .sum();
        let mut turned = 0;
        for nodes in self.parts.iter() {
            work += nodes.len() as u64;
            for (i, &a) in nodes.iter().enumerate() {
                turned += nodes[i + 1..]
                    .iter()
                    .filter(|&&b| rows[b] < rows[a])
                    .count() as u64;
            }
        }
        self.work = self.work.saturating_sub(work);
        nets + TURNED * turned + HEIGHT * self.height(rows) as u64
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
            for left in taps.iter().filter(|tap| tap.2) {
                for right in taps.iter().filter(|tap| !tap.2) {
                    if let (Some(a), Some(b)) = (left.0, right.0) {
                        if rows[a] + left.1 == rows[b] + right.1 {
                            sets.union(a, b);
                        }
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
        let inside = |node: Option<usize>| node.is_some_and(|node| set.contains(&node));
        let y = |tap: &(Option<usize>, usize, bool)| {
            (tap.0.map_or(0, |node| rows[node]) + tap.1) as isize
        };
        let mut out = Vec::new();
        for taps in self.channels.iter().flatten() {
            if !taps.iter().any(|tap| inside(tap.0)) {
                continue;
            }
            for own in taps.iter().filter(|tap| inside(tap.0)) {
                for other in taps.iter().filter(|tap| !inside(tap.0)) {
                    let d = y(other) - y(own);
                    out.extend([d, d - 1, d + 1]);
                }
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    fn descend(&mut self, rows: &mut Vec<usize>) {
        let mut best = self.cost(rows);
        for _ in 0..ROUNDS {
            let before = best;
            for set in self.movable(rows) {
                for d in self.shifts(&set, rows) {
                    if self.work == 0 {
                        return;
                    }
                    for insert in [false, true] {
                        let Some(mut trial) = self.moved(&set, rows, d, insert) else {
                            continue;
                        };
                        self.compress(&mut trial);
                        let cost = self.cost(&trial);
                        if cost < best {
                            best = cost;
                            *rows = trial;
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
                if !self.collides(&trial, self.height(&trial)) {
                    let cost = self.cost(&trial);
                    if cost < best {
                        best = cost;
                        *rows = trial;
                    }
                }
            }
            if best == before {
                return;
            }
        }
    }

    /// The lanes after moving a set by `d`, into free lanes or into lanes inserted for it.
    fn moved(&self, set: &[usize], rows: &[usize], d: isize, insert: bool) -> Option<Vec<usize>> {
        if d == 0 && !insert {
            return None;
        }
        let top = set.iter().map(|&node| rows[node]).min()?;
        let end = set
            .iter()
            .map(|&node| rows[node] + self.slots[node])
            .max()?;
        let target = top.checked_add_signed(d).filter(|&target| target >= 1)?;
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
        (!self.collides(&trial, self.height(&trial))).then_some(trial)
    }
}

struct Shape {
    lo: usize,
    hi: usize,
    /// Rows with pins from the left and from the right: ranges in one list.
    left: (usize, usize),
    right: (usize, usize),
}

fn channel_cost(nets: &[Taps], rows: &[usize], work: &mut u64) -> u64 {
    let mut list: Vec<usize> = Vec::new();
    let mut shapes: Vec<Shape> = Vec::with_capacity(nets.len());
    let mut cost = 0;
    for taps in nets {
        let row = |tap: &(Option<usize>, usize, bool)| tap.0.map_or(0, |node| rows[node]) + tap.1;
        let start = list.len();
        list.extend(taps.iter().filter(|tap| tap.2).map(row));
        let middle = list.len();
        list.extend(taps.iter().filter(|tap| !tap.2).map(row));
        let all = &list[start..];
        let (Some(&lo), Some(&hi)) = (all.iter().min(), all.iter().max()) else {
            continue;
        };
        if lo < hi {
            let corner = |end| u64::from(all.iter().filter(|&&row| row == end).count() == 1);
            cost += SPAN * (hi - lo) as u64 + CORNER * (corner(lo) + corner(hi));
        }
        shapes.push(Shape {
            lo,
            hi,
            left: (start, middle),
            right: (middle, list.len()),
        });
    }
    shapes.sort_by_key(|shape| shape.lo);
    for (i, a) in shapes.iter().enumerate() {
        for b in &shapes[i + 1..] {
            if b.lo > a.hi {
                break;
            }
            *work += 1;
            if a.lo == a.hi && b.lo == b.hi {
                continue;
            }
            let al = &list[a.left.0..a.left.1];
            let ar = &list[a.right.0..a.right.1];
            let bl = &list[b.left.0..b.left.1];
            let br = &list[b.right.0..b.right.1];
            let within = |list: &[usize], s: &Shape| {
                list.iter().filter(|&&row| s.lo < row && row < s.hi).count() as u64
            };
            let a_first = within(bl, a) + within(ar, b);
            let b_first = within(al, b) + within(br, a);
            let must_a = al.iter().any(|row| br.contains(row));
            let must_b = bl.iter().any(|row| ar.contains(row));
            cost += match (must_a, must_b) {
                (true, true) => JOG + CROSSING * (a_first.min(b_first) + 1),
                (true, false) => CROSSING * a_first,
                (false, true) => CROSSING * b_first,
                (false, false) => CROSSING * a_first.min(b_first),
            };
        }
    }
    cost
}
