//! Rules for the voltage lost along wires: published formulas and the limits that go with them.
//!
//! - ABYC E-11 (seen): area in circular mils = 10.75 · I · L / E, I in A, L in ft there and back, E in V; take the
//!   next larger wire. 3 % for main feeders, navigation lights, pumps; 10 % for general lighting and the rest.
//! - ISO 10133 annex (from memory): E = 0.0164 · I · L / S, metres there and back, mm².
//! - AC 43.13-1B Table 11-6 (from memory; its continuous values stand in Tables 11-7 and 11-8, seen): 0.5 V of 14 V, 1 V of 28 V.
//! - Single joints (vehicle manuals, seen).

use super::{Mark, Source};
use crate::text::mark;

/// Boats, United States.
pub const SOURCE_ABYC: Source = Source {
    title: "ABYC E-11 AC and DC electrical systems on boats",
    edition: mark!("paragraph 11.14.2.6 as quoted on public pages"),
    place: mark!("voltage drop formula; 3 % and 10 % lists"),
    range: mark!("volts, amperes, feet there and back; copper at 30 °C"),
    mark: Mark::Seen,
};
/// Boats, elsewhere.
pub const SOURCE_ISO_10133: Source = Source {
    title: "ISO 10133 Small craft, extra-low-voltage DC installations",
    edition: mark!("2012; 3 % list and smallest sizes seen, formula recalled"),
    place: mark!("annex on voltage drop; smallest conductors"),
    range: mark!("volts, amperes, metres there and back, mm²"),
    mark: Mark::FromMemory,
};
/// Aircraft.
pub const SOURCE_TABLE_11_6: Source = Source {
    title: "FAA AC 43.13-1B Acceptable methods, aircraft inspection and repair",
    edition: mark!("1998 with change 1, 2001; Table 11-6 recalled, Tables 11-7 and 11-8 seen"),
    place: mark!(
        "Table 11-6, tabulation of allowable drop; Table 11-8, second row not used (prints 0.366 V for 0.491 V)"
    ),
    range: mark!("14 V and 28 V systems, bus to equipment"),
    mark: Mark::FromMemory,
};
/// Joints.
pub const SOURCE_JOINTS: Source = Source {
    title: mark!("Drop limits of vehicle service manuals, quoting SAE"),
    edition: mark!("as printed on public pages"),
    place: mark!("voltage drop of ground, switch contact, connection"),
    range: mark!("volts with the load current flowing"),
    mark: Mark::Seen,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[
    SOURCE_ABYC,
    SOURCE_ISO_10133,
    SOURCE_TABLE_11_6,
    SOURCE_JOINTS,
];

/// Constant of the ABYC formula in Ω·cmil/ft: copper at about 30 °C, not a physical constant.
pub const K_OHM_CMIL_PER_FOOT: f64 = 10.75;
/// Constant of the ISO 10133 formula in Ω·mm²/m; from memory.
pub const ISO_OHM_MM2_PER_METRE: f64 = 0.0164;
/// Share for main feeders, navigation lights and pumps.
pub const STRICT_SHARE: f64 = 0.03;
/// Share for general lighting and the rest.
pub const GENERAL_SHARE: f64 = 0.10;
/// Share that is common for road lamps: 3 to 5 %, here the upper end; from memory.
pub const ROAD_SHARE: f64 = 0.05;
/// Largest drop of a ground joint in volts.
pub const GROUND_VOLTS: f64 = 0.1;
/// Largest drop of a switch or relay contact in volts.
pub const CONTACT_VOLTS: f64 = 0.3;
/// Largest drop of a plug or other connection that carries a lamp current in volts.
pub const CONNECTION_VOLTS: f64 = 0.1;

/// Allowable drop of an aircraft system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key: nominal volts of the system.
    pub key: &'static str,
    /// Volts for continuous operation.
    pub continuous_volts: f64,
    /// Volts for intermittent operation.
    pub intermittent_volts: f64,
    /// How far the row was checked.
    pub mark: Mark,
}

