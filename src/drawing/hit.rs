//! Invisible areas that take taps, as large as they can be without hiding one another.

use super::scene::{Bounds, Group, Role, Shape};
use crate::units::order::Order;

/// Edge of a comfortable target.
const TARGET: f64 = 44.0;
/// Edges tried, from comfortable down to the bare symbol.
const EDGES: [f64; 6] = [TARGET, 36.0, 28.0, 20.0, 12.0, 0.0];

/// Lowest strip of a name worth tapping.
const LEAST: f64 = 6.0;

/// Adds a hit area to every part, lamp circuit and joint, in front of its other shapes.
pub(super) fn cover(groups: &mut [Group]) {
    // Lamp circuits first, they are what a finger looks for; then parts; joints take what is left.
    let rank = |group: &Group| match group.class.split(' ').next() {
        Some("lamp") => 0,
        Some("part") => 1,
        _ => 2,
    };
    let mut wanted: Vec<(u8, usize, Vec<Bounds>)> = groups
        .iter()
        .enumerate()
        .filter(|(_, group)| !matches!(group.class, "wire" | "contact" | "end"))
        .map(|(index, group)| (rank(group), index, bodies(group, groups)))
        .collect();
    wanted.order_by_key(|(rank, index, _)| (*rank, *index));
    // Names of lamps give way to the circuits around them.
    let cores: Vec<(usize, Bounds)> = wanted
        .iter()
        .filter(|(_, index, _)| !is_lamp(&groups[*index], groups))
        .flat_map(|(_, index, bodies)| bodies.iter().map(|body| (*index, *body)))
        .collect();
    let mut given: Vec<Bounds> = Vec::new();
    for (_, index, bodies) in wanted {
        let yields = is_lamp(&groups[index], groups);
        for mut body in bodies {
            if yields {
                let above = given.iter().filter(|other| other.overlaps(body));
                body.y0 = above.map(|other| other.y1).fold(body.y0, f64::max);
                if body.y1 - body.y0 < LEAST {
                    continue;
                }
            }
            let hit = EDGES.iter().map(|&edge| widened(body, edge)).find(|hit| {
                !given.iter().any(|other| other.overlaps(*hit))
                    && !cores
                        .iter()
                        .any(|(owner, core)| *owner != index && core.overlaps(*hit))
            });
            if let Some(hit) = hit {
                given.push(hit);
                groups[index].shapes.insert(
                    0,
                    Shape::Rect {
                        role: Role::Hit,
                        at: (hit.x0, hit.y0),
                        size: (hit.x1 - hit.x0, hit.y1 - hit.y0),
                    },
                );
            }
        }
    }
}

/// What a finger would aim at: the symbol; the name of a lamp, whose circuits have areas of their own; each
/// chassis symbol and each dot by itself.
fn bodies(group: &Group, groups: &[Group]) -> Vec<Bounds> {
    let all = |shapes: &[&Shape]| {
        shapes
            .iter()
            .filter_map(|shape| shape.bounds())
            .reduce(Bounds::joined)
    };
    let (text, symbol): (Vec<&Shape>, Vec<&Shape>) = group
        .shapes
        .iter()
        .filter(|shape| shape.role() != Role::Glow)
        .partition(|shape| matches!(shape, Shape::Text { .. }));
    if group.class == "joint" {
        return symbol
            .iter()
            .filter_map(|shape| shape.bounds())
            .take(1)
            .collect();
    }
    let owned = |kind: &str| {
        let stem = group.id.replacen("part-", kind, 1) + ".";
        groups
            .iter()
            .filter(move |other| other.id.starts_with(&stem))
            .flat_map(|other| &other.shapes)
            .collect::<Vec<&Shape>>()
    };
    let lamps = owned("lamp-");
    if group.class == "part" && !lamps.is_empty() {
        let names: Vec<&Shape> = text
            .into_iter()
            .filter(|s| s.role() == Role::Name)
            .collect();
        // The uppermost circuit's own area reaches up into the name.
        let top = lamps
            .iter()
            .filter(|shape| shape.role() == Role::Glow)
            .filter_map(|shape| shape.bounds())
            .map(|b| (b.y0 + b.y1 - TARGET) / 2.0)
            .fold(f64::INFINITY, f64::min);
        let above = all(&names).map(|b| Bounds {
            y1: b.y1.min(top),
            ..b
        });
        return above.into_iter().filter(|b| b.y0 < b.y1).collect();
    }
    let chassis = text.len() > 1 && text.iter().all(|shape| shape.role() == Role::Note);
    if chassis {
        // Four lines a symbol, one text a symbol.
        return symbol.chunks(4).filter_map(all).collect();
    }
    let mut shapes = symbol;
    shapes.extend(owned("contact-"));
    all(&shapes).into_iter().collect()
}

/// Whether a part group has lamp circuits of its own.
fn is_lamp(group: &Group, groups: &[Group]) -> bool {
    let stem = group.id.replacen("part-", "lamp-", 1) + ".";
    group.class == "part" && groups.iter().any(|other| other.id.starts_with(&stem))
}

/// At least `edge` wide and high about the same middle.
fn widened(body: Bounds, edge: f64) -> Bounds {
    let dx = ((edge - (body.x1 - body.x0)) / 2.0).max(0.0).round();
    let dy = ((edge - (body.y1 - body.y0)) / 2.0).max(0.0).round();
    Bounds {
        x0: body.x0 - dx,
        y0: body.y0 - dy,
        x1: body.x1 + dx,
        y1: body.y1 + dy,
    }
}
