//! UN Regulation 37 categories: rated power, largest power and flux at test voltage, cap.
//!
//! Test voltage 13.5 V for 12 V signal lamps, 13.2 V for 12 V headlamps, 28 V for all 24 V lamps. From memory except
//! PY21/5W (read) and the flux of 12 V H1 and H3 (read). The current kept is largest power over test voltage.

use super::{Filament, Glass, Light, Mark, Row, SOURCE_R37, System};

/// Test voltage of 12 V signal lamps.
const SIGNAL: f64 = 13.5;
/// Test voltage of 12 V headlamps.
const HEAD: f64 = 13.2;
/// Test voltage of 24 V lamps.
const TRUCK: f64 = 28.0;

const fn filament(
    name: &'static str,
    volts: f64,
    rated_watts: f64,
    max_watts: f64,
    light: Light,
) -> Filament {
    Filament {
        name,
        design_volts: volts,
        amps: max_watts / volts,
        rated_watts: Some(rated_watts),
        light,
        life_hours: None,
    }
}

const fn main(volts: f64, rated_watts: f64, max_watts: f64, lumens: f64) -> [Filament; 1] {
    [filament(
        "main",
        volts,
        rated_watts,
        max_watts,
        Light::Lumens(lumens),
    )]
}

/// (rated W, largest W, lm) of the major and of the minor filament.
const fn two(volts: f64, major: (f64, f64, f64), minor: (f64, f64, f64)) -> [Filament; 2] {
    [
        filament("major", volts, major.0, major.1, Light::Lumens(major.2)),
        filament("minor", volts, minor.0, minor.1, Light::Lumens(minor.2)),
    ]
}

const fn lamp(
    key: &'static str,
    nominal_volts: f64,
    cap: &'static str,
    filaments: &'static [Filament],
) -> Row {
    Row {
        key,
        system: System::UnR37,
        nominal_volts,
        cap: Some(cap),
        glass: Glass::Clear,
        filaments,
        mark: Mark::FromMemory,
        source: &SOURCE_R37,
    }
}

const fn tinted(glass: Glass, row: Row) -> Row {
    Row { glass, ..row }
}

