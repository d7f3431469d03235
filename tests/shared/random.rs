//! Small repeatable random source for tests: SplitMix64 (Steele, Lea and Flood 2014).

#![allow(dead_code, reason = "each test uses some of these")]

/// Generator state.
pub struct Random(pub u64);

impl Random {
    /// 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Uniform in 0..1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Uniform in 0..n.
    pub fn below(&mut self, n: usize) -> usize {
        (self.bits() % n as u64) as usize
    }

    /// Between `low` and `high`, even on a logarithmic scale.
    pub fn log(&mut self, low: f64, high: f64) -> f64 {
        low * libm::pow(high / low, self.unit())
    }
}
