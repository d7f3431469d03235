//! The kernel, where speed counts: networks of monotone two-terminal branches and their operating points, and the
//! lanes of a drawing.
//!
//! It knows neither plans nor units: plain numbers in volts, amperes, ohms and siemens, and lanes.

pub mod lanes;
pub mod network;
pub mod solve;
