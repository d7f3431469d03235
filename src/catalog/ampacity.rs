//! Ampacity: the current a copper wire may carry for good, by size, insulation class and surroundings.
//!
//! Two bases, chosen by the user: [`Basis::Boats`], the table of 33 CFR 183.425 (single wires in air at 30 °C, this
//! file), and [`Basis::Aircraft`], Table 11-9 of AC 43.13-1B (wires in a large harness at 70 °C,
//! [`ampacity_aircraft`](super::ampacity_aircraft)). Both list gauges; metric and SAE sizes are read by their copper area, interpolated on
//! logarithmic axes between the two gauges around them. Below the smallest listed gauge the current goes in
//! proportion to the area, which is below any real ampacity curve; above the largest there is none.
//!
//! The insulation class is read at the next lower column; below the lowest there is none. Another ambient
//! temperature than the table's scales with √((T − Ta)/(T − T0)), the law that the engine-space factors of
//! the regulation follow.

use super::{Mark, Source, ampacity_aircraft, by_key, conductor};
use crate::text::mark;
use crate::units::{Amps, Celsius};
use serde::{Deserialize, Serialize};

/// The table.
pub const SOURCE: Source = Source {
    title: "33 CFR 183.425 Conductors: general (boats)",
    edition: mark!("2001 and current online copies, which agree"),
    place: mark!("Table 5, allowable amperage of conductors for under 50 volts"),
    range: mark!(
        "18 AWG to 4/0 AWG, 60 to 200 °C insulation, 30 °C ambient; below 18 AWG in proportion to the area (worked out)"
    ),
    mark: Mark::Seen,
};
/// Engine space.
pub const SOURCE_ENGINE: Source = Source {
    title: "33 CFR 183.425 Conductors: general (boats)",
    edition: mark!("factor of 105 °C insulation seen, the others recalled"),
    place: mark!("Table 5, note 1: engine space at 50 °C"),
    range: mark!("60 to 200 °C insulation; read at the next lower column"),
    mark: Mark::FromMemory,
};
/// Bundles.
pub const SOURCE_BUNDLE: Source = Source {
    title: "33 CFR 183.425 and 183.435 Conductors in circuits of 50 volts or more (boats)",
    edition: mark!("as reprinted in a catalogue with the Coast Guard's guideline"),
    place: mark!("Table 5, note 2: 3, 4 to 6, 7 to 24, 25 and more conductors in a bundle"),
    range: mark!(
        "required from 50 V on; below that a rule of practice; 1 or 2 conductors: no factor"
    ),
    mark: Mark::Seen,
};
/// Ambient temperature.
pub const SOURCE_AMBIENT: Source = Source {
    title: mark!(
        "Heat balance of a wire: heat grows with the square of the current, its loss with the temperature rise"
    ),
    edition: mark!("worked out; gives the printed engine-space factors to 0.01, but for 200 °C"),
    place: mark!("√((T − Ta)/(T − T0))"),
    range: mark!("ambient below the insulation class; none at or above it"),
    mark: Mark::Derived,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE, SOURCE_ENGINE, SOURCE_BUNDLE, SOURCE_AMBIENT];

/// Which table a plan's wires are judged by.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// 33 CFR 183.425: single wires in air at 30 °C.
    #[default]
    Boats,
    /// AC 43.13-1B Table 11-9: wires in a large harness at 70 °C.
    Aircraft,
}

impl Basis {
    /// The table as named in a finding.
    pub const fn text(self) -> &'static str {
        match self {
            Basis::Boats => "33 CFR 183.425 Table 5",
            Basis::Aircraft => "FAA AC 43.13-1B Table 11-9",
        }
    }
}

/// What surrounds the wires.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Surroundings {
    /// The table.
    pub basis: Basis,
    /// Temperature of the air around the wires.
    pub ambient: Celsius,
    /// Whether they run through an engine space.
    pub engine_space: bool,
    /// Current-carrying conductors that lie together.
    pub bundle: u16,
}

impl Default for Surroundings {
    /// Wires alone in air at 30 °C, after 33 CFR 183.425.
    fn default() -> Self {
        Self {
            basis: Basis::Boats,
            ambient: Celsius::of(AMBIENT_C),
            engine_space: false,
            bundle: 1,
        }
    }
}

/// Ambient temperature of the table in °C.
pub const AMBIENT_C: f64 = 30.0;
/// Ambient temperature of an engine space in °C.
pub const ENGINE_C: f64 = 50.0;
/// Insulation classes of the columns in °C.
pub const CLASSES: [f64; 7] = [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0];
/// Engine-space factor of each column.
pub const ENGINE_FACTORS: [f64; 7] = [0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1.00];

/// One gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Conductor key.
    pub key: &'static str,
    /// Copper area in mm².
    pub area_mm2: f64,
    /// Allowable amperes, one per class.
    pub amps: [f64; 7],
    /// How far the row was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, area_mm2: f64, amps: [f64; 7]) -> Row {
    let mark = Mark::Seen;
    Row {
        key,
        area_mm2,
        amps,
        mark,
    }
}

