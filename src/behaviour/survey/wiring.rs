//! What only leads current on, and what of it belongs to the supply and to the return.
//!
//! Wires, contacts, fuses, connections and ground points lead current on both ways, diodes one way; lamps, loads,
//! coils, resistors and sources do not. Breadth-first search over the former answers who is fed from where, in any
//! position of the switches or in one state.

use crate::behaviour::{Peaks, Row};
use crate::circuit::{Circuit, Gate, Origin, Switching};
use crate::network::NodeId;
use crate::plan::{Kind, Plan};
use std::collections::VecDeque;

/// How a branch leads current on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Leads {
    /// Not at all: it uses the current or makes it.
    Not,
    /// Both ways.
    Both,
    /// Only from its `from` to its `to`.
    Along,
    /// Only from its `to` to its `from`.
    Against,
}

/// Which way a search goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// With the current, away from the supply.
    Down,
    /// Against it.
    Up,
}

/// Nodes met by a search.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    met: Vec<bool>,
    /// Branch by which each node was met first, and the node before it.
    by: Vec<Option<(usize, NodeId)>>,
}

impl Reach {
    /// Whether a node was met.
    pub fn has(&self, node: NodeId) -> bool {
        self.met.get(node as usize).copied().unwrap_or(false)
    }

    /// The node the search met this one from at first: a start.
    pub fn start(&self, mut node: NodeId) -> NodeId {
        while let Some((_, before)) = self.by.get(node as usize).copied().flatten() {
            node = before;
        }
        node
    }

    /// Branches from the start of the search to a node it met.
    pub fn way(&self, mut node: NodeId) -> Vec<usize> {
        let mut way = Vec::new();
        while let Some((branch, before)) = self.by.get(node as usize).copied().flatten() {
            way.push(branch);
            node = before;
        }
        way.reverse();
        way
    }
}

/// The wiring of a plan.
#[derive(Debug, Clone)]
pub(super) struct Wiring {
    /// How each branch leads on.
    pub leads: Vec<Leads>,
    /// How it is meant to: wires, switches and flashers from their supply end to their load end. A wire that only ever
    /// runs the other way is taken for one whose ends were entered in the wrong order.
    pub intended: Vec<Leads>,
    /// How it leads on when loads, coils and resistors count too.
    pub anything: Vec<Leads>,
    /// Branches at each node.
    near: Vec<Vec<usize>>,
    /// Positive ends of the sources.
    pub sources: Vec<NodeId>,
    /// Battery negative and the negative ends of the other sources, but for those in series on top of another.
    pub sinks: Vec<NodeId>,
    /// Joined to a source's positive end in every position of the switches.
    pub trunk: Vec<bool>,
    /// Joined to a source's negative end in every position.
    pub ground: Vec<bool>,
    /// Joined to a source's positive end in some position.
    pub supply: Vec<bool>,
    /// Joined to a source's negative end in some position, and never to a positive end.
    pub returns: Vec<bool>,
}

impl Wiring {
    pub fn new(plan: &Plan, circuit: &Circuit, peaks: &[Peaks]) -> Self {
        let mut near = vec![Vec::new(); circuit.nodes];
        for (i, branch) in circuit.branches.iter().enumerate() {
            for end in [branch.from, branch.to] {
                if let Some(at) = near.get_mut(end as usize) {
                    at.push(i);
                }
            }
        }
        let sources = circuit.branches.iter().filter(|b| b.is_source());
        let leads: Vec<Leads> = circuit
            .branches
            .iter()
            .map(|b| leads(plan, b.origin))
            .collect();
        let intended = leads
            .iter()
            .zip(circuit.branches.iter().zip(peaks))
            .map(|(&leads, (b, peaks))| intended(plan, leads, b.origin, peaks))
            .collect();
        let anything = circuit.branches.iter().map(|b| match b {
            b if b.is_source() => Leads::Not,
            b if b.is_one_way() => Leads::Along,
            _ => Leads::Both,
        });
        let mut wiring = Self {
            leads,
            intended,
            anything: anything.collect(),
            near,
            sources: sources.map(|b| b.from).collect(),
            sinks: Vec::new(),
            trunk: Vec::new(),
            ground: Vec::new(),
            supply: Vec::new(),
            returns: Vec::new(),
        };
        let always =
            |i: usize| circuit.branches[i].gate == Gate::Always && wiring.leads[i] == Leads::Both;
        let trunk = wiring.search(circuit, &wiring.sources, Way::Down, always);
        let sinks = circuit.branches.iter().filter(|b| b.is_source());
        let sinks = sinks.map(|b| b.to).filter(|&node| !trunk.has(node));
        let sinks: Vec<NodeId> = [circuit.datum].into_iter().chain(sinks).collect();
        let ground = wiring.search(circuit, &sinks, Way::Up, always);
        // Over any contact, but not beyond what is joined to the other side for good: else a changeover contact
        // between both sides would make one of them.
        let ends = |i: usize| [circuit.branches[i].from, circuit.branches[i].to];
        let to_supply = |i: usize| !ends(i).iter().any(|&n| ground.has(n));
        let supply = wiring.search(circuit, &wiring.sources, Way::Down, to_supply);
        let to_return = |i: usize| !ends(i).iter().any(|&n| supply.has(n));
        let returns = wiring.search(circuit, &sinks, Way::Up, to_return);
        wiring.sinks = sinks;
        (wiring.trunk, wiring.ground) = (trunk.met, ground.met);
        (wiring.supply, wiring.returns) = (supply.met, returns.met);
        wiring
    }

