//! Every table as heads and rows of text, for a page that shows what stands behind the findings.
//!
//! One small function a table; each row ends with its mark. Figures have three significant digits, as on the rest of
//! the page, and stand in the unit that the head of their column names.

use super::*;
use crate::units::significant;

/// One printed table.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// What stands over the columns; the last is the mark.
    pub heads: &'static [&'static str],
    /// The rows, with as many cells as there are heads.
    pub rows: Vec<Vec<String>>,
}

/// A cell before it is text.
enum Cell {
    Text(&'static str),
    Number(f64),
    /// A figure that the source does not give in every row.
    Maybe(Option<f64>),
    Range(f64, f64),
    Letter(char),
    /// Colours by their first letters.
    Lights(&'static str),
}
use Cell::{Letter, Lights, Maybe, Number, Range, Text};

impl Sheet {
    const fn new(heads: &'static [&'static str]) -> Self {
        let rows = Vec::new();
        Self { heads, rows }
    }

    fn row(&mut self, mark: Mark, cells: &[Cell]) {
        let mut row: Vec<String> = cells.iter().map(text).collect();
        row.push(mark.word().into());
        self.rows.push(row);
    }
}

fn text(cell: &Cell) -> String {
    match *cell {
        Text(text) => text.into(),
        Maybe(None) => "–".into(),
        Number(value) | Maybe(Some(value)) if value.is_infinite() => "any".into(),
        Number(value) | Maybe(Some(value)) => significant(value),
        Range(low, high) => format!("{} to {}", significant(low), significant(high)),
        Letter(letter) => letter.into(),
        Lights(letters) => {
            let names: Vec<&str> = letters.chars().map(light).collect();
            names.join(" or ")
        }
    }
}

const fn light(letter: char) -> &'static str {
    match letter {
        'A' => "amber",
        'R' => "red",
        _ => "white",
    }
}

