//! Splits the controls of a large plan into groups that act on lamps of their own.
//!
//! Take away the ground side and the supply trunk, and what is left falls into lanes (connected components);
//! a branch behind which a large lane falls apart, such as a master switch or a flasher, makes the trunk longer
//! instead. A lamp then depends on the controls of its lane, those on the way to it, and those its wishes
//! name. Other lanes reach it only through the resistance of the trunk: the more they take, the less it
//! gets, and never the other way round. So every state of a group is solved twice, with all other controls at
//! rest and with all of them at their heaviest: what holds in both holds in between.

use crate::circuit::{Circuit, Gate, Lowered, State, all_states, state_count};
use crate::network::NodeId;
use crate::plan::{ControlId, Plan};
use crate::units::order::{OrdMap, OrdSet, Order};
use petgraph::unionfind::UnionFind;

/// A lane with no more controls than this is not worth splitting further.
const SMALL: usize = 6;

/// Controls that belong together.
type Controls = OrdSet<usize>;

/// The groups of a plan; `None` if one of them alone has more than `limit` states.
pub(super) fn states(plan: &Plan, circuit: &Circuit, limit: usize) -> Option<(usize, Vec<State>)> {
    let positions = &circuit.positions;
    let groups = groups(plan, circuit);
    let sized = |group: &Controls| group.iter().map(|&c| positions[c]).collect::<Vec<_>>();
    let total: u128 = groups
        .iter()
        .map(|group| 2 * state_count(&sized(group)))
        .sum();
    if total > limit as u128 {
        return None;
    }
    let rest = State::at_rest(positions.len());
    let heaviest = heaviest(circuit);
    let mut states = OrdSet::from([rest.clone(), heaviest.clone()]);
    for group in &groups {
        for state in all_states(&sized(group), limit)? {
            for others in [&rest, &heaviest] {
                let mut all = others.clone();
                for (&control, &position) in group.iter().zip(&state.0) {
                    all.0[control] = position;
                }
                states.insert(all);
            }
        }
    }
    let mut states: Vec<State> = states.into_iter().collect();
    states.order_by_key(State::moved);
    Some((groups.len(), states))
}

/// Every control in the position that closes most of its contacts.
fn heaviest(circuit: &Circuit) -> State {
    let closed = |control: usize, position: usize| {
        let closes = |gate: Gate| matches!(gate, Gate::Control { control: c, positions } if c == control && positions >> position & 1 == 1);
        circuit
            .branches
            .iter()
            .filter(|branch| closes(branch.gate))
            .count()
    };
    let choose = |(control, &n): (usize, &usize)| {
        let best = (0..n.min(64)).max_by_key(|&p| (closed(control, p), core::cmp::Reverse(p)));
        best.unwrap_or(0) as u8
    };
    State(circuit.positions.iter().enumerate().map(choose).collect())
}

fn groups(plan: &Plan, circuit: &Circuit) -> Vec<Controls> {
    let mut trunk = Trunk::new(circuit);
    while trunk.lengthen() {}
    // A charger that comes and goes lifts the volts of every lane.
    let runs: Controls = circuit
        .branches
        .iter()
        .filter(|branch| branch.is_source())
        .filter_map(|branch| match branch.gate {
            Gate::Control { control, .. } => Some(control),
            _ => None,
        })
        .collect();
    let mut groups: OrdSet<Controls> = OrdSet::new();
    for lane in trunk.lanes().values() {
        let mut group = lane.controls.clone();
        group.extend(&runs);
        for wish in &plan.wishes {
            let speaks = |&lamp: &usize| wish.lamps.contains(&circuit.lamps[lamp].id);
            if lane.lamps.iter().any(speaks) {
                let index =
                    |id: &ControlId| plan.controls.iter().position(|control| control.id == *id);
                group.extend(wish.when.keys().filter_map(index));
            }
        }
        groups.insert(group);
    }
    // A group within another needs no rows of its own.
    let all: Vec<Controls> = groups.into_iter().collect();
    let within = |a: &Controls| all.iter().any(|b| a != b && a.is_subset(b));
    all.iter().filter(|group| !within(group)).cloned().collect()
}

/// A part of the circuit that hangs between trunk and ground side.
#[derive(Debug, Default)]
struct Lane {
    controls: Controls,
    lamps: Vec<usize>,
    /// Branches that join it to the trunk.
    feeds: Vec<usize>,
}

#[derive(Debug, Clone)]
struct Trunk<'a> {
    circuit: &'a Circuit,
    ground: Vec<bool>,
    /// Controls on the way from the battery to each node of the trunk; `None` off the trunk.
    reached: Vec<Option<Controls>>,
}

impl<'a> Trunk<'a> {
    fn new(circuit: &'a Circuit) -> Self {
        let ground = circuit.joined_to(circuit.datum);
        let mut trunk = Self {
            circuit,
            ground,
            reached: vec![None; circuit.nodes],
        };
        for branch in circuit.branches.iter().filter(|branch| branch.is_source()) {
            if !matches!(branch.gate, Gate::Relay { .. }) {
                trunk.extend(branch.from, &Controls::new());
            }
        }
        trunk.converters();
        trunk
    }

