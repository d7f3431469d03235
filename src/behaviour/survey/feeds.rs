//! Who is fed through which fuse: circuits that stay live when their fuse is pulled, loads that two fuses feed.
//!
//! Searches of the graph alone. What may happen is first looked for with every contact closed; only for that are
//! the states gone through, from rest on, until one shows it.

use super::wiring::{Leads, Reach, Way, conducting};
use super::{MAX_SEARCHES, Scene, Survey};
use crate::circuit::{Gate, Origin};
use crate::network::NodeId;
use crate::plan::Kind;
use crate::units::order::{OrdMap, OrdSet};

/// A fuse in the network.
#[derive(Debug, Clone, Copy)]
pub(super) struct FuseBranch {
    /// Index of its part.
    pub part: usize,
    /// Its branch.
    pub branch: usize,
    /// The end that is dead once it is pulled; where both stay live, the one called `2`.
    pub load: NodeId,
}

/// A fuse whose circuit stays live when it is pulled.
#[derive(Debug, Clone, PartialEq)]
pub struct Tie {
    /// Index of the fuse.
    pub fuse: usize,
    /// Index of the last fuse on the way that keeps it live; `None` when no fuse is on it.
    pub other: Option<usize>,
    /// Row and phase of the first state that shows it.
    pub at: (usize, usize),
    /// Whether the way leads through a diode, so that the other circuit is not fed back.
    pub one_way: bool,
    /// The way from the source to the load end of the fuse.
    pub way: Vec<Origin>,
}

/// Loads that two fuses feed at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// Indices of the fuses.
    pub fuses: [usize; 2],
    /// Parts (by index) that both feed.
    pub loads: Vec<usize>,
    /// Row and phase of the first state that shows it.
    pub at: (usize, usize),
}

/// The fuses of a plan.
pub(super) fn fuses(scene: &Scene<'_>) -> Vec<FuseBranch> {
    let branches = scene.circuit.branches.iter().enumerate();
    let fuse = branches.filter_map(|(i, b)| match b.origin {
        Origin::Part { part, .. } if matches!(scene.plan.parts[part].kind, Kind::Fuse(_)) => {
            // With the contacts open where that tells the ends apart, else with all of them closed.
            let always = |k: usize| scene.circuit.branches[k].gate == Gate::Always;
            let ends = [
                scene.live_without(i, always),
                scene.live_without(i, |_| true),
            ]
            .map(|live| (live.has(b.from), live.has(b.to)));
            let told = ends.into_iter().find(|(from, to)| from != to);
            let load = if told == Some((false, true)) {
                b.from
            } else {
                b.to
            };
            Some(FuseBranch {
                part,
                branch: i,
                load,
            })
        }
        _ => None,
    });
    fuse.collect()
}

impl Scene<'_> {
    /// What is live with a branch taken out.
    fn live_without(&self, branch: usize, passes: impl Fn(usize) -> bool) -> Reach {
        let sources = self.circuit.branches.iter().enumerate();
        let works = |i: usize| self.circuit.branches[i].gate == Gate::Always || passes(i);
        let starts: Vec<NodeId> = sources
            .filter(|(i, b)| b.is_source() && works(*i))
            .map(|(_, b)| b.from)
            .collect();
        let passes = |i: usize| i != branch && passes(i);
        self.wiring
            .search(&self.circuit, &starts, Way::Down, passes)
    }

    /// What a fuse feeds, other fuses apart.
    pub(super) fn behind(&self, fuse: &FuseBranch, passes: impl Fn(usize) -> bool) -> Reach {
        let is_fuse = |i: usize| self.fuses.iter().any(|f| f.branch == i);
        let passes = |i: usize| !is_fuse(i) && passes(i);
        self.wiring
            .search(&self.circuit, &[fuse.load], Way::Down, passes)
    }

    /// How a fuse's circuit stays live without it, if it does.
    fn tie(&self, fuse: &FuseBranch, at: (usize, usize), conducts: &[bool]) -> Option<Tie> {
        let live = self.live_without(fuse.branch, |i| conducts[i]);
        let b = &self.circuit.branches[fuse.branch];
        let supply = if fuse.load == b.to { b.from } else { b.to };
        // A fuse between two sources is live at both ends by its nature: each end must be fed by the same one.
        let first = |node| live.way(node).first().copied();
        let same =
            first(supply).map(|i| self.source_at(i)) == first(fuse.load).map(|i| self.source_at(i));
        if !live.has(fuse.load) || !live.has(supply) || (self.wiring.sources.len() > 1 && !same) {
            return None;
        }
        let way = live.way(fuse.load);
        let fuse_at = |i: &usize| self.fuses.iter().find(|f| f.branch == *i);
        Some(Tie {
            fuse: fuse.part,
            other: way.iter().rev().find_map(fuse_at).map(|f| f.part),
            at,
            one_way: way.iter().any(|&i| self.wiring.leads[i] == Leads::Along),
            way: way
                .iter()
                .map(|&i| self.circuit.branches[i].origin)
                .collect(),
        })
    }

    /// The positive end of a source at which a branch ends.
    fn source_at(&self, branch: usize) -> Option<NodeId> {
        let b = &self.circuit.branches[branch];
        let is_source = |node: &&NodeId| **node == b.from || **node == b.to;
        self.wiring.sources.iter().find(is_source).copied()
    }

    /// Parts that use current and whose supply end is among these nodes.
    pub(super) fn loads(&self, of: impl Fn(NodeId) -> bool) -> Vec<usize> {
        let branches = self.circuit.branches.iter().enumerate();
        let mut parts: Vec<usize> = branches
            .filter(|&(i, b)| self.wiring.leads[i] == Leads::Not && !b.is_source() && of(b.from))
            .filter_map(|(_, b)| match b.origin {
                Origin::Part { part, .. } => Some(part),
                Origin::Wire(_) => None,
            })
            .collect();
        parts.dedup();
        parts
    }
}

