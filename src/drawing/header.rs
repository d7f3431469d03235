//! The header: the battery and the parts in series behind it, up to the first place where the current parts.
//!
//! Precondition: links and degrees of the graph are complete. Postcondition: header nodes have no links but
//! those between neighbours; what leaves the last of them starts at `Pin::Feed`.

use super::graph::{Graph, Pin, Side, What};
use crate::plan::{Kind, Plan};

/// Most parts in the header, so that it stays about as wide as a phone.
const MOST: usize = 5;

/// Splits the header from the body.
pub(super) fn split(plan: &Plan, graph: &mut Graph) {
    let kind = |graph: &Graph, node: usize| match graph.nodes.get(node).map(|n| &n.what) {
        Some(What::Part(index)) => plan.parts.get(*index).map(|part| &part.kind),
        _ => None,
    };
    let Some(battery) =
        (0..graph.nodes.len()).find(|&node| matches!(kind(graph, node), Some(Kind::Battery(_))))
    else {
        return;
    };
    let at = |node, side| Pin::Port {
        node,
        side,
        slot: 0,
    };
    let minus = at(battery, Side::Left);
    let mut nodes = vec![battery];
    let mut links = Vec::new();
    match graph.degree.get(&minus).copied().unwrap_or(0) {
        0 => {}
        1 => {
            let Some((link, far)) = only(graph, minus, &links) else {
                return;
            };
            match far {
                Pin::Port { node, .. } if matches!(graph.nodes[node].what, What::Ground(_)) => {
                    nodes.insert(0, node);
                    links.push(link);
                }
                _ => return,
            }
        }
        _ => return,
    }
    let mut last = battery;
    while nodes.len() < MOST {
        let Some((link, Pin::Port { node, side, slot })) =
            only(graph, at(last, Side::Right), &links)
        else {
            break;
        };
        let series = match kind(graph, node) {
            Some(Kind::Fuse(_) | Kind::Flasher(_) | Kind::Diode(_) | Kind::Resistor(_)) => true,
            Some(Kind::Switch(switch)) => {
                matches!(switch.contacts.as_slice(), [one] if one.from != one.to)
            }
            Some(Kind::Connector(connector)) => connector.ways.len() == 1,
            _ => false,
        };
        let one_wire = graph.degree.get(&at(node, Side::Left)) == Some(&1);
        let leads_on = graph.degree.contains_key(&at(node, Side::Right));
        if !series || !one_wire || !leads_on || side != Side::Left || slot != 0 {
            break;
        }
        nodes.push(node);
        links.push(link);
        last = node;
    }
    close(plan, graph, &mut nodes, &mut links, last);
    let last = nodes.last().copied().unwrap_or(battery);
    let feed = at(last, Side::Right);
    for (index, link) in graph.links.iter_mut().enumerate() {
        if !links.contains(&index) {
            for pin in [&mut link.from, &mut link.to] {
                if *pin == feed {
                    *pin = Pin::Feed;
                }
            }
        }
    }
    graph.header.nodes = nodes;
    graph.header.links = links;
}

/// Where a plan is one path only, its lamp and chassis stay in the same row.
fn close(plan: &Plan, graph: &Graph, nodes: &mut Vec<usize>, links: &mut Vec<usize>, last: usize) {
    let right = |node| Pin::Port {
        node,
        side: Side::Right,
        slot: 0,
    };
    let Some((
        first,
        Pin::Port {
            node: lamp, side, ..
        },
    )) = only(graph, right(last), links)
    else {
        return;
    };
    let single = match &graph.nodes[lamp].what {
        What::Part(index) => match &plan.parts[*index].kind {
            Kind::Lamp(spec) => spec.filaments.len() == 1,
            Kind::LedLamp(spec) => spec.circuits.len() == 1,
            Kind::Load(_) => true,
            _ => false,
        },
        _ => false,
    };
    let left = Pin::Port {
        node: lamp,
        side: Side::Left,
        slot: 0,
    };
    if !single || side != Side::Left || graph.degree.get(&left) != Some(&1) {
        return;
    }
    links.push(first);
    match only(graph, right(lamp), links) {
        Some((second, Pin::Port { node: ground, .. }))
            if matches!(graph.nodes[ground].what, What::Ground(_)) =>
        {
            nodes.extend([lamp, ground]);
            links.push(second);
        }
        _ => {
            links.pop();
        }
    }
}

/// The only link at a pin and the pin at its other end, unless the link is taken already or ends where it starts.
fn only(graph: &Graph, pin: Pin, taken: &[usize]) -> Option<(usize, Pin)> {
    if graph.degree.get(&pin) != Some(&1) {
        return None;
    }
    let (index, link) = graph
        .links
        .iter()
        .enumerate()
        .find(|(_, link)| link.from == pin || link.to == pin)?;
    let far = if link.from == pin { link.to } else { link.from };
    (!taken.contains(&index) && far != pin).then_some((index, far))
}
