//! Runs the phases one after the other and turns their results into a scene.

use super::coupling::Coupling;
use super::graph::{self, What};
use super::grid::MARGIN;
use super::hint::Hint;
use super::label::{self, Area, Line};
use super::layout::{Drawn, lay};
use super::scene::{Anchor, Group, Role, Scene, Shape};
use super::symbol::{self, Spot};
use super::terminals::terminals;
use super::tree::{self, Courses};
use super::{Crossings, Options, coupling, glyph, pins, wire};
use crate::catalog::conductor;
use crate::plan::{Gauge, Kind, Plan, Symbols, Wire};
use crate::units::order::OrdMap;

/// Rounds of widening for labels; each makes room for all that found none.
const ROUNDS: usize = 12;

/// A wire's size in words: as it is written, or in the sizes of the plan where those are chosen.
fn size_words(plan: &Plan, wire: &Wire) -> String {
    let sizing = &plan.settings.sizing;
    match conductor::find(&wire.size) {
        Some(row) if sizing.gauge != Gauge::AsIs => sizing.size(row),
        _ => wire.size.clone(),
    }
}

/// Draws a plan, from nothing or near an earlier drawing.
pub(super) fn compose(plan: &Plan, options: &Options, near: Option<&Hint>) -> Scene {
    let base = graph::build(plan);
    let mut detours = vec![false; base.links.len()];
    let mut drawn = lay(plan, &base, &detours, near);
    let mut courses = tree::courses(&drawn.layout(plan));
    loop {
        let hidden: Vec<usize> = tree::hidden(&courses)
            .into_iter()
            .filter(|&link| !detours[link])
            .collect();
        if hidden.is_empty() {
            break;
        }
        for link in hidden {
            detours[link] = true;
        }
        drawn = lay(plan, &base, &detours, near);
        courses = tree::courses(&drawn.layout(plan));
    }
    let mut labels = label::place(&drawn.layout(plan), &courses, &fixed(plan, &drawn));
    for _ in 0..ROUNDS {
        let mut grid = drawn.grid.clone();
        if !label::widen(&drawn.layout(plan), &courses, &labels, &mut grid) {
            break;
        }
        grid.widths();
        drawn.grid = grid;
        courses = tree::courses(&drawn.layout(plan));
        labels = label::place(&drawn.layout(plan), &courses, &fixed(plan, &drawn));
    }
    scene(plan, &drawn, &courses, &labels, options)
}

/// Areas that labels keep clear of: symbols, names and what lies outside.
fn fixed(plan: &Plan, drawn: &Drawn) -> Vec<Area> {
    // Nothing is put left of the drawing or above it.
    let far = 1_000_000;
    let mut out = vec![
        Area {
            x0: -far,
            y0: -far,
            x1: 2,
            y1: far,
        },
        Area {
            x0: -far,
            y0: -far,
            x1: far,
            y1: 2,
        },
    ];
    for (node, n) in drawn.graph.nodes.iter().enumerate() {
        if matches!(n.what, What::Pass(_)) {
            continue;
        }
        let (x, ys) = drawn.spot(node);
        let e = drawn.grid.extents[node];
        let (Some(first), Some(last)) = (ys.first(), ys.last()) else {
            continue;
        };
        out.push(Area {
            x0: x - e.left - 1,
            y0: first - 15,
            x1: x + e.right + 1,
            y1: last + e.down.max(8) + 1,
        });
        let spot = Spot {
            x,
            ys: &ys,
            mirrored: n.mirrored,
        };
        for shape in symbol::text(plan, &n.what, spot).into_iter().flatten() {
            if let Some(b) = shape.bounds() {
                out.push(Area {
                    x0: b.x0 as i32 - 1,
                    y0: b.y0 as i32,
                    x1: b.x1 as i32 + 2,
                    y1: b.y1 as i32,
                });
            }
        }
    }
    out
}

/// Ids that stay different when the plan has one designation twice.
fn suffix(seen: &mut OrdMap<String, usize>, id: &str) -> String {
    let count = seen.entry(id.to_owned()).or_insert(0);
    *count += 1;
    if *count == 1 {
        String::new()
    } else {
        format!("~{count}")
    }
}

