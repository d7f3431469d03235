//! Where diodes must go so that nothing lights that was not wished, and what they cost.
//!
//! A diode can stand in any wire of the supply side, in either direction. What has to be cut is not listed beforehand: a
//! least set is tried, what it leaves open is learnt as one more demand, and so on until nothing is left (implicit hitting
//! set, Moreno-Centeno and Karp 2013). A trial only switches branches of a network that is lowered once, and looks at
//! few states; what stands it is solved in all of them, and what fails there joins the few.
//!
//! What is learnt holds of every cure as long as one more diode never makes a back-feed stronger, and never gives light to
//! a circuit that nothing drains. That is so of resistances and diodes in series and beside each other. It need not be so
//! where a diode keeps a relay from pulling in, where a current that is cut in one place comes out stronger in another,
//! or where a flash loses so much light to a diode that a glow hides it; the last is noticed, and the count then not
//! called the least. `tests/isolate.rs` holds the counts against exhaustive search.

mod cost;
mod forced;
mod harm;
mod learn;
mod light;
mod place;
mod priority;
mod progress;
mod proof;
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
