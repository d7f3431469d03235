//! Whole columns pulled beside their neighbours, order kept: the steps of long parallel wires are carried along until
//! a trunk takes them (priority method of Sugiyama, Tagawa, Toda 1981, column by column).
//!
//! Postcondition: order in every column as before, and no dearer.

use super::channel::Channel;
use super::cost::{HEIGHT, SPAN};
use super::descent::Descent;

impl Descent<'_> {
    /// Pulls every column to its left neighbours, from left to right, then to its right ones on the way back, where that
    /// costs no more.
    pub(super) fn straighten(&mut self) {
        let count = self.body.columns.len();
        for rightward in [true, false] {
            for step in 0..count {
                let c = if rightward { step } else { count - 1 - step };
                if self.work > 0 {
                    self.pull(c, rightward);
                }
            }
        }
        let rows = core::mem::take(&mut self.rows);
        self.reset(rows);
    }

    /// Pulls one column to the neighbours on the side the sweep comes from.
    fn pull(&mut self, c: usize, rightward: bool) {
        let body = self.body;
        let mut order = body.columns[c].clone();
        order.sort_unstable_by_key(|&node| self.rows[node]);
        let mut rows = self.rows.clone();
        let near = if rightward { c } else { c + 1 };
        let mut wanted: Vec<(usize, usize)> = Vec::new();
        for net in &body.channels[near] {
            let (others, own) = if rightward {
                (&net.left, &net.right)
            } else {
                (&net.right, &net.left)
            };
            // Only what has one partner knows where it wants to be.
            if let ([other], [tap]) = (others.as_slice(), own.as_slice()) {
                let row = (self.rows[other.0] + other.1).saturating_sub(tap.1);
                wanted.push((tap.0, row));
            }
        }
        let mut next = 1;
        for node in order {
            let mut own: Vec<usize> = wanted.iter().filter(|w| w.0 == node).map(|w| w.1).collect();
            own.sort_unstable();
            let wish = own.get(own.len() / 2).copied().unwrap_or(rows[node]);
            rows[node] = next.max(wish);
            next = rows[node] + body.slots[node];
        }
        if rows == self.rows {
            return;
        }
        let (mut before, mut after) = (0, 0);
        let mut fresh: Vec<(usize, Channel)> = Vec::new();
        for channel in [c, c + 1] {
            let mut counted = Channel::default();
            let work = counted.count(&body.channels[channel], &rows);
            self.work = self.work.saturating_sub(work);
            before += priced(&self.channels[channel]);
            after += priced(&counted);
            fresh.push((channel, counted));
        }
        let height = |rows: &[usize]| {
            let ends = (0..body.feed()).map(|n| rows[n] + body.slots[n]);
            HEIGHT * ends.max().unwrap_or(1) as u64
        };
        before += height(&self.rows);
        after += height(&rows);
        if after <= before {
            self.rows = rows;
            for (channel, counted) in fresh {
                self.channels[channel] = counted;
            }
        }
    }
}

/// Cost of a channel with the lengths of its trunks.
fn priced(channel: &Channel) -> u64 {
    let span: usize = channel.reach.iter().map(|reach| reach.span()).sum();
    channel.cost + SPAN * span as u64
}
