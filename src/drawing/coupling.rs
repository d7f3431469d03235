//! Dashed lines between switches that one control moves together and that stand apart (mechanical link of IEC 60617,
//! 02-12-01, from memory).
//!
//! A search over few shapes: down out of the upper switch, along, down, back and up into the lower one. Few crossings
//! first, then length. Precondition: wires and labels are placed. Postcondition: a coupling touches no symbol but its own
//! two, no text, runs along no wire and crosses wires only at right angles and away from their ends. Where that cannot
//! be had for few crossings there is no line, and the note beside the switch alone tells.

use super::graph::What;
use super::label::Area;
use super::layout::Drawn;
use super::tree::{At, Courses};
use crate::plan::{Kind, Plan};
use std::collections::BTreeMap;

/// From the lane of a switch to the level stretch below it: clear of its contacts, its wires and their numbers.
const BELOW: [i32; 9] = [13, 15, 17, 19, 21, 23, 25, 27, 29];
/// How far to the sides of both switches the long stretch is looked for, and in what steps.
const ASIDE: i32 = 120;
const STEP: usize = 2;
/// Clear space on both sides of the line.
const CLEAR: i32 = 3;
/// Least distance to wires that run the same way, and to ends and corners of those crossed.
const APART: i32 = 7;
/// More wires than this are not crossed.
const MOST: usize = 6;
/// A crossing is worth this length.
const CROSSING: i32 = 90;

/// A coupling: the parts it joins (indices in the plan), and its course.
#[derive(Debug, Clone)]
pub(super) struct Coupling {
    pub parts: (usize, usize),
    pub course: Vec<At>,
}

/// A switch in the drawing.
#[derive(Clone, Copy)]
struct Place {
    part: usize,
    x: i32,
    first: i32,
    last: i32,
}

impl Place {
    /// Its own symbol, which its coupling may touch.
    const fn holds(self, area: &Area) -> bool {
        area.x0 <= self.x && self.x <= area.x1 && area.y0 <= self.first && self.last <= area.y1
    }
}

/// What a coupling keeps clear of.
struct Around {
    taken: Vec<Area>,
    /// Stretches of wires and of couplings drawn before.
    lines: Vec<(At, At)>,
    dots: Vec<At>,
}

/// Couplings of all controls. `taken`: symbols and texts; `blocked` stretches are never met.
pub(super) fn couplings(
    plan: &Plan,
    drawn: &Drawn,
    courses: &Courses,
    taken: &[Area],
) -> Vec<Coupling> {
    let mut groups: BTreeMap<&str, Vec<Place>> = BTreeMap::new();
    for (node, n) in drawn.graph.nodes.iter().enumerate() {
        let What::Part(part) = n.what else { continue };
        let Some(Kind::Switch(switch)) = plan.parts.get(part).map(|part| &part.kind) else {
            continue;
        };
        let (x, ys) = drawn.spot(node);
        if let (Some(&first), Some(&last), false) =
            (ys.first(), ys.last(), switch.contacts.is_empty())
        {
            let place = Place {
                part,
                x,
                first,
                last,
            };
            groups
                .entry(switch.control.as_str())
                .or_default()
                .push(place);
        }
    }
    groups.retain(|_, places| places.len() > 1);
    if groups.is_empty() {
        return Vec::new();
    }
    let used = courses.edges.iter().filter(|edge| !edge.users.is_empty());
    let mut around = Around {
        taken: taken.to_vec(),
        lines: used.map(|edge| (edge.a, edge.b)).collect(),
        dots: courses
            .dots
            .iter()
            .flat_map(|(_, _, dots)| dots.iter().copied())
            .collect(),
    };
    let mut out = Vec::new();
    for mut places in groups.into_values() {
        places.sort_by_key(|place| (place.first, place.x, place.part));
        for pair in places.windows(2) {
            if let Some(course) = around.course(pair[0], pair[1]) {
                let stretches = course.windows(2).map(|pair| (pair[0], pair[1]));
                around.lines.extend(stretches);
                out.push(Coupling {
                    parts: (pair[0].part, pair[1].part),
                    course,
                });
            }
        }
    }
    out
}

impl Around {
    /// What of it lies near a box.
    fn within(&self, area: Area) -> Self {
        let wide = Area {
            x0: area.x0 - APART,
            y0: area.y0 - APART,
            x1: area.x1 + APART,
            y1: area.y1 + APART,
        };
        let taken = self.taken.iter().filter(|area| area.meets(wide));
        let lines = self.lines.iter().filter(|(a, b)| {
            a.0.min(b.0) < wide.x1
                && wide.x0 < a.0.max(b.0) + 1
                && a.1.min(b.1) < wide.y1
                && wide.y0 < a.1.max(b.1) + 1
        });
        let inside =
            |at: &&At| wide.x0 <= at.0 && at.0 <= wide.x1 && wide.y0 <= at.1 && at.1 <= wide.y1;
        Self {
            taken: taken.copied().collect(),
            lines: lines.copied().collect(),
            dots: self.dots.iter().filter(inside).copied().collect(),
        }
    }

