//! The behaviour table: every state × every lamp circuit.

use super::path::Currents;
use super::{
    Analyser, Cell, FlasherRun, Outcome, Path, Peaks, Problem, RelayRun, Tally, Verdict, groups,
};
use crate::circuit::{Fault, State, all_states, gray_rank, state_count};
use crate::plan::{ControlId, LampId, Plan};
use crate::text::say;
use crate::units::order::Order;

/// Most states listed where nobody says otherwise: twelve two-way controls.
pub const MAX_STATES: usize = 4096;

/// Most paths kept as evidence.
const MAX_EVIDENCE: usize = 20_000;

/// One state.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Position of every control.
    pub state: State,
    /// One cell per lamp circuit.
    pub cells: Vec<Cell>,
    /// What each flasher does.
    pub flashers: Vec<FlasherRun>,
    /// What each relay does.
    pub relays: Vec<RelayRun>,
    /// Whether both phases were solved within bounds; if not, the numbers may not be shown.
    pub solved: bool,
}

/// How well the solver did.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SolveRecord {
    /// States solved.
    pub states: usize,
    /// States missed.
    pub missed: usize,
    /// Largest residual in amperes.
    pub worst_residual: f64,
    /// Most Newton steps in one phase.
    pub iterations_max: u32,
}

/// Which states the rows cover.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coverage {
    /// How many states the controls have.
    pub total: u128,
    /// How the rows were chosen from them.
    pub choice: Choice,
}

/// How the rows were chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// Every state.
    All,
    /// Every state of each group of controls, with all other controls at rest and at their heaviest.
    Groups(usize),
    /// Controls moved alone and in pairs, or some other few states: something may have been missed.
    Pairs,
}

/// Why a cell is not as wished.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Row.
    pub row: usize,
    /// Lamp circuit.
    pub lamp: usize,
    /// Path of the current that lights it: for a masked cell, of the feed that hides the flash.
    pub path: Path,
}

/// The behaviour of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Controls, in the order of the states.
    pub controls: Vec<ControlId>,
    /// Lamp circuits, in the order of the cells.
    pub lamps: Vec<LampId>,
    /// Rows: at rest, then each control moved alone, then combinations.
    pub rows: Vec<Row>,
    /// Paths behind the back-fed, masked and overdriven cells, by row and lamp circuit.
    pub evidence: Vec<Evidence>,
    /// Largest currents of every branch, in the order of the circuit's branches.
    pub peaks: Vec<Peaks>,
    /// Parts (by index) of relays that chatter, each with the first row.
    pub chatter: Vec<(usize, usize)>,
    /// What the rows cover.
    pub coverage: Coverage,
    /// What could not be lowered as written.
    pub problems: Vec<Problem>,
    /// How well the solver did.
    pub solve: SolveRecord,
    /// Largest currents over all rows.
    pub tally: Tally,
}

/// Works out the behaviour of a plan with `faults` in it, over at most [`MAX_STATES`] states.
pub fn table(plan: &Plan, faults: &[Fault]) -> Table {
    table_within(plan, faults, MAX_STATES)
}

/// The same over at most `limit` states: every one if there are no more, else a choice of them.
pub fn table_within(plan: &Plan, faults: &[Fault], limit: usize) -> Table {
    let mut job = TableJob::new(plan, faults, limit);
    while job.step() {}
    job.finish()
}

/// The same over these states alone: what others would show may be missed.
pub fn table_of(plan: &Plan, states: Vec<State>) -> Table {
    TableJob::over(plan, Analyser::new(plan, &[]), Choice::Pairs, states).finish()
}

/// A table being worked out state by state, so that whoever waits for it can do other things in between.
#[derive(Debug)]
pub struct TableJob<'a> {
    analyser: Analyser<'a>,
    table: Table,
    /// Rows in the order in which they are solved: one control moves at a time, so that each state starts near the last.
    order: Vec<usize>,
    /// Rows solved.
    done: usize,
    outcome: Outcome,
}

impl<'a> TableJob<'a> {
    /// Makes ready for at most `limit` states: every one if there are no more, else a choice of them.
    pub fn new(plan: &'a Plan, faults: &[Fault], limit: usize) -> Self {
        let analyser = Analyser::new(plan, faults);
        let positions = &analyser.circuit().positions;
        let (choice, states) = match all_states(positions, limit) {
            Some(states) => (Choice::All, states),
            None => match groups::states(plan, analyser.circuit(), limit) {
                Some((count, states)) => (Choice::Groups(count), states),
                None => (Choice::Pairs, alone_and_in_pairs(positions, limit)),
            },
        };
        Self::over(plan, analyser, choice, states)
    }

    fn over(plan: &Plan, analyser: Analyser<'a>, choice: Choice, states: Vec<State>) -> Self {
        let positions = analyser.circuit().positions.clone();
        let total = state_count(&positions);
        let mut table = Table {
            controls: plan
                .controls
                .iter()
                .map(|control| control.id.clone())
                .collect(),
            lamps: analyser
                .circuit()
                .lamps
                .iter()
                .map(|lamp| lamp.id.clone())
                .collect(),
            rows: Vec::new(),
            evidence: Vec::new(),
            peaks: Peaks::blank(analyser.circuit()),
            chatter: Vec::new(),
            coverage: Coverage { total, choice },
            problems: analyser.circuit().problems.clone(),
            solve: SolveRecord::default(),
            tally: Tally::default(),
        };

        let mut order: Vec<usize> = (0..states.len()).collect();
        let ranks: Vec<u128> = states
            .iter()
            .map(|state| gray_rank(state, &positions))
            .collect();
        order.order_by_key(|&row| ranks[row]);
        let blank = |state| Row {
            state,
            cells: Vec::new(),
            flashers: Vec::new(),
            relays: Vec::new(),
            solved: false,
        };
        table.rows = states.into_iter().map(blank).collect();
        table.tally = Tally::new(analyser.circuit(), plan.wires.len(), table.rows.len());
        Self {
            analyser,
            table,
            order,
            done: 0,
            outcome: Outcome::default(),
        }
    }

