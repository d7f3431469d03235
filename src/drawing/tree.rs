//! Courses: every net as a tree of straight edges, every wire as a path through such trees.
//!
//! Postcondition: wires of different nets share no edge; a wire's course runs from its `from` end to its `to`
//! end; places where three edges of a net meet are listed as dots.

use super::graph::{Graph, Pin};
use super::grid::Grid;
use super::layers::Layered;
use super::nets::Net;
use super::route::{Key, Routes};
use crate::plan::Plan;
use crate::text::say;
use crate::units::order::{OrdMap, OrdSet, Order};
use std::collections::VecDeque;

/// A point on the grid of whole units.
pub(super) type At = (i32, i32);

/// A straight stretch.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    pub a: At,
    pub b: At,
    /// Links that run along it.
    pub users: Vec<usize>,
    /// The link whose colour it shows.
    pub owner: usize,
    /// Its net, if it lies in a channel.
    net: Option<usize>,
}

/// Courses of all wires.
#[derive(Debug, Clone, Default)]
pub(super) struct Courses {
    pub edges: Vec<Edge>,
    /// Per link: edges in order, and whether each is walked from `b` to `a`.
    pub links: Vec<Vec<(usize, bool)>>,
    /// Dots, by the name of their joint and the accessible label.
    pub dots: Vec<(String, String, Vec<At>)>,
}

/// Where the header lies.
#[derive(Debug, Clone, Default)]
pub(super) struct Head {
    /// Middle lines of its nodes.
    pub xs: Vec<i32>,
    pub y: i32,
    /// Right end of the line that turns back to the rail.
    pub turn: i32,
    /// Lane of the feed.
    pub feed_y: i32,
}

/// Everything laid out so far.
pub(super) struct Layout<'a> {
    pub plan: &'a Plan,
    pub graph: &'a Graph,
    pub layered: &'a Layered,
    pub nets: &'a [Net],
    pub routes: &'a Routes,
    pub grid: &'a Grid,
    pub head: &'a Head,
    /// Column of each node of the body.
    pub column: &'a [usize],
}

impl Layout<'_> {
    fn pin_x(&self, pin: Pin) -> i32 {
        match pin {
            Pin::Feed => self.head.turn,
            Pin::Joint(_) => 0,
            Pin::Port { node, side, .. } => self.grid.pin(node, self.column[node], side),
        }
    }

    fn piece_x(&self, piece: usize) -> i32 {
        let Some(piece) = self.routes.pieces.get(piece) else {
            return 0;
        };
        let channel = self.nets[piece.net].channel;
        let track = self
            .grid
            .tracks
            .get(channel)
            .and_then(|t| t.get(piece.track));
        track.copied().unwrap_or(0)
    }
}

/// A net under construction.
#[derive(Default)]
struct Tree {
    net: usize,
    near: OrdMap<At, Vec<(At, usize)>>,
}

impl Tree {
    fn edge(&mut self, edges: &mut Vec<Edge>, a: At, b: At) {
        let index = edges.len();
        edges.push(Edge {
            a,
            b,
            users: Vec::new(),
            owner: 0,
            net: Some(self.net),
        });
        self.near.entry(a).or_default().push((b, index));
        self.near.entry(b).or_default().push((a, index));
    }

    fn chain(&mut self, edges: &mut Vec<Edge>, points: impl Iterator<Item = At>) {
        let mut last = None;
        for point in points {
            if let Some(last) = last {
                self.edge(edges, last, point);
            }
            last = Some(point);
        }
    }

    /// Edges from one point to another.
    fn path(&self, edges: &[Edge], from: At, to: At) -> Vec<(usize, bool)> {
        let mut came: OrdMap<At, (At, usize)> = OrdMap::new();
        let mut queue = VecDeque::from([from]);
        while let Some(at) = queue.pop_front() {
            if at == to {
                break;
            }
            for &(next, edge) in self.near.get(&at).into_iter().flatten() {
                if next != from && !came.contains_key(&next) {
                    came.insert(next, (at, edge));
                    queue.push_back(next);
                }
            }
        }
        let mut out = Vec::new();
        let mut at = to;
        while at != from {
            let Some(&(before, edge)) = came.get(&at) else {
                return Vec::new();
            };
            out.push((edge, edges[edge].a != before));
            at = before;
        }
        out.reverse();
        out
    }
}