    /// The cheapest course from one switch to the other.
    fn course(&self, a: Place, b: Place) -> Option<Vec<At>> {
        let (lo, hi) = ((a.x.min(b.x) - ASIDE).max(3), a.x.max(b.x) + ASIDE);
        let lowest = BELOW[BELOW.len() - 1];
        let band = |top: i32, bottom: i32| {
            self.within(Area {
                x0: lo,
                y0: top,
                x1: hi,
                y1: bottom + lowest,
            })
        };
        let near = [a, b].map(|place| band(place.last - 6, place.last));
        let ends = [(a, &near[0]), (b, &near[1])].map(|(place, near)| {
            let free = |below: &&i32| {
                let (top, bottom) = ((place.x, place.last - 6), (place.x, place.last + **below));
                near.crossed(top, bottom, Some(place)) == Some(0)
            };
            let below = BELOW.iter().filter(free);
            below.map(|below| place.last + below).collect::<Vec<i32>>()
        });
        if ends.iter().any(Vec::is_empty) {
            return None;
        }
        let between = band(a.last.min(b.last), a.last.max(b.last));
        let aside = |x: i32| (x - a.x).abs() + (x - b.x).abs();
        // Both level stretches lie in bands of the same height, so the long one is no shorter than this.
        let least = ((b.last - a.last).abs() - (lowest - BELOW[0])).max(0);
        let mut xs: Vec<i32> = (lo..=hi).step_by(STEP).collect();
        xs.sort_by_key(|&x| (aside(x), x));
        let mut best: Option<(i32, Vec<At>)> = None;
        for x in xs {
            if best
                .as_ref()
                .is_some_and(|(price, _)| *price <= aside(x) + least)
            {
                break;
            }
            let level = |place: Place, near: &Self, ys: &[i32]| {
                let found = ys.iter().filter_map(|&y| {
                    let crossed = near.crossed((place.x, y), (x, y), None)?;
                    Some((y, crossed))
                });
                found.min_by_key(|&(y, crossed)| (crossed, y))
            };
            let Some((ya, first)) = level(a, &near[0], &ends[0]) else {
                continue;
            };
            let Some((yb, last)) = level(b, &near[1], &ends[1]) else {
                continue;
            };
            let Some(middle) = between.crossed((x, ya), (x, yb), None) else {
                continue;
            };
            let crossed = first + middle + last;
            let price = aside(x) + (yb - ya).abs() + crossed as i32 * CROSSING;
            if crossed <= MOST && best.as_ref().is_none_or(|(least, _)| price < *least) {
                let mut course = vec![
                    (a.x, a.last - 6),
                    (a.x, ya),
                    (x, ya),
                    (x, yb),
                    (b.x, yb),
                    (b.x, b.last - 6),
                ];
                course.dedup();
                best = Some((price, course));
            }
        }
        best.map(|(_, course)| course)
    }

    /// Lines that a stretch crosses; nothing if it touches anything. `own`: the switch whose symbol it may touch.
    fn crossed(&self, p: At, q: At, own: Option<Place>) -> Option<usize> {
        let (lo, hi) = if p < q { (p, q) } else { (q, p) };
        let strip = Area {
            x0: lo.0 - CLEAR,
            y0: lo.1 - CLEAR,
            x1: hi.0 + CLEAR,
            y1: hi.1 + CLEAR,
        };
        let touched = |area: &&Area| area.meets(strip) && !own.is_some_and(|own| own.holds(area));
        if self.taken.iter().any(|area| touched(&area)) {
            return None;
        }
        let near = |at: &At| {
            lo.0 - APART < at.0 && at.0 < hi.0 + APART && lo.1 - APART < at.1 && at.1 < hi.1 + APART
        };
        if self.dots.iter().any(near) {
            return None;
        }
        let level = p.1 == q.1;
        let mut crossed = 0;
        for &(a, b) in &self.lines {
            let (c, d) = if a < b { (a, b) } else { (b, a) };
            let apart = hi.0 + APART <= c.0
                || d.0 + APART <= lo.0
                || hi.1 + APART <= c.1
                || d.1 + APART <= lo.1;
            if apart {
                continue;
            }
            let upright = c.0 == d.0;
            let clean = if level {
                upright
                    && lo.0 + APART <= c.0
                    && c.0 <= hi.0 - APART
                    && c.1 + APART <= lo.1
                    && lo.1 <= d.1 - APART
            } else {
                !upright
                    && lo.1 + APART <= c.1
                    && c.1 <= hi.1 - APART
                    && c.0 + APART <= lo.0
                    && lo.0 <= d.0 - APART
            };
            if !clean {
                return None;
            }
            crossed += 1;
        }
        Some(crossed)
    }
}
