//! Numeric LDLᵀ factor of a symmetric positive-definite matrix on a fixed pattern.
//!
//! Right-looking, column by column: each column is scaled by its pivot and subtracted from the columns of its
//! rows (Duff, Erisman and Reid, Direct Methods for Sparse Matrices, chapter 4), and from the right-hand side in the same
//! pass. The pattern of L holds every entry that arises; where each product goes was looked up once.

use super::order::Symbolic;

/// Holds the matrix before, and L and D⁻¹ after [`Factor::eliminate`].
#[derive(Debug, Clone)]
pub(super) struct Factor {
    /// Diagonal of A, then of D⁻¹; one slot more than rows, where what falls on the datum is collected.
    pub diagonal: Vec<f64>,
    /// Off-diagonal of A on the pattern of L (zero where A has none), then L, column-wise; one slot more than
    /// entries, for branches that couple nothing.
    lower: Vec<f64>,
}

impl Factor {
    pub fn new(symbolic: &Symbolic) -> Self {
        let n = symbolic.position.len();
        Self {
            diagonal: vec![0.0; n + 1],
            lower: vec![0.0; symbolic.len() + 1],
        }
    }

    /// Sets the matrix to zero.
    pub fn clear(&mut self) {
        self.diagonal.fill(0.0);
        self.lower.fill(0.0);
    }

    /// Takes over another of the same pattern.
    pub fn copy_from(&mut self, other: &Factor) {
        self.diagonal.copy_from_slice(&other.diagonal);
        self.lower.copy_from_slice(&other.lower);
    }

    /// Adds the conductance of a branch between two rows that are coupled by an entry.
    pub fn add(&mut self, from: u32, to: u32, entry: u32, siemens: f64) {
        self.diagonal[from as usize] += siemens;
        self.diagonal[to as usize] += siemens;
        self.lower[entry as usize] -= siemens;
    }

    /// Replaces A by L and D⁻¹ and `x` by D⁻¹·L⁻¹·x. A pivot that is not positive means the matrix was not definite:
    /// `false`. Only `rows` are touched; the others must have no entries.
    pub fn eliminate(&mut self, s: &Symbolic, rows: &[u32], x: &mut [f64]) -> bool {
        for &k in rows {
            let k = k as usize;
            let pivot = self.diagonal[k];
            if pivot.is_nan() || pivot <= 0.0 {
                return false;
            }
            let inverse = 1.0 / pivot;
            let xk = x[k];
            let (start, end) = (s.starts[k] as usize, s.starts[k + 1] as usize);
            let mut product = s.products[k] as usize;
            for p in start..end {
                let entry = self.lower[p];
                if entry == 0.0 {
                    product += end - p - 1;
                    continue;
                }
                let l = entry * inverse;
                let row = s.row_of[p] as usize;
                self.diagonal[row] -= l * entry;
                x[row] -= l * xk;
                self.lower[p] = l;
                // Columns are short: a plain loop beats everything that is set up first.
                let mut q = p + 1;
                while q < end {
                    let target = s.targets[product] as usize;
                    self.lower[target] -= l * self.lower[q];
                    product += 1;
                    q += 1;
                }
            }
            self.diagonal[k] = inverse;
            x[k] = xk * inverse;
        }
        true
    }

    /// Ends what [`Factor::eliminate`] began: `x` becomes the solution.
    pub fn back(&self, s: &Symbolic, rows: &[u32], x: &mut [f64]) {
        for &k in rows.iter().rev() {
            let k = k as usize;
            let range = s.starts[k] as usize..s.starts[k + 1] as usize;
            let mut xk = x[k];
            for (&row, l) in s.row_of[range.clone()].iter().zip(&self.lower[range]) {
                xk -= l * x[row as usize];
            }
            x[k] = xk;
        }
    }
}
