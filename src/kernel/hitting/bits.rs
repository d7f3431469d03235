//! Small sets of numbers as bits.

/// A set of numbers below a bound fixed when it is made.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bits(Vec<u64>);

impl Bits {
    /// The empty set of numbers below `bound`.
    pub fn new(bound: usize) -> Self {
        Self(vec![0; bound.div_ceil(64)])
    }

    /// Takes in a number; one beyond the bound is left out.
    pub fn insert(&mut self, item: usize) {
        if let Some(word) = self.0.get_mut(item / 64) {
            *word |= 1 << (item % 64);
        }
    }

    /// Takes out a number.
    pub fn remove(&mut self, item: usize) {
        if let Some(word) = self.0.get_mut(item / 64) {
            *word &= !(1 << (item % 64));
        }
    }

    /// Whether a number is in it.
    pub fn contains(&self, item: usize) -> bool {
        let word = self.0.get(item / 64);
        word.is_some_and(|word| word >> (item % 64) & 1 == 1)
    }

    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|&word| word == 0)
    }

    /// How many numbers are in it.
    pub fn len(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// Whether all of this is in the other.
    pub fn is_subset(&self, of: &Bits) -> bool {
        self.0.iter().zip(&of.0).all(|(a, b)| a & !b == 0)
    }

    /// Whether they have a number in common.
    pub fn meets(&self, other: &Bits) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }

    /// Takes in all of `other`.
    pub fn add(&mut self, other: &Bits) {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a |= b;
        }
    }

    /// What is in this and not in `other`.
    pub fn without(&self, other: &Bits) -> Bits {
        Bits(self.0.iter().zip(&other.0).map(|(a, b)| a & !b).collect())
    }

    /// What is in both.
    pub fn within(&self, other: &Bits) -> Bits {
        Bits(self.0.iter().zip(&other.0).map(|(a, b)| a & b).collect())
    }

    /// The numbers, rising.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(at, &word)| {
            let mut left = word;
            core::iter::from_fn(move || {
                let bit = left.trailing_zeros();
                (left != 0).then(|| {
                    left &= left - 1;
                    at * 64 + bit as usize
                })
            })
        })
    }
}
