//! North American trade numbers: design volts, amperes, mean spherical candela and rated life.
//!
//! Numbers 51 and 55 were read in SAE J573d; all others are from memory. Where a range of life is published the shorter
//! end is kept.

use super::{Filament, Glass, Light, Mark, Row, SOURCE_TRADE, System};
use crate::text::mark;

const fn filament(
    name: &'static str,
    (volts, amps, candela, hours): (f64, f64, f64, f64),
) -> Filament {
    Filament {
        name,
        design_volts: volts,
        amps,
        rated_watts: None,
        light: Light::Candela(candela),
        life_hours: Some(hours),
    }
}

/// One filament: volts, amperes, candela, hours.
const fn main(volts: f64, amps: f64, candela: f64, hours: f64) -> [Filament; 1] {
    [filament("main", (volts, amps, candela, hours))]
}

/// Major and minor filament: volts, amperes, candela, hours of each.
const fn two(major: (f64, f64, f64, f64), minor: (f64, f64, f64, f64)) -> [Filament; 2] {
    [filament("major", major), filament("minor", minor)]
}

const fn lamp(
    key: &'static str,
    nominal_volts: f64,
    cap: &'static str,
    filaments: &'static [Filament],
) -> Row {
    Row {
        key,
        system: System::TradeNumber,
        nominal_volts,
        cap: Some(cap),
        glass: Glass::Clear,
        filaments,
        mark: Mark::FromMemory,
        source: &SOURCE_TRADE,
    }
}

/// A row of SAE J573d that was read; the sheet's base column was not visible.
const fn read(key: &'static str, filaments: &'static [Filament]) -> Row {
    Row {
        cap: None,
        mark: Mark::Seen,
        ..lamp(key, 6.0, "", filaments)
    }
}

const fn amber(row: Row) -> Row {
    Row {
        glass: Glass::Amber,
        ..row
    }
}

/// Shared by the 1157 and the lamps that copy its filaments.
const S_1157: [Filament; 2] = two((12.8, 2.10, 32.0, 1200.0), (14.0, 0.59, 3.0, 5000.0));
const S_1157_AMBER: [Filament; 2] = two((12.8, 2.10, 24.0, 1200.0), (14.0, 0.59, 2.2, 5000.0));
/// Shared by the 2357 and the wedge lamps that copy its filaments.
const S_2357: [Filament; 2] = two((12.8, 2.23, 40.0, 400.0), (14.0, 0.59, 3.0, 5000.0));
/// Shared by 1016 and 1176.
const S_1016: [Filament; 2] = two((12.8, 1.34, 21.0, 200.0), (14.0, 0.59, 6.0, 1500.0));

