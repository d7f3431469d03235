//! Series reduction: conductors one after the other, with nothing else at the nodes between them, are one conductor
//! whose resistance is their sum.
//!
//! Most nodes of a wiring plan lie inside such a run (wire, switch contact, wire, fuse, wire): left out of the system,
//! they cost nothing in any step, and their voltages follow from the current of the run. It is the elimination of
//! nodes whose branches are linear, done once per topology instead of once per step, as far as it makes no new couplings
//! (static condensation: Guyan, AIAA J. 3 (1965) 380; degree-two nodes first: Duff, Erisman and Reid, Direct Methods for
//! Sparse Matrices, chapter 7).

use super::OperatingPoint;
use crate::network::{Element, Network, NodeId};

/// A branch as part of a run.
#[derive(Debug, Clone, Copy)]
struct Member {
    /// The branch.
    branch: u32,
    /// Whether it lies against the run.
    against: bool,
    /// The node at its far end, seen along the run.
    node: NodeId,
}

/// What a run is in one state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// Open.
    Absent,
    /// It conducts.
    Passive,
    /// It is a source.
    Source,
}

/// The runs of a network: every branch is in one, most in one of their own.
#[derive(Debug, Clone, Default)]
pub(super) struct Runs {
    /// Nodes at the ends of each run: that of its first branch first.
    pub ends: Vec<(NodeId, NodeId)>,
    /// Members of each run: `starts[run]..starts[run + 1]` in `members`, in order.
    starts: Vec<u32>,
    members: Vec<Member>,
    /// Whether a node lies inside a run.
    pub inner: Vec<bool>,
}

impl Runs {
    /// Finds the runs among the conductors of `network`. Branches that lead nowhere or back to where they start are in
    /// none.
    pub fn new(network: &Network) -> Self {
        let n = network.nodes;
        let valid = valid_branches(network);
        let mut at: Vec<[u32; 2]> = vec![[0; 2]; n];
        let mut degree = vec![0_usize; n];
        let mut inner = vec![true; n];
        for &(i, from, to) in &valid {
            let element = &network.branches[i as usize].element;
            for node in [from as usize, to as usize] {
                if let Some(slot) = at[node].get_mut(degree[node]) {
                    *slot = i;
                }
                degree[node] += 1;
                inner[node] &= matches!(element, Element::Conductor { .. });
            }
        }
        for (node, inner) in inner.iter_mut().enumerate() {
            *inner &= degree[node] == 2 && node != network.datum as usize;
        }
        // A ring of nothing but such nodes has no end to start from: one of them becomes one.
        let mut runs = Self::default();
        let mut taken = vec![false; network.branches.len()];
        for rings in [false, true] {
            for &(i, from, to) in &valid {
                if taken[i as usize] || (inner[from as usize] && inner[to as usize] && !rings) {
                    continue;
                }
                let (start, mut node) = if inner[from as usize] && !rings {
                    (to, from)
                } else {
                    (from, to)
                };
                inner[start as usize] = false;
                runs.starts.push(runs.members.len() as u32);
                let mut branch = i;
                let mut tail = start;
                loop {
                    taken[branch as usize] = true;
                    runs.members.push(Member {
                        branch,
                        against: network.branches[branch as usize].from != tail,
                        node,
                    });
                    if !inner[node as usize] {
                        break;
                    }
                    let [a, b] = at[node as usize];
                    branch = if a == branch { b } else { a };
                    let next = &network.branches[branch as usize];
                    tail = node;
                    node = if next.from == node {
                        next.to
                    } else {
                        next.from
                    };
                }
                runs.ends.push((start, node));
            }
        }
        runs.starts.push(runs.members.len() as u32);
        runs.inner = inner;
        runs
    }

    /// Every branch in a run of its own.
    pub fn single(network: &Network) -> Self {
        let mut runs = Self {
            inner: vec![false; network.nodes],
            ..Self::default()
        };
        for (branch, from, to) in valid_branches(network) {
            runs.ends.push((from, to));
            runs.starts.push(runs.members.len() as u32);
            runs.members.push(Member {
                branch,
                against: false,
                node: to,
            });
        }
        runs.starts.push(runs.members.len() as u32);
        runs
    }

