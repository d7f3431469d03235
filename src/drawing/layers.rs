//! Columns: longest-path layering from the supply after greedy removal of cycles (Eades, Lin, Smyth 1993;
//! Sugiyama, Tagawa, Toda 1981), then loads to the right and slack parts beside their like.
//!
//! Channel `c` lies left of column `c`. A left pin of column `c` looks into channel `c`, a right pin into
//! channel `c + 1`, a splice lies in a channel. Postcondition: every link is a chain of hops, each inside one
//! channel; where it crosses a column it has a pass of its own there.

use super::graph::{Graph, Link, Node, Pin, Side, What};
use crate::plan::{Kind, Plan};
use crate::units::order::{OrdMap, OrdSet, Order};

/// A stretch of a link inside one channel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hop {
    pub channel: usize,
    pub link: usize,
    pub a: Pin,
    pub b: Pin,
}

/// The layered graph.
#[derive(Debug, Clone, Default)]
pub(super) struct Layered {
    /// Nodes of each column, in no particular order.
    pub columns: Vec<Vec<usize>>,
    /// Hops, by link and in the order from its `from` end to its `to` end.
    pub hops: Vec<Hop>,
}

/// `to` lies at least `least` after `from`.
#[derive(Clone, Copy)]
struct Arc {
    from: usize,
    to: usize,
    least: i64,
}

