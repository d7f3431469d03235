//! Wire labels: colour code and size of every wire, beside a stretch that is its alone.
//!
//! Point-feature labelling by candidates in order of preference (Christensen, Marks, Shieber 1995), the wires
//! with least room first; what fits nowhere asks for a wider zone, and the drawing is measured again.
//! Postcondition: a placed label touches no symbol, name, wire or other label.

use super::grid::Grid;
use super::scene::{TEXT_DROP, TEXT_RISE, text_width};
use super::symbol::clipped;
use super::tree::{At, Courses, Edge, Layout};
use crate::catalog::conductor;
use crate::plan::{Plan, Wire};
use crate::units::order::Order;

/// Base line of a label above its wire, and below.
const ABOVE: i32 = 8;
const BELOW: i32 = 16;
/// Room for a size: that of `>4/0 AWG`, the longest there is; what somebody typed may be longer.
const WIDEST: i32 = 60;
/// Clear space at both ends of a label.
const CLEAR: i32 = 2;

/// Upright rectangle in whole units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Area {
    pub x0: i32,
    pub y0: i32,
    pub x1: i32,
    pub y1: i32,
}

impl Area {
    /// Whether the interiors meet.
    pub const fn meets(self, other: Self) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }
}

/// One line of text: left end on the base line, and the text.
pub(super) type Line = (At, String);

/// Colour code and size as shown: a known size in the sizes of the plan, any other as it is written.
pub(super) fn code(plan: &Plan, wire: &Wire) -> (String, String) {
    let size = wire.size.trim();
    let size = match conductor::find(size) {
        Some(row) => plan.settings.sizing.short_size(row),
        None => unknown(size),
    };
    let colour = clipped(wire.colour.trim(), 40, false);
    let colour = if colour.is_empty() && size.is_empty() {
        clipped(wire.id.as_str(), 40, false)
    } else {
        colour
    };
    (colour, clipped(&size, WIDEST, false))
}

/// A size that no table has: millimetres squared as a number, like those that a table has.
fn unknown(size: &str) -> String {
    match size.strip_suffix("mm2").or(size.strip_suffix("mm²")) {
        Some(number) => {
            let number = number.trim();
            let whole = !number.is_empty() && number.chars().all(|c| c.is_ascii_digit());
            if whole {
                format!("{number}.0")
            } else {
                number.to_owned()
            }
        }
        None => size.to_owned(),
    }
}

/// A straight stretch only one wire takes.
#[derive(Debug, Clone, Copy)]
struct Run {
    a: At,
    b: At,
}

impl Run {
    const fn level(self) -> bool {
        self.a.1 == self.b.1
    }

    const fn length(self) -> i32 {
        (self.b.0 - self.a.0) + (self.b.1 - self.a.1)
    }
}

/// Stretches of each link, the longest first.
fn runs(courses: &Courses, link: usize) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    let mut open = false;
    for &(edge, back) in &courses.links[link] {
        let edge = &courses.edges[edge];
        if edge.users.len() > 1 {
            open = false;
            continue;
        }
        let (from, to) = if back {
            (edge.b, edge.a)
        } else {
            (edge.a, edge.b)
        };
        match out.last_mut() {
            Some(last)
                if open
                    && last.b == from
                    && ((last.a.1 == last.b.1 && from.1 == to.1)
                        || (last.a.0 == last.b.0 && from.0 == to.0)) =>
            {
                last.b = to;
            }
            _ => out.push(Run { a: from, b: to }),
        }
        open = true;
    }
    for run in &mut out {
        if run.a > run.b {
            core::mem::swap(&mut run.a, &mut run.b);
        }
    }
    out.order_by_key(|run| core::cmp::Reverse(run.length()));
    out
}

/// What a stretch of wire covers.
pub(super) fn strip(edge: &Edge) -> Area {
    around(edge.a, edge.b)
}

/// What a line from one point to another covers.
pub(super) fn around(a: At, b: At) -> Area {
    let (lo, hi) = if a < b { (a, b) } else { (b, a) };
    Area {
        x0: lo.0 - 3,
        y0: lo.1 - 3,
        x1: hi.0 + 3,
        y1: hi.1 + 3,
    }
}

