//! Loomwright: plans, checks, draws and documents the low-voltage lighting wiring of small vehicles.
//!
//! The flow is a chain of pure functions:
//! plan → (state) → network → operating point → behaviour table → findings, and plan → drawing.
//! `DEVELOPERS.md` is the map of the modules and says which may use which.

// The macros of `text` name this crate from outside; inside it has to know its own name.
extern crate self as loomwright;

#[cfg(target_arch = "wasm32")]
pub mod app;
pub mod behaviour;
pub mod brief;
pub mod catalog;
pub mod circuit;
pub mod drawing;
pub mod findings;
pub mod isolate;
pub mod keep;
pub mod plan;
pub mod session;
pub mod share;
pub mod size;
pub mod text;
pub mod units;

pub use loomwright_kernel::{hitting, lanes, network, solve};
