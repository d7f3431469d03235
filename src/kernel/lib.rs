//! The numeric kernel: networks of monotone two-terminal branches and their operating points.
//!
//! It knows neither plans nor units: plain numbers in volts, amperes, ohms and siemens.

pub mod network;
pub mod solve;