    /// States solved, and states in all.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.order.len())
    }

    /// Solves one more state; `false` when there was none left.
    pub fn step(&mut self) -> bool {
        let Some(&row) = self.order.get(self.done) else {
            return false;
        };
        self.table.fill(&mut self.analyser, row, &mut self.outcome);
        self.done += 1;
        true
    }

    /// The table, with what is left solved.
    pub fn finish(mut self) -> Table {
        while self.step() {}
        let mut table = self.table;
        table.tally.finish();
        table
            .evidence
            .order_by_key(|evidence| (evidence.row, evidence.lamp));
        table.chatter.order();
        table.chatter.dedup_by_key(|&mut (part, _)| part);
        table
    }
}

/// At rest, each control moved alone, and pairs of controls as far as `limit` reaches.
fn alone_and_in_pairs(positions: &[usize], limit: usize) -> Vec<State> {
    let rest = State::at_rest(positions.len());
    let mut states = vec![rest.clone()];
    let alone = |state: &State, from: usize| -> Vec<State> {
        let moves = (from..positions.len()).flat_map(|c| (1..positions[c]).map(move |p| (c, p)));
        moves
            .map(|(control, position)| state.with(control, position))
            .collect()
    };
    let singles = alone(&rest, 0);
    states.extend(singles.iter().cloned());
    for single in &singles {
        let last = single.0.iter().rposition(|&p| p != 0).unwrap_or(0);
        states.extend(alone(single, last + 1));
    }
    states.truncate(limit);
    states
}

impl Table {
    fn fill(&mut self, analyser: &mut Analyser<'_>, row: usize, outcome: &mut Outcome) {
        let state = &self.rows[row].state;
        analyser.solve_into(state, outcome);
        let cells = analyser.cells(state, outcome);
        let mut currents: [Option<Currents<'_>>; 2] = [None, None];
        for (lamp, cell) in cells.iter().enumerate() {
            let bright = usize::from(cell.off.level > cell.on.level);
            let phase = match cell.verdict {
                Verdict::BackFed | Verdict::Overdriven => bright,
                Verdict::Masked => 1 - bright,
                _ => continue,
            };
            if self.evidence.len() == MAX_EVIDENCE {
                break;
            }
            let circuit = analyser.circuit();
            let currents =
                currents[phase].get_or_insert_with(|| Currents::of(circuit, outcome, phase));
            if let Some(path) = currents.path(circuit.lamps[lamp].branch) {
                self.evidence.push(Evidence { row, lamp, path });
            }
        }
        self.chatter
            .extend(outcome.chatter.iter().map(|&part| (part, row)));
        let solved = outcome.converged();
        if solved {
            self.tally.take(analyser.circuit(), outcome, row);
            Peaks::take(&mut self.peaks, analyser.circuit(), outcome, row);
        }
        self.solve.states += 1;
        self.solve.missed += usize::from(!solved);
        for point in [&outcome.on, &outcome.off] {
            self.solve.worst_residual = self.solve.worst_residual.max(point.residual);
            self.solve.iterations_max = self.solve.iterations_max.max(point.iterations);
        }
        let slot = &mut self.rows[row];
        slot.cells = cells;
        slot.flashers.clone_from(&outcome.flashers);
        slot.relays.clone_from(&outcome.relays);
        slot.solved = solved;
    }

    /// Whether every cell of every row is as wished, no state may have been missed, and all were solved.
    pub fn as_wished(&self) -> bool {
        self.coverage.choice != Choice::Pairs
            && self.solve.missed == 0
            && self
                .rows
                .iter()
                .flat_map(|row| &row.cells)
                .all(|c| c.verdict == Verdict::AsWished)
    }

    /// Whether anything is back-fed or masked: what diodes, contacts or relays can cure.
    pub fn is_curable(&self) -> bool {
        let curable = |v: Verdict| matches!(v, Verdict::BackFed | Verdict::Masked);
        self.rows
            .iter()
            .flat_map(|row| &row.cells)
            .any(|cell| curable(cell.verdict))
    }

    /// How many states there are and which of them the rows cover, in one sentence.
    pub fn coverage_words(&self) -> String {
        let (rows, total) = (self.rows.len(), self.coverage.total);
        match self.coverage.choice {
            Choice::All => say!("{total} states, all of them worked out."),
            Choice::Groups(groups) => say!(
                "The {total} control states fall into {groups} groups of controls that act on lamps of \
                 their own. Every state of each group was solved with the other controls at rest and at \
                 their heaviest: {rows} states."
            ),
            Choice::Pairs => say!(
                "Only {rows} of {total} control states are covered: controls moved alone and in pairs. \
                 What three controls do together may have been missed."
            ),
        }
    }

    /// The path behind a cell, where one was kept.
    pub fn path(&self, row: usize, lamp: usize) -> Option<&Path> {
        let at = self
            .evidence
            .binary_search_by_key(&(row, lamp), |e| (e.row, e.lamp))
            .ok()?;
        Some(&self.evidence[at].path)
    }

    /// The row of a state, if it is listed.
    pub fn row(&self, state: &State) -> Option<&Row> {
        self.rows.iter().find(|row| row.state == *state)
    }
}
