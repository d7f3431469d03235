//! Runs the phases one after the other and turns their results into a scene.

use super::graph::{self, Graph, Pin, Side, What};
use super::grid::{Grid, MARGIN};
use super::label::{self, Area, Line};
use super::layers::{self, Layered};
use super::nets::{self, Net};
use super::route::{self, ROW, Routes};
use super::scene::{Anchor, Group, Role, Scene, Shape};
use super::symbol::{self, Spot};
use super::terminals::terminals;
use super::tree::{self, Courses, Head, Layout};
use super::{Crossings, Options, block, glyph, wire};
use crate::plan::Plan;
use std::collections::{BTreeMap, BTreeSet};

/// Rounds of widening for labels; each makes room for all that found none.
const ROUNDS: usize = 12;

/// What leaving the loads where they are must save: a crossing, and a little.
const MERIT: u64 = crate::lanes::CROSSING + 8;

/// Results of the phases, owned.
pub(super) struct Drawn {
    pub graph: Graph,
    layered: Layered,
    nets: Vec<Net>,
    rows: Vec<usize>,
    routes: Routes,
    grid: Grid,
    head: Head,
    column: Vec<usize>,
}

impl Drawn {
    fn layout<'a>(&'a self, plan: &'a Plan) -> Layout<'a> {
        Layout {
            plan,
            graph: &self.graph,
            layered: &self.layered,
            nets: &self.nets,
            routes: &self.routes,
            grid: &self.grid,
            head: &self.head,
            column: &self.column,
        }
    }

    /// Where a pin of a node lies.
    pub fn pin(&self, node: usize, side: Side, slot: usize) -> (i32, i32) {
        let (x, ys) = self.spot(node);
        let e = self.grid.extents[node];
        let x = if side == Side::Left {
            x - e.left
        } else {
            x + e.right
        };
        (x, ys.get(slot).or(ys.last()).copied().unwrap_or(0))
    }

    /// Middle line and lanes of a node; passes have none to be drawn at.
    fn spot(&self, node: usize) -> (i32, Vec<i32>) {
        if let Some(at) = self.graph.header.nodes.iter().position(|&n| n == node) {
            return (self.head.xs[at], vec![self.head.y]);
        }
        let x = self.grid.columns[self.column[node]];
        let lanes = (0..self.graph.nodes[node].slots)
            .map(|slot| self.grid.y((self.rows[node] + slot) * ROW))
            .collect();
        (x, lanes)
    }
}

