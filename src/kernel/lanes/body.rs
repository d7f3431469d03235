//! What is placed: nodes in columns, and the nets of the channels between them.

/// Pins of a net as node and slot: those that come in from the left and from the right.
#[derive(Debug, Clone, Default)]
pub struct Taps {
    /// Pins left of the channel.
    pub left: Vec<(usize, usize)>,
    /// Pins right of the channel.
    pub right: Vec<(usize, usize)>,
}

impl Taps {
    /// All pins.
    pub fn all(&self) -> impl Iterator<Item = &(usize, usize)> {
        self.left.iter().chain(&self.right)
    }
}

/// A node: a box some lanes high in one column.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    /// Its column.
    pub column: usize,
    /// Its lanes.
    pub slots: usize,
    /// Whether it keeps its place in the order of its column if nothing speaks against it.
    pub ordered: bool,
}

/// Nodes, columns and channel nets. Channel `c` lies left of column `c`.
#[derive(Debug, Clone)]
pub struct Body {
    /// Lanes of each node; the feed, numbered after the nodes, has one.
    pub(super) slots: Vec<usize>,
    /// Column of each node but the feed.
    pub(super) column: Vec<usize>,
    /// Nodes of each column, by number.
    pub(super) columns: Vec<Vec<usize>>,
    /// Nets of each channel.
    pub(super) channels: Vec<Vec<Taps>>,
    /// Channel and number of each net a node has pins in.
    pub(super) near: Vec<Vec<(usize, usize)>>,
    /// Nodes that keep their order.
    pub(super) ordered: Vec<bool>,
    /// Nodes that long wires pass through, by wire.
    pub(super) chains: Vec<Vec<usize>>,
}

impl Body {
    /// A body of these nodes. `nets` are given with their channel; a pin's node is a number below `nodes.len()`, or
    /// that number itself for the feed, which lies on lane 0 right of channel 0. `chains` may be moved as one.
    /// Pins of nodes that are not there are left out.
    pub fn new(nodes: &[Node], nets: Vec<(usize, Taps)>, chains: Vec<Vec<usize>>) -> Self {
        let feed = nodes.len();
        let width = nodes.iter().map(|node| node.column + 1).max().unwrap_or(0);
        let mut body = Self {
            slots: nodes.iter().map(|node| node.slots).chain([1]).collect(),
            column: nodes.iter().map(|node| node.column).collect(),
            columns: vec![Vec::new(); width],
            channels: vec![Vec::new(); width + 1],
            near: vec![Vec::new(); feed + 1],
            ordered: nodes.iter().map(|node| node.ordered).collect(),
            chains,
        };
        for (number, node) in nodes.iter().enumerate() {
            body.columns[node.column].push(number);
        }
        for (channel, mut taps) in nets {
            for side in [&mut taps.left, &mut taps.right] {
                side.retain(|tap| tap.0 <= feed);
            }
            if channel > width {
                continue;
            }
            let place = (channel, body.channels[channel].len());
            for &(node, _) in taps.all() {
                if body.near[node].last() != Some(&place) {
                    body.near[node].push(place);
                }
            }
            body.channels[channel].push(taps);
        }
        body
    }

    /// The feed's number.
    pub(super) const fn feed(&self) -> usize {
        self.column.len()
    }
}
