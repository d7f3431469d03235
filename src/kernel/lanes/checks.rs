//! Postconditions of the lanes on random bodies: what is remembered equals what is counted, nothing shares a lane, and
//! after an edit what was there keeps its order.

use super::body::{Body, Node, Taps};
use super::descent::Descent;
use super::{cost, moves, place, place_near};

/// Small repeatable random source (Marsaglia's xorshift).
struct Random(u32);

impl Random {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0 as usize % n.max(1)
    }
}

/// A body of `n` nodes in four columns, wired across without mercy.
fn body(random: &mut Random, n: usize) -> Body {
    let nodes: Vec<Node> = (0..n)
        .map(|_| Node {
            column: random.below(4),
            slots: 1 + random.below(3),
            ordered: random.below(2) == 0,
        })
        .collect();
    // Every pin belongs to one net at most.
    let mut pins: Vec<(usize, usize, bool)> = Vec::new();
    for (node, of) in nodes.iter().enumerate() {
        for slot in 0..of.slots {
            pins.extend([(node, slot, true), (node, slot, false)]);
        }
    }
    let mut nets = Vec::new();
    while let Some(first) = pins.pop() {
        let channel = |pin: &(usize, usize, bool)| nodes[pin.0].column + usize::from(!pin.2);
        let mut net = vec![first];
        for _ in 0..random.below(3) {
            let fitting: Vec<usize> = (0..pins.len())
                .filter(|&i| channel(&pins[i]) == channel(&first))
                .collect();
            if !fitting.is_empty() {
                net.push(pins.remove(fitting[random.below(fitting.len())]));
            }
        }
        let side = |left: bool| -> Vec<(usize, usize)> {
            let own = net.iter().filter(|pin| pin.2 != left);
            own.map(|pin| (pin.0, pin.1)).collect()
        };
        let taps = Taps {
            left: side(true),
            right: side(false),
        };
        nets.push((channel(&first), taps));
    }
    Body::new(&nodes, nets, Vec::new())
}

#[track_caller]
fn apart(body: &Body, rows: &[usize]) {
    for nodes in &body.columns {
        let mut lanes: Vec<usize> = nodes
            .iter()
            .flat_map(|&node| rows[node]..rows[node] + body.slots[node])
            .collect();
        let count = lanes.len();
        lanes.sort_unstable();
        lanes.dedup();
        assert_eq!(lanes.len(), count, "two nodes share a lane");
        assert!(!lanes.contains(&0), "lane 0 is the feed's");
    }
}

#[test]
fn moves_are_priced_as_counting_anew_prices_them() {
    let mut random = Random(7);
    for round in 0..120 {
        let n = 2 + random.below(24);
        let body = body(&mut random, n);
        let mut next = 1;
        let mut rows: Vec<usize> = Vec::new();
        for slots in &body.slots {
            rows.push(next);
            next += slots;
        }
        let mut descent = Descent::new(&body, 60_000);
        descent.reset(rows);
        let before = descent.cost();
        descent.run(&moves::Parts::new(&body), true);
        assert!(descent.cost() <= before);
        apart(&body, descent.rows());
        let mut again = Descent::new(&body, 1);
        again.reset(descent.rows().to_vec());
        assert_eq!(again.cost(), descent.cost(), "round {round}");
        assert_eq!(again.rows(), descent.rows(), "a lane is left empty");
    }
}

#[test]
fn placing_is_clean_repeatable_and_no_dearer_with_more_work() {
    let mut random = Random(11);
    for _ in 0..40 {
        let n = 1 + random.below(20);
        let body = body(&mut random, n);
        let rows = place(&body, 40_000);
        apart(&body, &rows);
        assert_eq!(rows, place(&body, 40_000));
        apart(&body, &place(&body, 0));
        assert!(cost(&body, &rows) <= cost(&body, &place(&body, 0)) + 400);
    }
}

#[test]
fn what_was_there_keeps_its_order() {
    let mut random = Random(13);
    for _ in 0..120 {
        let n = 2 + random.below(20);
        let body = body(&mut random, n);
        let rows = place(&body, 20_000);
        let known: Vec<Option<usize>> = rows
            .iter()
            .map(|&row| (random.below(5) > 0).then_some(row))
            .collect();
        let near = place_near(&body, &known, 20_000);
        apart(&body, &near);
        for nodes in &body.columns {
            for &a in nodes.iter().filter(|&&a| known[a].is_some()) {
                for &b in nodes.iter().filter(|&&b| known[b].is_some()) {
                    assert_eq!(rows[a] < rows[b], near[a] < near[b]);
                }
            }
        }
        let all: Vec<Option<usize>> = rows.iter().map(|&row| Some(row)).collect();
        assert_eq!(place_near(&body, &all, 20_000), rows);
        // Lanes that are no placement.
        let wild: Vec<Option<usize>> = rows.iter().map(|_| Some(random.below(4))).collect();
        apart(&body, &place_near(&body, &wild, 20_000));
    }
}
