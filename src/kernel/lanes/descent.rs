//! Descent on the costs of a placement: single nodes, straight paths and whole branches are moved to lanes that are
//! free or inserted for them, as long as that pays.
//!
//! Sifting (Rudell 1993; for blocks of long edges Bachmaier, Brandenburg, Brunner, Hübner 2011) on lanes instead of
//! orders. Only the channels next to what moves are counted anew: elsewhere a move shifts lanes without changing their
//! order. The number of tries is bounded, so the result depends on the plan alone. Precondition: no two nodes of a
//! column share a lane. Postcondition: the same, every lane but the first used, and no dearer than before.

use super::body::Body;
use super::cost::{HEIGHT, Reach, SPAN, Scratch, TURNED};
use super::moves;

/// Rounds over all nodes and paths.
const ROUNDS: usize = 8;

/// A placement under improvement.
pub(super) struct Descent<'a> {
    body: &'a Body,
    rows: Vec<usize>,
    /// Weighted crossings and corners of each channel, and the reach of its nets.
    channels: Vec<(u64, Vec<Reach>)>,
    /// Parts of each column that stand against their order in the plan.
    turned: Vec<u64>,
    cost: u64,
    /// Node slots on each lane.
    used: Vec<usize>,
    /// Node at each lane of each column.
    cells: Vec<usize>,
    scratch: Scratch,
    // Buffers of a trial.
    trial: Vec<usize>,
    map: Vec<usize>,
    own: Vec<bool>,
    mine: Vec<usize>,
    marked: Vec<bool>,
    fresh: Vec<(usize, u64, Vec<Reach>)>,
}

/// A set that may be moved as one.
pub(super) struct Movable {
    /// Sorted.
    pub nodes: Vec<usize>,
    channels: Vec<usize>,
    columns: Vec<usize>,
}

impl Movable {
    pub fn new(body: &Body, mut nodes: Vec<usize>) -> Self {
        nodes.sort_unstable();
        nodes.dedup();
        let mut channels: Vec<usize> = nodes.iter().flat_map(|&n| &body.near[n]).copied().collect();
        channels.sort_unstable();
        channels.dedup();
        let mut columns: Vec<usize> = nodes.iter().map(|&n| body.column[n]).collect();
        columns.sort_unstable();
        columns.dedup();
        Self {
            nodes,
            channels,
            columns,
        }
    }
}

impl<'a> Descent<'a> {
    pub fn new(body: &'a Body, work: u64) -> Self {
        Self {
            body,
            rows: Vec::new(),
            channels: vec![(0, Vec::new()); body.channels.len()],
            turned: vec![0; body.columns.len()],
            cost: 0,
            used: Vec::new(),
            cells: Vec::new(),
            scratch: Scratch::new(work),
            trial: Vec::new(),
            map: Vec::new(),
            own: Vec::new(),
            mine: Vec::new(),
            marked: vec![false; body.slots.len()],
            fresh: Vec::new(),
        }
    }

    pub const fn cost(&self) -> u64 {
        self.cost
    }

    pub const fn work(&self) -> u64 {
        self.scratch.work
    }

    pub fn rows(&self) -> &[usize] {
        &self.rows
    }

    /// Starts from these lanes, those nobody uses taken out. Gives the lanes.
    pub fn reset(&mut self, rows: Vec<usize>) -> Vec<usize> {
        self.rows = rows;
        let feed = self.body.feed();
        self.rows[feed] = 0;
        self.index();
        let mut next = 1;
        let to: Vec<usize> = (0..self.used.len())
            .map(|row| {
                let to = if row == 0 { 0 } else { next };
                next += usize::from(row > 0 && self.used[row] > 0);
                to
            })
            .collect();
        for row in &mut self.rows[..feed] {
            *row = to[*row];
        }
        for c in 0..self.channels.len() {
            let (cost, reach) = &mut self.channels[c];
            *cost = self
                .scratch
                .channel(&self.body.channels[c], &self.rows, reach);
        }
        for c in 0..self.turned.len() {
            self.turned[c] = turned(self.body, c, &self.rows);
        }
        self.index();
        self.cost = self.total();
        self.rows.clone()
    }

    /// Lanes in use, with that of the feed.
    pub fn height(&self) -> usize {
        self.used.len()
    }

