//! Reads a finished scene back and says in words whatever could mislead: overlaps, false joints, missing
//! dots, wires that do not reach their terminals, things left out.
//!
//! It looks at shapes and at the plan only, never at how the shapes came about.

use super::graph::ports;
use super::scene::{Bounds, Group, Point, Role, Scene, Shape};
use super::survey::{Arm, Course, Survey, arms, courses, covers, owner, segments};
use crate::plan::{Kind, Plan, TerminalId};

/// Least distance of parallel wires that are not joined.
const APART: f64 = 6.0;
/// Half the thickness of a wire with its edge.
const HALF: f64 = 2.3;

/// Every fault found, in words; empty means clean.
pub fn verify(plan: &Plan, scene: &Scene) -> Vec<String> {
    let survey = Survey::new(plan, scene);
    let mut out = Vec::new();
    complete(plan, scene, &survey, &mut out);
    texts(scene, &survey, &mut out);
    symbols(&survey, &mut out);
    hits(scene, &mut out);
    let courses = courses(plan, scene);
    crossings(&courses, &mut out);
    dots(&courses, &survey, &mut out);
    ends(plan, &courses, &survey, &mut out);
    painted(scene, &courses, &mut out);
    super::coupled::couplings(plan, scene, &courses, &survey, &mut out);
    out
}

/// Everything in the plan is drawn and every wire labelled.
fn complete(plan: &Plan, scene: &Scene, survey: &Survey, out: &mut Vec<String>) {
    let drawn = |id: &str| scene.groups.iter().find(|group| group.id == id);
    for (part, id) in plan.parts.iter().zip(&survey.ids) {
        let name = match part.kind {
            Kind::Splice(_) if drawn(&format!("part-{id}")).is_none() => format!("joint-{id}"),
            _ => format!("part-{id}"),
        };
        let shown = drawn(&name).is_some_and(|group| !group.shapes.is_empty());
        if !shown {
            out.push(format!("{id} is not drawn"));
        }
        for circuit in part.lamp_circuits() {
            if drawn(&format!("lamp-{id}.{}", circuit.id.circuit)).is_none() {
                out.push(format!("lamp circuit {} is not drawn", circuit.id));
            }
        }
    }
    let wires: Vec<&Group> = scene.groups.iter().filter(|g| g.class == "wire").collect();
    for (i, wire) in plan.wires.iter().enumerate() {
        match wires.get(i) {
            Some(group) if group.id.starts_with(&format!("wire-{}", wire.id)) => {
                if !group.shapes.iter().any(|shape| shape.role() == Role::Code) {
                    out.push(format!("{} has no label", group.id));
                }
            }
            _ => out.push(format!("wire {} is not drawn", wire.id)),
        }
    }
}

/// No text touches another text, a wire, a symbol or the edge of the drawing.
fn texts(scene: &Scene, survey: &Survey, out: &mut Vec<String>) {
    let all: Vec<(&Group, &str, Bounds)> = scene
        .groups
        .iter()
        .flat_map(|group| group.shapes.iter().map(move |shape| (group, shape)))
        .filter_map(|(group, shape)| match shape {
            Shape::Text { text, .. } => Some((group, text.as_str(), shape.bounds()?)),
            _ => None,
        })
        .collect();
    for (i, (group, text, b)) in all.iter().enumerate() {
        let (id, own) = (&group.id, owner(group));
        if b.x0 < 0.0 || b.y0 < 0.0 || b.x1 > scene.width || b.y1 > scene.height {
            out.push(format!("text {text:?} of {id} leaves the drawing"));
        }
        for (other_group, other, c) in &all[i + 1..] {
            if b.overlaps(*c) {
                out.push(format!(
                    "text {text:?} of {id} overlaps {other:?} of {}",
                    other_group.id
                ));
            }
        }
        for group in scene.groups.iter().filter(|group| group.class == "wire") {
            if segments(group, Role::Halo)
                .iter()
                .any(|&(p, q)| span(p, q).grown(HALF).overlaps(*b))
            {
                out.push(format!("text {text:?} of {id} touches {}", group.id));
            }
        }
        // Inside its own symbol a text only has to keep off the lines.
        let foreign = survey.bodies.iter().filter(|(owner, _)| *owner != own);
        let inside = |frame: &Bounds| {
            frame.x0 + 1.0 < b.x0
                && b.x1 < frame.x1 - 1.0
                && frame.y0 + 1.0 < b.y0
                && b.y1 < frame.y1 - 1.0
        };
        let mine = survey
            .shapes
            .iter()
            .filter(|(owner, area, frame)| *owner == own && !(*frame && inside(area)))
            .map(|(owner, area, _)| (owner, area));
        let foreign = foreign.map(|(owner, body)| (owner, body));
        for (owner, body) in foreign.chain(mine) {
            if body.overlaps(*b) {
                out.push(format!(
                    "text {text:?} of {id} touches the symbol of {owner}"
                ));
            }
        }
    }
}

