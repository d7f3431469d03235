//! Descent on the costs of a placement: single nodes, straight paths and whole branches are moved to lanes that are
//! free or inserted for them, as long as that pays.
//!
//! Sifting (Rudell 1993; for blocks of long edges Bachmaier, Brandenburg, Brunner, Hübner 2011) on lanes instead of
//! orders. Only pairs of nets of which one moves are counted anew: elsewhere a move shifts lanes without changing their
//! order. The number of tries is bounded, so the result depends on the input alone. Precondition: no two nodes of a
//! column share a lane. Postcondition: the same, every lane but the first used, and no dearer than before.

use super::body::Body;
use super::channel::Channel;
use super::cost::{HEIGHT, Reach, SPAN, TURNED};
use super::moves::{self, Movable, Parts};

/// Rounds over all nodes and paths.
const ROUNDS: usize = 12;

/// A placement under improvement.
pub(super) struct Descent<'a> {
    pub(super) body: &'a Body,
    pub(super) rows: Vec<usize>,
    pub(super) channels: Vec<Channel>,
    /// Pairs of nodes of a column that stand against their order.
    turned: u64,
    cost: u64,
    pub(super) work: u64,
    /// Node slots on each lane.
    used: Vec<usize>,
    /// Node at each lane of each column.
    cells: Vec<usize>,
    // Buffers of a trial.
    trial: Vec<usize>,
    map: Vec<usize>,
    own: Vec<bool>,
    mine: Vec<usize>,
    marked: Vec<bool>,
}

impl<'a> Descent<'a> {
    pub fn new(body: &'a Body, work: u64) -> Self {
        Self {
            body,
            rows: Vec::new(),
            channels: vec![Channel::default(); body.channels.len()],
            turned: 0,
            cost: 0,
            work,
            used: Vec::new(),
            cells: Vec::new(),
            trial: Vec::new(),
            map: Vec::new(),
            own: Vec::new(),
            mine: Vec::new(),
            marked: vec![false; body.slots.len()],
        }
    }

    pub const fn cost(&self) -> u64 {
        self.cost
    }

    /// Work still allowed.
    pub const fn work(&self) -> u64 {
        self.work
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
        for (channel, nets) in self.channels.iter_mut().zip(&self.body.channels) {
            self.work = self.work.saturating_sub(channel.count(nets, &self.rows));
        }
        self.index();
        self.turned = (0..feed)
            .map(|node| self.against(node, &self.rows))
            .sum::<u64>()
            / 2;
        self.cost = self.total();
        self.rows.clone()
    }

    /// Lanes in use, with that of the feed.
    pub const fn height(&self) -> usize {
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
        let channels = self.channels.iter().map(|channel| {
            let span: usize = channel.reach.iter().map(|reach| reach.span()).sum();
            channel.cost + SPAN * span as u64
        });
        HEIGHT * self.height() as u64 + TURNED * self.turned + channels.sum::<u64>()
    }

    /// Nodes of its column, not in the marked set, to which a node stands against the order.
    fn against(&self, node: usize, rows: &[usize]) -> u64 {
        let body = self.body;
        if !body.ordered[node] {
            return 0;
        }
        let others = body.columns[body.column[node]].iter();
        others
            .filter(|&&other| {
                body.ordered[other]
                    && !self.marked[other]
                    && (other < node) != (rows[other] < rows[node])
                    && other != node
            })
            .count() as u64
    }

    /// Node of a column at a lane, if it is not in the marked set.
    fn foreign(&self, column: usize, row: usize) -> Option<usize> {
        if row >= self.height() {
            return None;
        }
        let node = self.cells[column * self.height() + row];
        (node != usize::MAX && !self.marked[node]).then_some(node)
    }

    fn mark(&mut self, set: &Movable, marked: bool) {
        for &node in &set.nodes {
            self.marked[node] = marked;
        }
    }

    /// Tries a set with its first lane on `target`, on lanes that are free or on lanes inserted for it; keeps it there if
    /// that is cheaper.
    fn attempt(&mut self, set: &Movable, target: usize, insert: bool) {
        self.mark(set, true);
        let turned = if self.fits(set, target, insert) {
            self.pays(set, target, insert)
        } else {
            None
        };
        self.mark(set, false);
        let Some(turned) = turned else { return };
        core::mem::swap(&mut self.rows, &mut self.trial);
        self.turned = turned;
        let mut nets = set.nets.as_slice();
        for (c, channel) in self.channels.iter_mut().enumerate() {
            if let Some(((_, moved), rest)) = nets.split_first().filter(|(first, _)| first.0 == c) {
                nets = rest;
                channel.take(&self.body.channels[c], moved, &self.rows, &self.map);
            } else {
                for reach in &mut channel.reach {
                    *reach = Reach {
                        lo: self.map[reach.lo],
                        hi: self.map[reach.hi],
                    };
                }
            }
        }
        self.index();
        self.cost = self.total();
    }

