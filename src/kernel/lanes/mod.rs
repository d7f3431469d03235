//! Lanes: which nodes of a layered drawing lie beside which, so that few wires cross and paths run straight.
//!
//! It knows columns, lanes and nets, nothing of plans. The number of tries is bounded by work, not by time, so the
//! result depends on the input alone.

mod body;
mod channel;
#[cfg(all(test, not(target_arch = "wasm32")))]
mod checks;
mod cost;
mod descent;
mod moves;
mod near;
mod order;
mod place;
mod sets;
mod straighten;

pub use body::{Body, Node, Taps};
pub use cost::CROSSING;
pub use near::place_near;
pub use place::{cost, place};
