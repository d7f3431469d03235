//! LEDs: forward voltage by colour, typical vehicle LED lamps and the supply windows they are made for.
//!
//! Forward voltages from an open textbook (seen). Lamp figures are typical of the trade (from memory) and stand
//! in for the maker's sheet: a plan keeps them as values that can be edited.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// Forward voltages.
pub const SOURCE_COLOURS: Source = Source {
    title: "Lessons In Electric Circuits, volume III Semiconductors (open textbook)",
    edition: mark!("source text of the diode chapter"),
    place: mark!("table of LED colours and forward voltages"),
    range: mark!("volts per chip at about 20 mA, room temperature"),
    mark: Mark::Seen,
};
/// Lamps.
pub const SOURCE_LAMPS: Source = Source {
    title: mark!("Typical vehicle LED lamps; test voltage after UN Regulation 128"),
    edition: mark!("common data sheets"),
    place: mark!("current at 13.5 V (12 V lamps) or 28 V (24 V lamps), working window"),
    range: mark!("placeholders until the maker's figures are entered; no other voltages"),
    mark: Mark::FromMemory,
};
/// Supply windows.
pub const SOURCE_WINDOWS: Source = Source {
    title: "ISO 16750-2 Road vehicles, electrical loads",
    edition: mark!("edition not known"),
    place: mark!("supply voltage codes A to H"),
    range: mark!("volts; 12 V codes A to D, 24 V codes E to H"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE_COLOURS, SOURCE_LAMPS, SOURCE_WINDOWS];

/// Largest reverse voltage of a bare indicator LED in volts; textbook, seen.
pub const REVERSE_VOLTS: f64 = 5.0;

/// Forward voltage of one chip of a colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColourRow {
    /// Key: the colour.
    pub key: &'static str,
    /// Lowest forward voltage.
    pub low_volts: f64,
    /// Highest forward voltage.
    pub high_volts: f64,
    /// How far the row was checked.
    pub mark: Mark,
}

const fn colour(key: &'static str, low_volts: f64, high_volts: f64) -> ColourRow {
    ColourRow {
        key,
        low_volts,
        high_volts,
        mark: Mark::Seen,
    }
}

/// Forward voltage by colour.
pub const COLOURS: &[ColourRow] = &[
    colour(mark!("infrared"), 1.2, 1.7),
    colour(mark!("red"), 1.5, 2.4),
    colour(mark!("orange"), 2.1, 2.2),
    colour(mark!("yellow"), 1.7, 2.8),
    colour(mark!("green"), 1.7, 2.8),
    colour(mark!("white"), 3.0, 4.0),
    colour(mark!("blue"), 3.0, 4.0),
    colour(mark!("violet"), 3.0, 4.0),
    colour(mark!("ultraviolet"), 4.2, 4.8),
];

/// How an LED lamp sets its current.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    /// Series resistor: the current follows the voltage above the knee.
    Resistor,
    /// Driver: the current hardly changes inside the window.
    ConstantCurrent,
}

/// A typical LED lamp circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key in saved plans.
    pub key: &'static str,
    /// Name on screen and paper.
    pub label: &'static str,
    /// Voltage at which the current is given.
    pub test_volts: f64,
    /// Current at the test voltage.
    pub amps: f64,
    /// Voltage at which light begins: the chips in series.
    pub knee_volts: f64,
    /// Lowest voltage of the working window.
    pub min_volts: f64,
    /// Highest voltage of the working window.
    pub max_volts: f64,
    /// How the current is set.
    pub drive: Drive,
    /// How far the row was checked.
    pub mark: Mark,
}

impl Row {
    /// Slope resistance above the knee, in ohms, of a lamp with series resistor.
    pub fn slope_ohms(&self) -> f64 {
        (self.test_volts - self.knee_volts) / self.amps
    }
}

const fn resistor(key: &'static str, label: &'static str, amps: f64, knee_volts: f64) -> Row {
    let (test_volts, min_volts, max_volts) = (13.5, 9.0, 16.0);
    let (drive, mark) = (Drive::Resistor, Mark::CommonPractice);
    Row {
        key,
        label,
        test_volts,
        amps,
        knee_volts,
        min_volts,
        max_volts,
        drive,
        mark,
    }
}

const fn driver(key: &'static str, label: &'static str, amps: f64, max_volts: f64) -> Row {
    let (test_volts, knee_volts, min_volts) = (13.5, 9.0, 9.0);
    let (drive, mark) = (Drive::ConstantCurrent, Mark::CommonPractice);
    Row {
        key,
        label,
        test_volts,
        amps,
        knee_volts,
        min_volts,
        max_volts,
        drive,
        mark,
    }
}

