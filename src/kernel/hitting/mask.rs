//! Sets of up to 128 spots in two words: wider integers are slow in wasm.

use core::ops::{BitAnd, BitOr, Not};

/// A set of numbers below 128.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mask {
    high: u64,
    low: u64,
}

impl Mask {
    /// Nothing.
    pub const NONE: Mask = Mask { high: 0, low: 0 };
    /// One number.
    pub fn one(at: usize) -> Self {
        let bit = 1 << (at % 64);
        if at < 64 {
            Mask { high: 0, low: bit }
        } else {
            Mask { high: bit, low: 0 }
        }
    }

    /// All of these.
    pub fn of(numbers: impl Iterator<Item = usize>) -> Self {
        numbers.fold(Self::NONE, |mask, at| mask | Self::one(at))
    }

    pub fn is_empty(self) -> bool {
        self.high | self.low == 0
    }

    pub fn meets(self, other: Self) -> bool {
        !(self & other).is_empty()
    }

    /// Whether it holds just one number.
    pub fn is_single(self) -> bool {
        match (self.high, self.low) {
            (0, one) | (one, 0) => one.is_power_of_two(),
            _ => false,
        }
    }

    pub fn len(self) -> u32 {
        self.high.count_ones() + self.low.count_ones()
    }

    /// The numbers, rising.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        let words = [(0, self.low), (64, self.high)];
        words.into_iter().flat_map(|(base, mut word)| {
            core::iter::from_fn(move || {
                let bit = word.trailing_zeros() as usize;
                (word != 0).then(|| {
                    word &= word - 1;
                    base + bit
                })
            })
        })
    }
}

impl BitAnd for Mask {
    type Output = Self;

    fn bitand(self, other: Self) -> Self {
        Mask {
            high: self.high & other.high,
            low: self.low & other.low,
        }
    }
}

impl BitOr for Mask {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Mask {
            high: self.high | other.high,
            low: self.low | other.low,
        }
    }
}

impl Not for Mask {
    type Output = Self;

    fn not(self) -> Self {
        Mask {
            high: !self.high,
            low: !self.low,
        }
    }
}