    /// Puts a set on lanes inserted before `target` or the next lane where that is possible, whatever it costs.
    pub fn force(&mut self, set: &Movable, mut target: usize) {
        self.mark(set, true);
        while target < self.height() && !self.cuts_nothing(target) {
            target += 1;
        }
        self.relane(set, target, true);
        self.mark(set, false);
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
        self.own.clear();
        self.own.resize(tall, false);
        self.mine.clear();
        self.mine.resize(tall, 0);
        for &node in &set.nodes {
            for row in self.rows[node]..self.rows[node] + body.slots[node] {
                self.own[row - top] = true;
                self.used[row] -= 1;
            }
        }
        let height = self.used.len().max(target + tall);
        self.map.clear();
        let mut next = 1;
        for row in 0..=height {
            if insert && row == target {
                for (to, &own) in self.mine.iter_mut().zip(&self.own) {
                    *to = next;
                    next += usize::from(own);
                }
            }
            let shared = !insert && row >= target && row - target < tall && self.own[row - target];
            if shared {
                self.mine[row - target] = next;
            }
            self.map.push(if row == 0 { 0 } else { next });
            let taken = shared || self.used.get(row).is_some_and(|&count| count > 0);
            next += usize::from(row > 0 && taken);
        }
        for &node in &set.nodes {
            for row in self.rows[node]..self.rows[node] + body.slots[node] {
                self.used[row] += 1;
            }
        }
        self.trial.clear();
        self.trial
            .extend(self.rows.iter().map(|&row| self.map[row]));
        for &node in &set.nodes {
            self.trial[node] = self.mine[self.rows[node] - top];
        }
        next
    }

    /// Whether the move costs less; if so, the pairs against their order after it. The set is marked.
    fn pays(&mut self, set: &Movable, target: usize, insert: bool) -> Option<u64> {
        let body = self.body;
        let mut sum = HEIGHT * self.relane(set, target, insert) as u64;
        let mut turned = self.turned;
        for &node in &set.nodes {
            turned -= self.against(node, &self.rows);
            turned += self.against(node, &self.trial);
        }
        sum += TURNED * turned;
        let mut spent = body.slots.len() as u64 / 8;
        let mut nets = set.nets.as_slice();
        for (c, channel) in self.channels.iter().enumerate() {
            let mapped = |reach: &Reach| self.map[reach.hi] - self.map[reach.lo];
            let mut span: usize = channel.reach.iter().map(mapped).sum();
            if let Some(((_, moved), rest)) = nets.split_first().filter(|(first, _)| first.0 == c) {
                nets = rest;
                span -= moved
                    .iter()
                    .map(|&net| mapped(&channel.reach[net]))
                    .sum::<usize>();
                let (cost, work, own) =
                    channel.after(&body.channels[c], moved, &self.trial, &self.map);
                sum += cost;
                span += own;
                spent += work;
            } else {
                sum += channel.cost;
            }
            sum += SPAN * span as u64;
            if sum >= self.cost {
                break;
            }
        }
        self.work = self.work.saturating_sub(spent);
        (sum < self.cost).then_some(turned)
    }

    /// Moves what pays to be moved, until nothing does or the work is done; branches, if wished, when nothing smaller pays.
    pub fn run(&mut self, parts: &Parts, branches: bool) {
        let mut branched = !branches;
        for round in 0..ROUNDS {
            let before = self.cost;
            if round < 2 {
                self.straighten();
            }
            let paths = moves::paths(self.body, &self.rows, parts);
            self.round(paths.iter().map(|set| &**set));
            if self.work == 0 {
                return;
            }
            self.close_up();
            if self.cost == before {
                if branched {
                    return;
                }
                branched = true;
                for set in &parts.branches {
                    self.insert_anywhere(set);
                }
                if self.cost == before {
                    return;
                }
            }
        }
    }

    /// Moves these sets only, and everything else no more than to make room.
    pub fn run_only(&mut self, sets: &[Movable]) {
        for _ in 0..ROUNDS {
            let before = self.cost;
            self.round(sets.iter());
            if self.cost == before || self.work == 0 {
                return;
            }
        }
    }

    /// Tries every set in line with what it is joined to, and beside it.
    fn round<'s>(&mut self, sets: impl Iterator<Item = &'s Movable>) {
        let mut shifts = Vec::new();
        for set in sets {
            moves::shifts(self.body, set, &self.rows, &mut shifts);
            for &d in &shifts {
                if self.work == 0 {
                    return;
                }
                let Some(target) = self.top(set).checked_add_signed(d).filter(|&t| t >= 1) else {
                    continue;
                };
                if d != 0 {
                    self.attempt(set, target, false);
                }
                self.attempt(set, target, true);
            }
        }
    }

    /// Tries a branch on lanes inserted before any lane.
    fn insert_anywhere(&mut self, set: &Movable) {
        let mut target = 1;
        while target <= self.height() && self.work > 0 {
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
            if !below.is_empty() && self.work > 0 {
                let set = Movable::new(self.body, below);
                let target = self.top(&set) - 1;
                self.attempt(&set, target, false);
            }
        }
    }
}
