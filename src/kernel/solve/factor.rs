//! Numeric LDLᵀ factor of a symmetric positive-definite matrix on a fixed pattern.
//!
//! Right-looking, column by column: each column is scaled by its pivot and subtracted from the columns of its
//! rows (Duff, Erisman and Reid, Direct Methods for Sparse Matrices, chapter 4). The pattern of L holds every
//! entry that arises, so a target is found by walking along its column.

use super::order::Symbolic;

/// Holds the matrix before, and L and D after [`Factor::factorise`].
#[derive(Debug, Clone)]
pub(super) struct Factor {
    /// Diagonal of A, then of D; one slot more than rows, where what falls on the datum is collected.
    pub diagonal: Vec<f64>,
    /// Off-diagonal of A on the pattern of L (zero where A has none), then L, column-wise.
    pub lower: Vec<f64>,
}

impl Factor {
    pub fn new(symbolic: &Symbolic) -> Self {
        let n = symbolic.position.len();
        Self {
            diagonal: vec![0.0; n + 1],
            lower: vec![0.0; symbolic.len()],
        }
    }

    /// Sets the matrix to zero.
    pub fn clear(&mut self) {
        self.diagonal.fill(0.0);
        self.lower.fill(0.0);
    }

    /// Replaces A by L and D. A pivot that is not positive means the matrix was not definite: `false`.
    ///
    /// Rows that are not `active` have no entries; they are passed over and solve to what they are given.
    pub fn factorise(&mut self, s: &Symbolic, active: &[bool]) -> bool {
        for (k, (bounds, &active)) in s.starts.windows(2).zip(active).enumerate() {
            if !active {
                self.diagonal[k] = 1.0;
                continue;
            }
            let pivot = self.diagonal[k];
            if pivot.is_nan() || pivot <= 0.0 {
                return false;
            }
            let (start, end) = (bounds[0] as usize, bounds[1] as usize);
            for p in start..end {
                let entry = self.lower[p];
                if entry == 0.0 {
                    continue;
                }
                let l = entry / pivot;
                let row = s.row_of[p] as usize;
                self.diagonal[row] -= l * entry;
                let mut target = s.starts[row] as usize;
                for q in p + 1..end {
                    while s.row_of[target] < s.row_of[q] {
                        target += 1;
                    }
                    self.lower[target] -= l * self.lower[q];
                }
                self.lower[p] = l;
            }
        }
        true
    }

    /// Solves L·D·Lᵀ·x = b in place, in elimination order.
    pub fn solve(&self, s: &Symbolic, x: &mut [f64]) {
        let column = |k: usize| {
            let range = s.starts[k] as usize..s.starts[k + 1] as usize;
            s.row_of[range.clone()].iter().zip(&self.lower[range])
        };
        for k in 0..x.len() {
            let xk = x[k];
            if xk != 0.0 {
                for (&row, l) in column(k) {
                    x[row as usize] -= l * xk;
                }
            }
        }
        for k in (0..x.len()).rev() {
            let mut xk = x[k] / self.diagonal[k];
            for (&row, l) in column(k) {
                xk -= l * x[row as usize];
            }
            x[k] = xk;
        }
    }
}
