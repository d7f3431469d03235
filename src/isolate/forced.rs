//! Light that is wished in one state and cannot be kept out of another.
//!
//! Where all that conducts in a state in which a circuit is to burn steadily conducts in another state too, the
//! circuit burns there as well, diodes or not: a diode leads or does not lead whatever else is switched on. So what is
//! lit then against the wishes is beyond diodes, as is a flash that such a feed hides.

use crate::behaviour::{Row, Table, Tick, Verdict};
use crate::circuit::{Circuit, Gate, Switching};
use crate::hitting::Bits;
use crate::plan::Show;

/// States kept for a circuit in which it is wished steady.
const MAX_KEPT: usize = 16;

/// What conducts in each state, and the states in which circuits burn as wished.
#[derive(Debug)]
pub(super) struct Forced {
    /// For each row the switched branches that conduct in each phase of the flashers.
    conducting: Vec<[Bits; 2]>,
    /// For each lamp circuit the rows in which it is wished steady and is, of which none conducts all that another does.
    steady: Vec<Vec<usize>>,
}

impl Forced {
    pub fn new(circuit: &Circuit, table: &Table) -> Self {
        let switched = |branch: &&crate::circuit::Lowered| branch.gate != Gate::Always;
        let switched: Vec<_> = circuit.branches.iter().filter(switched).collect();
        let phases = |row: &Row| {
            [0, 1].map(|phase| {
                let relays: Vec<bool> = row.relays.iter().map(|run| run.pulled[phase]).collect();
                let runs = row.flashers.iter();
                // One that carries nothing counts as open: what burns then burns without it.
                let flashers: Vec<bool> = runs
                    .map(|run| phase == 0 || run.tick == Tick::Stuck)
                    .collect();
                let switching = Switching {
                    state: &row.state,
                    relays: &relays,
                    flashers: &flashers,
                };
                let mut bits = Bits::new(switched.len());
                for (bit, branch) in switched.iter().enumerate() {
                    if circuit.conducts(branch, switching) {
                        bits.insert(bit);
                    }
                }
                bits
            })
        };
        let conducting: Vec<[Bits; 2]> = table.rows.iter().map(phases).collect();
        let steady = (0..table.lamps.len()).map(|lamp| {
            let mut kept: Vec<usize> = Vec::new();
            for (at, row) in table.rows.iter().enumerate() {
                let fits = row.cells.get(lamp).is_some_and(|cell| {
                    cell.wish == Show::Steady && cell.verdict == Verdict::AsWished
                });
                let within = |known: &usize| conducting[*known][1].is_subset(&conducting[at][1]);
                if fits && kept.len() < MAX_KEPT && !kept.iter().any(within) {
                    kept.push(at);
                }
            }
            kept
        });
        let steady = steady.collect();
        Self { conducting, steady }
    }

    /// A row in which a circuit is wished steady, and which conducts no more than a row does in a phase.
    pub fn by(&self, row: usize, phase: usize, lamp: usize) -> Option<usize> {
        let all = &self.conducting[row][phase];
        let within = |steady: &&usize| self.conducting[**steady][1].is_subset(all);
        self.steady[lamp].iter().find(within).copied()
    }
}