/// Labels of all links; an empty list where none fits.
pub(super) fn place(layout: &Layout<'_>, courses: &Courses, fixed: &[Area]) -> Vec<Vec<Line>> {
    let mut taken = fixed.to_vec();
    taken.extend(courses.edges.iter().map(strip));
    // Beside an upright wire a label keeps out of the space where labels of level wires would be read.
    let lanes: Vec<Area> = taken[fixed.len()..]
        .iter()
        .filter(|area| area.y1 - area.y0 == 6)
        .map(|area| Area {
            y0: area.y0 - 10,
            y1: area.y1 + 10,
            ..*area
        })
        .collect();
    let all: Vec<Vec<Run>> = (0..courses.links.len())
        .map(|link| runs(courses, link))
        .collect();
    let mut order: Vec<usize> = (0..all.len())
        .filter(|&link| !all[link].is_empty())
        .collect();
    order.order_by_key(|&link| all[link].iter().map(|run| run.length()).sum::<i32>());
    let mut labels = vec![Vec::new(); all.len()];
    for link in order {
        let wire = &layout.plan.wires[layout.graph.links[link].wire];
        if let Some(lines) = fit(&all[link], &code(layout.plan, wire), &taken, &lanes) {
            taken.extend(lines.iter().map(area));
            labels[link] = lines;
        }
    }
    labels
}

/// Rectangle of a line of label text.
pub(super) fn area(line: &Line) -> Area {
    let ((x, y), text) = line;
    Area {
        x0: *x,
        y0: y - TEXT_RISE,
        x1: x + text_width(text, false),
        y1: y + TEXT_DROP,
    }
}

fn fit(runs: &[Run], code: &(String, String), taken: &[Area], lanes: &[Area]) -> Option<Vec<Line>> {
    let one = [code.0.as_str(), code.1.as_str()]
        .join(" ")
        .trim()
        .to_owned();
    let whole = |run: &Run, rise: i32| level(*run, &[(rise, &one)], taken);
    let flat = || runs.iter().filter(|run| run.level());
    let tall = || runs.iter().filter(|run| !run.level());
    flat()
        .find_map(|run| whole(run, -ABOVE))
        .or_else(|| {
            let lines = [(-ABOVE, code.0.as_str()), (BELOW, code.1.as_str())];
            flat().find_map(|run| level(*run, &lines, taken))
        })
        .or_else(|| flat().find_map(|run| whole(run, BELOW)))
        .or_else(|| tall().find_map(|run| beside(*run, &[&one], taken, lanes)))
        .or_else(|| tall().find_map(|run| beside(*run, &[&code.0, &code.1], taken, lanes)))
}

/// Lines above and below a level run, as near its middle as they fit.
fn level(run: Run, lines: &[(i32, &str)], taken: &[Area]) -> Option<Vec<Line>> {
    let width = lines
        .iter()
        .map(|(_, text)| text_width(text, false))
        .max()?;
    let (first, last) = (run.a.0 + CLEAR, run.b.0 - CLEAR - width);
    if first > last {
        return None;
    }
    let y = run.a.1;
    let near: Vec<&Area> = taken
        .iter()
        .filter(|area| {
            lines
                .iter()
                .any(|(rise, _)| area.y0 < y + rise + TEXT_DROP && y + rise - TEXT_RISE < area.y1)
        })
        .collect();
    let free = |x: i32| {
        near.iter()
            .all(|area| x + width + CLEAR <= area.x0 || area.x1 <= x - CLEAR)
    };
    let middle = first + (last - first) / 2;
    let x = near
        .iter()
        .flat_map(|area| [area.x1 + CLEAR, area.x0 - width - CLEAR])
        .chain([middle])
        .filter(|x| (first..=last).contains(x) && free(*x))
        .min_by_key(|x| ((x - middle).abs(), *x))?;
    Some(
        lines
            .iter()
            .map(|(rise, text)| {
                let indent = (width - text_width(text, false)) / 2;
                ((x + indent, y + rise), (*text).to_owned())
            })
            .collect(),
    )
}

