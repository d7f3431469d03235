//! Printed tables of wires, drops and fuses.

use super::Cell::{self, Maybe, Measure, Number, Text};
use super::Sheet;
use crate::catalog::{
    Mark, ampacity, ampacity_aircraft, conductor, drop_rule, fuse, fuse_rule, fuse_time,
};
use crate::text::mark;

pub fn conductors() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("Size"),
        mark!("Area, mm²"),
        mark!("At 20 °C, mΩ/m"),
        mark!("Mark"),
    ]);
    for row in conductor::ROWS {
        let cells = [
            Measure(row.label),
            Number(row.area_mm2),
            Number(row.ohms_per_km_20c),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn ampacities() -> Vec<Sheet> {
    let mut amps = Sheet::new(&[
        mark!("Size"),
        "60 °C, A",
        "75 °C",
        "80 °C",
        "90 °C",
        "105 °C",
        "125 °C",
        "200 °C",
        mark!("Mark"),
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
        mark!("Factor in an engine space"),
        &ampacity::ENGINE_FACTORS,
        Mark::FromMemory,
    );
    let mut bundle = Sheet::new(&[mark!("Wires in a bundle"), mark!("Factor"), mark!("Mark")]);
    for (name, count) in [
        (mark!("1 or 2"), 1),
        ("3", 3),
        (mark!("4 to 6"), 4),
        (mark!("7 to 24"), 7),
        (mark!("25 and more"), 25),
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
        mark!("AN gauge"),
        mark!("Area, cmil"),
        mark!("Ω per 1000 ft"),
        "105 °C, A",
        "150 °C, A",
        "200 °C",
        mark!("Mark"),
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
    let mut sheet = Sheet::new(&[mark!("Rule"), mark!("Figure"), mark!("Mark")]);
    for (mark, name, value) in [
        (
            Mark::Seen,
            mark!("Main feeders, navigation lights, pumps: % of nominal volts"),
            100.0 * drop_rule::STRICT_SHARE,
        ),
        (
            Mark::Seen,
            mark!("General lighting and the rest: %"),
            100.0 * drop_rule::GENERAL_SHARE,
        ),
        (
            Mark::FromMemory,
            mark!("Road lamps: %"),
            100.0 * drop_rule::ROAD_SHARE,
        ),
        (
            Mark::Seen,
            mark!("Ground point, V"),
            drop_rule::GROUND_VOLTS,
        ),
        (
            Mark::Seen,
            mark!("Switch contact, V"),
            drop_rule::CONTACT_VOLTS,
        ),
        (
            Mark::Seen,
            mark!("Connection, V"),
            drop_rule::CONNECTION_VOLTS,
        ),
        (
            Mark::Seen,
            mark!("K of cmil = K·A·ft/V, Ω·cmil/ft"),
            drop_rule::K_OHM_CMIL_PER_FOOT,
        ),
        (
            Mark::FromMemory,
            mark!("k of V = k·A·m/mm², Ω·mm²/m"),
            drop_rule::ISO_OHM_MM2_PER_METRE,
        ),
    ] {
        sheet.row(mark, &[Text(name), Number(value)]);
    }
    let mut aircraft = Sheet::new(&[
        mark!("Aircraft system"),
        mark!("Continuous, V"),
        mark!("Intermittent, V"),
        mark!("Mark"),
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
        mark!("Rating, A"),
        mark!("Colour"),
        mark!("Cold, mΩ"),
        mark!("Drop at rating, mV"),
        mark!("Mark"),
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
    let mut sheet = Sheet::new(&[mark!("Rule"), mark!("Figure"), mark!("Mark")]);
    for (mark, name, value) in [
        (
            Mark::Seen,
            mark!("Largest fuse, % of ampacity"),
            100.0 * fuse_rule::MOST_OF_AMPACITY,
        ),
        (
            Mark::CommonPractice,
            mark!("Largest steady load, % of rating"),
            100.0 * fuse_rule::MOST_LOAD,
        ),
        (
            Mark::Seen,
            mark!("From the source, mm (7 in)"),
            fuse_rule::NEAR.get(),
        ),
        (
            Mark::Seen,
            mark!("In a sheath, mm (40 in)"),
            fuse_rule::SHEATHED.get(),
        ),
        (
            Mark::FromMemory,
            mark!("In a sheath from a battery terminal, mm (72 in)"),
            fuse_rule::SHEATHED_BATTERY.get(),
        ),
    ] {
        sheet.row(mark, &[Text(name), Number(value)]);
    }
    let mut aircraft = Sheet::new(&[
        mark!("Aircraft wire"),
        mark!("Breaker, A"),
        mark!("Fuse, A"),
        mark!("Mark"),
    ]);
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
        mark!("Fuse"),
        mark!("% of rating"),
        mark!("Holds at least, s"),
        mark!("Opens within, s"),
        mark!("Mark"),
    ]);
    for row in fuse_time::ROWS {
        sheet.row(
            row.opens_mark,
            &[
                Text(row.body.name()),
                Number(row.percent_of_rating),
                Maybe(row.holds_s),
                Maybe(row.opens_within_s),
            ],
        );
    }
    vec![sheet]
}
