//! What a placement costs: crossings first, as readers pay most for them (Purchase 1997), then corners, length
//! and height.
//!
//! The cost of a channel is what routing will make of it: crossings of its nets with their trunks in the
//! better order of the two, or in the order their lanes force on them.

use super::body::Taps;

const CROSSING: u64 = 40;
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
pub(super) type Reach = (usize, usize);

/// A net on its lanes.
struct Shape {
    lo: usize,
    hi: usize,
    /// Where its lanes begin, where those from the right begin, and where they end.
    lanes: [usize; 3],
}

/// Buffers kept between evaluations, and the work still allowed.
pub(super) struct Scratch {
    pub work: u64,
    lanes: Vec<usize>,
    shapes: Vec<Shape>,
}

impl Scratch {
    pub const fn new(work: u64) -> Self {
        Self {
            work,
            lanes: Vec::new(),
            shapes: Vec::new(),
        }
    }

    /// Crossings and corners of one channel, weighted; `rows` holds the first lane of each node. The reach of each
    /// net goes into `reach`. The lengths of trunks are left to the caller.
    pub fn channel(&mut self, nets: &[Taps], rows: &[usize], reach: &mut Vec<Reach>) -> u64 {
        self.lanes.clear();
        self.shapes.clear();
        reach.clear();
        let lanes = &mut self.lanes;
        let row = |tap: &(usize, usize)| rows[tap.0] + tap.1;
        let mut cost = 0;
        let mut work = nets.len() as u64;
        for taps in nets {
            let start = lanes.len();
            lanes.extend(taps.left.iter().map(row));
            let middle = lanes.len();
            lanes.extend(taps.right.iter().map(row));
            let all = &lanes[start..];
            let lo = all.iter().copied().min().unwrap_or(0);
            let hi = all.iter().copied().max().unwrap_or(0);
            reach.push((lo, hi));
            if lo < hi {
                let corner = |end| u64::from(all.iter().filter(|&&row| row == end).count() == 1);
                cost += CORNER * (corner(lo) + corner(hi));
            }
            self.shapes.push(Shape {
                lo,
                hi,
                lanes: [start, middle, lanes.len()],
            });
        }
        self.shapes
            .sort_unstable_by_key(|shape| (shape.lo, shape.lanes[0]));
        for (i, a) in self.shapes.iter().enumerate() {
            for b in &self.shapes[i + 1..] {
                if b.lo > a.hi {
                    break;
                }
                work += 1;
                if a.lo < a.hi || b.lo < b.hi {
                    cost += pair(a, b, &self.lanes);
                }
            }
        }
        self.work = self.work.saturating_sub(work);
        cost
    }
}

/// Cost of two nets side by side.
fn pair(a: &Shape, b: &Shape, lanes: &[usize]) -> u64 {
    let split = |s: &Shape| {
        let [start, middle, end] = s.lanes;
        (&lanes[start..middle], &lanes[middle..end])
    };
    let ((a_left, a_right), (b_left, b_right)) = (split(a), split(b));
    let within = |list: &[usize], s: &Shape| {
        list.iter().filter(|&&row| s.lo < row && row < s.hi).count() as u64
    };
    let a_first = within(b_left, a) + within(a_right, b);
    let b_first = within(a_left, b) + within(b_right, a);
    let must_a = a_left.iter().any(|row| b_right.contains(row));
    let must_b = b_left.iter().any(|row| a_right.contains(row));
    match (must_a, must_b) {
        (true, true) => JOG + CROSSING * (a_first.min(b_first) + 1),
        (true, false) => CROSSING * a_first,
        (false, true) => CROSSING * b_first,
        (false, false) => CROSSING * a_first.min(b_first),
    }
}
