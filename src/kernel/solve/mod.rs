//! The operating point of a network: node voltages and branch currents that satisfy Kirchhoff's laws.
//!
//! Every branch is monotone, so the operating point is the unique minimum of the total co-content, a
//! convex function of the node voltages (Duffin 1947; Millar 1951). It is found by Newton's method with a
//! line search on the slope of that function, which converges from any start. The Newton system is the
//! symmetric positive-definite nodal matrix, factorised as sparse LDLᵀ in one order per plan.
//!
//! Limited sources, whose law has corners, are held to one straight piece of it at a time ([`pieces`]).
//!
//! What carries no current and what has no conducting path to the datum is found from the graph first
//! ([`live`]): only branches in a loop with a source enter the system, and a part of the network without a
//! path to the datum is solved against a datum of its own and its voltages reported as floating.

mod factor;
mod live;
mod newton;
mod order;
mod pieces;
mod start;

use crate::network::{Branch, Network, NodeId};
use factor::Factor;
use live::Live;
use order::Symbolic;
use start::Start;
use std::collections::BTreeMap;

/// A solve counts as found when Kirchhoff's current residual is at most this share of the largest current…
pub const RESIDUAL_SHARE: f64 = 1e-9;
/// …or at most this many amperes.
pub const RESIDUAL_AMPS: f64 = 1e-9;

/// What a solve found.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OperatingPoint {
    /// Volts of each node against the datum; against an arbitrary node where `floating`.
    volts: Vec<f64>,
    /// Nodes without a conducting path to the datum.
    floating: Vec<bool>,
    /// Current of each branch in amperes, positive from `from` to `to`.
    pub amps: Vec<f64>,
    /// Largest violation of Kirchhoff's current law at any node, in amperes.
    pub residual: f64,
    /// Newton steps taken.
    pub iterations: u32,
    /// Whether the residual is within bounds; if not, no number here may be shown.
    pub converged: bool,
}

impl OperatingPoint {
    /// Volts of a node against the datum; `None` for a floating or unknown node.
    pub fn volts(&self, node: NodeId) -> Option<f64> {
        let i = node as usize;
        if *self.floating.get(i)? {
            None
        } else {
            self.volts.get(i).copied()
        }
    }

    /// Volts along a branch that is present: its ends share a datum, so a floating one has a value too.
    pub fn across(&self, from: NodeId, to: NodeId) -> f64 {
        let at = |node: NodeId| self.volts.get(node as usize).copied().unwrap_or(0.0);
        at(from) - at(to)
    }

    /// Volts from one node to another; `None` unless both have a path to the datum.
    pub fn drop(&self, from: NodeId, to: NodeId) -> Option<f64> {
        Some(self.volts(from)? - self.volts(to)?)
    }
}

/// Marks a branch end or matrix entry that does not exist.
const NONE: u32 = u32::MAX;
/// Most operating points remembered by their live branches.
const MAX_REMEMBERED: usize = 1024;

/// Where a branch acts in the nodal system.
#[derive(Debug, Clone, Copy)]
struct Place {
    from: u32,
    to: u32,
    off_diagonal: u32,
}

/// Solves networks of one topology: the order is worked out once, elements may be present or absent.
///
/// Operating points are remembered by the set of live branches, and each element's last voltage as the start
/// of later solves. The element of a branch must therefore be the same whenever it is
/// present; where it changes, call [`Solver::reset`].
#[derive(Debug, Clone)]
pub struct Solver {
    symbolic: Symbolic,
    factor: Factor,
    places: Vec<Place>,
    /// Row of each node in elimination order; the datum comes last.
    row: Vec<u32>,
    live: Live,
    start: Start,
    /// Branches that carry current now.
    acting: Vec<u32>,
    /// Rows that take part in the system now.
    active: Vec<bool>,
    /// Volts by row, each live cluster against its first node; the last is the datum's 0 V.
    volts: Vec<f64>,
    trial: Vec<f64>,
    /// Sum of currents leaving each row's node: the gradient of the co-content.
    gradient: Vec<f64>,
    step: Vec<f64>,
    pinned: Vec<u32>,
    /// Current of each branch at `volts`.
    amps: Vec<f64>,
    remembered: BTreeMap<Vec<u64>, Remembered>,
}

#[derive(Debug, Clone)]
struct Remembered {
    volts: Vec<f64>,
    amps: Vec<f64>,
    residual: f64,
    iterations: u32,
}

impl Solver {
    /// Analyses the topology; branches that are absent now count too, since they may be present later.
    pub fn new(network: &Network) -> Self {
        let n = network.nodes;
        let datum = network.datum;
        let unknowns = n.saturating_sub(usize::from((datum as usize) < n));
        let packed = |node: NodeId| if node > datum { node - 1 } else { node };
        let inside = |node: NodeId| (node as usize) < n;
        let coupled = |b: &&Branch| {
            inside(b.from) && inside(b.to) && b.from != b.to && b.from != datum && b.to != datum
        };
        let pairs: Vec<(u32, u32)> = network
            .branches
            .iter()
            .filter(coupled)
            .map(|b| (packed(b.from), packed(b.to)))
            .collect();
        let symbolic = Symbolic::new(unknowns, &pairs);
        let row: Vec<u32> = (0..n as u32)
            .map(|node| {
                if node == datum {
                    unknowns as u32
                } else {
                    symbolic.position[packed(node) as usize]
                }
            })
            .collect();
        let places = network
            .branches
            .iter()
            .map(|b| {
                if !inside(b.from) || !inside(b.to) || b.from == b.to {
                    return Place {
                        from: NONE,
                        to: NONE,
                        off_diagonal: NONE,
                    };
                }
                let (from, to) = (row[b.from as usize], row[b.to as usize]);
                Place {
                    from,
                    to,
                    off_diagonal: symbolic.entry(from, to).unwrap_or(NONE),
                }
            })
            .collect();
        let factor = Factor::new(&symbolic);
        let zeros = vec![0.0; unknowns + 1];
        Self {
            symbolic,
            factor,
            places,
            row,
            live: Live::new(network),
            start: Start::new(n, network.branches.len()),
            acting: Vec::new(),
            active: vec![false; unknowns + 1],
            volts: zeros.clone(),
            trial: zeros.clone(),
            gradient: zeros.clone(),
            step: zeros,
            pinned: Vec::new(),
            amps: vec![0.0; network.branches.len()],
            remembered: BTreeMap::new(),
        }
    }