/// Lays out all courses.
pub(super) fn courses(layout: &Layout<'_>) -> Courses {
    let mut out = Courses {
        links: vec![Vec::new(); layout.graph.links.len()],
        ..Courses::default()
    };
    let mut hop_paths: Vec<Vec<(usize, bool)>> = vec![Vec::new(); layout.layered.hops.len()];
    for index in 0..layout.nets.len() {
        net(layout, index, &mut out, &mut hop_paths);
    }
    header(layout, &mut out);
    let lead: Vec<(usize, bool)> = feed(layout, &mut out);
    for (hop, path) in layout.layered.hops.iter().zip(hop_paths) {
        let course = &mut out.links[hop.link];
        if hop.a == Pin::Feed {
            course.extend(&lead);
        }
        course.extend(path);
        if hop.b == Pin::Feed {
            course.extend(lead.iter().rev().map(|&(edge, back)| (edge, !back)));
        }
    }
    own(layout, &mut out);
    out
}

fn net(layout: &Layout<'_>, index: usize, out: &mut Courses, hop_paths: &mut [Vec<(usize, bool)>]) {
    let net = &layout.nets[index];
    let routed = &layout.routes.trees[index];
    let y = |key: Key| layout.grid.y(key);
    let mut tree = Tree {
        net: index,
        ..Tree::default()
    };
    let mut flat: OrdMap<Key, OrdSet<i32>> = OrdMap::new();
    let mut upright: OrdMap<usize, OrdSet<Key>> = OrdMap::new();
    let mut point: OrdMap<Pin, At> = OrdMap::new();
    for (pin, key, pieces) in &routed.stubs {
        let x = layout.pin_x(*pin);
        point.insert(*pin, (x, y(*key)));
        let xs = flat.entry(*key).or_default();
        xs.insert(x);
        for &piece in pieces {
            xs.insert(layout.piece_x(piece));
            upright.entry(piece).or_default().insert(*key);
        }
    }
    for &(key, left, right) in &routed.bridges {
        for piece in [left, right] {
            flat.entry(key).or_default().insert(layout.piece_x(piece));
            upright.entry(piece).or_default().insert(key);
        }
    }
    for (key, xs) in &flat {
        tree.chain(&mut out.edges, xs.iter().map(|&x| (x, y(*key))));
    }
    for (piece, keys) in &upright {
        let x = layout.piece_x(*piece);
        tree.chain(&mut out.edges, keys.iter().map(|&key| (x, y(key))));
    }
    let mut dots: OrdSet<At> = tree
        .near
        .iter()
        .filter(|(_, near)| near.len() > 2)
        .map(|(&at, _)| at)
        .collect();
    if let Some(joint) = net.joint()
        && let Some(at) = joint_at(layout, index)
    {
        point.insert(Pin::Joint(joint), at);
        dots.insert(at);
    }
    if !dots.is_empty() {
        let (id, label) = joint_name(layout, net);
        out.dots.push((id, label, dots.into_iter().collect()));
    }
    for &hop in &net.hops {
        let ends = &layout.layered.hops[hop];
        if let (Some(&a), Some(&b)) = (point.get(&ends.a), point.get(&ends.b)) {
            hop_paths[hop] = tree.path(&out.edges, a, b);
        }
    }
}

/// Where a splice lies in its net: at the lane of its only feeding wire or, failing that, of its only fed
/// wire, so that no wire runs along a trunk its current does not take; else in the middle.
fn joint_at(layout: &Layout<'_>, index: usize) -> Option<At> {
    let net = &layout.nets[index];
    let routed = &layout.routes.trees[index];
    let (mut into, mut away) = (Vec::new(), Vec::new());
    for &hop in &net.hops {
        let hop = &layout.layered.hops[hop];
        // A link's hops run along its wire: one that ends in the splice feeds it.
        match (hop.a, hop.b) {
            (pin, Pin::Joint(_)) => into.push(pin),
            (Pin::Joint(_), pin) => away.push(pin),
            _ => {}
        }
    }
    let pin = match (into.as_slice(), away.as_slice()) {
        ([one], _) | (_, [one]) => Some(*one),
        _ => None,
    };
    let mut stubs: Vec<&(Pin, Key, Vec<usize>)> = routed.stubs.iter().collect();
    stubs.order_by_key(|stub| stub.1);
    let stub = stubs
        .iter()
        .find(|stub| Some(stub.0) == pin)
        .or_else(|| stubs.get(stubs.len() / 2))?;
    let piece = stub.2.first()?;
    Some((layout.piece_x(*piece), layout.grid.y(stub.1)))
}

