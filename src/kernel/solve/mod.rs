//! The operating point of a network: node voltages and branch currents that satisfy Kirchhoff's laws.
//!
//! Every branch is monotone, so the operating point is the unique minimum of the total co-content, a
//! convex function of the node voltages (Duffin 1947; Millar 1951). It is found by Newton's method with a
//! line search on the slope of that function, which converges from any start. The Newton system is the
//! symmetric positive-definite nodal matrix, factorised as sparse LDLᵀ in one order per plan.
//!
//! Conductors in series are one ([`runs`]), and what has a straight law is written once per solve ([`system`]).
//! Newton starts from a linear network of tangents ([`start`]).
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
mod runs;
mod start;
mod system;

use crate::network::{Element, Limited, Network, NodeId};
use factor::Factor;
use live::Live;
use order::Symbolic;
use runs::{Found, Runs};
use start::Start;
use std::collections::BTreeMap;
use system::{Place, System, Tangent};

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

/// Solves networks of one topology: the order is worked out once, elements may be present or absent.
///
/// Operating points are remembered by the set of live branches, and each element's last voltage as the start
/// of later solves. The element of a branch must therefore be the same whenever it is
/// present; where it changes, call [`Solver::reset`].
#[derive(Debug, Clone)]
pub struct Solver {
    runs: Runs,
    symbolic: Symbolic,
    factor: Factor,
    places: Vec<Place>,
    /// Row of each node in elimination order; the datum comes last, nodes inside runs have none.
    row: Vec<u32>,
    /// What each run is now.
    found: Vec<Found>,
    live: Live,
    start: Start,
    /// Laws of the live runs.
    elements: Vec<Element>,
    /// Live runs whose law has corners.
    limited: Vec<(usize, Limited)>,
    system: System,
    /// Where the laws that are not straight are drawn out straight.
    tangents: Vec<Tangent>,
    /// Volts by row, each live cluster against its first node; the last is the datum's 0 V.
    volts: Vec<f64>,
    trial: Vec<f64>,
    /// Sum of currents leaving each row's node: the gradient of the co-content.
    gradient: Vec<f64>,
    step: Vec<f64>,
    /// Current of each run at `volts`.
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
        Self::with(network, Runs::new(network))
    }

    fn with(network: &Network, runs: Runs) -> Self {
        let (n, datum) = (network.nodes, network.datum);
        // Unknowns: the nodes at the ends of runs, without the datum.
        let mut number = vec![NONE; n];
        let mut unknowns = 0_u32;
        for (node, (number, inner)) in number.iter_mut().zip(&runs.inner).enumerate() {
            if !inner && node != datum as usize {
                *number = unknowns;
                unknowns += 1;
            }
        }
        let numbered =
            |&(from, to): &(NodeId, NodeId)| (number[from as usize], number[to as usize]);
        let pairs: Vec<(u32, u32)> = (runs.ends.iter().map(numbered))
            .filter(|&(from, to)| from != NONE && to != NONE && from != to)
            .collect();
        let symbolic = Symbolic::new(unknowns as usize, &pairs);
        let row: Vec<u32> = (0..n)
            .map(|node| match number[node] {
                NONE if node == datum as usize => unknowns,
                NONE => NONE,
                number => symbolic.position[number as usize],
            })
            .collect();
        let place = |&(from, to): &(NodeId, NodeId)| {
            let (from, to) = (row[from as usize], row[to as usize]);
            let nothing = symbolic.len() as u32;
            let entry = symbolic.entry(from, to).unwrap_or(nothing);
            Place { from, to, entry }
        };
        let places: Vec<Place> = runs.ends.iter().map(place).collect();
        let factor = Factor::new(&symbolic);
        let zeros = vec![0.0; unknowns as usize + 1];
        Self {
            factor: factor.clone(),
            system: System::new(unknowns as usize, factor),
            symbolic,
            places,
            row,
            found: Vec::new(),
            live: Live::new(&runs, datum),
            start: Start::new(n, runs.len()),
            elements: vec![Element::Absent; runs.len()],
            limited: Vec::new(),
            tangents: Vec::new(),
            volts: zeros.clone(),
            trial: zeros.clone(),
            gradient: zeros.clone(),
            step: zeros,
            amps: vec![0.0; runs.len()],
            remembered: BTreeMap::new(),
            runs,
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
        if !self.runs.look(network, &mut self.found) {
            // What was a conductor has become something else.
            *self = Self::with(network, Runs::single(network));
            self.runs.look(network, &mut self.found);
        }
        self.live.search(&self.found, network.datum);
        if let Some(known) = self.remembered.get(&self.live.bits) {
            self.volts.copy_from_slice(&known.volts);
            self.amps.copy_from_slice(&known.amps);
            (point.residual, point.iterations, point.converged) =
                (known.residual, known.iterations, true);
            self.report(network, point);
            return;
        }
        self.choose_rows(network);
        self.look_for_start(network.datum);
        self.solve_pieces(point);
        point.converged &=
            (self.system.rows.iter()).all(|&row| self.volts[row as usize].is_finite());
        if point.converged {
            self.remember_drops();
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

    fn look_for_start(&mut self, datum: NodeId) {
        let poles = (self.found.iter().zip(&self.live.run).zip(&self.runs.ends))
            .filter(|((found, live), _)| **live && **found == Found::Source)
            .map(|(_, &(plus, _))| plus);
        self.start.look(&self.elements, &self.live, datum, poles);
    }

    /// Keeps the voltage along every run whose law is not straight as the start of later solves.
    fn remember_drops(&mut self) {
        for bent in &self.system.bent {
            let drop = self.volts[bent.from as usize] - self.volts[bent.to as usize];
            let run = bent.run as usize;
            *self.start.drop(run, self.runs.ends[run]) = drop;
        }
    }

    /// Volts of all nodes and currents of all branches from the clusters' own volts: a dead run has no
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
            let parent = self.runs.ends.get(by as usize).map(|&(from, to)| {
                let parent = if from == node { to } else { from };
                parent as usize
            });
            match parent {
                // A remembered cluster may have had another first node: only differences count in it.
                None => {
                    offset[row] = -self.volts[row];
                    point.volts[i] = 0.0;
                }
                Some(parent) if self.live.run[by as usize] => {
                    offset[row] = offset[self.row[parent] as usize];
                    point.volts[i] = self.volts[row] + offset[row];
                }
                Some(parent) => {
                    let emf = self.runs.emf(network, by as usize);
                    let rise = if self.runs.ends[by as usize].0 == node {
                        emf
                    } else {
                        -emf
                    };
                    offset[row] = point.volts[parent] + rise - self.volts[row];
                    point.volts[i] = point.volts[parent] + rise;
                }
            }
        }
        (self.runs).report(network, &self.live.run, &self.amps, point);
    }
}
