//! What stands between the battery and each wire: which fuse, or none, and how far from the battery.
//!
//! Method: every way that current may take from a battery's plus without passing a load (wires, contacts in any
//! position, plugs, flashers, diodes in their direction) is a way for a short-circuit current. The fuse that guards a
//! wire is the widest opening: over all ways to it the largest of the smallest ratings on each way, found
//! by relaxation from the battery (maximum bottleneck path).

use crate::circuit::{Circuit, Gate, Origin};
use crate::plan::{Kind, Plan};

/// How a wire is guarded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Guard {
    /// No way leads from a battery's plus to it but through loads: a return wire, or one that feeds nothing.
    Return,
    /// A way without any fuse leads to it.
    None {
        /// Wire length from the battery to its far end, in millimetres.
        reach_mm: f64,
    },
    /// A way without a fuse leads to it, but from a charger or converter, which gives no more than its rated current.
    Limited {
        /// The charger or converter (by index).
        part: usize,
        /// Its rated current in amperes.
        amps: f64,
        /// Wire length from it to the far end of the wire, in millimetres.
        reach_mm: f64,
    },
    /// Every way leads through a fuse.
    Fuse {
        /// The part (by index) whose rating is the widest opening.
        part: usize,
        /// Its rating in amperes.
        amps: f64,
    },
}

/// The guards of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Guards {
    /// One per wire of the plan.
    pub wires: Vec<Guard>,
    /// Fuses in series, as (nearer to the battery, behind it), by index of the parts.
    pub series: Vec<(usize, usize)>,
}

/// What has been found of a node.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Reach {
    /// Rating of the widest opening; infinite where no fuse stands on the way.
    amps: f64,
    /// The fuse that sets it.
    fuse: Option<usize>,
    /// The charger or converter that sets it.
    source: Option<usize>,
    /// Wire length without a fuse.
    mm: f64,
}

/// A way through a branch: to which node, with which rating, over which length.
#[derive(Debug, Clone, Copy)]
struct Way {
    from: usize,
    to: usize,
    fuse: Option<(usize, f64)>,
    mm: f64,
}

impl Guards {
    /// Works out the guards of a plan as lowered.
    pub(super) fn new(plan: &Plan, circuit: &Circuit) -> Self {
        let ways = ways(plan, circuit);
        let reached = reach(plan, circuit, &ways, None);
        let at = |node: u32| reached.get(node as usize).copied().flatten();
        let mut wires = vec![Guard::Return; plan.wires.len()];
        for branch in &circuit.branches {
            let Origin::Wire(wire) = branch.origin else {
                continue;
            };
            let ends = [at(branch.from), at(branch.to)];
            let widest = ends.into_iter().flatten().max_by(|a, b| {
                let nearer = b.mm.total_cmp(&a.mm);
                a.amps.total_cmp(&b.amps).then(nearer)
            });
            let length = plan.wires.get(wire).map_or(0.0, |w| w.length_mm.get());
            if let (Some(slot), Some(widest)) = (wires.get_mut(wire), widest) {
                let (amps, reach_mm) = (widest.amps, widest.mm + length);
                *slot = match (widest.fuse, widest.source) {
                    (Some(part), _) => Guard::Fuse { part, amps },
                    (None, Some(part)) => Guard::Limited {
                        part,
                        amps,
                        reach_mm,
                    },
                    (None, None) => Guard::None { reach_mm },
                };
            }
        }
        let mut series = Vec::new();
        for (part, _) in fuses(plan) {
            let without = reach(plan, circuit, &ways, Some(part));
            for (other, _) in fuses(plan).filter(|&(other, _)| other != part) {
                let ends = circuit
                    .branches
                    .iter()
                    .filter(|b| matches!(b.origin, Origin::Part { part, .. } if part == other));
                let dark = |node: u32| {
                    let node = node as usize;
                    reached.get(node).is_some_and(Option::is_some)
                        && without.get(node).is_none_or(Option::is_none)
                };
                if ends.clone().count() > 0 && ends.clone().all(|b| dark(b.from) && dark(b.to)) {
                    series.push((part, other));
                }
            }
        }
        Self { wires, series }
    }
}

