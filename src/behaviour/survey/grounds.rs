//! Lost returns, one at a time: which wire or ground point, come loose, lights or dims what it should not.
//!
//! On the return side the graph tells at once what a break cuts off. Breaks that cut off the same loads are one
//! case; where a second way to ground remains, or where what is cut off is a single load that merely goes
//! dark, there is nothing to solve. The rest is solved as [`Fault::Open`] in a choice of states.

use super::wiring::{Leads, Reach, Way};
use super::{MAX_SOLVES, Scene, Survey};
use crate::behaviour::{Analyser, Cell, Fault, Outcome, Shows, Subject, Verdict};
use crate::circuit::Origin;
use crate::network::NodeId;
use crate::plan::{Kind, TerminalId};
use crate::units::order::{OrdMap, Order};
use core::cmp::Ordering;

/// A lamp dims when its light falls below this share of what it was: a fifth less is about what the eye notices side
/// by side. Common practice.
pub const DIMS_BELOW: f64 = 0.8;
/// Fewest states solved for each case: at rest, all moved, and some controls alone. Cases beyond what the bound on the
/// work allows for are only counted.
const LEAST_STATES: usize = 8;

/// What a lost return does to a lamp circuit; the later the worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Harm {
    /// Lit with less light.
    Dims,
    /// Flashes though it should burn steadily, or burns though it should flash.
    Rhythm,
    /// Lit though it should be dark.
    Lights,
}

/// One lamp circuit in the worst state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Index of the lamp circuit.
    pub lamp: usize,
    /// What happens to it.
    pub harm: Harm,
    /// Share of rated light as built, in the bright phase.
    pub before: f64,
    /// The same with the return lost.
    pub after: f64,
    /// Whether it flashes then.
    pub flashes: bool,
}

/// A return whose loss does more than leave its own lamps dark.
#[derive(Debug, Clone, PartialEq)]
pub struct LostReturn {
    /// Wires, ground points and connectors of which any one, come loose, does this.
    pub breaks: Vec<Origin>,
    /// Terminal of a lamp that a second ground wire would keep on ground.
    pub keep: Option<TerminalId>,
    /// Terminal of the source that wire must lead to; `None` where the chassis is ground and a ground point will do.
    pub sink: Option<TerminalId>,
    /// Wires (by index) from the source to the lamp's terminal.
    pub way: Vec<usize>,
    /// Row of the worst state: of the worst harm the one with the largest change of light.
    pub row: usize,
    /// What happens in it, the worst first.
    pub effects: Vec<Effect>,
    /// States in which something happens.
    pub harmed: usize,
    /// States looked at.
    pub looked: usize,
}

/// One thing that may come loose, with what it cuts off.
struct Case {
    breaks: Vec<usize>,
    /// Branches that use current and have one end on what is cut off.
    loads: Vec<usize>,
    cut_off: Vec<bool>,
}

impl Survey {
    pub(super) fn lost_returns(&mut self, scene: &Scene<'_>) {
        let mut cases = scene.cases();
        cases.retain(|case| case.can_conduct(scene));
        let most = MAX_SOLVES / LEAST_STATES;
        self.lost_unlooked = cases.len().saturating_sub(most);
        cases.truncate(most);
        let rows = scene.rows(MAX_SOLVES / cases.len().max(1));
        for case in cases {
            self.lose(scene, &case, &rows);
        }
    }

    fn lose(&mut self, scene: &Scene<'_>, case: &Case, rows: &[usize]) {
        // A wire or ground point opens as a whole; a connector would open its other ways too.
        let subject = case.breaks.iter().find_map(|&i| scene.subject(i));
        let Some(subject) = subject else {
            return;
        };
        let mut analyser = Analyser::new(scene.plan, &[Fault::Open(subject)]);
        let mut outcome = Outcome::default();
        let mut worst: Option<(usize, Vec<Effect>)> = None;
        let (mut harmed, mut looked) = (0, 0);
        for &row in rows {
            let before = &scene.table.rows[row];
            analyser.solve_into(&before.state, &mut outcome);
            self.solves += 1;
            if !outcome.converged() || !before.solved {
                continue;
            }
            looked += 1;
            let after = analyser.cells(&before.state, &outcome);
            let mut effects: Vec<Effect> = (0..after.len())
                .filter_map(|lamp| scene.effect(lamp, &before.cells[lamp], &after[lamp]))
                .collect();
            effects.order_by(|a, b| b.compare(a).then(a.lamp.cmp(&b.lamp)));
            let Some(first) = effects.first() else {
                continue;
            };
            harmed += 1;
            let known = worst.as_ref().and_then(|(_, known)| known.first());
            if known.is_none_or(|known| first.compare(known).is_gt()) {
                worst = Some((row, effects));
            }
        }
        if let Some((row, effects)) = worst {
            let (node, keep) = scene.lamp_terminal(case).unzip();
            let grounded = scene.wiring.ground[scene.circuit.chassis as usize];
            let (sink, way) = node.map(|node| scene.way_back(node)).unzip();
            self.lost.push(LostReturn {
                breaks: case
                    .breaks
                    .iter()
                    .map(|&i| scene.circuit.branches[i].origin)
                    .collect(),
                keep,
                sink: sink.flatten().filter(|_| !grounded),
                way: way.unwrap_or_default(),
                row,
                effects,
                harmed,
                looked,
            });
        }
    }
}

impl Effect {
    /// How much worse it is than another one.
    fn compare(&self, other: &Effect) -> Ordering {
        let change = |effect: &Effect| (effect.after - effect.before).abs();
        let by_change = change(self).total_cmp(&change(other));
        self.harm.cmp(&other.harm).then(by_change)
    }
}