    /// Controls on the way to the coil of a relay or the input of a converter; `None` where that is off the trunk.
    fn coil(&self, relay: usize) -> Option<&Controls> {
        let coil = &self.circuit.branches[self.circuit.relays[relay].branch];
        let at = |node: NodeId| self.reached[node as usize].as_ref();
        at(coil.from).or_else(|| at(coil.to))
    }

    /// The output of a converter whose input is on the trunk is trunk too, with the controls of its input, and its
    /// negative is ground side.
    fn converters(&mut self) {
        let outputs = |b: &&Lowered| b.is_source();
        for _ in 0..self.circuit.relays.len() {
            for output in self.circuit.branches.iter().filter(outputs) {
                if let Gate::Relay { relay, .. } = output.gate
                    && let Some(controls) = self.coil(relay).cloned()
                {
                    let minus = self.circuit.joined_to(output.to);
                    for (node, ground) in self.ground.iter_mut().enumerate() {
                        *ground |= minus[node] && self.reached[node].is_none();
                    }
                    self.extend(output.from, &controls);
                }
            }
        }
    }

    /// Takes a node and all that is joined to it into the trunk.
    fn extend(&mut self, start: NodeId, controls: &Controls) {
        let joined = self.circuit.joined_to(start);
        for (node, reached) in self.reached.iter_mut().enumerate() {
            if joined[node] && !self.ground[node] && reached.is_none() {
                *reached = Some(controls.clone());
            }
        }
    }

    fn lanes(&self) -> OrdMap<usize, Lane> {
        let off =
            |node: NodeId| !self.ground[node as usize] && self.reached[node as usize].is_none();
        let mut joined = UnionFind::<usize>::new(self.circuit.nodes);
        for b in &self.circuit.branches {
            if off(b.from) && off(b.to) {
                joined.union(b.from as usize, b.to as usize);
            }
        }
        // A relay's contacts follow its coil: they make one lane.
        for relay in 0..self.circuit.relays.len() {
            let coil = self.circuit.relays[relay].branch;
            let contacts = self.circuit.branches.iter().enumerate().filter(|(i, b)| {
                *i == coil || matches!(b.gate, Gate::Relay { relay: r, .. } if r == relay)
            });
            let ends = contacts
                .flat_map(|(_, b)| [b.from, b.to])
                .filter(|&node| off(node));
            let ends: Vec<usize> = ends.map(|node| node as usize).collect();
            for pair in ends.windows(2) {
                joined.union(pair[0], pair[1]);
            }
        }
        let mut lanes: OrdMap<usize, Lane> = OrdMap::new();
        for (i, b) in self.circuit.branches.iter().enumerate() {
            let Some(node) = [b.from, b.to].into_iter().find(|&node| off(node)) else {
                continue;
            };
            let lane = lanes.entry(joined.find(node as usize)).or_default();
            match b.gate {
                Gate::Control { control, .. } => drop(lane.controls.insert(control)),
                Gate::Relay { relay, .. } => {
                    lane.controls.extend(self.coil(relay).into_iter().flatten())
                }
                _ => {}
            }
            for end in [b.from, b.to] {
                if let Some(controls) = &self.reached[end as usize] {
                    lane.controls.extend(controls);
                    lane.feeds.push(i);
                }
            }
            let lamps = self.circuit.lamps.iter().enumerate();
            lane.lamps.extend(
                lamps
                    .filter(|(_, lamp)| lamp.branch == i)
                    .map(|(lamp, _)| lamp),
            );
        }
        lanes
    }

    /// Takes into the trunk a branch behind which a large lane falls apart; whether there was one.
    fn lengthen(&mut self) -> bool {
        let lanes = self.lanes();
        for lane in lanes.values().filter(|lane| lane.controls.len() > SMALL) {
            for &feed in &lane.feeds {
                // What lies behind a relay's contact follows all that its coil follows.
                if matches!(self.circuit.branches[feed].gate, Gate::Relay { .. }) {
                    continue;
                }
                let mut longer = self.clone();
                longer.take(feed);
                if longer.lanes().len() > lanes.len() {
                    *self = longer;
                    return true;
                }
            }
        }
        false
    }

    /// Takes a branch that joins the trunk, and what conducts on its other side, into the trunk.
    fn take(&mut self, feed: usize) {
        let branch = &self.circuit.branches[feed];
        let (near, far) = match self.reached[branch.from as usize] {
            Some(_) => (branch.from, branch.to),
            None => (branch.to, branch.from),
        };
        let mut controls = self.reached[near as usize].clone().unwrap_or_default();
        if let Gate::Control { control, .. } = branch.gate {
            controls.insert(control);
        }
        self.extend(far, &controls);
        self.converters();
    }
}
