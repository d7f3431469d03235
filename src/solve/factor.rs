//! Numeric LDLᵀ factor of a symmetric positive-definite matrix on a fixed pattern.
//!
//! Up-looking, row by row, after Davis 2005 ("Algorithm 849: a concise sparse Cholesky factorization
//! package", ACM TOMS 31, 587–591); the pattern is known, so no tree is walked here.

use super::order::Symbolic;

/// Factor and scratch space; holds the matrix before, and L and D after [`Factor::factorise`].
#[derive(Debug, Clone)]
pub(super) struct Factor {
    /// Diagonal of A, then of D.
    pub diagonal: Vec<f64>,
    /// Off-diagonal of A on the pattern of L (zero where A has none), then L, column-wise.
    pub lower: Vec<f64>,
    work: Vec<f64>,
}

impl Factor {
    pub fn new(symbolic: &Symbolic) -> Self {
        let n = symbolic.position.len();
        Self {
            // One slot more than rows: what falls on the datum is collected there and not used.
            diagonal: vec![0.0; n + 1],
            lower: vec![0.0; symbolic.len()],
            work: vec![0.0; n],
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
        for (k, &active) in active[..self.work.len()].iter().enumerate() {
            if !active {
                self.diagonal[k] = 1.0;
                continue;
            }
            let row = s.rows[k] as usize..s.rows[k + 1] as usize;
            let mut pivot = self.diagonal[k];
            for (&col, &at) in s.cols[row.clone()].iter().zip(&s.place[row.clone()]) {
                self.work[col as usize] = self.lower[at as usize];
            }
            for (&col, &at) in s.cols[row.clone()].iter().zip(&s.place[row]) {
                let (col, at) = (col as usize, at as usize);
                let y = self.work[col];
                if y == 0.0 {
                    self.lower[at] = 0.0;
                    continue;
                }
                self.work[col] = 0.0;
                // Column `col` of L above row k is final; it meets only later columns of this row.
                for p in s.starts[col] as usize..at {
                    self.work[s.row_of[p] as usize] -= self.lower[p] * y;
                }
                let l = y / self.diagonal[col];
                pivot -= l * y;
                self.lower[at] = l;
            }
            if pivot.is_nan() || pivot <= 0.0 {
                return false;
            }
            self.diagonal[k] = pivot;
        }
        true
    }

    /// Solves L·D·Lᵀ·x = b in place, in elimination order.
    pub fn solve(&self, s: &Symbolic, x: &mut [f64]) {
        let n = self.work.len();
        for k in 0..n {
            let xk = x[k];
            if xk != 0.0 {
                for p in s.starts[k] as usize..s.starts[k + 1] as usize {
                    x[s.row_of[p] as usize] -= self.lower[p] * xk;
                }
            }
        }
        for k in (0..n).rev() {
            let mut xk = x[k] / self.diagonal[k];
            for p in s.starts[k] as usize..s.starts[k + 1] as usize {
                xk -= self.lower[p] * x[s.row_of[p] as usize];
            }
            x[k] = xk;
        }
    }
}
