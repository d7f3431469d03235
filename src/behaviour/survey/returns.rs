//! Which lamps are switched in their feed, which in their return, and where a switched return couples them.
//!
//! While a contact between lamps and ground is open, what hangs on it together is joined: current may leave one
//! lamp through another, against its direction, and go to ground through a third. Found in the graph alone.

use super::Scene;
use super::wiring::{Leads, Reach, Way};
use crate::circuit::{Gate, Origin};
use crate::network::NodeId;
use crate::units::order::OrdSet;

/// Most loads on one common point among which a way back is looked for.
const MAX_LOADS: usize = 32;

/// How the lamps of a plan are switched.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LampSwitching {
    /// Lamps switched between them and ground.
    pub in_return: Vec<SwitchedLamps>,
    /// Lamp circuits (by index) switched in their feed by contacts that not all lamps share, with the parts that do it.
    pub in_feed: Vec<(usize, Vec<usize>)>,
}

/// Lamps that share a switched return.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchedLamps {
    /// Parts (by index) whose contacts lead from the common point to ground.
    pub contacts: Vec<usize>,
    /// Lamp circuits (by index) that end on the common point.
    pub lamps: Vec<usize>,
    /// A way the current may take while the contacts are open.
    pub detour: Option<Detour>,
}

/// A back-feed path through the common point, each part by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Detour {
    /// Where the current comes from: through this part to the common point.
    pub enters: usize,
    /// Where it leaves the common point, against the intended direction.
    pub leaves: usize,
    /// Where it then finds ground.
    pub ends: usize,
}

/// How the lamps are switched.
pub(super) fn switching(scene: &Scene<'_>) -> LampSwitching {
    // A master switch before every lamp tells none of them apart.
    let masters = scene.masters();
    let feeds = scene.feed_contacts();
    let own = feeds.iter().enumerate().map(|(lamp, contacts)| {
        let own: Vec<usize> = contacts.difference(&masters).copied().collect();
        (lamp, own)
    });
    LampSwitching {
        in_return: scene.switched_returns(),
        in_feed: own.filter(|(_, contacts)| !contacts.is_empty()).collect(),
    }
}

