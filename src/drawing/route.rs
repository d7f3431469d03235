//! Trunks and tracks: each channel net becomes vertical trunk pieces, each piece gets a track.
//!
//! Channel routing after Hashimoto and Stevens 1971 (left-edge), with the vertical constraints and doglegs of
//! Deutsch 1976 turned by a quarter: where one net comes in from the left and another leaves to the right on
//! one lane, the first must have its trunk further left; a ring of such demands is cut by a dogleg on a lane of
//! its own. A joint with four arms is cut into two pieces, so that two joints with three arms come out.
//! Postcondition: pieces on one track do not touch, and every demand is met.

use super::graph::Pin;
use super::nets::Net;
use crate::units::order::{OrdMap, Order};
use petgraph::algo::tarjan_scc;
use petgraph::graph::DiGraph;

/// A lane, in 64ths of a row, so that lanes can be put between rows.
pub(super) type Key = usize;
/// Lanes of one row.
pub(super) const ROW: Key = 64;

/// A vertical run.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub net: usize,
    pub lo: Key,
    pub hi: Key,
    pub track: usize,
    /// Lanes that come in from the left and from the right.
    left: Vec<Key>,
    right: Vec<Key>,
}

/// How one net is joined.
#[derive(Debug, Clone, Default)]
pub(super) struct Tree {
    /// Pin, its lane, and the pieces its stub touches; the pieces are few and sorted.
    pub stubs: Vec<(Pin, Key, Vec<usize>)>,
    /// Doglegs: lane, left piece, right piece.
    pub bridges: Vec<(Key, usize, usize)>,
}

/// Pieces and trees of all nets; pieces are indexed over all channels.
#[derive(Debug, Clone, Default)]
pub(super) struct Routes {
    pub pieces: Vec<Piece>,
    pub trees: Vec<Tree>,
    /// Tracks of each channel.
    pub tracks: Vec<usize>,
    /// Lanes put in below each row.
    pub extra: OrdMap<usize, usize>,
}

/// Routes all nets.
pub(super) fn route(nets: &[Net], rows: &[usize], channels: usize) -> Routes {
    let mut routes = Routes {
        tracks: vec![0; channels],
        trees: vec![Tree::default(); nets.len()],
        ..Routes::default()
    };
    for channel in 0..channels {
        let mine: Vec<usize> = (0..nets.len())
            .filter(|&net| nets[net].channel == channel)
            .collect();
        let first = routes.pieces.len();
        for &net in &mine {
            cut(net, &nets[net], rows, &mut routes);
        }
        let mut added = OrdMap::new();
        while let Some(piece) = in_a_ring(&routes, first) {
            dogleg(&mut routes, piece, &mut added);
        }
        for (row, lanes) in added {
            let most = routes.extra.entry(row).or_insert(0);
            *most = (*most).max(lanes);
        }
        let order = sift(&routes, first);
        routes.tracks[channel] = assign(&mut routes, &order);
    }
    routes
}

/// Cuts a net into pieces at its four-armed lanes.
fn cut(net: usize, of: &Net, rows: &[usize], routes: &mut Routes) {
    let stubs: Vec<(Pin, Key, bool)> = of
        .taps()
        .map(|(pin, tap)| {
            let row = tap.node.map_or(0, |node| rows[node]) + tap.slot;
            (pin, row * ROW, tap.from_left)
        })
        .collect();
    let both = |key: Key| {
        stubs.iter().any(|stub| stub.1 == key && stub.2)
            && stubs.iter().any(|stub| stub.1 == key && !stub.2)
    };
    let (Some(lo), Some(hi)) = (
        stubs.iter().map(|stub| stub.1).min(),
        stubs.iter().map(|stub| stub.1).max(),
    ) else {
        return;
    };
    let base = routes.pieces.len();
    if lo < hi || of.joint().is_some() {
        let mut ends: Vec<Key> = stubs
            .iter()
            .map(|stub| stub.1)
            .filter(|&key| lo < key && key < hi && both(key))
            .chain([lo, hi])
            .collect();
        ends.order();
        if lo < hi {
            ends.dedup();
        }
        for pair in ends.windows(2) {
            routes.pieces.push(Piece {
                net,
                lo: pair[0],
                hi: pair[1],
                track: 0,
                left: Vec::new(),
                right: Vec::new(),
            });
        }
    }
    for (pin, key, from_left) in stubs {
        let mut touched = Vec::new();
        for (index, piece) in routes.pieces.iter_mut().enumerate().skip(base) {
            if piece.lo <= key && key <= piece.hi {
                touched.push(index);
                if from_left {
                    piece.left.push(key);
                } else {
                    piece.right.push(key);
                }
            }
        }
        routes.trees[net].stubs.push((pin, key, touched));
    }
}

/// Demands between the pieces from `first` on: the first of a pair must lie left of the second.
fn demands(routes: &Routes, first: usize) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for (a, one) in routes.pieces.iter().enumerate().skip(first) {
        for (b, other) in routes.pieces.iter().enumerate().skip(first) {
            let bridged = || {
                routes.trees[one.net]
                    .bridges
                    .iter()
                    .any(|&(_, left, right)| (left, right) == (a, b))
            };
            let needed = if one.net == other.net {
                bridged()
            } else {
                one.left.iter().any(|key| other.right.contains(key))
            };
            if needed {
                out.push((a, b));
            }
        }
    }
    out
}

