//! What the current through a branch feeds in the end: lamps, coils, or anything else.
//!
//! Method: outside a source current runs towards lower volts only, so nodes are gone through from low to high; what
//! leaves a node is mixed in proportion to the currents.

use crate::behaviour::Outcome;
use crate::circuit::Circuit;
use crate::network::Element;
use crate::units::order::Order;

/// Shares of a current, each between 0 and 1; the rest feeds resistances and LEDs.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Mix {
    /// Share that heats filaments.
    pub lamp: f64,
    /// Share that feeds relay coils.
    pub coil: f64,
}

/// The mix of every branch in a solved state, flashers closed.
pub(super) fn of_branches(circuit: &Circuit, outcome: &Outcome) -> Vec<Mix> {
    let point = &outcome.on;
    let volts = |node: u32| point.volts(node).unwrap_or(0.0);
    let mut order: Vec<u32> = (0..circuit.nodes as u32).collect();
    order.order_by(|&a, &b| volts(a).total_cmp(&volts(b)).then(a.cmp(&b)));
    let mut leaving: Vec<Vec<(usize, u32)>> = vec![Vec::new(); circuit.nodes];
    for (i, branch) in circuit.branches.iter().enumerate() {
        let amps = point.amps.get(i).copied().unwrap_or(0.0);
        let (tail, head) = if amps >= 0.0 {
            (branch.from, branch.to)
        } else {
            (branch.to, branch.from)
        };
        if amps != 0.0
            && !branch.is_source()
            && let Some(list) = leaving.get_mut(tail as usize)
        {
            list.push((i, head));
        }
    }
    let mut of_node = vec![Mix::default(); circuit.nodes];
    let mut mixes = vec![Mix::default(); circuit.branches.len()];
    for node in order {
        let mut sum = (0.0, Mix::default());
        for &(branch, head) in &leaving[node as usize] {
            let amps = point.amps[branch].abs();
            let mix = own(circuit, branch)
                .unwrap_or_else(|| of_node.get(head as usize).copied().unwrap_or_default());
            mixes[branch] = mix;
            sum.0 += amps;
            sum.1.lamp += amps * mix.lamp;
            sum.1.coil += amps * mix.coil;
        }
        if sum.0 > 0.0 {
            of_node[node as usize] = Mix {
                lamp: sum.1.lamp / sum.0,
                coil: sum.1.coil / sum.0,
            };
        }
    }
    mixes
}

/// The mix of a branch that is a load itself.
fn own(circuit: &Circuit, branch: usize) -> Option<Mix> {
    let lowered = &circuit.branches[branch];
    let is_coil = circuit.relays.iter().any(|relay| relay.branch == branch);
    match lowered.element {
        Element::Filament(_) => Some(Mix {
            lamp: 1.0,
            coil: 0.0,
        }),
        Element::Regulated(_) => Some(Mix::default()),
        _ if is_coil => Some(Mix {
            lamp: 0.0,
            coil: 1.0,
        }),
        // An LED string is a junction like a diode, but it is a lamp circuit.
        _ if circuit.lamps.iter().any(|lamp| lamp.branch == branch) => Some(Mix::default()),
        _ => None,
    }
}