/// All trade numbers: 12 V two-filament, 12 V one-filament, 6 V, 24 V.
pub(super) const ROWS: &[Row] = &[
    lamp("1157", 12.0, "BAY15d", &S_1157),
    amber(lamp("1157A", 12.0, "BAY15d", &S_1157_AMBER)),
    amber(lamp("1157NA", 12.0, "BAY15d", &S_1157_AMBER)),
    lamp(
        "1034",
        12.0,
        "BAY15d",
        &two((12.8, 1.80, 32.0, 200.0), (14.0, 0.59, 3.0, 5000.0)),
    ),
    lamp("1016", 12.0, "BAY15d", &S_1016),
    lamp("1176", 12.0, "BA15d", &S_1016),
    lamp(
        "2057",
        12.0,
        "BAY15d",
        &two((12.8, 2.10, 32.0, 1200.0), (14.0, 0.48, 2.0, 5000.0)),
    ),
    lamp("2357", 12.0, "BAY15d", &S_2357),
    lamp("3157", 12.0, "W2.5x16q", &S_1157),
    lamp(
        "3057",
        12.0,
        mark!("wedge"),
        &two((12.8, 2.10, 32.0, 2000.0), (14.0, 0.48, 2.0, 5000.0)),
    ),
    lamp("3357", 12.0, mark!("wedge"), &S_2357),
    lamp("3457", 12.0, mark!("wedge"), &S_2357),
    lamp("1156", 12.0, "BA15s", &main(12.8, 2.10, 32.0, 1200.0)),
    lamp("3156", 12.0, "W2.5x16d", &main(12.8, 2.10, 32.0, 1200.0)),
    lamp("1141", 12.0, "BA15s", &main(12.8, 1.44, 21.0, 1000.0)),
    lamp("1073", 12.0, "BA15s", &main(12.8, 1.80, 32.0, 200.0)),
    lamp("1003", 12.0, "BA15s", &main(12.8, 0.94, 15.0, 200.0)),
    lamp("93", 12.0, "BA15s", &main(12.8, 1.04, 15.0, 700.0)),
    lamp("67", 12.0, "BA15s", &main(13.5, 0.59, 4.0, 5000.0)),
    lamp("89", 12.0, "BA15s", &main(13.0, 0.58, 6.0, 750.0)),
    lamp("97", 12.0, "BA15s", &main(13.5, 0.69, 4.0, 5000.0)),
    lamp("57", 12.0, "BA9s", &main(14.0, 0.24, 2.0, 500.0)),
    lamp("53", 12.0, "BA9s", &main(14.4, 0.12, 1.0, 1000.0)),
    lamp("1895", 12.0, "BA9s", &main(14.0, 0.27, 2.0, 2000.0)),
    lamp("194", 12.0, "W2.1x9.5d", &main(14.0, 0.27, 2.0, 2500.0)),
    lamp("168", 12.0, "W2.1x9.5d", &main(14.0, 0.35, 3.0, 1500.0)),
    lamp("158", 12.0, "W2.1x9.5d", &main(14.0, 0.24, 2.0, 500.0)),
    lamp("161", 12.0, "W2.1x9.5d", &main(14.0, 0.19, 1.0, 4000.0)),
    lamp("74", 12.0, "W2x4.6d", &main(14.0, 0.10, 0.7, 500.0)),
    lamp("37", 12.0, "W2x4.6d", &main(14.0, 0.09, 0.5, 1500.0)),
    lamp("73", 12.0, "W2x4.6d", &main(14.0, 0.08, 0.3, 15000.0)),
    lamp("906", 12.0, mark!("wedge"), &main(13.5, 0.69, 6.0, 1000.0)),
    lamp("912", 12.0, mark!("wedge"), &main(12.8, 1.00, 12.0, 1000.0)),
    lamp("921", 12.0, mark!("wedge"), &main(12.8, 1.40, 21.0, 1000.0)),
    lamp(
        "211-2",
        12.0,
        mark!("festoon"),
        &main(12.8, 0.97, 12.0, 1000.0),
    ),
    lamp(
        "4411",
        12.0,
        "PAR36",
        &[Filament {
            light: Light::NotGiven,
            rated_watts: Some(35.0),
            ..filament("main", (12.8, 2.7, 0.0, 300.0))
        }],
    ),
    lamp("1129", 6.0, "BA15s", &main(6.4, 2.63, 21.0, 200.0)),
    lamp(
        "1154",
        6.0,
        "BAY15d",
        &[
            Filament {
                life_hours: None,
                ..filament("major", (6.4, 2.63, 21.0, 0.0))
            },
            Filament {
                life_hours: None,
                ..filament("minor", (7.0, 0.75, 3.0, 0.0))
            },
        ],
    ),
    lamp("63", 6.0, "BA15s", &main(7.0, 0.63, 3.0, 1000.0)),
    read("51", &main(7.5, 0.22, 1.0, 1000.0)),
    read("55", &main(7.0, 0.41, 2.0, 500.0)),
    lamp("1683", 24.0, "BA15s", &main(28.0, 1.02, 32.0, 500.0)),
];
