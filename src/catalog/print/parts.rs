//! Printed tables of lamps, diodes, relays, batteries, law and signs.

use super::Cell::{Letter, Lights, Maybe, Number, Range, Text};
use super::Sheet;
use crate::catalog::{
    Mark, battery, colour, diode, flasher, lamp, law, led, letter, relay, switch_derating,
    terminal, transient, tungsten,
};

pub fn lamps() -> Vec<Sheet> {
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

pub fn tungsten_rows() -> Vec<Sheet> {
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

pub fn leds() -> Vec<Sheet> {
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

pub fn diodes() -> Vec<Sheet> {
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

pub fn relays() -> Vec<Sheet> {
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

pub fn batteries() -> Vec<Sheet> {
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

pub fn switches() -> Vec<Sheet> {
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

pub fn transients() -> Vec<Sheet> {
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

pub fn flashers() -> Vec<Sheet> {
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

pub fn law_rows() -> Vec<Sheet> {
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

pub fn terminals() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Number", "Meaning", "Mark"]);
    for row in terminal::ROWS {
        sheet.row(row.mark, &[Text(row.key), Text(row.meaning)]);
    }
    vec![sheet]
}

pub fn colours() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Code", "Colour", "Mark"]);
    for row in colour::ROWS {
        sheet.row(row.mark, &[Text(row.key), Text(row.name)]);
    }
    vec![sheet]
}

pub fn letters() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&["Part", "Letter", "Class", "Mark"]);
    for row in letter::ROWS {
        sheet.row(
            row.mark,
            &[Text(row.key), Letter(row.letter), Text(row.class)],
        );
    }
    vec![sheet]
}