pub(super) fn conductors() -> Vec<Sheet> {
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

pub(super) fn ampacities() -> Vec<Sheet> {
    let mut amps = Sheet::new(&[
        "Size",
        "60 °C",
        "75 °C",
        "80 °C",
        "90 °C",
        "105 °C",
        "125 °C",
        "200 °C, A",
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

pub(super) fn aircraft() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "AN gauge",
        "Area, cmil",
        "Ω per 1000 ft",
        "105 °C, A",
        "150 °C, A",
        "200 °C, A",
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

pub(super) fn drops() -> Vec<Sheet> {
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

pub(super) fn fuses() -> Vec<Sheet> {
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

pub(super) fn fuse_rules() -> Vec<Sheet> {
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

pub(super) fn fuse_times() -> Vec<Sheet> {
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

pub(super) fn lamps() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "Lamp",
        "Filament",
        "At, V",
        "Current, A",
        "Light, lm",
        "Life, h",
        "Cap",
        "Mark",
    ]);
    for row in lamp::rows() {
        for filament in row.filaments {
            let cells = [
                Text(row.key),
                Text(filament.name),
                Number(filament.design_volts),
                Number(filament.amps),
                Maybe(filament.light.lumens().map(|light| light.get())),
                Maybe(filament.life_hours),
                Text(row.cap.unwrap_or("–")),
            ];
            sheet.row(row.mark, &cells);
        }
    }
    let mut laws = Sheet::new(&["With volts over design volts", "Exponent", "Mark"]);
    for (name, value) in [
        ("Current", lamp::CURRENT_EXPONENT),
        ("Power", lamp::POWER_EXPONENT),
        ("Light", lamp::FLUX_EXPONENT),
        ("Life", lamp::LIFE_EXPONENT),
    ] {
        laws.row(Mark::Seen, &[Text(name), Number(value)]);
    }
    vec![sheet, laws]
}

pub(super) fn tungsten_rows() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Kelvin", "µΩ·cm", "Over 300 K", "Mark"]);
    for row in tungsten::ROWS {
        let ratio = tungsten::ratio_to_300k(row.kelvin);
        sheet.row(
            Mark::FromMemory,
            &[Number(row.kelvin), Number(row.micro_ohm_cm), Number(ratio)],
        );
    }
    vec![sheet]
}

pub(super) fn leds() -> Vec<Sheet> {
    let mut lamps = Sheet::new(&[
        "LED lamp",
        "At, V",
        "Current, A",
        "Light from, V",
        "Window, V",
        "Mark",
    ]);
    for row in led::ROWS {
        let cells = [
            Text(row.label),
            Number(row.test_volts),
            Number(row.amps),
            Number(row.knee_volts),
            Range(row.min_volts, row.max_volts),
        ];
        lamps.row(row.mark, &cells);
    }
    let mut colours = Sheet::new(&["LED colour", "Forward, V", "Mark"]);
    for row in led::COLOURS {
        colours.row(
            row.mark,
            &[Text(row.key), Range(row.low_volts, row.high_volts)],
        );
    }
    let mut windows = Sheet::new(&["Supply code", "Window, V", "Mark"]);
    for &(code, low, high) in led::WINDOWS {
        windows.row(Mark::FromMemory, &[Letter(code), Range(low, high)]);
    }
    vec![lamps, colours, windows]
}

pub(super) fn diodes() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "Type",
        "Reverse, V",
        "Average, A",
        "Surge 8.3 ms, A",
        "Drop at average, V",
        "Leak 25 °C, mA",
        "Leak hot, mA",
        "Junction to air, K/W",
        "Junction, °C",
        "Mark",
    ]);
    for row in diode::ROWS {
        let cells = [
            Text(row.key),
            Number(row.vrrm_volts),
            Number(row.if_av_amps),
            Number(row.ifsm_amps),
            Number(row.drop_at(crate::units::Amps::of(row.if_av_amps)).get()),
            Number(1e3 * row.ir_amps),
            Maybe(row.ir_hot_amps.map(|amps| 1e3 * amps)),
            Maybe(row.rth_ja_k_per_w),
            Maybe(row.tj_max_c),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub(super) fn relays() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "Relay",
        "Coil, V",
        "Coil, Ω",
        "Operate, V",
        "Release, V",
        "Make 23 °C, A",
        "Make 85 °C, A",
        "Break 23 °C, A",
        "Closes on, A",
        "Mark",
    ]);
    for row in relay::ROWS {
        let cells = [
            Text(row.label),
            Number(row.coil_volts),
            Number(row.coil_ohms),
            Number(row.operate_volts),
            Number(row.release_volts),
            Number(row.make.amps_23c),
            Maybe(row.make.amps_85c),
            Maybe(row.break_.map(|contact| contact.amps_23c)),
            Maybe(row.making_amps),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub(super) fn batteries() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "Chemistry",
        "Peukert",
        "To use, %",
        "Low, V a cell",
        "Charging, V a cell",
        "Mark",
    ]);
    let mut rest = Sheet::new(&["Chemistry", "Charge, %", "Rest, V a cell", "Mark"]);
    for row in battery::ROWS {
        let cells = [
            Text(row.key),
            Number(row.peukert),
            Number(100.0 * row.depth),
            Number(row.low_cell_volts),
            Number(row.charging_cell_volts),
        ];
        sheet.row(row.mark, &cells);
        for &(share, volts) in row.rest {
            rest.row(
                row.mark,
                &[Text(row.key), Number(100.0 * share), Number(volts)],
            );
        }
    }
    vec![sheet, rest]
}

pub(super) fn switches() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["System", "Lamp", "Coil", "Resistance", "Motor", "Mark"]);
    for row in switch_derating::ROWS {
        let cells = [
            Text(row.key),
            Number(row.lamp),
            Number(row.coil),
            Number(row.resistive),
            Number(row.motor),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub(super) fn transients() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        "System",
        "Jump start, V",
        "Reversed, −V",
        "Clamped dump, V",
        "Load dump, V",
        "Practice for diodes, V",
        "Mark",
    ]);
    for row in transient::ROWS {
        let cells = [
            Text(row.key),
            Number(row.jump_volts),
            Number(row.reversed_volts),
            Number(row.clamped_dump_volts),
            Range(row.dump_volts.0, row.dump_volts.1),
            Number(row.practice_volts),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub(super) fn flashers() -> Vec<Sheet> {
    let mut rates = Sheet::new(&["Rule", "Flashes a minute", "First light, s", "Mark"]);
    for row in flasher::RATES {
        let cells = [
            Text(row.scope),
            Range(row.min_per_minute, row.max_per_minute),
            Maybe(row.first_light_s),
        ];
        rates.row(row.mark, &cells);
    }
    let mut units = Sheet::new(&[
        "Unit",
        "Made for, W",
        "Outage sign below, W",
        "Flashes from, W",
        "Drop, V",
        "Mark",
    ]);
    for row in flasher::ROWS {
        let cells = [
            Text(row.label),
            Maybe(row.load_watts),
            Maybe(row.outage_below_watts),
            Number(row.min_load_watts),
            Number(row.drop_volts),
        ];
        units.row(row.mark, &cells);
    }
    vec![rates, units]
}

pub(super) fn law_rows() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Lamp", "US", "UN", "Mark"]);
    for row in law::ROWS {
        sheet.row(row.mark, &[Text(row.key), Lights(row.us), Lights(row.un)]);
    }
    let mut ratio = Sheet::new(&["Stop over tail, times as bright", "Figure", "Mark"]);
    ratio.row(Mark::Seen, &[Text("everywhere"), Number(law::STOP_TO_TAIL)]);
    ratio.row(
        Mark::Seen,
        &[Text("on the axis"), Number(law::STOP_TO_TAIL_ON_AXIS)],
    );
    vec![sheet, ratio]
}

pub(super) fn terminals() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Number", "Meaning", "Mark"]);
    for row in terminal::ROWS {
        sheet.row(row.mark, &[Text(row.key), Text(row.meaning)]);
    }
    vec![sheet]
}

