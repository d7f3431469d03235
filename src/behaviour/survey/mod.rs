//! What the sneak-circuit checks ask beyond the table: who is fed from where, what runs both ways, what a lost
//! ground does, what holds a relay.
//!
//! Most of it is read off the table (largest currents, verdicts) and off the graph of conducting branches; only
//! single states and lost grounds are solved again. The work is bounded: see [`MAX_SOLVES`] and
//! [`MAX_SEARCHES`].

mod crossbar;
mod feeds;
mod grounds;
mod relays;
mod returns;
mod sources;
mod wiring;

pub use crossbar::{Crossbar, Run, TURN_SHARE};
pub use feeds::{Shared, Tie};
pub use grounds::{DIMS_BELOW, Effect, Harm, LostReturn};
pub use relays::{HeldRelay, Hold};
pub use returns::{Detour, LampSwitching, SwitchedLamps};

pub use sources::{DRAIN_AMPS, Drain, LiveBehind, OtherSource, Sources};

use super::{Analyser, Table};
use crate::circuit::Circuit;
use crate::plan::Plan;
use feeds::FuseBranch;
use wiring::Wiring;

/// Most states solved for lost grounds: an eighth of the largest table.
pub const MAX_SOLVES: usize = 512;
/// Most searches of the graph for fuses that share a load, and as many again for other sources; each visits every
/// branch once.
const MAX_SEARCHES: usize = 2048;

/// What has been worked out of a plan beside its table.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Survey {
    /// Branches through which current runs both ways, or only against the intended direction.
    pub crossbars: Vec<Crossbar>,
    /// Fuses behind which the circuit stays live when they are pulled.
    pub ties: Vec<Tie>,
    /// Loads that two fuses feed at once through diodes.
    pub shared: Vec<Shared>,
    /// Which lamps are switched in their feed and which in their return.
    pub switching: LampSwitching,
    /// Returns whose loss lights or dims what it should not.
    pub lost: Vec<LostReturn>,
    /// Returns whose loss was not looked at, since there are too many.
    pub lost_unlooked: usize,
    /// Relays that something unintended holds in.
    pub held: Vec<HeldRelay>,
    /// What other sources than the first battery do.
    pub sources: Sources,
    /// States solved for all this.
    pub solves: usize,
}

/// What every part of the survey looks at.
struct Scene<'a> {
    plan: &'a Plan,
    table: &'a Table,
    circuit: Circuit,
    wiring: Wiring,
    fuses: Vec<FuseBranch>,
}

impl Survey {
    /// Surveys a plan without faults and its table. A table of another plan gives an empty survey.
    pub fn new(plan: &Plan, table: &Table) -> Self {
        let mut analyser = Analyser::new(plan, &[]);
        let circuit = analyser.circuit().clone();
        let fits = table.peaks.len() == circuit.branches.len()
            && table.lamps.len() == circuit.lamps.len()
            && table
                .rows
                .iter()
                .all(|row| row.relays.len() == circuit.relays.len());
        if !fits {
            return Self::default();
        }
        let wiring = Wiring::new(plan, &circuit, &table.peaks);
        let mut scene = Scene {
            plan,
            table,
            circuit,
            wiring,
            fuses: Vec::new(),
        };
        scene.fuses = feeds::fuses(&scene);
        let mut survey = Self::default();
        survey.crossbars(&scene, &mut analyser);
        survey.feeds(&scene);
        survey.switching = returns::switching(&scene);
        survey.lost_returns(&scene);
        survey.held_relays(&scene, &mut analyser);
        survey.other_sources(&scene, &mut analyser);
        survey
    }
}

impl Scene<'_> {
    /// Rows to solve again when at most `most` may be: at rest, each control moved alone, then combinations in the
    /// order of the table, and the last one, in which all controls are moved.
    fn rows(&self, most: usize) -> Vec<usize> {
        let count = self.table.rows.len();
        let mut rows: Vec<usize> = (0..count.min(most.max(1))).collect();
        if let Some(last) = rows.last_mut() {
            *last = count - 1;
        }
        rows.dedup();
        rows
    }
}
