//! The nodal system of what is live now: matrix and right-hand side at given voltages.
//!
//! Branches with a straight law (conductors, sources) enter the matrix once per solve, the others at every step.

use super::factor::Factor;
use super::runs::Found;
use super::{NONE, Solver};
use crate::network::{Element, Network};

/// Where a run acts in the nodal system; the datum has the last row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub from: u32,
    pub to: u32,
    /// Entry of the matrix that couples them; the last is for what couples nothing.
    pub entry: u32,
}

/// A run with a straight law, i = g·(u − emf).
#[derive(Debug, Clone, Copy)]
pub(super) struct Straight {
    pub run: u32,
    from: u32,
    to: u32,
    siemens: f64,
    emf: f64,
}

/// A run with any other law.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bent {
    pub run: u32,
    pub from: u32,
    pub to: u32,
    entry: u32,
}

/// A law drawn out straight from one voltage on.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Tangent {
    /// The voltage, and by how much it moved last.
    pub volts: f64,
    pub moved: f64,
    /// Current and slope of the law there.
    pub amps: f64,
    pub siemens: f64,
}

/// What is live now.
#[derive(Debug, Clone)]
pub(super) struct System {
    /// Rows that take part, in order of elimination.
    pub rows: Vec<u32>,
    active: Vec<bool>,
    pub straight: Vec<Straight>,
    pub bent: Vec<Bent>,
    /// One row of every cluster away from the datum. It is tied to 0 V by 1 S: no current can return that way, so
    /// the tie carries none and only fixes what was free.
    pub pinned: Vec<u32>,
    /// The part of the matrix that stays.
    fixed: Factor,
}

impl System {
    pub fn new(rows: usize, fixed: Factor) -> Self {
        Self {
            rows: Vec::with_capacity(rows),
            active: vec![false; rows + 1],
            straight: Vec::new(),
            bent: Vec::new(),
            pinned: Vec::new(),
            fixed,
        }
    }
}

impl Solver {
    /// Takes the live runs and their nodes into the system and picks the row to pin in every cluster of
    /// them that does not hold the datum.
    pub(super) fn choose_rows(&mut self, network: &Network) {
        let n = self.system.active.len() - 1;
        let active = &mut self.system.active;
        active.fill(false);
        self.limited.clear();
        for (run, place) in self.places.iter().enumerate() {
            if self.live.run[run] {
                self.elements[run] = self.runs.element(network, run);
                active[place.from as usize] = true;
                active[place.to as usize] = true;
                if let (Found::Source, Element::Limited(source)) =
                    (self.found[run], &self.elements[run])
                {
                    self.limited.push((run, *source));
                }
            }
        }
        self.system.pinned.clear();
        for &node in &self.live.order {
            let row = self.row[node as usize];
            let by = self.live.entered_by[node as usize];
            let entry = by == NONE || !self.live.run[by as usize];
            if entry && active[row as usize] && row as usize != n {
                self.system.pinned.push(row);
            }
        }
        active[n] = false;
        // Whatever a solve that failed has left there is not to be multiplied, not even by zero.
        self.step.fill(0.0);
        self.system.rows.clear();
        let rows = (0..).zip(active.iter());
        (self.system.rows).extend(rows.filter(|(_, active)| **active).map(|(row, _)| row));
    }

    /// Sorts the live runs by their laws and writes the part of the matrix that stays.
    pub(super) fn gather(&mut self) {
        let System {
            straight,
            bent,
            pinned,
            fixed,
            ..
        } = &mut self.system;
        straight.clear();
        bent.clear();
        fixed.clear();
        for (run, place) in self.places.iter().enumerate() {
            if !self.live.run[run] {
                continue;
            }
            let Place { from, to, entry } = *place;
            let (siemens, emf) = match self.elements[run] {
                Element::Conductor { siemens } => (siemens, 0.0),
                Element::Source { emf, siemens } => (siemens, emf),
                _ => {
                    let run = run as u32;
                    bent.push(Bent {
                        run,
                        from,
                        to,
                        entry,
                    });
                    continue;
                }
            };
            fixed.add(from, to, entry, siemens);
            let run = run as u32;
            straight.push(Straight {
                run,
                from,
                to,
                siemens,
                emf,
            });
        }
        for &pin in pinned.iter() {
            fixed.diagonal[pin as usize] += 1.0;
        }
        self.tangents.clear();
        self.tangents.resize(bent.len(), Tangent::default());
    }

