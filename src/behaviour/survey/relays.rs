//! Relays that something unintended holds in.
//!
//! Two ways. A coil has volts above its drop-out while no conducting way of intended direction leads from a source
//! to it and from it to ground: it is fed through a lamp or backwards through a wire. Or it lets go when the
//! state is entered from rest and stays in when it is entered with the relays as one control earlier: both
//! starts are solved.

use super::wiring::{Way, conducting};
use super::{Scene, Survey};
use crate::behaviour::{Analyser, Outcome, Path, RelayRun, State, Verdict};
use crate::circuit::Switching;
use crate::network::NodeId;
use crate::plan::Kind;
use crate::units::order::{OrdMap, OrdSet, Order};

/// Most states, of all relays together, in which a coil's feed is looked for in the graph.
const MAX_FED: usize = 512;
/// Most states solved once more from where a neighbour leaves the relays.
const MAX_LATCH_STATES: usize = 256;

/// What holds a relay.
#[derive(Debug, Clone, PartialEq)]
pub enum Hold {
    /// Current that comes through a load or backwards through a wire.
    BackFeed {
        /// Whether that is enough to pull it in, or only to keep it from letting go.
        pulls: bool,
    },
    /// Its own contact, after another state has pulled it in.
    Latch {
        /// Row of the state it was pulled in by.
        after: usize,
        /// Lamp circuits (by index) that are not as wished then, though they are when it has let go.
        lamps: Vec<usize>,
    },
}

/// A relay in a state in which it should have let go.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldRelay {
    /// Index of its part.
    pub part: usize,
    /// What holds it.
    pub hold: Hold,
    /// Row of the first state that shows it.
    pub row: usize,
    /// Phase of the flashers: 0 closed, 1 open.
    pub phase: usize,
    /// Volts along the coil.
    pub volts: f64,
    /// Volts at which it lets go.
    pub drop_out: f64,
    /// The current through the coil from battery to battery.
    pub path: Option<Path>,
}

impl Survey {
    pub(super) fn held_relays(&mut self, scene: &Scene<'_>, analyser: &mut Analyser<'_>) {
        if scene.circuit.relays.is_empty() {
            return;
        }
        self.back_fed_coils(scene, analyser);
        self.latches(scene, analyser);
    }

    fn back_fed_coils(&mut self, scene: &Scene<'_>, analyser: &mut Analyser<'_>) {
        let share = MAX_FED / scene.circuit.relays.len().max(1);
        for (relay, coil) in scene.circuit.relays.iter().enumerate() {
            if !scene.is_relay(coil.part) {
                continue;
            }
            // States that would pull it in come before those that only hold it, few moved controls before many.
            let rows = scene.table.rows.iter().enumerate();
            let states = rows.flat_map(|(row, solved)| {
                let run = &solved.relays[relay];
                let above = move |phase: &usize| run.volts[*phase] > coil.drop_out;
                [0, 1]
                    .into_iter()
                    .filter(above)
                    .map(move |phase| (run.volts[phase] < coil.pull_in, row, phase))
            });
            let mut states: Vec<(bool, usize, usize)> = states.collect();
            states.order();
            let found = states.into_iter().take(share).find(|&(_, row, phase)| {
                let conducts = conducting(&scene.circuit, &scene.table.rows[row], phase);
                !scene.is_fed(coil.branch, &conducts)
            });
            if let Some((weak, row, phase)) = found {
                let outcome = analyser.solve(&scene.table.rows[row].state);
                self.solves += 1;
                self.held.push(HeldRelay {
                    part: coil.part,
                    hold: Hold::BackFeed { pulls: !weak },
                    row,
                    phase,
                    volts: scene.table.rows[row].relays[relay].volts[phase],
                    drop_out: coil.drop_out,
                    path: Path::through(&scene.circuit, &outcome, phase, coil.branch),
                });
            }
        }
    }

