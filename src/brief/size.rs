//! Sizes of drafted wires.

use super::Brief;
use crate::catalog::conductor;
use crate::units::Millimetres;

/// Catalogue key of the wire for a current behind a fuse over a length.
pub(super) fn wire(brief: &Brief, amps: f64, fuse_a: f64, length: Millimetres) -> &'static str {
    let volts = brief.system.lamp_volts();
    let bears = |area: f64| area * 12.0 >= fuse_a.max(amps);
    let drops = |row: &conductor::Row| {
        2.0 * amps * row.ohms_per_km_20c * length.get() * 1e-6
            <= if volts < 10.0 { 0.004 } else { 0.015 } * volts
    };
    let keys = [
        "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2",
    ];
    keys.iter()
        .copied()
        .find(|key| conductor::find(key).is_some_and(|row| bears(row.area_mm2) && drops(row)))
        .unwrap_or("16 mm2")
}
