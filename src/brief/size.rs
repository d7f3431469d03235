//! Sizes of drafted wires: the smallest usual one that carries the current, is protected by the fuse in front and keeps
//! its share of the drop.

use super::{Brief, System};
use crate::catalog::ampacity::Surroundings;
use crate::catalog::{conductor, wire_choice};
use crate::units::{Amps, Celsius, Millimetres, Volts};

/// Temperature class of the insulation of drafted wires: the usual one of vehicle cable.
pub(super) const INSULATION: Celsius = Celsius::of(105.0);
/// Share of the system's volts that a single wire may take: some eight wires in a row, there and back, stay within 6 %, between the 3 % and the 10 % of ABYC E-11.
/// Contacts take more of a 6 V system, so its wires are to take less.
const DROP_SHARE: (f64, f64) = (0.007, 0.003);
/// Thinnest wire in a vehicle where nothing else is asked for, common practice.
const LEAST: &str = "0.75 mm2";
/// The sizes that are sold everywhere.
const USUAL: [&str; 10] = [
    "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2", "25 mm2",
    "35 mm2",
];

/// Catalogue key of the wire for a current behind a fuse (0 for none) over a length.
pub(super) fn wire(brief: &Brief, amps: f64, fuse_a: f64, length: Millimetres) -> &'static str {
    let volts = brief.system.lamp_volts();
    let share = match brief.system {
        System::V6 => DROP_SHARE.1,
        _ => DROP_SHARE.0,
    };
    let task = wire_choice::Task {
        amps: Amps::of(amps),
        length,
        drop: Some(Volts::of(share * volts)),
        fuse: (fuse_a > 0.0).then(|| Amps::of(fuse_a)),
        insulation: INSULATION,
        copper: Celsius::of(20.0),
    };
    let least = brief
        .least_size
        .as_deref()
        .and_then(conductor::find)
        .or_else(|| conductor::find(LEAST))
        .map_or(0.0, |row| row.area_mm2);
    let fits = |row: &&conductor::Row| {
        row.area_mm2 >= least && wire_choice::does(row, &task, &Surroundings::default())
    };
    let mut rows = USUAL.iter().filter_map(|key| conductor::find(key));
    rows.find(fits).map_or("35 mm2", |row| row.key)
}
