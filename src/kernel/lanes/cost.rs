//! What a placement costs: crossings first, as readers pay most for them (Purchase 1997), then corners, length
//! and height.
//!
//! The cost of a channel is what routing will make of it: crossings of its nets with their trunks in the
//! better order of the two, or in the order their lanes force on them.

use super::body::Taps;

/// One crossing.
pub const CROSSING: u64 = 40;
const CORNER: u64 = 3;
/// One lane of trunk.
pub(super) const SPAN: u64 = 2;
/// One more lane.
pub(super) const HEIGHT: u64 = 5;
/// Parts of one column against their order in the plan: only breaks ties, so that left stays above right.
pub(super) const TURNED: u64 = 1;
/// Two nets that each would have to be left of the other need an extra jog.
const JOG: u64 = 60;

/// First and last lane of a net.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Reach {
    pub lo: usize,
    pub hi: usize,
}

impl Reach {
    /// Of a net on these lanes.
    pub fn of(net: &Taps, rows: &[usize]) -> Self {
        let mut reach = Self {
            lo: usize::MAX,
            hi: 0,
        };
        for tap in net.all() {
            let row = rows[tap.0] + tap.1;
            reach.lo = reach.lo.min(row);
            reach.hi = reach.hi.max(row);
        }
        reach.lo = reach.lo.min(reach.hi);
        reach
    }

    pub const fn span(self) -> usize {
        self.hi - self.lo
    }

    /// Whether the two can be in each other's way.
    pub const fn meets(self, other: Self) -> bool {
        self.lo <= other.hi && other.lo <= self.hi && self.span() + other.span() > 0
    }
}

/// Corners of a net at the ends of its trunk.
pub(super) fn corners(net: &Taps, rows: &[usize], reach: Reach) -> u64 {
    if reach.span() == 0 {
        return 0;
    }
    let (mut low, mut high) = (0, 0);
    for tap in net.all() {
        let row = rows[tap.0] + tap.1;
        low += usize::from(row == reach.lo);
        high += usize::from(row == reach.hi);
    }
    CORNER * (u64::from(low == 1) + u64::from(high == 1))
}

/// Cost of two nets side by side.
pub(super) fn pair(a: (&Taps, Reach), b: (&Taps, Reach), rows: &[usize]) -> u64 {
    let row = |tap: &(usize, usize)| rows[tap.0] + tap.1;
    let within = |list: &[(usize, usize)], s: Reach| {
        list.iter()
            .map(row)
            .filter(|&row| s.lo < row && row < s.hi)
            .count() as u64
    };
    let forced = |left: &[(usize, usize)], right: &[(usize, usize)]| {
        left.iter().any(|a| right.iter().any(|b| row(a) == row(b)))
    };
    let a_first = within(&b.0.left, a.1) + within(&a.0.right, b.1);
    let b_first = within(&a.0.left, b.1) + within(&b.0.right, a.1);
    match (forced(&a.0.left, &b.0.right), forced(&b.0.left, &a.0.right)) {
        (true, true) => JOG + CROSSING * (a_first.min(b_first) + 1),
        (true, false) => CROSSING * a_first,
        (false, true) => CROSSING * b_first,
        (false, false) => CROSSING * a_first.min(b_first),
    }
}