fn scene(
    plan: &Plan,
    drawn: &Drawn,
    courses: &Courses,
    labels: &[Vec<Line>],
    options: &Options,
) -> Scene {
    let mut groups = wires(plan, drawn, courses, labels, options);
    let mut seen = OrdMap::new();
    for (name, label, dots) in &courses.dots {
        let shapes = dots
            .iter()
            .map(|&(x, y)| Shape::Circle {
                role: Role::Dot,
                at: (f64::from(x), f64::from(y)),
                r: 3.5,
            })
            .collect();
        groups.push(Group {
            id: format!("joint-{name}{}", suffix(&mut seen, name)),
            class: "joint",
            label: label.clone(),
            shapes,
        });
    }
    groups.extend(parts(plan, drawn, options.set(plan)));
    super::hit::cover(&mut groups);
    let mut taken = fixed(plan, drawn);
    taken.extend(labels.iter().flatten().map(label::area));
    let couplings = coupling::couplings(plan, drawn, courses, &taken);
    let ids = part_ids(plan);
    couple(plan, &ids, &couplings, &mut groups);
    let wire_ids: Vec<String> = groups
        .iter()
        .filter(|group| group.class == "wire")
        .map(|group| group.id.clone())
        .collect();
    let terminals = terminals(plan, drawn, courses, &ids, &wire_ids);
    taken.extend(courses.edges.iter().map(label::strip));
    let stretches = couplings.iter().flat_map(|c| c.course.windows(2));
    taken.extend(stretches.map(|pair| label::around(pair[0], pair[1])));
    for (id, shape) in pins::numbers(plan, &terminals, taken) {
        if let Some(group) = groups.iter_mut().find(|group| group.id == id) {
            group.shapes.push(shape);
        }
    }
    let (right, bottom) = groups
        .iter()
        .flat_map(|group| &group.shapes)
        .filter_map(Shape::bounds)
        .fold((40.0, 40.0), |(x, y), b| (b.x1.max(x), b.y1.max(y)));
    let unlabelled: Vec<&str> = labels
        .iter()
        .zip(&drawn.graph.links)
        .filter(|(lines, _)| lines.is_empty())
        .map(|(_, link)| plan.wires[link.wire].id.as_str())
        .collect();
    let mut desc = format!(
        "Current paths from the supply on the left to the chassis on the right: {} parts, {} wires.",
        plan.parts.len(),
        plan.wires.len()
    );
    if !unlabelled.is_empty() {
        desc.push_str(&format!(" Without label: {}.", unlabelled.join(", ")));
    }
    Scene {
        width: right.ceil() + f64::from(MARGIN),
        height: bottom.ceil() + f64::from(MARGIN),
        title: plan.title.clone(),
        desc,
        groups,
        terminals,
        hint: Hint::new(plan, drawn),
    }
}

fn wires(
    plan: &Plan,
    drawn: &Drawn,
    courses: &Courses,
    labels: &[Vec<Line>],
    options: &Options,
) -> Vec<Group> {
    let mut seen = OrdMap::new();
    let hopped = options.crossings == Crossings::Hopped;
    let mut out = Vec::new();
    for (index, link) in drawn.graph.links.iter().enumerate() {
        let wire = &plan.wires[link.wire];
        let mut shapes = wire::shapes(courses, index, &wire.colour, hopped);
        for ((x, y), text) in &labels[index] {
            shapes.push(Shape::Text {
                role: Role::Code,
                at: (f64::from(*x), f64::from(*y)),
                anchor: Anchor::Start,
                text: text.clone(),
            });
        }
        let id = wire.id.as_str();
        out.push(Group {
            id: format!("wire-{id}{}", suffix(&mut seen, id)),
            class: "wire",
            label: format!(
                "{id} {} {}, {} to {}",
                wire.colour,
                size_words(plan, wire),
                wire.from,
                wire.to
            ),
            shapes,
        });
    }
    out
}