/// Lays the body out in columns. Links in `detours` get a lane of their own even inside one channel; loads (by node) in
/// `free` stay where their path puts them, all others share the last column of loads.
pub(super) fn layer(
    plan: &Plan,
    graph: &mut Graph,
    detours: &[bool],
    free: &OrdSet<usize>,
) -> Layered {
    let body: Vec<usize> = (0..graph.nodes.len())
        .filter(|node| !graph.header.nodes.contains(node))
        .collect();
    let mut vertex: OrdMap<Pin, usize> = OrdMap::new();
    let key = |node| Pin::Port {
        node,
        side: Side::Left,
        slot: 0,
    };
    for (index, &node) in body.iter().enumerate() {
        vertex.insert(key(node), index);
    }
    for joint in 0..graph.joints.len() {
        vertex.insert(Pin::Joint(joint), body.len() + joint);
    }
    let n = body.len() + graph.joints.len();
    // The vertex of a pin and how far right of the vertex's own position its channel is.
    let place = |pin: Pin| match pin {
        Pin::Feed => None,
        Pin::Joint(_) => vertex.get(&pin).map(|&v| (v, 0)),
        Pin::Port { node, side, .. } => vertex
            .get(&key(node))
            .map(|&v| (v, i64::from(side == Side::Right))),
    };
    let mut arcs = Vec::new();
    let mut low = vec![0_i64; n];
    let mut wired = vec![false; n];
    let mut ins = vec![0_usize; n];
    for (index, link) in graph.links.iter().enumerate() {
        if graph.header.links.contains(&index) {
            continue;
        }
        let (a, b) = oriented(link);
        let gap = i64::from(graph.is_multi(a) && graph.is_multi(b) && !same_side(a, b));
        match (place(a), place(b)) {
            (Some((from, out)), Some((to, into))) => {
                wired[from] = true;
                wired[to] = true;
                // Return wires end at a source but do not push it to the right: the supply comes first.
                let source = |v: usize| {
                    let node = body.get(v).map(|&node| &graph.nodes[node].what);
                    matches!(node, Some(What::Part(index)) if matches!(
                        plan.parts.get(*index).map(|part| &part.kind),
                        Some(Kind::Battery(_) | Kind::Charger(_))
                    ))
                };
                let back = source(to) && into == 0;
                if from != to && !back {
                    arcs.push(Arc {
                        from,
                        to,
                        least: out + gap - into,
                    });
                }
            }
            (None, Some((to, into))) | (Some((to, into)), None) => {
                wired[to] = true;
                ins[to] += 1;
                low[to] = low[to].max(gap - into);
            }
            (None, None) => {}
        }
    }
    let order = greedy_order(n, &arcs);
    let mut rank = vec![0; n];
    for (at, &v) in order.iter().enumerate() {
        rank[v] = at;
    }
    arcs.retain(|arc| rank[arc.from] < rank[arc.to]);
    arcs.order_by_key(|arc| (rank[arc.from], rank[arc.to]));
    let forward = |position: &mut Vec<i64>| {
        for arc in &arcs {
            position[arc.to] = position[arc.to].max(position[arc.from] + arc.least);
        }
    };
    let mut position = low.clone();
    forward(&mut position);
    let kinds: Vec<Option<&Kind>> = (0..n)
        .map(|v| match body.get(v).map(|&node| &graph.nodes[node].what) {
            Some(What::Part(index)) => plan.parts.get(*index).map(|part| &part.kind),
            _ => None,
        })
        .collect();
    let is_load = |v: usize| {
        matches!(
            kinds[v],
            Some(Kind::Lamp(_) | Kind::LedLamp(_) | Kind::Load(_))
        )
    };
    if let Some(last) = (0..n).filter(|&v| is_load(v)).map(|v| position[v]).max() {
        let held = |v: usize| !body.get(v).is_some_and(|node| free.contains(node));
        for v in (0..n).filter(|&v| is_load(v) && wired[v] && held(v)) {
            position[v] = last;
        }
        forward(&mut position);
    }
    slide(&order, &arcs, &mut position, ins, &kinds, &is_load);
    spread(&wired, &mut position, body.len());

    let mut columns: Vec<Vec<usize>> = Vec::new();
    for (v, &node) in body.iter().enumerate() {
        column(&mut columns, position[v]).push(node);
    }
    let channel = |pin: Pin| {
        let (v, offset) = place(pin).unwrap_or((usize::MAX, 0));
        let at = position.get(v).copied().unwrap_or(0) + offset;
        usize::try_from(at).unwrap_or(0)
    };
    let mut hops = Vec::new();
    let links = graph.links.clone();
    for (index, link) in links.iter().enumerate() {
        if graph.header.links.contains(&index) {
            continue;
        }
        let (start, end) = (channel(link.from), channel(link.to));
        let both = graph.is_multi(link.from) && graph.is_multi(link.to);
        let apart = both && !same_side(link.from, link.to);
        let detour =
            start == end && (apart || detours.get(index) == Some(&true) || link.from == link.to);
        // Columns it crosses, and whether to the right.
        let crossed: Vec<(usize, bool)> = if detour {
            vec![(start, true), (start, false)]
        } else if start <= end {
            (start..end).map(|c| (c, true)).collect()
        } else {
            (end..start).rev().map(|c| (c, false)).collect()
        };
        let (mut at, mut pin) = (start, link.from);
        for (c, rightward) in crossed {
            let node = graph.nodes.len();
            graph.nodes.push(Node {
                what: What::Pass(index),
                slots: 1,
                mirrored: false,
            });
            column(&mut columns, c as i64).push(node);
            let side = |right| Pin::Port {
                node,
                side: if right { Side::Right } else { Side::Left },
                slot: 0,
            };
            hops.push(Hop {
                channel: at,
                link: index,
                a: pin,
                b: side(!rightward),
            });
            pin = side(rightward);
            at = if rightward { c + 1 } else { c };
        }
        hops.push(Hop {
            channel: at,
            link: index,
            a: pin,
            b: link.to,
        });
    }
    Layered { columns, hops }
}

/// Supply end first; a wire that runs from a left pin to a right pin was entered the other way round.
fn oriented(link: &Link) -> (Pin, Pin) {
    let right = |pin| {
        matches!(
            pin,
            Pin::Feed
                | Pin::Port {
                    side: Side::Right,
                    ..
                }
        )
    };
    let left = |pin| {
        matches!(
            pin,
            Pin::Port {
                side: Side::Left,
                ..
            }
        )
    };
    if right(link.to) && left(link.from) || link.to == Pin::Feed {
        (link.to, link.from)
    } else {
        (link.from, link.to)
    }
}

/// Whether both are terminals on the same side: wires from one to the next run along one trunk.
fn same_side(a: Pin, b: Pin) -> bool {
    match (a, b) {
        (
            Pin::Port {
                side: one,
                node: first,
                ..
            },
            Pin::Port {
                side: other,
                node: second,
                ..
            },
        ) => one == other && first != second,
        _ => false,
    }
}

