//! Switch contacts: how much larger the rating must be than the steady current, by what the contact feeds.
//!
//! A cold filament draws ten and more times its current at the moment of closing, a coil throws a spark at the moment of
//! opening. AC 43.13-1B states both as a factor: nominal rating = steady current × factor. It has columns for
//! 28 V and 12 V; for other systems the column of the nearest higher voltage is read, above 28 V the last.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// The table.
pub const SOURCE: Source = Source {
    title: "FAA AC 43.13-1B Acceptable methods, aircraft inspection and repair",
    edition: mark!("1998 with change 1, 2001"),
    place: mark!("chapter 11, Table 11-4, switch derating factors"),
    range: mark!("12 V and 28 V DC; 6 V is read at 12 V, 48 V at 28 V"),
    mark: Mark::Seen,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// Factors of one system voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key: the system voltage.
    pub key: &'static str,
    /// Nominal volts up to which it is read.
    pub up_to_volts: f64,
    /// Filament lamps.
    pub lamp: f64,
    /// Relay and solenoid coils.
    pub coil: f64,
    /// Resistances.
    pub resistive: f64,
    /// Motors.
    pub motor: f64,
    /// How far the row was checked.
    pub mark: Mark,
}

/// Both systems.
pub const ROWS: &[Row] = &[
    Row {
        key: "12 V",
        // A 12 V battery while it is charged.
        up_to_volts: 16.0,
        lamp: 5.0,
        coil: 2.0,
        resistive: 1.0,
        motor: 2.0,
        mark: Mark::Seen,
    },
    Row {
        key: "28 V",
        up_to_volts: f64::INFINITY,
        lamp: 8.0,
        coil: 4.0,
        resistive: 2.0,
        motor: 3.0,
        mark: Mark::Seen,
    },
];

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// Rating in amperes that a contact needs: each part of its current times its factor. `lamp` and `coil` are shares of
/// `amps` between 0 and 1, the rest counts as resistive.
pub fn needed_amps(system_volts: f64, amps: f64, lamp: f64, coil: f64) -> f64 {
    let row = ROWS.iter().find(|row| system_volts <= row.up_to_volts);
    let Some(row) = row.or(ROWS.last()) else {
        return amps;
    };
    let rest = (1.0 - lamp - coil).max(0.0);
    amps * (lamp * row.lamp + coil * row.coil + rest * row.resistive)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 12 V: lamp 5, inductive 2, resistive 1; 28 V: 8, 4, 2.
    #[test]
    fn each_kind_of_load_has_its_printed_factor() {
        for (volts, lamp, coil, resistive) in [(12.6, 5.0, 2.0, 1.0), (25.2, 8.0, 4.0, 2.0)] {
            assert_eq!(needed_amps(volts, 2.0, 1.0, 0.0), 2.0 * lamp);
            assert_eq!(needed_amps(volts, 2.0, 0.0, 1.0), 2.0 * coil);
            assert_eq!(needed_amps(volts, 2.0, 0.0, 0.0), 2.0 * resistive);
            assert_eq!(needed_amps(volts, 2.0, 0.5, 0.5), lamp + coil);
        }
        assert_eq!(needed_amps(6.3, 1.0, 1.0, 0.0), 5.0);
        assert_eq!(needed_amps(14.4, 1.0, 1.0, 0.0), 5.0);
        assert_eq!(needed_amps(57.6, 1.0, 1.0, 0.0), 8.0);
        assert_eq!(needed_amps(f64::NAN, 1.0, 1.0, 0.0), 8.0);
        assert_eq!(find("28 v").map(|row| row.motor), Some(3.0));
    }

    /// The factors stand for the inrush of the filament: 1/12 to 1/15 of the resistance when cold, 6 to 10 times the
    /// current behind real wires. A contact bears a short current beyond its rating, so less than that is asked.
    #[test]
    fn the_lamp_factor_is_below_the_cold_filament_ratio() {
        assert!(
            ROWS.iter()
                .all(|row| row.lamp < super::super::lamp::COLD_RATIO)
        );
        assert!(
            ROWS.iter()
                .all(|row| row.lamp > row.coil && row.coil > row.resistive)
        );
    }
}