    /// Currents of the straight laws at `volts`, into the sums of every node; the largest of them.
    fn assemble_straight(&mut self) -> f64 {
        self.factor.copy_from(&self.system.fixed);
        for &row in &self.system.rows {
            self.gradient[row as usize] = 0.0;
        }
        let mut largest = 0.0_f64;
        for straight in &self.system.straight {
            let (from, to) = (straight.from as usize, straight.to as usize);
            let amps = straight.siemens * ((self.volts[from] - self.volts[to]) - straight.emf);
            self.amps[straight.run as usize] = amps;
            if amps.abs() > largest {
                largest = amps.abs();
            }
            self.gradient[from] += amps;
            self.gradient[to] -= amps;
        }
        for &pin in &self.system.pinned {
            self.gradient[pin as usize] += self.volts[pin as usize];
        }
        largest
    }

    /// Writes the matrix and the sums of currents at `volts`; the largest current of a run.
    pub(super) fn assemble(&mut self) -> f64 {
        let mut largest = self.assemble_straight();
        for bent in &self.system.bent {
            let (from, to) = (bent.from as usize, bent.to as usize);
            let drop = self.volts[from] - self.volts[to];
            let (amps, siemens) = self.elements[bent.run as usize].current(drop);
            self.amps[bent.run as usize] = amps;
            if amps.abs() > largest {
                largest = amps.abs();
            }
            self.gradient[from] += amps;
            self.gradient[to] -= amps;
            self.factor.add(bent.from, bent.to, bent.entry, siemens);
        }
        largest
    }

    /// Solves the linear network in which every law is its tangent at the voltage given; `false` if that fails.
    pub(super) fn solve_tangents(&mut self) -> bool {
        self.volts.fill(0.0);
        self.assemble_straight();
        for (tangent, bent) in self.tangents.iter_mut().zip(&self.system.bent) {
            let (from, to) = (bent.from as usize, bent.to as usize);
            let (amps, siemens) = self.elements[bent.run as usize].current(tangent.volts);
            (tangent.amps, tangent.siemens) = (amps, siemens);
            let at_rest = amps - siemens * tangent.volts;
            self.gradient[from] += at_rest;
            self.gradient[to] -= at_rest;
            self.factor.add(bent.from, bent.to, bent.entry, siemens);
        }
        let rows = &self.system.rows;
        for &row in rows {
            self.volts[row as usize] = -self.gradient[row as usize];
        }
        let found = (self.factor).eliminate(&self.symbolic, rows, &mut self.volts);
        if found {
            self.factor.back(&self.symbolic, rows, &mut self.volts);
        }
        found
    }

    /// Co-content of all that is live at these volts, up to a constant.
    pub(super) fn co_content(&self, volts: &[f64]) -> f64 {
        let drop = |from: u32, to: u32| volts[from as usize] - volts[to as usize];
        let System {
            straight,
            bent,
            pinned,
            ..
        } = &self.system;
        let straight = straight.iter().map(|s| {
            let u = drop(s.from, s.to) - s.emf;
            0.5 * s.siemens * u * u
        });
        let bent = bent
            .iter()
            .map(|b| self.elements[b.run as usize].co_content(drop(b.from, b.to)));
        let pinned = pinned
            .iter()
            .map(|&pin| 0.5 * volts[pin as usize] * volts[pin as usize]);
        straight.sum::<f64>() + bent.sum::<f64>() + pinned.sum::<f64>()
    }
}