    /// Forgets all operating points, so that the next solve starts from 0 V everywhere.
    pub fn reset(&mut self) {
        self.start.reset();
        self.remembered.clear();
    }

    /// Solves from a fresh start.
    pub fn solve(&mut self, network: &Network) -> OperatingPoint {
        self.reset();
        let mut point = OperatingPoint::default();
        self.solve_into(network, &mut point);
        point
    }

    /// Solves starting from what is known of earlier states and writes the result over `point`.
    ///
    /// `network` must have the topology this solver was made for; a branch it does not know is absent.
    pub fn solve_into(&mut self, network: &Network, point: &mut OperatingPoint) {
        self.live.search(network);
        if let Some(known) = self.remembered.get(&self.live.bits) {
            self.volts.copy_from_slice(&known.volts);
            self.amps.copy_from_slice(&known.amps);
            (point.residual, point.iterations, point.converged) =
                (known.residual, known.iterations, true);
            self.report(network, point);
            return;
        }
        self.choose_rows(network);
        self.start.look(network, &self.live);
        self.solve_pieces(network, point);
        point.converged &= self.volts.iter().all(|v| v.is_finite());
        if point.converged {
            self.remember_drops(network);
            if self.remembered.len() == MAX_REMEMBERED {
                self.remembered.clear();
            }
            let remembered = Remembered {
                volts: self.volts.clone(),
                amps: self.amps.clone(),
                residual: point.residual,
                iterations: point.iterations,
            };
            self.remembered.insert(self.live.bits.clone(), remembered);
        }
        self.report(network, point);
    }

    /// Keeps the voltage along every branch as the start of later solves.
    fn remember_drops(&mut self, network: &Network) {
        for &i in &self.acting {
            let (branch, place) = (&network.branches[i as usize], self.places[i as usize]);
            let drop = self.volts[place.from as usize] - self.volts[place.to as usize];
            *self.start.drop(i as usize, branch) = drop;
        }
    }

    /// Takes the live branches and their nodes into the system and picks the node to pin in every cluster of
    /// them that does not hold the datum.
    fn choose_rows(&mut self, network: &Network) {
        self.acting.clear();
        self.amps.fill(0.0);
        self.active.fill(false);
        for (i, place) in self.places.iter().enumerate() {
            if self.live.branch[i] && i < network.branches.len() {
                self.acting.push(i as u32);
                self.active[place.from as usize] = true;
                self.active[place.to as usize] = true;
            }
        }
        let n = self.step.len() - 1;
        self.pinned.clear();
        for &node in &self.live.order {
            let row = self.row[node as usize];
            let by = self.live.entered_by[node as usize];
            let entry = by == NONE || !self.live.branch[by as usize];
            if entry && self.active[row as usize] && row as usize != n {
                self.pinned.push(row);
            }
        }
        self.active[n] = false;
    }

    /// Volts of all nodes and currents of all branches from the clusters' own volts: a dead branch has no
    /// voltage but for the emf of a source, so what hangs on it, live cluster or not, follows its other end.
    fn report(&mut self, network: &Network, point: &mut OperatingPoint) {
        point.floating.clone_from(&self.live.floating);
        point.volts.clear();
        point.volts.resize(self.row.len(), 0.0);
        // `offset`: volts of the datum of a node's cluster, known once its first node is.
        let offset = &mut self.trial;
        for &node in &self.live.order {
            let i = node as usize;
            let row = self.row[i] as usize;
            let by = self.live.entered_by[i];
            let parent = network.branches.get(by as usize).map(|b| {
                let parent = if b.from == node { b.to } else { b.from };
                parent as usize
            });
            match parent {
                // A remembered cluster may have had another first node: only differences count in it.
                None => {
                    offset[row] = -self.volts[row];
                    point.volts[i] = 0.0;
                }
                Some(parent) if self.live.branch[by as usize] => {
                    offset[row] = offset[self.row[parent] as usize];
                    point.volts[i] = self.volts[row] + offset[row];
                }
                Some(parent) => {
                    let branch = &network.branches[by as usize];
                    let rise = match branch.element.open_volts() {
                        Some(emf) if branch.from == node => emf,
                        Some(emf) => -emf,
                        None => 0.0,
                    };
                    offset[row] = point.volts[parent] + rise - self.volts[row];
                    point.volts[i] = point.volts[parent] + rise;
                }
            }
        }
        point.amps.clear();
        point.amps.extend_from_slice(&self.amps);
        point.amps.resize(network.branches.len(), 0.0);
    }
}