    /// Branches at a node.
    pub fn at(&self, node: NodeId) -> &[usize] {
        self.near.get(node as usize).map_or(&[], Vec::as_slice)
    }

    /// Nodes that can be reached from `starts` over branches that `passes` lets through.
    pub fn search(
        &self,
        circuit: &Circuit,
        starts: &[NodeId],
        way: Way,
        passes: impl Fn(usize) -> bool,
    ) -> Reach {
        self.search_by(circuit, starts, way, &self.leads, passes)
    }

    /// The same with branches that lead on as said.
    pub fn search_by(
        &self,
        circuit: &Circuit,
        starts: &[NodeId],
        way: Way,
        leads: &[Leads],
        passes: impl Fn(usize) -> bool,
    ) -> Reach {
        let mut reach = Reach {
            met: vec![false; circuit.nodes],
            by: vec![None; circuit.nodes],
        };
        let mut queue = VecDeque::new();
        for &start in starts {
            if let Some(met) = reach.met.get_mut(start as usize) {
                *met = true;
                queue.push_back(start);
            }
        }
        while let Some(node) = queue.pop_front() {
            for &i in self.at(node) {
                let branch = &circuit.branches[i];
                let from_start = branch.from == node;
                let other = if from_start { branch.to } else { branch.from };
                let goes = match leads[i] {
                    Leads::Not => false,
                    Leads::Both => true,
                    Leads::Along => from_start == (way == Way::Down),
                    Leads::Against => from_start == (way == Way::Up),
                };
                if !goes {
                    continue;
                }
                if !reach.met[other as usize] && passes(i) {
                    reach.met[other as usize] = true;
                    reach.by[other as usize] = Some((i, node));
                    queue.push_back(other);
                }
            }
        }
        reach
    }
}

fn leads(plan: &Plan, origin: Origin) -> Leads {
    let Origin::Part { part, branch } = origin else {
        return Leads::Both;
    };
    match plan.parts.get(part).map(|part| &part.kind) {
        Some(
            Kind::Fuse(_)
            | Kind::Switch(_)
            | Kind::Flasher(_)
            | Kind::Connector(_)
            | Kind::Ground(_),
        ) => Leads::Both,
        // Branch 0 of a relay is its coil.
        Some(Kind::Relay(_)) if branch > 0 => Leads::Both,
        Some(Kind::Diode(_)) => Leads::Along,
        _ => Leads::Not,
    }
}

fn intended(plan: &Plan, leads: Leads, origin: Origin, peaks: &Peaks) -> Leads {
    let Origin::Part { part, .. } = origin else {
        return if peaks.only_backward() {
            Leads::Against
        } else {
            Leads::Along
        };
    };
    // Of the parts only switches and flashers have a supply end in every use: the common contact of a relay is input
    // here and output there, and returns pass a connector or a ground point from either end. A resistor is put
    // there to lead current on.
    match plan.parts[part].kind {
        Kind::Switch(_) | Kind::Flasher(_) => Leads::Along,
        Kind::Resistor(_) => Leads::Both,
        _ => leads,
    }
}

/// Which branches conduct in a row of the table, in a phase.
pub(super) fn conducting(circuit: &Circuit, row: &Row, phase: usize) -> Vec<bool> {
    let relays: Vec<bool> = row.relays.iter().map(|run| run.pulled[phase]).collect();
    let shut = |run: &crate::behaviour::FlasherRun| phase == 0 || run.per_minute <= 0.0;
    let flashers: Vec<bool> = row.flashers.iter().map(shut).collect();
    let switching = Switching {
        state: &row.state,
        relays: &relays,
        flashers: &flashers,
    };
    circuit
        .branches
        .iter()
        .map(|branch| circuit.conducts(branch, switching))
        .collect()
}