    /// Works out which lanes are used by whom.
    fn index(&mut self) {
        let feed = self.body.feed();
        let ends = (0..feed).map(|n| self.rows[n] + self.body.slots[n]);
        let height = ends.max().unwrap_or(1).max(1);
        self.used.clear();
        self.used.resize(height, 0);
        self.cells.clear();
        self.cells
            .resize(self.body.columns.len() * height, usize::MAX);
        for node in 0..feed {
            let start = self.body.column[node] * height;
            for row in self.rows[node]..self.rows[node] + self.body.slots[node] {
                self.used[row] += 1;
                self.cells[start + row] = node;
            }
        }
    }

    fn total(&self) -> u64 {
        let channels: u64 = self
            .channels
            .iter()
            .map(|(cost, reach)| {
                let span: usize = reach.iter().map(|(lo, hi)| hi - lo).sum();
                cost + SPAN * span as u64
            })
            .sum();
        HEIGHT * self.height() as u64 + TURNED * self.turned.iter().sum::<u64>() + channels
    }

    /// Node of a column at a lane, if it is not in the marked set.
    fn foreign(&self, column: usize, row: usize) -> Option<usize> {
        if row >= self.height() {
            return None;
        }
        let node = self.cells[column * self.height() + row];
        (node != usize::MAX && !self.marked[node]).then_some(node)
    }

    /// Tries a set with its first lane on `target`, on lanes that are free or on lanes inserted for it; keeps it there if
    /// that is cheaper.
    fn attempt(&mut self, set: &Movable, target: usize, insert: bool) -> bool {
        for &node in &set.nodes {
            self.marked[node] = true;
        }
        let better = self.fits(set, target, insert) && self.pays(set, target, insert);
        for &node in &set.nodes {
            self.marked[node] = false;
        }
        if better {
            core::mem::swap(&mut self.rows, &mut self.trial);
            for (channel, cost, reach) in self.fresh.drain(..) {
                self.channels[channel] = (cost, reach);
            }
            let map = &self.map;
            for (channel, (_, reach)) in self.channels.iter_mut().enumerate() {
                if set.channels.binary_search(&channel).is_err() {
                    for (lo, hi) in reach {
                        (*lo, *hi) = (map[*lo], map[*hi]);
                    }
                }
            }
            for &c in &set.columns {
                self.turned[c] = turned(self.body, c, &self.rows);
            }
            self.index();
            self.cost = self.total();
        }
        better
    }

    /// Puts a set on lanes inserted before `target` or the next lane where that is possible, whatever it costs.
    pub fn force(&mut self, set: &Movable, mut target: usize) {
        for &node in &set.nodes {
            self.marked[node] = true;
        }
        while target < self.height() && !self.cuts_nothing(target) {
            target += 1;
        }
        self.relane(set, target, true);
        for &node in &set.nodes {
            self.marked[node] = false;
        }
        let rows = self.trial.clone();
        self.reset(rows);
    }

    fn top(&self, set: &Movable) -> usize {
        set.nodes.iter().map(|&n| self.rows[n]).min().unwrap_or(1)
    }

    /// Whether nothing is in the way.
    fn fits(&self, set: &Movable, target: usize, insert: bool) -> bool {
        if insert {
            return self.cuts_nothing(target);
        }
        let top = self.top(set);
        set.nodes.iter().all(|&node| {
            let row = target + self.rows[node] - top;
            (row..row + self.body.slots[node])
                .all(|row| self.foreign(self.body.column[node], row).is_none())
        })
    }

    /// Whether lanes can be inserted before a lane without cutting a node in two.
    fn cuts_nothing(&self, target: usize) -> bool {
        (0..self.body.columns.len()).all(|column| {
            self.foreign(column, target)
                .is_none_or(|node| self.rows[node] >= target)
        })
    }

