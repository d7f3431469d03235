//! From the answers of a form to a plan.

mod answers;
pub mod turn;

pub use answers::{
    Across, Brief, Charging, ControlAnswer, End, Fitting, Lamps, Lit, Return, Signal, Size, Socket,
    System, TurnPriority,
};
