//! Shapes of each symbol. Lines end at the pins: `x` minus or plus the extent that `symbol::extent` states.

use super::ieee;
use super::scene::{Anchor, Group, Point, Role, Shape};
use super::symbol::RELAY;
use crate::plan::{FuseBody, Kind, Light, Part, Symbols, position_words};
use crate::text::say;

/// Pen with whole-number coordinates.
pub(super) fn p(x: i32, y: i32) -> Point {
    (f64::from(x), f64::from(y))
}

pub(super) fn line(role: Role, points: &[(i32, i32)]) -> Shape {
    let points: Vec<Point> = points.iter().map(|&(x, y)| p(x, y)).collect();
    Shape::lines(role, &points)
}

fn closed(role: Role, points: &[(i32, i32)]) -> Shape {
    let mut all = points.to_vec();
    all.extend(points.first());
    line(role, &all)
}

fn rect(role: Role, x0: i32, y0: i32, x1: i32, y1: i32) -> Shape {
    Shape::Rect {
        role,
        at: p(x0, y0),
        size: p(x1 - x0, y1 - y0),
    }
}

pub(super) fn circle(role: Role, x: i32, y: i32, r: f64) -> Shape {
    Shape::Circle {
        role,
        at: p(x, y),
        r,
    }
}

/// Shapes of a part into `own`, those of its contacts and lamp circuits into groups of their own.
pub(super) fn shapes(
    part: &Part,
    id: &str,
    (x, y): (i32, i32),
    ys: &[i32],
    set: Symbols,
    own: &mut Group,
    more: &mut Vec<Group>,
) {
    let out = &mut own.shapes;
    let ieee = set == Symbols::Ieee;
    match &part.kind {
        Kind::Fuse(fuse) if ieee && fuse.body == FuseBody::Blade => ieee::fuse(x, y, out),
        Kind::Resistor(_) if ieee => ieee::resistor(x, y, out),
        Kind::Connector(connector) if ieee && !connector.ways.is_empty() => {
            for (_, &y) in connector.ways.iter().zip(ys) {
                ieee::contact_pair(x, y, out);
            }
            if let (Some(first), Some(last), true) = (ys.first(), ys.last(), ys.len() > 1) {
                out.push(line(Role::Link, &[(x, first + 7), (x, last - 7)]));
            }
        }
        Kind::Battery(_) => {
            // 06-15-01: the long line is the positive one.
            out.push(line(Role::Line, &[(x - 6, y), (x - 3, y)]));
            out.push(line(Role::Heavy, &[(x - 3, y - 6), (x - 3, y + 6)]));
            out.push(line(Role::Line, &[(x + 3, y - 13), (x + 3, y + 13)]));
            out.push(line(Role::Line, &[(x + 3, y), (x + 6, y)]));
        }
        // 07-21-01: rectangle with a line through it lengthwise.
        Kind::Fuse(fuse) => {
            out.push(rect(Role::Outline, x - 14, y - 6, x + 14, y + 6));
            match fuse.body {
                FuseBody::Blade => out.push(line(Role::Line, &[(x - 14, y), (x + 14, y)])),
                // 07-01-02: the cross that makes a contact a circuit breaker's.
                FuseBody::Breaker => {
                    out.push(line(Role::Line, &[(x - 4, y - 4), (x + 4, y + 4)]));
                    out.push(line(Role::Line, &[(x - 4, y + 4), (x + 4, y - 4)]));
                }
            }
        }
        Kind::Charger(_) => charger(x, y, out),
        Kind::Converter(_) => converter(x, ys, out),
        // 04-01-01.
        Kind::Resistor(_) => out.push(rect(Role::Outline, x - 14, y - 6, x + 14, y + 6)),
        Kind::Flasher(_) => {
            out.push(rect(Role::Outline, x - 22, y - 14, x + 22, y + 17));
            for x in [x - 23, x + 22] {
                out.push(line(Role::Line, &[(x, y), (x + 1, y)]));
            }
            let pulse = [
                (-10, 2),
                (-5, 2),
                (-5, -9),
                (0, -9),
                (0, 2),
                (5, 2),
                (5, -9),
                (10, -9),
            ];
            out.push(line(Role::Line, &pulse.map(|(dx, dy)| (x + dx, y + dy))));
            out.push(number("49", x - 19, y + 13, Anchor::Start));
            out.push(number("49a", x + 19, y + 13, Anchor::End));
        }
        // 05-03-01: triangle from anode to the cathode's bar.
        Kind::Diode(_) => {
            out.push(closed(
                Role::Outline,
                &[(x - 8, y - 8), (x - 8, y + 8), (x + 7, y)],
            ));
            out.push(line(Role::Heavy, &[(x + 8, y - 8), (x + 8, y + 8)]));
        }
        Kind::Switch(switch) => {
            for (i, (contact, &y)) in switch.contacts.iter().zip(ys).enumerate() {
                more.push(make_contact(
                    id,
                    i,
                    x,
                    y,
                    &say!(
                        "{} contact {} to {}, closed in {}",
                        part.id,
                        contact.from,
                        contact.to,
                        position_words(&contact.closed_in)
                    ),
                ));
            }
            if let (Some(first), Some(last)) = (ys.first(), ys.last()) {
                if switch.contacts.len() > 1 {
                    out.push(line(Role::Link, &[(x, first - 6), (x, last - 6)]));
                }
                if switch.contacts.is_empty() {
                    out.push(rect(Role::Outline, x - 14, y - 8, x + 14, y + 8));
                }
            }
        }
        Kind::Relay(_) => relay(part, id, x, ys, ieee, out, more),
        Kind::Load(_) => {
            out.push(rect(Role::Outline, x - 15, y - 13, x + 15, y + 13));
            out.push(line(Role::Line, &[(x - 9, y), (x - 3, y)]));
            out.push(line(Role::Line, &[(x - 6, y - 3), (x - 6, y + 3)]));
            out.push(line(Role::Line, &[(x + 4, y), (x + 10, y)]));
        }
        Kind::Connector(connector) => {
            for (_, &y) in connector.ways.iter().zip(ys) {
                // 03-03-05: the socket's arc, here cut to three lines, and the plug's filled pin.
                out.push(line(
                    Role::Line,
                    &[
                        (x + 7, y - 6),
                        (x + 1, y - 6),
                        (x - 3, y),
                        (x + 1, y + 6),
                        (x + 7, y + 6),
                    ],
                ));
                out.push(line(Role::Line, &[(x - 10, y), (x - 3, y)]));
                out.push(line(Role::Heavy, &[(x + 2, y), (x + 10, y)]));
            }
            if let (Some(first), Some(last), true) = (ys.first(), ys.last(), ys.len() > 1) {
                out.push(line(Role::Link, &[(x, first + 6), (x, last - 6)]));
            }
            if connector.ways.is_empty() {
                out.push(rect(Role::Outline, x - 9, y - 6, x + 9, y + 6));
            }
        }
        Kind::Lamp(lamp) => {
            bus(ys, x, out);
            if lamp.filaments.is_empty() {
                filament(x, y, out);
            }
            let symbol = if ieee { ieee::filament } else { filament };
            lamp_groups(part, id, lamp.light, x, ys, more, symbol);
        }
        Kind::LedLamp(lamp) => {
            bus(ys, x, out);
            if lamp.circuits.is_empty() {
                led(x, y, out);
            }
            lamp_groups(part, id, lamp.light, x, ys, more, led);
        }
        Kind::Splice(_) => out.push(circle(Role::Dot, x, y, 3.5)),
        Kind::Ground(_) => chassis(x - 4, y, false, out),
    }
}