/// A piece inside a ring of demands, the one with most of them.
fn in_a_ring(routes: &Routes, first: usize) -> Option<usize> {
    let demands = demands(routes, first);
    let count = routes.pieces.len() - first;
    let mut graph = DiGraph::<(), ()>::with_capacity(count, demands.len());
    for _ in 0..count {
        graph.add_node(());
    }
    for &(a, b) in &demands {
        graph.add_edge(((a - first) as u32).into(), ((b - first) as u32).into(), ());
    }
    tarjan_scc(&graph)
        .into_iter()
        .filter(|ring| ring.len() > 1)
        .flatten()
        .map(|node| node.index() + first)
        .max_by_key(|&piece| {
            let ins = demands.iter().filter(|d| d.1 == piece).count();
            let outs = demands.iter().filter(|d| d.0 == piece).count();
            (ins * outs, core::cmp::Reverse(piece))
        })
}

/// Cuts a piece into one that serves the left and one that serves the right, joined on a lane of their own.
fn dogleg(routes: &mut Routes, piece: usize, added: &mut OrdMap<usize, usize>) {
    let whole = routes.pieces[piece].clone();
    let row = whole.lo / ROW;
    let lanes = added.entry(row).or_insert(0);
    *lanes = (*lanes + 1).min(ROW - 1);
    let lane = row * ROW + *lanes;
    let other = routes.pieces.len();
    let through = |key: &Key| whole.left.contains(key) && whole.right.contains(key);
    let only_right: Vec<Key> = whole
        .right
        .iter()
        .copied()
        .filter(|key| !through(key))
        .collect();
    for stub in &mut routes.trees[whole.net].stubs {
        if stub.2.contains(&piece) && only_right.contains(&stub.1) {
            stub.2 = vec![other];
        }
    }
    routes.trees[whole.net].bridges.push((lane, piece, other));
    let spanned = |keys: &[Key]| {
        let lo = keys.iter().copied().fold(lane, Key::min);
        let hi = keys.iter().copied().fold(lane, Key::max);
        (lo, hi)
    };
    let (lo, hi) = spanned(&only_right);
    routes.pieces.push(Piece {
        net: whole.net,
        lo,
        hi,
        track: 0,
        left: vec![lane],
        right: only_right.clone(),
    });
    let (lo, hi) = spanned(&whole.left);
    let keep = &mut routes.pieces[piece];
    keep.lo = lo;
    keep.hi = hi;
    keep.right.retain(|key| !only_right.contains(key));
    keep.right.push(lane);
}

/// Crossings between two pieces if `a` lies left of `b`.
fn crossings(a: &Piece, b: &Piece) -> usize {
    let within = |keys: &[Key], piece: &Piece| {
        keys.iter()
            .filter(|&&key| piece.lo < key && key < piece.hi)
            .count()
    };
    within(&b.left, a) + within(&a.right, b)
}

/// Order of the pieces from left to right: all demands met, few crossings (sifting, Rudell 1993).
fn sift(routes: &Routes, first: usize) -> Vec<usize> {
    let demands = demands(routes, first);
    let mut left: Vec<usize> = (first..routes.pieces.len()).collect();
    let mut order: Vec<usize> = Vec::new();
    while !left.is_empty() {
        let free = left
            .iter()
            .position(|&b| !demands.iter().any(|d| d.1 == b && left.contains(&d.0)))
            .unwrap_or(0);
        order.push(left.remove(free));
    }
    let cost = |a: usize, b: usize| crossings(&routes.pieces[a], &routes.pieces[b]) as i64;
    for _ in 0..4 {
        let mut better = false;
        for piece in first..routes.pieces.len() {
            let Some(at) = order.iter().position(|&p| p == piece) else {
                continue;
            };
            let (mut best, mut gain) = (at, 0);
            for rightward in [false, true] {
                let mut sum = 0;
                let mut spot = at;
                loop {
                    let next = if rightward {
                        spot + 1
                    } else {
                        spot.wrapping_sub(1)
                    };
                    let Some(&other) = order.get(next) else { break };
                    let pair = if rightward {
                        (piece, other)
                    } else {
                        (other, piece)
                    };
                    if demands.contains(&pair) {
                        break;
                    }
                    sum += cost(pair.1, pair.0) - cost(pair.0, pair.1);
                    spot = next;
                    if sum < gain {
                        gain = sum;
                        best = spot;
                    }
                }
            }
            if best != at {
                order.remove(at);
                order.insert(best, piece);
                better = true;
            }
        }
        if !better {
            break;
        }
    }
    order
}

/// Left-edge assignment: each piece goes right of all earlier pieces it overlaps. Gives the number of tracks.
fn assign(routes: &mut Routes, order: &[usize]) -> usize {
    let mut tracks = 0;
    for (at, &piece) in order.iter().enumerate() {
        let (lo, hi) = (routes.pieces[piece].lo, routes.pieces[piece].hi);
        let track = order[..at]
            .iter()
            .map(|&other| &routes.pieces[other])
            .filter(|other| other.lo <= hi && lo <= other.hi)
            .map(|other| other.track + 1)
            .max()
            .unwrap_or(0);
        routes.pieces[piece].track = track;
        tracks = tracks.max(track + 1);
    }
    tracks
}
