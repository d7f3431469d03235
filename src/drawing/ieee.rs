//! The shapes that readers of IEEE 315 are used to, where they differ from IEC 60617; from memory.
//!
//! Each takes the room of its IEC shape, so that a drawing is laid out the same in both sets.

use super::glyph::{circle, line, p};
use super::scene::{Role, Shape, Step};

/// A line of half circles, each to the next point; `up` where it bulges upward.
fn bumps(start: (i32, i32), ends: &[(i32, i32, bool)]) -> Shape {
    let mut steps = vec![Step::Move(p(start.0, start.1))];
    for &(x, y, up) in ends {
        steps.push(Step::Hop(p(x, y), up));
    }
    Shape::Path {
        role: Role::Line,
        steps,
        paint: None,
    }
}

/// Fuse: an S lying on its side.
pub(super) fn fuse(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(line(Role::Line, &[(x - 14, y), (x - 12, y)]));
    out.push(bumps((x - 12, y), &[(x, y, true), (x + 12, y, false)]));
    out.push(line(Role::Line, &[(x + 12, y), (x + 14, y)]));
}

/// Resistor: a zig-zag.
pub(super) fn resistor(x: i32, y: i32, out: &mut Vec<Shape>) {
    let mut points = vec![(x - 14, y)];
    for (i, dx) in (-10..=10).step_by(4).enumerate() {
        points.push((x + dx, if i % 2 == 0 { y - 6 } else { y + 6 }));
    }
    points.push((x + 14, y));
    out.push(line(Role::Line, &points));
}

/// One way of a connector: two nested arrow heads.
pub(super) fn contact_pair(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(line(Role::Line, &[(x - 10, y), (x, y)]));
    out.push(line(Role::Line, &[(x - 5, y - 6), (x, y), (x - 5, y + 6)]));
    out.push(line(Role::Line, &[(x, y - 6), (x + 5, y), (x, y + 6)]));
    out.push(line(Role::Line, &[(x + 5, y), (x + 10, y)]));
}

/// Relay coil: a winding.
pub(super) fn coil(x: i32, y: i32, leads: (i32, i32), out: &mut Vec<Shape>) {
    out.push(line(Role::Line, &[(leads.0, y), (x - 12, y)]));
    let turns = [-6, 0, 6, 12].map(|dx| (x + dx, y, true));
    out.push(bumps((x - 12, y), &turns));
    out.push(line(Role::Line, &[(x + 12, y), (leads.1, y)]));
}

/// Incandescent lamp: a circle with a loop of filament.
pub(super) fn filament(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(circle(Role::Outline, x, y, 12.0));
    out.push(line(Role::Line, &[(x - 12, y), (x - 4, y)]));
    out.push(bumps((x - 4, y), &[(x + 4, y, true)]));
    out.push(line(Role::Line, &[(x + 4, y), (x + 12, y)]));
}