pub(super) fn colours() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Code", "Colour", "Mark"]);
    for row in colour::ROWS {
        sheet.row(row.mark, &[Text(row.key), Text(row.name)]);
    }
    vec![sheet]
}

pub(super) fn letters() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Part", "Letter", "Class", "Mark"]);
    for row in letter::ROWS {
        sheet.row(
            row.mark,
            &[Text(row.key), Letter(row.letter), Text(row.class)],
        );
    }
    vec![sheet]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_shows_whole_rows_under_heads_with_units_and_a_mark() {
        let words: Vec<&str> = [
            Mark::Seen,
            Mark::FromMemory,
            Mark::Derived,
            Mark::CommonPractice,
        ]
        .map(Mark::word)
        .into();
        let mut rows = 0;
        for table in tables() {
            let sheets = (table.print)();
            assert!(!sheets.is_empty(), "{}", table.name);
            for sheet in sheets {
                assert_eq!(sheet.heads.last(), Some(&"Mark"), "{}", table.name);
                assert!(!sheet.rows.is_empty(), "{}", table.name);
                for row in &sheet.rows {
                    assert_eq!(row.len(), sheet.heads.len(), "{}: {row:?}", table.name);
                    assert!(
                        row.iter().all(|cell| !cell.is_empty()),
                        "{}: {row:?}",
                        table.name
                    );
                    assert!(
                        row.last()
                            .is_some_and(|mark| words.contains(&mark.as_str()))
                    );
                }
                rows += sheet.rows.len();
            }
        }
        assert!(rows > 400, "{rows}");
    }

    /// Figures known from elsewhere, found again in print: 18 AWG at 105 °C carries 20 A; 4 A fuses are pink.
    #[test]
    fn printed_figures_are_those_of_the_tables() {
        let row = |sheets: Vec<Sheet>, key: &str| {
            let found = sheets
                .into_iter()
                .flat_map(|s| s.rows)
                .find(|row| row[0] == key);
            found.unwrap_or_else(|| panic!("{key} is missing"))
        };
        assert_eq!(
            row(ampacities(), "18 AWG"),
            ["18 AWG", "10", "10", "15", "20", "20", "25", "25", "seen"]
        );
        assert_eq!(row(fuses(), "4")[1], "pink");
        assert_eq!(
            row(law_rows(), "rear turn")[1..3],
            ["amber or red", "amber"]
        );
        assert_eq!(row(lamps(), "1156")[3], "2.1");
        assert_eq!(row(drops(), "Ground point, V")[1], "0.1");
    }
}
