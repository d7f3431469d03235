//! Lowers a plan to its electrical network: terminals become nodes, parts and wires become branches.
//!
//! The plan is resolved once into a [`Circuit`]: every branch that can exist in any state is there, with the
//! condition under which it conducts. A state, the relays' and the flashers' positions then only switch
//! branches between present and absent, so one elimination order serves all states. Faults are lowered
//! the same way, as changes of single branches. What the plan leaves unsaid or contradicts becomes a
//! [`Problem`]; lowering never fails.

mod fault;
mod joined;
mod light;
mod lower;
mod problem;
mod resolve;
mod state;
mod supply;
mod ways;

pub use fault::{Fault, Subject};
pub use light::LightLaw;
pub use problem::Problem;
pub use state::{State, all_states, gray_rank, state_count};

use crate::network::{Element, Network, NodeId};
use crate::plan::{Duty, FlasherAction, LampId, TerminalId};
use crate::units::order::OrdMap;

/// What a branch was lowered from, by index into the plan's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// A wire.
    Wire(usize),
    /// A part; `branch` counts its inner branches in the order of its contacts, filaments or ways.
    Part {
        /// Index of the part.
        part: usize,
        /// Which of its branches.
        branch: usize,
    },
}

/// When a branch conducts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gate {
    /// Always.
    Always,
    /// While the control stands in one of the positions whose bit is set.
    Control {
        /// Index of the control.
        control: usize,
        /// Bit per position.
        positions: u64,
    },
    /// While a flasher is closed.
    Flasher(usize),
    /// While the coil of a relay (the input of a converter) is below drop-out (`pulled` false) or pulled in (`pulled` true).
    Relay {
        /// Index of the relay.
        relay: usize,
        /// Which of the two.
        pulled: bool,
    },
    /// Never: taken out by a fault.
    Never,
}

/// A branch that exists in some state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lowered {
    /// Positive end.
    pub from: NodeId,
    /// Other end.
    pub to: NodeId,
    /// Its law while it conducts.
    pub element: Element,
    /// When it conducts.
    pub gate: Gate,
    /// Where it comes from.
    pub origin: Origin,
}

/// One lamp circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct LampBranch {
    /// Identity.
    pub id: LampId,
    /// What it is for.
    pub duties: Vec<Duty>,
    /// Its branch.
    pub branch: usize,
    /// Its light.
    pub light: LightLaw,
}

/// One relay, or what switches a converter's output by its input voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct RelayCoil {
    /// Index of its part.
    pub part: usize,
    /// Branch of its coil; of a converter, the one that measures its input.
    pub branch: usize,
    /// Volts at which it pulls in.
    pub pull_in: f64,
    /// Volts at which it lets go.
    pub drop_out: f64,
    /// Whether it pulls in at the wrong polarity too, as a coil does and a converter does not.
    pub either_way: bool,
}

/// One flasher.
#[derive(Debug, Clone, PartialEq)]
pub struct FlasherContact {
    /// Index of its part.
    pub part: usize,
    /// Branch of its contact.
    pub branch: usize,
    /// Working principle.
    pub action: FlasherAction,
    /// Flashes per minute inside its load window.
    pub per_minute: f64,
    /// Load window in amperes.
    pub window: (f64, f64),
}

/// A plan resolved for solving.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Circuit {
    /// Number of nodes.
    pub nodes: usize,
    /// Negative of the first battery, or of the first charger where there is none.
    pub datum: NodeId,
    /// The chassis.
    pub chassis: NodeId,
    /// Node of every terminal.
    pub terminals: OrdMap<TerminalId, NodeId>,
    /// Every branch of any state.
    pub branches: Vec<Lowered>,
    /// Lamp circuits in the order of the parts.
    pub lamps: Vec<LampBranch>,
    /// Relays and converters in the order of the parts.
    pub relays: Vec<RelayCoil>,
    /// Flashers in the order of the parts.
    pub flashers: Vec<FlasherContact>,
    /// Number of positions of each control.
    pub positions: Vec<usize>,
    /// What could not be lowered as written.
    pub problems: Vec<Problem>,
}

/// Positions of everything that switches.
#[derive(Debug, Clone, Copy)]
pub struct Switching<'a> {
    /// Control positions.
    pub state: &'a State,
    /// For each relay, whether it is pulled in.
    pub relays: &'a [bool],
    /// For each flasher, whether it is closed.
    pub flashers: &'a [bool],
}

impl Circuit {
    /// Whether a branch conducts.
    pub fn conducts(&self, branch: &Lowered, switching: Switching<'_>) -> bool {
        match branch.gate {
            Gate::Always => true,
            Gate::Never => false,
            Gate::Control { control, positions } => {
                let position = switching.state.position(control);
                position < 64 && positions >> position & 1 == 1
            }
            Gate::Flasher(flasher) => switching.flashers.get(flasher).copied().unwrap_or(true),
            Gate::Relay { relay, pulled } => {
                switching.relays.get(relay).copied().unwrap_or(false) == pulled
            }
        }
    }

    /// The network with every branch present: the topology to make a solver for.
    pub fn topology(&self) -> Network {
        let mut network = Network::new(self.nodes, self.datum);
        for branch in &self.branches {
            network.add(branch.from, branch.to, branch.element);
        }
        network
    }

    /// Sets the elements of `network` (made by [`Circuit::topology`]) to those of the given positions.
    pub fn switch(&self, network: &mut Network, switching: Switching<'_>) {
        for (slot, branch) in network.branches.iter_mut().zip(&self.branches) {
            let conducts = self.conducts(branch, switching);
            // From one state to the next little is switched, and an element is long.
            if conducts != slot.element.is_present() {
                slot.element = if conducts {
                    branch.element
                } else {
                    Element::Absent
                };
            }
        }
    }
}
