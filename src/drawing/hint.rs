//! What a drawing remembers of itself, so that the next one after an edit can stay as it is (the mental map of Misue,
//! Eades, Lai, Sugiyama 1995): the lane of everything drawn, and which loads stand on their paths.

use super::graph::{Graph, Pin, What};
use super::layout::Drawn;
use crate::plan::Plan;
use crate::units::order::{OrdMap, OrdSet};

/// Lanes of a drawing by what lies on them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Hint {
    lanes: OrdMap<String, usize>,
    free: OrdSet<String>,
}

impl Hint {
    pub(super) fn new(plan: &Plan, drawn: &Drawn) -> Self {
        let keys = keys(plan, &drawn.graph);
        let header = &drawn.graph.header.nodes;
        let lanes = keys
            .iter()
            .zip(&drawn.rows)
            .enumerate()
            .filter(|(node, _)| !header.contains(node))
            .map(|(_, (key, &row))| (key.clone(), row))
            .collect();
        let free = drawn
            .free
            .iter()
            .filter_map(|&node| keys.get(node))
            .cloned()
            .collect();
        Self { lanes, free }
    }

    /// Lanes of the nodes of a graph that were there before.
    pub(super) fn lanes(&self, plan: &Plan, graph: &Graph) -> Vec<Option<usize>> {
        let keys = keys(plan, graph);
        keys.iter()
            .map(|key| self.lanes.get(key).copied())
            .collect()
    }

    /// Nodes that stood on their paths before.
    pub(super) fn free(&self, plan: &Plan, graph: &Graph) -> OrdSet<usize> {
        let keys = keys(plan, graph).into_iter().enumerate();
        keys.filter(|(_, key)| self.free.contains(key))
            .map(|(node, _)| node)
            .collect()
    }
}

/// A name for every node that an edit elsewhere leaves as it is.
fn keys(plan: &Plan, graph: &Graph) -> Vec<String> {
    let mut wire: OrdMap<usize, &str> = OrdMap::new();
    for link in &graph.links {
        for pin in [link.from, link.to] {
            if let Pin::Port { node, .. } = pin {
                wire.entry(node)
                    .or_insert(plan.wires[link.wire].id.as_str());
            }
        }
    }
    let mut seen: OrdMap<String, usize> = OrdMap::new();
    let named = graph
        .nodes
        .iter()
        .enumerate()
        .map(|(node, n)| match &n.what {
            What::Part(index) => format!("part {}", plan.parts[*index].id),
            What::Ground(_) | What::Loose(_) => {
                format!("end {} {}", wire.get(&node).unwrap_or(&""), n.mirrored)
            }
            What::Pass(link) => format!("pass {}", plan.wires[graph.links[*link].wire].id),
        });
    named
        .map(|name| {
            let count = seen.entry(name.clone()).or_insert(0);
            *count += 1;
            format!("{name} {count}")
        })
        .collect()
}
