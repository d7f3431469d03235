//! What the verifier and the figures read from a scene: courses of wires, bodies of symbols, dots.

use super::graph::ports;
use super::scene::{Bounds, Group, Point, Role, Scene, Shape, Step};
use crate::plan::{Kind, Plan, TerminalId};
use crate::units::order::{OrdMap, OrdSet};
use petgraph::unionfind::UnionFind;

/// A straight stretch.
pub(super) type Segment = (Point, Point);

/// One wire as drawn.
pub(super) struct Course<'a> {
    pub id: &'a str,
    /// Index in the plan.
    pub wire: usize,
    /// Wires with the same number are joined in the plan.
    pub net: usize,
    pub segments: Vec<Segment>,
}

impl Course<'_> {
    /// Ends and corners.
    pub fn corners(&self) -> impl Iterator<Item = Point> + '_ {
        self.segments.iter().flat_map(|&(a, b)| [a, b])
    }
}

/// Symbols and dots.
pub(super) struct Survey {
    /// Drawn identity of each part of the plan: its designation, and `~2` … on repetition.
    pub ids: Vec<String>,
    /// Owner and area of each symbol; open ends belong to `end`.
    pub bodies: Vec<(String, Bounds)>,
    /// Owner and area of each shape of the symbols, and whether it is a frame with room inside.
    pub shapes: Vec<(String, Bounds, bool)>,
    /// Joint and place of each dot.
    pub dots: Vec<(String, Point)>,
    /// Joints that are splices.
    pub splices: OrdSet<String>,
}

impl Survey {
    pub fn new(plan: &Plan, scene: &Scene) -> Self {
        let mut count: OrdMap<&str, usize> = OrdMap::new();
        let ids = plan
            .parts
            .iter()
            .map(|part| {
                let n = count.entry(part.id.as_str()).or_default();
                *n += 1;
                match n {
                    1 => part.id.to_string(),
                    n => format!("{}~{n}", part.id),
                }
            })
            .collect();
        let mut shapes: OrdMap<String, Vec<Bounds>> = OrdMap::new();
        let mut single = Vec::new();
        let mut dots = Vec::new();
        for group in &scene.groups {
            let drawn = || {
                group.shapes.iter().filter(|shape| {
                    !matches!(shape.role(), Role::Hit | Role::Glow)
                        && !matches!(shape, Shape::Text { .. })
                })
            };
            let own = || drawn().filter_map(Shape::bounds);
            if let Some(id) = group.id.strip_prefix("joint-") {
                dots.extend(
                    own().map(|b| (id.to_owned(), ((b.x0 + b.x1) / 2.0, (b.y0 + b.y1) / 2.0))),
                );
            } else if !matches!(group.class, "wire" | "coupling") {
                shapes.entry(owner(group)).or_default().extend(own());
                single.extend(drawn().filter_map(|shape| {
                    let frame = matches!(shape, Shape::Rect { .. });
                    Some((owner(group), shape.bounds()?, frame))
                }));
            }
        }
        let bodies = shapes
            .into_iter()
            .flat_map(|(owner, shapes)| {
                clusters(shapes)
                    .into_iter()
                    .map(move |body| (owner.clone(), body))
            })
            .collect();
        let splices = plan
            .parts
            .iter()
            .filter(|part| matches!(part.kind, Kind::Splice(_)))
            .map(|part| part.id.to_string())
            .collect();
        Self {
            ids,
            bodies,
            shapes: single,
            dots,
            splices,
        }
    }
}

/// The part a group belongs to.
pub(super) fn owner(group: &Group) -> String {
    let (kind, id) = group.id.split_once('-').unwrap_or(("", &group.id));
    match kind {
        "lamp" | "contact" => id.split('.').next().unwrap_or(id).to_owned(),
        "end" => "end".to_owned(),
        _ => id.to_owned(),
    }
}

/// Shapes that touch make one body.
fn clusters(shapes: Vec<Bounds>) -> Vec<Bounds> {
    let mut out: Vec<Bounds> = Vec::new();
    for shape in shapes {
        let mut body = shape;
        let near = |out: &[Bounds], body: Bounds| {
            out.iter()
                .position(|other| other.grown(1.0).overlaps(body.grown(1.0)))
        };
        while let Some(at) = near(&out, body) {
            body = body.joined(out.remove(at));
        }
        out.push(body);
    }
    out
}

/// Straight stretches of a wire's paths with a role.
pub(super) fn segments(group: &Group, role: Role) -> Vec<Segment> {
    let mut out = Vec::new();
    for shape in &group.shapes {
        if let (Shape::Path { steps, .. }, true) = (shape, shape.role() == role) {
            let mut at = (0.0, 0.0);
            for step in steps {
                if !matches!(step, Step::Move(_)) {
                    out.push((at, step.end()));
                }
                at = step.end();
            }
        }
    }
    out
}

