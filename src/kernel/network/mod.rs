//! The electrical network of a plan in one state: nodes and two-terminal branches, nothing else.
//!
//! Every branch law is monotone (its current never falls when its voltage rises), so the network has one
//! operating point (Duffin 1947). A branch carries the origin it was lowered from as a plain number; what
//! the number means is known to `circuit` alone.

pub mod element;
pub mod limited;
mod omega;

pub use element::Element;
pub use limited::{Limited, Piece};

/// A node, as an index into the network.
pub type NodeId = u32;

/// A two-terminal branch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Node at the positive end: current from here to `to` counts positive.
    pub from: NodeId,
    /// Node at the other end.
    pub to: NodeId,
    /// Its law.
    pub element: Element,
}

/// Nodes and branches, with the node voltages are taken against.
///
/// A branch whose end lies outside `0..nodes` is treated as absent.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Network {
    /// Number of nodes.
    pub nodes: usize,
    /// The node at 0 V: battery negative.
    pub datum: NodeId,
    /// Branches.
    pub branches: Vec<Branch>,
}

impl Network {
    /// A network of `nodes` nodes without branches.
    pub fn new(nodes: usize, datum: NodeId) -> Self {
        Self {
            nodes,
            datum,
            branches: Vec::new(),
        }
    }

    /// Adds a branch and returns its index.
    pub fn add(&mut self, from: NodeId, to: NodeId, element: Element) -> usize {
        self.branches.push(Branch { from, to, element });
        self.branches.len() - 1
    }
}
