//! Drawing graph: one node per part with its pins, chassis symbols folded to their wires, splices as joints.
//!
//! The first battery and the parts in series behind it become the header, the row on top of the drawing,
//! as current-flow diagrams put the supply first (IEC 61082-1). All else is the body, laid out in columns.
//! After `build`: every wire of the plan is one link; every pin of a link exists; dangling ends of wires
//! end on nodes of their own.

use crate::plan::{Kind, Part, Plan, TerminalId};
use crate::units::order::{OrdMap, OrdSet};

/// Side of a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Left,
    Right,
}

/// What a node stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum What {
    /// The part with this index in the plan.
    Part(usize),
    /// One chassis symbol of the ground point with this index.
    Ground(usize),
    /// A wire end that leads to no terminal of the plan.
    Loose(String),
    /// A wire passing through a column; the index of its link.
    Pass(usize),
}

/// A box of the drawing, `slots` lanes high.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub what: What,
    pub slots: usize,
    /// Whether a chassis symbol or open end takes its wire on the right.
    pub mirrored: bool,
}

/// Where a link can end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pin {
    /// The end of the header, from which the body is fed.
    Feed,
    /// A splice, by its index in `joints`.
    Joint(usize),
    /// A terminal of a node.
    Port {
        node: usize,
        side: Side,
        slot: usize,
    },
}

/// A wire of the plan; `from` and `to` as the plan has them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Link {
    pub wire: usize,
    pub from: Pin,
    pub to: Pin,
}

/// The row on top: nodes from left to right, and the links between neighbours.
#[derive(Debug, Clone, Default)]
pub(super) struct Header {
    pub nodes: Vec<usize>,
    pub links: Vec<usize>,
}

/// The whole graph.
#[derive(Debug, Clone, Default)]
pub(super) struct Graph {
    pub nodes: Vec<Node>,
    /// Plan indices of the splices that join wires.
    pub joints: Vec<usize>,
    pub links: Vec<Link>,
    pub header: Header,
    /// Link ends at each pin.
    pub degree: OrdMap<Pin, usize>,
}

impl Graph {
    /// Whether several wires meet at a pin.
    pub fn is_multi(&self, pin: Pin) -> bool {
        matches!(pin, Pin::Joint(_)) || self.degree.get(&pin).is_some_and(|&n| n > 1)
    }
}

/// Terminals with side and slot. The first of several with one name takes the wires.
pub(super) fn ports(part: &Part) -> Vec<(String, Side, usize)> {
    use Side::{Left, Right};
    let through = |a: &str, b: &str| vec![(a.to_owned(), Left, 0), (b.to_owned(), Right, 0)];
    match &part.kind {
        Kind::Battery(_) | Kind::Charger(_) => through("-", "+"),
        Kind::Load(_) => through("+", "-"),
        Kind::Fuse(_) | Kind::Resistor(_) => through("1", "2"),
        Kind::Flasher(_) => through("49", "49a"),
        Kind::Diode(_) => through("A", "K"),
        Kind::Switch(switch) => {
            let mut out: Vec<(String, Side, usize)> = Vec::new();
            for (slot, contact) in switch.contacts.iter().enumerate() {
                for (name, side) in [(&contact.from, Left), (&contact.to, Right)] {
                    if !out.iter().any(|(known, ..)| known == name) {
                        out.push((name.clone(), side, slot));
                    }
                }
            }
            out
        }
        Kind::Lamp(lamp) => lamp
            .filaments
            .iter()
            .enumerate()
            .map(|(slot, filament)| (filament.terminal.clone(), Left, slot))
            .chain([(lamp.common.clone(), Right, 0)])
            .collect(),
        Kind::LedLamp(lamp) => lamp
            .circuits
            .iter()
            .enumerate()
            .map(|(slot, circuit)| (circuit.terminal.clone(), Left, slot))
            .chain([(lamp.common.clone(), Right, 0)])
            .collect(),
        Kind::Splice(_) => vec![("1".to_owned(), Left, 0)],
        Kind::Ground(_) => vec![("31".to_owned(), Left, 0)],
        Kind::Connector(connector) => connector
            .ways
            .iter()
            .enumerate()
            .flat_map(|(slot, way)| {
                [
                    (format!("{way}a"), Left, slot),
                    (format!("{way}b"), Right, slot),
                ]
            })
            .collect(),
        Kind::Converter(_) => [
            ("in+", Left, 0),
            ("out+", Right, 0),
            ("in-", Left, 1),
            ("out-", Right, 1),
        ]
        .iter()
        .map(|&(name, side, slot)| (name.to_owned(), side, slot))
        .collect(),
        Kind::Relay(_) => [
            ("30", Left, 0),
            ("87", Right, 0),
            ("87a", Right, 1),
            ("86", Left, 2),
            ("85", Right, 2),
        ]
        .iter()
        .map(|&(name, side, slot)| (name.to_owned(), side, slot))
        .collect(),
    }
}

