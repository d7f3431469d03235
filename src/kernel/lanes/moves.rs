//! What the descent moves, and where to: straight paths, single nodes, and branches that hang on one wire.

use super::body::Body;
use super::sets::Sets;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A set that may be moved as one.
pub(super) struct Movable {
    /// Sorted.
    pub nodes: Vec<usize>,
    /// Nets it has pins in, by channel; both sorted.
    pub nets: Vec<(usize, Vec<usize>)>,
}

impl Movable {
    pub fn new(body: &Body, mut nodes: Vec<usize>) -> Self {
        nodes.sort_unstable();
        nodes.dedup();
        let mut all: Vec<(usize, usize)> = nodes
            .iter()
            .flat_map(|&node| &body.near[node])
            .copied()
            .collect();
        all.sort_unstable();
        all.dedup();
        let mut nets: Vec<(usize, Vec<usize>)> = Vec::new();
        for (channel, net) in all {
            match nets.last_mut() {
                Some((last, list)) if *last == channel => list.push(net),
                _ => nets.push((channel, vec![net])),
            }
        }
        Self { nodes, nets }
    }
}

/// Sets that stay the same however the lanes lie, made once for a body.
pub(super) struct Parts {
    /// Each node by itself.
    singles: Vec<Rc<Movable>>,
    /// Long wires.
    chains: Vec<Rc<Movable>>,
    /// What hangs on the rest by one net.
    pub branches: Vec<Movable>,
}

impl Parts {
    pub fn new(body: &Body) -> Self {
        let whole = |nodes: Vec<usize>| Rc::new(Movable::new(body, nodes));
        Self {
            singles: (0..body.feed()).map(|node| whole(vec![node])).collect(),
            chains: body.chains.iter().cloned().map(whole).collect(),
            branches: branches(body),
        }
    }
}

/// Straight paths, long wires, and the single nodes of paths that have several.
pub(super) fn paths(body: &Body, rows: &[usize], parts: &Parts) -> Vec<Rc<Movable>> {
    let feed = body.feed();
    let mut sets = Sets::new(feed + 1);
    for net in body.channels.iter().flatten() {
        for left in &net.left {
            for right in &net.right {
                let straight = rows[left.0] + left.1 == rows[right.0] + right.1;
                if straight && left.0 != feed && right.0 != feed {
                    sets.union(left.0, right.0);
                }
            }
        }
    }
    let mut paths: Vec<(usize, usize)> = (0..feed).map(|node| (sets.find(node), node)).collect();
    paths.sort_unstable();
    let paths = || paths.chunk_by(|a, b| a.0 == b.0);
    let mut out: Vec<Rc<Movable>> = paths()
        .map(|path| match path {
            [(_, node)] => parts.singles[*node].clone(),
            _ => Rc::new(Movable::new(
                body,
                path.iter().map(|(_, node)| *node).collect(),
            )),
        })
        .collect();
    out.extend(parts.chains.iter().cloned());
    let several = paths().filter(|path| path.len() > 1).flatten();
    out.extend(several.map(|(_, node)| parts.singles[*node].clone()));
    out
}

/// Single new nodes, and new nodes that hang together.
pub(super) fn fresh(body: &Body, fresh: &[bool]) -> Vec<Movable> {
    let feed = body.feed();
    let mut sets = Sets::new(feed + 1);
    for net in body.channels.iter().flatten() {
        let mut new = net.all().map(|tap| tap.0).filter(|&node| fresh[node]);
        if let Some(first) = new.next() {
            new.for_each(|node| sets.union(first, node));
        }
    }
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for node in (0..feed).filter(|&node| fresh[node]) {
        groups.entry(sets.find(node)).or_default().push(node);
    }
    let mut out: Vec<Vec<usize>> = groups
        .into_values()
        .filter(|group| group.len() > 1)
        .collect();
    out.extend((0..feed).filter(|&node| fresh[node]).map(|node| vec![node]));
    out.into_iter()
        .map(|nodes| Movable::new(body, nodes))
        .collect()
}

/// Branches: what hangs on the rest by one net only, at either side of it, up to half of the block, each once.
fn branches(body: &Body) -> Vec<Movable> {
    let feed = body.feed();
    let nets: Vec<Vec<usize>> = body
        .channels
        .iter()
        .flatten()
        .map(|net| net.all().map(|tap| tap.0).filter(|&n| n != feed).collect())
        .collect();
    let mut out: Vec<Vec<usize>> = Vec::new();
    for without in 0..nets.len() {
        if nets[without].len() < 2 {
            continue;
        }
        let mut sets = Sets::new(feed);
        for (_, net) in nets.iter().enumerate().filter(|(i, _)| *i != without) {
            for pair in net.windows(2) {
                sets.union(pair[0], pair[1]);
            }
        }
        let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for node in 0..feed {
            groups.entry(sets.find(node)).or_default().push(node);
        }
        let small = groups
            .into_values()
            .filter(|group| group.len() > 2 && 2 * group.len() <= feed + 1);
        out.extend(small);
    }
    out.sort();
    out.dedup();
    out.into_iter()
        .map(|nodes| Movable::new(body, nodes))
        .collect()
}

/// How far the set would have to move to get in line with something it is joined to, or just beside it: into `out`.
pub(super) fn shifts(body: &Body, set: &Movable, rows: &[usize], out: &mut Vec<isize>) {
    let y = |tap: &(usize, usize)| (rows[tap.0] + tap.1) as isize;
    let inside = |node: usize| set.nodes.binary_search(&node).is_ok();
    out.clear();
    let nets = set
        .nets
        .iter()
        .flat_map(|(c, nets)| nets.iter().map(|&net| &body.channels[*c][net]));
    for net in nets {
        for own in net.all().filter(|tap| inside(tap.0)) {
            for other in net.all().filter(|tap| !inside(tap.0)) {
                let d = y(other) - y(own);
                out.extend([d - 1, d, d + 1]);
            }
        }
    }
    out.sort_unstable();
    out.dedup();
}
