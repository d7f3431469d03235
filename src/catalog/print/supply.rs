//! Printed tables of wires, drops and fuses.

use super::Cell::{self, Maybe, Number, Text};
use super::Sheet;
use crate::catalog::{
    Mark, ampacity, ampacity_aircraft, conductor, drop_rule, fuse, fuse_rule, fuse_time,
};

pub fn conductors() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Size", "Area, mm²", "At 20 °C, mΩ/m", "Mark"]);
    for row in conductor::ROWS {
        let cells = [
            Text(row.label),
            Number(row.area_mm2),
            Number(row.ohms_per_km_20c),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn ampacities() -> Vec<Sheet> {
    let mut amps = Sheet::new(&[
        "Size",
        "60 °C, A",
        "75 °C",
        "80 °C",
        "90 °C",
        "105 °C",
        "125 °C",
        "200 °C",
        "Mark",
    ]);
    let mut line = |name, figures: &[f64; 7], mark| {
        let cells: Vec<Cell> = [Text(name)]
            .into_iter()
            .chain(figures.iter().map(|&a| Number(a)))
            .collect();
        amps.row(mark, &cells);
    };
    for row in ampacity::ROWS {
        line(row.key, &row.amps, row.mark);
    }
    line(
        "Factor in an engine space",
        &ampacity::ENGINE_FACTORS,
        Mark::FromMemory,
    );
    let mut bundle = Sheet::new(&["Wires in a bundle", "Factor", "Mark"]);
    for (name, count) in [
        ("1 or 2", 1),
        ("3", 3),
        ("4 to 6", 4),
        ("7 to 24", 7),
        ("25 and more", 25),
    ] {
        bundle.row(
            Mark::Seen,
            &[Text(name), Number(ampacity::bundle_factor(count))],
        );
    }
    vec![amps, bundle]
}

pub fn aircraft() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "AN gauge",
        "Area, cmil",
        "Ω per 1000 ft",
        "105 °C, A",
        "150 °C, A",
        "200 °C",
        "Mark",
    ]);
    for row in ampacity_aircraft::ROWS {
        let [a, b, c] = row.amps;
        let cells = [
            Text(row.key),
            Number(row.cmil),
            Number(row.ohms_per_kft),
            Number(a),
            Number(b),
            Number(c),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn drops() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Rule", "Figure", "Mark"]);
    for (mark, name, value) in [
        (
            Mark::Seen,
            "Main feeders, navigation lights, pumps: % of nominal volts",
            100.0 * drop_rule::STRICT_SHARE,
        ),
        (
            Mark::Seen,
            "General lighting and the rest: %",
            100.0 * drop_rule::GENERAL_SHARE,
        ),
        (
            Mark::FromMemory,
            "Road lamps: %",
            100.0 * drop_rule::ROAD_SHARE,
        ),
        (Mark::Seen, "Ground point, V", drop_rule::GROUND_VOLTS),
        (Mark::Seen, "Switch contact, V", drop_rule::CONTACT_VOLTS),
        (Mark::Seen, "Connection, V", drop_rule::CONNECTION_VOLTS),
        (
            Mark::Seen,
            "K of cmil = K·A·ft/V, Ω·cmil/ft",
            drop_rule::K_OHM_CMIL_PER_FOOT,
        ),
        (
            Mark::FromMemory,
            "k of V = k·A·m/mm², Ω·mm²/m",
            drop_rule::ISO_OHM_MM2_PER_METRE,
        ),
    ] {
        sheet.row(mark, &[Text(name), Number(value)]);
    }
    let mut aircraft = Sheet::new(&[
        "Aircraft system",
        "Continuous, V",
        "Intermittent, V",
        "Mark",
    ]);
    for row in drop_rule::ROWS {
        let cells = [
            Text(row.key),
            Number(row.continuous_volts),
            Number(row.intermittent_volts),
        ];
        aircraft.row(row.mark, &cells);
    }
    vec![sheet, aircraft]
}

pub fn fuses() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "Rating, A",
        "Colour",
        "Cold, mΩ",
        "Drop at rating, mV",
        "Mark",
    ]);
    for row in fuse::ROWS {
        let cells = [
            Number(row.rating_amps),
            Text(row.colour),
            Number(row.cold_milliohms),
            Number(row.drop_at_rating_mv),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn fuse_rules() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Rule", "Figure", "Mark"]);
    for (mark, name, value) in [
        (
            Mark::Seen,
            "Largest fuse, % of ampacity",
            100.0 * fuse_rule::MOST_OF_AMPACITY,
        ),
        (
            Mark::CommonPractice,
            "Largest steady load, % of rating",
            100.0 * fuse_rule::MOST_LOAD,
        ),
        (
            Mark::Seen,
            "From the source, mm (7 in)",
            fuse_rule::NEAR.get(),
        ),
        (
            Mark::Seen,
            "In a sheath, mm (40 in)",
            fuse_rule::SHEATHED.get(),
        ),
        (
            Mark::FromMemory,
            "In a sheath from a battery terminal, mm (72 in)",
            fuse_rule::SHEATHED_BATTERY.get(),
        ),
    ] {
        sheet.row(mark, &[Text(name), Number(value)]);
    }
    let mut aircraft = Sheet::new(&["Aircraft wire", "Breaker, A", "Fuse, A", "Mark"]);
    for row in fuse_rule::ROWS {
        aircraft.row(
            row.mark,
            &[
                Text(row.key),
                Maybe(row.breaker_amps),
                Number(row.fuse_amps),
            ],
        );
    }
    vec![sheet, aircraft]
}

pub fn fuse_times() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "Fuse and % of rating",
        "Holds at least, s",
        "Opens within, s",
        "Mark",
    ]);
    for row in fuse_time::ROWS {
        sheet.row(
            row.opens_mark,
            &[Text(row.key), Maybe(row.holds_s), Maybe(row.opens_within_s)],
        );
    }
    vec![sheet]
}