/// Rectifier (06-14-03): alternating current in, direct current out. It stands for an alternator as well, which
/// rectifies within.
fn charger(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(rect(Role::Outline, x - 16, y - 13, x + 16, y + 13));
    out.push(line(Role::Line, &[(x - 16, y + 13), (x + 16, y - 13)]));
    let wave = [(-12, -5), (-10, -8), (-8, -8), (-4, -4), (-2, -4), (0, -7)];
    out.push(line(Role::Line, &wave.map(|(dx, dy)| (x + dx, y + dy))));
    direct(x + 6, y + 7, out);
}

/// Direct-current converter (06-14-02) over both lanes.
fn converter(x: i32, ys: &[i32], out: &mut Vec<Shape>) {
    let (Some(&first), Some(&last)) = (ys.first(), ys.last()) else {
        return;
    };
    let (top, bottom) = (first - 13, last + 13);
    out.push(rect(Role::Outline, x - 20, top, x + 20, bottom));
    out.push(line(Role::Line, &[(x - 20, bottom), (x + 20, top)]));
    direct(x - 10, first - 3, out);
    direct(x + 10, last + 3, out);
}

/// Direct current: a full line over a broken one (02-02-17).
fn direct(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(line(Role::Line, &[(x - 6, y - 2), (x + 6, y - 2)]));
    for dx in [-6, -1, 4] {
        out.push(line(Role::Line, &[(x + dx, y + 2), (x + dx + 2, y + 2)]));
    }
}

/// A terminal number beside its lead.
fn number(text: &str, x: i32, y: i32, anchor: Anchor) -> Shape {
    Shape::Text {
        role: Role::Note,
        at: p(x, y),
        anchor,
        text: text.to_owned(),
    }
}

/// Make contact, drawn at rest (07-02-01).
fn make_contact(id: &str, index: usize, x: i32, y: i32, label: &str) -> Group {
    Group {
        id: format!("contact-{id}.{index}"),
        class: "contact",
        label: label.to_owned(),
        shapes: vec![
            line(Role::BladeOpen, &[(x - 14, y), (x + 11, y - 13)]),
            line(Role::BladeClosed, &[(x - 14, y), (x + 13, y - 2)]),
            circle(Role::Outline, x - 14, y, 3.0),
            circle(Role::Outline, x + 14, y, 3.0),
        ],
    }
}

