//! Where diodes must go so that nothing lights that was not wished, and what they cost.
//!
//! A diode can stand in any wire of the supply side, in either direction. Every unwished path that the solver
//! finds must be cut by one of them, and none may cut what is wished: a minimum hitting set. The paths are not
//! listed beforehand; they are drawn from the behaviour table of each proposed set until none is left
//! (implicit hitting set, Moreno-Centeno and Karp 2013), so every proposal has been solved in
//! every state, and the count is the least one as long as each path learnt must be cut in every cure. A diode can only take conduction away, so one that leaves a wished lamp dark is
//! out for good; a path on which every diode would do that is one that no diode can cut, and the reasons are
//! its proof.

mod bits;
mod cost;
mod forced;
mod hitting;
mod learn;
mod light;
mod place;
mod priority;
mod progress;
mod proposal;
mod rows;
mod search;
mod trial;

pub use cost::Costs;
pub use place::{Direction, Placement, edit};
pub use priority::{Arrangement, Priority, priority};
pub use progress::{Doing, Progress};
pub use proposal::{Advice, Proposal, Tally, advise};
pub use search::{Cure, Isolation, Uncut, isolate};
