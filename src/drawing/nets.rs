//! Channel nets: what is joined inside one channel becomes one tree there.
//!
//! Precondition: hops of `layers`. Postcondition: every hop is in exactly one net, nets share no pin, and a
//! net holds at most one splice.

use super::graph::{Pin, Side};
use super::layers::Layered;
use crate::units::order::OrdMap;
use petgraph::unionfind::UnionFind;

/// Pins joined inside one channel.
#[derive(Debug, Clone)]
pub(super) struct Net {
    pub channel: usize,
    /// Sorted, each once.
    pub pins: Vec<Pin>,
    /// Indices into the hops.
    pub hops: Vec<usize>,
}

/// One pin as a channel sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tap {
    /// `None` for the feed, which comes in from the right in the row above all nodes.
    pub node: Option<usize>,
    pub slot: usize,
    /// Whether it enters the channel from the left.
    pub from_left: bool,
}

impl Net {
    /// Pins that have a lane, in order.
    pub fn taps(&self) -> impl Iterator<Item = (Pin, Tap)> + '_ {
        self.pins.iter().filter_map(|&pin| match pin {
            Pin::Joint(_) => None,
            Pin::Feed => Some((
                pin,
                Tap {
                    node: None,
                    slot: 0,
                    from_left: false,
                },
            )),
            Pin::Port { node, side, slot } => Some((
                pin,
                Tap {
                    node: Some(node),
                    slot,
                    from_left: side == Side::Right,
                },
            )),
        })
    }

    /// The splice in it.
    pub fn joint(&self) -> Option<usize> {
        self.pins.iter().find_map(|pin| match pin {
            Pin::Joint(joint) => Some(*joint),
            _ => None,
        })
    }
}

/// Collects the nets, by channel.
pub(super) fn collect(layered: &Layered) -> Vec<Net> {
    let mut index: OrdMap<(usize, Pin), usize> = OrdMap::new();
    for hop in &layered.hops {
        for pin in [hop.a, hop.b] {
            let next = index.len();
            index.entry((hop.channel, pin)).or_insert(next);
        }
    }
    let mut sets = UnionFind::<usize>::new(index.len());
    for hop in &layered.hops {
        if let (Some(&a), Some(&b)) = (
            index.get(&(hop.channel, hop.a)),
            index.get(&(hop.channel, hop.b)),
        ) {
            sets.union(a, b);
        }
    }
    let mut nets: Vec<Net> = Vec::new();
    let mut of_root: OrdMap<usize, usize> = OrdMap::new();
    for (&(channel, pin), &i) in &index {
        let net = *of_root.entry(sets.find(i)).or_insert_with(|| {
            nets.push(Net {
                channel,
                pins: Vec::new(),
                hops: Vec::new(),
            });
            nets.len() - 1
        });
        nets[net].pins.push(pin);
    }
    for (at, hop) in layered.hops.iter().enumerate() {
        if let Some(net) = index
            .get(&(hop.channel, hop.a))
            .and_then(|&i| of_root.get(&sets.find(i)))
        {
            nets[*net].hops.push(at);
        }
    }
    nets
}
