//! Fill-reducing order and symbolic factor of a symmetric matrix, worked out once per plan.
//!
//! Minimum degree on the elimination graph with ties to the lowest index (Tinney and Walker 1967; George
//! and Liu 1989); the eliminated neighbours are the pattern of L.

use std::collections::BTreeSet;

/// Pattern of L in the chosen order.
#[derive(Debug, Clone, Default)]
pub(super) struct Symbolic {
    /// Position of each unknown in the elimination order.
    pub position: Vec<u32>,
    /// For each column of L, where its entries start; one more than there are columns.
    pub starts: Vec<u32>,
    /// Row of each entry, column-wise.
    pub row_of: Vec<u32>,
    /// For each column where its products of two entries start in `targets`.
    pub products: Vec<u32>,
    /// Entry that each product of two entries of a column is subtracted from, the first running slower.
    pub targets: Vec<u32>,
}

impl Symbolic {
    /// Analyses the matrix with off-diagonal entries at `pairs` (any order, duplicates allowed).
    pub fn new(n: usize, pairs: &[(u32, u32)]) -> Self {
        let mut near = vec![BTreeSet::<u32>::new(); n];
        for &(a, b) in pairs {
            if a != b {
                near[a as usize].insert(b);
                near[b as usize].insert(a);
            }
        }
        let mut queue: BTreeSet<(usize, u32)> = near
            .iter()
            .zip(0..)
            .map(|(set, i)| (set.len(), i))
            .collect();
        let mut position = vec![0_u32; n];
        let mut columns: Vec<Vec<u32>> = Vec::with_capacity(n);
        while let Some((_, node)) = queue.pop_first() {
            position[node as usize] = columns.len() as u32;
            let set = core::mem::take(&mut near[node as usize]);
            for &a in &set {
                let before = near[a as usize].len();
                near[a as usize].remove(&node);
                near[a as usize].extend(set.iter().copied().filter(|&b| b != a));
                queue.remove(&(before, a));
                queue.insert((near[a as usize].len(), a));
            }
            columns.push(set.into_iter().collect());
        }
        // `columns[k]` now holds the unknowns eliminated after the k-th that it is coupled to.
        let mut starts = vec![0_u32];
        let mut row_of = Vec::new();
        for column in &mut columns {
            for entry in column.iter_mut() {
                *entry = position[*entry as usize];
            }
            column.sort_unstable();
            row_of.extend_from_slice(column);
            starts.push(row_of.len() as u32);
        }
        let symbolic = Self {
            position,
            starts,
            row_of,
            ..Self::default()
        };
        symbolic.with_products()
    }

    fn with_products(mut self) -> Self {
        let (mut products, mut targets) = (Vec::new(), Vec::new());
        for bounds in self.starts.windows(2) {
            products.push(targets.len() as u32);
            let column = &self.row_of[bounds[0] as usize..bounds[1] as usize];
            for (at, &a) in column.iter().enumerate() {
                // Every one exists: eliminating a column couples all its rows.
                targets.extend((column[at + 1..].iter()).filter_map(|&b| self.entry(a, b)));
            }
        }
        (self.products, self.targets) = (products, targets);
        self
    }

    /// Place of the entry that couples two rows in the column-wise storage.
    pub fn entry(&self, a: u32, b: u32) -> Option<u32> {
        let (col, row) = (a.min(b) as usize, a.max(b));
        let (start, end) = (
            *self.starts.get(col)? as usize,
            *self.starts.get(col + 1)? as usize,
        );
        let offset = self.row_of[start..end].binary_search(&row).ok()?;
        Some((start + offset) as u32)
    }

    /// Number of entries of L below the diagonal.
    pub fn len(&self) -> usize {
        self.row_of.len()
    }
}
