//! Postconditions of the phases, checked on the examples and on plans that are nothing but wires.

use super::graph::{self, Graph, Pin, Side};
use super::layers::{self, Layered};
use super::nets::{self, Net};
use super::route::{self, Routes};
use super::{block, tree};
use crate::plan::{Plan, file};
use crate::units::order::{OrdSet, Order};

struct Laid {
    graph: Graph,
    layered: Layered,
    nets: Vec<Net>,
    rows: Vec<usize>,
    routes: Routes,
}

fn lay(plan: &Plan) -> Laid {
    let mut graph = graph::build(plan);
    let layered = layers::layer(plan, &mut graph, &[], &OrdSet::new());
    let nets = nets::collect(&layered);
    let rows = block::place(&graph, &nets, &layered.columns, None).rows;
    let routes = route::route(&nets, &rows, layered.columns.len() + 1);
    Laid {
        graph,
        layered,
        nets,
        rows,
        routes,
    }
}

/// The examples, and a tangle: `n` switches of three contacts, wired across in a pattern without mercy.
fn plans() -> Vec<Plan> {
    let mut out: Vec<Plan> = [
        &include_bytes!("../../tests/fixtures/wagon-four-turn-lamps.json")[..],
        include_bytes!("../../tests/fixtures/tractor-shared-rear-lamps.json"),
        include_bytes!("../../tests/fixtures/float-shared-front-and-rear-lamps.json"),
    ]
    .iter()
    .map(|bytes| file::read(bytes).expect("example opens"))
    .collect();
    for n in [2, 5, 9] {
        let mut plan = Plan::default();
        for i in 0..n {
            let contacts: Vec<_> = (0..3)
                .map(|k| serde_json::json!({"from": format!("{k}"), "to": format!("{k}a"), "closed_in": []}))
                .collect();
            let part = serde_json::json!({"id": format!("S{i}"), "kind": "switch",
                "spec": {"control": "c", "contacts": contacts, "contact_mohm": 10.0}});
            plan.parts
                .push(serde_json::from_value(part).expect("part is well formed"));
        }
        for i in 0..3 * n {
            let wire = serde_json::json!({"id": format!("W{i}"), "from": format!("S{}:{}a", i % n, i % 3),
                "to": format!("S{}:{}", (i * 5 + 1) % n, (i + i / n) % 3), "length_mm": 500.0,
                "size": "1 mm2", "insulation_c": 105.0, "colour": "RD"});
            plan.wires
                .push(serde_json::from_value(wire).expect("wire is well formed"));
        }
        out.push(plan);
    }
    out
}

#[test]
fn every_wire_is_one_link_and_hops_stay_in_their_channels() {
    for plan in plans() {
        let laid = lay(&plan);
        let wires: Vec<usize> = laid.graph.links.iter().map(|link| link.wire).collect();
        assert_eq!(wires, (0..plan.wires.len()).collect::<Vec<usize>>());
        let column = tree::columns_of(&laid.graph, &laid.layered);
        for hop in &laid.layered.hops {
            for pin in [hop.a, hop.b] {
                if let Pin::Port { node, side, .. } = pin {
                    let looks = column[node] + usize::from(side == Side::Right);
                    assert_eq!(looks, hop.channel, "{}: {pin:?}", plan.title);
                }
            }
        }
        let pins: usize = laid.nets.iter().map(|net| net.pins.len()).sum();
        let mut all: Vec<(usize, Pin)> = laid
            .nets
            .iter()
            .flat_map(|net| net.pins.iter().map(|&pin| (net.channel, pin)))
            .collect();
        all.order();
        all.dedup();
        assert_eq!(all.len(), pins, "two nets share a pin");
    }
}

#[test]
fn no_two_nodes_of_a_column_share_a_lane() {
    for plan in plans() {
        let laid = lay(&plan);
        for nodes in &laid.layered.columns {
            let mut lanes: Vec<usize> = nodes
                .iter()
                .flat_map(|&node| laid.rows[node]..laid.rows[node] + laid.graph.nodes[node].slots)
                .collect();
            let count = lanes.len();
            lanes.order();
            lanes.dedup();
            assert_eq!(lanes.len(), count);
            assert!(!lanes.contains(&0), "lane 0 is the feed's");
        }
    }
}

/// Pieces on one track do not touch; on one lane, stubs from the left end before those from the right begin.
fn check_routes(title: &str, nets: &[Net], routes: &Routes) {
    let pieces = &routes.pieces;
    for (i, a) in pieces.iter().enumerate() {
        for b in &pieces[i + 1..] {
            if nets[b.net].channel == nets[a.net].channel && a.track == b.track {
                assert!(a.hi < b.lo || b.hi < a.lo, "{title}: {a:?} {b:?}");
            }
        }
    }
    for (i, one) in routes.trees.iter().enumerate() {
        for (j, other) in routes.trees.iter().enumerate() {
            if i == j || nets[i].channel != nets[j].channel {
                continue;
            }
            for (left, key, mine) in &one.stubs {
                for (right, lane, theirs) in &other.stubs {
                    let sides = (side(*left), side(*right));
                    if key == lane && sides == (Some(Side::Right), Some(Side::Left)) {
                        let end = mine.iter().map(|&piece| pieces[piece].track).max();
                        let start = theirs.iter().map(|&piece| pieces[piece].track).min();
                        assert!(end < start, "{title}: lane {key}");
                    }
                }
            }
        }
    }
}

#[test]
fn trunks_keep_apart() {
    for plan in plans() {
        let laid = lay(&plan);
        check_routes(&plan.title, &laid.nets, &laid.routes);
    }
}

/// Two wires that change lanes with each other: each would have to be left of the other.
#[test]
fn a_ring_of_demands_is_cut_by_a_dogleg() {
    let pin = |node, side| Pin::Port {
        node,
        side,
        slot: 0,
    };
    let net = |from, to| Net {
        channel: 0,
        pins: vec![pin(from, Side::Right), pin(to, Side::Left)],
        hops: Vec::new(),
    };
    let nets = [net(0, 3), net(1, 2)];
    let routes = route::route(&nets, &[1, 2, 1, 2], 1);
    let bridges: usize = routes.trees.iter().map(|tree| tree.bridges.len()).sum();
    assert_eq!(bridges, 1);
    assert_eq!(routes.tracks, [3]);
    check_routes("ring", &nets, &routes);
}

const fn side(pin: Pin) -> Option<Side> {
    match pin {
        Pin::Port { side, .. } => Some(side),
        Pin::Feed | Pin::Joint(_) => None,
    }
}