/// Courses of all wires, with the nets the plan joins them to.
pub(super) fn courses<'a>(plan: &Plan, scene: &'a Scene) -> Vec<Course<'a>> {
    let mut index: OrdMap<(&str, &str), usize> = OrdMap::new();
    let mut sets = UnionFind::<usize>::new(3 * plan.wires.len());
    let count = plan.wires.len();
    let mut next = count;
    for (i, wire) in plan.wires.iter().enumerate() {
        for terminal in [&wire.from, &wire.to] {
            if known(plan, terminal) {
                let key = (terminal.part.as_str(), terminal.terminal.as_str());
                let at = *index.entry(key).or_insert_with(|| {
                    next += 1;
                    next - 1
                });
                sets.union(i, at);
            }
        }
    }
    scene
        .groups
        .iter()
        .filter(|group| group.class == "wire")
        .zip(0..count)
        .map(|(group, wire)| Course {
            id: &group.id,
            wire,
            net: sets.find(wire),
            segments: segments(group, Role::Halo),
        })
        .collect()
}

fn known(plan: &Plan, terminal: &TerminalId) -> bool {
    plan.part(&terminal.part).is_some_and(|part| {
        ports(part)
            .iter()
            .any(|(name, ..)| *name == terminal.terminal)
    })
}

/// Whether a point lies on one of the stretches.
pub(super) fn covers(segments: &[Segment], at: Point) -> bool {
    segments.iter().any(|&(a, b)| {
        let within = |v: f64, p: f64, q: f64| p.min(q) <= v && v <= p.max(q);
        within(at.0, a.0, b.0) && within(at.1, a.1, b.1)
    })
}

/// Direction in which a net leaves a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Arm {
    Up,
    Down,
    Left,
    Right,
}

/// Directions in which a net leaves a point.
pub(super) fn arms(courses: &[Course<'_>], net: usize, at: Point) -> Vec<Arm> {
    let mut out = OrdSet::new();
    for &(a, b) in courses
        .iter()
        .filter(|course| course.net == net)
        .flat_map(|course| &course.segments)
    {
        if !covers(&[(a, b)], at) {
            continue;
        }
        for end in [a, b] {
            if end.0 < at.0 {
                out.insert(Arm::Left);
            } else if end.0 > at.0 {
                out.insert(Arm::Right);
            } else if end.1 < at.1 {
                out.insert(Arm::Up);
            } else if end.1 > at.1 {
                out.insert(Arm::Down);
            }
        }
    }
    out.into_iter().collect()
}

/// How easy a drawing is to follow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Corners of all wires over the number of wires.
    pub bends_per_wire: f64,
    /// Places where stretches of different nets cross.
    pub crossings: usize,
    /// Length of all wires.
    pub length: f64,
    /// Length of the longest wire.
    pub longest: f64,
    /// Width times height.
    pub area: f64,
    /// Wires that dashed couplings of switches cross.
    pub coupled: usize,
    /// Wires without a label.
    pub unlabelled: usize,
}

/// Measures a drawing.
pub fn figures(plan: &Plan, scene: &Scene) -> Figures {
    let courses = courses(plan, scene);
    let level = |s: &Segment| s.0.1 == s.1.1;
    let bends: usize = courses
        .iter()
        .map(|course| {
            course
                .segments
                .windows(2)
                .filter(|pair| level(&pair[0]) != level(&pair[1]))
                .count()
        })
        .sum();
    let all: Vec<(usize, Segment)> = courses
        .iter()
        .flat_map(|course| course.segments.iter().map(|&s| (course.net, s)))
        .collect();
    let mut places = OrdSet::new();
    for (net, flat) in all.iter().filter(|(_, s)| level(s)) {
        for (other, tall) in all.iter().filter(|(_, s)| !level(s)) {
            let (x, y) = (tall.0.0, flat.0.1);
            let inside = |v: f64, p: f64, q: f64| p.min(q) < v && v < p.max(q);
            if net != other && inside(x, flat.0.0, flat.1.0) && inside(y, tall.0.1, tall.1.1) {
                places.insert((x as i64, y as i64));
            }
        }
    }
    let couplings = scene.groups.iter().filter(|g| g.class == "coupling");
    let dashed: Vec<Segment> = couplings.flat_map(|g| segments(g, Role::Link)).collect();
    let meets = |a: &Segment, b: &Segment| {
        let (flat, tall) = if level(a) { (a, b) } else { (b, a) };
        let inside = |v: f64, p: f64, q: f64| p.min(q) < v && v < p.max(q);
        level(a) != level(b)
            && inside(tall.0.0, flat.0.0, flat.1.0)
            && inside(flat.0.1, tall.0.1, tall.1.1)
    };
    let coupled = dashed
        .iter()
        .map(|line| all.iter().filter(|(_, wire)| meets(line, wire)).count());
    let length = |s: &Segment| (s.0.0 - s.1.0).abs() + (s.0.1 - s.1.1).abs();
    Figures {
        bends_per_wire: bends as f64 / courses.len().max(1) as f64,
        crossings: places.len(),
        length: all.iter().map(|(_, s)| length(s)).sum(),
        longest: courses
            .iter()
            .map(|course| course.segments.iter().map(length).sum())
            .fold(0.0, f64::max),
        area: scene.width * scene.height,
        coupled: coupled.sum(),
        unlabelled: scene
            .groups
            .iter()
            .filter(|group| group.class == "wire")
            .filter(|group| !group.shapes.iter().any(|s| s.role() == Role::Code))
            .count(),
    }
}