impl Survey {
    pub(super) fn feeds(&mut self, scene: &Scene<'_>) {
        let closed = vec![true; scene.circuit.branches.len()];
        let mut open: Vec<&FuseBranch> = scene
            .fuses
            .iter()
            .filter(|fuse| scene.tie(fuse, (0, 0), &closed).is_some())
            .collect();
        let behind: Vec<Reach> = scene
            .fuses
            .iter()
            .map(|fuse| scene.behind(fuse, |_| true))
            .collect();
        let mut pairs: OrdSet<[usize; 2]> = OrdSet::new();
        for (i, b) in scene.circuit.branches.iter().enumerate() {
            if scene.wiring.leads[i] != Leads::Not || b.is_source() {
                continue;
            }
            let feeds: Vec<usize> = (0..behind.len())
                .filter(|&fuse| behind[fuse].has(b.from))
                .collect();
            for (k, &second) in feeds.iter().enumerate() {
                pairs.extend(feeds[..k].iter().map(|&first| [first, second]));
            }
        }
        let mut searches = 0;
        let states = (0..scene.table.rows.len()).flat_map(|row| [(row, 0), (row, 1)]);
        for (row, phase) in states {
            if (open.is_empty() && pairs.is_empty()) || searches > MAX_SEARCHES {
                break;
            }
            let solved = &scene.table.rows[row];
            if phase == 1 && solved.flashers.iter().all(|run| run.per_minute <= 0.0) {
                continue;
            }
            let conducts = conducting(&scene.circuit, solved, phase);
            searches += open.len();
            open.retain(|fuse| match scene.tie(fuse, (row, phase), &conducts) {
                Some(tie) => {
                    self.ties.push(tie);
                    false
                }
                None => true,
            });
            let mut known: OrdMap<usize, Reach> = OrdMap::new();
            for &fuse in pairs.iter().flatten() {
                known.entry(fuse).or_insert_with(|| {
                    searches += 1;
                    scene.behind(&scene.fuses[fuse], |i| conducts[i])
                });
            }
            pairs.retain(|&[a, b]| {
                let reached = |n| {
                    [a, b]
                        .iter()
                        .all(|fuse| known.get(fuse).is_some_and(|reach| reach.has(n)))
                };
                let loads = scene.loads(reached);
                if loads.is_empty() {
                    return true;
                }
                self.shared.push(Shared {
                    fuses: [a, b].map(|fuse| scene.fuses[fuse].part),
                    loads,
                    at: (row, phase),
                });
                false
            });
        }
        // Loads behind fuses that are tied are told of with the tie.
        let ties = &self.ties;
        let tied = |[a, b]: [usize; 2]| {
            ties.iter()
                .any(|tie| [(a, b), (b, a)].contains(&(tie.fuse, tie.other.unwrap_or(usize::MAX))))
        };
        self.shared.retain(|shared| !tied(shared.fuses));
    }
}