/// Coil (07-15-01) and changeover contact (07-02-04) on a dashed link.
fn relay(
    part: &Part,
    id: &str,
    x: i32,
    ys: &[i32],
    ieee: bool,
    out: &mut Vec<Shape>,
    more: &mut Vec<Group>,
) {
    let &[top, rest, coil] = ys else { return };
    let (left, right) = (x - RELAY, x + RELAY);
    for (text, y, x) in [("30", top, left), ("86", coil, left)] {
        out.push(number(text, x + 1, y - 5, Anchor::Start));
    }
    for (text, y) in [("87", top), ("87a", rest), ("85", coil)] {
        out.push(number(text, right - 1, y - 5, Anchor::End));
    }
    out.push(line(Role::Link, &[(x, top + 8), (x, coil - 9)]));
    out.push(line(Role::Line, &[(left, top), (x - 14, top)]));
    out.push(line(Role::Line, &[(x + 14, top), (right, top)]));
    out.push(line(Role::Line, &[(x + 14, top + 16), (x + 14, rest)]));
    out.push(line(Role::Line, &[(x + 14, rest), (right, rest)]));
    if ieee {
        ieee::coil(x, coil, (left, right), out);
    } else {
        out.push(line(Role::Line, &[(left, coil), (right, coil)]));
        out.push(rect(Role::Outline, x - 12, coil - 9, x + 12, coil + 9));
        out.push(line(Role::Line, &[(x - 6, coil + 9), (x + 6, coil - 9)]));
    }
    more.push(Group {
        id: format!("contact-{id}.0"),
        class: "contact",
        label: say!(
            "{} contact, 30 to 87a at rest, to 87 when pulled in",
            part.id
        ),
        shapes: vec![
            line(Role::BladeOpen, &[(x - 14, top), (x + 13, top + 14)]),
            line(Role::BladeClosed, &[(x - 14, top), (x + 12, top + 2)]),
            circle(Role::Outline, x - 14, top, 3.0),
            circle(Role::Outline, x + 14, top, 3.0),
            circle(Role::Outline, x + 14, top + 16, 3.0),
        ],
    });
}

/// Return of a lamp with several circuits: the common terminal is on the first lane.
fn bus(ys: &[i32], x: i32, out: &mut Vec<Shape>) {
    if let (Some(&first), Some(&last), true) = (ys.first(), ys.last(), ys.len() > 1) {
        out.push(line(Role::Line, &[(x + 20, first), (x + 20, last)]));
        for &y in ys {
            out.push(line(Role::Line, &[(x + 12, y), (x + 20, y)]));
        }
    }
}

fn lamp_groups(
    part: &Part,
    id: &str,
    light: Light,
    x: i32,
    ys: &[i32],
    more: &mut Vec<Group>,
    symbol: fn(i32, i32, &mut Vec<Shape>),
) {
    let class = match light {
        Light::Amber => "lamp light-amber",
        Light::Red => "lamp light-red",
        Light::White => "lamp light-white",
    };
    for (circuit, &y) in part.lamp_circuits().iter().zip(ys) {
        let duties: Vec<&str> = circuit.duties.iter().map(|duty| duty.text()).collect();
        let mut shapes = vec![circle(Role::Glow, x, y, 21.0)];
        symbol(x, y, &mut shapes);
        more.push(Group {
            id: format!("lamp-{id}.{}", circuit.id.circuit),
            class,
            label: format!("{} {}: {}", part.id, circuit.label, duties.join(", ")),
            shapes,
        });
    }
}

/// Filament lamp (08-10-01).
fn filament(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(circle(Role::Outline, x, y, 12.0));
    out.push(line(Role::Line, &[(x - 8, y - 8), (x + 8, y + 8)]));
    out.push(line(Role::Line, &[(x - 8, y + 8), (x + 8, y - 8)]));
}

/// Light-emitting diode (05-03-02): a diode with two arrows outward, in a lamp's circle.
fn led(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(circle(Role::Outline, x, y, 12.0));
    out.push(line(Role::Line, &[(x - 12, y), (x + 12, y)]));
    out.push(closed(
        Role::Outline,
        &[(x - 5, y - 4), (x - 5, y + 6), (x + 4, y + 1)],
    ));
    out.push(line(Role::Line, &[(x + 5, y - 4), (x + 5, y + 6)]));
    for dx in [0, 5] {
        let (x, y) = (x - 3 + dx, y - 5);
        out.push(line(Role::Line, &[(x, y), (x + 4, y - 4), (x + 1, y - 4)]));
        out.push(line(Role::Line, &[(x + 4, y - 4), (x + 4, y - 1)]));
    }
}

/// Frame or chassis (02-15-04): a line with slanted hatches, away from the wire.
pub(super) fn chassis(x: i32, y: i32, mirrored: bool, out: &mut Vec<Shape>) {
    let d = if mirrored { -8 } else { 8 };
    out.push(line(Role::Line, &[(x, y - 9), (x, y + 9)]));
    for dy in [-9, 0, 9] {
        out.push(line(Role::Line, &[(x, y + dy), (x + d, y + dy + 6)]));
    }
}

/// An end that leads nowhere: an open circle (03-02-02).
pub(super) fn open_end(x: i32, y: i32, out: &mut Vec<Shape>) {
    out.push(circle(Role::Outline, x, y, 4.0));
}