fn fuses(plan: &Plan) -> impl Iterator<Item = (usize, f64)> + Clone {
    plan.parts
        .iter()
        .enumerate()
        .filter_map(|(i, part)| match &part.kind {
            Kind::Fuse(fuse) => Some((i, fuse.rating_a.get())),
            _ => None,
        })
}

/// The part (by index) and rated current of a source that limits itself.
fn limited(plan: &Plan, origin: Origin) -> Option<(usize, f64)> {
    let Origin::Part { part, .. } = origin else {
        return None;
    };
    match &plan.parts.get(part)?.kind {
        Kind::Charger(charger) => Some((part, charger.rated_a.get())),
        Kind::Converter(converter) => Some((part, converter.rated_a.get())),
        _ => None,
    }
}

/// Every way a short-circuit current may take, each direction for itself.
fn ways(plan: &Plan, circuit: &Circuit) -> Vec<Way> {
    let mut ways = Vec::new();
    for branch in circuit.branches.iter().filter(|b| b.gate != Gate::Never) {
        let (both, fuse, mm) = match branch.origin {
            Origin::Wire(wire) => {
                let mm = plan.wires.get(wire).map_or(0.0, |w| w.length_mm.get());
                (true, None, mm.max(0.0))
            }
            Origin::Part { part, branch } => match plan.parts.get(part).map(|p| &p.kind) {
                Some(Kind::Fuse(fuse)) => (true, Some((part, fuse.rating_a.get())), 0.0),
                Some(Kind::Switch(_) | Kind::Flasher(_) | Kind::Connector(_) | Kind::Ground(_)) => {
                    (true, None, 0.0)
                }
                Some(Kind::Relay(_)) if branch > 0 => (true, None, 0.0),
                Some(Kind::Diode(_)) => (false, None, 0.0),
                _ => continue,
            },
        };
        let (from, to) = (branch.from as usize, branch.to as usize);
        ways.push(Way { from, to, fuse, mm });
        if both {
            ways.push(Way {
                from: to,
                to: from,
                fuse,
                mm,
            });
        }
    }
    ways
}

/// What reaches each node from the batteries, with one fuse taken out.
fn reach(
    plan: &Plan,
    circuit: &Circuit,
    ways: &[Way],
    without: Option<usize>,
) -> Vec<Option<Reach>> {
    let mut reached: Vec<Option<Reach>> = vec![None; circuit.nodes];
    for source in circuit.branches.iter().filter(|b| b.is_source()) {
        // A charger or converter gives no more than its rated current.
        let (amps, source_part) = match limited(plan, source.origin) {
            Some((part, amps)) => (amps, Some(part)),
            None => (f64::INFINITY, None),
        };
        if let Some(slot) = reached.get_mut(source.from as usize)
            && slot.is_none_or(|old| old.amps < amps)
        {
            *slot = Some(Reach {
                amps,
                fuse: None,
                source: source_part,
                mm: 0.0,
            });
        }
    }
    // Each round settles at least one more node, so as many rounds as nodes are enough.
    for _ in 0..circuit.nodes {
        let mut changed = false;
        for way in ways {
            let blocked = way.fuse.is_some_and(|(part, _)| Some(part) == without);
            let (Some(Some(from)), false) = (reached.get(way.from).copied(), blocked) else {
                continue;
            };
            let mut next = Reach {
                mm: from.mm + way.mm,
                ..from
            };
            if let Some((part, amps)) = way.fuse.filter(|&(_, amps)| amps < from.amps) {
                (next.amps, next.fuse, next.source) = (amps, Some(part), None);
            }
            let Some(slot) = reached.get_mut(way.to) else {
                continue;
            };
            let better = slot.is_none_or(|old| {
                next.amps > old.amps || (next.amps == old.amps && next.mm < old.mm)
            });
            if better {
                *slot = Some(next);
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    reached
}