/// Lanes a part takes.
pub(super) fn slots(part: &Part) -> usize {
    match &part.kind {
        Kind::Switch(switch) => switch.contacts.len(),
        Kind::Lamp(lamp) => lamp.filaments.len(),
        Kind::LedLamp(lamp) => lamp.circuits.len(),
        Kind::Connector(connector) => connector.ways.len(),
        Kind::Relay(_) => 3,
        Kind::Converter(_) => 2,
        _ => 1,
    }
    .max(1)
}

/// What a terminal of the plan is in the drawing, before chassis symbols are made.
#[derive(Clone)]
enum Spot {
    Pin(Pin),
    Ground(usize),
    Loose(String),
}

/// Builds the graph.
pub(super) fn build(plan: &Plan) -> Graph {
    let mut graph = Graph::default();
    let mut spots: OrdMap<(&str, String), Spot> = OrdMap::new();
    let used: OrdSet<(&str, &str)> = plan
        .wires
        .iter()
        .flat_map(|wire| [&wire.from, &wire.to])
        .map(|end| (end.part.as_str(), end.terminal.as_str()))
        .collect();
    let mut seen: OrdMap<&str, ()> = OrdMap::new();
    for (index, part) in plan.parts.iter().enumerate() {
        let id = part.id.as_str();
        let first = seen.insert(id, ()).is_none();
        let node = graph.nodes.len();
        let mut is_node = true;
        for (name, side, slot) in ports(part) {
            let wired = first && used.contains(&(id, name.as_str()));
            let spot = match &part.kind {
                Kind::Splice(_) if wired => Spot::Pin(Pin::Joint(graph.joints.len())),
                Kind::Ground(_) if wired => Spot::Ground(index),
                _ => Spot::Pin(Pin::Port { node, side, slot }),
            };
            is_node &= matches!(spot, Spot::Pin(Pin::Port { .. }));
            if first {
                spots.entry((id, name)).or_insert(spot);
            }
        }
        if matches!(part.kind, Kind::Splice(_)) && !is_node {
            graph.joints.push(index);
        }
        if is_node {
            graph.nodes.push(Node {
                what: What::Part(index),
                slots: slots(part),
                mirrored: false,
            });
        }
    }
    for (index, wire) in plan.wires.iter().enumerate() {
        let spot = |terminal: &TerminalId| {
            spots
                .get(&(terminal.part.as_str(), terminal.terminal.clone()))
                .cloned()
                .unwrap_or_else(|| Spot::Loose(format!("{terminal}?")))
        };
        let (from, to) = (spot(&wire.from), spot(&wire.to));
        let to_side = side_for(&to, &from, Side::Left);
        let from_side = side_for(&from, &to, Side::Right);
        // Two chassis symbols or open ends face each other.
        let from = pin(&mut graph, from, from_side);
        let to = pin(&mut graph, to, to_side);
        graph.links.push(Link {
            wire: index,
            from,
            to,
        });
    }
    count_degrees(&mut graph);
    super::header::split(plan, &mut graph);
    count_degrees(&mut graph);
    graph
}

/// The side on which a made-up end takes its wire: facing the terminal at the wire's other end.
fn side_for(own: &Spot, other: &Spot, default: Side) -> Side {
    match (own, other) {
        (Spot::Ground(_) | Spot::Loose(_), Spot::Pin(Pin::Port { side, .. })) => match side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        },
        (Spot::Ground(_), Spot::Pin(_)) => Side::Left,
        _ => default,
    }
}

fn pin(graph: &mut Graph, spot: Spot, side: Side) -> Pin {
    let what = match spot {
        Spot::Pin(pin) => return pin,
        Spot::Ground(index) => What::Ground(index),
        Spot::Loose(text) => What::Loose(text),
    };
    graph.nodes.push(Node {
        what,
        slots: 1,
        mirrored: side == Side::Right,
    });
    Pin::Port {
        node: graph.nodes.len() - 1,
        side,
        slot: 0,
    }
}

fn count_degrees(graph: &mut Graph) {
    graph.degree.clear();
    for link in &graph.links {
        for pin in [link.from, link.to] {
            *graph.degree.entry(pin).or_default() += 1;
        }
    }
}
