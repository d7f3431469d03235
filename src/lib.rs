//! Loomwright: plans, checks, draws and documents the low-voltage lighting wiring of small vehicles.
//!
//! The flow is a chain of pure functions:
//! plan → (state) → network → operating point → behaviour table → findings, and plan → drawing.
//! `DEVELOPERS.md` is the map of the modules and says which may use which.

pub mod catalog;
pub mod drawing;
pub mod plan;
pub mod units;