/// Draws a plan.
pub(super) fn compose(plan: &Plan, options: &Options) -> Scene {
    let base = graph::build(plan);
    let mut detours = vec![false; base.links.len()];
    let mut drawn = lay(plan, &base, &detours);
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
        drawn = lay(plan, &base, &detours);
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

/// All phases up to coordinates. Loads stand in one column, but where leaving them on their paths saves crossings.
fn lay(plan: &Plan, base: &Graph, detours: &[bool]) -> Drawn {
    let aligned = Lanes::new(plan, base, detours, &BTreeSet::new(), None);
    let crossed: BTreeSet<usize> = aligned.with_crossings(base);
    if crossed.is_empty() {
        return aligned.drawn(plan);
    }
    let free = Lanes::new(plan, base, detours, &crossed, Some(&crossed));
    // A block of the one drawing may be two of the other: both are compared by their parts.
    let cost = |lanes: &Lanes, nodes: &[usize]| -> u64 {
        lanes
            .placed
            .blocks
            .iter()
            .filter(|(block, _)| block.iter().any(|node| nodes.contains(node)))
            .map(|(_, cost)| cost)
            .sum()
    };
    let better: BTreeSet<usize> = aligned
        .placed
        .blocks
        .iter()
        .map(|(block, cost)| {
            let own = block
                .iter()
                .copied()
                .filter(|&node| node < base.nodes.len());
            (own.collect::<Vec<usize>>(), *cost)
        })
        .filter(|(own, before)| {
            own.iter().any(|node| crossed.contains(node)) && cost(&free, own) + MERIT <= *before
        })
        .flat_map(|(own, _)| own)
        .collect();
    if better.is_empty() {
        aligned.drawn(plan)
    } else if better.len() == crossed.len() {
        free.drawn(plan)
    } else {
        Lanes::new(plan, base, detours, &better, None).drawn(plan)
    }
}

/// Phases up to lanes.
struct Lanes {
    graph: Graph,
    layered: Layered,
    nets: Vec<Net>,
    placed: block::Placed,
}

impl Lanes {
    fn new(
        plan: &Plan,
        base: &Graph,
        detours: &[bool],
        free: &BTreeSet<usize>,
        only: Option<&BTreeSet<usize>>,
    ) -> Self {
        let mut graph = base.clone();
        let layered = layers::layer(plan, &mut graph, detours, free);
        let nets = nets::collect(&layered);
        let placed = block::place(&graph, &nets, &layered.columns, only);
        Self {
            graph,
            layered,
            nets,
            placed,
        }
    }

    /// Nodes of the plan in blocks that have crossings.
    fn with_crossings(&self, base: &Graph) -> BTreeSet<usize> {
        let blocks = self.placed.blocks.iter().filter(|(_, cost)| *cost >= MERIT);
        blocks
            .flat_map(|(block, _)| block)
            .copied()
            .filter(|&node| node < base.nodes.len())
            .collect()
    }

    fn drawn(self, plan: &Plan) -> Drawn {
        let routes = route::route(
            &self.nets,
            &self.placed.rows,
            self.layered.columns.len() + 1,
        );
        let head = head(plan, &self.graph);
        let rows = self.placed.rows;
        let grid = Grid::new(
            plan,
            &self.graph,
            &self.layered,
            &routes,
            &rows,
            head.feed_y,
        );
        let column = tree::columns_of(&self.graph, &self.layered);
        Drawn {
            graph: self.graph,
            layered: self.layered,
            nets: self.nets,
            rows,
            routes,
            grid,
            head,
            column,
        }
    }
}

/// Lays out the header: nodes as close as names and labels let them.
fn head(plan: &Plan, graph: &Graph) -> Head {
    let extents: Vec<symbol::Extent> = graph
        .header
        .nodes
        .iter()
        .map(|&node| {
            let node = &graph.nodes[node];
            symbol::extent(plan, &node.what, node.mirrored)
        })
        .collect();
    let up = extents.iter().map(|e| e.up).max().unwrap_or(0);
    let down = extents.iter().map(|e| e.down).max().unwrap_or(0);
    let y = MARGIN + up;
    let mut xs: Vec<i32> = Vec::new();
    for (i, e) in extents.iter().enumerate() {
        let x = match (xs.last(), i.checked_sub(1)) {
            (Some(&before), Some(j)) => {
                let last = extents[j];
                let link = graph.links[graph.header.links[j]];
                let (colour, size) = label::code(&plan.wires[link.wire]);
                let code = super::text_width(&format!("{colour} {size}"), false);
                // One line above the wire would run under the names: those lie higher.
                let symbols = last.right + e.left + code + 10;
                before + symbols.max(last.text + e.text + 6)
            }
            _ => MARGIN + e.left.max(e.text),
        };
        xs.push(x);
    }
    let turn = match (xs.last(), extents.last()) {
        (Some(x), Some(e)) => x + (e.right + 24).max(e.text + 8),
        _ => MARGIN,
    };
    let fed = graph.degree.contains_key(&Pin::Feed);
    let feed_y = match (extents.is_empty(), fed) {
        (true, _) => 0,
        (false, false) => y + down + 8,
        (false, true) => y + (down + 20).max(34),
    };
    Head {
        xs,
        y,
        turn,
        feed_y,
    }
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
fn suffix(seen: &mut BTreeMap<String, usize>, id: &str) -> String {
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
    let mut seen = BTreeMap::new();
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
    groups.extend(parts(plan, drawn));
    super::hit::cover(&mut groups);
    let wire_ids: Vec<String> = groups
        .iter()
        .filter(|group| group.class == "wire")
        .map(|group| group.id.clone())
        .collect();
    let terminals = terminals(plan, drawn, courses, &part_ids(plan), &wire_ids);
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
    }
}

fn wires(
    plan: &Plan,
    drawn: &Drawn,
    courses: &Courses,
    labels: &[Vec<Line>],
    options: &Options,
) -> Vec<Group> {
    let mut seen = BTreeMap::new();
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
                wire.colour, wire.size, wire.from, wire.to
            ),
            shapes,
        });
    }
    out
}

/// Group ids of all parts.
fn part_ids(plan: &Plan) -> Vec<String> {
    let mut seen = BTreeMap::new();
    let parts = plan.parts.iter().map(|part| part.id.as_str());
    parts
        .map(|id| format!("part-{id}{}", suffix(&mut seen, id)))
        .collect()
}

fn parts(plan: &Plan, drawn: &Drawn) -> Vec<Group> {
    let mut seen = BTreeMap::new();
    let suffixes: Vec<String> = plan
        .parts
        .iter()
        .map(|part| suffix(&mut seen, part.id.as_str()))
        .collect();
    let mut grounds: BTreeMap<usize, Group> = BTreeMap::new();
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
            What::Part(index) => out.extend(symbol::draw(plan, *index, &suffixes[*index], spot)),
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
