//! Solves one state: relays to a fixed point, both phases of the flashers.

use super::judge::{self, Wishes};
use super::{Cell, Explanation, Path, Reading, Row};
use crate::circuit::{Circuit, Fault, Gate, Origin, RelayCoil, State, Switching};
use crate::network::{Branch, Element, Network};
use crate::plan::{FlasherAction, Plan, Show};
use crate::solve::{OperatingPoint, Solver};

/// Times the relays may be re-set in one phase before they count as chattering.
const MAX_RELAY_ROUNDS: usize = 40;
/// A flasher carrying less than this many amperes is not loaded at all.
const NO_LOAD_AMPS: f64 = 1e-3;
/// Share of a flasher's smallest load below which it carries no load either: currents between grounds that
/// differ by some millivolts come to a few milliamperes through cold filaments.
const NO_LOAD_SHARE: f64 = 0.05;

/// What a flasher does in one state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tick {
    /// No current: nothing to flash.
    Idle,
    /// Flashes at its rate.
    Normal,
    /// Electronic unit below its smallest load: flashes at twice the rate.
    Fast,
    /// Thermal unit below its smallest load: stays closed.
    Stuck,
    /// Load above its largest.
    Overloaded,
}

/// A flasher in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlasherRun {
    /// Index of its part.
    pub part: usize,
    /// Load current while closed.
    pub amps: f64,
    /// What it does.
    pub tick: Tick,
    /// Flashes per minute; 0 where it does not flash.
    pub per_minute: f64,
}

/// A relay, or what switches a converter, in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelayRun {
    /// Index of its part.
    pub part: usize,
    /// Whether it is pulled in (the converter works), in each phase of the flashers.
    pub pulled: [bool; 2],
    /// Volts along its coil or input in each phase, never negative.
    pub volts: [f64; 2],
}

/// Current of one wire in the two phases, positive in its intended direction.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Flow {
    /// Flashers closed.
    pub on: f64,
    /// Flashers open.
    pub off: f64,
}

/// One state, solved.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// Operating point with the flashers closed.
    pub on: OperatingPoint,
    /// Operating point with the flashers open; the same where nothing flashes.
    pub off: OperatingPoint,
    /// Branches that conduct in each phase.
    pub conducting: [Vec<bool>; 2],
    /// What each flasher does.
    pub flashers: Vec<FlasherRun>,
    /// What each relay does.
    pub relays: Vec<RelayRun>,
    /// Parts (by index) of relays that found no rest.
    pub chatter: Vec<usize>,
}

impl Outcome {
    /// Whether both phases were found within the residual bound.
    pub fn converged(&self) -> bool {
        self.on.converged && self.off.converged
    }
}

/// Solves the states of one plan.
#[derive(Debug, Clone)]
pub struct Analyser<'a> {
    plan: &'a Plan,
    circuit: Circuit,
    network: Network,
    solver: Solver,
    wishes: Wishes,
    /// Whether circuits that are to be dark are taken out.
    only_wished: bool,
}

impl<'a> Analyser<'a> {
    /// Lowers the plan, with `faults` worked in, and orders its equations.
    pub fn new(plan: &'a Plan, faults: &[Fault]) -> Self {
        Self::of(plan, Circuit::new(plan, faults))
    }

    /// The same for a plan that was lowered before; `circuit` may have more branches than came of it.
    pub fn of(plan: &'a Plan, circuit: Circuit) -> Self {
        let network = circuit.topology();
        let solver = Solver::new(&network);
        let wishes = Wishes::new(plan, &circuit);
        Self {
            plan,
            circuit,
            network,
            solver,
            wishes,
            only_wished: false,
        }
    }

    /// Whether from now on every lamp circuit that is to be dark in a state is taken out before it is solved: what is
    /// left shows whether the others would be fed if nothing drained their current away.
    pub fn set_only_wished(&mut self, only_wished: bool) {
        self.only_wished = only_wished;
    }

    /// From now on a branch conducts under another condition; one that does not exist is passed over.
    pub fn set_gate(&mut self, branch: usize, gate: Gate) {
        if let Some(branch) = self.circuit.branches.get_mut(branch) {
            branch.gate = gate;
        }
    }