    fn latches(&mut self, scene: &Scene<'_>, analyser: &mut Analyser<'_>) {
        let table = scene.table;
        let row_of: OrdMap<&State, usize> = (0..table.rows.len())
            .map(|row| (&table.rows[row].state, row))
            .collect();
        let pulled = |row: usize| -> Vec<bool> {
            let runs = table.rows[row].relays.iter();
            runs.map(|run| run.pulled[1]).collect()
        };
        let mut outcome = Outcome::default();
        for row in scene.rows(MAX_LATCH_STATES) {
            let state = &table.rows[row].state;
            let rest = pulled(row);
            // Several neighbours may leave the relays alike: one of them speaks for all.
            let mut tried: OrdSet<Vec<bool>> = OrdSet::new();
            let positions = scene.circuit.positions.iter().enumerate();
            let moves = positions.flat_map(|(control, &n)| (0..n).map(move |p| (control, p)));
            for (control, position) in moves.filter(|&(c, p)| p != state.position(c)) {
                let Some(&before) = row_of.get(&state.with(control, position)) else {
                    continue;
                };
                let from = pulled(before);
                let stays = |i: &usize| from[*i] && !rest[*i];
                let may = |i: usize| scene.may_hold(i, state, &from);
                if !(0..from.len()).filter(stays).any(may) || !tried.insert(from.clone()) {
                    continue;
                }
                self.solves += 1;
                analyser.solve_from(state, from.clone(), &mut outcome);
                if !outcome.converged() || !outcome.chatter.is_empty() {
                    continue;
                }
                for relay in (0..from.len()).filter(stays) {
                    let run = outcome.relays[relay];
                    self.latch(scene, analyser, (row, before), (relay, run), &outcome);
                }
            }
        }
    }

    /// Notes a relay that stays in, once.
    fn latch(
        &mut self,
        scene: &Scene<'_>,
        analyser: &Analyser<'_>,
        (row, after): (usize, usize),
        (relay, run): (usize, RelayRun),
        outcome: &Outcome,
    ) {
        let coil = &scene.circuit.relays[relay];
        if !scene.is_relay(coil.part) {
            return;
        }
        // Held by what is told to creep in already: no news.
        let fed = scene.is_fed(coil.branch, &outcome.conducting[0]);
        let known = |held: &HeldRelay| {
            held.part == run.part && (matches!(held.hold, Hold::Latch { .. }) || !fed)
        };
        if !run.pulled[0] || self.held.iter().any(known) {
            return;
        }
        let solved = &scene.table.rows[row];
        let wrong = |verdict: Verdict| verdict != Verdict::AsWished;
        let cells = analyser.cells(&solved.state, outcome);
        let lamps = (0..cells.len())
            .filter(|&i| wrong(cells[i].verdict) && !wrong(solved.cells[i].verdict))
            .collect();
        self.held.push(HeldRelay {
            part: run.part,
            hold: Hold::Latch { after, lamps },
            row,
            phase: 0,
            volts: run.volts[0],
            drop_out: coil.drop_out,
            path: Path::through(&scene.circuit, outcome, 0, coil.branch),
        });
    }
}

impl Scene<'_> {
    /// Whether a part is a relay; what else is switched by a voltage is no coil and holds nothing.
    fn is_relay(&self, part: usize) -> bool {
        let part = self.plan.parts.get(part);
        part.is_some_and(|part| matches!(part.kind, Kind::Relay(_)))
    }

    /// Whether a coil is fed from a source and returned to ground by ways of intended direction.
    fn is_fed(&self, coil: usize, conducts: &[bool]) -> bool {
        let search = |starts: &[NodeId], way| {
            let (leads, passes) = (&self.wiring.intended, |i: usize| conducts[i]);
            self.wiring
                .search_by(&self.circuit, starts, way, leads, passes)
        };
        let fed = search(&self.wiring.sources, Way::Down);
        let returned = search(&self.wiring.sinks, Way::Up);
        let b = &self.circuit.branches[coil];
        let runs = |high, low| fed.has(high) && returned.has(low);
        runs(b.from, b.to) || runs(b.to, b.from)
    }

    /// Whether any current at all can run through a relay's coil with the relays standing so: else there is nothing
    /// to solve.
    fn may_hold(&self, relay: usize, state: &State, relays: &[bool]) -> bool {
        let coil = self.circuit.relays[relay].branch;
        let flashers = vec![true; self.circuit.flashers.len()];
        let switching = Switching {
            state,
            relays,
            flashers: &flashers,
        };
        let search = |starts: &[NodeId], way, other: &[bool]| {
            let passes = |i: usize| {
                let b = &self.circuit.branches[i];
                let enters = other[b.from as usize] || other[b.to as usize];
                i != coil && !enters && self.circuit.conducts(b, switching)
            };
            let leads = &self.wiring.anything;
            self.wiring
                .search_by(&self.circuit, starts, way, leads, passes)
        };
        let fed = search(&self.wiring.sources, Way::Down, &self.wiring.ground);
        let returned = search(&self.wiring.sinks, Way::Up, &self.wiring.trunk);
        let b = &self.circuit.branches[coil];
        let runs = |high, low| fed.has(high) && returned.has(low);
        runs(b.from, b.to) || runs(b.to, b.from)
    }
}
