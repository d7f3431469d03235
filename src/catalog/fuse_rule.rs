//! Rules for sizing and placing fuses and breakers: largest rating for a wire, continuous load, distance from the source.
//!
//! - 33 CFR 183.455 (seen): at most 150 % of the wire's ampacity below 50 V; within 7 in of the source, or 40 in
//!   where the conductor is in a sheath or enclosure all the way.
//! - 33 CFR 183.460 and ABYC E-11 (from memory): 72 in for a sheathed conductor from a battery terminal.
//! - AC 43.13-1B Table 11-3 (seen): protector by wire number.
//! - Continuous load at most 75 to 80 % of the rating (common practice): see [`fuse::CONTINUOUS_SHARE`].

use super::{Mark, Source, by_key, fuse};
use crate::text::mark;
use crate::units::{Amps, Millimetres};

/// Boats: rating and placement.
pub const SOURCE_183_455: Source = Source {
    title: "33 CFR 183.455 Overcurrent protection: general (boats)",
    edition: mark!("current online copy"),
    place: mark!("paragraphs on rating and placement"),
    range: mark!("below 50 V; the next standard rating may be taken if it is not above 150 %"),
    mark: Mark::Seen,
};
/// Boats: from the battery.
pub const SOURCE_183_460: Source = Source {
    title: "33 CFR 183.460 Overcurrent protection: special applications; ABYC E-11",
    edition: mark!("not read"),
    place: mark!("conductors from a battery terminal"),
    range: mark!("72 in, in a sheath or enclosure"),
    mark: Mark::FromMemory,
};
/// Aircraft.
pub const SOURCE_TABLE_11_3: Source = Source {
    title: "FAA AC 43.13-1B Acceptable methods, aircraft inspection and repair",
    edition: mark!("1998 with change 1, 2001"),
    place: mark!("chapter 11, Table 11-3; the blanks of sizes 1 and 0 from memory"),
    range: mark!("22 to 0 copper; none outside"),
    mark: Mark::Seen,
};
/// Continuous load.
pub const SOURCE_LOAD: Source = Source {
    title: mark!("Trade practice for fuses on continuous load"),
    edition: mark!("common practice"),
    place: mark!("load at most 75 to 80 % of the rating at 25 °C"),
    range: mark!("about 10 % less at 65 °C, 15 to 20 % less at 85 °C"),
    mark: Mark::CommonPractice,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[
    SOURCE_183_455,
    SOURCE_183_460,
    SOURCE_TABLE_11_3,
    SOURCE_LOAD,
];

/// Largest rating as a share of the ampacity of the wire behind it.
pub const MOST_OF_AMPACITY: f64 = 1.5;
/// Largest steady load as a share of the rating.
pub const MOST_LOAD: f64 = 0.80;
/// Distance from the source without further care: 7 in.
pub const NEAR: Millimetres = Millimetres::of(177.8);
/// Distance from the source in a sheath or enclosure: 40 in.
pub const SHEATHED: Millimetres = Millimetres::of(1016.0);
/// Distance from a battery terminal in a sheath or enclosure: 72 in.
pub const SHEATHED_BATTERY: Millimetres = Millimetres::of(1828.8);

/// Protector of an aircraft wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Number of the copper wire.
    pub key: &'static str,
    /// Breaker in amperes, where printed.
    pub breaker_amps: Option<f64>,
    /// Fuse in amperes.
    pub fuse_amps: f64,
    /// How far the row was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, breaker_amps: Option<f64>, fuse_amps: f64) -> Row {
    let mark = match breaker_amps {
        Some(_) => Mark::Seen,
        None => Mark::FromMemory,
    };
    Row {
        key,
        breaker_amps,
        fuse_amps,
        mark,
    }
}

/// All sizes, from thin to thick.
pub const ROWS: &[Row] = &[
    row("22", Some(5.0), 5.0),
    row("20", Some(7.5), 5.0),
    row("18", Some(10.0), 10.0),
    row("16", Some(15.0), 10.0),
    row("14", Some(20.0), 15.0),
    row("12", Some(30.0), 20.0),
    row("10", Some(40.0), 30.0),
    row("8", Some(50.0), 50.0),
    row("6", Some(80.0), 70.0),
    row("4", Some(100.0), 70.0),
    row("2", Some(125.0), 100.0),
    row("1", None, 150.0),
    row("0", None, 150.0),
];

/// The row of a wire number.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// The smallest blade rating that carries `load` for good: load at most 75 % of it. `None` above 30 A.
pub fn fuse_for_load(load: Amps) -> Option<&'static fuse::Row> {
    let needed = load.get() / fuse::CONTINUOUS_SHARE;
    fuse::ROWS.iter().find(|row| row.rating_amps >= needed)
}

/// The largest blade rating that still protects a wire of this ampacity: not above it. `None` below 1 A.
pub fn fuse_for_wire(ampacity: Amps) -> Option<&'static fuse::Row> {
    fuse::ROWS
        .iter()
        .rfind(|row| row.rating_amps <= ampacity.get())
}

/// The largest blade rating that the regulation allows for a wire of this ampacity: at most 150 % of it.
pub fn largest_fuse_for_wire(ampacity: Amps) -> Option<&'static fuse::Row> {
    fuse_for_wire(Amps::of(MOST_OF_AMPACITY * ampacity.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratings_on_both_sides_of_their_bounds() {
        let load = |amps| fuse_for_load(Amps::of(amps)).map(|row| row.rating_amps);
        assert_eq!(load(7.5), Some(10.0));
        assert_eq!(load(7.51), Some(15.0));
        assert_eq!(load(0.0), Some(1.0));
        assert_eq!((load(30.0), load(30.1)), (Some(40.0), None));
        let wire = |amps| fuse_for_wire(Amps::of(amps)).map(|row| row.rating_amps);
        assert_eq!((wire(20.0), wire(19.9)), (Some(20.0), Some(15.0)));
        assert_eq!((wire(1.0), wire(0.9)), (Some(1.0), None));
        let most = |amps| largest_fuse_for_wire(Amps::of(amps)).map(|row| row.rating_amps);
        assert_eq!((most(20.0), most(19.9)), (Some(30.0), Some(25.0)));
    }

    /// The fuses of the aircraft table stay within the 150 % rule for single wires of the same number.
    #[test]
    fn the_aircraft_protectors_are_within_the_boat_rule() {
        for row in ROWS {
            let gauge = super::super::ampacity::ROWS.iter().find(|gauge| {
                let number = gauge.key.trim_end_matches(" AWG");
                number == row.key || (number == "1/0" && row.key == "0")
            });
            let Some(gauge) = gauge else { continue };
            assert!(
                row.fuse_amps <= MOST_OF_AMPACITY * gauge.amps[4],
                "{}",
                row.key
            );
            assert!(row.breaker_amps.is_none_or(|b| b >= row.fuse_amps));
        }
        // The page lists 13 sizes and 13 fuses but 11 breakers.
        assert_eq!(ROWS.iter().filter_map(|row| row.breaker_amps).count(), 11);
        assert_eq!(find("14").map(|row| row.fuse_amps), Some(15.0));
    }

    #[test]
    fn distances_are_the_inches_of_the_rule() {
        for (millimetres, inches) in [(NEAR, 7.0), (SHEATHED, 40.0), (SHEATHED_BATTERY, 72.0)] {
            assert!((millimetres.get() - 25.4 * inches).abs() < 1e-9);
        }
    }
}