/// All gauges, from thin to thick.
pub const ROWS: &[Row] = &[
    row("18 AWG", 0.8230, [10.0, 10.0, 15.0, 20.0, 20.0, 25.0, 25.0]),
    row("16 AWG", 1.309, [15.0, 15.0, 20.0, 25.0, 25.0, 30.0, 35.0]),
    row("14 AWG", 2.081, [20.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0]),
    row("12 AWG", 3.309, [25.0, 25.0, 35.0, 40.0, 45.0, 50.0, 55.0]),
    row("10 AWG", 5.261, [40.0, 40.0, 50.0, 55.0, 60.0, 70.0, 70.0]),
    row("8 AWG", 8.366, [55.0, 65.0, 70.0, 70.0, 80.0, 90.0, 100.0]),
    row(
        "6 AWG",
        13.30,
        [80.0, 95.0, 100.0, 100.0, 120.0, 125.0, 135.0],
    ),
    row(
        "4 AWG",
        21.15,
        [105.0, 125.0, 130.0, 135.0, 160.0, 170.0, 180.0],
    ),
    row(
        "3 AWG",
        26.67,
        [120.0, 145.0, 150.0, 155.0, 180.0, 195.0, 210.0],
    ),
    row(
        "2 AWG",
        33.63,
        [140.0, 170.0, 175.0, 180.0, 210.0, 225.0, 240.0],
    ),
    row(
        "1 AWG",
        42.41,
        [165.0, 195.0, 210.0, 210.0, 245.0, 265.0, 280.0],
    ),
    row(
        "1/0 AWG",
        53.48,
        [195.0, 230.0, 245.0, 245.0, 285.0, 305.0, 325.0],
    ),
    row(
        "2/0 AWG",
        67.43,
        [225.0, 265.0, 285.0, 285.0, 330.0, 355.0, 370.0],
    ),
    row(
        "3/0 AWG",
        85.03,
        [260.0, 310.0, 330.0, 330.0, 385.0, 410.0, 430.0],
    ),
    row(
        "4/0 AWG",
        107.2,
        [300.0, 360.0, 385.0, 385.0, 445.0, 475.0, 510.0],
    ),
];

/// The row of a gauge.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// Factor for conductors that lie together.
pub const fn bundle_factor(conductors: u16) -> f64 {
    match conductors {
        0..=2 => 1.0,
        3 => 0.70,
        4..=6 => 0.60,
        7..=24 => 0.50,
        _ => 0.40,
    }
}

/// The current a conductor may carry for good; `None` where the table has no figure (insulation class below its
/// lowest column, size above its largest) and zero where the surroundings are as hot as the insulation may be.
pub fn ampacity(
    conductor: &conductor::Row,
    insulation: Celsius,
    around: &Surroundings,
) -> Option<Amps> {
    let single = match around.basis {
        Basis::Boats => boats(conductor.area_mm2, insulation.get(), around),
        Basis::Aircraft => ampacity_aircraft::amps(
            conductor.area_mm2,
            insulation.get(),
            around
                .ambient
                .get()
                .max(if around.engine_space { ENGINE_C } else { 0.0 }),
        ),
    }?;
    // The aircraft table is one for harnesses already.
    let together = match around.basis {
        Basis::Boats => bundle_factor(around.bundle),
        Basis::Aircraft => 1.0,
    };
    Some(Amps::of(single * together))
}

fn boats(area_mm2: f64, insulation_c: f64, around: &Surroundings) -> Option<f64> {
    let column = CLASSES.iter().rposition(|&class| class <= insulation_c)?;
    let class = CLASSES[column];
    let amps = by_area(
        ROWS.iter().map(|row| (row.area_mm2, row.amps[column])),
        area_mm2,
    )?;
    let ambient = around.ambient.get();
    let factor = if around.engine_space {
        ENGINE_FACTORS[column] * ambient_factor(class, ENGINE_C, ambient.max(ENGINE_C))
    } else {
        ambient_factor(class, AMBIENT_C, ambient)
    };
    Some(amps * factor)
}

/// √((T − Ta)/(T − T0)): what a figure for `table_c` becomes at `ambient_c`; 0 from the class itself on.
pub fn ambient_factor(class_c: f64, table_c: f64, ambient_c: f64) -> f64 {
    if ambient_c >= class_c || table_c >= class_c {
        return 0.0;
    }
    libm::sqrt((class_c - ambient_c) / (class_c - table_c))
}

/// Amperes at an area from rows of (area, amperes) that rise: on logarithmic axes between rows, in proportion
/// to the area below the first, none above the last.
pub(super) fn by_area(rows: impl Iterator<Item = (f64, f64)>, area_mm2: f64) -> Option<f64> {
    let mut below: Option<(f64, f64)> = None;
    for (area, amps) in rows {
        if area_mm2 == area {
            return Some(amps);
        }
        if area_mm2 < area {
            return Some(match below {
                None => amps * (area_mm2 / area).max(0.0),
                Some((low_area, low_amps)) => {
                    let share = libm::log(area_mm2 / low_area) / libm::log(area / low_area);
                    low_amps * libm::exp(share * libm::log(amps / low_amps))
                }
            });
        }
        below = Some((area, amps));
    }
    None
}

#[cfg(test)]
mod tests;
