//! A plan with diodes on trial: lowered once, with every way a diode can change a wire as a branch that is switched.
//!
//! A trial is then nothing but switching and solving single states, in the same elimination order as all others.

use super::place::{Direction, Runs};
use crate::behaviour::{Analyser, Cell, Outcome, Path, Step};
use crate::circuit::{Circuit, Gate, Origin, State};
use crate::hitting::Bits;
use crate::plan::{Plan, Show};

/// A spot by number: twice the run, one more where the diode leads backward.
pub(super) fn number(run: usize, direction: Direction) -> usize {
    2 * run + usize::from(direction == Direction::Backward)
}

/// The run and the direction of a spot.
pub(super) fn spot(number: usize) -> (usize, Direction) {
    let direction = if number.is_multiple_of(2) {
        Direction::Forward
    } else {
        Direction::Backward
    };
    (number / 2, direction)
}

#[derive(Debug)]
pub(super) struct Trial<'a> {
    analyser: Analyser<'a>,
    /// For each run its seat's wire as it is, with a diode forward or backward along the wire, with both.
    ways: Vec<[usize; 4]>,
    /// For each run how its seat lies along it.
    lies: Vec<Direction>,
    /// The spots that are taken now.
    taken: Bits,
    outcome: Outcome,
    /// States solved.
    pub solves: usize,
}

impl<'a> Trial<'a> {
    pub fn new(plan: &'a Plan, mut circuit: Circuit, runs: &Runs, model: &str) -> Self {
        let mut branch_of = vec![0; plan.wires.len()];
        for (branch, lowered) in circuit.branches.iter().enumerate() {
            if let Origin::Wire(wire) = lowered.origin {
                branch_of[wire] = branch;
            }
        }
        let ways = runs
            .seats()
            .map(|(wire, _)| circuit.add_ways(branch_of[wire], model));
        let ways: Vec<[usize; 4]> = ways.collect();
        let lies: Vec<Direction> = runs.seats().map(|(_, lies)| lies).collect();
        Self {
            analyser: Analyser::of(plan, circuit),
            taken: Bits::new(2 * ways.len()),
            ways,
            lies,
            outcome: Outcome::default(),
            solves: 0,
        }
    }

    /// How many spots there are.
    pub fn spots(&self) -> usize {
        2 * self.ways.len()
    }

    /// The cells of a state with diodes at a set of spots; with `only_wished`, without the circuits that are to be dark.
    pub fn cells(&mut self, state: &State, set: &Bits, only_wished: bool) -> Vec<Cell> {
        for run in 0..self.ways.len() {
            let way = |taken: &Bits| {
                let [forward, backward] = [Direction::Forward, Direction::Backward]
                    .map(|direction| taken.contains(number(run, direction)));
                // The seat may lie against its run.
                match (forward, backward, self.lies[run]) {
                    (false, false, _) => 0,
                    (true, true, _) => 3,
                    (true, false, Direction::Forward) | (false, true, Direction::Backward) => 1,
                    (true, false, Direction::Backward) | (false, true, Direction::Forward) => 2,
                }
            };
            let (now, then) = (way(&self.taken), way(set));
            if now != then {
                self.analyser.set_gate(self.ways[run][now], Gate::Never);
                self.analyser.set_gate(self.ways[run][then], Gate::Always);
            }
        }
        self.taken.clone_from(set);
        self.analyser.set_only_wished(only_wished);
        self.analyser.solve_into(state, &mut self.outcome);
        self.solves += 1;
        self.analyser.cells(state, &self.outcome)
    }

    /// Current along a run in the state solved last, in each phase, positive forward.
    pub fn along(&self, run: usize) -> [f64; 2] {
        let [wire, ahead, back, _] = self.ways[run];
        [&self.outcome.on, &self.outcome.off].map(|point| {
            let wire = point.amps[wire] + point.amps[ahead] - point.amps[back];
            if self.lies[run] == Direction::Forward {
                wire
            } else {
                -wire
            }
        })
    }

    /// The way to a lamp circuit in a phase of the state solved last.
    pub fn path(&self, phase: usize, lamp: usize) -> Option<Path> {
        let mut path = Path::trace(self.analyser.circuit(), &self.outcome, phase, lamp)?;
        let amps = [&self.outcome.on, &self.outcome.off].map(|point| &point.amps);
        for step in &mut path.steps {
            let Origin::Wire(_) = step.origin else {
                continue;
            };
            // A diode that leads back carries its current along its own branch and against the wire.
            let same =
                |branch: usize| self.analyser.circuit().branches[branch].origin == step.origin;
            if let Some(way) = self.ways.iter().find(|way| same(way[0]))
                && amps[phase.min(1)][way[2]].abs() > amps[phase.min(1)][way[0]].abs()
            {
                step.reversed = amps[phase.min(1)][way[2]] > 0.0;
            }
        }
        Some(path)
    }

    /// Of the circuits that are to be dark in the state solved last, the one that takes most, with phase and amperes.
    pub fn drain(&self, cells: &[Cell]) -> Option<(usize, usize)> {
        let dark = cells
            .iter()
            .enumerate()
            .filter(|(_, cell)| cell.wish == Show::Off);
        let taken = dark.flat_map(|(lamp, cell)| {
            [cell.on, cell.off]
                .into_iter()
                .enumerate()
                .map(move |(phase, reading)| (reading.amps.abs(), lamp, phase))
        });
        let most = taken.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))?;
        Some((most.1, most.2))
    }
}

/// The spots at which a diode would stop the current of a path.
pub(super) fn against<'a>(runs: &'a Runs, path: &'a Path) -> impl Iterator<Item = usize> + 'a {
    let spot = |step: &Step| runs.against(step).map(|(run, way)| number(run, way));
    path.steps.iter().filter_map(spot)
}
