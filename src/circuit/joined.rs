//! What is joined in every state: the ground side, the supply trunk, runs of wire.

use super::{Circuit, Gate, Lowered};
use crate::network::{Element, NodeId};

/// Conductors at least this good, in siemens, join their ends for good.
const GOOD_SIEMENS: f64 = 1.0;

impl Lowered {
    /// Whether it is a plain resistance: a wire, contact, fuse, resistor or load.
    pub fn is_resistance(&self) -> bool {
        matches!(self.element, Element::Conductor { .. })
    }

    /// Whether it is a diode or a string of LEDs with a resistor.
    pub fn is_junction(&self) -> bool {
        matches!(self.element, Element::Junction(_))
    }

    /// Whether it leads current from its `from` to its `to` only: a diode or an LED circuit.
    pub fn is_one_way(&self) -> bool {
        matches!(self.element, Element::Junction(_) | Element::Regulated(_))
    }

    /// Whether it is a source.
    pub fn is_source(&self) -> bool {
        self.element.open_volts().is_some()
    }

    fn joins(&self) -> bool {
        let good =
            matches!(self.element, Element::Conductor { siemens } if siemens >= GOOD_SIEMENS);
        good && self.gate == Gate::Always
    }
}

impl Circuit {
    /// For each node, whether good conductors join it to `start` in every state.
    pub fn joined_to(&self, start: NodeId) -> Vec<bool> {
        let mut joined = vec![false; self.nodes];
        let mut queue = vec![start];
        while let Some(node) = queue.pop() {
            match joined.get_mut(node as usize) {
                Some(seen) if !*seen => *seen = true,
                _ => continue,
            }
            for b in self.branches.iter().filter(|b| b.joins()) {
                if b.from == node {
                    queue.push(b.to);
                } else if b.to == node {
                    queue.push(b.from);
                }
            }
        }
        joined
    }
}
