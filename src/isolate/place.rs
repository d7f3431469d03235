//! Places for diodes: runs of wire on the supply side, and the edit that puts a diode into one.

use crate::behaviour::Step;
use crate::circuit::{Circuit, Origin};
use crate::plan::{Change, Diode, Edit, Extra, Kind, Part, Plan, TerminalId, Wire, WireId};
use crate::text::say;
use crate::units::Millimetres;
use crate::units::order::OrdMap;

/// Which way a diode lets current through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Direction {
    /// From the wire's supply end to its load end.
    Forward,
    /// From its load end to its supply end.
    Backward,
}

/// A diode in a wire.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Placement {
    /// The wire it is put into.
    pub wire: WireId,
    /// Which way it conducts.
    pub direction: Direction,
}

/// A place for a diode: a run of wires in series, by number, and a direction along it.
pub(super) type Spot = (usize, Direction);

/// The runs of a plan: wires in series between two branchings act as one.
#[derive(Debug, Clone)]
pub(super) struct Runs {
    /// For each wire (by index) its run and whether it lies along it; `None` on the ground side.
    of_wire: Vec<Option<(usize, Direction)>>,
    /// For each run the wire that would take the diode, by index, and how that lies along it.
    seat: Vec<(usize, Direction)>,
}

fn along(a: Direction, b: Direction) -> Direction {
    if a == b {
        Direction::Forward
    } else {
        Direction::Backward
    }
}

impl Runs {
    pub fn new(plan: &Plan, circuit: &Circuit) -> Self {
        let ground = circuit.joined_to(circuit.datum);
        let mut at: Vec<Vec<usize>> = vec![Vec::new(); circuit.nodes];
        for (i, b) in circuit.branches.iter().enumerate() {
            at[b.from as usize].push(i);
            at[b.to as usize].push(i);
        }
        let wire_of = |branch: usize| match circuit.branches[branch].origin {
            Origin::Wire(wire) => Some(wire),
            Origin::Part { .. } => None,
        };
        let mut of_wire = vec![None; plan.wires.len()];
        let mut seat = Vec::new();
        for first in 0..circuit.branches.len() {
            let b = &circuit.branches[first];
            let Some(wire) = wire_of(first) else { continue };
            if of_wire[wire].is_some() || ground[b.from as usize] || ground[b.to as usize] {
                continue;
            }
            // Follow the run from both ends of this wire while just one other branch goes on.
            let run = seat.len();
            let mut members = vec![(wire, Direction::Forward)];
            of_wire[wire] = Some((run, Direction::Forward));
            for (start, out) in [(b.to, Direction::Forward), (b.from, Direction::Backward)] {
                let (mut node, mut last) = (start, first);
                while let [x, y] = at[node as usize][..] {
                    let next = if x == last { y } else { x };
                    let n = &circuit.branches[next];
                    // A lamp or a source ends a run: what lies beyond is another circuit.
                    if !(n.is_resistance() || n.is_junction()) || next == first {
                        break;
                    }
                    let leaves = if n.from == node {
                        Direction::Forward
                    } else {
                        Direction::Backward
                    };
                    node = if n.from == node { n.to } else { n.from };
                    last = next;
                    if let Some(wire) = wire_of(next) {
                        if of_wire[wire].is_some() {
                            break;
                        }
                        let lies = along(leaves, out);
                        of_wire[wire] = Some((run, lies));
                        members.push((wire, lies));
                    }
                    if ground[node as usize] {
                        break;
                    }
                }
            }
            // The longest wire has most room for a diode.
            let longest = members
                .into_iter()
                .max_by_key(|&(wire, _)| (plan.wires[wire].length_mm, core::cmp::Reverse(wire)));
            seat.push(longest.unwrap_or((wire, Direction::Forward)));
        }
        Self { of_wire, seat }
    }

    /// The spot at which a diode would stop the current of a step of a path; `None` where none can stand.
    pub fn against(&self, step: &Step) -> Option<Spot> {
        let Origin::Wire(wire) = step.origin else {
            return None;
        };
        let (run, lies) = (*self.of_wire.get(wire)?)?;
        // The current goes against the wire when reversed; the diode must point the other way.
        let current = if step.reversed {
            Direction::Backward
        } else {
            Direction::Forward
        };
        let blocking = if along(current, lies) == Direction::Forward {
            Direction::Backward
        } else {
            Direction::Forward
        };
        Some((run, blocking))
    }

    /// The wire that would take the diode of a run, by index, and how that lies along it.
    pub fn seat(&self, run: usize) -> (usize, Direction) {
        self.seat[run]
    }

    /// The placement of a spot.
    pub fn placement(&self, plan: &Plan, spot: Spot) -> Placement {
        let (wire, lies) = self.seat[spot.0];
        Placement {
            wire: plan.wires[wire].id.clone(),
            direction: along(spot.1, lies),
        }
    }

    /// For each run the wire that would take the diode, by index, and how that lies along it.
    pub fn seats(&self) -> impl Iterator<Item = (usize, Direction)> + '_ {
        self.seat.iter().copied()
    }
}

/// The edit that puts diodes of a type into wires, halving each wire; a wire the plan does not have is passed over.
pub fn edit(plan: &Plan, placements: &[Placement], model: &str) -> Edit {
    let mut edits = Vec::new();
    let mut after = plan.clone();
    let mut parts: OrdMap<&WireId, Vec<Direction>> = OrdMap::new();
    for placement in placements {
        parts
            .entry(&placement.wire)
            .or_default()
            .push(placement.direction);
    }
    for (id, directions) in parts {
        for direction in directions {
            let Some(wire) = after.wire(id).cloned() else {
                continue;
            };
            for step in insertion(&after, wire, direction, model) {
                // Each step fits the plan it was made for; one that did not would be left out of both.
                if step.clone().apply(&mut after).is_ok() {
                    edits.push(step);
                }
            }
        }
    }
    Edit::All(edits)
}

fn insertion(plan: &Plan, wire: Wire, direction: Direction, model: &str) -> [Edit; 3] {
    let id = plan.free_part_id("V");
    let (entry, exit) = match direction {
        Direction::Forward => ("A", "K"),
        Direction::Backward => ("K", "A"),
    };
    let place = plan
        .part(&wire.from.part)
        .and_then(|part| part.place.clone());
    let half = Millimetres::of(wire.length_mm.get() / 2.0);
    let diode = Part {
        id: id.clone(),
        label: say!("Diode {id}"),
        place,
        why: say!(
            "keeps current from running backwards through wire {}",
            wire.id
        ),
        kind: Kind::Diode(Diode {
            model: model.into(),
            extra: Extra::new(),
        }),
        extra: Extra::new(),
    };
    let rest = Wire {
        id: plan.free_wire_id(),
        from: TerminalId::new(&id, exit),
        length_mm: half,
        ..wire.clone()
    };
    let first = Wire {
        to: TerminalId::new(&id, entry),
        length_mm: half,
        ..wire.clone()
    };
    [
        Edit::add_part(diode),
        Edit::Wire(Change::Replace {
            id: wire.id,
            item: first,
        }),
        Edit::add_wire(rest),
    ]
}