    /// The plan.
    pub fn plan(&self) -> &'a Plan {
        self.plan
    }

    /// The plan as lowered.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// Solves a state.
    ///
    /// Relays start at rest, as they do when the battery is connected with the controls standing so. A
    /// circuit that latches and a circuit that does not are thus told apart by the plan alone.
    pub fn solve(&mut self, state: &State) -> Outcome {
        let mut outcome = Outcome::default();
        self.solve_into(state, &mut outcome);
        outcome
    }

    /// Solves a state and writes the result over `outcome`.
    pub fn solve_into(&mut self, state: &State, outcome: &mut Outcome) {
        let rest = vec![false; self.circuit.relays.len()];
        self.solve_from(state, rest, outcome);
    }

    /// Solves a state that is entered with the relays (in the order of the parts) pulled in or not.
    pub fn solve_from(&mut self, state: &State, mut relays: Vec<bool>, outcome: &mut Outcome) {
        outcome.chatter.clear();
        relays.resize(self.circuit.relays.len(), false);
        let mut closed = vec![true; self.circuit.flashers.len()];
        self.settle(
            state,
            &mut relays,
            &closed,
            &mut outcome.on,
            &mut outcome.chatter,
        );
        self.note_conducting(&mut outcome.conducting[0]);
        outcome.relays.clear();
        for (relay, &pulled) in self.circuit.relays.iter().zip(&relays) {
            let volts = self.coil_volts(relay, &outcome.on);
            outcome.relays.push(RelayRun {
                part: relay.part,
                pulled: [pulled; 2],
                volts: [volts; 2],
            });
        }

        outcome.flashers.clear();
        for flasher in &self.circuit.flashers {
            let amps = outcome.on.amps[flasher.branch].abs();
            let (min, max) = flasher.window;
            let tick = if amps < NO_LOAD_AMPS.max(NO_LOAD_SHARE * min) {
                Tick::Idle
            } else if amps > max {
                Tick::Overloaded
            } else if amps >= min {
                Tick::Normal
            } else if flasher.action == FlasherAction::Thermal {
                Tick::Stuck
            } else {
                Tick::Fast
            };
            let per_minute = match tick {
                Tick::Idle | Tick::Stuck => 0.0,
                Tick::Normal | Tick::Overloaded => flasher.per_minute,
                Tick::Fast => 2.0 * flasher.per_minute,
            };
            outcome.flashers.push(FlasherRun {
                part: flasher.part,
                amps,
                tick,
                per_minute,
            });
        }
        let mut any = false;
        for (closed, run) in closed.iter_mut().zip(&outcome.flashers) {
            *closed = run.per_minute <= 0.0;
            any |= !*closed;
        }
        if any {
            self.settle(
                state,
                &mut relays,
                &closed,
                &mut outcome.off,
                &mut outcome.chatter,
            );
            self.note_conducting(&mut outcome.conducting[1]);
            for (i, (run, &pulled)) in outcome.relays.iter_mut().zip(&relays).enumerate() {
                run.pulled[1] = pulled;
                run.volts[1] = self.coil_volts(&self.circuit.relays[i], &outcome.off);
            }
        } else {
            let [on, off] = &mut outcome.conducting;
            outcome.off.clone_from(&outcome.on);
            off.clone_from(on);
        }
        outcome.chatter.sort_unstable();
        outcome.chatter.dedup();
    }

    fn coil_volts(&self, relay: &RelayCoil, point: &OperatingPoint) -> f64 {
        coil_volts(relay, &self.network.branches[relay.branch], point)
    }

    fn note_conducting(&self, conducting: &mut Vec<bool>) {
        conducting.clear();
        conducting.extend(self.network.branches.iter().map(|b| b.element.is_present()));
    }

    /// Solves one phase, re-setting the relays by their coil voltage until none changes.
    fn settle(
        &mut self,
        state: &State,
        relays: &mut [bool],
        flashers: &[bool],
        point: &mut OperatingPoint,
        chatter: &mut Vec<usize>,
    ) {
        let mut iterations = 0;
        for round in 0.. {
            self.circuit.switch(
                &mut self.network,
                Switching {
                    state,
                    relays,
                    flashers,
                },
            );
            if self.only_wished {
                for (index, lamp) in self.circuit.lamps.iter().enumerate() {
                    let dark = self.wishes.at(index, state).show == Show::Off;
                    if dark {
                        self.network.branches[lamp.branch].element = Element::Absent;
                    }
                }
            }
            self.solver.solve_into(&self.network, point);
            iterations += point.iterations;
            let mut changed = None;
            for (pulled, relay) in relays.iter_mut().zip(&self.circuit.relays) {
                let coil = &self.network.branches[relay.branch];
                let volts = coil_volts(relay, coil, point);
                let now = if *pulled {
                    volts > relay.drop_out
                } else {
                    volts >= relay.pull_in
                };
                if now != *pulled {
                    *pulled = now;
                    changed = Some(relay.part);
                    if round >= MAX_RELAY_ROUNDS {
                        chatter.push(relay.part);
                    }
                }
            }
            if changed.is_none() || round >= MAX_RELAY_ROUNDS {
                break;
            }
        }
        point.iterations = iterations;
    }

    /// Volts, amperes and light of a lamp circuit (by index) at an operating point.
    fn reading(&self, lamp: usize, point: &OperatingPoint, conducting: &[bool]) -> Reading {
        let lamp = &self.circuit.lamps[lamp];
        if !conducting.get(lamp.branch).copied().unwrap_or(false) {
            return Reading::default();
        }
        let branch = &self.circuit.branches[lamp.branch];
        let volts = point.across(branch.from, branch.to);
        let amps = point.amps[lamp.branch];
        Reading {
            volts,
            amps,
            level: lamp.light.level(volts, amps),
        }
    }

    /// What is wished of a lamp circuit (by index) in a state.
    pub fn wish(&self, lamp: usize, state: &State) -> Show {
        self.wishes.at(lamp, state).show
    }

    /// The cells of a solved state, one per lamp circuit.
    pub fn cells(&self, state: &State, outcome: &Outcome) -> Vec<Cell> {
        (0..self.circuit.lamps.len())
            .map(|lamp| {
                let on = self.reading(lamp, &outcome.on, &outcome.conducting[0]);
                let off = self.reading(lamp, &outcome.off, &outcome.conducting[1]);
                judge::cell(&self.plan.settings, on, off, &self.wishes.at(lamp, state))
            })
            .collect()
    }

    /// Why a lamp circuit (by index) does what its cell says in a solved state. `path` lights it; `hiding` is the
    /// steady feed of a masked one.
    pub fn explain(
        &self,
        state: &State,
        lamp: usize,
        cell: &Cell,
        path: Option<&Path>,
        hiding: Option<&Path>,
    ) -> Explanation {
        let wish = self.wishes.deciding(lamp, state);
        let wish = wish.and_then(|wish| self.plan.wishes.get(wish));
        Explanation::new(self.plan, cell, wish, path, hiding)
    }

    /// The row of a state.
    pub fn row(&mut self, state: &State) -> Row {
        let outcome = self.solve(state);
        let cells = self.cells(state, &outcome);
        let solved = outcome.converged();
        Row {
            state: state.clone(),
            cells,
            flashers: outcome.flashers,
            relays: outcome.relays,
            solved,
        }
    }

    /// Current of every wire, by index.
    pub fn flows(&self, outcome: &Outcome) -> Vec<Flow> {
        let mut flows = vec![Flow::default(); self.plan.wires.len()];
        for (i, branch) in self.circuit.branches.iter().enumerate() {
            if let Origin::Wire(wire) = branch.origin {
                flows[wire] = Flow {
                    on: outcome.on.amps[i],
                    off: outcome.off.amps[i],
                };
            }
        }
        flows
    }
}

/// Volts along a coil, whichever side they come from; at the input of a converter the side does matter.
fn coil_volts(relay: &RelayCoil, coil: &Branch, point: &OperatingPoint) -> f64 {
    let volts = point.across(coil.from, coil.to);
    if relay.either_way {
        volts.abs()
    } else {
        volts.max(0.0)
    }
}