impl Scene<'_> {
    /// For each lamp circuit the parts whose contacts stand between the sources and it.
    fn feed_contacts(&self) -> Vec<OrdSet<usize>> {
        let lamps = 0..self.circuit.lamps.len();
        lamps
            .map(|lamp| self.contacts_before(self.lamp_ends(lamp).0))
            .collect()
    }

    /// Master switches: parts without whose contacts the first source lights no lamp, whatever else is closed.
    pub(super) fn masters(&self) -> OrdSet<usize> {
        let first = self.with_converters(self.first_source());
        let lit_without = |part: Option<usize>| {
            let closed = |i: usize| part.is_none() || self.contact(i) != part;
            let closed: Vec<bool> = (0..self.circuit.branches.len()).map(closed).collect();
            let reach = self.live(&first, &closed);
            (0..self.circuit.lamps.len()).any(|lamp| reach.has(self.lamp_ends(lamp).0))
        };
        if !lit_without(None) {
            return OrdSet::new();
        }
        let contacts = (0..self.circuit.branches.len()).filter_map(|i| self.contact(i));
        let contacts: OrdSet<usize> = contacts.collect();
        contacts
            .into_iter()
            .filter(|&part| !lit_without(Some(part)))
            .collect()
    }

    /// Supply end and return end of a lamp circuit.
    fn lamp_ends(&self, lamp: usize) -> (NodeId, NodeId) {
        let b = &self.circuit.branches[self.circuit.lamps[lamp].branch];
        if self.wiring.returns[b.from as usize] && !self.wiring.returns[b.to as usize] {
            (b.to, b.from)
        } else {
            (b.from, b.to)
        }
    }

    /// Part of a branch that a control or a relay opens.
    fn contact(&self, branch: usize) -> Option<usize> {
        let b = &self.circuit.branches[branch];
        match (b.gate, b.origin) {
            (Gate::Control { .. } | Gate::Relay { .. }, Origin::Part { part, .. }) => Some(part),
            _ => None,
        }
    }

    /// Nodes from which current is meant to come to a node.
    fn upstream(&self, node: NodeId) -> Reach {
        let (circuit, intended) = (&self.circuit, &self.wiring.intended);
        self.wiring
            .search_by(circuit, &[node], Way::Up, intended, |_| true)
    }

    /// Parts whose contacts stand between the sources and a node.
    fn contacts_before(&self, node: NodeId) -> OrdSet<usize> {
        let upstream = self.upstream(node);
        let within = |i: &usize| {
            let b = &self.circuit.branches[*i];
            upstream.has(b.from) && upstream.has(b.to)
        };
        (0..self.circuit.branches.len())
            .filter(within)
            .filter_map(|i| self.contact(i))
            .collect()
    }

    fn switched_returns(&self) -> Vec<SwitchedLamps> {
        let nodes = self.circuit.nodes;
        let mut seen = vec![false; nodes];
        let mut found = Vec::new();
        for node in 0..nodes {
            if seen[node] || !self.wiring.returns[node] || self.wiring.ground[node] {
                continue;
            }
            let common = self.joined(node as NodeId);
            for (seen, &joined) in seen.iter_mut().zip(&common) {
                *seen |= joined;
            }
            let inside = |n: NodeId| common[n as usize];
            let contacts: OrdSet<usize> = (0..self.circuit.branches.len())
                .filter(|&i| {
                    let b = &self.circuit.branches[i];
                    inside(b.from) != inside(b.to)
                })
                .filter_map(|i| self.contact(i))
                .collect();
            let lamps: Vec<usize> = (0..self.circuit.lamps.len())
                .filter(|&lamp| inside(self.lamp_ends(lamp).1))
                .collect();
            if !contacts.is_empty() && !lamps.is_empty() {
                found.push(SwitchedLamps {
                    contacts: contacts.into_iter().collect(),
                    lamps,
                    detour: self.detour(&common),
                });
            }
        }
        found
    }

    /// Nodes joined to one in every position of the switches.
    fn joined(&self, node: NodeId) -> Vec<bool> {
        let always = |i: usize| {
            self.wiring.leads[i] == Leads::Both && self.circuit.branches[i].gate == Gate::Always
        };
        let reach = self
            .wiring
            .search(&self.circuit, &[node], Way::Down, always);
        (0..self.circuit.nodes)
            .map(|n| reach.has(n as NodeId))
            .collect()
    }

    /// A way from one load on the common point through another one to ground elsewhere.
    fn detour(&self, common: &[bool]) -> Option<Detour> {
        let inside = |n: NodeId| common[n as usize];
        // What uses current and has one end on the common point: its part, other end, and whether current can leave
        // the common point through it.
        let mut loads = Vec::new();
        for (i, b) in self.circuit.branches.iter().enumerate() {
            let Origin::Part { part, .. } = b.origin else {
                continue;
            };
            if self.wiring.leads[i] != Leads::Not || b.is_source() || inside(b.from) == inside(b.to)
            {
                continue;
            }
            let (far, both_ways) = if inside(b.from) {
                (b.to, true)
            } else {
                (b.from, !b.is_one_way())
            };
            loads.push((i, part, far, both_ways));
        }
        loads.truncate(MAX_LOADS);
        // Where each load is fed from: that must be able to be live while another one's feed is not.
        let live: Vec<Reach> = loads.iter().map(|load| self.upstream(load.2)).collect();
        for &(leaving, leaves, node, both_ways) in &loads {
            if !both_ways || self.wiring.ground[node as usize] {
                continue;
            }
            for (&(entering, enters, far, _), live) in loads.iter().zip(&live) {
                if entering == leaving || !self.wiring.supply[far as usize] || live.has(node) {
                    continue;
                }
                if let Some(ends) = self.ground_beyond(node, live, common) {
                    return Some(Detour {
                        enters,
                        leaves,
                        ends,
                    });
                }
            }
        }
        None
    }

    /// A part by which current finds ground from a node, apart from what `live` feeds and from the common point.
    fn ground_beyond(&self, node: NodeId, live: &Reach, common: &[bool]) -> Option<usize> {
        let apart = |i: usize| {
            let b = &self.circuit.branches[i];
            !live.has(b.from) && !live.has(b.to)
        };
        let onward = self.wiring.search(&self.circuit, &[node], Way::Down, apart);
        self.circuit.branches.iter().enumerate().find_map(|(i, b)| {
            let Origin::Part { part, .. } = b.origin else {
                return None;
            };
            let elsewhere = !common[b.from as usize] && !common[b.to as usize] && !b.is_source();
            let to_ground = onward.has(b.from) && self.wiring.returns[b.to as usize];
            (self.wiring.leads[i] == Leads::Not && elsewhere && to_ground).then_some(part)
        })
    }
}
