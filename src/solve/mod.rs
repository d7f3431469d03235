//! The operating point of a network: node voltages and branch currents that satisfy Kirchhoff's laws.
//!
//! Every branch is monotone, so the operating point is the unique minimum of the total co-content, a
//! convex function of the node voltages (Duffin 1947; Millar 1951). It is found by Newton's method with a
//! line search on the slope of that function, which converges from any start. The Newton system is the
//! symmetric positive-definite nodal matrix, factorised as sparse LDLᵀ in one order per plan.
//!
//! Parts of the network without a conducting path to the datum are found from the graph first: their
//! currents are solved against a datum of their own and their voltages reported as floating.

mod factor;
mod order;

use crate::network::{Element, Network, NodeId};
use factor::Factor;
use order::Symbolic;

/// A solve counts as found when Kirchhoff's current residual is at most this share of the largest current…
pub const RESIDUAL_SHARE: f64 = 1e-9;
/// …or at most this many amperes.
pub const RESIDUAL_AMPS: f64 = 1e-9;
/// Newton steps after which a solve is given up.
const MAX_ITERATIONS: u32 = 120;
/// Newton steps taken beyond the residual bound: a node that only leakage holds has its current long before
/// its voltage.
const MAX_POLISHING: u32 = 60;
/// A last step of at most this many volts means, by quadratic convergence, that the next would be nothing.
const SETTLED_VOLTS: f64 = 1e-6;
/// Share of the slope at the start that the slope at the end of a step may reach on the far side.
const SLOPE_SHARE: f64 = 0.25;

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

/// Where a branch acts in the nodal system.
#[derive(Debug, Clone, Copy)]
struct Place {
    from: u32,
    to: u32,
    off_diagonal: u32,
}

/// Solves networks of one topology: the order is worked out once, elements may change between solves.
#[derive(Debug, Clone)]
pub struct Solver {
    datum: NodeId,
    symbolic: Symbolic,
    factor: Factor,
    places: Vec<Place>,
    /// Row of each node in elimination order; the datum comes last.
    row: Vec<u32>,
    /// Volts by row; the last is the datum's 0 V.
    volts: Vec<f64>,
    trial: Vec<f64>,
    /// Sum of currents leaving each row's node: the gradient of the co-content.
    gradient: Vec<f64>,
    step: Vec<f64>,
    parent: Vec<u32>,
    pinned: Vec<u32>,
}