impl Case {
    /// Whether current can come in through one load and leave through another.
    fn can_conduct(&self, scene: &Scene<'_>) -> bool {
        let on = |n: NodeId| self.cut_off[n as usize];
        let branches = &scene.circuit.branches;
        let leaves = |&i: &usize| on(branches[i].from) || !branches[i].is_one_way();
        // With every source on the side that is left and nothing else there, as when the battery's own ground lead
        // is off, no current can come back to it.
        let remains = branches.iter().enumerate().any(|(i, b)| {
            let uses = scene.wiring.leads[i] == Leads::Not;
            let left = |n: NodeId| scene.wiring.returns[n as usize] && !on(n);
            uses && b.is_source() == on(b.to) && (on(b.to) || left(b.from) || left(b.to))
        });
        remains && self.loads.len() > 1 && self.loads.iter().any(leaves)
    }
}

impl Scene<'_> {
    /// Every break on the return side, those that cut off the same loads together.
    fn cases(&self) -> Vec<Case> {
        let returns = &self.wiring.returns;
        let inner = |i: usize| {
            let b = &self.circuit.branches[i];
            returns[b.from as usize] && returns[b.to as usize]
        };
        let reach = |without: Option<usize>| -> Reach {
            let passes = |i: usize| Some(i) != without && inner(i);
            self.wiring
                .search(&self.circuit, &self.wiring.sinks, Way::Up, passes)
        };
        let whole = reach(None);
        let mut cases: OrdMap<Vec<usize>, Case> = OrdMap::new();
        for i in (0..self.circuit.branches.len()).filter(|&i| inner(i) && self.may_come_loose(i)) {
            let left = reach(Some(i));
            let cut_off: Vec<bool> = (0..self.circuit.nodes as NodeId)
                .map(|n| whole.has(n) && !left.has(n))
                .collect();
            let on = |n: NodeId| cut_off[n as usize];
            let loads: Vec<usize> = (0..self.circuit.branches.len())
                .filter(|&k| {
                    let b = &self.circuit.branches[k];
                    self.wiring.leads[k] == Leads::Not && on(b.from) != on(b.to)
                })
                .collect();
            if loads.is_empty() {
                continue;
            }
            let case = cases.entry(loads.clone()).or_insert_with(|| Case {
                breaks: Vec::new(),
                loads,
                cut_off,
            });
            case.breaks.push(i);
        }
        cases.into_values().collect()
    }

    /// Wires, ground points and plugs come loose; a contact that opens is a state.
    fn may_come_loose(&self, branch: usize) -> bool {
        match self.circuit.branches[branch].origin {
            Origin::Wire(_) => true,
            Origin::Part { part, .. } => {
                matches!(
                    self.plan.parts[part].kind,
                    Kind::Ground(_) | Kind::Connector(_)
                )
            }
        }
    }

    fn subject(&self, branch: usize) -> Option<Subject> {
        match self.circuit.branches[branch].origin {
            Origin::Wire(wire) => Some(Subject::Wire(self.plan.wires[wire].id.clone())),
            Origin::Part { part, .. } => {
                let part = &self.plan.parts[part];
                matches!(part.kind, Kind::Ground(_)).then(|| Subject::Part(part.id.clone()))
            }
        }
    }

    /// The terminal by which the first load of a case hangs on what is cut off, with its node.
    fn lamp_terminal(&self, case: &Case) -> Option<(NodeId, TerminalId)> {
        let b = &self.circuit.branches[*case.loads.first()?];
        let node = if case.cut_off[b.from as usize] {
            b.from
        } else {
            b.to
        };
        Some((node, self.terminal(node)?))
    }

    fn terminal(&self, node: NodeId) -> Option<TerminalId> {
        let mut terminals = self.circuit.terminals.iter();
        terminals.find_map(|(id, &at)| (at == node).then(|| id.clone()))
    }

    /// The terminal of the source to which a node of the return side leads, and the wires between.
    fn way_back(&self, node: NodeId) -> (Option<TerminalId>, Vec<usize>) {
        let inner = |i: usize| {
            let b = &self.circuit.branches[i];
            self.wiring.returns[b.from as usize] && self.wiring.returns[b.to as usize]
        };
        let starts = &self.wiring.sinks;
        let reach = self.wiring.search(&self.circuit, starts, Way::Up, inner);
        let wire = |i: usize| match self.circuit.branches[i].origin {
            Origin::Wire(wire) => Some(wire),
            Origin::Part { .. } => None,
        };
        let wires = reach.way(node).into_iter().filter_map(wire).collect();
        (self.terminal(reach.start(node)), wires)
    }

    fn effect(&self, lamp: usize, before: &Cell, after: &Cell) -> Option<Effect> {
        let faint = self.plan.settings.faint.get();
        let (was, is) = (before.bright().level, after.bright().level);
        let lit = |shows: Shows| shows != Shows::Off;
        let beats = |cell: &Cell| cell.shows == Shows::Flashing;
        let harm = if after.verdict == Verdict::BackFed && before.verdict != Verdict::BackFed {
            Harm::Lights
        } else if lit(before.shows) && lit(after.shows) && beats(before) != beats(after) {
            Harm::Rhythm
        } else if was >= faint && is >= faint && is < DIMS_BELOW * was {
            Harm::Dims
        } else {
            return None;
        };
        Some(Effect {
            lamp,
            harm,
            before: was,
            after: is,
            flashes: beats(after),
        })
    }
}