/// Table 11-6, direct current.
pub const ROWS: &[Row] = &[
    Row {
        key: "14 V",
        continuous_volts: 0.5,
        intermittent_volts: 1.0,
        mark: Mark::FromMemory,
    },
    Row {
        key: "28 V",
        continuous_volts: 1.0,
        intermittent_volts: 2.0,
        mark: Mark::FromMemory,
    },
];

/// Circular mils after ABYC E-11.
pub fn abyc_cmil(amps: f64, feet: f64, drop_volts: f64) -> f64 {
    K_OHM_CMIL_PER_FOOT * amps * feet / drop_volts
}

/// Drop in volts after ISO 10133.
pub fn iso_volts(amps: f64, metres: f64, area_mm2: f64) -> f64 {
    ISO_OHM_MM2_PER_METRE * amps * metres / area_mm2
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::ampacity_aircraft;

    /// 10 A, 11 ft out and 10 ft back, at 3 % and at 10 % of 12 V: printed 6 270.8 and 1 881.3 cmil.
    #[test]
    fn the_formula_gives_the_published_circular_mils() {
        assert!((abyc_cmil(10.0, 21.0, 0.03 * 12.0) - 6270.8).abs() < 0.05);
        assert!((abyc_cmil(10.0, 21.0, 0.10 * 12.0) - 1881.25).abs() < 0.01);
    }

    /// Tables 11-7 and 11-8: ohms per foot × feet × amperes. Row 3 prints 3.60 V for 3.555 V (a rounded constant) and
    /// the 19.5 ft row prints 0.366 V, a misprint for 0.491 V.
    #[test]
    fn aircraft_drop_examples_without_their_misprints() {
        for (number, feet, amps, volts) in [
            ("6", 107.0, 20.0, 0.9416),
            ("4", 90.0, 20.0, 0.504),
            ("12", 88.0, 20.0, 3.555),
            ("14", 100.0, 20.0, 6.12),
            ("10", 39.0, 20.0, 0.983),
            ("10", 19.5, 20.0, 0.4914),
            ("10", 156.0, 20.0, 3.931),
            ("10", 273.0, 20.0, 6.880),
        ] {
            let ohms = ampacity_aircraft::find(number).map_or(0.0, |row| row.ohms_per_kft / 1000.0);
            assert!(
                (ohms * feet * amps - volts).abs() < 6e-4,
                "{number}, {feet} ft"
            );
        }
        assert!((0.00126_f64 * 19.5 * 20.0 - 0.366).abs() > 0.1);
        // Each is chosen to keep the continuous limit of its system: 1 V of 28 V, 0.5 V of 14 V.
        assert!(0.983 <= ROWS[1].continuous_volts && 0.4914 <= ROWS[0].continuous_volts);
    }

    /// 10.75 Ω·cmil/ft is copper at 30 °C: 10.37 at 20 °C and 0.00393 more per kelvin. It is no constant of nature, and the
    /// plan's own drop is worked out with the copper temperature of its settings.
    #[test]
    fn the_constant_of_the_formula_belongs_to_thirty_degrees() {
        use crate::catalog::conductor::{ALPHA20, RHO20_COPPER};
        // Ω·mm²/m over mm² per cmil, metres per foot.
        let at_20c = RHO20_COPPER * 0.3048 / ampacity_aircraft::MM2_PER_CMIL;
        assert!((at_20c - 10.37).abs() < 0.005, "{at_20c}");
        let at = |celsius: f64| at_20c * (1.0 + ALPHA20 * (celsius - 20.0));
        assert!((at(30.0) / K_OHM_CMIL_PER_FOOT - 1.0).abs() < 0.005);
        assert!(at(75.0) > 1.15 * K_OHM_CMIL_PER_FOOT);
    }

    /// Both short forms speak of about the same copper: within 10 % of each other.
    #[test]
    fn the_two_formulas_agree() {
        let area = abyc_cmil(10.0, 21.0, 0.36) * ampacity_aircraft::MM2_PER_CMIL;
        let volts = iso_volts(10.0, 21.0 * 0.3048, area);
        assert!((volts / 0.36 - 1.0).abs() < 0.1, "{volts}");
    }
}
