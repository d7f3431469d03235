//! Shapes of one wire: halo and arrows along its whole course, edge and colour where the course is its own.

use super::ink;
use super::scene::{Point, Role, Shape, Step};
use super::tree::{At, Courses};
use crate::units::order::Order;

/// Radius of a hop over a crossing wire.
const HOP: i32 = 5;
/// Distance of arrows, and the shortest stretch that gets one.
const ARROWS: i32 = 30;
const SHORTEST: i32 = 14;

fn p(at: At) -> Point {
    (f64::from(at.0), f64::from(at.1))
}

/// Polylines of a link: corners only. Where `own` is set, stretches that show another wire's colour are left out.
pub(super) fn lines(courses: &Courses, link: usize, own: bool) -> Vec<Vec<At>> {
    let mut out: Vec<Vec<At>> = Vec::new();
    let mut open = false;
    for &(edge, back) in &courses.links[link] {
        let edge = &courses.edges[edge];
        if own && edge.owner != link {
            open = false;
            continue;
        }
        let (from, to) = if back {
            (edge.b, edge.a)
        } else {
            (edge.a, edge.b)
        };
        if from == to {
            continue;
        }
        match out.last_mut() {
            Some(line) if open && line.last() == Some(&from) => {
                let n = line.len();
                let straight = n > 1
                    && ((line[n - 2].0 == from.0 && from.0 == to.0)
                        || (line[n - 2].1 == from.1 && from.1 == to.1));
                if straight {
                    line[n - 1] = to;
                } else {
                    line.push(to);
                }
            }
            _ => out.push(vec![from, to]),
        }
        open = true;
    }
    out
}

/// Places where a level stretch crosses an upright edge, from left to right.
fn crossed(courses: &Courses, a: At, b: At) -> Vec<i32> {
    let (x0, x1) = (a.0.min(b.0), a.0.max(b.0));
    let mut xs: Vec<i32> = courses
        .edges
        .iter()
        .filter(|edge| edge.a.0 == edge.b.0 && !edge.users.is_empty())
        .filter(|edge| {
            let (y0, y1) = (edge.a.1.min(edge.b.1), edge.a.1.max(edge.b.1));
            y0 < a.1 && a.1 < y1 && x0 + HOP < edge.a.0 && edge.a.0 < x1 - HOP
        })
        .map(|edge| edge.a.0)
        .collect();
    xs.order();
    xs.dedup();
    xs
}

fn steps(courses: &Courses, lines: &[Vec<At>], hopped: bool) -> Vec<Step> {
    let mut out = Vec::new();
    for line in lines {
        for (i, &point) in line.iter().enumerate() {
            if i == 0 {
                out.push(Step::Move(p(point)));
                continue;
            }
            let from = line[i - 1];
            if hopped && from.1 == point.1 {
                let mut xs = crossed(courses, from, point);
                let rightward = from.0 < point.0;
                if !rightward {
                    xs.reverse();
                }
                let d = if rightward { HOP } else { -HOP };
                for x in xs {
                    out.push(Step::Line(p((x - d, point.1))));
                    out.push(Step::Hop(p((x + d, point.1)), rightward));
                }
            }
            out.push(Step::Line(p(point)));
        }
    }
    out
}

/// Arrow heads along the stretches of a course.
fn arrows(lines: &[Vec<At>], role: Role) -> Shape {
    let mut steps = Vec::new();
    for pair in lines.iter().flat_map(|line| line.windows(2)) {
        let (a, b) = (pair[0], pair[1]);
        let length = (b.0 - a.0).abs() + (b.1 - a.1).abs();
        if length < SHORTEST {
            continue;
        }
        let (ux, uy) = ((b.0 - a.0).signum(), (b.1 - a.1).signum());
        // At fixed places of the sheet, so that wires on one trunk have theirs on top of each other.
        let places = |from: i32, to: i32| -> Vec<i32> {
            let (lo, hi) = (from.min(to) + SHORTEST / 2, from.max(to) - SHORTEST / 2);
            let first = lo + (ARROWS / 2 - lo).rem_euclid(ARROWS);
            let found: Vec<i32> = (first..=hi).step_by(ARROWS as usize).collect();
            if found.is_empty() {
                vec![length / 2]
            } else {
                found.iter().map(|at| (at - from).abs()).collect()
            }
        };
        let along = if a.1 == b.1 {
            places(a.0, b.0)
        } else {
            places(a.1, b.1)
        };
        for along in along {
            let tip = if role == Role::Forward { 3 } else { -3 };
            let at = |d: i32, off: i32| {
                p((
                    a.0 + ux * (along + d) + uy * off,
                    a.1 + uy * (along + d) + ux * off,
                ))
            };
            steps.push(Step::Move(at(-tip, -4)));
            steps.push(Step::Line(at(tip, 0)));
            steps.push(Step::Line(at(-tip, 4)));
        }
    }
    Shape::Path {
        role,
        steps,
        paint: None,
    }
}

/// All shapes of a link but its label.
pub(super) fn shapes(courses: &Courses, link: usize, colour: &str, hopped: bool) -> Vec<Shape> {
    let whole = lines(courses, link, false);
    let own = steps(courses, &lines(courses, link, true), hopped);
    let (base, stripe) = ink::of(colour);
    let path = |role, steps: Vec<Step>, paint| Shape::Path { role, steps, paint };
    let mut out = vec![
        path(Role::Halo, steps(courses, &whole, false), None),
        path(Role::Edge, own.clone(), None),
        path(Role::Colour, own.clone(), Some(base)),
    ];
    if let Some(stripe) = stripe {
        out.push(path(Role::Stripe, own, Some(stripe)));
    }
    out.push(arrows(&whole, Role::Forward));
    out.push(arrows(&whole, Role::Reverse));
    out
}
