//! The kernel, where speed counts: networks of monotone two-terminal branches and their operating points, the lanes
//! of a drawing, and least sets that hit others.
//!
//! It knows neither plans nor units: plain numbers in volts, amperes, ohms and siemens, lanes and sets.

pub mod hitting;
pub mod lanes;
pub mod network;
pub mod solve;