/// Adds the couplings to the drawing, under the symbols. A switch that is coupled to all its partners needs no note of
/// them.
fn couple(plan: &Plan, ids: &[String], couplings: &[Coupling], groups: &mut Vec<Group>) {
    let mut of: OrdMap<&str, Vec<usize>> = OrdMap::new();
    for (index, part) in plan.parts.iter().enumerate() {
        if let Kind::Switch(switch) = &part.kind {
            of.entry(switch.control.as_str()).or_default().push(index);
        }
    }
    for all in of.into_values().filter(|all| all.len() > 1) {
        let own = couplings.iter().filter(|c| all.contains(&c.parts.0));
        if own.count() + 1 == all.len() {
            for group in groups.iter_mut() {
                if all.iter().any(|&index| group.id == ids[index]) {
                    let note = |shape: &Shape| matches!(shape, Shape::Text { role: Role::Note, text, .. } if text.starts_with(symbol::MOVES_WITH));
                    group.shapes.retain(|shape| !note(shape));
                }
            }
        }
    }
    let bare = |id: &'_ String| id.trim_start_matches("part-").to_owned();
    let first = groups.iter().position(|group| group.class != "wire");
    let at = first.unwrap_or(groups.len());
    let made = couplings.iter().map(|coupling| {
        let (a, b) = (coupling.parts.0, coupling.parts.1);
        let points: Vec<_> = coupling
            .course
            .iter()
            .map(|&(x, y)| (f64::from(x), f64::from(y)))
            .collect();
        Group {
            id: format!("coupling-{}-{}", bare(&ids[a]), bare(&ids[b])),
            class: "coupling",
            label: format!(
                "{} and {} move together",
                plan.parts[a].id, plan.parts[b].id
            ),
            shapes: vec![Shape::lines(Role::Link, &points)],
        }
    });
    groups.splice(at..at, made);
}

/// Group ids of all parts.
fn part_ids(plan: &Plan) -> Vec<String> {
    let mut seen = OrdMap::new();
    let parts = plan.parts.iter().map(|part| part.id.as_str());
    parts
        .map(|id| format!("part-{id}{}", suffix(&mut seen, id)))
        .collect()
}

fn parts(plan: &Plan, drawn: &Drawn, set: Symbols) -> Vec<Group> {
    let mut seen = OrdMap::new();
    let suffixes: Vec<String> = plan
        .parts
        .iter()
        .map(|part| suffix(&mut seen, part.id.as_str()))
        .collect();
    let mut grounds: OrdMap<usize, Group> = OrdMap::new();
    let mut out = Vec::new();
    let mut ends = 0;
    for (node, n) in drawn.graph.nodes.iter().enumerate() {
        let (x, ys) = match n.what {
            What::Pass(_) => continue,
            _ => drawn.spot(node),
        };
        let spot = Spot {
            x,
            ys: &ys,
            mirrored: n.mirrored,
        };
        let y = ys.first().copied().unwrap_or(0);
        let captions = || symbol::text(plan, &n.what, spot).into_iter().flatten();
        match &n.what {
            What::Pass(_) => {}
            What::Part(index) => {
                out.extend(symbol::draw(plan, *index, &suffixes[*index], spot, set))
            }
            What::Ground(index) => {
                let part = &plan.parts[*index];
                let group = grounds.entry(*index).or_insert_with(|| Group {
                    id: format!("part-{}{}", part.id, suffixes[*index]),
                    class: "part",
                    label: format!("{} {}, {}", part.id, part.name(), part.kind.text()),
                    shapes: Vec::new(),
                });
                glyph::chassis(x, y, n.mirrored, &mut group.shapes);
                group.shapes.extend(captions());
            }
            What::Loose(text) => {
                ends += 1;
                let mut shapes = Vec::new();
                glyph::open_end(x, y, &mut shapes);
                shapes.extend(captions());
                out.push(Group {
                    id: format!("end-{ends}"),
                    class: "end",
                    label: format!("open end, meant for {text}"),
                    shapes,
                });
            }
        }
    }
    out.extend(grounds.into_values());
    out
}
