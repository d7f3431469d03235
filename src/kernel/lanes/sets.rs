//! Disjoint sets with path halving (Tarjan, van Leeuwen 1984).

/// Sets over the numbers below a bound; each is known by its smallest number.
pub(super) struct Sets(Vec<usize>);

impl Sets {
    /// Every number by itself.
    pub fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    /// The smallest number of the set.
    pub fn find(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    /// Joins two sets.
    pub fn union(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        self.0[a.max(b)] = a.min(b);
    }
}
