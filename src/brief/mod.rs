//! From the answers of a form to a plan that does what was wished in every state.
//!
//! Method: the answers are resolved to single lamps and to feeds (what one hand movement makes live); each feed gets
//! a fuse, a switch and a net; circuits that several feeds light get diodes, resistors or a contact that gives one of
//! them priority. What the answers contradict each other in is named before anything is drafted.

mod answers;
mod build;
mod contradict;
mod fitting;
mod lamps;
mod nets;
mod place;
mod resolve;
mod signals;
mod size;
mod trailer;
pub mod turn;
mod wishes;

pub use answers::{
    Across, Brief, Charging, ControlAnswer, End, Fitting, Lamps, Lit, Return, Signal, Size, Socket,
    System, TurnPriority,
};

pub use contradict::{Contradiction, Mend, contradictions};

use crate::plan::Plan;
use std::collections::BTreeMap;

/// The plan that the answers ask for. Answers that contradict each other give a plan in which what cannot be is
/// left out.
pub fn draft(brief: &Brief) -> Plan {
    build::build(brief, &BTreeMap::new(), &[]).0
}