/// Lines right or left of an upright run.
fn beside(run: Run, lines: &[&str], taken: &[Area], lanes: &[Area]) -> Option<Vec<Line>> {
    let width = lines.iter().map(|text| text_width(text, false)).max()?;
    let height = (lines.len() as i32 - 1) * 12;
    let (first, last) = (run.a.1 + TEXT_RISE + 4, run.b.1 - height - 5);
    let middle = (first + last) / 2;
    let mut ys: Vec<i32> = (first..=last).collect();
    ys.order_by_key(|y| ((y - middle).abs(), *y));
    for x in [run.a.0 + 6, run.a.0 - 6 - width] {
        for &y in &ys {
            let made: Vec<Line> = (0..)
                .zip(lines)
                .map(|(i, text)| ((x, y + i * 12), (*text).to_owned()))
                .collect();
            let clear = made.iter().all(|line| {
                let own = area(line);
                let own = Area {
                    x0: own.x0 - 2,
                    y0: own.y0 - 1,
                    x1: own.x1 + 2,
                    y1: own.y1 + 1,
                };
                !taken.iter().chain(lanes).any(|area| area.meets(own))
            });
            if clear {
                return Some(made);
            }
        }
    }
    None
}

/// Widens a zone or a track for every link without a label. Says whether anything changed.
pub(super) fn widen(
    layout: &Layout<'_>,
    courses: &Courses,
    labels: &[Vec<Line>],
    grid: &mut Grid,
) -> bool {
    let mut changed = false;
    for (link, lines) in labels.iter().enumerate() {
        if !lines.is_empty() {
            continue;
        }
        let (colour, size) = code(
            layout.plan,
            &layout.plan.wires[layout.graph.links[link].wire],
        );
        let narrow = text_width(&colour, false).max(text_width(&size, false));
        let all = runs(courses, link);
        if let Some(run) = all.iter().find(|run| run.level()) {
            // Between two tracks there is no zone.
            changed |= widen_zone(layout.grid, grid, *run, narrow + 2 * CLEAR + 1)
                || widen_track(layout.grid, grid, *run, narrow + 4 * CLEAR);
        } else if let Some(run) = all.first() {
            let one = text_width(&format!("{colour} {size}"), false);
            changed |= widen_track(layout.grid, grid, *run, one + 12);
        }
    }
    changed
}

/// The zone that takes most of the run becomes wide enough, or, if it was, still wider.
fn widen_zone(old: &Grid, grid: &mut Grid, run: Run, need: i32) -> bool {
    let shared = |x0: i32, x1: i32| run.b.0.min(x1) - run.a.0.max(x0);
    let mut best: Option<(i32, usize, bool)> = None;
    for (c, &x) in old.columns.iter().enumerate() {
        let ((left, right), (zone_left, zone_right)) = (old.edges[c], old.zones[c]);
        for (part, is_left) in [
            (shared(x - left - zone_left, x - left), true),
            (shared(x + right, x + right + zone_right), false),
        ] {
            if part > 0 && best.is_none_or(|(most, ..)| part > most) {
                best = Some((part, c, is_left));
            }
        }
    }
    let Some((_, column, is_left)) = best else {
        return false;
    };
    let (before, now) = if is_left {
        (old.zones[column].0, &mut grid.zones[column].0)
    } else {
        (old.zones[column].1, &mut grid.zones[column].1)
    };
    *now = (*now).max(if before < need { need } else { before + 6 });
    true
}

fn widen_track(old: &Grid, grid: &mut Grid, run: Run, need: i32) -> bool {
    for (channel, tracks) in old.tracks.iter().enumerate() {
        for (track, &x) in tracks.iter().enumerate() {
            if x == run.a.0 {
                let (before, now) = (old.gaps[channel][track], &mut grid.gaps[channel][track]);
                *now = (*now).max(if before < need { need } else { before + 6 });
                return true;
            }
        }
    }
    false
}