fn column(columns: &mut Vec<Vec<usize>>, at: i64) -> &mut Vec<usize> {
    let at = usize::try_from(at).unwrap_or(0);
    while columns.len() <= at {
        columns.push(Vec::new());
    }
    &mut columns[at]
}

/// Greedy vertex order with few arcs backward: sinks to the end, sources to the front, then the vertex with
/// the largest surplus of outgoing arcs.
fn greedy_order(n: usize, arcs: &[Arc]) -> Vec<usize> {
    let mut out = vec![0_i64; n];
    let mut into = vec![0_i64; n];
    let mut next: Vec<Vec<usize>> = vec![Vec::new(); n];
    let mut previous: Vec<Vec<usize>> = vec![Vec::new(); n];
    for arc in arcs {
        out[arc.from] += 1;
        into[arc.to] += 1;
        next[arc.from].push(arc.to);
        previous[arc.to].push(arc.from);
    }
    let mut left: Vec<usize> = (0..n).collect();
    let (mut front, mut back) = (Vec::new(), Vec::new());
    while !left.is_empty() {
        let source = left.iter().position(|&v| into[v] == 0);
        let sink = || left.iter().position(|&v| out[v] == 0);
        let (at, to_front) = if let Some(at) = source {
            (at, true)
        } else if let Some(at) = sink() {
            (at, false)
        } else {
            let best = (0..left.len()).max_by_key(|&i| {
                let v = left[i];
                (out[v] - into[v], core::cmp::Reverse(i))
            });
            (best.unwrap_or(0), true)
        };
        let v = left.remove(at);
        for &w in &next[v] {
            into[w] -= 1;
        }
        for &w in &previous[v] {
            out[w] -= 1;
        }
        if to_front { &mut front } else { &mut back }.push(v);
    }
    back.reverse();
    front.extend(back);
    front
}

/// Uses slack: a splice moves toward its branches, a part beside most of its kind.
fn slide(
    order: &[usize],
    arcs: &[Arc],
    position: &mut [i64],
    mut ins: Vec<usize>,
    kinds: &[Option<&Kind>],
    is_load: &impl Fn(usize) -> bool,
) {
    let n = position.len();
    let mut outs: Vec<Vec<Arc>> = vec![Vec::new(); n];
    for arc in arcs {
        outs[arc.from].push(*arc);
        ins[arc.to] += 1;
    }
    let high = |position: &[i64], v: usize| {
        outs[v]
            .iter()
            .map(|arc| position[arc.to] - arc.least)
            .min()
            .unwrap_or(position[v])
    };
    let kind = |v: usize| kinds[v].map(core::mem::discriminant);
    // Where the parts of each kind lie that have no slack.
    let fixed: Vec<usize> = (0..n)
        .filter(|&w| kind(w).is_some() && high(position, w) <= position[w])
        .collect();
    let like: Vec<OrdMap<i64, usize>> = (0..n)
        .map(|v| {
            let mut at = OrdMap::new();
            for &w in fixed.iter().filter(|&&w| w != v && kind(w) == kind(v)) {
                *at.entry(position[w]).or_default() += 1;
            }
            at
        })
        .collect();
    for &v in order.iter().rev() {
        let (low, high) = (position[v], high(position, v));
        if high <= low || is_load(v) {
            continue;
        }
        position[v] = if outs[v].len() > ins[v].max(1) || ins[v] == 0 {
            high
        } else {
            (low..=high)
                .max_by_key(|at| (like[v].get(at).copied().unwrap_or(0), -at))
                .unwrap_or(low)
        };
    }
}

/// Parts without wires are dealt out over the columns instead of piled up in the first.
fn spread(wired: &[bool], position: &mut [i64], nodes: usize) {
    let columns = position
        .iter()
        .take(nodes)
        .copied()
        .max()
        .unwrap_or(0)
        .max(3);
    let mut next = 0;
    for v in 0..nodes {
        if !wired[v] {
            position[v] = next % (columns + 1);
            next += 1;
        }
    }
}