pub(super) fn span(a: (f64, f64), b: (f64, f64)) -> Bounds {
    Bounds::point(a).joined(Bounds::point(b))
}

/// Symbols keep apart from each other.
fn symbols(survey: &Survey, out: &mut Vec<String>) {
    for (i, (owner, body)) in survey.bodies.iter().enumerate() {
        for (other, second) in &survey.bodies[i + 1..] {
            if owner != other && body.overlaps(*second) {
                out.push(format!("the symbols of {owner} and {other} overlap"));
            }
        }
    }
}

/// No tap area hides another.
fn hits(scene: &Scene, out: &mut Vec<String>) {
    let all: Vec<(&str, Bounds)> = scene
        .groups
        .iter()
        .flat_map(|group| group.shapes.iter().map(move |shape| (group, shape)))
        .filter(|(_, shape)| shape.role() == Role::Hit)
        .filter_map(|(group, shape)| Some((group.id.as_str(), shape.bounds()?)))
        .collect();
    for (i, (id, area)) in all.iter().enumerate() {
        for (other, second) in &all[i + 1..] {
            if area.overlaps(*second) {
                out.push(format!("the tap areas of {id} and {other} overlap"));
            }
        }
    }
}

/// Wires of different nets only ever cross at right angles, away from their corners and ends.
fn crossings(courses: &[Course<'_>], out: &mut Vec<String>) {
    for (i, one) in courses.iter().enumerate() {
        for other in courses[i + 1..].iter().filter(|other| other.net != one.net) {
            let false_joint = one
                .segments
                .iter()
                .any(|&a| other.segments.iter().any(|&b| touch(a, b)));
            if false_joint {
                out.push(format!("{} and {} look joined", one.id, other.id));
            }
        }
    }
}

/// Whether two upright or level stretches meet in any way but a clean crossing.
pub(super) fn touch(a: ((f64, f64), (f64, f64)), b: ((f64, f64), (f64, f64))) -> bool {
    let (s, t) = (span(a.0, a.1), span(b.0, b.1));
    let level = |s: Bounds| s.y0 == s.y1;
    if level(s) == level(t) {
        return s.grown(APART / 2.0).overlaps(t.grown(APART / 2.0));
    }
    let (flat, tall) = if level(s) { (s, t) } else { (t, s) };
    let near = flat.grown(APART / 2.0).overlaps(tall.grown(APART / 2.0));
    let clean = flat.x0 + APART <= tall.x0
        && tall.x0 <= flat.x1 - APART
        && tall.y0 + APART <= flat.y0
        && flat.y0 <= tall.y1 - APART;
    near && !clean
}

/// Dots are where three stretches of one net meet, and nowhere else but on splices.
fn dots(courses: &[Course<'_>], survey: &Survey, out: &mut Vec<String>) {
    for at in courses.iter().flat_map(Course::corners) {
        for course in courses.iter().filter(|c| covers(&c.segments, at)) {
            let arms = arms(courses, course.net, at);
            let dotted = survey.dots.iter().any(|dot| dot.1 == at);
            if arms.len() == 4 && dotted {
                out.push(format!(
                    "{} has a joint with four arms at {at:?}",
                    course.id
                ));
            }
            if arms.len() == 3 && !dotted {
                out.push(format!("{} has a joint without a dot at {at:?}", course.id));
            }
        }
    }
    for (id, at) in &survey.dots {
        let near: Vec<&Course<'_>> = courses
            .iter()
            .filter(|course| {
                course.segments.iter().any(|&(p, q)| {
                    span(p, q)
                        .grown(APART)
                        .overlaps(Bounds::point(*at).grown(0.1))
                })
            })
            .collect();
        let net = near
            .iter()
            .find(|course| covers(&course.segments, *at))
            .map(|c| c.net);
        for course in near {
            if Some(course.net) != net {
                out.push(format!("the dot of {id} at {at:?} lies on {}", course.id));
            }
        }
        let splice = survey.splices.contains(id);
        let arms: Vec<Arm> = net.map_or(Vec::new(), |net| arms(courses, net, *at));
        if arms.len() < 3 && !splice {
            out.push(format!("the dot of {id} at {at:?} joins nothing"));
        }
    }
    let mut seen = crate::units::order::OrdSet::new();
    out.retain(|fault| seen.insert(fault.clone()));
}

/// Wires stay out of symbols and end on their terminals, each terminal in one place of its own.
fn ends(plan: &Plan, courses: &[Course<'_>], survey: &Survey, out: &mut Vec<String>) {
    let mut places: Vec<(&TerminalId, Point)> = Vec::new();
    for course in courses {
        for (owner, body) in &survey.bodies {
            let inside = body.grown(-1.0);
            let through = course.segments.iter().any(|&(p, q)| {
                inside.x0 < inside.x1
                    && inside.y0 < inside.y1
                    && span(p, q).grown(0.5).overlaps(inside)
            });
            if through {
                out.push(format!("{} runs through the symbol of {owner}", course.id));
            }
        }
        let wire = &plan.wires[course.wire];
        let (Some(first), Some(last)) = (course.segments.first(), course.segments.last()) else {
            out.push(format!("{} has no course", course.id));
            continue;
        };
        if course
            .segments
            .windows(2)
            .any(|pair| pair[0].1 != pair[1].0)
        {
            out.push(format!("{} is broken", course.id));
        }
        for (terminal, at) in [(&wire.from, first.0), (&wire.to, last.1)] {
            let part = plan.part(&terminal.part);
            let known = part.is_some_and(|part| {
                ports(part)
                    .iter()
                    .any(|(name, ..)| *name == terminal.terminal)
            });
            let splice = part.is_some_and(|part| matches!(part.kind, Kind::Splice(_)));
            let id = if known { terminal.part.as_str() } else { "end" };
            let met = if splice && known {
                survey.dots.iter().any(|dot| dot.0 == id && dot.1 == at)
            } else {
                survey.bodies.iter().any(|(owner, body)| {
                    owner == id && body.grown(1.0).overlaps(Bounds::point(at).grown(0.1))
                })
            };
            if !met {
                out.push(format!("{} does not reach {terminal}", course.id));
            }
            let chassis = part.is_some_and(|part| matches!(part.kind, Kind::Ground(_)));
            if known && !splice && !chassis {
                if let Some((other, _)) = places
                    .iter()
                    .find(|(other, place)| (*other == terminal) != (*place == at))
                {
                    out.push(format!("{terminal} and {other} are mixed up"));
                }
                places.push((terminal, at));
            }
        }
    }
}

/// Every stretch of a wire's course is painted, by the wire itself or by one it shares the trunk with.
fn painted(scene: &Scene, courses: &[Course<'_>], out: &mut Vec<String>) {
    let ink: Vec<_> = scene
        .groups
        .iter()
        .filter(|group| group.class == "wire")
        .map(|group| segments(group, Role::Colour))
        .collect();
    for course in courses {
        let own: Vec<_> = courses
            .iter()
            .filter(|other| other.net == course.net)
            .filter_map(|other| ink.get(other.wire))
            .flatten()
            .copied()
            .collect();
        let bare = course.segments.iter().any(|&(p, q)| {
            let steps = ((q.0 - p.0).abs() + (q.1 - p.1).abs()).max(1.0) as usize;
            (0..steps).any(|i| {
                let t = (i as f64 + 0.5) / steps as f64;
                !covers(&own, (p.0 + (q.0 - p.0) * t, p.1 + (q.1 - p.1) * t))
            })
        });
        if bare {
            out.push(format!("{} has a stretch without colour", course.id));
        }
    }
}