    /// Number of runs.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    fn members(&self, run: usize) -> &[Member] {
        &self.members[self.starts[run] as usize..self.starts[run + 1] as usize]
    }

    /// What each run is in `network`; `false` if one is no run of conductors any more.
    pub fn look(&self, network: &Network, found: &mut Vec<Found>) -> bool {
        found.clear();
        let mut fits = true;
        for bounds in self.starts.windows(2) {
            let members = &self.members[bounds[0] as usize..bounds[1] as usize];
            let single = members.len() == 1;
            let mut all = Found::Passive;
            for member in members {
                match network.branches.get(member.branch as usize) {
                    Some(branch) => match branch.element {
                        Element::Absent => all = Found::Absent,
                        Element::Conductor { .. } => {}
                        Element::Source { .. } | Element::Limited(_) if single => {
                            all = Found::Source;
                        }
                        _ => fits &= single,
                    },
                    None => all = Found::Absent,
                }
            }
            found.push(all);
        }
        fits
    }

    /// The law of a run that conducts.
    pub fn element(&self, network: &Network, run: usize) -> Element {
        match self.members(run) {
            [only] => network.branches[only.branch as usize].element,
            members => {
                let ohms = |member: &Member| match network.branches[member.branch as usize].element
                {
                    Element::Conductor { siemens } => 1.0 / siemens,
                    _ => 0.0,
                };
                Element::Conductor {
                    siemens: 1.0 / members.iter().map(ohms).sum::<f64>(),
                }
            }
        }
    }

    /// Volts without load of a run that is a source, else none.
    pub fn emf(&self, network: &Network, run: usize) -> f64 {
        match self.members(run) {
            [only] => (network.branches.get(only.branch as usize))
                .and_then(|branch| branch.element.open_volts())
                .unwrap_or(0.0),
            _ => 0.0,
        }
    }

    /// Hands the current of every run to its branches, and the voltages of its ends on to the nodes inside.
    pub fn report(
        &self,
        network: &Network,
        live: &[bool],
        amps: &[f64],
        point: &mut OperatingPoint,
    ) {
        point.amps.clear();
        point.amps.resize(network.branches.len(), 0.0);
        for (run, &(start, end)) in self.ends.iter().enumerate() {
            let members = self.members(run);
            if live[run] {
                for member in members {
                    let along = amps[run];
                    point.amps[member.branch as usize] =
                        if member.against { -along } else { along };
                }
            }
            let [inside @ .., _] = members else { continue };
            if inside.is_empty() {
                continue;
            }
            let mut volts = point.volts[start as usize];
            let mut floating = point.floating[start as usize];
            let siemens = |member: &Member| match network.branches.get(member.branch as usize) {
                Some(branch) => match branch.element {
                    Element::Conductor { siemens } => Some(siemens),
                    _ => None,
                },
                None => None,
            };
            for member in inside {
                match siemens(member) {
                    Some(siemens) if live[run] => volts -= amps[run] / siemens,
                    Some(_) => {}
                    // What lies beyond an open branch hangs in the air, unless the other end holds it.
                    None => (volts, floating) = (0.0, true),
                }
                point.volts[member.node as usize] = volts;
                point.floating[member.node as usize] = floating;
            }
            if live[run] {
                continue;
            }
            let (volts, floating) = (point.volts[end as usize], point.floating[end as usize]);
            for at in (1..members.len()).rev() {
                if siemens(&members[at]).is_none() {
                    break;
                }
                let node = members[at - 1].node as usize;
                (point.volts[node], point.floating[node]) = (volts, floating);
            }
        }
    }
}

/// Branches with two different ends inside the network, with these.
fn valid_branches(network: &Network) -> Vec<(u32, NodeId, NodeId)> {
    let inside = |node: NodeId| (node as usize) < network.nodes;
    (0..)
        .zip(&network.branches)
        .filter(|(_, b)| inside(b.from) && inside(b.to) && b.from != b.to)
        .map(|(i, b)| (i, b.from, b.to))
        .collect()
}
