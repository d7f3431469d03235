//! The phases from graph to coordinates, one after the other, from nothing or near an earlier drawing.

use super::graph::{Graph, Pin, Side};
use super::grid::{Grid, MARGIN};
use super::hint::Hint;
use super::layers::{self, Layered};
use super::nets::{self, Net};
use super::route::{self, ROW, Routes};
use super::tree::{self, Head, Layout};
use super::{block, label, symbol};
use crate::plan::Plan;
use crate::units::order::OrdSet;

/// What leaving the loads where they are must save: a crossing, and a little.
const MERIT: u64 = crate::lanes::CROSSING + 8;

/// Results of the phases, owned.
pub(super) struct Drawn {
    pub graph: Graph,
    pub layered: Layered,
    pub nets: Vec<Net>,
    pub rows: Vec<usize>,
    pub routes: Routes,
    pub grid: Grid,
    pub head: Head,
    pub column: Vec<usize>,
    /// Loads that stand on their paths instead of in the common column, by node.
    pub free: OrdSet<usize>,
}

impl Drawn {
    pub fn layout<'a>(&'a self, plan: &'a Plan) -> Layout<'a> {
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
    pub fn spot(&self, node: usize) -> (i32, Vec<i32>) {
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

/// All phases up to coordinates. Loads stand in one column, but where leaving them on their paths saves crossings.
pub(super) fn lay(plan: &Plan, base: &Graph, detours: &[bool], near: Option<&Hint>) -> Drawn {
    if let Some(hint) = near {
        let free = hint.free(plan, base);
        return Lanes::new(plan, base, detours, &free, None, near).drawn(plan, free);
    }
    let aligned = Lanes::new(plan, base, detours, &OrdSet::new(), None, None);
    let crossed: OrdSet<usize> = aligned.with_crossings(base);
    if crossed.is_empty() {
        return aligned.drawn(plan, OrdSet::new());
    }
    let free = Lanes::new(plan, base, detours, &crossed, Some(&crossed), None);
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
    let better: OrdSet<usize> = aligned
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
        aligned.drawn(plan, OrdSet::new())
    } else if better.len() == crossed.len() {
        free.drawn(plan, crossed)
    } else {
        Lanes::new(plan, base, detours, &better, None, None).drawn(plan, better)
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
        free: &OrdSet<usize>,
        only: Option<&OrdSet<usize>>,
        near: Option<&Hint>,
    ) -> Self {
        let mut graph = base.clone();
        let layered = layers::layer(plan, &mut graph, detours, free);
        let nets = nets::collect(&layered);
        let placed = match near {
            None => block::place(&graph, &nets, &layered.columns, only),
            Some(hint) => {
                let before = hint.lanes(plan, &graph);
                block::place_near(&graph, &nets, &layered.columns, &before)
            }
        };
        Self {
            graph,
            layered,
            nets,
            placed,
        }
    }

    /// Nodes of the plan in blocks that have crossings.
    fn with_crossings(&self, base: &Graph) -> OrdSet<usize> {
        let blocks = self.placed.blocks.iter().filter(|(_, cost)| *cost >= MERIT);
        blocks
            .flat_map(|(block, _)| block)
            .copied()
            .filter(|&node| node < base.nodes.len())
            .collect()
    }

    fn drawn(self, plan: &Plan, free: OrdSet<usize>) -> Drawn {
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
            free,
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
                let (colour, size) = label::code(plan, &plan.wires[link.wire]);
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
