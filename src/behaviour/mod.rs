//! What every lamp circuit does in every state, compared with what was wished.
//!
//! [`Analyser`] solves one state: relays are iterated to a fixed point and both phases of the flashers are
//! solved. [`table`] runs it over all states; [`judge`] turns readings into verdicts; [`path`] names the way
//! the current takes from battery to lamp to ground.

mod analyser;
mod compare;
mod explain;
mod groups;
mod guard;
mod judge;
mod loads;
mod path;
mod peaks;
pub mod survey;
mod table;
mod tally;

pub use crate::circuit::{Fault, Origin, Problem, State, Subject};
pub use analyser::{Analyser, FlasherRun, Flow, Outcome, RelayRun, Tick};
pub use compare::{CellPair, Pair, compare};
pub use explain::Explanation;
pub use guard::{Guard, Guards};
pub use loads::{Drop, FlasherLoad, LampLoad, Load, Loads, Mix, Short, loads};
pub use path::{Path, Step};
pub use peaks::{LIVE_VOLTS, Peak, Peaks, RUNNING_AMPS};
pub use table::{
    Choice, Coverage, Evidence, MAX_STATES, Row, SolveRecord, Table, TableJob, table, table_of,
    table_within,
};
pub use tally::{BranchTally, CoilTally, Most, Tally};

use crate::plan::Show;
use crate::text::say;

/// What one phase of a lamp circuit reads.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Reading {
    /// Volts along the circuit.
    pub volts: f64,
    /// Amperes through it.
    pub amps: f64,
    /// Light as a share of rated light.
    pub level: f64,
}

/// What the eye sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shows {
    /// Dark.
    Off,
    /// A glow seen in the dark.
    Faint,
    /// Lit, but not fully.
    Dim,
    /// Fully lit without a break.
    Steady,
    /// Bright and dark in turn.
    Flashing,
}

impl Shows {
    /// As one English word, for keys and files.
    pub const fn text(self) -> &'static str {
        match self {
            Shows::Off => "off",
            Shows::Faint => "faint",
            Shows::Dim => "dim",
            Shows::Steady => "steady",
            Shows::Flashing => "flashing",
        }
    }

    /// As one word for people.
    pub fn word(self) -> &'static str {
        match self {
            Shows::Off => say!("what a lamp shows" => "off"),
            Shows::Faint => say!("what a lamp shows" => "faint"),
            Shows::Dim => say!("what a lamp shows" => "dim"),
            Shows::Steady => say!("what a lamp shows" => "steady"),
            Shows::Flashing => say!("what a lamp shows" => "flashing"),
        }
    }
}

/// How what is seen compares with what was wished.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
pub enum Verdict {
    /// As wished.
    AsWished,
    /// Lit, not wished.
    BackFed,
    /// Wished, not lit (or dark in one phase where steady light was wished).
    Dead,
    /// Lit too low.
    Weak,
    /// Its flash is hidden by a steady feed.
    Masked,
    /// More light than it is made for.
    Overdriven,
}

impl Verdict {
    /// As one English word, for keys and files.
    pub const fn text(self) -> &'static str {
        match self {
            Verdict::AsWished => "as-wished",
            Verdict::BackFed => "back-fed",
            Verdict::Dead => "dead",
            Verdict::Weak => "weak",
            Verdict::Masked => "masked",
            Verdict::Overdriven => "overdriven",
        }
    }

    /// As one word for people.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::AsWished => say!("as wished"),
            Verdict::BackFed => say!("back-fed"),
            Verdict::Dead => say!("verdict" => "dead"),
            Verdict::Weak => say!("verdict" => "weak"),
            Verdict::Masked => say!("masked"),
            Verdict::Overdriven => say!("overdriven"),
        }
    }
}

/// One state of one lamp circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// While the flashers are closed.
    pub on: Reading,
    /// While they are open; equal to `on` where nothing flashes.
    pub off: Reading,
    /// What is seen.
    pub shows: Shows,
    /// What was wished.
    pub wish: Show,
    /// The wish (by index) that says so; `None` where no wish speaks and the circuit is to stay dark.
    pub ruled_by: Option<usize>,
    /// The comparison.
    pub verdict: Verdict,
}

impl Cell {
    /// The phase with more light.
    pub fn bright(&self) -> Reading {
        if self.off.level > self.on.level {
            self.off
        } else {
            self.on
        }
    }

    /// The phase with less light.
    pub fn dark(&self) -> Reading {
        if self.off.level > self.on.level {
            self.on
        } else {
            self.off
        }
    }
}
