//! Overvoltages of a vehicle's supply that diodes have to stand: jump start, reversed battery, load dump.
//!
//! Figures for 12 V and 24 V systems. A 6 V system takes half of the 12 V figures, 48 V twice those of 24 V (derived).

use super::{Mark, Source, by_key};
use crate::text::mark;

/// Load dump.
pub const SOURCE_LOAD_DUMP: Source = Source {
    title: "ISO 16750-2 Road vehicles, electrical loads",
    edition: mark!("as tabled in a paper"),
    place: mark!("load dump test A, no central clamp: 79 to 101 V (12 V), 151 to 202 V (24 V)"),
    range: mark!("alternator without central clamp; a battery alone makes no load dump"),
    mark: Mark::Seen,
};
/// Jump start and reversed battery.
pub const SOURCE_JUMP: Source = Source {
    title: "ISO 16750-2 Road vehicles, electrical loads",
    edition: mark!("24 V for jump start also seen in a relay specification; the rest recalled"),
    place: mark!(
        "jump start 24 V for 60 s; reversed battery −14 V and −28 V; load dump test B clamped to 35 V and 65 V"
    ),
    range: mark!("12 V and 24 V systems"),
    mark: Mark::FromMemory,
};
/// Reverse voltage in practice.
pub const SOURCE_PRACTICE: Source = Source {
    title: mark!("Trade practice for isolation diodes"),
    edition: mark!("common practice"),
    place: mark!("100 V and more for lamp loads, 200 to 400 V near coils, on 12 V"),
    range: mark!("12 V systems; others in proportion"),
    mark: Mark::CommonPractice,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE_LOAD_DUMP, SOURCE_JUMP, SOURCE_PRACTICE];

/// Overvoltages of one system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key: the system voltage.
    pub key: &'static str,
    /// Nominal volts.
    pub nominal_volts: f64,
    /// Jump start from a larger system.
    pub jump_volts: f64,
    /// Battery connected the wrong way round.
    pub reversed_volts: f64,
    /// Load dump with a central clamp (test B).
    pub clamped_dump_volts: f64,
    /// Load dump without one (test A): least and most.
    pub dump_volts: (f64, f64),
    /// Reverse rating in practice, lamp loads.
    pub practice_volts: f64,
    /// How far the row was checked.
    pub mark: Mark,
}

/// Both systems.
pub const ROWS: &[Row] = &[
    Row {
        key: "12 V",
        nominal_volts: 12.0,
        jump_volts: 24.0,
        reversed_volts: 14.0,
        clamped_dump_volts: 35.0,
        dump_volts: (79.0, 101.0),
        practice_volts: 100.0,
        mark: Mark::FromMemory,
    },
    Row {
        key: "24 V",
        nominal_volts: 24.0,
        jump_volts: 36.0,
        reversed_volts: 28.0,
        clamped_dump_volts: 65.0,
        dump_volts: (151.0, 202.0),
        practice_volts: 200.0,
        mark: Mark::FromMemory,
    },
];

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// The figures for a battery of these open-circuit volts, scaled from the 12 V or the 24 V row.
pub fn at(battery_volts: f64) -> Row {
    let nominal = if battery_volts <= 8.0 {
        6.0
    } else if battery_volts <= 16.0 {
        12.0
    } else if battery_volts <= 32.0 {
        24.0
    } else {
        48.0
    };
    let row = if nominal <= 12.0 { ROWS[0] } else { ROWS[1] };
    let scale = nominal / row.nominal_volts;
    Row {
        nominal_volts: nominal,
        jump_volts: scale * row.jump_volts,
        reversed_volts: scale * row.reversed_volts,
        clamped_dump_volts: scale * row.clamped_dump_volts,
        dump_volts: (scale * row.dump_volts.0, scale * row.dump_volts.1),
        practice_volts: scale * row.practice_volts,
        ..row
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::diode;

    #[test]
    fn systems_are_told_apart_and_scaled() {
        let jump = |volts| at(volts).jump_volts;
        assert_eq!([6.3, 12.6, 25.2, 50.4].map(jump), [12.0, 24.0, 36.0, 72.0]);
        assert_eq!(at(14.4), ROWS[0]);
        assert_eq!(at(f64::NAN).nominal_volts, 48.0);
        for row in ROWS {
            assert!(row.reversed_volts < row.jump_volts && row.jump_volts < row.clamped_dump_volts);
            assert!(
                row.clamped_dump_volts < row.dump_volts.0 && row.dump_volts.0 < row.dump_volts.1
            );
        }
    }

    /// The warning of the trade: a 20 V Schottky is under-rated for a 24 V jump start, 40 V is not.
    #[test]
    fn twenty_volt_schottky_diodes_do_not_stand_a_jump_start() {
        let vrrm = |key| diode::find(key).map_or(0.0, |row| row.vrrm_volts);
        for (low, high) in [("1N5817", "1N5819"), ("1N5820", "1N5822")] {
            assert!(vrrm(low) < ROWS[0].jump_volts && vrrm(high) > ROWS[0].clamped_dump_volts);
        }
    }
}