/// Typical lamps. Red and amber strings have four chips of about 2.1 V, white ones three of about 3 V.
pub const ROWS: &[Row] = &[
    resistor("LED marker 12 V", mark!("LED marker lamp, 12 V"), 0.05, 8.4),
    resistor("LED tail 12 V", mark!("LED tail lamp, 12 V"), 0.05, 8.4),
    resistor("LED stop 12 V", mark!("LED stop lamp, 12 V"), 0.25, 8.4),
    resistor("LED turn 12 V", mark!("LED turn lamp, 12 V"), 0.25, 8.4),
    resistor(
        "LED licence 12 V",
        mark!("LED licence lamp, 12 V"),
        0.05,
        9.0,
    ),
    resistor(
        "LED reverse 12 V",
        mark!("LED reversing lamp, 12 V"),
        0.25,
        9.0,
    ),
    driver(
        "LED stop 12 V driver",
        mark!("LED stop lamp with driver, 12 V"),
        0.25,
        16.0,
    ),
    driver(
        "LED turn 12 V driver",
        mark!("LED turn lamp with driver, 12 V"),
        0.25,
        16.0,
    ),
    driver(
        "LED multi-volt 9-33 V",
        mark!("LED lamp, 9 to 33 V"),
        0.25,
        33.0,
    ),
];

/// Forward volts of one LED, for the number of them in a string: between the red and the yellow values above.
const VOLTS_PER_LED: f64 = 2.0;
/// Emission coefficient of an LED junction.
const EMISSION: f64 = 2.0;

/// Emission volts of a whole string with this forward voltage: how sharp its knee is. The number of LEDs is taken from
/// the voltage.
pub const fn emission_volts(knee: f64) -> f64 {
    knee / VOLTS_PER_LED * EMISSION * super::diode::VT_VOLTS
}

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// The forward voltage of a colour.
pub fn find_colour(key: &str) -> Option<&'static ColourRow> {
    by_key(COLOURS, |row| row.key, key)
}

/// Supply windows of ISO 16750-2 in volts: code, lowest, highest; from memory.
pub const WINDOWS: &[(char, f64, f64)] = &[
    ('A', 6.0, 16.0),
    ('B', 8.0, 16.0),
    ('C', 9.0, 16.0),
    ('D', 10.5, 16.0),
    ('E', 10.0, 32.0),
    ('F', 16.0, 32.0),
    ('G', 22.0, 32.0),
    ('H', 18.0, 32.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Textbook: 6 V, forward 1.6 V, 20 mA needs 220 Ω, 88 mW; 24 V needs 1.12 kΩ, 448 mW. 1.6 V is red.
    #[test]
    fn series_resistor_examples_use_a_red_forward_voltage() {
        let red = find_colour("Red").expect("red is listed");
        assert!((red.low_volts..=red.high_volts).contains(&1.6));
        for (supply, ohms, watts) in [(6.0, 220.0, 0.088), (24.0, 1120.0, 0.448)] {
            let lamp = Row {
                test_volts: supply,
                amps: 0.02,
                knee_volts: 1.6,
                ..ROWS[0]
            };
            assert!((lamp.slope_ohms() - ohms).abs() < 1e-9);
            assert!((lamp.amps * lamp.amps * lamp.slope_ohms() - watts).abs() < 1e-9);
        }
    }

    #[test]
    fn strings_fit_the_forward_voltages_and_light_at_the_bottom_of_their_window() {
        for row in ROWS {
            assert!(row.knee_volts <= row.min_volts, "{}", row.key);
            assert!(
                row.min_volts < row.test_volts && row.test_volts < row.max_volts,
                "{}",
                row.key
            );
        }
        let (red, white) = (find_colour("red"), find_colour("white"));
        assert!(red.is_some_and(|row| (row.low_volts..=row.high_volts).contains(&(8.4 / 4.0))));
        assert!(white.is_some_and(|row| (row.low_volts..=row.high_volts).contains(&(9.0 / 3.0))));
    }

    /// A 21 W equivalent takes 0.1 to 0.4 A (from memory), so no fixed-load flasher sees it as a lamp.
    #[test]
    fn signal_lamps_take_a_fraction_of_a_filament_current() {
        for key in [
            "LED stop 12 V",
            "LED turn 12 V",
            "LED turn 12 V driver",
            "LED multi-volt 9-33 V",
        ] {
            assert!(
                find(key).is_some_and(|row| (0.1..=0.4).contains(&row.amps)),
                "{key}"
            );
        }
    }
}
