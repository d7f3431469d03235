//! Ampacity of aircraft practice: continuous current of wires in bundles, harnesses and conduit.
//!
//! AC 43.13-1B Table 11-9: 70 °C ambient, 33 and more wires (9 and more from 8 AWG on), harness loaded to 20 %, 60 000 ft.
//! A small cart is milder than that in every point, so this is the strict basis. Aircraft wire of a number has
//! other areas than the gauge, so wires are compared by copper area, not by number.

use super::ampacity::{ambient_factor, by_area};
use super::{Mark, Source, by_key};
use crate::text::mark;

/// The table.
pub const SOURCE: Source = Source {
    title: "FAA AC 43.13-1B Acceptable methods, aircraft inspection and repair",
    edition: mark!("1998 with change 1, 2001"),
    place: mark!("chapter 11, Table 11-9 with note 1"),
    range: mark!(
        "24 to 4/0, 105, 150 and 200 °C wire, up to 70 °C ambient; hotter by the heat balance; none below 105 °C wire"
    ),
    mark: Mark::Seen,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// Ambient temperature of the table in °C; cooler surroundings give no more current.
pub const AMBIENT_C: f64 = 70.0;
/// Wire classes of the columns in °C.
pub const CLASSES: [f64; 3] = [105.0, 150.0, 200.0];
/// Square millimetres of a circular mil.
pub const MM2_PER_CMIL: f64 = 5.067e-4;

/// One size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Number of the aircraft wire.
    pub key: &'static str,
    /// Conductor area in circular mils.
    pub cmil: f64,
    /// Largest resistance at 20 °C in ohms per 1000 ft.
    pub ohms_per_kft: f64,
    /// Continuous amperes, one per class.
    pub amps: [f64; 3],
    /// How far the row was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, cmil: f64, ohms_per_kft: f64, amps: [f64; 3]) -> Row {
    let mark = Mark::Seen;
    Row {
        key,
        cmil,
        ohms_per_kft,
        amps,
        mark,
    }
}

/// All sizes, from thin to thick.
pub const ROWS: &[Row] = &[
    row("24", 475.0, 28.40, [2.5, 4.0, 5.0]),
    row("22", 755.0, 16.20, [3.0, 5.0, 6.0]),
    row("20", 1_216.0, 9.88, [4.0, 7.0, 9.0]),
    row("18", 1_900.0, 6.23, [6.0, 9.0, 12.0]),
    row("16", 2_426.0, 4.81, [7.0, 11.0, 14.0]),
    row("14", 3_831.0, 3.06, [10.0, 14.0, 18.0]),
    row("12", 5_874.0, 2.02, [13.0, 19.0, 25.0]),
    row("10", 9_354.0, 1.26, [17.0, 26.0, 32.0]),
    row("8", 16_983.0, 0.70, [38.0, 57.0, 71.0]),
    row("6", 26_818.0, 0.44, [50.0, 76.0, 97.0]),
    row("4", 42_615.0, 0.28, [68.0, 103.0, 133.0]),
    row("2", 66_500.0, 0.18, [95.0, 141.0, 179.0]),
    row("1", 81_700.0, 0.15, [113.0, 166.0, 210.0]),
    row("1/0", 104_500.0, 0.12, [128.0, 192.0, 243.0]),
    row("2/0", 133_000.0, 0.09, [147.0, 222.0, 285.0]),
    // The printed area of 3/0 was not read; the gauge's stands in.
    row("3/0", 167_800.0, 0.07, [172.0, 262.0, 335.0]),
    row("4/0", 210_900.0, 0.06, [204.0, 310.0, 395.0]),
];

/// The row of a number.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// Continuous amperes of a wire by its copper area, class and ambient, in °C; see [`super::ampacity`].
pub(super) fn amps(area_mm2: f64, class_c: f64, ambient_c: f64) -> Option<f64> {
    let column = CLASSES.iter().rposition(|&class| class <= class_c)?;
    let rows = ROWS
        .iter()
        .map(|row| (row.cmil * MM2_PER_CMIL, row.amps[column]));
    // The largest conductor of the catalogue has 0.3 % more copper than the largest row: it counts as that row.
    let most = ROWS.last().map_or(0.0, |row| row.cmil * MM2_PER_CMIL);
    let area = if area_mm2 > most && area_mm2 < 1.01 * most {
        most
    } else {
        area_mm2
    };
    let amps = by_area(rows, area)?;
    Some(amps * ambient_factor(CLASSES[column], AMBIENT_C, ambient_c.max(AMBIENT_C)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_printed_rows_come_back_by_area() {
        for row in ROWS {
            for (class, amps_printed) in CLASSES.into_iter().zip(row.amps) {
                let got = amps(row.cmil * MM2_PER_CMIL, class, 20.0);
                assert_eq!(got, Some(amps_printed), "{} at {class}", row.key);
            }
            assert!(row.amps.is_sorted());
        }
        assert!(ROWS.is_sorted_by(|a, b| a.cmil < b.cmil && a.ohms_per_kft > b.ohms_per_kft));
    }

    #[test]
    fn below_the_lowest_class_and_above_the_largest_size_there_is_no_figure() {
        assert_eq!(amps(1.0, 104.9, 20.0), None);
        assert_eq!(amps(120.0, 105.0, 20.0), None);
        assert!(amps(107.2, 105.0, 20.0).is_some());
        assert_eq!(amps(1.0, 105.0, 105.0), Some(0.0));
        assert!(amps(1.0, 105.0, 90.0) < amps(1.0, 105.0, 70.0));
        assert_eq!(amps(1.0, 105.0, 30.0), amps(1.0, 105.0, 70.0));
    }

    /// The strict basis: nowhere more than the boat table allows for a wire of that area.
    #[test]
    fn it_is_stricter_than_the_boat_table() {
        for row in super::super::ampacity::ROWS {
            let boats = row.amps[4];
            let here = amps(row.area_mm2, 105.0, 30.0).unwrap_or(f64::INFINITY);
            assert!(here < boats, "{}: {here} {boats}", row.key);
        }
    }
}