/// All categories, 12 V before 24 V.
pub(super) const ROWS: &[Row] = &[
    lamp("P21W", 12.0, "BA15s", &main(SIGNAL, 21.0, 26.5, 460.0)),
    lamp(
        "P21/5W",
        12.0,
        "BAY15d",
        &two(SIGNAL, (21.0, 26.5, 440.0), (5.0, 6.6, 35.0)),
    ),
    Row {
        mark: Mark::Seen,
        ..tinted(
            Glass::Amber,
            lamp(
                "PY21/5W",
                12.0,
                "BA15d-3",
                &two(SIGNAL, (21.0, 26.5, 270.0), (5.0, 6.6, 21.0)),
            ),
        )
    },
    tinted(
        Glass::Amber,
        lamp("PY21W", 12.0, "BAU15s", &main(SIGNAL, 21.0, 26.5, 280.0)),
    ),
    tinted(
        Glass::Red,
        lamp("PR21W", 12.0, "BAW15s", &main(SIGNAL, 21.0, 26.5, 110.0)),
    ),
    lamp("P27W", 12.0, "W2.5x16d", &main(SIGNAL, 27.0, 32.1, 475.0)),
    lamp(
        "P27/7W",
        12.0,
        "W2.5x16q",
        &two(SIGNAL, (27.0, 32.1, 475.0), (7.0, 8.5, 36.0)),
    ),
    lamp("R5W", 12.0, "BA15s", &main(SIGNAL, 5.0, 5.5, 50.0)),
    lamp("R10W", 12.0, "BA15s", &main(SIGNAL, 10.0, 11.0, 125.0)),
    lamp("T4W", 12.0, "BA9s", &main(SIGNAL, 4.0, 4.4, 35.0)),
    lamp("H6W", 12.0, "BAX9s", &main(SIGNAL, 6.0, 7.35, 125.0)),
    lamp("H21W", 12.0, "BAY9s", &main(SIGNAL, 21.0, 26.5, 600.0)),
    lamp("W3W", 12.0, "W2.1x9.5d", &main(SIGNAL, 3.0, 3.45, 22.0)),
    lamp("W5W", 12.0, "W2.1x9.5d", &main(SIGNAL, 5.0, 5.5, 50.0)),
    lamp("W16W", 12.0, "W2.1x9.5d", &main(SIGNAL, 16.0, 21.35, 310.0)),
    lamp("W21W", 12.0, "W3x16d", &main(SIGNAL, 21.0, 26.5, 460.0)),
    lamp(
        "W21/5W",
        12.0,
        "W3x16q",
        &two(SIGNAL, (21.0, 26.5, 440.0), (5.0, 6.6, 35.0)),
    ),
    lamp("C5W", 12.0, "SV8.5", &main(SIGNAL, 5.0, 5.5, 45.0)),
    lamp("C21W", 12.0, "SV8.5", &main(SIGNAL, 21.0, 26.5, 460.0)),
    lamp("H1", 12.0, "P14.5s", &main(HEAD, 55.0, 68.0, 1550.0)),
    lamp("H3", 12.0, "PK22s", &main(HEAD, 55.0, 68.0, 1450.0)),
    lamp(
        "H4",
        12.0,
        "P43t",
        &two(HEAD, (60.0, 75.0, 1650.0), (55.0, 68.0, 1000.0)),
    ),
    lamp("H7", 12.0, "PX26d", &main(HEAD, 55.0, 58.0, 1500.0)),
    lamp("H8", 12.0, "PGJ19", &main(HEAD, 35.0, 43.0, 800.0)),
    lamp("H11", 12.0, "PGJ19", &main(HEAD, 55.0, 62.0, 1350.0)),
    lamp("P21W 24V", 24.0, "BA15s", &main(TRUCK, 21.0, 29.7, 460.0)),
    lamp(
        "P21/5W 24V",
        24.0,
        "BAY15d",
        &two(TRUCK, (21.0, 29.7, 440.0), (5.0, 11.0, 40.0)),
    ),
    tinted(
        Glass::Amber,
        lamp("PY21W 24V", 24.0, "BAU15s", &main(TRUCK, 21.0, 29.7, 280.0)),
    ),
    tinted(
        Glass::Red,
        lamp("PR21W 24V", 24.0, "BAW15s", &main(TRUCK, 21.0, 29.7, 110.0)),
    ),
    lamp("R5W 24V", 24.0, "BA15s", &main(TRUCK, 5.0, 7.7, 50.0)),
    lamp("R10W 24V", 24.0, "BA15s", &main(TRUCK, 10.0, 14.0, 125.0)),
    lamp("T4W 24V", 24.0, "BA9s", &main(TRUCK, 4.0, 5.5, 35.0)),
    lamp("H21W 24V", 24.0, "BAY9s", &main(TRUCK, 21.0, 29.4, 600.0)),
    lamp("W3W 24V", 24.0, "W2.1x9.5d", &main(TRUCK, 3.0, 4.6, 22.0)),
    lamp("W5W 24V", 24.0, "W2.1x9.5d", &main(TRUCK, 5.0, 7.7, 50.0)),
    lamp("C5W 24V", 24.0, "SV8.5", &main(TRUCK, 5.0, 7.7, 45.0)),
    lamp("H1 24V", 24.0, "P14.5s", &main(TRUCK, 70.0, 84.0, 1900.0)),
    lamp("H3 24V", 24.0, "PK22s", &main(TRUCK, 70.0, 84.0, 1750.0)),
    lamp(
        "H4 24V",
        24.0,
        "P43t",
        &[
            filament("major", TRUCK, 75.0, 85.0, Light::NotGiven),
            filament("minor", TRUCK, 70.0, 80.0, Light::NotGiven),
        ],
    ),
    lamp("H7 24V", 24.0, "PX26d", &main(TRUCK, 70.0, 75.0, 1750.0)),
];
