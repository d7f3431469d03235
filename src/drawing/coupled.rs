//! The part of the verifier that reads the dashed couplings of switches: never taken for a wire, never in the way.

use super::scene::{Role, Scene, Shape};
use super::survey::{Course, Segment, Survey, segments};
use super::symbol::MOVES_WITH;
use super::verify::{span, touch};
use crate::plan::{Kind, Plan};
use crate::text;
use crate::units::order::{OrdMap, OrdSet};

/// Half the thickness of a coupling.
const HALF: f64 = 1.0;

/// A coupling is a dashed line without joints: it crosses wires and other couplings only at right angles and away from
/// their ends, touches no dot, no text and no symbol but the two it couples.
pub(super) fn couplings(
    plan: &Plan,
    scene: &Scene,
    courses: &[Course<'_>],
    survey: &Survey,
    out: &mut Vec<String>,
) {
    let all: Vec<(&str, Vec<Segment>)> = scene
        .groups
        .iter()
        .filter(|group| group.class == "coupling")
        .map(|group| (group.id.as_str(), segments(group, Role::Link)))
        .collect();
    told(plan, scene, survey, all.iter().map(|(id, _)| *id), out);
    for (i, (id, own)) in all.iter().enumerate() {
        let ends: Vec<String> = ends(id, survey);
        if ends.len() != 2 || own.is_empty() {
            out.push(format!("{id} couples no two symbols"));
        }
        for &(p, q) in own {
            for course in courses {
                if course.segments.iter().any(|&wire| touch((p, q), wire)) {
                    out.push(format!("{id} touches {}", course.id));
                }
            }
            for (other, theirs) in &all[i + 1..] {
                if theirs.iter().any(|&line| touch((p, q), line)) {
                    out.push(format!("{id} touches {other}"));
                }
            }
            let strip = span(p, q).grown(HALF);
            let bodies = survey.bodies.iter();
            for (owner, body) in bodies.filter(|(owner, _)| !ends.contains(owner)) {
                if strip.overlaps(*body) {
                    out.push(format!("{id} touches the symbol of {owner}"));
                }
            }
            for (joint, dot) in &survey.dots {
                if strip.grown(5.0).overlaps(span(*dot, *dot).grown(0.1)) {
                    out.push(format!("{id} touches the dot of {joint}"));
                }
            }
            for group in &scene.groups {
                for shape in &group.shapes {
                    let text = matches!(shape, Shape::Text { .. });
                    let near = shape.bounds().is_some_and(|b| text && strip.overlaps(b));
                    if near {
                        out.push(format!("{id} touches a text of {}", group.id));
                    }
                }
            }
        }
    }
}

/// Switches of one control are coupled to one another, or each names the others.
fn told<'a>(
    plan: &Plan,
    scene: &Scene,
    survey: &Survey,
    all: impl Iterator<Item = &'a str>,
    out: &mut Vec<String>,
) {
    let ends: Vec<Vec<String>> = all.map(|id| ends(id, survey)).collect();
    let mut groups: OrdMap<&str, Vec<&String>> = OrdMap::new();
    for (part, id) in plan.parts.iter().zip(&survey.ids) {
        if let Kind::Switch(switch) = &part.kind {
            groups.entry(switch.control.as_str()).or_default().push(id);
        }
    }
    for own in groups.into_values().filter(|own| own.len() > 1) {
        let inside = |pair: &&Vec<String>| pair.iter().all(|end| own.contains(&end));
        let mut joined: OrdSet<&String> = own.iter().take(1).copied().collect();
        // One end after the other, until nothing more is reached.
        for _ in 0..own.len() {
            for pair in ends.iter().filter(inside) {
                if pair.iter().any(|end| joined.contains(end)) {
                    joined.extend(pair);
                }
            }
        }
        if joined.len() == own.len() {
            continue;
        }
        for id in own {
            let name = format!("part-{id}");
            let group = scene.groups.iter().find(|group| group.id == name);
            let mut texts = group.iter().flat_map(|group| &group.shapes);
            let says = |shape: &Shape| matches!(shape, Shape::Text { text, .. } if text.starts_with(text::of(MOVES_WITH)));
            if !texts.any(says) {
                out.push(format!("{id} does not tell what moves with it"));
            }
        }
    }
}

/// The two parts a coupling joins, as drawn.
fn ends(id: &str, survey: &Survey) -> Vec<String> {
    let both = id.trim_start_matches("coupling-");
    let pairs = survey.ids.iter().filter_map(|first| {
        let rest = both.strip_prefix(first.as_str())?.strip_prefix('-')?;
        let second = survey.ids.iter().find(|second| second.as_str() == rest)?;
        Some([first.clone(), second.clone()])
    });
    pairs.take(1).flatten().collect()
}