    /// Works out the lanes after the move into `trial`, and where lanes of the others go into `map`. Gives the height.
    fn relane(&mut self, set: &Movable, target: usize, insert: bool) -> usize {
        let (body, top) = (self.body, self.top(set));
        let ends = set.nodes.iter().map(|&n| self.rows[n] + body.slots[n]);
        let tall = ends.max().unwrap_or(top) - top;
        let (mut own, mut mine) = (
            core::mem::take(&mut self.own),
            core::mem::take(&mut self.mine),
        );
        own.clear();
        own.resize(tall, false);
        mine.clear();
        mine.resize(tall, 0);
        for &node in &set.nodes {
            for row in self.rows[node]..self.rows[node] + body.slots[node] {
                own[row - top] = true;
                self.used[row] -= 1;
            }
        }
        // Where every lane goes, and every lane of the set.
        let height = self.used.len().max(target + if insert { 0 } else { tall });
        self.map.clear();
        let mut next = 1;
        for row in 0..=height {
            if insert && row == target {
                for (to, &own) in mine.iter_mut().zip(&own) {
                    *to = next;
                    next += usize::from(own);
                }
            }
            let shared = !insert && row >= target && row - target < tall && own[row - target];
            if shared {
                mine[row - target] = next;
            }
            self.map.push(if row == 0 { 0 } else { next });
            let taken = shared || self.used.get(row).is_some_and(|&count| count > 0);
            next += usize::from(row > 0 && taken);
        }
        if insert && target > height {
            for (to, &own) in mine.iter_mut().zip(&own) {
                *to = next;
                next += usize::from(own);
            }
        }
        for &node in &set.nodes {
            for row in self.rows[node]..self.rows[node] + body.slots[node] {
                self.used[row] += 1;
            }
        }
        self.trial.clear();
        for (node, &row) in self.rows.iter().enumerate() {
            let to = if self.marked[node] {
                mine[row - top]
            } else {
                self.map[row]
            };
            self.trial.push(to);
        }
        self.own = own;
        self.mine = mine;
        next
    }

    /// Whether the move costs less.
    fn pays(&mut self, set: &Movable, target: usize, insert: bool) -> bool {
        let body = self.body;
        let mut sum = HEIGHT * self.relane(set, target, insert) as u64;
        let touched = body.slots.len() as u64 / 8;
        self.scratch.work = self.scratch.work.saturating_sub(touched);
        for (c, &before) in self.turned.iter().enumerate() {
            let changed = set.columns.binary_search(&c).is_ok();
            sum += TURNED
                * if changed {
                    turned(body, c, &self.trial)
                } else {
                    before
                };
        }
        for (channel, (cost, reach)) in self.channels.iter().enumerate() {
            if set.channels.binary_search(&channel).is_err() {
                let span: usize = reach
                    .iter()
                    .map(|&(lo, hi)| self.map[hi] - self.map[lo])
                    .sum();
                sum += cost + SPAN * span as u64;
            }
        }
        self.fresh.clear();
        for &channel in &set.channels {
            if sum >= self.cost {
                return false;
            }
            let mut reach = Vec::with_capacity(body.channels[channel].len());
            let cost = self
                .scratch
                .channel(&body.channels[channel], &self.trial, &mut reach);
            let span: usize = reach.iter().map(|(lo, hi)| hi - lo).sum();
            sum += cost + SPAN * span as u64;
            self.fresh.push((channel, cost, reach));
        }
        sum < self.cost
    }

    /// Moves what pays to be moved, until nothing does or the work is done.
    pub fn run(&mut self) {
        let branches = moves::branches(self.body);
        for round in 0..ROUNDS {
            let before = self.cost;
            if round < 3 {
                for nodes in &branches {
                    self.insert_anywhere(&Movable::new(self.body, nodes.clone()));
                }
            }
            for set in &moves::paths(self.body, &self.rows) {
                for d in moves::shifts(self.body, &set.nodes, &self.rows) {
                    if self.scratch.work == 0 {
                        return;
                    }
                    let Some(target) = self.top(set).checked_add_signed(d).filter(|&t| t >= 1)
                    else {
                        continue;
                    };
                    if d != 0 {
                        self.attempt(set, target, false);
                    }
                    self.attempt(set, target, true);
                }
            }
            self.close_up();
            if self.cost == before {
                return;
            }
        }
    }

    /// Tries a branch on lanes inserted before any lane.
    fn insert_anywhere(&mut self, set: &Movable) {
        let mut target = 1;
        while target <= self.height() && self.scratch.work > 0 {
            self.attempt(set, target, true);
            target += 1;
        }
    }

    /// Moves all that lies below a lane up by one, where there is room everywhere.
    fn close_up(&mut self) {
        for row in (1..self.height()).rev() {
            let below: Vec<usize> = (0..self.body.feed())
                .filter(|&node| self.rows[node] > row)
                .collect();
            if !below.is_empty() {
                let set = Movable::new(self.body, below);
                let target = self.top(&set) - 1;
                self.attempt(&set, target, false);
            }
        }
    }
}

/// Pairs of parts of a column that stand against their order in the plan.
fn turned(body: &Body, column: usize, rows: &[usize]) -> u64 {
    let nodes = &body.columns[column];
    let mut out = 0;
    for (i, &a) in nodes.iter().enumerate().filter(|(_, a)| body.ordered[**a]) {
        let against = nodes[i + 1..]
            .iter()
            .filter(|&&b| body.ordered[b] && rows[b] < rows[a]);
        out += against.count() as u64;
    }
    out
}
