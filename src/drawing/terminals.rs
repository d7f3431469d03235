//! Where wires end: the terminals of a drawing, read off the finished courses.
//!
//! Postcondition: every wire is named at two terminals (at one, twice, if it ends where it starts).

use super::graph::{Pin, Side, What, ports};
use super::layout::Drawn;
use super::scene::{Leaves, Terminal};
use super::tree::{At, Courses};
use crate::plan::Plan;
use crate::units::order::OrdMap;

/// First and last point of a link's course.
fn ends(courses: &Courses, link: usize) -> Option<(At, At)> {
    let course = &courses.links[link];
    let (first, last) = (course.first()?, course.last()?);
    let (a, b) = (&courses.edges[first.0], &courses.edges[last.0]);
    Some((
        if first.1 { a.b } else { a.a },
        if last.1 { b.a } else { b.b },
    ))
}

/// All terminals; `parts` and `wires` are the group ids of parts and wires, by index in the plan.
pub(super) fn terminals(
    plan: &Plan,
    drawn: &Drawn,
    courses: &Courses,
    parts: &[String],
    wires: &[String],
) -> Vec<Terminal> {
    let feed = drawn.graph.header.nodes.last().map(|&node| Pin::Port {
        node,
        side: Side::Right,
        slot: 0,
    });
    let mut met: OrdMap<Pin, (At, Vec<String>)> = OrdMap::new();
    for (index, link) in drawn.graph.links.iter().enumerate() {
        let Some((first, last)) = ends(courses, index) else {
            continue;
        };
        for (pin, at) in [(link.from, first), (link.to, last)] {
            let pin = if pin == Pin::Feed {
                feed.unwrap_or(pin)
            } else {
                pin
            };
            let entry = met.entry(pin).or_insert((at, Vec::new()));
            entry.1.push(wires[link.wire].clone());
        }
    }
    let point = |at: At| (f64::from(at.0), f64::from(at.1));
    let mut out = Vec::new();
    let mut open = 0;
    for (node, n) in drawn.graph.nodes.iter().enumerate() {
        let named: Vec<(String, String, Side, usize)> = match &n.what {
            What::Pass(_) => continue,
            What::Part(index) => ports(&plan.parts[*index])
                .into_iter()
                .map(|(name, side, slot)| {
                    let name = format!("{}:{name}", plan.parts[*index].id);
                    (name, parts[*index].clone(), side, slot)
                })
                .collect(),
            What::Ground(_) | What::Loose(_) => {
                let side = if n.mirrored { Side::Right } else { Side::Left };
                let (name, group) = match &n.what {
                    What::Ground(index) => (
                        format!("{}:31", plan.parts[*index].id),
                        parts[*index].clone(),
                    ),
                    What::Loose(text) => {
                        open += 1;
                        (text.clone(), format!("end-{open}"))
                    }
                    _ => continue,
                };
                vec![(name, group, side, 0)]
            }
        };
        for (name, group, side, slot) in named {
            let pin = Pin::Port { node, side, slot };
            let (at, wires) = met
                .remove(&pin)
                .unwrap_or((drawn.pin(node, side, slot), Vec::new()));
            let leaves = match side {
                Side::Left => Leaves::Left,
                Side::Right => Leaves::Right,
            };
            out.push(Terminal {
                name,
                group,
                at: point(at),
                leaves: Some(leaves),
                wires,
            });
        }
    }
    for (joint, &part) in drawn.graph.joints.iter().enumerate() {
        if let Some((at, wires)) = met.remove(&Pin::Joint(joint)) {
            let id = &plan.parts[part].id;
            out.push(Terminal {
                name: format!("{id}:1"),
                group: format!("joint-{id}"),
                at: point(at),
                leaves: None,
                wires,
            });
        }
    }
    out
}
