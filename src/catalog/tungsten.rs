//! Resistivity of tungsten from room to filament temperature: why a cold lamp takes ten times its current.
//!
//! Physical Review 28 (1926) 202 and a table of 1927 made from it, as reprinted in handbooks; from memory.
//! 300 to 3100 K in steps of 100 K; linear between rows, held at the ends.

use super::{Mark, Source};
use crate::text::mark;

/// The measurements of 1926.
pub const SOURCE: Source = Source {
    title: "A temperature scale for tungsten, Physical Review 28",
    edition: "1926",
    place: mark!("p. 202 ff., resistivity table as reprinted in handbooks"),
    range: mark!("µΩ·cm, 300 to 3100 K; linear between rows, held outside"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// Temperature and resistivity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Filament temperature.
    pub kelvin: f64,
    /// Resistivity.
    pub micro_ohm_cm: f64,
}

const fn row(kelvin: f64, micro_ohm_cm: f64) -> Row {
    Row {
        kelvin,
        micro_ohm_cm,
    }
}

/// The table, rising.
pub const ROWS: &[Row] = &[
    row(300.0, 5.65),
    row(400.0, 8.06),
    row(500.0, 10.56),
    row(600.0, 13.23),
    row(700.0, 16.09),
    row(800.0, 19.00),
    row(900.0, 21.94),
    row(1000.0, 24.93),
    row(1100.0, 27.94),
    row(1200.0, 30.98),
    row(1300.0, 34.08),
    row(1400.0, 37.19),
    row(1500.0, 40.36),
    row(1600.0, 43.55),
    row(1700.0, 46.78),
    row(1800.0, 50.05),
    row(1900.0, 53.35),
    row(2000.0, 56.67),
    row(2100.0, 60.06),
    row(2200.0, 63.48),
    row(2300.0, 66.91),
    row(2400.0, 70.39),
    row(2500.0, 73.91),
    row(2600.0, 77.49),
    row(2700.0, 81.04),
    row(2800.0, 84.70),
    row(2900.0, 88.33),
    row(3000.0, 92.04),
    row(3100.0, 95.76),
];

/// Resistance at a temperature over resistance at 300 K.
pub fn ratio_to_300k(kelvin: f64) -> f64 {
    let after = ROWS.partition_point(|row| row.kelvin < kelvin);
    let cold = ROWS[0].micro_ohm_cm;
    match (
        after.checked_sub(1).and_then(|before| ROWS.get(before)),
        ROWS.get(after),
    ) {
        (Some(low), Some(high)) => {
            let share = (kelvin - low.kelvin) / (high.kelvin - low.kelvin);
            (low.micro_ohm_cm + share * (high.micro_ohm_cm - low.micro_ohm_cm)) / cold
        }
        (None, _) => 1.0,
        (Some(last), None) => last.micro_ohm_cm / cold,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The R/R300 column printed beside the resistivities.
    #[test]
    fn the_ratio_column_follows_from_the_resistivities() {
        let printed = [
            1.00, 1.43, 1.87, 2.34, 2.85, 3.36, 3.88, 4.41, 4.95, 5.48, 6.03, 6.58, 7.14, 7.71,
            8.28, 8.86, 9.44, 10.03, 10.63, 11.24, 11.84, 12.46, 13.08, 13.72, 14.34, 14.99, 15.63,
            16.29, 16.95,
        ];
        assert_eq!(printed.len(), ROWS.len());
        for (row, printed) in ROWS.iter().zip(printed) {
            // The column was rounded in print, in places from figures with one digit more.
            assert!(
                (ratio_to_300k(row.kelvin) - printed).abs() < 0.011,
                "{} K",
                row.kelvin
            );
        }
    }

    /// R/R300 ≈ (T/300)^1.2, the usual fit, holds within 7 %.
    #[test]
    fn the_usual_power_law_fits() {
        for row in ROWS {
            let fit = libm::pow(row.kelvin / 300.0, 1.2);
            assert!(
                (ratio_to_300k(row.kelvin) / fit - 1.0).abs() < 0.07,
                "{} K",
                row.kelvin
            );
        }
    }

    #[test]
    fn room_temperature_agrees_with_other_books_and_ends_hold() {
        // Two open textbooks print 5.28 and 5.60 µΩ·cm at 20 °C.
        assert!((5.28..5.8).contains(&ROWS[0].micro_ohm_cm));
        assert_eq!(ratio_to_300k(0.0), 1.0);
        assert_eq!(ratio_to_300k(9000.0), 95.76 / 5.65);
        assert!((ratio_to_300k(2450.0) - 72.15 / 5.65).abs() < 1e-12);
    }
}