fn joint_name(layout: &Layout<'_>, net: &Net) -> (String, String) {
    if let Some(joint) = net.joint() {
        let part = &layout.plan.parts[layout.graph.joints[joint]];
        let label = format!("{} {}, {}", part.id, part.name(), part.kind.text());
        return (part.id.to_string(), label);
    }
    let shared = net.pins.iter().find(|&&pin| layout.graph.is_multi(pin));
    let terminal = layout.graph.links.iter().find_map(|link| {
        let wire = &layout.plan.wires[link.wire];
        if Some(&link.from) == shared {
            Some(&wire.from)
        } else if Some(&link.to) == shared {
            Some(&wire.to)
        } else {
            None
        }
    });
    let name = terminal.map_or_else(|| format!("net{}", net.channel), ToString::to_string);
    let label = say!("joint at {name}");
    (name, label)
}

/// Links between neighbours of the header.
fn header(layout: &Layout<'_>, out: &mut Courses) {
    let header = &layout.graph.header;
    for ((pair, xs), &link) in header
        .nodes
        .windows(2)
        .zip(layout.head.xs.windows(2))
        .zip(&header.links)
    {
        let a = (xs[0] + layout.grid.extents[pair[0]].right, layout.head.y);
        let b = (xs[1] - layout.grid.extents[pair[1]].left, layout.head.y);
        let left = |pin: Pin| matches!(pin, Pin::Port { node, .. } if node == pair[0]);
        out.links[link].push((out.edges.len(), !left(layout.graph.links[link].from)));
        out.edges.push(Edge {
            a,
            b,
            users: Vec::new(),
            owner: 0,
            net: None,
        });
    }
}

/// The line from the header's end to the lane of the feed.
fn feed(layout: &Layout<'_>, out: &mut Courses) -> Vec<(usize, bool)> {
    let (Some(&node), Some(&x)) = (layout.graph.header.nodes.last(), layout.head.xs.last()) else {
        return Vec::new();
    };
    let start = (x + layout.grid.extents[node].right, layout.head.y);
    let turn = (layout.head.turn, layout.head.y);
    let down = (layout.head.turn, layout.head.feed_y);
    [(start, turn), (turn, down)]
        .into_iter()
        .map(|(a, b)| {
            out.edges.push(Edge {
                a,
                b,
                users: Vec::new(),
                owner: 0,
                net: None,
            });
            (out.edges.len() - 1, false)
        })
        .collect()
}

/// Who runs where, and whose colour each edge shows: the colour most wires of its net have, of those the longest.
fn own(layout: &Layout<'_>, out: &mut Courses) {
    let length = |edge: &Edge| (edge.a.0 - edge.b.0).abs() + (edge.a.1 - edge.b.1).abs();
    let lengths: Vec<i32> = out
        .links
        .iter()
        .map(|course| {
            course
                .iter()
                .map(|&(edge, _)| length(&out.edges[edge]))
                .sum()
        })
        .collect();
    for (link, course) in out.links.iter().enumerate() {
        for &(edge, _) in course {
            if !out.edges[edge].users.contains(&link) {
                out.edges[edge].users.push(link);
            }
        }
    }
    let colour = |link: usize| &layout.plan.wires[layout.graph.links[link].wire].colour;
    for edge in &mut out.edges {
        let owner = edge.users.iter().copied().max_by_key(|&link| {
            let net = edge.net.and_then(|net| layout.nets.get(net));
            let hops = net.map_or(&[][..], |net| &net.hops);
            let same = hops
                .iter()
                .filter(|&&hop| colour(layout.layered.hops[hop].link) == colour(link))
                .count();
            (same, lengths[link], core::cmp::Reverse(link))
        });
        edge.owner = owner.unwrap_or(usize::MAX);
    }
}

/// Links that share every stretch of their course: nobody could tell them apart.
pub(super) fn hidden(courses: &Courses) -> Vec<usize> {
    (0..courses.links.len())
        .filter(|&link| {
            let course = &courses.links[link];
            !course.is_empty()
                && course
                    .iter()
                    .all(|&(edge, _)| courses.edges[edge].users.len() > 1)
        })
        .collect()
}

/// Column of each node of the body.
pub(super) fn columns_of(graph: &Graph, layered: &Layered) -> Vec<usize> {
    let mut column = vec![0; graph.nodes.len()];
    for (c, nodes) in layered.columns.iter().enumerate() {
        for &node in nodes {
            column[node] = c;
        }
    }
    column
}