impl Solver {
    /// Analyses the topology; branches that are absent now count too, since they may be present later.
    pub fn new(network: &Network) -> Self {
        let n = network.nodes;
        let datum = network.datum;
        let unknowns = n.saturating_sub(usize::from((datum as usize) < n));
        let packed = |node: NodeId| if node > datum { node - 1 } else { node };
        let inside = |node: NodeId| (node as usize) < n;
        let coupled = |b: &&crate::network::Branch| {
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
                let (col, at) = (from.min(to), from.max(to));
                let off_diagonal = if at as usize == unknowns {
                    NONE
                } else {
                    let start = symbolic.starts[col as usize] as usize;
                    let end = symbolic.starts[col as usize + 1] as usize;
                    let found = symbolic.row_of[start..end].binary_search(&at);
                    found.map_or(NONE, |offset| (start + offset) as u32)
                };
                Place {
                    from,
                    to,
                    off_diagonal,
                }
            })
            .collect();
        let factor = Factor::new(&symbolic);
        let zeros = vec![0.0; unknowns + 1];
        Self {
            datum,
            symbolic,
            factor,
            places,
            row,
            volts: zeros.clone(),
            trial: zeros.clone(),
            gradient: zeros.clone(),
            step: zeros,
            parent: vec![0; unknowns + 1],
            pinned: Vec::new(),
        }
    }

    /// Forgets the last operating point, so that the next solve starts from 0 V everywhere.
    pub fn reset(&mut self) {
        self.volts.fill(0.0);
    }

    /// Solves from a fresh start.
    pub fn solve(&mut self, network: &Network) -> OperatingPoint {
        self.reset();
        let mut point = OperatingPoint::default();
        self.solve_into(network, &mut point);
        point
    }

    /// Solves starting from the last operating point and writes the result over `point`.
    ///
    /// `network` must have the topology this solver was made for; a branch it does not know is absent.
    pub fn solve_into(&mut self, network: &Network, point: &mut OperatingPoint) {
        self.find_components(network);
        let elements = |i: usize| {
            network
                .branches
                .get(i)
                .map_or(Element::Absent, |b| b.element)
        };
        let n = self.step.len() - 1;
        self.volts[n] = 0.0;
        point.iterations = 0;
        point.converged = false;
        let mut largest = self.assemble(&elements);
        let mut last_step = f64::INFINITY;
        let mut polishing = 0;
        loop {
            point.residual = self.residual();
            if point.residual <= RESIDUAL_AMPS.max(RESIDUAL_SHARE * largest) {
                point.converged = true;
                if last_step <= SETTLED_VOLTS || point.residual == 0.0 || polishing == MAX_POLISHING
                {
                    break;
                }
                polishing += 1;
            }
            if point.iterations == MAX_ITERATIONS || !self.factor.factorise(&self.symbolic) {
                break;
            }
            point.iterations += 1;
            for (step, gradient) in self.step.iter_mut().zip(&self.gradient) {
                *step = -gradient;
            }
            self.factor.solve(&self.symbolic, &mut self.step[..n]);
            self.step[n] = 0.0;
            let slope = dot(&self.gradient, &self.step);
            // Rounding may turn the last tiny step uphill: then nothing better can be found.
            if slope.is_nan() || slope >= 0.0 {
                break;
            }
            core::mem::swap(&mut self.volts, &mut self.trial);
            let length;
            (length, largest) = self.search(slope, &elements);
            last_step = length * self.step.iter().fold(0.0, |m: f64, s| m.max(s.abs()));
        }
        self.report(network, &elements, point);
    }

    /// Moves along `step` from `trial` to a point where the co-content is sufficiently lower.
    ///
    /// Leaves the new voltages in `volts`, with the system assembled there; returns the share of the step
    /// taken and the largest branch current. The slope of a convex function rises along a line: where it is
    /// still negative the function has only fallen.
    fn search(&mut self, slope: f64, elements: &impl Fn(usize) -> Element) -> (f64, f64) {
        let mut largest = self.move_to(1.0, elements);
        let mut end = dot(&self.gradient, &self.step);
        if end <= 0.0 {
            return (1.0, largest);
        }
        if end <= -SLOPE_SHARE * slope {
            let before = self.co_content(&self.trial, elements);
            let after = self.co_content(&self.volts, elements);
            if after <= before + 1e-4 * slope + 1e-12 * before.abs() {
                return (1.0, largest);
            }
        }
        // Illinois false position (Dowell and Jarratt 1971) for the zero of the slope.
        let (mut low, mut low_slope, mut low_weight) = (0.0, slope, slope);
        let (mut high, mut end_weight) = (1.0, end);
        let mut length = 1.0;
        for _ in 0..60 {
            let mut next = low - low_weight * (high - low) / (end_weight - low_weight);
            if next.is_nan() || next <= low || next >= high {
                next = 0.5 * (low + high);
            }
            length = next;
            largest = self.move_to(length, elements);
            end = dot(&self.gradient, &self.step);
            if end <= 0.0 {
                (low, low_slope, low_weight) = (length, end, end);
                end_weight *= 0.5;
                if low_slope >= SLOPE_SHARE * slope || low >= 0.5 * high {
                    return (length, largest);
                }
            } else {
                (high, end_weight) = (length, end);
                low_weight = if low == 0.0 {
                    low_slope
                } else {
                    0.5 * low_weight
                };
            }
        }
        (length, largest)
    }

    fn move_to(&mut self, length: f64, elements: &impl Fn(usize) -> Element) -> f64 {
        for ((v, base), step) in self.volts.iter_mut().zip(&self.trial).zip(&self.step) {
            *v = base + length * step;
        }
        self.assemble(elements)
    }

    /// Writes the nodal matrix and the gradient at `volts`; the largest branch current.
    fn assemble(&mut self, elements: &impl Fn(usize) -> Element) -> f64 {
        self.factor.clear();
        self.gradient.fill(0.0);
        let n = self.step.len() - 1;
        let mut largest = 0.0_f64;
        for (i, place) in self.places.iter().enumerate() {
            let element = elements(i);
            if place.from == NONE || !element.is_present() {
                continue;
            }
            let (from, to) = (place.from as usize, place.to as usize);
            let (amps, siemens) = element.current(self.volts[from] - self.volts[to]);
            largest = largest.max(amps.abs());
            self.gradient[from] += amps;
            self.gradient[to] -= amps;
            if from < n {
                self.factor.diagonal[from] += siemens;
            }
            if to < n {
                self.factor.diagonal[to] += siemens;
            }
            if place.off_diagonal != NONE {
                self.factor.lower[place.off_diagonal as usize] -= siemens;
            }
        }
        // One node of every floating component is tied to 0 V by 1 S. No current can return that way, so
        // the tie carries none and only fixes what was free.
        for &pin in &self.pinned {
            self.gradient[pin as usize] += self.volts[pin as usize];
            self.factor.diagonal[pin as usize] += 1.0;
        }
        self.gradient[n] = 0.0;
        largest
    }

    fn residual(&self) -> f64 {
        self.gradient.iter().fold(0.0, |m: f64, g| m.max(g.abs()))
    }

    fn co_content(&self, volts: &[f64], elements: &impl Fn(usize) -> Element) -> f64 {
        let mut sum = 0.0;
        for (i, place) in self.places.iter().enumerate() {
            if place.from != NONE {
                let drop = volts[place.from as usize] - volts[place.to as usize];
                sum += elements(i).co_content(drop);
            }
        }
        for &pin in &self.pinned {
            sum += 0.5 * volts[pin as usize] * volts[pin as usize];
        }
        sum
    }

    /// Joins the rows that conduct to one another and picks one row to pin in every floating component.
    fn find_components(&mut self, network: &Network) {
        for (i, parent) in self.parent.iter_mut().enumerate() {
            *parent = i as u32;
        }
        for (place, branch) in self.places.iter().zip(&network.branches) {
            if place.from != NONE && branch.element.is_present() {
                let (a, b) = (
                    root(&mut self.parent, place.from),
                    root(&mut self.parent, place.to),
                );
                // The higher row becomes the root, so the datum's component has the datum as root.
                self.parent[a.min(b) as usize] = a.max(b);
            }
        }
        let n = self.parent.len() as u32 - 1;
        self.pinned.clear();
        for i in 0..n {
            if self.parent[i as usize] == i {
                self.pinned.push(i);
            }
        }
    }

    fn report(
        &mut self,
        network: &Network,
        elements: &impl Fn(usize) -> Element,
        point: &mut OperatingPoint,
    ) {
        let n = self.parent.len() as u32 - 1;
        let has_datum = (self.datum as usize) < self.row.len();
        point.volts.clear();
        point.floating.clear();
        for &row in &self.row {
            point.volts.push(self.volts[row as usize]);
            point
                .floating
                .push(!has_datum || root(&mut self.parent, row) != n);
        }
        point.amps.clear();
        point.amps.resize(network.branches.len(), 0.0);
        for (i, (place, amps)) in self.places.iter().zip(&mut point.amps).enumerate() {
            if place.from != NONE {
                let drop = self.volts[place.from as usize] - self.volts[place.to as usize];
                *amps = elements(i).current(drop).0;
            }
        }
        point.converged &= self.volts.iter().all(|v| v.is_finite());
    }
}

fn root(parent: &mut [u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        let up = parent[parent[i as usize] as usize];
        parent[i as usize] = up;
        i = up;
    }
    i
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
